"""What comes off by screws, and what stays glued."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.assembly.opening import glued, opening_of
from desk.assembly.taking import Joints
from desk.cabinet.model import Cabinet, Member
from tests.assembly.test_order import TOOLS
from tests.cabinet.designs import FIXED
from tests.cabinet.designs import cabinet as fixed
from tests.checks.helpers import cabinet, pin, plate, screw

BOTH = [Member("a", 8.2, None, "dowel"), Member("b", 8.2, None, "dowel")]
SCREWED = screw([Member("a", 4.5, None, "clearance"), Member("b", 2.5, 10.0, "pilot")], 20.0)


def opened(*joints) -> list[list[tuple[str, ...]]]:
    of = cabinet([plate("a", 12.0), plate("b", 24.0)], joints)
    return [[r.parts for r in level] for level in opening_of(of, TOOLS).levels]


def test_glue_holds_for_good_and_dry_pins_and_screws_do_not():
    assert opened(replace(pin(BOTH, 0.0, 24.0), glued=True)) == []
    assert len(opened(pin(BOTH, 0.0, 24.0))) == 1
    assert len(opened(SCREWED)) == 1
    assert opened(SCREWED, replace(pin(BOTH, 0.0, 24.0), glued=True)) == []


def test_a_screw_without_room_for_any_driver_holds_too():
    wall = plate("wall", -20.0)
    tie = replace(
        pin([Member("a", 8.2, None, "rod"), Member("wall", 8.2, None, "rod")], -30.0, 40.0),
        glued=True,
        id="tie",
    )
    of = cabinet([plate("a", 12.0), plate("b", 24.0), wall], [SCREWED, tie])
    assert opening_of(of, TOOLS).levels == ()


def test_the_driver_a_screw_takes_is_told():
    wall = plate("wall", -120.0)
    tie = replace(
        pin([Member("a", 8.2, None, "rod"), Member("wall", 8.2, None, "rod")], -130.0, 140.0),
        glued=True,
        id="tie",
    )
    of = cabinet([plate("a", 12.0), plate("b", 24.0), wall], [SCREWED, tie])
    ((off,),) = opening_of(of, TOOLS).levels
    assert (off.parts, off.screws, off.tool) == (("b",), ("screw-1",), "stubby screwdriver")
    assert off.direction == (0, 1, 0)


@pytest.mark.parametrize("name", FIXED)
def test_a_cabinet_opens_at_the_back_and_on_the_return_side(name):
    of = fixed(name)
    found = opening_of(of, TOOLS)
    first = {r.parts[0]: r for r in found.levels[0]}
    assert set(first) == {"panel-return", "back-cover"}
    assert all(p.startswith("catch-ramp-") for p in first["back-cover"].parts[1:])
    assert len(first["back-cover"].screws) == 5
    assert first["back-cover"].direction == (1, 0, 0)
    away = -1.0 if "right" not in name else 1.0
    assert first["panel-return"].direction == (0, away, 0)
    assert len(first["panel-return"].screws) == 4
    second = {key for r in found.levels[1] for key in r.parts}
    assert {"header", "lifter"} <= second
    assert {"inner-wall", "panel-far", "board", "deck", "base", "rib-1"} <= set(found.fixed)
    everything = [k for level in found.levels for r in level for k in r.parts] + list(found.fixed)
    assert sorted(everything) == sorted(p.id for p in of.parts)


def shut(of: Cabinet, start: str) -> Cabinet:
    """The cabinet with every screw or dowel whose id starts so glued in as a dowel."""
    joints = tuple(
        replace(j, kind="dowel", glued=True) if j.id.startswith(start) else j for j in of.axis_joints
    )
    return replace(of, axis_joints=joints)


def test_a_glued_cover_stays():
    found = opening_of(shut(fixed("left"), "screw-cover"), TOOLS)
    assert "back-cover" in found.fixed
    assert "header" in found.fixed  # its screws are behind the cover


def test_glue_makes_one_piece_of_chains_and_stacks():
    parts = [plate("rib-1", 12.0), plate("rib-2", 24.0), plate("a", 36.0), plate("b", 48.0)]
    tie = replace(
        pin([Member("rib-2", 8.2, None, "rod"), Member("a", 8.2, None, "rod")], 10.0, 30.0), glued=True
    )
    assert glued(parts, Joints((tie,), ())) == [0b0111, 0b1000]

"""A conflicting and a clear cabinet for each check, and one test that goes through the register for both.

Most are the starting design with a number or two changed, so that the finding has come all the way from the design.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import pytest

from desk.cabinet.build import build
from desk.cabinet.model import Balls, Cabinet
from desk.checks.finding import Finding
from desk.checks.needs import Need
from desk.checks.run import checks, run
from desk.design.edit import get, put
from tests.checks.helpers import changed

Given = Callable[[], tuple[Cabinet, dict[str, Need] | None]]


def starting(**values: float) -> Given:
    """The starting design with numbers changed."""
    return lambda: (_built(tuple(sorted(values.items()))), None)


@cache
def _built(values: tuple[tuple[str, float], ...]) -> Cabinet:
    return build(changed(**dict(values)))


def with_balls(diameter: float) -> Given:
    """The starting cabinet with other balls in its box."""
    return lambda: (replace(_built(()), balls=Balls(diameter, 0.1, 5, "glass", 2500.0)), None)


@dataclass(frozen=True)
class Pair:
    """A cabinet in which a check conflicts and one in which it is clear, and what the conflict is about."""

    conflict: Given
    clear: Given
    parts: tuple[str, ...] = ()
    """Parts that must be among those of the conflicts."""


START = starting()
PAIRS: dict[str, Pair] = {
    "inside-wood": Pair(starting(header__letter=30.0), START, ("header",)),
    "hole-passes": Pair(starting(targets__2__hole=16.0), START, ("board",)),
    "face-gaps": Pair(
        starting(targets__3__across=-36.0),
        starting(lane__width=147.0, targets__1__up=148.0),
        ("board", "inner-wall"),
    ),
    "face-traps": Pair(starting(targets__3__across=-36.0), START, ("board",)),
    "gutter-gap": Pair(starting(board__gap=12.0), START, ("board",)),
    "depth-behind": Pair(starting(behind__gutter_drop=40.0), START, ("board", "gutter-floor")),
    "clean-outline": Pair(starting(**{"return__floor_height": 20.0}), START, ("lip-block-1",)),
    "under-traps": Pair(starting(behind__gutter_slope=-2.0), START),
    "catch-ramp": Pair(starting(behind__catch_slope=-2.0), START, ("catch-ramp-1",)),
    "inlet": Pair(starting(behind__inlet_width=15.0), START, ("inner-wall",)),
    "channel-width": Pair(starting(ball__diameter=18.0), START, ("spacer-lower-1",)),
    "headroom": Pair(starting(return__headroom=0.5), START, ("spacer-upper-1",)),
    "channel-slope": Pair(starting(return__slope=0.3), START, ("spacer-lower-1",)),
    "channel-traps": Pair(starting(return__slope=-1.0), START),
    "queue": Pair(starting(ball__count=40.0), START),
    "lip": Pair(starting(return__lip_height=0.5), starting(return__lip_height=7.4)),
    "way-open": Pair(starting(return__headroom=0.5), START),
    "dowel-play": Pair(starting(joint__dowel_fit=-0.2), START, ("panel-return", "inner-wall")),
    "dowel-depth": Pair(starting(joint__dowel_blind=10.5), START, ("panel-return",)),
    "hole-edge": Pair(starting(lifter__arm=9.0), starting(return__floor_height=46.0), ("lifter",)),
    "screw-point": Pair(starting(joint__screw_return=37.5), START, ("panel-return",)),
    "screw-bite": Pair(starting(joint__screw_cover=13.0), START, ("cleat-upper",)),
    "bit-reach": Pair(starting(bits__1__diameter=12.0), START, ("inner-wall",)),
    "cut-depth": Pair(starting(bits__1__cutting_length=15.0), START, ("board",)),
    "web": Pair(starting(lifter__arm=9.0), START, ("lifter",)),
    "part-fits": Pair(starting(shop__bed_length=500.0, shop__bed_width=500.0), START, ("panel-far",)),
    "stack": Pair(starting(lane__width=142.0), starting(lane__width=143.3), ("rib-1", "rib-8")),
    "within-limits": Pair(starting(overall__length_limit=600.0), START, ("lifter", "back-cover")),
    "small-ball": Pair(starting(people__youngest=2.0), with_balls(50.0)),
}


def found(given: Given, check: str) -> tuple[Finding, ...]:
    cabinet, needs = given()
    return run(cabinet, [check], needs=needs)


def test_every_registered_check_has_its_pair():
    assert set(PAIRS) == {c.id for c in checks()}


@pytest.mark.parametrize("check", sorted(PAIRS))
def test_there_is_a_cabinet_in_which_it_conflicts(check):
    wrong = [f for f in found(PAIRS[check].conflict, check) if f.status == "conflict"]
    assert wrong
    assert set(PAIRS[check].parts) <= {p for f in wrong for p in f.parts}
    for finding in wrong:
        assert finding.margin is None or finding.margin < 0
        assert not finding.key.endswith("not-evaluated")
        assert finding.title
        assert finding.because
        assert finding.source.text


@pytest.mark.parametrize("check", sorted(PAIRS))
def test_there_is_a_cabinet_in_which_it_is_clear(check):
    (finding,) = found(PAIRS[check].clear, check)
    assert finding.status == "clear"
    assert finding.margin is None or finding.margin >= 0
    assert finding.because


@pytest.mark.parametrize("check", sorted(PAIRS))
def test_a_finding_keeps_its_key_when_sizes_change_a_little(check):
    def keys(**values: float) -> set[str]:
        cabinet = build(changed(**values))
        return {f.key for f in run(cabinet, [check])}

    assert keys() == keys(lane__length=281.0)


def test_the_starting_design_has_no_conflict():
    assert not [f for f in run(_built(())) if f.status == "conflict"]


@pytest.mark.parametrize(
    ("check", "values", "address"),
    [
        ("dowel-play", {"joint__dowel_fit": -0.2}, "joint.dowel_fit"),
        ("dowel-depth", {"joint__dowel_length": 36.0}, "joint.dowel_length"),
        ("screw-bite", {"joint__screw_cover": 13.0}, "joint.screw_cover"),
        ("screw-point", {"joint__screw_return": 37.5}, "joint.screw_return"),
        ("hole-edge", {"lifter__arm": 9.0}, "lifter.arm"),
        ("stack", {"lane__width": 142.0}, "lane.width"),
        ("cut-depth", {"bits__1__cutting_length": 15.0}, "bits.1.cutting_length"),
    ],
)
def test_the_value_a_remedy_names_ends_the_conflict(check, values, address):
    design = changed(**values)
    wrong = run(build(design), [check], value_of=lambda a: get(design, a))
    named = [r.value for f in wrong if f.status == "conflict" for r in f.remedies if r.address == address]
    assert named
    assert None not in named
    worst = max(named, key=lambda v: abs(v - get(design, address)))
    mended = build(put(design, address, worst))
    assert not [f for f in run(mended, [check]) if f.status == "conflict"]

"""Numbers that no woodworker would let pass: each is refused by its range or told by the check that has to see it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.checks.run import run
from desk.design.edit import get, put
from desk.design.model import Design
from desk.design.refusals import ValueOutOfRange
from desk.shop.tables import Own, Tables
from tests.checks.helpers import changed


def statuses(design: Design, check: str) -> dict[str, str]:
    """Status by the end of the finding's key."""
    found = run(build(design), [check], value_of=lambda address: get(design, address))
    return {f.key.removeprefix(f"{check}/"): f.status for f in found}


@pytest.mark.parametrize(
    ("values", "check", "status"),
    [
        ({"kicker__lip_round": 10.0}, "as-asked", "conflict"),
        ({"board__tab": 300.0}, "as-asked", "conflict"),
        ({"board__rail_height": 40.0}, "as-asked", "conflict"),
        ({"board__rail_height": 0.5}, "rail-hold", "conflict"),
        ({"joint__side_gap": 5.0}, "tab-seat", "conflict"),
        ({"joint__side_gap": 1.4}, "tab-seat", "tight"),
        ({"header__cleat": 62.0}, "handled", "conflict"),
        ({"header__cleat": 59.0}, "handled", "tight"),
        ({"lifter__handle_length": 210.0}, "handled", "conflict"),
        ({"lifter__handle_length": 90.0}, "handled", "tight"),
        ({"joint__dowel": 2.0}, "dowel-depth", "conflict"),
        ({"joint__dowel": 5.0}, "dowel-depth", "tight"),
        ({"bits__1__diameter": 0.2}, "cut-depth", "conflict"),
        ({"bits__1__diameter": 2.5}, "cut-depth", "tight"),
        ({"bits__3__angle": 0.0}, "bit-sizes", "conflict"),
        ({"header__groove": 0.25}, "bit-sizes", "tight"),
    ],
)
def test_it_is_told(values, check, status):
    found = statuses(changed(**values), check)
    assert status in found.values()
    assert "conflict" not in statuses(changed(), check).values()


@pytest.mark.parametrize(
    ("address", "value"),
    [("people.aim_spread", 20.0), ("people.speed_spread", 1.0), ("people.speed_spread", 0.6)],
)
def test_a_hand_that_throws_anywhere_is_refused(address, value):
    """The project's own ranges: with an aim off by 10 degrees, or by half the speed, there is no skill to tell of."""
    with pytest.raises(ValueOutOfRange):
        put(changed(), address, value)


def test_a_dowel_of_ones_own_is_one_that_can_be_had():
    """The table of dowels has 6, 8 and 10 mm and 1/4, 5/16 and 3/8 in; a person's own row stands beside them."""
    thin = build(changed(joint__dowel=3.0))
    own = Tables((Own("dowels", "d3", "3 mm", "d6", (("diameter", 3.0),)),))
    told = [f for f in run(thin, ["dowel-depth"]) if f.key.endswith("/sold")]
    assert [f.status for f in told] == ["tight"]
    mine = run(replace(thin, tables=own), ["dowel-depth"])
    assert not [f for f in mine if f.key.endswith("/sold") and f.status != "clear"]

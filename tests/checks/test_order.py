"""Check 36 on forks with known room behind a screw, and on parts that cannot be put together."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.checks.needs import shipped_needs
from desk.checks.order import DRIVERS, EASY, assembly, drivers
from desk.checks.run import run
from desk.shapes.frame import Frame
from desk.shop.tables import SHIPPED, Own, Tables
from tests.cabinet.designs import FIXED
from tests.cabinet.designs import cabinet as fixed
from tests.checks.helpers import built, cabinet, findings, only, plate
from tests.checks.pairs.assembly import fork

PROUD = 20.0
"""The screw of the fork is 30 mm long, 10 of them in the arm."""


def behind(gap: float):
    return only(fork(gap)()[0], "driver-reach")


@pytest.mark.parametrize(
    ("gap", "status", "tool"),
    [
        (281.0, "clear", "screwdriver"),
        (221.0, "clear", "screwdriver"),
        (219.0, "tight", "stubby screwdriver"),
        (111.0, "tight", "stubby screwdriver"),
        (109.0, "tight", "right-angle driver"),
        (61.0, "tight", "right-angle driver"),
        (59.0, "conflict", "right-angle driver"),
    ],
)
def test_which_driver_stands_on_a_screw(gap, status, tool):
    """Lengths 200, 90 and 40 mm, and 20 by which the screw stands out before it bites. A cordless driver's body, 70 mm
    across, does not go down into the fork, whose floor lies 20 mm beside the axis.
    """
    found = behind(gap)
    assert found.status == status
    assert tool in found.because
    length = {label: shipped_needs()[key].value for label, key, _, _ in DRIVERS}[tool]
    assert found.needed == pytest.approx(length + PROUD)
    assert found.margin == pytest.approx(gap + 0.1 - length - PROUD)


def test_a_shorter_screw_is_proposed_where_that_is_enough():
    of, _ = fork(55.0)()
    named = replace(of.axis_joints[0], id="screw-cover-1")
    found = only(replace(of, axis_joints=(named,)), "driver-reach")
    assert found.status == "conflict"
    assert "joint.screw_cover" in {r.address for r in found.remedies}


def test_what_stands_in_the_way_is_named_and_shown():
    found = behind(30.0)
    assert found.title == "Driver for the screws in Fork: Fork in the way"
    assert {p.kind for p in found.places} == {"line", "area"}


@pytest.mark.parametrize("name", FIXED)
def test_cabinets_go_together_with_room_for_every_driver(name):
    found = only(fixed(name), "driver-reach")
    assert found.status == "clear"
    assert "steps" in found.because


def test_parts_in_the_same_place_are_told_with_what_moves_them():
    (found,) = [
        f for f in findings(built(behind__gutter_drop=45.0), "driver-reach") if f.status == "conflict"
    ]
    assert set(found.parts) == {"board", "gutter-floor"}
    assert "same place" in found.because
    assert {"behind.gutter_drop", "board.foot_rise"} <= {r.address for r in found.remedies}


def test_tabs_larger_than_their_mortises_lock():
    found = [f for f in findings(built(joint__mortise_fit=-0.6), "driver-reach") if f.status == "conflict"]
    assert found
    assert "joint.mortise_fit" in {r.address for r in found[0].remedies}


def test_parts_that_stand_askew_cannot_be_evaluated():
    lean = replace(plate("lean", 0.0), frame=Frame((0, 0, 0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0)))
    turned = replace(plate("turned", 0.0), frame=Frame((0, 0, 0), (0.0, 0.6, 0.8), (1.0, 0.0, 0.0)))
    found = only(cabinet([lean, turned]), "driver-reach")
    assert found.status == "conflict"
    assert found.key.endswith("not-evaluated")
    assert found.parts == ("lean", "turned")


def test_the_drivers_are_a_persons_own_where_she_says_so():
    own = Own("needs", "driver_angle", values=(("value", 80.0),))
    of, _ = fork(70.0)()
    assert only(of, "driver-reach").status == "tight"
    found = only(replace(of, tables=Tables((own,))), "driver-reach")
    assert (found.status, found.source.flag) == ("conflict", "own")


def test_drivers_run_from_the_handiest_to_the_shortest():
    tools = drivers(shipped_needs().__getitem__)
    assert [t.length for t in tools] == sorted((t.length for t in tools), reverse=True)
    assert {t.label for t in tools} > set(EASY)
    assert all(t.blade < t.length and t.blade_width < t.handle_width for t in tools)


def test_the_order_is_at_hand_for_whoever_draws_it():
    of = fixed("left")
    assert of.tables == SHIPPED
    assert assembly(of).steps[-1].parts == ("back-cover", "catch-ramp-1")
    assert run(of, ["driver-reach"])[0].status == "clear"

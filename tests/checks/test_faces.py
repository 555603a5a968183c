"""Parts cut from both faces and what they are set by when turned."""

from __future__ import annotations

import pytest

from desk.cabinet.model import Cabinet, EdgeBreak, Groove, Part, Pocket
from desk.checks.faces import hand_work, machine_work, register_of
from desk.flat.operations import has_face_b
from desk.shapes.loop import Loop, circle, rect
from tests.checks.helpers import built, cabinet, hole, only, plate

FRONT = Pocket(rect(30, 20, 45, 40), 4.0, "carving")
BACK = Pocket(rect(55, 20, 70, 40), 4.0, "carving", face="B")
COIN = circle(50.0, 30.0, 28.0)


def of(*parts: Part) -> Cabinet:
    return cabinet(parts)


def test_work_by_the_machine_is_told_from_work_by_hand():
    rounding = EdgeBreak(((0.0, 60.0, 0.0), (100.0, 60.0, 0.0)), False, "rounding", 3.0, "outside edge", "B")
    groove = Groove((((20.0, 30.0, 0.0), (80.0, 30.0, 0.0)),), 90.0, 2.0, "lettering")
    drills = (
        hole(10, 10, 4.0, head=8.0, face="B"),
        hole(20, 10, 2.0, depth=6.0, face="B", by_hand=True),
        hole(30, 10, depth=8.0),
    )
    part = plate("p", 12.0, drills=drills, grooves=(groove,), breaks=(rounding,))
    assert machine_work(part) == (("dowel hole", "lettering"), ())
    assert hand_work(part) == ("drilling at assembly", "countersinking", "rounding")


@pytest.mark.parametrize(
    "more",
    [
        {"pockets": (FRONT,)},
        {"pockets": (FRONT, BACK)},
        {"pockets": (FRONT,), "drills": (hole(80, 30, depth=6.0, face="B"),)},
        {"pockets": (FRONT,), "drills": (hole(80, 30, face="B"),)},
        {"pockets": (FRONT,), "drills": (hole(80, 30, depth=6.0, face="B", by_hand=True),)},
    ],
)
def test_it_agrees_with_the_operations_that_are_written_out(more):
    """The list of flat operations tells independently whether the machine works on face B."""
    part = plate("p", 12.0, **more)
    assert bool(machine_work(part)[1]) == has_face_b(part)
    assert (only(of(part), "second-face").status == "clear") == (not has_face_b(part))


def test_a_part_with_square_corners_has_to_be_turned_and_is_told_how():
    found = only(of(plate("lid", 12.0, pockets=(FRONT, BACK))), "second-face")
    assert found.status == "tight"
    assert found.title == "Lid has to be turned over"
    assert (found.measured, found.needed) == (pytest.approx(60.0), pytest.approx(100 * 0.3333))
    assert "Cut face B first" in found.because
    assert "two edges at right angles" in found.because


def test_pins_through_two_holes_are_taken_when_they_are_farther_apart():
    drills = (hole(10, 10, 6.0), hole(90, 50, 6.0), hole(50, 30, 6.0))
    found = only(of(plate("lid", 12.0, pockets=(FRONT, BACK), drills=drills)), "second-face")
    assert found.measured == pytest.approx((80**2 + 40**2) ** 0.5)
    assert "pins through its 6.00 mm and 6.00 mm holes" in found.because
    (place,) = found.places
    assert place.points == ((10, 10), (90, 50))


def test_a_round_part_with_nothing_to_set_it_by_is_a_conflict():
    found = only(of(plate("coin", 12.0, outline=COIN, pockets=(FRONT, BACK))), "second-face")
    assert found.status == "conflict"
    assert found.measured is None
    assert found.margin is not None
    assert found.margin < 0


def test_holes_too_near_each_other_do_not_set_it_square():
    """10 mm apart on a coin of 56 mm, where a third of that is needed."""
    drills = (hole(45, 10, 6.0), hole(55, 10, 6.0))
    found = only(of(plate("coin", 12.0, outline=COIN, pockets=(FRONT, BACK), drills=drills)), "second-face")
    assert (found.status, found.measured) == ("conflict", pytest.approx(10.0))
    assert found.needed == pytest.approx(56.0 * 0.3333, abs=0.05)


def test_holes_drilled_at_assembly_are_no_register():
    drills = (hole(25, 30, 6.0, by_hand=True), hole(75, 30, 6.0, by_hand=True))
    assert register_of(plate("coin", 12.0, outline=COIN, drills=drills)) is None


def test_a_slanting_edge_makes_no_square_corner():
    slanted = Loop(((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (90.0, 60.0, 0.0), (20.0, 60.0, 0.0)))
    assert register_of(plate("p", 12.0, outline=slanted)) is None


def test_no_part_of_a_design_has_to_be_turned():
    found = only(built(), "second-face")
    assert found.status == "clear"
    assert found.title == "Every part is cut from one face"
    assert "Outer panel, return side: rounding" in found.because

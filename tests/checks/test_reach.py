"""Places a bit does not get into, on hand-made outlines, and tabs in mortises cut by round bits."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from desk.cabinet.joinery import mortise_loop, tabbed_outline
from desk.cabinet.model import Cutout, Part, Pocket, TabJoint
from desk.checks.reach import left_in_opening, left_in_outline
from desk.checks.run import run
from desk.shapes.frame import Frame
from desk.shapes.loop import Loop, circle, polygon_loop, rect, relieved_rect
from tests.checks.helpers import cabinet, findings, only, plate


def notched(width: float, depth: float) -> Loop:
    """A plate 100 x 60 with a notch in the middle of its upper edge."""
    a, b = 50 - width / 2, 50 + width / 2
    low = 60 - depth
    return polygon_loop([(0, 0), (100, 0), (100, 60), (b, 60), (b, low), (a, low), (a, 60), (0, 60)])


@pytest.mark.parametrize(
    ("width", "depth"), [(5.9, 20.0), (4.0, 20.0), (1.0, 20.0), (4.0, 2.0), (1.0, 2.0), (0.5, 0.5)]
)
def test_a_notch_narrower_than_the_bit_is_not_cut(width, depth):
    left = left_in_outline(notched(width, depth), 3.0)
    assert len(left.places) == 1
    if depth > width:
        assert left.width == pytest.approx(width, abs=0.1)
    found = only(cabinet([plate("a", 12.0, notched(width, depth))]), "bit-reach")
    assert (found.status, found.needed) == ("conflict", 6.0)
    assert "the 6 mm straight bit cuts 6.00 mm" in found.because


@pytest.mark.parametrize("width", [6.2, 8.0, 30.0])
def test_a_notch_wider_than_the_bit_keeps_fillets_only(width):
    left = left_in_outline(notched(width, 20.0), 3.0)
    assert left.places == ()
    assert left.corner == pytest.approx(3 * (math.sqrt(2) - 1))


@pytest.mark.parametrize(
    ("loop", "reached"),
    [
        (rect(0, 0, 30, 5.9), False),
        (rect(0, 0, 30, 6.1), True),
        (circle(0, 0, 2.9), False),
        (circle(0, 0, 3.1), True),
        (relieved_rect(0, 0, 30, 9, 3.0), True),
        (polygon_loop([(0, 0), (30, 0), (30, 20), (18, 20), (18, 40), (13, 40), (13, 20), (0, 20)]), False),
    ],
)
def test_openings(loop, reached):
    assert (left_in_opening(loop, 3.0).places == ()) == reached
    there = loop.turned(0.7, (5, 5)).moved(100, -30)
    assert (left_in_opening(there, 3.0).places == ()) == reached


def test_the_place_of_a_narrow_arm_is_told_where_it_is():
    arm = polygon_loop([(0, 0), (30, 0), (30, 20), (18, 20), (18, 40), (13, 40), (13, 20), (0, 20)]).moved(
        40, 10
    )
    found = only(cabinet([plate("a", 12.0, pockets=(Pocket(arm, 4.0, "carving"),))]), "bit-reach")
    (place,) = found.places
    xs, ys = zip(*place.points, strict=True)
    assert 52.9 < min(xs) < max(xs) < 58.1
    assert max(ys) == pytest.approx(50.0, abs=0.01)
    assert found.measured == pytest.approx(5.0, abs=0.1)


def test_a_thinner_bit_in_the_list_is_named_and_the_diameter_that_would_do():
    of = cabinet([plate("a", 12.0, cutouts=(Cutout(rect(20, 20, 60, 24.5), "slot"),))])
    (found,) = run(of, ["bit-reach"], value_of=lambda address: 6.0)
    assert "the 3 mm straight bit would get in" in found.because
    assert found.remedies[0].address == "bits.1.diameter"
    assert found.remedies[0].value == pytest.approx(4.5, abs=0.02)
    assert found.remedies[1].address == "bit.profile"
    narrow = cabinet([plate("a", 12.0, cutouts=(Cutout(rect(20, 20, 60, 22), "slot"),))])
    assert "no thinner bit is in the list" in only(narrow, "bit-reach").because


def test_like_narrow_places_of_one_part_are_one_finding():
    slots = tuple(Cutout(rect(10, y, 60, y + 4), f"slot {y}") for y in (10, 20, 30))
    found = only(cabinet([plate("a", 12.0, cutouts=slots)]), "bit-reach")
    assert found.title.endswith("(3 alike)")


# A wall with face A at y = 20, and a cross part that stands up to it from y > 20 with its tab in the wall.
WALL = plate("wall", 20.0, rect(0, 0, 200, 200))


def tabbed(fit: float = 0.25, relief: float = 3.0, reach: float = 5.5, gap: float = 0.2, thick: float = 9.0):
    """The tab joint, its cross part (level, 40 mm tab of an 80 mm part) and the wall with the mortise."""
    joint = TabJoint("tab", "cross", "wall", "low", 20.0, 60.0, reach, 6.0, fit, relief)
    frame = Frame((50.0, 20.0 + gap, 100.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    cross = Part("cross", "Cross", "ply", thick, tabbed_outline(100.0, 80.0, [joint], gap), frame)
    mortise = Pocket(mortise_loop(joint, cross, WALL, 100.0), 6.0, "mortise", "tab")
    return joint, cross, replace(WALL, pockets=(mortise,))


def seated(profile_bit: str = "b6", pocket_bit: str = "b6", film_in_joints: bool = False, **changes: float):
    joint, cross, wall = tabbed(**changes)
    of = cabinet(
        [wall, cross],
        tabs=[joint],
        profile_bit=profile_bit,
        pocket_bit=pocket_bit,
        film_in_joints=film_in_joints,
    )
    return {f.key.rsplit("/", 1)[1]: f for f in findings(of, "bit-reach")}


def test_a_relieved_tab_in_a_relieved_mortise_seats():
    (found,) = seated().values()
    assert found.status == "clear"
    assert found.margin == pytest.approx(0.125, abs=0.002)


def test_square_corners_of_a_mortise_keep_the_tab_out():
    """Unrelieved, a 6 mm bit keeps 3 (sqrt 2 - 1) = 1.243 mm of each corner; the tab's corner stands
    0.125 sqrt 2 = 0.177 mm off, so 1.066 mm too far in.
    """
    joint, cross, _ = tabbed(relief=3.0)
    square = Pocket(mortise_loop(replace(joint, relief=0.0), cross, WALL, 100.0), 6.0, "mortise", "tab")
    of = cabinet([replace(WALL, pockets=(square,)), cross], tabs=[joint])
    (found,) = [f for f in findings(of, "bit-reach") if f.key.endswith("corner")]
    assert found.status == "conflict"
    assert found.measured == pytest.approx(-(3 * (math.sqrt(2) - 1) - 0.125 * math.sqrt(2)), abs=0.02)


def test_square_roots_of_a_tab_stand_against_the_mortise():
    """A fillet of radius r, at a gap g from the shoulder, is r - sqrt(r² - (r - g)²) wide: 3, 0.2 -> 1.923 mm."""
    joint, cross, wall = tabbed(relief=3.0)
    sharp = tabbed_outline(100.0, 80.0, [replace(joint, relief=0.0)], 0.2)
    of = cabinet([wall, replace(cross, outline=sharp)], tabs=[joint])
    (found,) = [f for f in findings(of, "bit-reach") if f.key.endswith("root")]
    assert found.status == "conflict"
    assert found.measured == pytest.approx(0.125 - (3 - math.sqrt(9 - 2.8**2)), abs=0.02)
    assert {p.frame for p in found.places} == {cross.frame}


def test_a_relief_too_small_for_the_bit_is_found_out():
    shown = seated(relief=1.5)
    assert shown["root"].status == "conflict"
    assert shown["corner"].status == "conflict"
    assert {f.status for f in seated("b3", "b3", relief=1.5).values()} == {"clear"}


def test_film_on_the_joint_takes_its_thickness_twice():
    shown = seated(film_in_joints=True)
    assert shown["root"].measured == pytest.approx(0.125 - 0.15, abs=0.002)
    assert "2 x 0.075 film" in shown["root"].because


def test_a_mortise_that_is_missing_is_told():
    joint, cross, _ = tabbed()
    of = cabinet([WALL, cross], tabs=[joint])
    assert any(
        "no mortise for the tab tab" in f.because for f in findings(of, "bit-reach") if f.status == "conflict"
    )

"""Tabs in mortises: closed forms for round bits at roots and in corners, and plain sums for play, depth and hold."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.joinery import mortise_loop, tabbed_outline
from desk.cabinet.model import Part, Pocket, TabJoint
from desk.checks.needs import shipped_needs
from desk.checks.run import run
from desk.shapes.frame import Frame
from desk.shapes.loop import rect
from tests.cabinet.designs import FIXED
from tests.cabinet.designs import cabinet as fixed
from tests.checks.helpers import cabinet, changed, findings, plate

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
    return {f.key.rsplit("/", 1)[1]: f for f in findings(of, "tab-seat")}


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
    (found,) = [f for f in findings(of, "tab-seat") if f.key.endswith("corner")]
    assert found.status == "conflict"
    assert found.measured == pytest.approx(-(3 * (math.sqrt(2) - 1) - 0.125 * math.sqrt(2)), abs=0.02)


def test_square_roots_of_a_tab_stand_against_the_mortise():
    """A fillet of radius r, at a gap g from the shoulder, is r - sqrt(r² - (r - g)²) wide: 3, 0.2 -> 1.923 mm."""
    joint, cross, wall = tabbed(relief=3.0)
    sharp = tabbed_outline(100.0, 80.0, [replace(joint, relief=0.0)], 0.2)
    of = cabinet([wall, replace(cross, outline=sharp)], tabs=[joint])
    (found,) = [f for f in findings(of, "tab-seat") if f.key.endswith("root")]
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
        "no mortise for a tab of" in f.because for f in findings(of, "tab-seat") if f.status == "conflict"
    )


def seat(changed: Pocket | None = None, film: bool = False, **changes: float):
    """What is found of one tab whose mortise is as it should be, or changed."""
    joint, cross, wall = tabbed(**changes)
    if changed is not None:
        wall = replace(wall, pockets=(changed,))
    of = cabinet([wall, cross], tabs=[joint], film_in_joints=film)
    return {f.key.rsplit("/", 1)[1]: f for f in findings(of, "tab-seat")}


@pytest.mark.parametrize(
    ("fit", "status"),
    [(0.04, "conflict"), (0.07, "tight"), (0.25, "clear"), (0.55, "tight"), (0.7, "conflict")],
)
def test_play_is_mortise_less_tab(fit, status):
    """Limits 0.05 and 0.60 mm, tight within 0.05 and 0.10 of them."""
    found = seat(fit=fit).get("play")
    assert (found.status if found else "clear") == status
    if found:
        assert found.measured == pytest.approx(fit, abs=0.002)
        assert found.places


def test_play_is_read_on_the_mortise_that_is_there():
    """A mortise cut for stock of 8 mm, a tab of 9: 8.25 - 9 = -0.75, whatever the joint says."""
    joint, cross, _ = tabbed(thick=8.0)
    narrow = Pocket(mortise_loop(joint, cross, WALL, 100.0), 6.0, "mortise", "tab")
    found = seat(narrow)["play"]
    assert found.status == "conflict"
    assert found.measured == pytest.approx(8.25 - 9.0, abs=0.002)
    assert "8.25 - tab 9.00 thick" in found.because


def test_a_short_mortise_is_told_by_its_length():
    joint, cross, _ = tabbed()
    short = Pocket(mortise_loop(replace(joint, end=59.0), cross, WALL, 100.0), 6.0, "mortise", "tab")
    found = seat(short)["play"]
    assert found.measured == pytest.approx(39.25 - 40.0 + 0.5, abs=0.52)
    assert "40.00 long" in found.because


def test_film_lies_on_both_sides_of_tab_and_mortise():
    """0.25 - 4 x 0.075 = -0.05."""
    found = seat(film=True)["play"]
    assert found.measured == pytest.approx(-0.05, abs=0.002)
    assert "4 x 0.075 film" in found.because


@pytest.mark.parametrize(("reach", "status"), [(5.9, "conflict"), (5.7, "tight"), (5.5, "clear")])
def test_a_tab_ends_above_the_floor_of_its_mortise(reach, status):
    found = seat(reach=reach).get("bottom")
    assert (found.status if found else "clear") == status
    if found:
        assert found.measured == pytest.approx(6.0 - reach, abs=0.002)
        assert found.remedies[0].address == "joint.mortise"


@pytest.mark.parametrize(("reach", "status"), [(2.5, "conflict"), (3.5, "tight"), (4.5, "clear")])
def test_a_tab_stands_deep_enough_to_hold(reach, status):
    found = seat(reach=reach).get("hold")
    assert (found.status if found else "clear") == status
    if found:
        assert found.measured == pytest.approx(reach, abs=0.002)


def test_a_mortise_open_at_the_edge_has_no_width_to_measure():
    """The tab lies between the closed side and the open one; its length counts all the same."""
    joint, cross, _ = tabbed()
    open_ended = replace(joint, over_run=(7.0, 0.0))
    wall = replace(
        WALL, pockets=(Pocket(mortise_loop(open_ended, cross, WALL, 100.0), 6.0, "rebate", "tab"),)
    )
    (found,) = findings(cabinet([wall, cross], tabs=[open_ended]), "tab-seat")
    assert found.status == "clear"


@pytest.mark.parametrize("name", FIXED)
def test_tabs_of_cabinets_seat(name):
    (found,) = findings(fixed(name), "tab-seat")
    assert found.status == "clear"


def test_no_tabs_nothing_to_look_at():
    (found,) = findings(cabinet([WALL]), "tab-seat")
    assert found.because == "There is no tab in this cabinet."


def test_the_limits_leave_the_project_room_between_them():
    low, high = shipped_needs()["tab_play_low"], shipped_needs()["tab_play_high"]
    assert low.clear < high.value - high.tight


def test_where_the_next_tab_stands_there_is_no_gap_to_read():
    """A gutter floor so short that its tabs all but touch has no edge between them; the others stand 0.2 off."""
    found = run(build(changed(behind__trough=150.0)), ["tab-seat"])
    assert not [f for f in found if f.title.startswith("Gap beside")]
    wide = run(build(changed(joint__side_gap=2.0)), ["tab-seat"])
    assert [f.measured for f in wide if f.title.startswith("Gap beside")] == [pytest.approx(2.0)]

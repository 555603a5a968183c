"""Places a bit does not get into, on hand-made outlines."""

from __future__ import annotations

import math

import pytest

from desk.cabinet.model import Cutout, Pocket
from desk.checks.reach import left_in_opening, left_in_outline
from desk.checks.run import run
from desk.shapes.loop import Loop, circle, polygon_loop, rect, relieved_rect
from tests.checks.helpers import cabinet, only, plate


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

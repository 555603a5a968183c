"""Bit and ball offsets against closed forms of plane geometry."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.shapes.loop import CHORD_TOLERANCE, circle, polygon_loop, rect, relieved_rect, rounded
from desk.shapes.offset import (
    QUAD_SEGMENTS,
    SLACK,
    closed_by_bit,
    coated,
    grown,
    opened_by_bit,
)

SQUARE = rect(0.0, 0.0, 100.0, 100.0).polygon
CORNER = polygon_loop([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)]).polygon
"""An L: one inside corner at (40, 40)."""
BITS = [0.5, 1.5, 1.5875, 3.0, 3.175, 6.0, 10.0]


def within(a: shapely.Geometry, b: shapely.Geometry, by: float) -> bool:
    """Whether neither shape reaches farther than ``by`` out of the other."""
    return b.buffer(by, quad_segs=64).covers(a) and a.buffer(by, quad_segs=64).covers(b)


def chord_height(radius: float) -> float:
    """How far a circle of this radius stands off the chords put in for it, mm."""
    return radius * (1 - math.cos(math.pi / 4 / QUAD_SEGMENTS))


def inscribed(radius: float) -> float:
    """Area of the regular polygon that shapely puts in for a circle."""
    sides = 4 * QUAD_SEGMENTS
    return sides / 2 * radius * radius * math.sin(2 * math.pi / sides)


@pytest.mark.parametrize("radius", [0.075, 1.0, 8.2, 30.0])
def test_a_square_grown(radius):
    """Area a² + 4 a r + pi r² (Steiner), the corners as inscribed chords."""
    made = grown(SQUARE, radius)
    assert made.area == pytest.approx(100**2 + 400 * radius + inscribed(radius), rel=1e-12)
    assert made.area == pytest.approx(100**2 + 400 * radius + math.pi * radius**2, abs=6e-3 * radius**2)
    assert grown(SQUARE, 0.0) is SQUARE


@pytest.mark.parametrize("radius", [1.0, 8.2, 30.0])
def test_a_square_shrunk_stays_a_square(radius):
    assert grown(SQUARE, -radius).area == pytest.approx((100 - 2 * radius) ** 2, rel=1e-12)
    assert grown(SQUARE, -50.0).is_empty


@pytest.mark.parametrize("radius", [2.0, 8.0])
def test_a_circle_grown_is_a_circle(radius):
    made = grown(circle(5.0, 6.0, 20.0).polygon, radius)
    far = [math.dist(c, (5.0, 6.0)) for c in shapely.get_coordinates(made)]
    assert max(far) <= 20.0 + radius + 1e-9
    assert min(far) >= 20.0 + radius - CHORD_TOLERANCE - chord_height(radius)


@pytest.mark.parametrize("radius", BITS)
def test_a_pocket_loses_its_corners(radius):
    """Opening a square by a disc leaves the corners short by (4 - pi) r² in all."""
    lost = SQUARE.area - opened_by_bit(SQUARE, radius).area
    r = radius - SLACK
    assert lost == pytest.approx(4 * r * r - inscribed(r), rel=1e-9, abs=1e-9)
    assert lost == pytest.approx((4 - math.pi) * radius * radius, rel=0.06, abs=2 * SLACK * radius)


@pytest.mark.parametrize("radius", BITS)
def test_wood_left_in_a_right_corner(radius):
    """Residual along the bisector r (sqrt 2 - 1), of a pocket and of an outline alike."""
    wanted = radius * (math.sqrt(2) - 1)
    pocket = opened_by_bit(SQUARE, radius).distance(shapely.Point(0, 0))
    outline = shapely.Polygon(closed_by_bit(CORNER, radius).exterior)
    held = outline.exterior.distance(shapely.Point(40, 40))
    assert pocket == pytest.approx(wanted, abs=0.42 * SLACK + chord_height(radius))
    assert held == pytest.approx(wanted, abs=0.42 * SLACK + chord_height(radius))
    assert within(closed_by_bit(SQUARE, radius), SQUARE, 2 * chord_height(radius))


@pytest.mark.parametrize(
    ("radius", "angle", "residual"), [(1.5875, 90.0, 0.6576), (3.175, 90.0, 1.315), (3.175, 60.0, 3.175)]
)
def test_residuals_of_known_bits(radius, angle, residual):
    """Worked values of r (1 / sin(angle / 2) - 1) for 1/8 and 1/4 inch bits, four digits."""
    a = math.radians(angle)
    wedge = shapely.Polygon([(0, 0), (120, 0), (120 * math.cos(a), 120 * math.sin(a))])
    found = opened_by_bit(wedge, radius).distance(shapely.Point(0, 0))
    assert found == pytest.approx(residual, abs=SLACK * residual / radius + 0.0013 * radius + 5e-4)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.floats(0.5, 10.0), st.floats(1.02, 3.0), st.floats(5.0, 60.0))
def test_a_slot_is_cut_when_it_is_wider_than_the_bit_and_not_when_it_is_narrower(radius, share, length):
    width = 2 * radius * share
    assert not opened_by_bit(rect(0, 0, length + width, width).polygon, radius).is_empty
    narrow = 2 * radius / share
    assert opened_by_bit(rect(0, 0, length + narrow, narrow).polygon, radius).is_empty == (
        narrow < 2 * (radius - SLACK)
    )


def test_a_gap_narrower_than_the_bit_stays_filled():
    comb = SQUARE.difference(rect(48, 20, 52, 101).polygon)
    assert closed_by_bit(comb, 2.1).covers(rect(48.5, 25, 51.5, 90).polygon)
    assert closed_by_bit(comb, 1.9).area == pytest.approx(comb.area, rel=3e-3)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.floats(0.4, 12.0), st.floats(1.0, 8.0))
def test_a_bit_gets_into_reliefs_of_its_own_radius(radius, share):
    """A relieved mortise equals what the bit sweeps of it, and lets a square tab in."""
    side = 2 * math.sqrt(2) * radius * 1.01
    loop = relieved_rect(0.0, 0.0, side * share, side, radius)
    cut = opened_by_bit(loop.polygon, radius)
    near = SLACK + 2 * chord_height(radius)
    assert cut.covers(rect(near, near, side * share - near, side - near).polygon)
    # short only by chords and slack along four half circles, and in the corners between them and the walls
    assert loop.area - cut.area <= 4 * math.pi * radius * (2 * CHORD_TOLERANCE) + 0.02
    assert loop.polygon.buffer(2 * chord_height(radius) + 1e-6).covers(cut)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.floats(0.4, 12.0))
def test_inside_fillets_of_the_bits_radius_are_cut_as_drawn(radius):
    loop = rounded([(0, 0, 0), (100, 0, 0), (100, 40, 0), (40, 40, radius), (40, 100, 0), (0, 100, 0)])
    assert within(closed_by_bit(loop.polygon, radius), loop.polygon, SLACK + 2 * chord_height(radius))


@pytest.mark.parametrize("radius", [0.0, -1.0])
def test_no_bit_changes_nothing(radius):
    assert opened_by_bit(SQUARE, radius) is SQUARE
    assert closed_by_bit(SQUARE, radius) is SQUARE


def test_film_keeps_square_corners_square():
    assert coated(SQUARE, 0.0) is SQUARE
    assert coated(SQUARE, 0.1).equals(shapely.box(-0.1, -0.1, 100.1, 100.1))


@pytest.mark.parametrize(("gap", "open_"), [(16.02, True), (15.98, False)])
def test_a_ball_passes_a_gap_just_wider_than_itself(gap, open_):
    room = shapely.box(0, 0, 100, 50)
    walls = shapely.union_all([shapely.box(45, -1, 55, 17), shapely.box(45, 17 + gap, 55, 51)])
    free = room.difference(grown(walls, 8.0))
    assert (
        any(
            p.intersects(shapely.box(0, 0, 30, 50)) and p.intersects(shapely.box(70, 0, 100, 50))
            for p in getattr(free, "geoms", [free])
        )
        is open_
    )

"""Necks against shapes whose narrowest place is known."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.checks.necks import neck_of, thinnest_neck
from desk.shapes.loop import Loop, circle, polygon_loop, rect, rounded


def dumbbell(width: float, length: float = 20.0) -> Loop:
    a, b = 15 - width / 2, 15 + width / 2
    return polygon_loop(
        [
            (0, 0), (30, 0), (30, a), (30 + length, a), (30 + length, 0), (60 + length, 0),
            (60 + length, 30), (30 + length, 30), (30 + length, b), (30, b), (30, 30), (0, 30),
        ]
    )  # fmt: skip


@pytest.mark.parametrize("width", [0.4, 1.0, 2.0, 3.0, 3.4])
@pytest.mark.parametrize("length", [2.0, 20.0])
def test_the_neck_of_a_dumbbell_is_as_wide_as_drawn(width, length):
    neck = neck_of(dumbbell(width, length), 0.0, 3.5)
    assert neck is not None
    assert neck.width == pytest.approx(width, abs=0.02)
    xs = [p[0] for p in neck.ring]
    assert min(xs) > 28
    assert max(xs) < 32 + length


@pytest.mark.parametrize("width", [3.6, 5.0, 20.0])
def test_a_wide_neck_is_none(width):
    assert neck_of(dumbbell(width), 0.0, 3.5) is None


def test_the_bit_thickens_a_short_neck():
    """A 6 mm bit rounds the four inside corners of a neck 2 mm long: (r - 1) deep fillets all along it."""
    assert neck_of(dumbbell(2.0, 2.0), 3.0, 3.5) is None
    assert neck_of(dumbbell(2.0, 20.0), 3.0, 3.5).width == pytest.approx(2.0, abs=0.02)


def test_an_hourglass_of_two_round_notches():
    """Circles of radius 8 biting into a strip from either side leave 2.4 mm."""
    strip = rect(0, 0, 60, 30).polygon
    for y in (-8 + 13.8 + 0.0, 30 + 8 - 13.8):
        strip = strip.difference(circle(30, y, 8).polygon)
    neck = thinnest_neck(strip, 3.5)
    assert neck.width == pytest.approx(2.4, abs=0.03)


def test_a_ring_that_is_thin_at_one_place():
    """An eccentric hole: the wall is 10 - 7 - 1.5 = 1.5 mm where it is thinnest."""
    ring = circle(0, 0, 10).polygon.difference(circle(1.5, 0, 7).polygon)
    assert thinnest_neck(ring, 2.0).width == pytest.approx(1.5, abs=0.03)


def test_a_thin_limb_is_found_and_a_corner_is_not():
    limb = polygon_loop([(0, 0), (40, 0), (40, 10), (70, 10), (70, 12), (40, 12), (40, 30), (0, 30)])
    assert neck_of(limb, 0.0, 3.5).width == pytest.approx(2.0, abs=0.02)
    assert neck_of(polygon_loop([(0, 0), (60, 0), (0, 40)]), 0.0, 3.5) is None
    assert neck_of(rounded([(0, 0, 1.5), (60, 0, 0), (60, 40, 12), (0, 40, 3)]), 3.0, 3.5) is None


def test_what_is_all_too_thin_is_one_neck():
    strip = neck_of(rect(0, 0, 80, 2.5), 0.0, 3.5)
    assert strip.width == pytest.approx(2.5, abs=0.02)


def test_a_horseshoe_rail():
    outer, inner = 25.0, 20.0
    half = math.pi * 200 / 360
    points = [
        (outer * math.cos(a), outer * math.sin(a)) for a in _angles(math.pi / 2 + math.pi - half, 2 * half)
    ]
    points += [
        (inner * math.cos(a), inner * math.sin(a)) for a in _angles(math.pi / 2 + math.pi + half, -2 * half)
    ]
    shoe = polygon_loop(points)
    assert neck_of(shoe, 3.0, 4.5) is None
    assert neck_of(shoe, 3.0, 6.0).width == pytest.approx(5.0, abs=0.05)


def _angles(start: float, sweep: float) -> list[float]:
    return [start + sweep * k / 60 for k in range(61)]


@given(st.lists(st.tuples(st.floats(6, 40), st.floats(0, 6)), min_size=5, max_size=12))
def test_no_neck_is_missed_by_the_quick_look(spokes):
    """Spiky stars: where the closed form says that nothing is lost, opening the shape finds no neck either."""
    n = len(spokes)
    loop = rounded(
        [
            (r * math.cos(2 * math.pi * k / n), r * math.sin(2 * math.pi * k / n), q)
            for k, (r, q) in enumerate(spokes)
        ]
    )
    if neck_of(loop, 0.0, 3.5) is None:
        slow = thinnest_neck(loop.polygon, 3.5)
        assert slow is None or slow.width > 3.4

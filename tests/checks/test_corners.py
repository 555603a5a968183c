"""Closed forms at corners against shapely's own offsets, and against published values for round bits."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from desk.checks.corners import (
    eroded_area,
    fillets,
    gentle,
    own_place,
    placed,
    tightest_arc,
    turns,
    without_reliefs,
)
from desk.shapes.loop import Loop, circle, polygon_loop, rect, relieved_rect, rounded
from desk.shapes.offset import closed_by_bit, opened_by_bit

ELL = polygon_loop([(0, 0), (40, 0), (40, 20), (20, 20), (20, 40), (0, 40)])


@pytest.mark.parametrize(
    ("radius", "angle", "left"), [(1.5875, 90, 0.6576), (3.175, 90, 1.315), (3.175, 60, 3.175)]
)
def test_wood_left_in_a_corner(radius, angle, left):
    """r (1 / sin(g / 2) - 1) along the bisector: 1/8 in and 1/4 in bits, worked to four figures by hand."""
    half = math.radians(angle) / 2
    wedge = polygon_loop(
        [(0, 0), (100 * math.cos(half), -100 * math.sin(half)), (100 * math.cos(half), 100 * math.sin(half))]
    )
    sharpest = fillets(wedge, radius, inside=True)[1]
    assert radius * (1 / math.sin(half) - 1) == pytest.approx(left, rel=2e-4)
    if angle <= 60:
        assert sharpest == pytest.approx(left, rel=2e-4)
    away = float(shapely.Point(0, 0).distance(opened_by_bit(wedge.polygon, radius)))
    assert away == pytest.approx(left, abs=0.01)


def test_an_inside_corner_of_an_outline():
    area, left = fillets(ELL, 3.0, inside=False)
    assert left == pytest.approx(3 * (math.sqrt(2) - 1))
    assert area == pytest.approx(9 * (1 - math.pi / 4))
    assert float(closed_by_bit(ELL.polygon, 3.0).area) - ELL.area == pytest.approx(area, abs=0.02)


@given(st.lists(st.tuples(st.floats(30, 60), st.floats(0, 12)), min_size=4, max_size=9), st.floats(0.3, 2.0))
def test_the_area_left_by_a_bit_is_that_of_the_offset(spokes, radius):
    """Star-like polygons with rounded corners: the closed form never claims more than shapely's closing leaves,
    and agrees with it where corners are far enough apart.
    """
    n = len(spokes)
    corners = [
        (r * math.cos(2 * math.pi * k / n), r * math.sin(2 * math.pi * k / n), q)
        for k, (r, q) in enumerate(spokes)
    ]
    loop = rounded(corners)
    area, _ = fillets(loop, radius, inside=False)
    filled = float(closed_by_bit(loop.polygon, radius).area) - float(loop.polygon.area)
    assert filled > area - 0.05 * radius * radius * n


@given(st.lists(st.tuples(st.floats(40, 60), st.floats(0, 12)), min_size=3, max_size=6), st.floats(0.5, 2.5))
def test_eroded_area_is_that_of_the_offset(spokes, by):
    """Exact wherever no edge is so short that it vanishes."""
    n = len(spokes)
    corners = [
        (
            r * math.cos(2 * math.pi * k / n),
            r * math.sin(2 * math.pi * k / n),
            0.0 if q < 1 else q + 3,
        )
        for k, (r, q) in enumerate(spokes)
    ]
    loop = rounded(corners)
    reach = by * np.tan(np.clip(turns(loop).at, 0, 3) / 2).max()
    straight = [math.dist(a[:2], b[:2]) for a, b in loop.edges() if not a[2]]
    if min(straight, default=0) > 2 * reach + by:
        left = shapely.buffer(loop.polygon, -by, quad_segs=16)
        assert float(left.area) == pytest.approx(eroded_area(loop, by, 16), abs=0.05)


@pytest.mark.parametrize(
    "loop", [ELL, circle(3, 4, 20), rect(0, 0, 30, 12), rounded([(0, 0, 5), (60, 0, 1), (50, 40, 9)])]
)
def test_eroded_area_of_simple_shapes(loop):
    left = shapely.buffer(loop.polygon, -1.75, quad_segs=16)
    assert float(left.area) == pytest.approx(eroded_area(loop, 1.75, 16), abs=0.02)


def test_a_neck_leaves_more_than_the_closed_form_says():
    dumbbell = polygon_loop(
        [
            (0, 0),
            (30, 0),
            (30, 14),
            (50, 14),
            (50, 0),
            (80, 0),
            (80, 30),
            (50, 30),
            (50, 16),
            (30, 16),
            (30, 30),
            (0, 30),
        ]
    )
    left = shapely.buffer(dumbbell.polygon, -1.75, quad_segs=16)
    assert float(left.area) - eroded_area(dumbbell, 1.75, 16) > 10


def test_turns_of_a_square_and_of_a_circle():
    assert turns(rect(0, 0, 10, 10)).at == pytest.approx([math.pi / 2] * 4)
    assert float(turns(circle(0, 0, 5)).at.sum()) == pytest.approx(2 * math.pi)
    assert turns(circle(0, 0, 5)).arcs == ((pytest.approx(5), pytest.approx(math.pi)),) * 2


@given(st.floats(-300, 300), st.floats(-300, 300), st.floats(-3.1, 3.1))
def test_equal_mortises_are_one_value_wherever_they_lie(dx, dy, angle):
    mortise = relieved_rect(-0.125, -0.125, 30.125, 9.025, 3.0)
    there = mortise.turned(angle).moved(dx, dy)
    shape, move = own_place(there)
    home, _ = own_place(mortise)
    assert np.abs(np.array(shape.points) - np.array(home.points)).max() < 2.1e-5
    for a, b in zip(there.points, shape.points, strict=True):
        assert math.dist(move(a[:2]), b[:2]) < 1e-5
    assert float(placed(there).symmetric_difference(there.polygon).area) < 0.01


@pytest.mark.parametrize(
    ("loop", "is_gentle"),
    [
        (rect(0, 0, 30, 20), True),
        (ELL, False),
        (rounded([(0, 0, 0), (100, 0, 0), (100, 40, 0), (50, 20, 30), (0, 40, 0)]), True),
        (rounded([(0, 0, 0), (100, 0, 0), (100, 40, 0), (50, 20, 2), (0, 40, 0)]), False),
    ],
)
def test_gentle_outlines_are_left_as_drawn(loop, is_gentle):
    assert gentle(loop, 3.0) == is_gentle
    changed = float(closed_by_bit(loop.polygon, 3.0).symmetric_difference(loop.polygon).area)
    assert (changed < 0.05) == is_gentle


def test_a_bottle_whose_neck_is_narrower_than_the_bit_is_not_gentle():
    bottle = Loop(
        (
            (0, 0, 0),
            (60, 0, 0),
            (60, 60, 0),
            (32, 60, 0),
            (32, 40, -1.7),
            (28, 40, 0),
            (28, 60, 0),
            (0, 60, 0),
        )
    )
    assert not gentle(bottle, 3.0)


def test_tightest_arc_counts_only_those_that_stand_out():
    assert tightest_arc(relieved_rect(0, 0, 30, 10, 2.5)) == pytest.approx(2.5)
    assert tightest_arc(rect(0, 0, 1, 1)) == math.inf


def test_reliefs_are_taken_back_to_sharp_corners():
    k = 3 * math.sqrt(2)
    tab = Loop(
        ((0, 0, 0), (40, 0, 0), (40, 20 - k, -1), (40 + k, 20, 0), (50, 20, 0), (50, 60, 0), (0, 60, 0))
    )
    plain, bite = without_reliefs(tab)
    assert np.allclose(
        plain.points, [(0, 0, 0), (40, 0, 0), (40, 20, 0), (50, 20, 0), (50, 60, 0), (0, 60, 0)]
    )
    assert bite == pytest.approx(1.5)
    assert without_reliefs(ELL) == (ELL, 0.0)

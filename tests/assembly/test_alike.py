"""Ways one outline fits onto another, against the symmetry groups of known figures."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.assembly.alike import ways
from desk.shapes.loop import Loop, circle, polygon_loop, rect, rounded

L_SHAPE = polygon_loop([(0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30)])


def regular(n: int) -> Loop:
    return polygon_loop(
        [(50 * math.cos(2 * math.pi * k / n), 50 * math.sin(2 * math.pi * k / n)) for k in range(n)]
    )


@pytest.mark.parametrize("n", [3, 4, 5, 6, 8])
def test_a_regular_polygon_has_as_many_turns_and_reflections_as_corners(n):
    """The dihedral group of order 2 n."""
    found = ways(regular(n), regular(n), 0.5)
    assert len(found) == 2 * n
    assert sum(w.over for w in found) == n
    turns = sorted(round(math.degrees(cmath.phase(w.turn))) % 360 for w in found if not w.over)
    assert turns == [round(360 * k / n) for k in range(n)]


@pytest.mark.parametrize(
    ("loop", "count"),
    [
        (rect(0, 0, 60, 20), 4),  # Klein's four-group
        (L_SHAPE, 1),
        (polygon_loop([(0, 0), (30, -12), (80, 0), (30, 12)]), 2),  # a kite
        (polygon_loop([(0, 0), (50, 0), (62, 20), (12, 20)]), 2),  # a parallelogram: half a turn
        (rounded([(0, 0, 5), (60, 0, 5), (60, 20, 5), (0, 20, 5)]), 4),
        (rounded([(0, 0, 9), (60, 0, 5), (60, 20, 5), (0, 20, 5)]), 1),
        (circle(3, 4, 10), 4),  # of a circle's, those that keep its two corners
    ],
)
def test_figures_have_their_symmetries(loop, count):
    assert len(ways(loop, loop, 0.5)) == count


def test_a_figure_and_its_mirror_image_fit_turned_over_alone():
    (way,) = ways(L_SHAPE, L_SHAPE.mirrored(), 0.5)
    assert way.over
    assert way.off < 1e-9


@settings(derandomize=True, max_examples=60)
@given(st.floats(-3, 3), st.floats(-200, 200), st.floats(-200, 200), st.booleans())
def test_a_moved_figure_is_found_and_its_points_carried_there_and_back(angle, x, y, over):
    moved = (L_SHAPE.mirrored() if over else L_SHAPE).turned(angle).moved(x, y)
    (way,) = ways(L_SHAPE, moved, 0.5)
    assert way.over == over
    marks = {(round(a, 6), round(b, 6)) for a, b, _ in moved.points}
    for a, b, _ in L_SHAPE.points:
        at = way.to((a, b))
        assert min(math.dist(at, m) for m in marks) < 1e-5
        assert way.back(at) == pytest.approx((a, b), abs=1e-9)


def test_how_far_a_near_miss_is_off_is_told():
    """A rectangle on one that is 1 mm longer, best in the middle: half a millimetre at each end."""
    found = ways(rect(0, 0, 60, 20), rect(0, 0, 61, 20), 2.0)
    assert len(found) == 4
    assert {round(w.off, 6) for w in found} == {0.5}
    assert not ways(rect(0, 0, 60, 20), rect(0, 0, 61, 20), 0.4)
    assert not ways(rect(0, 0, 60, 20), L_SHAPE, 2.0)

"""Gaps between round bodies in space, against closed forms and against a general optimiser."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import minimize

from desk.checks.solids import CLOSE, Hulls, axis_gap, boxes, close_boxes, gaps, hulls

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def cylinder(at, axis, length, radius, end_radius=None):
    """A cylinder, or a cone frustum, from ``at`` along ``axis``."""
    far = tuple(a + length * d for a, d in zip(at, axis, strict=True))
    return (((tuple(at), radius), (far, radius if end_radius is None else end_radius)), tuple(axis))


def bodies(*rows) -> Hulls:
    return hulls([discs for discs, _ in rows], [axis for _, axis in rows])


def gap(one, two, enough: float = 1e9) -> float:
    found, _ = gaps(bodies(one), bodies(two), enough)
    return float(found[0])


def test_side_by_side_the_gap_is_that_of_the_axes_less_the_radii():
    assert gap(cylinder((0, 0, 0), Z, 10, 3), cylinder((8, 0, 2), Z, 10, 2)) == pytest.approx(3.0, abs=1e-9)


def test_end_to_end_the_gap_is_along_the_axis():
    assert gap(cylinder((0, 0, 0), Z, 10, 3), cylinder((1, 0, 12.5), Z, 5, 2)) == pytest.approx(2.5, abs=1e-9)


def test_past_both_ends_the_gap_is_between_the_rims():
    """Plan gap 8 - 3 - 2 = 3, along the axis 4: 5 (3-4-5 triangle)."""
    assert gap(cylinder((0, 0, 0), Z, 10, 3), cylinder((8, 0, 14), Z, 5, 2)) == pytest.approx(5.0, abs=1e-9)


def test_crossing_at_right_angles():
    assert gap(cylinder((-10, 0, 0), X, 20, 3), cylinder((0, -10, 9), Y, 20, 2)) == pytest.approx(
        4.0, abs=1e-9
    )


def test_a_flat_end_before_the_flank_of_another():
    """A screw's end 7 mm before a dowel's axis, dowel of radius 3: 4 mm."""
    assert gap(cylinder((0, -20, 0), Y, 13, 1.75), cylinder((-10, 0, 0), X, 20, 3)) == pytest.approx(
        4.0, abs=1e-6
    )


def test_a_countersinks_rim_is_what_comes_nearest():
    sunk = cylinder((0, 0, 0), (0.0, 0.0, -1.0), 2.0, 4.0, 2.0)
    assert gap(sunk, cylinder((9, 0, 0), (0.0, 0.0, -1.0), 10, 3)) == pytest.approx(2.0, abs=1e-9)


def test_a_groove_is_a_wedge_with_round_ends():
    """A V of 90 degrees, 2 mm deep, from (0, 0) to (10, 0) with its face at z = 0."""
    runs = (((0, 0, 0), 2.0), ((0, 0, -2), 0.0), ((10, 0, -2), 0.0), ((10, 0, 0), 2.0))
    groove = (runs, Z)
    beside = cylinder((5, 5, 0), (0.0, 0.0, -1.0), 12, 1)
    past = cylinder((16, 0, 0), (0.0, 0.0, -1.0), 12, 1)
    under = cylinder((5, 0, -12), Z, 6, 1)
    assert gap(groove, beside) == pytest.approx(2.0, abs=1e-6)
    assert gap(groove, past) == pytest.approx(3.0, abs=1e-6)
    assert gap(groove, under) == pytest.approx(4.0, abs=1e-6)


def test_a_flat_end_facing_the_slope_of_a_groove():
    """Its rim at (3, -3) is |3 + 3 - 2| / sqrt 2 off the slope x - z = 2, through (2, 0) and (0, -2)."""
    runs = (((0, 0, 0), 2.0), ((0, 0, -2), 0.0), ((0, 10, -2), 0.0), ((0, 10, 0), 2.0))
    hole = cylinder((6, 5, -10), Z, 7, 3)
    assert gap((runs, Z), hole) == pytest.approx(4 / math.sqrt(2), abs=1e-4)


@pytest.mark.parametrize(
    ("one", "two", "deep"),
    [
        (cylinder((0, 0, 0), Z, 10, 3), cylinder((4, 0, 2), Z, 10, 2), -1.0),
        (cylinder((-10, 0, 0), X, 20, 3), cylinder((0, -10, 4), Y, 20, 2), -1.0),
        (cylinder((0, -20, 0), Y, 18, 1.75), cylinder((-10, 0, 0), X, 20, 3), -1.0),
        (cylinder((0, 0, 0), Z, 10, 3), cylinder((0, 0, 9), Z, 10, 3), -1.0),
    ],
)
def test_where_they_meet_the_gap_is_how_far_they_reach_in(one, two, deep):
    assert gap(one, two) == pytest.approx(deep, abs=1e-6)


def random_body(rng: np.random.Generator):
    axis = rng.normal(size=3) if rng.random() < 0.6 else np.eye(3)[rng.integers(3)]
    axis = axis / np.linalg.norm(axis)
    return cylinder(tuple(rng.uniform(-8, 8, 3)), tuple(axis), rng.uniform(3, 20), rng.uniform(0.5, 3))


def optimised(one, two) -> float:
    """Least distance of a point of one cylinder from a point of the other, by a general optimiser."""

    def frame(body):
        (start, radius), (end, _) = body[0]
        axis = np.array(body[1])
        u = np.cross(axis, [1.0, 0.0, 0.0] if abs(axis[0]) < 0.7 else [0.0, 1.0, 0.0])
        u /= np.linalg.norm(u)
        return np.array(start), np.array(end) - np.array(start), radius * u, radius * np.cross(axis, u)

    a, b = frame(one), frame(two)

    def apart(v):
        p = a[0] + v[0] * a[1] + v[1] * a[2] + v[2] * a[3]
        q = b[0] + v[3] * b[1] + v[4] * b[2] + v[5] * b[3]
        return float(((p - q) ** 2).sum())

    inside = [{"type": "ineq", "fun": lambda v, k=k: 1 - v[k] ** 2 - v[k + 1] ** 2} for k in (1, 4)]
    bounds = [(0, 1), (-1, 1), (-1, 1)] * 2
    found = minimize(
        apart,
        [0.5, 0, 0] * 2,
        bounds=bounds,
        constraints=inside,
        method="SLSQP",
        options={"ftol": 1e-14, "maxiter": 500},
    )
    return math.sqrt(max(found.fun, 0.0))


def test_gaps_are_those_a_general_optimiser_finds():
    rng = np.random.default_rng(29)
    rows = [(random_body(rng), random_body(rng)) for _ in range(60)]
    found, way = gaps(bodies(*(a for a, _ in rows)), bodies(*(b for _, b in rows)), 1e9)
    assert np.linalg.norm(way, axis=1) == pytest.approx(np.ones(60))
    wanted = np.array([optimised(a, b) for a, b in rows])
    apart = wanted > 0.01
    assert apart.sum() > 30
    assert found[apart] == pytest.approx(wanted[apart], abs=2e-3)
    assert (found[~apart] < 0.01).all()


def test_a_gap_is_never_overrated_even_where_it_is_not_looked_at_closely():
    rng = np.random.default_rng(3)
    rows = [(random_body(rng), random_body(rng)) for _ in range(40)]
    one, two = bodies(*(a for a, _ in rows)), bodies(*(b for _, b in rows))
    exact, _ = gaps(one, two, 1e9)
    quick, _ = gaps(one, two, 2.0)
    assert (quick <= exact + CLOSE).all()
    assert quick[exact < 2.0] == pytest.approx(exact[exact < 2.0], abs=CLOSE)
    assert (quick[exact > 2.0] > 2.0 - CLOSE).all()


def test_nearest_points_of_segments():
    one = np.array([[[0.0, 0, 0], [10, 0, 0]], [[0.0, 0, 0], [10, 0, 0]], [[0.0, 0, 0], [0, 0, 0]]])
    two = np.array([[[5.0, -5, 3], [5, 5, 3]], [[13.0, 4, 0], [13, 9, 0]], [[3.0, 4, 0], [3, 9, 0]]])
    near, far = axis_gap(one, two)
    assert np.linalg.norm(far - near, axis=1) == pytest.approx([3.0, 5.0, 5.0])


def test_boxes_hold_their_bodies_and_no_more():
    found = boxes(bodies(cylinder((0, 0, 0), Z, 10, 3), cylinder((0, 0, 0), (0.6, 0.0, 0.8), 10, 1)))
    assert found[0].tolist() == [[-3, -3, 0], [3, 3, 10]]
    assert found[1] == pytest.approx(np.array([[-0.8, -1, -0.6], [6.8, 1, 8.6]]))


def test_boxes_are_close_when_they_are_so_along_every_axis():
    one = np.array([[[0, 0, 0], [1, 1, 1]]], dtype=float)
    two = np.array([[[1.4, 0, 0], [2, 1, 1]], [[0, 0, 1.6], [1, 1, 2]]], dtype=float)
    assert close_boxes(one, two, 0.5).tolist() == [[True, False]]

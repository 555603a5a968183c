"""Exact bounds, circles and arcs, against closed forms and against dense sampling."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.flat import curves
from desk.shapes.loop import Loop, circle, rect, relieved_rect, rounded

from .samples import WIDE_ARC


def sampled(vertices, closed=True, steps=2000):
    """Points on the path, by turning the chord's normal: a derivation of its own, without centres."""
    out = []
    ends = [*vertices[1:], vertices[0]] if closed else vertices[1:]
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, ends, strict=False):
        t = np.linspace(0.0, 1.0, steps)
        if not bulge:
            out.append(np.column_stack((x0 + (x1 - x0) * t, y0 + (y1 - y0) * t)))
            continue
        # a point of the arc sees the chord under a constant angle: rational parameter form of the circle
        half = 2 * math.atan(bulge)
        angle = half * (2 * t - 1)
        chord, radius = math.hypot(x1 - x0, y1 - y0), math.hypot(x1 - x0, y1 - y0) / (2 * math.sin(half))
        along, aside = radius * np.sin(angle) + chord / 2, -radius * (np.cos(angle) - math.cos(half))
        ux, uy = (x1 - x0) / chord, (y1 - y0) / chord
        out.append(np.column_stack((x0 + along * ux - aside * uy, y0 + along * uy + aside * ux)))
    return np.concatenate(out)


@given(
    st.lists(
        st.tuples(st.floats(-50, 50), st.floats(-50, 50), st.sampled_from([0.0, 0.2, -0.4, 1.0, -1.0, 2.5])),
        min_size=2,
        max_size=6,
        unique_by=lambda v: (round(v[0], 1), round(v[1], 1)),
    ),
    st.booleans(),
)
@settings(derandomize=True, deadline=None)
def test_bounds_are_those_of_the_true_curve(vertices, closed):
    points = sampled(vertices, closed)
    low, high = points.min(axis=0), points.max(axis=0)
    found = curves.exact_bounds(vertices, closed)
    radius = max(curves.edge_length(a, b) for a, b in zip(vertices, vertices[1:] + vertices[:1], strict=True))
    assert found == pytest.approx((*low, *high), abs=1e-9 + radius * 1e-5)
    assert found[0] <= low[0] + 1e-9
    assert found[1] <= low[1] + 1e-9
    assert found[2] >= high[0] - 1e-9
    assert found[3] >= high[1] - 1e-9


def test_bounds_of_a_circle_reach_its_four_poles():
    assert curves.exact_bounds(circle(3.0, -2.0, 5.0).points) == pytest.approx(
        (-2.0, -7.0, 8.0, 3.0), abs=1e-12
    )


def test_arc_of_a_quarter():
    # from (1, 0) to (0, 1) about the origin: bulge tan(90/4 degrees)
    x, y, radius, start, sweep = curves.arc_of((1.0, 0.0, math.tan(math.pi / 8)), (0.0, 1.0, 0.0))
    assert (x, y, radius, start, sweep) == pytest.approx((0.0, 0.0, 1.0, 0.0, math.pi / 2), abs=1e-12)


def test_length_of_edges():
    assert curves.edge_length((0.0, 0.0, 0.0), (3.0, 4.0, 0.0)) == 5.0
    assert curves.edge_length((0.0, 0.0, -1.0), (2.0, 0.0, 0.0)) == pytest.approx(math.pi)


@pytest.mark.parametrize("pieces", [2, 3, 4, 7])
def test_a_circle_is_known_in_any_number_of_arcs(pieces):
    bulge = math.tan(2 * math.pi / pieces / 4)
    angles = [0.3 + 2 * math.pi * k / pieces for k in range(pieces)]
    loop = Loop(tuple((4 + 7 * math.cos(a), -1 + 7 * math.sin(a), bulge) for a in angles))
    assert curves.as_circle(loop) == pytest.approx((4.0, -1.0, 7.0), abs=1e-9)
    assert curves.as_circle(loop.reversed()) == pytest.approx((4.0, -1.0, 7.0), abs=1e-9)


@pytest.mark.parametrize(
    "loop",
    [
        rect(0, 0, 4, 4),
        WIDE_ARC,
        Loop(((0.0, 0.0, 1.0), (2.0, 0.0, 0.5))),
        Loop(((0.0, 0.0, 1.0), (2.0, 0.0, -1.0))),
        rounded([(0, 0, 2), (4, 0, 2), (4, 5, 2), (0, 5, 2)]),
    ],
)
def test_what_is_no_circle(loop):
    assert curves.as_circle(loop) is None


def test_wide_arcs_are_cut_in_two_and_keep_their_area():
    cut = Loop(curves.gentle(WIDE_ARC.points, closed=True))
    assert max(abs(v[2]) for v in cut.points) <= 1
    # segment of 250 degrees over a chord of 20: r = 10 / sin(125), area = r² (sweep - sin sweep) / 2
    radius, sweep = 10 / math.sin(math.radians(125)), math.radians(250)
    assert cut.area == pytest.approx(radius**2 * (sweep - math.sin(sweep)) / 2, abs=1e-9)
    assert len(cut.points) == 3


def test_open_paths_keep_their_last_point():
    path = ((0.0, 0.0, 2.0), (5.0, 0.0, 0.0), (5.0, 5.0, 0.0))
    cut = curves.gentle(path, closed=False)
    assert cut[0][:2] == (0.0, 0.0)
    assert cut[-1] == path[-1]
    assert len(cut) == 4


@pytest.mark.parametrize(
    "loop", [WIDE_ARC, relieved_rect(0, 0, 20, 10, 1), rounded([(0, 0, 2), (9, 0, 1), (4, 8, 0)])]
)
def test_closing_edge_is_straight_where_it_can_be(loop):
    begun = curves.straight_last(loop)
    assert not begun.points[-1][2]
    assert begun.area == pytest.approx(loop.area, abs=1e-12)
    assert sorted(begun.points) == sorted(loop.points)


def test_all_arcs_have_no_straight_edge_to_close_with():
    lens = Loop(((0.0, 0.0, 0.5), (4.0, 0.0, 0.5)))
    assert curves.straight_last(lens) is lens

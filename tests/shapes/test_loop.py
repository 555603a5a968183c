"""Loops against closed forms, against ezdxf's bulge arithmetic and against shapely's chords."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from ezdxf.math import Vec2, bulge_to_arc
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from desk.shapes.loop import (
    CHORD_TOLERANCE,
    SAME,
    Loop,
    ShapeError,
    arc_through,
    circle,
    polygon_loop,
    rect,
    relieved_rect,
    rounded,
)

HOSTILE = settings(derandomize=True, deadline=None, max_examples=150)
COORDINATE = st.floats(-400.0, 400.0).map(lambda v: round(v, 4))
RADIUS = st.floats(0.0, 500.0).map(lambda v: round(v, 4))


@st.composite
def convex_corners(draw, least: int = 3, most: int = 9) -> list[tuple[float, float, float]]:
    """Corners of a convex polygon, counter-clockwise, each with a radius wanted for it."""
    count = draw(st.integers(least, most))
    steps = [draw(st.floats(0.2, 1.0)) for _ in range(count)]
    angles = np.cumsum(steps) * 2 * math.pi / sum(steps)
    a, b = draw(st.floats(1.0, 300.0)), draw(st.floats(1.0, 300.0))
    shift = draw(COORDINATE)
    return [
        (shift + a * math.cos(t), shift + b * math.sin(t), draw(RADIUS) if draw(st.booleans()) else 0.0)
        for t in angles
    ]


rounded_loops = convex_corners().map(rounded)


def ezdxf_area(loop: Loop) -> float:
    """Chord polygon plus a circle's segment for every bulge, radius and sweep worked out by ezdxf."""
    points = np.array([p[:2] for p in loop.points])
    nxt = np.roll(points, -1, axis=0)
    total = float(np.sum(points[:, 0] * nxt[:, 1] - nxt[:, 0] * points[:, 1])) / 2
    for start, end in loop.edges():
        if start[2]:
            _, a0, a1, radius = bulge_to_arc(Vec2(start[:2]), Vec2(end[:2]), start[2])
            sweep = (a1 - a0) % (2 * math.pi)
            total += math.copysign(radius * radius * (sweep - math.sin(sweep)) / 2, start[2])
    return total


def edge_length(loop: Loop) -> float:
    total = 0.0
    for start, end in loop.edges():
        chord = math.dist(start[:2], end[:2])
        half = 2 * math.atan(abs(start[2]))
        total += chord * half / math.sin(half) if half else chord
    return total


def test_a_circle_has_the_area_and_the_bounds_of_one():
    made = circle(3.0, -4.0, 12.5)
    assert made.area == pytest.approx(math.pi * 12.5**2, rel=1e-14)
    assert made.bounds == pytest.approx((-9.5, -16.5, 15.5, 8.5), abs=CHORD_TOLERANCE)
    assert made.simple


@pytest.mark.parametrize("radius", [0.0, -1.0])
def test_a_circle_without_a_radius_is_refused(radius):
    with pytest.raises(ShapeError, match="radius above zero, got"):
        circle(0.0, 0.0, radius)


def test_a_loop_of_one_point_is_refused():
    with pytest.raises(ShapeError, match="two vertices or more, got 1"):
        Loop(((0.0, 0.0, 0.0),))


@pytest.mark.parametrize("sweep", [0.1, math.pi / 2, 2.0, math.pi])
def test_a_segment_has_half_r_squared_times_sweep_less_sine(sweep):
    """Area of a circle's segment, from any table of formulas."""
    r = 40.0
    cut = Loop(((r, 0.0, math.tan(sweep / 4)), (r * math.cos(sweep), r * math.sin(sweep), 0.0)))
    assert cut.area == pytest.approx(r * r * (sweep - math.sin(sweep)) / 2, rel=1e-11)


def test_a_rounded_square_loses_its_corners():
    a, r = 80.0, 12.0
    made = rounded([(0, 0, r), (a, 0, r), (a, a, r), (0, a, r)])
    assert made.area == pytest.approx(a * a - (4 - math.pi) * r * r, rel=1e-14)
    assert len(made.points) == 8
    assert edge_length(made) == pytest.approx(4 * (a - 2 * r) + 2 * math.pi * r, rel=1e-13)


def test_radii_too_large_for_a_square_make_a_circle():
    made = rounded([(0, 0, 500), (20, 0, 500), (20, 20, 500), (0, 20, 500)])
    assert made.area == pytest.approx(math.pi * 100, rel=1e-12)
    assert len(made.points) == 4


def test_crowded_radii_shrink_in_one_ratio():
    """Wanted 30 and 10 on an edge 20 long: they share it as 15 and 5."""
    made = rounded([(0, 0, 30), (20, 0, 10), (20, 200, 0), (0, 200, 0)])
    at = [p for p in made.points if abs(p[1]) < SAME]
    assert len(at) == 1
    assert at[0][0] == pytest.approx(15.0)


@HOSTILE
@given(rounded_loops)
def test_area_agrees_with_ezdxf_and_with_the_chords(loop):
    assert loop.area == pytest.approx(ezdxf_area(loop), rel=1e-9, abs=1e-9)
    short = loop.area - loop.polygon.area
    assert -1e-9 * loop.area <= short <= edge_length(loop) * CHORD_TOLERANCE


@HOSTILE
@given(rounded_loops)
def test_chord_points_lie_on_ezdxfs_arcs_and_keep_to_the_tolerance(loop):
    made = iter(loop.coords)
    for start, end in loop.edges():
        assert tuple(next(made)) == start[:2]
        if not start[2]:
            continue
        centre, _, _, radius = bulge_to_arc(Vec2(start[:2]), Vec2(end[:2]), start[2])
        steps = max(
            2,
            math.ceil(4 * math.atan(abs(start[2])) / (2 * math.acos(max(0.0, 1 - CHORD_TOLERANCE / radius)))),
        )
        arc = [start[:2], *(tuple(next(made)) for _ in range(steps - 1)), end[:2]]
        for p, q in pairwise(arc):
            assert math.dist(q, centre) == pytest.approx(radius, rel=1e-7, abs=1e-9)
            middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
            assert radius - math.dist(middle, centre) <= CHORD_TOLERANCE + 1e-7
    assert next(made, None) is None


@HOSTILE
@given(rounded_loops, st.floats(-7.0, 7.0), COORDINATE, COORDINATE)
def test_moving_turning_and_mirroring_keep_area_and_shape(loop, angle, dx, dy):
    size = edge_length(loop)
    assert loop.moved(dx, dy).area == pytest.approx(loop.area, rel=1e-7, abs=1e-7 * size)
    turned = loop.turned(angle, about=(dx, dy))
    assert turned.area == pytest.approx(loop.area, rel=1e-7, abs=1e-7 * size)
    assert turned.turned(-angle, about=(dx, dy)).coords == pytest.approx(
        loop.coords, abs=1e-9 * (size + 2000)
    )
    mirrored = loop.mirrored()
    assert mirrored.area == pytest.approx(loop.area, rel=1e-9)
    x0, y0, x1, y1 = loop.bounds
    assert mirrored.bounds == pytest.approx((-x1, y0, -x0, y1), abs=CHORD_TOLERANCE)
    flipped = shapely.affinity.scale(loop.polygon, -1.0, 1.0, origin=(0, 0))
    assert mirrored.polygon.symmetric_difference(flipped).area <= size * CHORD_TOLERANCE
    assert mirrored.mirrored().points in turns_of(loop)


def turns_of(loop: Loop) -> list[tuple[tuple[float, float, float], ...]]:
    """The same loop begun at each of its vertices."""
    return [loop.points[k:] + loop.points[:k] for k in range(len(loop.points))]


@HOSTILE
@given(rounded_loops)
def test_reversal_negates_the_area_and_undoes_itself(loop):
    back = loop.reversed()
    assert back.area == pytest.approx(-loop.area, rel=1e-12)
    apart = np.linalg.norm(back.coords[:, None] - loop.coords[None, :], axis=2)
    assert apart.min(axis=0).max() < 1e-6
    assert apart.min(axis=1).max() < 1e-6
    assert back.reversed().points in turns_of(loop)
    assert not back.simple


@HOSTILE
@given(convex_corners())
def test_any_radii_on_a_convex_polygon_give_a_simple_loop_inside_it(corners):
    made = rounded(corners)
    assert made.simple
    whole = shapely.Polygon([c[:2] for c in corners])
    assert made.polygon.difference(whole).area <= 1e-6 * whole.area
    assert (
        whole.difference(made.polygon.buffer(SAME)).area
        <= whole.area - made.area + edge_length(made) * CHORD_TOLERANCE
    )


def half_angle(corners: list[tuple[float, float, float]], k: int) -> float:
    """Half the angle inside corner k; a fillet of radius r then touches r / tan(half) from the corner."""
    at, before, after = (np.array(corners[j % len(corners)][:2]) for j in (k, k - 1, k + 1))
    a, b = before - at, after - at
    return math.acos(np.clip(a @ b / np.linalg.norm(a) / np.linalg.norm(b), -1, 1)) / 2


@HOSTILE
@given(convex_corners())
def test_fillets_touch_their_edges_and_keep_the_radius_where_there_is_room(corners):
    """A radius that fits without crowding is kept, and the arc leaves along the straight edges: both by ezdxf."""
    n = len(corners)
    sides = [math.dist(corners[k][:2], corners[(k + 1) % n][:2]) for k in range(n)]
    short = min(sides) / 3
    corners = [
        (x, y, min(r, short * math.tan(half_angle(corners, k)))) for k, (x, y, r) in enumerate(corners)
    ]
    made = rounded(corners)
    for start, end in made.edges():
        if not start[2]:
            continue
        centre, _, _, radius = bulge_to_arc(Vec2(start[:2]), Vec2(end[:2]), start[2])
        near = min(range(n), key=lambda k: math.dist(corners[k][:2], start[:2]))
        assert radius == pytest.approx(corners[near][2], rel=1e-5)
        for other in (near - 1, (near + 1) % n):
            edge = shapely.LineString([corners[near][:2], corners[other][:2]])
            assert edge.distance(shapely.Point(centre)) == pytest.approx(radius, rel=1e-5)


@settings(derandomize=True, deadline=None, max_examples=400)
@given(st.lists(st.tuples(COORDINATE, COORDINATE, RADIUS), min_size=3, max_size=8))
def test_no_corners_and_radii_break_rounding(corners):
    kept = [c for k, c in enumerate(corners) if math.dist(c[:2], corners[k - 1][:2]) > SAME]
    if len(kept) < 3:
        with pytest.raises(ShapeError, match="three different corners"):
            rounded(corners)
        return
    made = rounded(corners)
    assert np.isfinite(made.coords).all()
    assert made.polygon.is_valid


def test_repeated_corners_are_dropped():
    once = rounded([(0, 0, 2), (30, 0, 2), (30, 20, 2)])
    twice = rounded([(0, 0, 2), (0, 0, 2), (30, 0, 2), (30, 20, 2), (30, 20, 2)])
    assert twice == once


@HOSTILE
@given(
    COORDINATE, COORDINATE, st.floats(2.0, 300.0), st.floats(2.0, 300.0), st.floats(0.0, 20.0), st.booleans()
)
def test_a_square_tab_seats_in_a_relieved_rectangle(x, y, width, height, radius, swap):
    corners = (x + width, y + height, x, y) if swap else (x, y, x + width, y + height)
    made = relieved_rect(*corners, radius)
    plain = shapely.box(x, y, x + width, y + height)
    assert made.simple
    assert plain.difference(made.polygon.buffer(CHORD_TOLERANCE)).area < 1e-9
    r = min(radius, 0.999 * min(width, height) / (2 * math.sqrt(2)))
    bite = r * (1 - math.sin(math.pi / 4))
    # a relief bites r(1 - sin 45 degrees) past each wall: plane geometry of a circle through the corner
    assert made.bounds == pytest.approx(
        (x - bite, y - bite, x + width + bite, y + height + bite), abs=CHORD_TOLERANCE + 1e-6
    )
    # four half circles, of each of which the triangle inside the rectangle, r², is counted already
    assert made.area == pytest.approx(width * height + 4 * (math.pi / 2 - 1) * r * r, rel=1e-9)


@pytest.mark.parametrize(
    ("radius", "offset", "bite"),
    [(1.5875, 1.123, 0.4650), (3.175, 2.245, 0.9299)],
)
def test_relief_of_known_bits(radius, offset, bite):
    """Worked values for 1/8 and 1/4 inch bits, four digits: centre r/sqrt 2 from each wall, bite 0.2929 r."""
    made = relieved_rect(0.0, 0.0, 60.0, 40.0, radius)
    start, end = made.points[0], made.points[1]
    centre, _, _, r = bulge_to_arc(Vec2(start[:2]), Vec2(end[:2]), start[2])
    assert r == pytest.approx(radius)
    assert (centre.x, centre.y) == pytest.approx((offset, offset), abs=5e-4)
    assert centre.x - r == pytest.approx(-bite, abs=5e-5)


def test_relief_on_a_rectangle_of_no_size_is_a_rectangle():
    assert relieved_rect(0, 0, 10, 5, 0.0) == rect(0, 0, 10, 5)
    assert rect(10, 5, 0, 0) == rect(0, 0, 10, 5)


@HOSTILE
@given(rounded_loops, st.integers(0, 1), st.floats(-0.2, 1.2))
def test_crossings_agree_with_a_line_cut_by_shapely(loop, along, share):
    low, high = loop.bounds[along], loop.bounds[along + 2]
    at = low + share * (high - low)
    assume(all(abs(p[along] - at) > 1e-3 for p in loop.points))
    assume(min(abs(at - low), abs(at - high)) > 4 * CHORD_TOLERANCE)
    line = [(at, -1e4), (at, 1e4)] if along == 0 else [(-1e4, at), (1e4, at)]
    ring = shapely.LinearRing(loop.coords)
    met = sorted(
        float(c[1 - along]) for c in shapely.get_coordinates(ring.intersection(shapely.LineString(line)))
    )
    found = loop.crossings(along, at)
    assert len(found) == len(met)
    # chords stand off their arc by the tolerance, more along a line that meets it at a slant
    for mine, theirs in zip(found, met, strict=True):
        point = (at, mine) if along == 0 else (mine, at)
        assert ring.distance(shapely.Point(point)) <= CHORD_TOLERANCE + 1e-7
        assert abs(mine - theirs) < math.sqrt(2 * CHORD_TOLERANCE * 800) + CHORD_TOLERANCE


def test_crossings_of_a_circle_are_exact():
    """Half chord sqrt(r² - x²), 3-4-5."""
    assert circle(0.0, 0.0, 5.0).crossings(0, 3.0) == pytest.approx([-4.0, 4.0], abs=1e-12)
    assert circle(0.0, 0.0, 5.0).crossings(1, -4.0) == pytest.approx([-3.0, 3.0], abs=1e-12)
    assert circle(0.0, 0.0, 5.0).crossings(0, 5.1) == []


@pytest.mark.parametrize("at", [-5.0, 0.0, 5.0])
def test_crossings_come_in_pairs_at_vertices_too(at):
    assert len(circle(0.0, 0.0, 5.0).crossings(0, at)) in (0, 2)
    assert len(circle(0.0, 0.0, 5.0).crossings(1, at)) in (0, 2)
    assert len(polygon_loop([(-5, -5), (5, -5), (0, 0), (5, 5), (-5, 5)]).crossings(0, at)) in (0, 2, 4)


@HOSTILE
@given(
    COORDINATE, COORDINATE, st.floats(0.5, 200.0), st.floats(-7.0, 7.0), st.floats(0.01, 6.2), st.booleans()
)
def test_an_arc_in_parts_keeps_its_circle(x, y, radius, start, sweep, clockwise):
    turn = -sweep if clockwise else sweep
    made = arc_through((x, y), radius, start, turn)
    assert made[-1][2] == 0.0
    assert all(abs(v[2]) <= 1.0 + 1e-12 for v in made)
    total = 0.0
    for a, b in pairwise(made):
        centre, a0, a1, r = bulge_to_arc(Vec2(a[:2]), Vec2(b[:2]), a[2])
        assert (centre.x, centre.y, r) == pytest.approx((x, y, radius), rel=1e-6, abs=1e-6)
        total += (a1 - a0) % (2 * math.pi)
    assert total == pytest.approx(sweep, rel=1e-6)
    end = (x + radius * math.cos(start + turn), y + radius * math.sin(start + turn))
    assert made[-1][:2] == pytest.approx(end, abs=1e-9 * (radius + 800))


def test_a_loop_that_crosses_itself_says_so_and_keeps_its_larger_piece():
    bow = polygon_loop([(0, 0), (30, 30), (30, 0), (0, 10)])
    assert not bow.simple
    assert bow.polygon.is_valid
    # edges 0-0 to 30-30 and 30-0 to 0-10 meet at x = 7.5: the larger triangle has base 30 and height 22.5
    assert bow.polygon.area == pytest.approx(30 * 22.5 / 2)


def test_loops_are_values():
    one, other = rounded([(0, 0, 2), (30, 0, 3), (30, 20, 1)]), rounded([(0, 0, 2), (30, 0, 3), (30, 20, 1)])
    assert one == other
    assert len({one, other, one.reversed()}) == 2

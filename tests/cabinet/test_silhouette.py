"""The side outline: corners from both ends, and the path along its top cut where it is asked for."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.cabinet.silhouette import path_to, side_outline
from desk.shapes.loop import CHORD_TOLERANCE, Loop

POINTS = [("front", 0.0, 50.0, 12.0), ("front", 60.0, 50.0, 8.0), ("front", 90.0, 120.0, 20.0),
          ("back", 100.0, 300.0, 40.0), ("back", 0.0, 300.0, 18.0)]  # fmt: skip
BACK = 560.0


def test_points_count_from_the_front_and_from_the_back():
    made = side_outline([(o, x, z, 0.0) for o, x, z, _ in POINTS], BACK)
    assert [p[:2] for p in made.points] == [
        (0.0, 0.0), (560.0, 0.0), (560.0, 300.0), (460.0, 300.0), (90.0, 120.0), (60.0, 50.0), (0.0, 50.0)
    ]  # fmt: skip
    assert made.simple


def test_every_corner_is_rounded_by_its_radius_and_loses_the_fillets_area():
    """A corner of inside angle g loses r² (1 / tan(g / 2) - (pi - g) / 2); outside corners gain as much."""
    sharp, round_ = side_outline([(o, x, z, 0.0) for o, x, z, _ in POINTS], BACK), side_outline(POINTS, BACK)
    corners = [p[:2] for p in sharp.points]
    radii = {
        (0.0, 50.0): 12.0,
        (60.0, 50.0): 8.0,
        (90.0, 120.0): 20.0,
        (460.0, 300.0): 40.0,
        (560.0, 300.0): 18.0,
    }
    change = 0.0
    for k, at in enumerate(corners):
        before, after = corners[k - 1], corners[(k + 1) % len(corners)]
        a = math.atan2(at[1] - before[1], at[0] - before[0])
        turn = (math.atan2(after[1] - at[1], after[0] - at[0]) - a + math.pi) % (2 * math.pi) - math.pi
        r, inside = radii.get(at, 0.0), math.pi - abs(turn)
        change -= math.copysign(r * r * (1 / math.tan(inside / 2) - (math.pi - inside) / 2), turn)
    assert round_.area - sharp.area == pytest.approx(change, rel=1e-9)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.floats(1.0, 559.0))
def test_a_path_ends_at_its_x_on_the_outline(x):
    outline = side_outline(POINTS, BACK)
    path = path_to(outline, x)
    assert path[0][:2] == (BACK, 0.0)
    assert path[-1][0] == x
    assert path[-1][2] == 0.0
    ring = shapely.LinearRing(outline.coords)
    closed = Loop((*path, (x, 0.0, 0.0)))
    assert all(ring.distance(shapely.Point(p[:2])) < CHORD_TOLERANCE + 1e-9 for p in path)
    behind = outline.polygon.intersection(shapely.box(x, -1, BACK + 1, 400))
    assert closed.polygon.symmetric_difference(behind).area <= 2 * CHORD_TOLERANCE * 300


def test_a_path_past_the_front_follows_the_whole_top():
    outline = side_outline(POINTS, BACK)
    path = path_to(outline, -10.0)
    assert path[:2] == [outline.points[1], outline.points[2]]
    assert {p[:2] for p in path} == {p[:2] for p in outline.points[1:]} | (
        {outline.points[0][:2]} & {p[:2] for p in path}
    )

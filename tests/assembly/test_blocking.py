"""Sweeps against the union of the hulls that triangles sweep, and small arrangements whose answer is plain to see."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.assembly.blocking import blocking, directions
from desk.assembly.solids import solids
from desk.assembly.taking import ones
from desk.cabinet.model import Part
from desk.shapes.frame import Frame
from desk.shapes.loop import polygon_loop, rect
from tests.cabinet.designs import FIXED, cabinet
from tests.checks.helpers import on_end, plate

BACK, FRONT, RIGHT, LEFT, UP, DOWN = directions()


def in_the_way(parts: list[Part], way: tuple[float, float, float]) -> dict[str, set[str]]:
    found = blocking(solids(tuple(parts), ()))
    rows = found.ways[found.directions.index(way)]
    return {p.id: {parts[k].id for k in ones(mask)} for p, mask in zip(parts, rows, strict=True)}


def test_one_plate_over_another_keeps_it_from_coming_up():
    parts = [plate("under", 12.0), plate("over", 24.0)]
    assert in_the_way(parts, RIGHT) == {"under": {"over"}, "over": set()}
    assert in_the_way(parts, LEFT) == {"under": set(), "over": {"under"}}
    assert not any(in_the_way(parts, UP).values())


def test_plates_that_touch_side_by_side_slide_along_each_other():
    parts = [plate("a", 12.0), plate("b", 12.0, rect(100, 0, 200, 60))]
    assert in_the_way(parts, BACK) == {"a": {"b"}, "b": set()}
    assert in_the_way(parts, UP) == {"a": set(), "b": set()}


def test_a_plate_in_a_frame_comes_out_along_the_axis_alone():
    frame = plate(
        "frame",
        12.0,
        polygon_loop([(0, 0), (90, 0), (90, 20), (30, 20), (30, 70), (90, 70), (90, 90), (0, 90)]),
    )
    slide = plate("slide", 12.0, rect(31, 21, 89, 69))
    parts = [frame, slide]
    assert in_the_way(parts, BACK)["slide"] == set()
    assert in_the_way(parts, FRONT)["slide"] == {"frame"}
    assert in_the_way(parts, UP)["slide"] == in_the_way(parts, DOWN)["slide"] == {"frame"}
    assert in_the_way(parts, RIGHT)["slide"] == in_the_way(parts, LEFT)["slide"] == set()


def test_a_tab_in_a_mortise_holds_across_and_not_along():
    """A level board stands with a tab in a wall's pocket: it leaves the wall straight and no other way."""
    from desk.cabinet.model import Pocket

    wall = plate("wall", 0.0, pockets=(Pocket(rect(29.9, 37.9, 60.1, 50.1), 6.0, "mortise"),))
    outline = polygon_loop([(0, 0), (80, 0), (80, 90), (0, 90), (0, 60), (-5, 60), (-5, 30), (0, 30)])
    board = Part("board", "Board", "ply", 12.0, outline, Frame((0, 0, 50.0), (0, 1, 0), (1, 0, 0)))
    for way in (BACK, FRONT, UP, DOWN, LEFT):
        assert in_the_way([wall, board], way)["board"] == {"wall"}
    assert in_the_way([wall, board], RIGHT) == {"wall": {"board"}, "board": set()}


def test_parts_that_stand_in_each_other_are_told():
    parts = (plate("a", 12.0), plate("b", 20.0))
    found = blocking(solids(parts, ()))
    assert found.together == ((0, 1),)
    assert all(rows == (2, 1) for rows in found.ways)


def test_less_than_the_slack_is_a_matter_of_fit():
    assert blocking(solids((plate("a", 12.0), plate("b", 23.9)), ())).together == ()


def star(spokes: list[float], x: float, z: float) -> list[tuple[float, float]]:
    n = len(spokes)
    return [
        (x + r * math.cos(2 * math.pi * k / n), z + r * math.sin(2 * math.pi * k / n))
        for k, r in enumerate(spokes)
    ]


def swept(shape: shapely.Polygon, way: tuple[float, float]) -> shapely.Geometry:
    """What a polygon sweeps: the hulls of its triangles and their moved copies."""
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(shape))
    hulls = [
        shapely.convex_hull(
            shapely.multipoints(np.concatenate((c := shapely.get_coordinates(t), c + np.array(way) * 1000.0)))
        )
        for t in triangles
    ]
    return shapely.union_all(hulls)


SPOKES = st.lists(st.floats(4.0, 30.0), min_size=5, max_size=12)


@settings(derandomize=True, max_examples=150)
@given(SPOKES, SPOKES, st.floats(-90, 90), st.floats(-90, 90))
def test_sweeps_in_the_plane_meet_what_swept_triangles_meet(one, two, x, z):
    first, second = star(one, 0.0, 0.0), star(two, x, z)
    parts = [plate("a", 12.0, polygon_loop(first)), plate("b", 12.0, polygon_loop(second))]
    a, b = shapely.Polygon(first), shapely.Polygon(second)
    if a.distance(b) < 0.5:
        return
    for way, flat in ((BACK, (1, 0)), (FRONT, (-1, 0)), (UP, (0, 1)), (DOWN, (0, -1))):
        met = float(shapely.intersection(swept(a, flat), b).area)
        blocked = in_the_way(parts, way)["a"] == {"b"}
        if met > 12.0:  # the two are drawn in by 0.1 mm each, so a graze need not count
            assert blocked
        if met == 0.0:
            assert not blocked


@pytest.mark.parametrize("name", FIXED)
def test_pushing_and_being_pushed_are_the_same(name):
    """If b is in a's way to the right, a is in b's way to the left."""
    of = cabinet(name)
    found = blocking(solids(of.parts, of.axis_joints))
    table = dict(zip(found.directions, found.ways, strict=True))
    for way, rows in table.items():
        back = table[(0.0 - way[0], 0.0 - way[1], 0.0 - way[2])]
        for a, mask in enumerate(rows):
            assert all(back[b] >> a & 1 for b in ones(mask))


@pytest.mark.parametrize("name", FIXED)
def test_nothing_stands_in_anything_else(name):
    of = cabinet(name)
    assert blocking(solids(of.parts, of.axis_joints)).together == ()


def test_plates_on_edge_meet_square_to_the_axis_too():
    parts = [on_end("low", 20.0), on_end("high", 60.0)]
    assert in_the_way(parts, UP) == {"low": {"high"}, "high": set()}
    assert not any(in_the_way(parts, BACK).values())

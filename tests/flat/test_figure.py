"""What is written stands in the figure: circles, directions, rounding, the view from behind."""

from __future__ import annotations

import math

import pytest
import shapely

from desk.cabinet.model import Drill
from desk.flat.figure import (
    FromBehind,
    Ring,
    Round,
    Track,
    closed_mark,
    mark_bounds,
    piece,
    piece_from_behind,
    settled_path,
)
from desk.flat.layers import layer
from desk.flat.layout import Placement, footprint
from desk.shapes.loop import Loop, circle, rect, rounded

from .samples import plain, rich

ON = layer("pocket", depth=4.0)


def test_circles_become_circles():
    assert closed_mark(ON, circle(3.0, 4.0, 5.0), "outer") == Round(ON, (3.0, 4.0), 5.0)


def test_directions_follow_the_role():
    outer, inner = (closed_mark(ON, rect(0, 0, 4, 3), role) for role in ("outer", "inner"))
    assert outer.loop.area == pytest.approx(12.0)
    assert inner.loop.area == pytest.approx(-12.0)


def test_rounding_never_moves_an_area_by_a_thousandth():
    # a long panel turned by an odd angle: no coordinate is round
    loop = rounded([(0, 0, 20), (1100, 0, 7), (1100, 500, 0), (0, 500, 33)]).turned(0.123456)
    assert closed_mark(ON, loop, "outer").loop.area == pytest.approx(loop.area, abs=1e-3)


def test_no_negative_zero_no_repeat_no_trace_of_a_bulge():
    path = settled_path(
        ((-1e-12, 0.0, 1e-17), (5.0, 0.0, 0.0), (5.0, 1e-9, 0.0), (0.0, 9.0, 0.0)), closed=True
    )
    assert path == ((0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, 9.0, 0.0))
    assert math.copysign(1.0, path[0][0]) == 1.0


def test_an_open_path_keeps_both_ends():
    path = ((0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    assert settled_path(path, closed=False) == path


def test_wide_arcs_are_split():
    mark = closed_mark(ON, Loop(((0.0, 0.0, 3.0), (4.0, 0.0, 0.0))), "outer")
    assert isinstance(mark, Ring)
    assert max(abs(v[2]) for v in mark.loop.points) <= 1


def test_bounds_of_marks():
    assert mark_bounds(Round(ON, (3.0, 4.0), 1.0)) == (2.0, 3.0, 4.0, 5.0)
    assert mark_bounds(Track(ON, ((0.0, 0.0, -1.0), (2.0, 0.0, 0.0)))) == pytest.approx((0.0, 0.0, 2.0, 1.0))
    assert mark_bounds(closed_mark(ON, rect(1, 2, 3, 4), "inner")) == (1.0, 2.0, 3.0, 4.0)


def shape(piece_, name):
    rings = [m for m in piece_.marks if m.layer.name == name]
    return shapely.union_all(
        [(circle(*m.at, m.radius) if isinstance(m, Round) else m.loop).polygon for m in rings]
    )


def test_from_behind_is_the_mirror_image_with_face_b_only():
    part = rich()
    x0, y0, x1, y1 = footprint(part)
    room = (0.0, 0.0, x1 - x0, y1 - y0)
    made = piece_from_behind(part, FromBehind(x1, y0), room)
    front = piece(part, Placement("rich", 1, -x0, -y0, turned=False), room)
    assert {m.layer.name for m in made.marks if m.layer.cut} == {"B_POCKET_D3P00", "B_DRILL_2P20_D5P00"}
    for name in ("B_POCKET_D3P00", "B_DRILL_2P20_D5P00"):
        seen = shapely.affinity.scale(shape(front, name), -1.0, 1.0, origin=(room[2] / 2, 0.0))
        assert shape(made, name).symmetric_difference(seen).area < 1e-6
    outline = made.marks[0]
    assert outline.layer.name == "NOTE_OUTLINE"
    assert outline.loop.area == pytest.approx(part.outline.area, abs=1e-3)
    # the mortise open at the front's right edge runs 10 mm past the outline: seen from behind, on the left
    assert mark_bounds(outline) == pytest.approx((10.0, *room[1:]), abs=1e-6)


def test_from_behind_turns_arcs_of_paths_too():
    seen = FromBehind(10.0, 0.0).path(((0.0, 0.0, 0.5), (4.0, 0.0, 0.0)))
    assert seen == ((10.0, 0.0, -0.5), (6.0, 0.0, 0.0))


def test_through_holes_are_shown_behind_for_register():
    part = plain("p", 50, 40, drills=(Drill((10.0, 5.0), 3.8, None, "clearance", "s"),))
    made = piece_from_behind(part, FromBehind(50.0, 0.0), (0.0, 0.0, 50.0, 40.0))
    assert Round(layer("outline"), (40.0, 5.0), 1.9) in made.marks

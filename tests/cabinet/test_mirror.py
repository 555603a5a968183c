"""A cabinet with its return on the right is the reflection of one with it on the left: by points thrown into both."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from desk.ball.rests import survey
from desk.cabinet.build import build
from desk.design import edit
from desk.design.starting import starting_design

from .space import drawn

LEFT = build(starting_design())


def right_of(turn_targets: bool):
    design = starting_design()
    if turn_targets:
        turned = tuple(msgspec.structs.replace(t, across=-t.across) for t in design.targets)
        design = msgspec.structs.replace(design, targets=turned)
    return build(edit.put_choice(design, "return.side", "right"))


RIGHT = right_of(turn_targets=True)
ACROSS = LEFT.marks.points["right"][1]


def test_parts_and_their_areas_are_the_same():
    assert [p.id for p in RIGHT.parts] == [p.id for p in LEFT.parts]
    for one, other in zip(LEFT.parts, RIGHT.parts, strict=True):
        assert other.area == pytest.approx(one.area, rel=1e-12), one.id
        assert (other.thickness, other.stock, other.show) == (one.thickness, one.stock, one.show)
        assert other.outline.area > 0
        for mine, theirs in zip(one.pockets, other.pockets, strict=True):
            assert theirs.loop.area == pytest.approx(mine.loop.area, rel=1e-12)


def test_every_points_wood_is_reflected():
    random = np.random.default_rng(7)
    for one, other in zip(LEFT.parts, RIGHT.parts, strict=True):
        a, b = drawn(one), drawn(other)
        low, high = a.box()
        points = low + random.random((3000, 3)) * (high - low)
        flipped = points * np.array([1.0, -1.0, 1.0]) + np.array([0.0, ACROSS, 0.0])
        # a point within a chord's height of a face may fall to either side
        sure = a.holds(points, 0.01) | ~a.holds(points, -0.01)
        assert (a.holds(points) == b.holds(flipped))[sure].all(), one.id
        assert a.holds(points).any()


def test_joints_are_reflected_with_their_parts():
    for one, other in zip(LEFT.axis_joints, RIGHT.axis_joints, strict=True):
        x, y, z = one.at
        assert other.at == pytest.approx((x, ACROSS - y, z), abs=1e-9)
        dx, dy, dz = one.direction
        assert other.direction == pytest.approx((dx, -dy, dz), abs=1e-12)
        assert (other.members, other.length) == (one.members, one.length)
    for mine, theirs in zip(LEFT.tab_joints, RIGHT.tab_joints, strict=True):
        assert {mine.side, theirs.side} == {"low", "high"}


def test_marks_are_reflected_and_lengths_stay():
    assert RIGHT.marks.lengths == pytest.approx(LEFT.marks.lengths)
    for key, (x, y, z) in LEFT.marks.points.items():
        assert RIGHT.marks.points[key] == pytest.approx((x, ACROSS - y, z), abs=1e-9), key


def test_targets_stay_where_the_design_has_them():
    """Seen by the player, a target to the left of the middle is to the left on either cabinet."""
    design = edit.put(starting_design(), "targets.5.across", -31.0)
    for side in ("left", "right"):
        cab = build(edit.put_choice(design, "return.side", side))
        board = cab.by_id["board"]
        hole = next(c for c in board.cutouts if c.use == "target hole 5")
        x0, y0, x1, y1 = hole.loop.bounds
        y = board.frame.world((x0 + x1) / 2, (y0 + y1) / 2)[1]
        middle = (cab.marks.points["lane"][1] + cab.marks.points["far"][1]) / 2
        assert y - middle == pytest.approx(-31.0, abs=1e-9)
        face = cab.leg_by_id["face"]
        zone = next(z for z in face.sinks if z.name == "target hole 5")
        assert zone.shape.centroid.x == pytest.approx(-31.0, abs=1e-6)


def test_lettering_reads_from_the_left_on_both():
    """The first stroke's start lies to the left of the last one's, seen by the player (y grows to the right)."""
    for cab in (LEFT, RIGHT):
        header = cab.by_id["header"]
        paths = header.grooves[0].paths
        first, last = (header.frame.world(*paths[k][0][:2])[1] for k in (0, -1))
        assert first < last
    left, right = (sorted_points(cab) for cab in (LEFT, RIGHT))
    middle_left, middle_right = left[:, 1].mean(), right[:, 1].mean()
    assert right[:, 1] - middle_right == pytest.approx(left[:, 1] - middle_left, abs=1e-9)
    assert right[:, [0, 2]] == pytest.approx(left[:, [0, 2]], abs=1e-9)


def sorted_points(cab) -> np.ndarray:
    header = cab.by_id["header"]
    return np.array([header.frame.world(x, y) for path in header.grooves[0].paths for x, y, _ in path])


def test_drawing_planes_keep_the_way_they_are_looked_at():
    for key, frame in LEFT.planes.items():
        other = RIGHT.planes[key]
        assert (other.u, other.v) == (frame.u, frame.v)


def test_a_ball_finds_the_same_places_on_both():
    for one, other in zip(LEFT.legs, RIGHT.legs, strict=True):
        a, b = (survey(leg, LEFT.balls.diameter, 0.01) for leg in (one, other))
        assert b.region.area == pytest.approx(a.region.area, rel=1e-6), one.id
        assert len(a.blocked) == len(b.blocked)
        mine = sorted((round(r.escape, 3), r.kind, r.meant) for r in a.rests)
        theirs = sorted((round(r.escape, 3), r.kind, r.meant) for r in b.rests)
        assert mine == theirs, one.id
        heights = sorted(one.frame.world(*r.at)[2] for r in a.rests)
        assert sorted(other.frame.world(*r.at)[2] for r in b.rests) == pytest.approx(heights, abs=1e-6)

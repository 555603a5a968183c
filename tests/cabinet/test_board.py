"""The carved board: rails, holes and floor against plane geometry, in the board and in space."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from desk.cabinet.board import HORSESHOE_OPENING, RAIL_LAND, VEE_FALL, rail_centre, rail_grip, rail_loop
from desk.cabinet.model import Target

from .designs import FIXED, cabinet, fixed
from .space import drawn

WIDTH = 5.0


def target(kind: str, rail: float = 15.0, hole: float = 20.0) -> Target:
    return Target(1, kind, (40.0, 90.0), hole, rail, 10)  # type: ignore[arg-type]


def test_a_ring_is_a_disc_of_its_outer_radius():
    made = rail_loop(target("ring"), WIDTH)
    assert made is not None
    assert made.area == pytest.approx(math.pi * 20.0**2)


def test_a_horseshoe_is_a_part_of_a_ring_with_round_ends():
    """Sector of the ring over the closed angle, and a half circle of half the width at each end."""
    made = rail_loop(target("horseshoe"), WIDTH)
    assert made is not None
    closed = 2 * math.pi - HORSESHOE_OPENING
    ring = closed / 2 * (20.0**2 - 15.0**2)
    assert made.area == pytest.approx(ring + math.pi * (WIDTH / 2) ** 2, rel=1e-9)
    assert made.simple
    x, y = rail_centre(target("horseshoe"))
    assert made.bounds[1] == pytest.approx(y - 20.0, abs=0.011)
    top = y + 17.5 * math.sin(math.pi / 2 + HORSESHOE_OPENING / 2)
    assert made.bounds[3] == pytest.approx(top + 2.5, abs=0.3)
    assert (made.bounds[0] + made.bounds[2]) / 2 == pytest.approx(x, abs=1e-9)


def test_a_vee_falls_to_the_hole_at_its_angle_on_both_sides():
    made = rail_loop(target("vee", rail=30.0), WIDTH)
    assert made is not None
    assert made.simple
    mirrored = made.mirrored().moved(2 * 40.0, 0.0)
    assert mirrored.polygon.symmetric_difference(made.polygon).area < 0.05
    straight = [(a, b) for a, b in made.edges() if not a[2] and math.dist(a[:2], b[:2]) > 10.0]
    assert len(straight) == 4
    for a, b in straight:
        assert abs((b[1] - a[1]) / (b[0] - a[0])) == pytest.approx(math.tan(VEE_FALL))
    lines = [shapely.LineString([a[:2], b[:2]]) for a, b in straight]
    slopes = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in straight]
    for sign in (1, -1):
        pair = [line for line, slope in zip(lines, slopes, strict=True) if slope * sign > 0]
        assert pair[0].distance(pair[1]) == pytest.approx(WIDTH, abs=1e-6)


@pytest.mark.parametrize("kind", ["ring", "horseshoe", "vee"])
@pytest.mark.parametrize("hole", [14.0, 20.0, 27.0])
def test_wood_is_left_between_a_hole_and_its_rail(kind, hole):
    """The inner edge of the rail keeps the land from the hole's edge at its nearest, and no more."""
    one = target(kind, rail=15.0, hole=hole)
    made = rail_loop(one, WIDTH)
    assert made is not None
    wood = made.polygon
    if kind == "ring":
        inner = shapely.Point(rail_centre(one)).buffer(one.rail, quad_segs=256)
        wood = wood.difference(inner)
    land = wood.distance(shapely.Point(one.at)) - hole / 2
    assert land == pytest.approx(RAIL_LAND, abs=0.02)


@pytest.mark.parametrize("kind", ["ring", "horseshoe", "vee"])
def test_the_grip_stands_off_the_middle_by_the_rails_size(kind):
    """On the inner edge of ring and vee; a horseshoe is open up there, its grip completes the circle."""
    one = target(kind, rail=22.0)
    x, y = rail_grip(one)
    assert x == pytest.approx(40.0 - 22.0)
    made = rail_loop(one, WIDTH)
    assert made is not None
    if kind == "vee":
        # the rail's end is rounded by half its width, so that the corner itself is not reached
        assert made.polygon.distance(shapely.Point(x, y)) < WIDTH / 2
    else:
        assert math.dist((x, y), rail_centre(one)) == pytest.approx(22.0)


def test_a_plain_hole_has_no_rail():
    assert rail_loop(target("plain"), WIDTH) is None
    assert rail_loop(target("ring", rail=0.0), WIDTH) is None


@pytest.mark.parametrize("name", FIXED)
def test_floor_rails_and_holes_in_space(name):
    """Asked of the wood: floor left as thick as wanted, holes open right through, rails as high as wanted."""
    cab, d = cabinet(name), fixed(name)
    board, face = drawn(cab.by_id["board"]), cab.planes["face"]
    floor, rail = d.value("board.floor"), min(d.value("board.rail_height"), cab.marks.lengths["carve"])

    def column(across: float, up: float, depths: np.ndarray) -> np.ndarray:
        return board.holds(np.array([face.world(across, up, depth) for depth in depths]))

    length = cab.marks.lengths["face length"]
    free = (0.45 * cab.marks.lengths["lane width"], 0.97 * length)
    below = np.array([-0.05, 0.05, floor - 0.05, floor + 0.05])
    assert list(column(*free, below)) == [False, True, True, False]
    for one in cab.targets:
        assert not column(*one.at, np.linspace(-5, floor + 1, 30)).any()
        if one.kind != "plain":
            _, y = rail_centre(one)
            foot = y - one.rail - d.value("board.rail_width") / 2 if one.kind != "vee" else None
            if foot is not None:
                assert list(column(one.at[0], foot, np.array([-rail - 0.05, -rail + 0.05, -0.05]))) == [
                    False,
                    True,
                    True,
                ]


@pytest.mark.parametrize("name", FIXED)
def test_every_rim_is_broken_on_the_playing_side(name):
    cab = cabinet(name)
    board = cab.by_id["board"]
    rims = [b for b in board.breaks if b.kind == "chamfer"]
    assert len(rims) == len(cab.targets) == len(board.cutouts)
    assert all(b.face == "A" and b.closed for b in rims)
    assert board.frame.normal[2] > 0
    assert board.frame.normal[0] < 0

"""Ways out of hand-made boxes for balls of known size."""

from __future__ import annotations

import numpy as np
import pytest

from desk.assembly.blocking import directions
from desk.assembly.solids import SLACK, solids
from desk.assembly.wayout import SLIP, Places, in_wood, set_between
from desk.cabinet.model import Cutout
from desk.shapes.loop import circle, polygon_loop, rect
from tests.checks.helpers import plate

WAYS = directions()
BACK, FRONT, RIGHT, LEFT, UP, DOWN = WAYS
FRAME = plate(
    "frame",
    60.0,
    polygon_loop([(0, 0), (90, 0), (90, 90), (0, 90)]),
    60.0,
    cutouts=(Cutout(rect(10, 10, 80, 80), "room"),),
)
FLOOR, LID = plate("floor", 0.0, rect(0, 0, 90, 90)), plate("lid", 72.0, rect(0, 0, 90, 90))
MIDDLE = np.array([[45.0, 30.0, 45.0]])


def shut(parts, points=MIDDLE, radius=10.0, gone=(), ways=WAYS):
    return Places(solids(tuple(parts), ()), np.asarray(points, dtype=float), radius).shut(ways, gone)


def test_a_closed_box_is_shut_until_its_lid_is_off():
    assert shut([FRAME, FLOOR, LID]) == (0,)
    assert shut([FRAME, FLOOR, LID], gone=["lid"]) == ()
    assert shut([FRAME, FLOOR, LID], gone=["lid"], ways=(BACK, UP)) == (0,)
    assert shut([FRAME, FLOOR, LID], gone=["lid", "frame"], ways=(BACK,)) == ()


@pytest.mark.parametrize("spare", [-0.3, 0.3])
def test_a_round_hole_lets_a_ball_through_that_is_smaller(spare):
    """Along the axis; bars are drawn in by the slack and the corridor by the slip."""
    hole = 10.0 - SLACK - SLIP + spare
    lid = plate("lid", 72.0, rect(0, 0, 90, 90), cutouts=(Cutout(circle(45, 45, hole), "hole"),))
    assert shut([FRAME, FLOOR, lid]) == (() if spare > 0 else (0,))


@pytest.mark.parametrize("spare", [-0.3, 0.3])
def test_a_slot_lets_a_ball_through_sideways(spare):
    """Square to the axis: a gap between two plates as high as the ball, its corridor round."""
    gap = 20.0 - 2 * SLACK - 2 * SLIP + spare
    low, high = (
        plate("low", 30 - gap / 2, rect(60, 0, 90, 90)),
        plate("high", 42 + gap / 2, rect(60, 0, 90, 90)),
    )
    assert shut([low, high], ways=(BACK,)) == (() if spare > 0 else (0,))


def test_a_corner_diagonally_ahead_of_a_round_ball_is_passed():
    """A bar's edge 8 mm off in y and 8 in z lies 11.3 mm from the axis: beside a ball of 10, within a square of 10."""
    bar = plate("bar", 50.0, rect(60, 53, 90, 90), thickness=12.0)
    assert shut([bar], ways=(BACK,)) == ()
    assert shut([bar], radius=12.0, ways=(BACK,)) == (0,)


def test_a_slanting_way_is_a_slanting_strip():
    wall = plate("wall", 60.0, rect(70, 40, 80, 90), thickness=60.0)
    down = (0.8, 0.0, -0.6)
    assert shut([wall], ways=(BACK,)) == (0,)
    assert shut([wall], radius=5.0, ways=(down,)) == ()


def test_places_that_stand_in_wood_are_none():
    made = solids((FRAME, FLOOR), ())
    spots = np.array([[45.0, 30.0, 45.0], [5.0, 30.0, 45.0], [18.0, 30.0, 45.0], [45.0, 8.0, 45.0]])
    assert in_wood(made, spots, 10.0).tolist() == [False, True, True, True]


def test_places_are_set_clear_of_what_stands_beside_them():
    made = solids((FLOOR, LID), ())
    at = set_between(made, np.array([[45.0, 3.0, 45.0], [45.0, 57.0, 45.0], [45.0, 20.0, 45.0]]), 10.0)
    assert at[:, 1].tolist() == pytest.approx([10 - SLACK, 50 + SLACK, 20.0])
    wide = set_between(made, MIDDLE, 40.0)
    assert wide[0, 1] == pytest.approx(30.0)
    alone = set_between(solids((FLOOR,), ()), np.array([[45.0, 500.0, 45.0]]), 10.0)
    assert alone[0, 1] == 500.0

"""Fingers at a ball: rooms of known size, the survey of hands, and trays nobody could pick from."""

from __future__ import annotations

import math

import pytest
import shapely
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.checks import fingers
from desk.checks.context import Context
from desk.checks.run import run
from desk.design.edit import put_choice
from desk.shop.supplies import hands
from desk.shop.tables import Own, Tables
from tests.checks.helpers import built, changed

HIGH = {f"silhouette__{k}__z": 300.0 for k in (1, 2, 3)}
FINE = 0.15
"""The search halves 58 mm nine times."""


def readings(cabinet):
    return {d.key: d for d in fingers.fingers(Context(cabinet))}


def pit(*walls):
    """Wood all over with rectangular holes in it."""
    return shapely.box(-500, -500, 500, 500).difference(shapely.union_all([shapely.box(*w) for w in walls]))


@pytest.mark.parametrize("across", [50.0, 60.0, 75.0])
def test_between_two_walls_the_fingers_share_what_the_ball_leaves(across):
    # the workshop's rule: ball + 2 x finger
    found = fingers.pinch(pit((0.0, 0.0, across, 400.0)), shapely.box(0.0, 0.0, across, 400.0), 8.0)
    # along a long slot nothing but its breadth holds them back
    assert found.breadth == pytest.approx(min(across, fingers.THICKEST), abs=FINE)
    narrow = fingers.pinch(pit((0.0, 0.0, across, 17.0)), shapely.box(0.0, 0.0, across, 17.0), 8.0)
    assert narrow.breadth == pytest.approx(min((across - 16.0) / 2, 17.0), abs=FINE)


def test_in_a_round_pit_the_ball_lies_in_the_middle_of_the_two():
    hole = shapely.Point(0, 0).buffer(32.0, quad_segs=64)
    found = fingers.pinch(shapely.box(-99, -99, 99, 99).difference(hole), hole, 10.0)
    assert found.breadth == pytest.approx((64.0 - 20.0) / 2, abs=FINE)
    assert math.hypot(*found.at) < 0.5


def test_a_pit_that_holds_the_ball_alone_lets_no_finger_in():
    hole = shapely.Point(0, 0).buffer(9.5, quad_segs=64)
    found = fingers.pinch(shapely.box(-99, -99, 99, 99).difference(hole), hole, 9.0)
    assert found.breadth == 0.0


def test_fingers_may_stand_slantwise():
    # a cross of two slots, narrow each, along the diagonals of the search
    slot = shapely.affinity.rotate(shapely.box(-40.0, -11.0, 40.0, 11.0), 45.0, origin=(0, 0))
    found = fingers.pinch(shapely.box(-99, -99, 99, 99).difference(slot), slot, 8.0)
    assert found.breadth == pytest.approx(22.0, abs=2 * FINE)
    assert math.degrees(found.way) == pytest.approx(45.0)


def test_a_bay_that_is_closed_by_the_front_stop_keeps_the_fingers_out():
    shut = readings(built(lane__front=20.0))["pinch"].rating
    assert shut.status == "conflict"
    assert shut.needed == 20.0
    assert shut.source.flag == "practice"


def test_high_sides_put_the_ball_deeper():
    low, high = (readings(built(**v))["deep"].rating for v in ({}, HIGH))
    assert high.measured > low.measured + 10
    # FAA Human Factors Design Standard, Appendix B: the 5th of a hundred women, 62 mm
    assert low.needed == 62.0
    assert low.source.flag == "published"


def test_a_small_hand_does_not_reach_what_a_large_one_does():
    small = Tables((Own("hands", "finger-length", values=(("value", 38.0),), note="a child of six"),))
    found = readings(replace(built(**HIGH), tables=small))["deep"].rating
    assert found.status == "conflict"
    assert found.source.flag == "own"
    assert "a child of six" in found.source.text


def test_the_hands_behind_it_are_those_of_the_table():
    # men's 95th and women's 5th of the survey, the ends the check has to serve
    sizes = hands()
    assert sizes["hand-breadth"].value == max(sizes["hand-breadth"].men)
    assert sizes["finger-length"].value == min(sizes["finger-length"].women)


def test_a_tray_no_ball_comes_to_rest_in_cannot_be_judged():
    legs = tuple(
        replace(leg, rests=tuple(z for z in leg.rests if z.name != "pick-up tray")) for leg in built().legs
    )
    (found,) = run(replace(built(), legs=legs), ["fingers"])
    assert found.status == "conflict"
    assert "cannot be checked" in found.title


def test_the_mirror_image_reads_the_same():
    right = build(put_choice(changed(), "return.side", "right"))
    left = {k: d.rating.measured for k, d in readings(built()).items()}
    assert {k: d.rating.measured for k, d in readings(right).items()} == pytest.approx(left, abs=0.2)


def test_what_is_drawn_lies_in_the_tray():
    (ball, one, two) = readings(built())["pinch"].tell().places
    lane, panel = built().marks.points["lane"][1], built().marks.points["panel"][1]
    assert panel < ball.middle[1] < lane + 1
    apart = math.dist(one.middle, two.middle)
    assert apart == pytest.approx(16.4 + readings(built())["pinch"].rating.measured, abs=0.5)

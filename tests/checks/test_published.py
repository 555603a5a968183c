"""Formulas of the checks of the way back against values worked by hand to four figures, in both unit systems.

Rigid-body mechanics of a sphere (textbook); statics of discs between walls.
"""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.checks.context import Context
from desk.checks.legs import waiting
from desk.checks.lip import arrival
from desk.checks.mechanics import arrival_speed, climb_speed, hop_speed, lock_width, rolling_pull
from desk.checks.run import run
from desk.checks.trial import tried
from desk.design.edit import put_choice
from desk.design.starting import starting_design
from desk.shop.materials import ball_material
from tests.checks.helpers import built


@pytest.mark.parametrize(
    ("height", "radius", "speed"), [(1.0, 12.7, 0.1254), (0.05 * 25.4, 0.5 * 25.4, 0.1436)]
)
def test_least_speed_over_a_step(height, radius, speed):
    """sqrt(10 g h / 7) / (1 - 5 h / (7 R)): R 12.7 mm (1/2 in), h 1 mm gives 0.1254 m/s; R 1/2 in, h 0.05 in 0.1436."""
    assert climb_speed(height, radius) == pytest.approx(speed, abs=5e-5)


def test_a_step_as_high_as_the_middle_takes_the_most():
    assert climb_speed(12.7, 12.7) == pytest.approx(climb_speed(20.0, 12.7))
    assert climb_speed(5.0, 12.7) < climb_speed(8.0, 12.7)


def test_acceleration_on_a_slope():
    """(5/7) g (sin a - c cos a): 3 degrees, c 0.005 gives 0.3316 m/s²; without resistance 0.3666."""
    assert rolling_pull(math.radians(3.0), 0.005) == pytest.approx(0.3316, abs=5e-5)
    assert rolling_pull(math.radians(3.0), 0.0) == pytest.approx(0.3666, abs=5e-5)
    assert rolling_pull(math.radians(0.2), 0.005) == 0.0


@pytest.mark.parametrize(
    ("drop", "run", "speed"),
    [(10.0, 0.0, 0.3743), (0.0, 500.0, 0.5759), (10.0, 500.0, 0.6868), (-5.0, 500.0, 0.5759)],
)
def test_speed_after_a_drop_and_a_run(drop, run, speed):
    """sqrt((10/7) g 0.010) = 0.3743; sqrt(2 x 0.33162 x 0.5) = 0.5759; both: sqrt(0.1401 + 0.3316) = 0.6868 m/s."""
    assert arrival_speed(drop, run, math.radians(3.0), 0.005) == pytest.approx(speed, abs=1e-4)


def test_a_drop_alone_keeps_the_energy_of_rolling():
    """m g h = m v² / 2 + (2/5) m r² (v / r)² / 2."""
    speed = arrival_speed(25.4, 0.0, 0.0, 0.005)
    assert speed**2 / 2 + 0.4 * speed**2 / 2 == pytest.approx(9.80665 * 0.0254)


@pytest.mark.parametrize("side", ["left", "right"])
def test_the_arrival_is_that_of_rolling_down_the_channel(side):
    """From rest against the far panel: v² = 2 (5/7) g (sin a - c cos a) s, c the middle of glass on lacquered wood."""
    design = put_choice(starting_design(), "return.side", side)
    cabinet, v = build(design), design.value
    leg, ctx = cabinet.leg_by_id["channel"], Context(cabinet)
    rest = waiting(ctx, leg, 0)
    came = arrival(ctx, leg, rest, None)
    back, lip = cabinet.marks.points["channel back"], cabinet.marks.points["lip rear"]
    slope = math.radians(v("return.slope"))
    run_mm = (back[0] - 8.0 - rest.at[0]) / math.cos(slope)
    assert lip[0] < rest.at[0] < lip[0] + 16.0
    assert came.run == pytest.approx(run_mm, rel=2e-3)
    middle = sum(ball_material("glass").rolling) / 2
    squared = 2 * 5 / 7 * 9.80665 * (math.sin(slope) - middle * math.cos(slope)) * run_mm / 1000
    assert came.speed == pytest.approx(math.sqrt(squared), rel=5e-3)
    assert came.thrown is None


def test_thrown_balls_come_as_fast_as_the_closed_form_says():
    """The motion, event by event, against the closed form of the channel alone."""
    cabinet = built()
    leg, ctx = cabinet.leg_by_id["channel"], Context(cabinet)
    came = arrival(ctx, leg, waiting(ctx, leg, 0), tried(ctx))
    assert came.thrown == pytest.approx(arrival_speed(0.0, came.run, came.angle, 0.006), rel=0.03)


@pytest.mark.parametrize(
    ("height", "radius", "speed"), [(1.0, 12.7, 0.1254), (0.05 * 25.4, 0.5 * 25.4, 0.1436)]
)
def test_a_lip_whose_corner_is_that_of_a_step_is_the_step(height, radius, speed):
    """cos d = 1 - h / R: the slope the ball meets is the tangent at the step's edge; figures of the step above."""
    assert hop_speed(height, math.acos(1 - height / radius)) == pytest.approx(speed, abs=5e-5)


def test_a_lip_without_a_corner_is_climbed_on_what_rolling_stores():
    """7/10 m v² = m g h. Past cos d = -2/5 nothing is left after the corner, and nothing goes over."""
    assert math.isfinite(hop_speed(1.0, math.radians(113)))
    assert hop_speed(1.0, math.radians(114)) == math.inf
    assert 0.7 * hop_speed(10.0, 0.0) ** 2 == pytest.approx(9.80665 * 0.010)


@pytest.mark.parametrize(
    ("diameter", "friction", "width"),
    [(16.0, 0.2, 30.769), (12.7, 0.4, 21.897), (10.0, 0.0, 20.0), (10.0, 1.0, 10.0)],
)
def test_width_from_which_two_abreast_lock(diameter, friction, width):
    """2 d / (1 + mu²), in mm: 32 / 1.04, 25.4 / 1.16; none without friction below two abreast."""
    assert lock_width(diameter, friction) == pytest.approx(width, abs=5e-4)


def test_the_lock_is_that_of_equal_pushes_on_two_discs():
    """A disc held by a wall and the other disc locks when the angle between the two normals is at most twice the
    friction angle: with the centres w - d apart across the channel, cos(2 atan mu) = (w - d) / d.
    """
    for mu in (0.1, 0.25, 0.4):
        width = 10.0 * (1 + math.cos(2 * math.atan(mu)))
        assert lock_width(10.0, mu) == pytest.approx(width)


def test_a_channel_wider_than_the_lock_is_a_conflict():
    cabinet = built()
    leg = cabinet.leg_by_id["channel"]
    lock = lock_width(cabinet.balls.smallest, ball_material("glass").friction[1])
    wide = replace(cabinet, legs=tuple(replace(x, depth=lock + 0.2) if x is leg else x for x in cabinet.legs))
    (found,) = [f for f in run(wide, ["channel-width"]) if f.status == "conflict"]
    assert found.measured == pytest.approx(-0.2)
    assert found.title == "Two balls abreast in the channel"


def test_the_slope_a_ball_starts_on():
    """tan a = c: with c 0.010 and a reserve of 1.5, atan 0.015 = 0.8594 degrees."""
    (found,) = run(built(), ["channel-slope"])
    assert found.needed == pytest.approx(math.degrees(math.atan(1.5 * 0.010)))
    assert found.needed == pytest.approx(0.8594, abs=5e-5)
    assert found.measured == pytest.approx(1.8, abs=1e-6)


def test_room_beside_the_ball_in_the_channel():
    """Stack 17.85, film 0.075 on either side, largest ball 16.40: 1.30 mm."""
    (found,) = run(built(), ["channel-width"])
    assert found.because.startswith("17.85 stack - 0.15 film - 16.40 = 1.30 mm")

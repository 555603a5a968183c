"""Formulas of the checks of the way back against values worked by hand to four figures, in both unit systems.

Rigid-body mechanics of a sphere (textbook); statics of discs between walls.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from desk.checks.lip import climb_speed
from desk.checks.run import run
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


def test_two_abreast_lock_from_a_share_of_the_ball():
    """w / d = 2 / (1 + mu²): mu 0.2 gives 1.923; the cabinet's glass balls at mu 0.40 give 1.724."""
    assert pytest.approx(1.923, abs=5e-4) == 2 / (1 + 0.2**2)
    cabinet = built()
    leg = cabinet.leg_by_id["channel"]
    lock = cabinet.balls.smallest * 2 / (1 + ball_material("glass").friction[1] ** 2)
    assert lock / cabinet.balls.smallest == pytest.approx(1.724, abs=5e-4)
    wide = replace(cabinet, legs=tuple(replace(x, depth=lock + 0.2) if x is leg else x for x in cabinet.legs))
    (found,) = [f for f in run(wide, ["channel-width"]) if f.status == "conflict"]
    assert found.measured == pytest.approx(-0.2)
    assert found.title == "Two balls abreast in the channel"


def test_the_slope_a_ball_starts_on():
    """tan a = c: with c 0.010 and a reserve of 1.5, atan 0.015 = 0.8594 degrees."""
    (found,) = run(built(), ["channel-slope"])
    assert found.needed == pytest.approx(math.degrees(math.atan(1.5 * 0.010)))
    assert found.needed == pytest.approx(0.8594, abs=5e-5)
    assert found.measured == pytest.approx(2.5, abs=1e-6)


def test_room_beside_the_ball_in_the_channel():
    """Stack 17.85, film 0.075 on either side, largest ball 16.40: 1.30 mm."""
    (found,) = run(built(), ["channel-width"])
    assert found.because.startswith("17.85 stack - 0.15 film - 16.40 = 1.30 mm")

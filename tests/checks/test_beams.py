"""The closed forms of strength against handbook tables, worked examples and other ways to the same number."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from desk.checks import beams

LBF, INCH = 4.4482216152605, 25.4
PSI = LBF / INCH**2


def deflected(moment, span, ei, points=20001):
    """Sag at midspan by integrating the curvature twice; a way that knows no table."""
    x = np.linspace(0.0, span, points)
    step = x[1] - x[0]
    curvature = moment(x) / ei
    slope = np.concatenate(([0.0], np.cumsum((curvature[1:] + curvature[:-1]) / 2) * step))
    sag = np.concatenate(([0.0], np.cumsum((slope[1:] + slope[:-1]) / 2) * step))
    sag -= sag[-1] * x / span
    return float(-sag[points // 2])


def test_sags_are_those_of_wood_handbook_table_9_1():
    # k_b 1/48 and 5/384 with the whole load W, Table 9-1 (FPL-GTR-190)
    assert beams.sag_point(100.0, 500.0, 10_000.0, 2000.0) == pytest.approx(100 * 500**3 / 48 / 2e7)
    assert beams.sag_spread(0.2, 500.0, 10_000.0, 2000.0) == pytest.approx(5 / 384 * 100 * 500**3 / 2e7)


def test_sags_agree_with_curvature_integrated_twice():
    span, ei = 143.0, 6800.0 * 8400.0
    peak = deflected(lambda x: 50.0 * np.minimum(x, span - x), span, ei)
    assert beams.sag_point(100.0, span, 6800.0, 8400.0) == pytest.approx(peak, rel=1e-6)
    even = deflected(lambda x: 0.3 * x * (span - x) / 2, span, ei)
    assert beams.sag_spread(0.3, span, 6800.0, 8400.0) == pytest.approx(even, rel=1e-6)


def test_a_plank_under_75_kg():
    # a textbook exercise: L 3 m, section 4.5 x 8.9 cm on edge, fir at 10 GPa, 75 kg in the middle, g 9.81: 15.65 mm
    moment = beams.second_moment(45.0, 89.0)
    assert moment == pytest.approx(2.6436e6, rel=1e-4)
    assert beams.sag_point(75 * 9.81, 3000.0, 10_000.0, moment) == pytest.approx(15.65, abs=0.01)
    # on the flat it sags more by the square of the sides' ratio
    flat = beams.sag_point(75 * 9.81, 3000.0, 10_000.0, beams.second_moment(89.0, 45.0))
    assert flat / beams.sag_point(75 * 9.81, 3000.0, 10_000.0, moment) == pytest.approx((89 / 45) ** 2)


def test_the_forms_hold_in_inch_pounds_too():
    mm = beams.sag_point(22.0 * LBF, 6.0 * INCH, 1.5e6 * PSI, beams.second_moment(6 * INCH, 0.375 * INCH))
    inch = beams.sag_point(22.0, 6.0, 1.5e6, beams.second_moment(6.0, 0.375))
    assert mm == pytest.approx(inch * INCH)
    stress = beams.stress_point(22.0, 6.0, beams.section_modulus(6.0, 0.375))
    metric = beams.stress_point(22.0 * LBF, 6.0 * INCH, beams.section_modulus(6 * INCH, 0.375 * INCH))
    assert metric == pytest.approx(stress * PSI)
    assert stress == pytest.approx(1.5 * 22 * 6 / (6 * 0.375**2))  # 3 F L / (2 b t²), the form of ASTM D143


def test_strength_at_an_angle_is_hankinsons():
    # at 45 degrees with n = 2 the inverse is the mean of the inverses
    assert beams.at_angle(100.0, 5.0, math.pi / 4) == pytest.approx(2 / (1 / 100 + 1 / 5))
    assert beams.at_angle(100.0, 5.0, 0.0) == pytest.approx(100.0)
    assert beams.at_angle(100.0, 5.0, math.pi / 2) == pytest.approx(5.0)
    # Wood Handbook Fig. 5-4: with Q/P 0.1 and n 2 about 0.31 of P is left at 30 degrees
    assert beams.at_angle(1.0, 0.1, math.radians(30)) == pytest.approx(0.3077, abs=1e-4)


def plate_root(poisson=0.3, most=20.0, count=40_000):
    """Root moment and deflection under the load of an endless cantilever plate of height 1 and stiffness 1, a force
    of 1 on its free edge: a Fourier integral over waves along the edge; for each the plate equation is solved exactly.
    """
    a = np.arange(1, count + 1) * most / count
    c, s = np.cosh(a), np.sinh(a)
    # w = p (sinh ay - ay cosh ay) + q ay sinh ay vanishes with its slope at the root; values at y = 1
    shapes = (
        (s - a * c, -a * a * s, -a * a * (s + a * c), -(a**3) * (2 * c + a * s)),
        (a * s, a * (s + a * c), a * a * (2 * c + a * s), a**3 * (3 * s + a * c)),
    )
    (wp, mp, vp), (wq, mq, vq) = (
        (w, w2 - poisson * a * a * w, w3 - (2 - poisson) * a * a * w1) for w, w1, w2, w3 in shapes
    )
    # no moment along the free edge and a shear of 1 for each wave
    p, q = mq / (mp * vq - mq * vp), -mp / (mp * vq - mq * vp)
    step = most / count / math.pi
    return abs(float((2 * a * a * q).sum() * step)), abs(float((p * wp + q * wq).sum() * step))


def test_the_root_of_a_long_cantilever_plate_carries_half_the_force_a_width_of_one():
    root, sag = plate_root()
    assert root * beams.ROOT_SPREAD == pytest.approx(1.0, rel=0.01)  # 0.509 in the tables
    # and it bends no more than the strip of that width does, the tables' 0.168 F a²/D against 1/(3 x 1.96)
    assert sag == pytest.approx(1 / (3 * beams.ROOT_SPREAD), rel=0.03)


def test_a_wall_at_its_root_is_a_cantilever():
    assert beams.root_stress(40.0, 8.0, 20.0, 5.0) == pytest.approx(6 * 40 * 8 / (20 * 25))
    # Wood Handbook Table 9-1: k_b 1/3
    moment = beams.second_moment(20.0, 5.0)
    assert 40.0 / beams.rail_stiffness(600.0, 8.0, 20.0, 5.0) == pytest.approx(40 * 8**3 / (3 * 600 * moment))


def test_spread_follows_the_fourth_root_of_the_stiffnesses():
    assert beams.spread_share(16.0, 1.0) == pytest.approx(2.0)
    assert beams.spread_share(0.8, 0.8) == 1.0


def force_of(mass, speed, spring, contact):
    return float(beams.knock_force(mass, np.array([speed]), np.array([spring]), contact)[0])


def rammed(mass, speed, spring, contact):
    """Largest force of the same knock from Newton's law in time: ball, contact, a light wall on its spring."""
    k, big = spring * 1e3, contact * 1e3**1.5

    def squeeze(x):  # how much of x the contact takes: K d^1.5 = k (x - d)
        low, high = 0.0, x
        for _ in range(60):
            d = (low + high) / 2
            low, high = (low, d) if big * d**1.5 > k * (x - d) else (d, high)
        return low

    def rate(_, state):
        x, v = state
        d = squeeze(max(x, 0.0))
        return (v, -big * d**1.5 / mass)

    stop = lambda t, state: state[1]  # noqa: E731
    stop.terminal = True
    done = solve_ivp(rate, (0.0, 0.1), (0.0, speed), events=stop, rtol=1e-9, atol=1e-12)
    return float(big * squeeze(done.y[0, -1]) ** 1.5)


@pytest.mark.parametrize(
    ("mass", "speed", "spring"), [(0.0054, 1.0, 500.0), (0.0084, 0.7, 2000.0), (0.0058, 1.3, 90.0)]
)
def test_the_force_of_a_knock_agrees_with_newtons_law_in_time(mass, speed, spring):
    contact = beams.contact_stiffness(600.0, 8.0)
    assert force_of(mass, speed, spring, contact) == pytest.approx(
        rammed(mass, speed, spring, contact), rel=1e-3
    )


def test_a_knock_on_a_very_stiff_wall_is_hertzs():
    # Goldsmith, Impact (1960): F = K^(2/5) (5/4 m v²)^(3/5), here in N, mm and kg with v in m/s (from memory)
    contact = beams.contact_stiffness(800.0, 8.0)
    hertz = contact**0.4 * (1.25 * 0.0054 * 1.2**2 * 1e3) ** 0.6
    assert force_of(0.0054, 1.2, 1e12, contact) == pytest.approx(hertz, rel=1e-3)


def test_a_knock_on_a_soft_wall_is_a_springs():
    # v sqrt(k m), k in N/m
    assert force_of(0.0054, 1.2, 0.1, 1e9) == pytest.approx(1.2 * math.sqrt(0.1e3 * 0.0054), rel=1e-3)

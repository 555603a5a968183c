"""Closed forms of a rolling ball, in plain numbers: rigid-body mechanics of a solid sphere, statics of two discs.

Angles in radians, heights and radii in mm, runs in mm, speeds in m/s. ``lever`` is the lever arm of rolling resistance
over the ball's radius.
"""

from __future__ import annotations

import math

GRAVITY = 9.80665
"""Standard gravity, m/s²."""


def rolling_pull(angle: float, lever: float) -> float:
    """Acceleration, m/s², of a sphere that rolls down a slope: (5/7) g (sin a - c cos a), never below zero."""
    return max(5 / 7 * GRAVITY * (math.sin(angle) - lever * math.cos(angle)), 0.0)


def arrival_speed(drop: float, run: float, angle: float, lever: float) -> float:
    """Speed after a height ``drop`` turned fully into rolling and then a ``run`` down a slope, from rest.

    v² = (10/7) g h + 2 a s, with a from ``rolling_pull``. The first term is energy kept: m g h = (7/10) m v².
    """
    from_height = 10 / 7 * GRAVITY * max(drop, 0.0) / 1000
    return math.sqrt(from_height + 2 * rolling_pull(angle, lever) * run / 1000)


def climb_speed(height: float, radius: float) -> float:
    """Least speed that takes a rolling sphere over a step: sqrt(10 g h / 7) / (1 - 5 h / (7 r)).

    Angular momentum about the step's edge, with plastic contact there: the ball neither springs back nor slips. A step
    higher than the ball's middle counts as one as high.
    """
    h = min(height, radius)
    return math.sqrt(10 * GRAVITY * h / 1000 / 7) / (1 - 5 * h / (7 * radius))


def lock_width(diameter: float, friction: float) -> float:
    """Width from which on two balls abreast lock between parallel walls, mm: 2 d / (1 + mu²)."""
    return 2 * diameter / (1 + friction**2)

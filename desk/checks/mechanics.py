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


def kink_share(turn: float) -> float:
    """Share of its speed a rolling sphere keeps where its way turns up by ``turn`` at once: (2 + 5 cos d) / 7.

    Angular momentum about the new line of contact, with plastic contact there and no slip.
    """
    return (2 + 5 * math.cos(turn)) / 7


def hop_speed(height: float, turn: float) -> float:
    """Least speed that takes a rolling sphere up a slope that turns up by ``turn`` at once and rises by ``height``.

    sqrt(10 g h / 7) / ((2 + 5 cos d) / 7): what is left after a plastic corner has to lift the ball. With
    cos d = 1 - h / r, where the corner is the edge of a step, it is ``climb_speed``. A ball that springs back from the
    slope loses more on its way: the least speed is that of the plastic corner, whatever the restitution. Infinite where
    nothing is left after the corner, from cos d = -2/5 on.
    """
    share = kink_share(turn)
    return math.sqrt(10 * GRAVITY * max(height, 0.0) / 1000 / 7) / share if share > 0 else math.inf


def leave_speed(radius: float, slope: float) -> float:
    """Speed from which a ball that comes up a slope flies off its end at once: v² = g r cos(slope).

    Slower ones roll round the end first: there the ball's middle would go on a circle of its radius, and gravity
    bends its flight no less than that.
    """
    return math.sqrt(GRAVITY * radius / 1000 * max(math.cos(slope), 0.0))


def capture_speed(hole: float, radius: float, tilt: float, up: float) -> float:
    """Speed up to which a ball that runs over the middle of a hole falls into it cleanly, m/s; 0 when it never does.

    ``hole`` is the hole's radius, mm. The ball has to fall by its own radius before it touches the far rim, on a board
    tilted by ``tilt``, where so much of its way goes ``up`` the board, 1 straight up and -1 straight down:
    v = x / t + up g sin(tilt) t / 2, x = 2 hole - radius and t = sqrt(2 radius / (g cos(tilt))).
    """
    way, drop = (2 * hole - radius) / 1000, radius / 1000
    time = math.sqrt(2 * drop / (GRAVITY * math.cos(tilt)))
    helped = GRAVITY * math.sin(tilt) * time / 2
    return max(way / time + up * helped, 0.0)


def roll_in_speed(run: float, tilt: float, lever: float) -> float:
    """Speed of a sphere that has rolled ``run`` mm down a board tilted by ``tilt`` from rest, m/s."""
    return math.sqrt(2 * rolling_pull(tilt, lever) * max(run, 0.0) / 1000)

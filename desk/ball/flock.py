"""Balls in one plane as rows of arrays, and the moves of one of them as a drawing wants them.

Lengths in mm, times in s, speeds in mm/s.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from desk.ball.edges import Edges, Reals, Whole

FLY, ROLL, SLIDE, DONE = 0, 1, 2, 3
BEAT = 0.004
"""Flights are drawn with a point every so many seconds."""
DRAWN, MOST_DRAWN = 0.02, 100
"""A way is drawn with a point at least so often, s, but with no more points on a cell than that."""


@dataclass
class Flock:
    """Balls in one plane, one row each. ``speed`` and ``spin`` count in the way of travel of the cell it is on."""

    x: Reals
    y: Reals
    vx: Reals
    vy: Reals
    w: Reals
    time: Reals
    mode: Whole = field(default_factory=lambda: np.zeros(0, dtype=np.intp))
    cell: Whole = field(default_factory=lambda: np.zeros(0, dtype=np.intp))
    left: Reals = field(default_factory=lambda: np.zeros(0))
    """What is left of the cell ahead of the ball, mm."""
    speed: Reals = field(default_factory=lambda: np.zeros(0))
    spin: Reals = field(default_factory=lambda: np.zeros(0))
    end: Whole = field(default_factory=lambda: np.zeros(0, dtype=np.intp))
    wall: Reals = field(default_factory=lambda: np.zeros(0))
    """Hardest blow so far, mm/s towards the edge that was hit."""
    over: Whole = field(default_factory=lambda: np.zeros(0, dtype=np.intp))
    """The edge whose crest the ball has just flown over, -1 for none."""

    def __post_init__(self) -> None:
        n = len(self.x)
        for name in ("mode", "cell", "end"):
            setattr(self, name, np.zeros(n, dtype=np.intp))
        for name in ("left", "speed", "spin", "wall"):
            setattr(self, name, np.zeros(n))
        self.over = np.full(n, -1, dtype=np.intp)


def flock(x: Reals, y: Reals, vx: Reals, vy: Reals, w: Reals, time: Reals) -> Flock:
    """Balls in flight at these centres (mm), speeds (mm/s), surface speeds of spin (mm/s) and times (s)."""
    return Flock(*(np.array(v, dtype=float) for v in (x, y, vx, vy, w, time)))


@dataclass(frozen=True)
class Move:
    """One move of one ball, for drawing: in flight from a state, or along cells with a speed at each corner."""

    mode: int
    time: tuple[float, ...]
    x: tuple[float, ...]
    y: tuple[float, ...]
    vx: float
    vy: float


Log = Callable[[Move], None]


def flight(edges: Edges, b: Flock, k: int, lasts: float) -> Move:
    """The flight of ball ``k`` from where it is, so many seconds long."""
    s = np.linspace(0.0, lasts, int(np.clip(np.ceil(lasts / BEAT), 1, 200)) + 1)
    g = edges.gravity
    x, y = b.x[k] + s * (b.vx[k] + g[0] / 2 * s), b.y[k] + s * (b.vy[k] + g[1] / 2 * s)
    time = b.time[k] + s
    return Move(
        FLY, tuple(time.tolist()), tuple(x.tolist()), tuple(y.tolist()), float(b.vx[k]), float(b.vy[k])
    )


def run_along(
    edges: Edges, b: Flock, k: int, cells: tuple[Whole, Reals, Reals], spent: Reals, go: Reals
) -> Move:
    """The run of ball ``k`` along cells, given by edge, way and length, with the time and the distance on each."""
    edge, way, length = cells
    begin = np.where(way > 0, 0.0, length)
    begin[0] = length[0] - b.left[k] if way[0] > 0 else b.left[k]
    time, far, at = _timed(float(b.speed[k]), spent, go)
    points = edges.start[edge[at]] + (begin[at] + way[at] * far)[:, None] * edges.along[edge[at]]
    time, x, y = b.time[k] + time, points[:, 0], points[:, 1]
    v = way[0] * b.speed[k] * edges.along[edge[0]]
    return Move(ROLL, tuple(time.tolist()), tuple(x.tolist()), tuple(y.tolist()), float(v[0]), float(v[1]))


def _timed(speed: float, spent: Reals, go: Reals) -> tuple[Reals, Reals, Whole]:
    """Times since the start and ways on the cell for each cell in turn, close enough together to be drawn, with the
    cell each belongs to. On a cell the speed changes evenly, so its ends follow from way and time.
    """
    time, far, at, now = [np.zeros(1)], [np.zeros(1)], [np.zeros(1, dtype=np.intp)], 0.0
    for k, (dt, way) in enumerate(zip(spent.tolist(), go.tolist(), strict=True)):
        n = min(max(math.ceil(dt / DRAWN), 1), MOST_DRAWN)
        f = np.arange(1, n + 1) / n
        last = max(2 * way / dt - speed, 0.0) if dt > 0 else speed
        time.append(now + f * dt)
        far.append(
            np.minimum((speed * f + (last - speed) / 2 * f * f) * dt, way) if n > 1 else np.array([way])
        )
        at.append(np.full(n, k, dtype=np.intp))
        now, speed = now + dt, last
    return np.concatenate(time), np.concatenate(far), np.concatenate(at)

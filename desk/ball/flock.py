"""Balls in one plane, and the moves of one of them as a drawing wants them.

Lengths in mm, times in s, speeds in mm/s.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Any

import numpy as np

from desk.ball.edges import Reals, Whole
from desk.ball.numbers import Number
from desk.shapes.loop import Point

FLY, ROLL, SLIDE, DONE = 0, 1, 2, 3
BEAT = 0.004
"""Flights are drawn with a point every so many seconds."""
DRAWN, MOST_DRAWN = 0.02, 100
"""A way is drawn with a point at least so often, s, but with no more points on a cell than that."""


@dataclass(slots=True)
class Flock:
    """Balls in one plane, one row each; or one ball alone, plain numbers in the place of columns.

    ``speed`` and ``spin`` count in the way of travel of the cell a ball is on, ``left`` (mm) is what is left of it
    ahead. ``edge`` and ``at`` (mm along) tell where a ball last met the outline, ``over`` is the edge whose crest it
    has just flown over, -1 for none.
    """

    x: Number
    y: Number
    vx: Number
    vy: Number
    w: Number
    time: Number
    mode: Number
    cell: Number
    left: Number
    speed: Number
    spin: Number
    edge: Number
    at: Number
    over: Number
    end: Number

    def columns(self) -> tuple[Number, ...]:
        """All columns in their order."""
        return _columns(self)

    def take(self, k: Whole) -> Flock:
        """Some of the balls, as copies."""
        return Flock(*[column[k] for column in _columns(self)])

    def one(self, k: int) -> Flock:
        """One of the balls in plain numbers."""
        return Flock(*[column[k].item() for column in _columns(self)])

    def put(self, k: Whole | int, some: Flock) -> None:
        """What became of balls taken out, written into the columns."""
        for column, values in zip(_columns(self), _columns(some), strict=True):
            column[k] = values

    def change(self, k: Whole, some: Flock, before: tuple[Number, ...]) -> None:
        """The same with columns made anew, of those alone that are no longer what they were ``before``."""
        for name, column, old, new in zip(NAMES, _columns(self), before, _columns(some), strict=True):
            if new is not old:
                changed = column.copy()
                changed[k] = new
                setattr(self, name, changed)


NAMES = tuple(f.name for f in fields(Flock))
_columns: Callable[[Flock], tuple[Number, ...]] = attrgetter(*NAMES)


def flock(x: Reals, y: Reals, vx: Reals, vy: Reals, w: Reals, time: Reals) -> Flock:
    """Balls in flight at these centres (mm), speeds (mm/s), surface speeds of spin (mm/s) and times (s)."""
    n = len(x)
    x, y, vx, vy, w, time = (np.array(v, dtype=float) for v in (x, y, vx, vy, w, time))
    left, speed, spin, at = (np.zeros(n) for _ in range(4))
    mode, cell, edge, end = (np.zeros(n, dtype=np.intp) for _ in range(4))
    return Flock(x, y, vx, vy, w, time, mode, cell, left, speed, spin, edge, at, edge - 1, end)


@dataclass(frozen=True, eq=False)
class Move:
    """One move of one ball, for drawing: in flight from a state, or along cells with a speed at each corner."""

    mode: int
    time: list[float]
    x: list[float]
    y: list[float]
    vx: float
    vy: float


Log = Callable[[Move], None]


def flight(gravity: Point, b: Flock, lasts: float) -> Move:
    """The flight of one ball from where it is, so many seconds long."""
    n = min(max(math.ceil(lasts / BEAT), 1), 200)
    s = np.arange(n + 1) * (lasts / n)
    s[-1] = lasts
    gx, gy = gravity
    x, y = b.x + s * (b.vx + gx / 2 * s), b.y + s * (b.vy + gy / 2 * s)
    return Move(FLY, (b.time + s).tolist(), x.tolist(), y.tolist(), b.vx, b.vy)


def run_along(side: Any, cell: Any, b: Flock, spent: list[float], go: list[float]) -> Move:
    """The run of one ball from its cell on, with the time and the distance on each; ``side`` and ``cell`` are the
    outline's lists."""
    c0, way = b.cell, cell.way[b.cell]
    k, now, speed = cell.edge[c0], 0.0, b.speed
    u = cell.length[c0] - b.left if way > 0 else b.left
    time, x, y = [b.time], [side.x[k] + u * side.tx[k]], [side.y[k] + u * side.ty[k]]
    for c, (dt, far) in enumerate(zip(spent, go, strict=True), c0):
        k, way = cell.edge[c], cell.way[c]
        x0, y0, tx, ty = side.x[k], side.y[k], side.tx[k], side.ty[k]
        if c > c0:
            u = 0.0 if way > 0 else cell.length[c]
        last = max(2 * far / dt - speed, 0.0) if dt > 0 else speed
        for t, gone in _spread(dt, far, speed, last):
            time.append(b.time + (now + t))
            x.append(x0 + (u + way * gone) * tx)
            y.append(y0 + (u + way * gone) * ty)
        now, speed = now + dt, last
    v = cell.way[c0] * b.speed
    return Move(ROLL, time, x, y, v * side.tx[cell.edge[c0]], v * side.ty[cell.edge[c0]])


def _spread(dt: float, far: float, speed: float, last: float) -> Iterator[tuple[float, float]]:
    """Times and ways since the start of a cell, close enough together to be drawn: on a cell the speed changes
    evenly."""
    n = min(math.ceil(dt / DRAWN), MOST_DRAWN)
    for f in (j / n for j in range(1, n)):
        yield f * dt, min((speed * f + (last - speed) / 2 * f * f) * dt, far)
    yield dt, far

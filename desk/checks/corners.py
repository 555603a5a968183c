"""Closed forms for what offsetting does at the corners of a loop, so that most shapes need no second look.

A loop runs counter-clockwise; the turn at a vertex is positive at corners that stand out, negative at inside
corners. Angles in radians, lengths in mm.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.shapes.loop import SAME, Loop, Point, Vertex


class Turns(NamedTuple):
    """Turn at each vertex of a loop's chords, the loop's perimeter and area, and its arcs as (radius, sweep)."""

    at: NDArray[np.float64]
    perimeter: float
    area: float
    arcs: tuple[tuple[float, float], ...]


@lru_cache(maxsize=2048)
def turns(loop: Loop) -> Turns:
    """The turns of a loop; vertices that repeat within rounding turn by nothing."""
    coords = loop.coords
    ring = np.concatenate((coords, coords[:1]))
    step = ring[1:] - ring[:-1]
    before = np.concatenate((step[-1:], step[:-1]))
    cross = before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0]
    along = (before * step).sum(axis=1)
    area = float((ring[:-1, 0] * ring[1:, 1] - ring[1:, 0] * ring[:-1, 1]).sum() / 2)
    arcs = []
    for start, end in loop.edges():
        if start[2]:
            sweep = 4 * math.atan(start[2])
            arcs.append((math.dist(start[:2], end[:2]) / (2 * math.sin(abs(sweep) / 2)), sweep))
    return Turns(np.arctan2(cross, along), float(np.hypot(step[:, 0], step[:, 1]).sum()), area, tuple(arcs))


class Move(NamedTuple):
    """A rigid move: a point less ``origin``, then turned by the angle with this cosine and sine."""

    origin: Point
    cosine: float
    sine: float

    def __call__(self, point: Point) -> Point:
        """The point moved."""
        x, y = point[0] - self.origin[0], point[1] - self.origin[1]
        return self.cosine * x + self.sine * y, self.cosine * y - self.sine * x


@lru_cache(maxsize=2048)
def own_place(loop: Loop) -> tuple[Loop, Move]:
    """The loop moved and turned to a place of its own, rounded, so that all mortises of one size are one value; and
    the move that takes it there. It is turned by its first edge that has a length.
    """
    x0, y0, _ = loop.points[0]
    x1, y1 = next(((x, y) for x, y, _ in loop.points if (x, y) != (x0, y0)), (x0 + 1.0, y0))
    length = math.hypot(x1 - x0, y1 - y0)
    move = Move((x0, y0), (x1 - x0) / length, (y1 - y0) / length)
    points = ((*move((x, y)), b) for x, y, b in loop.points)
    return _kept(Loop(tuple((round(x, 5), round(y, 5), round(b, 9)) for x, y, b in points))), move


def placed(loop: Loop) -> shapely.Polygon:
    """The loop as a polygon, its chords taken from the equal loop in its own place (within 2e-5 mm)."""
    shape, move = own_place(loop)
    turn = np.array(((move.cosine, move.sine), (-move.sine, move.cosine)))
    return shapely.polygons(shape.coords @ turn + move.origin)


@lru_cache(maxsize=512)
def _kept(loop: Loop) -> Loop:
    """The first of all equal loops, with all that was worked out on it."""
    return loop


def gentle(loop: Loop, radius: float) -> bool:
    """Whether a bit of ``radius`` run round the outside leaves a loop just as drawn.

    So it is where no inside corner or arc is tighter than the bit and all of them together turn by less than half
    a turn, for then no gap in the outline can close up again.
    """
    found = turns(loop)
    inside = np.maximum(-found.at, 0.0)
    tight = any(sweep < 0 and q < radius for q, sweep in found.arcs)
    return not tight and float(inside.max(initial=0.0)) < _CHORD_TURN and float(inside.sum()) < np.pi


_CHORD_TURN = math.radians(10)
"""Two chords of one arc, or an arc and the line it runs into, turn by less than this."""


def fillets(loop: Loop, radius: float, inside: bool) -> tuple[float, float]:
    """Area of wood a bit of ``radius`` leaves in a loop's corners, mm², and the most along any bisector, mm.

    ``inside``: the bit runs inside the loop and rounds the corners that stand out; otherwise it runs outside and
    fills the inside corners. Each corner of turn t keeps r² (tan(t / 2) - t / 2), and r (1 / cos(t / 2) - 1)
    along its bisector. Exact where corners are far enough apart for the bit.
    """
    turn = turns(loop).at if inside else -turns(loop).at
    half = np.clip(turn, 0.0, np.pi - 1e-3) / 2
    area = radius * radius * (np.tan(half) - half).sum()
    return float(area), float(radius * (1 / np.cos(half.max(initial=0.0)) - 1))


def tight_floors(loop: Loop, radius: float, inside: bool) -> NDArray[np.int_]:
    """Straight edges, by the chord they are, between two corners that a bit of ``radius`` cannot both reach: the
    floors of notches, or the ends of slots, that are narrower than the bit.

    Corners of turns t and u need r (tan(t / 2) + tan(u / 2)) between them; where they turn by less than three
    quarters of a half turn together they are one blunt corner.
    """
    turn = turns(loop).at if inside else -turns(loop).at
    half = np.clip(turn, 0.0, np.pi - 1e-3) / 2
    onward = np.concatenate((half[1:], half[:1]))
    coords = loop.coords
    step = np.concatenate((coords[1:], coords[:1])) - coords
    short = np.hypot(step[:, 0], step[:, 1]) < radius * (np.tan(half) + np.tan(onward)) - SAME
    sharp = (half > _CHORD_TURN / 2) & (onward > _CHORD_TURN / 2) & (half + onward > 3 * np.pi / 8)
    return np.nonzero(short & sharp)[0]


def tightest_arc(loop: Loop) -> float:
    """Radius of the loop's tightest arc that stands out, mm; inf without one."""
    return min((radius for radius, sweep in turns(loop).arcs if sweep > 0), default=math.inf)


def eroded_area(loop: Loop, by: float, quad_segments: int) -> float:
    """Area of a loop with ``by`` taken off all round, where no edge vanishes and nothing falls apart by it.

    A - P b + b² (sum of tan(t / 2) at corners that stand out - sum of sectors |t| / 2 at inside corners), and for
    arcs of radius q < b, which shrink to a corner, (tan(s / 2) - s / 2) (b - q)² more. The sectors are counted as
    the chords that an offset with ``quad_segments`` a quarter turn makes of them.
    """
    found = turns(loop)
    out = np.tan(np.clip(found.at, 0.0, np.pi - 2e-3) / 2).sum()
    inside = np.maximum(-found.at, 0.0)
    chords = np.maximum(np.floor(inside / (np.pi / 2 / quad_segments) + 0.5), 1.0)
    sectors = (chords * np.sin(inside / chords)).sum() / 2
    shrunk = sum(
        (math.tan(sweep / 2) - sweep / 2) * (by - radius) ** 2
        for radius, sweep in found.arcs
        if 0 < sweep < math.pi - 1e-3 and radius < by
    )
    return found.area - found.perimeter * by + by * by * float(out - sectors) + shrunk


def without_reliefs(loop: Loop) -> tuple[Loop, float]:
    """The loop with sharp inside corners where a bit's reliefs were, and half the largest relief's radius.

    A relief is an inside arc of more than a quarter turn between straight edges; in corners of 60 degrees or more it
    bites past a wall by no more than half its radius.
    """
    points = loop.points
    n = len(points)
    deep = [
        k
        for k in range(n)
        if points[k][2] < -_QUARTER and not points[k - 1][2] and not points[(k + 1) % n][2]
    ]
    if not deep:
        return loop, 0.0
    bite, gone, out = 0.0, {(k + 1) % n for k in deep}, []
    for k, (x, y, bulge) in enumerate(points):
        if k in gone:
            continue
        corner = (
            _meeting(points[k - 1], points[k], points[(k + 1) % n], points[(k + 2) % n])
            if k in deep
            else None
        )
        if corner is None:
            out.append((x, y, bulge))
            continue
        end = points[(k + 1) % n]
        radius = math.dist((x, y), end[:2]) / (2 * math.sin(2 * math.atan(-bulge)))
        bite = max(bite, radius / 2)
        out.append((*corner, 0.0))
    return Loop(tuple(out)), bite


_QUARTER = math.tan(math.pi / 8)
"""Bulge of an arc of a quarter turn."""


def _meeting(a: Vertex, b: Vertex, c: Vertex, d: Vertex) -> tuple[float, float] | None:
    """Where the line from a to b meets the line from c to d; None where they are parallel."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    cross = ux * vy - uy * vx
    if abs(cross) < SAME:
        return None
    t = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / cross
    return a[0] + t * ux, a[1] + t * uy

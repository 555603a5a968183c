"""The edge of a ball's centre region: straight edges in rings with the region on the left hand, and the ways out.

Lengths in mm, accelerations in mm/s².
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.ball.rests import pieces
from desk.shapes.loop import Point

Reals = NDArray[np.float64]
Whole = NDArray[np.intp]
Flags = NDArray[np.bool_]
Zones = Sequence[tuple[str, shapely.Polygon]]
"""Areas by name."""

GRAVITY = 9806.65
"""Standard gravity, mm/s²."""
TIDY = 2e-3
"""Corners of the region's edge are dropped when it moves by less than this, mm."""
WHOLE = 9
"""Digits coordinates are rounded to first: GEOS simplifies for ever where they are too small for floating point."""
KINK_TURN, KINK_SAG = math.radians(8.0), 0.05
"""A valley in the edge is a real kink when it turns by more than the first, or when arcs chorded as finely as ours
could not turn so much: sagitta of its shorter side, mm. Smaller turns are chords of a curve."""
NEAR = 1e-3
"""A point this near to the room's border or a zone's edge, mm, is on it."""
BORDER = "border"
"""Name of the room's own border among the ends."""


@dataclass(frozen=True)
class Gate:
    """A line from ``start`` to ``end``; a ball that crosses it to the left of that way has left the leg here."""

    name: str
    start: Point
    end: Point


@dataclass(frozen=True, eq=False)
class Edges:
    """Edges of the region, then gates; ``start``, ``along`` and ``inward`` are (edges + gates, 2).

    ``after`` and ``before`` index the neighbours on the ring; ``turn`` is the angle from an edge to the one after it,
    positive for a valley. ``drive`` and ``press`` are gravity along and against an edge, mm/s². ``ends``: index into
    ``names`` of what the edge leads to (-1: it is wood).
    """

    radius: float
    gravity: Reals
    start: Reals
    along: Reals
    inward: Reals
    length: Reals
    count: int
    after: Whole
    before: Whole
    turn: Reals
    kink: Flags
    drive: Reals
    press: Reals
    ends: Whole
    names: tuple[str, ...]
    region: shapely.Geometry
    """The region whose edge it is."""

    def holds(self, x: float, y: float) -> bool:
        """Whether a ball's middle can be at a point."""
        return bool(shapely.intersects_xy(self.region, x, y))


def edges_of(
    region: shapely.Geometry, room: shapely.Polygon, radius: float, gravity: Point, zones: Zones = ()
) -> Edges:
    """The edge of a region; ``zones`` are the ways out by name, ``gravity`` is in mm/s²."""
    names = tuple(dict.fromkeys([BORDER, *(n for n, _ in zones)]))
    rings = [_cut(ring, zones) for piece in pieces(region) for ring in _rings(piece)]
    rings = [r for r in rings if len(r) > 2]
    after, before = _neighbours([len(r) for r in rings])
    corners = np.concatenate(rings) if rings else np.zeros((0, 2))
    gates, count = list(_gates(zones)), len(corners)
    start = np.concatenate([corners, np.array([g.start for g in gates], dtype=float).reshape(-1, 2)])
    end = np.concatenate([corners[after], np.array([g.end for g in gates], dtype=float).reshape(-1, 2)])
    step = end - start
    length = np.hypot(step[:, 0], step[:, 1])
    along = step / length[:, None]
    inward = np.column_stack((-along[:, 1], along[:, 0]))
    inward[
        count:
    ] *= -1  # a gate is crossed to its left: from its right side it looks like a wall facing right
    a, b, g = along[:count], along[after], np.array(gravity, dtype=float)
    turn = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1))
    short = np.minimum(length[:count], length[after])
    kink = (turn > KINK_TURN) | ((turn > 0) & (short * turn / 8 > KINK_SAG))
    leads = np.array([names.index(x.name) for x in gates], dtype=np.intp)
    ends = np.concatenate([_ends((start[:count] + end[:count]) / 2, room, zones, names), leads])
    drive, press = a @ g, -(inward[:count] @ g)
    return Edges(
        radius, g, start, along, inward, length, count, after, before, turn, kink, drive, press, ends, names, region
    )  # fmt: skip


def _neighbours(sizes: list[int]) -> tuple[Whole, Whole]:
    """Index of the corner after and before each, for rings of these sizes one behind the other."""
    after, before, first = np.zeros(sum(sizes), dtype=np.intp), np.zeros(sum(sizes), dtype=np.intp), 0
    for size in sizes:
        k = np.arange(first, first + size)
        after[first : first + size], before[first : first + size] = np.roll(k, -1), np.roll(k, 1)
        first += size
    return after, before


def _rings(piece: shapely.Polygon) -> Iterator[Reals]:
    tidy = shapely.transform(piece, lambda c: np.round(c, WHOLE)).simplify(TIDY)
    if not isinstance(tidy, shapely.Polygon) or tidy.is_empty:
        tidy = piece
    for ring, ccw in ((tidy.exterior, True), *((r, False) for r in tidy.interiors)):
        coords = shapely.get_coordinates(ring)[:-1]
        yield coords if shapely.is_ccw(ring) == ccw else coords[::-1]


def _cut(ring: Reals, zones: Zones) -> Reals:
    """The ring with further corners where it crosses the edge of a zone."""
    line = shapely.LinearRing(ring)
    borders = shapely.union_all([z.exterior for _, z in zones])
    met = shapely.get_coordinates(line.intersection(borders))
    if not len(met):
        return ring
    closed = np.concatenate([ring, ring[:1]])
    reach = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = shapely.line_locate_point(line, shapely.points(met))
    at = at[np.abs(at[:, None] - reach[None]).min(axis=1) > NEAR]
    at = np.unique(np.round(at, 6))
    more = np.column_stack((np.interp(at, reach, closed[:, 0]), np.interp(at, reach, closed[:, 1])))
    order = np.argsort(np.concatenate([reach[:-1], at]), kind="stable")
    return np.concatenate([ring, more])[order]


def _ends(middle: Reals, room: shapely.Polygon, zones: Zones, names: tuple[str, ...]) -> Whole:
    """What each edge leads to, by its middle: a sink, the room's border or nothing."""
    found = np.full(len(middle), -1, dtype=np.intp)
    points = shapely.points(middle)
    found[shapely.distance(room.exterior, points) < NEAR] = names.index(BORDER)
    for name, shape in zones:
        found[shapely.contains_xy(shape.buffer(NEAR), middle[:, 0], middle[:, 1])] = names.index(name)
    return found


def _gates(zones: Zones) -> Iterator[Gate]:
    for name, shape in zones:
        coords = shapely.get_coordinates(shape.exterior)
        if not shapely.is_ccw(shape.exterior):
            coords = coords[::-1]
        for a, b in zip(coords[:-1].tolist(), coords[1:].tolist(), strict=True):
            yield Gate(name, (a[0], a[1]), (b[0], b[1]))

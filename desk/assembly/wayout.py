"""Whether a ball, or a stick, gets from a place inside the cabinet straight out of it.

The ball sweeps a corridor as wide as itself along one of six directions. For each place and direction the set of parts
in the way is found once; what is left when some of them are off is then a matter of sets. Across the bars' axis the
corridor is square, so it may meet what a round one would pass; a place is never called open that is not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.assembly.blocking import AWAY, directions
from desk.assembly.solids import Solids
from desk.assembly.taking import union
from desk.shapes.frame import Vec

THIN = 0.5
"""Radius of the feeler that finds the room to either side of a place, mm."""
Points = NDArray[np.float64]


@dataclass(frozen=True)
class Corridors:
    """``ways[d][k]`` is the set of parts in the way from place k along direction d."""

    ways: dict[Vec, tuple[int, ...]]

    def out(self, gone: int) -> tuple[Vec | None, ...]:
        """For each place a direction that is free once the parts ``gone`` are off, None where there is none."""
        count = len(next(iter(self.ways.values())))
        return tuple(
            next((d for d, met in self.ways.items() if not met[k] & ~gone), None) for k in range(count)
        )


def corridors(s: Solids, points: Points, radius: float) -> Corridors:
    """What is in the way from each world point, rows of ``points`` (n, 3), for a ball of ``radius`` mm."""
    at = points[:, s.axis]
    over = _over(s, points, radius)
    beside = (s.low[None] < at[:, None] + radius) & (s.high[None] > at[:, None] - radius)
    ways: dict[Vec, tuple[int, ...]] = {}
    for direction in directions():
        axis = next(k for k in range(3) if direction[k])
        if axis == s.axis:
            ahead = s.high[None] > at[:, None] if direction[axis] > 0 else s.low[None] < at[:, None]
            ways[direction] = _owners(s, over & ahead)
        else:
            ways[direction] = _owners(s, _strips(s, points, radius, direction, beside))
    return Corridors(ways)


def _over(s: Solids, points: Points, radius: float) -> NDArray[np.bool_]:
    """Which bars' figures come within the radius of each place, seen along the axis."""
    plane = np.delete(points, s.axis, axis=1)
    boxes = shapely.bounds(s.shapes)
    near: NDArray[np.bool_] = (boxes[None, :, :2] < plane[:, None] + radius).all(axis=2)
    near &= (boxes[None, :, 2:] > plane[:, None] - radius).all(axis=2)
    first, second = np.nonzero(near)
    near[first, second] = shapely.dwithin(s.shapes[second], shapely.points(plane)[first], radius)
    return near


def _strips(
    s: Solids, points: Points, radius: float, direction: Vec, beside: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Which bars a strip from each place meets, as wide as the ball, among those beside it."""
    plane = np.delete(points, s.axis, axis=1)
    way = np.delete(np.array(direction), s.axis)
    low, high = plane - radius * (way == 0), plane + radius * (way == 0)
    low, high = np.where(way < 0, plane - AWAY, low), np.where(way > 0, plane + AWAY, high)
    boxes = shapely.bounds(s.shapes)
    hit = (
        beside
        & (boxes[None, :, :2] < high[:, None]).all(axis=2)
        & (boxes[None, :, 2:] > low[:, None]).all(axis=2)
    )
    first, second = np.nonzero(hit)
    strips = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    hit[first, second] = shapely.intersects(s.shapes[second], strips[first])
    return hit


def _owners(s: Solids, met: NDArray[np.bool_]) -> tuple[int, ...]:
    return tuple(union(1 << int(k) for k in np.unique(s.owner[row])) for row in met)


def set_between(s: Solids, points: Points, radius: float) -> Points:
    """The places moved along the bars' axis just so far that a ball there keeps clear of what stands beside it.

    A place with less room than the ball needs is put in the middle of it.
    """
    over = _over(s, points, THIN)
    at = points[:, s.axis]
    low = np.where(over & (s.low[None] <= at[:, None]), s.high[None], -np.inf).max(axis=1)
    high = np.where(over & (s.high[None] >= at[:, None]), s.low[None], np.inf).min(axis=1)
    floor, ceiling = low + radius, high - radius
    middle = np.where(np.isfinite(low + high), (low + high) / 2, at)
    moved = points.copy()
    moved[:, s.axis] = np.where(floor > ceiling, middle, np.clip(at, floor, ceiling))
    return moved

"""Whether a ball, or a stick, gets from a place inside the cabinet straight out of it.

It sweeps a round corridor of its own width along a direction. For each place and direction the set of parts in the way
is found once; what is left when some of them are off is then a matter of sets. A place is never called open that is
not; ways that bend are not looked for. Lengths in mm; places are rows of arrays (n, 3), world coordinates.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.assembly.blocking import AWAY
from desk.assembly.solids import Solids
from desk.shapes.frame import Vec

THIN = 0.5
"""Radius of the feeler that finds the room to either side of a place."""
SLIP = 0.05
"""A ball slides along what it touches: its corridor is this much thinner than the ball."""
_ALONG = 1 - 1e-9
Points = NDArray[np.float64]
Marks = NDArray[np.bool_]


class Places:
    """Places a ball of ``radius`` can be at, and what is in its way from there."""

    def __init__(self, s: Solids, points: Points, radius: float) -> None:
        self.points = points
        self._s, self._radius = s, radius - SLIP
        self._plane = np.delete(points, s.axis, axis=1)
        level = points[:, s.axis, None]
        off = np.maximum(np.maximum(s.low - level, level - s.high), 0.0)
        self._half = np.sqrt(np.maximum(self._radius**2 - off**2, 0.0))
        self._met: dict[Vec, Marks] = {}

    def met(self, way: Vec) -> Marks:
        """Which parts are in the way from each place, (places, parts), along the bars' axis or square to it."""
        if way not in self._met:
            along = abs(way[self._s.axis]) > _ALONG
            marks = self._over(way[self._s.axis]) if along else self._strips(way)
            self._met[way] = marks @ self._s.owned
        return self._met[way]

    def shut(self, ways: Iterable[Vec], gone: Iterable[str]) -> tuple[int, ...]:
        """The places from which none of the directions is free once the parts ``gone``, by id, are off."""
        off = set(gone)
        there = np.array([p.id not in off for p in self._s.parts])
        left = np.ones(len(self.points), dtype=bool)
        for way in ways:
            if not left.any():
                break
            left &= (self.met(way) & there).any(axis=1)
        return tuple(int(k) for k in np.nonzero(left)[0])

    def _over(self, sign: float) -> Marks:
        """Bars ahead along the axis within the radius of each place."""
        near = _near(self._s, self._plane - self._radius, self._plane + self._radius)
        level = self._s.axis
        at = self.points[:, level, None]
        near &= self._s.high > at if sign > 0 else self._s.low < at
        first, second = np.nonzero(near)
        hit = shapely.dwithin(self._s.shapes[second], shapely.points(self._plane)[first], self._radius)
        near[first, second] = hit
        return near

    def _strips(self, way: Vec) -> Marks:
        """Bars that the corridor square to the axis meets: a strip, as wide as the ball is at the bar's height."""
        step = np.delete(np.array(way), self._s.axis)
        side = np.array((-step[1], step[0]))
        ends = self._plane + step * AWAY
        reach = self._radius * np.abs(side)
        near = _near(self._s, np.minimum(self._plane, ends) - reach, np.maximum(self._plane, ends) + reach)
        near &= self._half > 0
        first, second = np.nonzero(near)
        wide = self._half[first, second, None] * side
        start, end = self._plane[first], ends[first]
        strips = shapely.polygons(np.stack((start - wide, end - wide, end + wide, start + wide), axis=1))
        near[first, second] = shapely.intersects(self._s.shapes[second], strips)
        return near


def _near(s: Solids, low: Points, high: Points) -> Marks:
    """Which bars' boxes meet the box of each place, (places, bars)."""
    boxes = s.boxes[None]
    marks = (boxes[:, :, :2] < high[:, None]) & (boxes[:, :, 2:] > low[:, None])
    near: Marks = marks[:, :, 0] & marks[:, :, 1]
    return near


def in_wood(s: Solids, points: Points, radius: float) -> Marks:
    """Which places are none: a ball of ``radius`` there would stand in some part."""
    level = points[:, s.axis, None]
    off = np.maximum(np.maximum(s.low - level, level - s.high), 0.0)
    half = np.sqrt(np.maximum(radius**2 - off**2, 0.0))
    plane = np.delete(points, s.axis, axis=1)
    inside = _near(s, plane - radius, plane + radius) & (half > 0)
    first, second = np.nonzero(inside)
    hit = shapely.dwithin(s.shapes[second], shapely.points(plane)[first], half[first, second])
    inside[first, second] = hit
    none: Marks = np.any(inside, axis=1)
    return none


def set_between(s: Solids, points: Points, radius: float) -> Points:
    """The places moved along the bars' axis just so far that a ball there keeps clear of what stands beside it.

    A place with less room than the ball needs is put in the middle of it.
    """
    at, plane = points[:, s.axis], np.delete(points, s.axis, axis=1)
    over = _near(s, plane - THIN, plane + THIN)
    first, second = np.nonzero(over)
    over[first, second] = shapely.dwithin(s.shapes[second], shapely.points(plane)[first], THIN)
    middle = (s.low + s.high) / 2
    low = np.where(over & (middle <= at[:, None]), s.high, -AWAY).max(axis=1)
    high = np.where(over & (middle > at[:, None]), s.low, AWAY).min(axis=1)
    moved = points.copy()
    tight = high - low < 2 * radius
    moved[:, s.axis] = np.where(tight, (low + high) / 2, np.clip(at, low + radius, high - radius))
    return moved

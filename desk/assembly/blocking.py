"""What stands in a part's way when it is pushed straight out of the cabinet along one of six directions.

A part is blocked by another when the space it sweeps, moved from its place to infinity, meets the other one. Sweeps
are exact on the bars of ``solids``. Sets of parts are whole numbers, bit k for part k.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.assembly.solids import Solids
from desk.shapes.frame import Vec

AWAY = 4e3
"""Farther than any cabinet reaches, mm: a sweep over this length counts as one without end."""
_HULL = 1 + 1e-9
Index = NDArray[np.int_]


def directions() -> tuple[Vec, ...]:
    """The six ways along the world's axes: back, front, right, left, up, down."""
    return ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1))


@dataclass(frozen=True)
class Blocking:
    """``ways[d][k]`` is the set of parts that stand in the way of part k along direction d."""

    directions: tuple[Vec, ...]
    ways: tuple[tuple[int, ...], ...]
    together: tuple[tuple[int, int], ...]
    """Pairs of parts that stand in the same place as drawn."""


@lru_cache(maxsize=8)
def blocking(s: Solids) -> Blocking:
    """Who blocks whom, for all parts and directions."""
    n = len(s.parts)
    table = {d: [0] * n for d in directions()}
    touching: set[tuple[int, int]] = set()
    for a, b in _pairs(_stacked(s)):
        _note(s, table, touching, int(a), int(b))
    for way, a, b in _swept(s):
        table[way][s.owner[a]] |= 1 << int(s.owner[b])
        back = (-way[0], -way[1], -way[2])
        table[back][s.owner[b]] |= 1 << int(s.owner[a])
    return Blocking(directions(), tuple(tuple(table[d]) for d in directions()), tuple(sorted(touching)))


def _pairs(found: tuple[Index, Index]) -> Iterator[tuple[int, int]]:
    return zip(*found, strict=True)


def _stacked(s: Solids) -> tuple[Index, Index]:
    """Bars of different parts whose figures overlap: one lies over the other along the axis."""
    tree = shapely.STRtree(s.shapes)
    first, second = tree.query(s.shapes, predicate="intersects")
    keep = s.owner[first] < s.owner[second]
    return first[keep], second[keep]


def _note(s: Solids, table: dict[Vec, list[int]], touching: set[tuple[int, int]], a: int, b: int) -> None:
    """Enter two bars whose figures overlap: the upper one keeps the lower from rising, and the other way round."""
    i, j = int(s.owner[a]), int(s.owner[b])
    up: Vec = (float(s.axis == 0), float(s.axis == 1), float(s.axis == 2))
    down = (-up[0], -up[1], -up[2])
    if s.low[a] >= s.high[b]:
        table[down][i] |= 1 << j
        table[up][j] |= 1 << i
    elif s.low[b] >= s.high[a]:
        table[up][i] |= 1 << j
        table[down][j] |= 1 << i
    else:
        touching.add((i, j))
        for rows in table.values():
            rows[i] |= 1 << j
            rows[j] |= 1 << i


def _swept(s: Solids) -> Iterator[tuple[Vec, int, int]]:
    """(direction, bar that moves, bar it meets) for moves square to the axis, each pair of bars taken once."""
    boxes = s.boxes
    beside = (s.low[:, None] < s.high[None]) & (s.low[None] < s.high[:, None])
    beside &= s.owner[:, None] < s.owner[None]
    count = shapely.get_num_coordinates(s.shapes)
    area, hull = shapely.area(s.shapes), shapely.area(shapely.convex_hull(s.shapes))
    convex = hull <= area * _HULL + 1e-6
    cost = count + 1000 * ~convex
    for k, axis in enumerate(a for a in range(3) if a != s.axis):
        across = 1 - k
        meet = beside & (boxes[:, None, across] < boxes[None, :, across + 2])
        meet &= boxes[None, :, across] < boxes[:, None, across + 2]
        first, second = np.nonzero(meet)
        swap = cost[second] < cost[first]
        mover, other = np.where(swap, second, first), np.where(swap, first, second)
        for sign in (1, -1):
            way: Vec = tuple(float(sign) if a == axis else 0.0 for a in range(3))  # type: ignore[assignment]
            edge = (k + 2, k) if sign > 0 else (k, k + 2)
            ahead = sign * (boxes[other, edge[0]] - boxes[mover, edge[1]]) > 0
            for a, b in _met(s, mover[ahead], other[ahead], (k, sign), convex):
                yield way, a, b


def _met(
    s: Solids, mover: Index, other: Index, way: tuple[int, int], convex: NDArray[np.bool_]
) -> Iterator[tuple[int, int]]:
    """Those pairs in which the first bar, moved along the way, meets the second."""
    smooth = convex[mover]
    for a in np.unique(mover[~smooth]):
        quads = _edge_sweeps(s.shapes[a], way)
        for b in other[(mover == a) & ~smooth]:
            if bool(shapely.intersects(s.shapes[b], quads).any()):
                yield int(a), int(b)
    mover, other = mover[smooth], other[smooth]
    if not len(mover):
        return
    bars, place = np.unique(mover, return_inverse=True)
    swept = np.array([_hull_sweep(shape, way) for shape in s.shapes[bars]], dtype=object)
    hit = shapely.intersects(s.shapes[other], swept[place])
    yield from zip(mover[hit].tolist(), other[hit].tolist(), strict=True)


def _hull_sweep(shape: shapely.Polygon, way: tuple[int, int]) -> shapely.Geometry:
    """The space a convex figure sweeps."""
    coords = shapely.get_coordinates(shape)
    moved = coords.copy()
    moved[:, way[0]] += way[1] * AWAY
    return shapely.convex_hull(shapely.multipoints(np.concatenate((coords, moved))))


def _edge_sweeps(shape: shapely.Polygon, way: tuple[int, int]) -> NDArray[np.object_]:
    """The figure and the parallelograms its edges sweep; together they are the space it sweeps."""
    quads: list[NDArray[np.float64]] = []
    for ring in (shape.exterior, *shape.interiors):
        coords = shapely.get_coordinates(ring)
        a, b = coords[:-1], coords[1:]
        shift = np.zeros(2)
        shift[way[0]] = way[1] * AWAY
        across = np.abs((b - a)[:, 1 - way[0]]) > 1e-9
        quads.append(np.stack((a, b, b + shift, a + shift, a), axis=1)[across])
    return np.append(shapely.polygons(np.concatenate(quads)), shape)

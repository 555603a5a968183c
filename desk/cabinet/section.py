"""Cuts through parts: a plane y = const gives figures in world (x, z), a plane x = const in world (y, z).

Parts that lie in the plane give their outline as cut, less the pockets the plane runs through; parts across it give
their thickness along the line of the cut, less pockets and openings there.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import chain, pairwise
from typing import Literal

import numpy as np
import shapely

from desk.cabinet.ascut import face_as_cut, finished, pocket_as_cut
from desk.cabinet.model import Part, Shop
from desk.shapes.loop import Point

Axis = Literal["x", "y"]
EMPTY = shapely.Polygon()
_EDGE = 1e-6
_LEAN = 1e-3
"""A plate across whose thickness the plane moves less than this along it, mm, counts as upright."""


def _inside(cuts: list[float], y: float) -> bool:
    return sum(1 for c in cuts if c < y) % 2 == 1


def profile(part: Part, along: int, at: float) -> list[tuple[float, float, float]]:
    """Stretches of wood on the line ``coordinate[along] = at``: (from, to, depth of the face below face A), mm."""
    body = part.outline.crossings(along, at)
    holes = [cuts for c in part.cutouts if (cuts := c.loop.crossings(along, at))]
    pockets = [
        (p.depth, cuts, [i.crossings(along, at) for i in p.islands])
        for p in part.pockets
        if p.face == "A" and (cuts := p.loop.crossings(along, at))
    ]
    marks = sorted(
        {
            *body,
            *(y for h in holes for y in h),
            *(y for _, o, i in pockets for y in (*o, *chain.from_iterable(i))),
        }
    )
    out: list[tuple[float, float, float]] = []
    for y0, y1 in pairwise(marks):
        mid = (y0 + y1) / 2
        if y1 - y0 < _EDGE or not _inside(body, mid) or any(_inside(h, mid) for h in holes):
            continue
        depth = max(
            (
                d
                for d, loop, islands in pockets
                if _inside(loop, mid) and not any(_inside(i, mid) for i in islands)
            ),
            default=0.0,
        )
        if depth >= part.thickness:
            continue
        if out and abs(out[-1][1] - y0) < _EDGE and abs(out[-1][2] - depth) < _EDGE:
            out[-1] = (out[-1][0], y1, depth)
        else:
            out.append((y0, y1, depth))
    return out


@lru_cache(maxsize=4096)
def section(part: Part, shop: Shop, axis: Axis, at: float) -> shapely.Geometry:
    """The part cut by the plane ``axis = at``, as cut, without lacquer; empty where the plane misses it."""
    if part.normal_axis == axis:
        return _lengthwise(part, shop, axis, at)
    index = 0 if axis == "x" else 1
    out_of_plane = part.frame.u[index]
    if abs(out_of_plane) > 1 - 1e-9:
        x = part.frame.local(_on(part.frame.origin, index, at))[0]
        return _stack(part, axis, [(y0, y1, d, x) for y0, y1, d in profile(part, 0, x)])
    if abs(part.frame.v[index]) > 1e-6:
        return _across(part, shop, axis, at)
    return EMPTY


@lru_cache(maxsize=4096)
def finished_section(part: Part, shop: Shop, axis: Axis, at: float) -> shapely.Geometry:
    """The part cut by the plane, as cut and with its lacquer on."""
    shape = section(part, shop, axis, at)
    return shape if shape.is_empty else finished(shape, shop.film)


@lru_cache(maxsize=512)
def finished_wall(part: Part, shop: Shop, axis: Axis, at: float) -> shapely.Geometry:
    """The same for a part whose pockets are filled by the tabs glued in them."""
    return finished(section(part.without_pockets, shop, axis, at), shop.film)


def _on(origin: tuple[float, float, float], index: int, at: float) -> tuple[float, float, float]:
    moved = list(origin)
    moved[index] = at
    return (moved[0], moved[1], moved[2])


def _flat(point: tuple[float, float, float], axis: Axis) -> Point:
    return (point[0], point[2]) if axis == "y" else (point[1], point[2])


def _lengthwise(part: Part, shop: Shop, axis: Axis, at: float) -> shapely.Geometry:
    """The plane lies in the part: its outline, less pockets deeper than the plane."""
    index = 0 if axis == "x" else 1
    depth = part.frame.local(_on(part.frame.origin, index, at))[2]
    if not -_EDGE <= depth <= part.thickness + _EDGE:
        return EMPTY
    radius = shop.bit(shop.pocket_bit).diameter / 2
    shape = face_as_cut(part, shop)
    for pocket in part.pockets:
        if pocket.depth > depth:
            shape = shape.difference(pocket_as_cut(pocket, radius))
    f = part.frame
    o, u, v = _flat(f.origin, axis), _flat(f.u, axis), _flat(f.v, axis)
    return shapely.transform(
        shape, lambda c: np.column_stack((o[0] + c @ (u[0], v[0]), o[1] + c @ (u[1], v[1])))
    )


def _stack(part: Part, axis: Axis, runs: list[tuple[float, float, float, float]]) -> shapely.Geometry:
    """Stretches along local y turned into plates of the part's thickness."""
    pieces = []
    for y0, y1, depth, x in runs:
        corners = ((y0, depth), (y1, depth), (y1, part.thickness), (y0, part.thickness))
        pieces.append(shapely.Polygon([_flat(part.frame.world(x, y, d), axis) for y, d in corners]))
    if not pieces:
        return EMPTY
    return pieces[0] if len(pieces) == 1 else shapely.union_all(pieces)


def _across(part: Part, shop: Shop, axis: Axis, at: float) -> shapely.Geometry:
    """The plane crosses local y: stretches along local x between the two faces."""
    f, index = part.frame, 0 if axis == "x" else 1
    y = (at - f.origin[index]) / f.v[index]
    deep = y + part.thickness * f.normal[index] / f.v[index]
    if abs(deep - y) > _LEAN:
        return _slanting(part, shop, axis, (y, deep))
    pieces = []
    for x0, x1, depth in profile(part, 1, (y + deep) / 2):
        corners = ((x0, depth), (x1, depth), (x1, part.thickness), (x0, part.thickness))
        pieces.append(shapely.Polygon([_flat(f.world(x, y, d), axis) for x, d in corners]))
    if not pieces:
        return EMPTY
    return pieces[0] if len(pieces) == 1 else shapely.union_all(pieces)


def _slanting(part: Part, shop: Shop, axis: Axis, run: Point) -> shapely.Geometry:
    """The plane slants through a tilted plate, from local y ``run[0]`` at face A to ``run[1]`` at face B.

    On the plane depth goes with local y, so the cut is the strip of the face between the two, less what each
    pocket takes of it down to its own depth, seen in the plane.
    """
    f, (start, end) = part.frame, run
    x0, _, x1, _ = part.outline.bounds
    wood = face_as_cut(part, shop).intersection(shapely.box(x0, min(run), x1, max(run)))
    radius = shop.bit(shop.pocket_bit).diameter / 2
    for pocket in (p for p in part.pockets if p.face == "A"):
        floor = start + (end - start) * pocket.depth / part.thickness
        reach = shapely.box(x0, min(start, floor), x1, max(start, floor))
        wood = wood.difference(pocket_as_cut(pocket, radius).intersection(reach))
    slope = part.thickness / (end - start)
    o = _flat(f.world(0.0, 0.0, -start * slope), axis)
    u, v, n = _flat(f.u, axis), _flat(f.v, axis), _flat(f.normal, axis)
    climb = (v[0] - slope * n[0], v[1] - slope * n[1])
    shape = shapely.transform(
        wood, lambda c: np.column_stack((o[0] + c @ (u[0], climb[0]), o[1] + c @ (u[1], climb[1])))
    )
    return (
        shape if shape.is_valid else shape.buffer(0)
    )  # a hair's breadth of wood folds over when it is turned

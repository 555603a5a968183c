"""Necks: where a shape is so narrow that it falls apart, or loses a limb, when a little is taken off all round."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely

from desk.checks.corners import eroded_area, without_reliefs
from desk.checks.home import outline_cut
from desk.shapes.loop import Loop, Point

LIMB = 4.0
"""A piece lost that is longer than this many times what was taken off is a limb, not the tip of a corner: a corner
of 28 degrees loses just that."""
TIP = 32.0
"""A sharper corner loses its tip even when this many times less is taken off; a limb does not."""
STEPS = 9
"""Halvings of the limit in the search for a neck's width: within 1/500 of it."""
AGREE = 0.05
"""The area left and its closed form differ by no more than this, mm², where nothing is lost."""
_QUAD_SEGMENTS = 16


class Neck(NamedTuple):
    """A narrow place: its width in mm and a ring about it."""

    width: float
    ring: tuple[Point, ...]


@lru_cache(maxsize=1024)
def neck_of(loop: Loop, radius: float, limit: float) -> Neck | None:
    """The narrowest place of an outline cut with a bit of ``radius``, if it is narrower than ``limit`` mm."""
    plain, bite = without_reliefs(loop)
    by = limit / 2 + bite
    left = shapely.buffer(plain.polygon, -by, quad_segs=_QUAD_SEGMENTS)
    if left.geom_type == "Polygon" and abs(float(left.area) - eroded_area(plain, by, _QUAD_SEGMENTS)) < AGREE:
        return None
    return thinnest_neck(outline_cut(loop, radius), limit)


def thinnest_neck(shape: shapely.Geometry, limit: float) -> Neck | None:
    """The narrowest place of a shape if it is narrower than ``limit`` mm."""
    lost = _lost(shape, limit / 2)
    if lost is None:
        return None
    good, bad = 0.0, limit
    for _ in range(STEPS):
        middle = (good + bad) / 2
        smaller = _lost(shape, middle / 2)
        if smaller is None:
            good = middle
        else:
            bad, lost = middle, smaller
    return Neck(bad, tuple((float(x), float(y)) for x, y in shapely.get_coordinates(lost.exterior)[:-1]))


def _lost(shape: shapely.Geometry, by: float) -> shapely.Polygon | None:
    """A place that goes when ``by`` is taken off all round: a disc on the line between the two nearest pieces where
    the shape falls apart, else the stoutest limb or wall; None when only corner tips go.
    """
    left, pieces = _opened(shape, by)
    before, after = _topology(shape), _topology(left)
    if after[0] > before[0]:
        return _between(left, by)
    if after == before:
        pieces = _limbs(pieces, by)
        if pieces:
            tips = shapely.union_all(_limbs(_opened(shape, by / TIP)[1], by / TIP))
            pieces = [p for p in pieces if tips.is_empty or not p.intersects(tips)]
    return max(pieces, key=lambda p: float(p.area / p.length), default=None)


def _between(left: shapely.Geometry, radius: float) -> shapely.Polygon:
    """A disc where two pieces of a shape that fell apart come nearest to each other."""
    parts = shapely.get_parts(left)
    lines = [shapely.shortest_line(p, q) for k, p in enumerate(parts) for q in parts[k + 1 :]]
    nearest = min(lines, key=lambda line: float(line.length))
    return shapely.buffer(nearest.interpolate(0.5, normalized=True), radius, quad_segs=4)


def _opened(shape: shapely.Geometry, by: float) -> tuple[shapely.Geometry, list[shapely.Polygon]]:
    """The shape with ``by`` taken off all round, and the pieces that are missing when it is put back."""
    left = shapely.buffer(shape, -by, quad_segs=_QUAD_SEGMENTS)
    back = shapely.buffer(left, by * 1.001, quad_segs=_QUAD_SEGMENTS)
    missing = shapely.get_parts(shapely.difference(shape, back))
    return left, [p for p in missing if p.geom_type == "Polygon" and not p.is_empty]


def _limbs(pieces: list[shapely.Polygon], by: float) -> list[shapely.Polygon]:
    """Pieces that are long for what was taken off, and more than the slivers that chords leave along an arc."""
    long = (p for p in pieces if np.ptp(shapely.get_coordinates(p), axis=0).max() > LIMB * by)
    return [p for p in long if float(p.area) > 0.02 * by * float(p.length)]


def _topology(shape: shapely.Geometry) -> tuple[int, int]:
    parts = shapely.get_parts(shape)
    parts = parts[~shapely.is_empty(parts)]
    return len(parts), int(shapely.get_num_interior_rings(parts).sum())

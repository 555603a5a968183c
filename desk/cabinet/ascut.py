"""Parts as the bits leave them and as the lacquer finishes them.

Outlines are closed by the profile bit's radius (inside corners stay round), openings and pockets opened by the bit that
cuts them (corners stay round, what is too narrow is not cut). Results are cached on the loops, which are values.
"""

from __future__ import annotations

from functools import lru_cache

import shapely

from desk.cabinet.model import Part, Pocket, Shop
from desk.shapes.loop import Loop
from desk.shapes.offset import closed_by_bit, coated, opened_by_bit


@lru_cache(maxsize=2048)
def outline_as_cut(loop: Loop, radius: float) -> shapely.Geometry:
    """The outline with the wood a bit of this radius leaves in its inside corners."""
    return closed_by_bit(loop.polygon, radius)


@lru_cache(maxsize=2048)
def opening_as_cut(loop: Loop, radius: float) -> shapely.Geometry:
    """What a bit of this radius clears inside the loop; empty when it does not fit in."""
    return opened_by_bit(loop.polygon, radius)


@lru_cache(maxsize=2048)
def pocket_as_cut(pocket: Pocket, radius: float) -> shapely.Geometry:
    """What a bit of this radius clears of a pocket, its islands left standing."""
    if not pocket.islands:
        return opening_as_cut(pocket.loop, radius)
    field = pocket.loop.polygon.difference(shapely.union_all([i.polygon for i in pocket.islands]))
    return opened_by_bit(field, radius)


def face_as_cut(part: Part, shop: Shop) -> shapely.Geometry:
    """Outline less cutouts in part coordinates, as cut; drilled holes are not taken off."""
    radius = shop.bit(shop.profile_bit).diameter / 2
    shape = outline_as_cut(part.outline, radius)
    for cutout in part.cutouts:
        shape = shape.difference(opening_as_cut(cutout.loop, radius))
    return shape


def finished(shape: shapely.Geometry, film: float) -> shapely.Geometry:
    """A solid with lacquer ``film`` mm thick on every side."""
    return coated(shape, film)

"""Rims of parts as cut, kept by value so that a drag recomputes only what moved."""

from __future__ import annotations

from functools import lru_cache

import shapely

from desk.cabinet.ascut import opening_as_cut, outline_as_cut
from desk.cabinet.model import Part, Shop
from desk.checks.context import Context
from desk.checks.registry import CannotEvaluate
from desk.shapes.loop import Loop
from desk.shop.materials import Material, UnknownMaterialError, material


@lru_cache(maxsize=1024)
def rims(outline: Loop, openings: tuple[Loop, ...], radius: float) -> shapely.Geometry:
    """Every edge of a part cut with a bit of ``radius``, outline and rims of openings, as lines."""
    shapes = [outline_as_cut(outline, radius), *(opening_as_cut(loop, radius) for loop in openings)]
    lines = shapely.multilinestrings([g for s in shapes for g in shapely.get_parts(_lines(s))])
    shapely.prepare(lines)
    return lines


def _lines(shape: shapely.Geometry) -> shapely.Geometry:
    return shapely.line_merge(shapely.boundary(shape))


def part_rims(part: Part, shop: Shop) -> shapely.Geometry:
    """Every edge of a part as its bit cuts it."""
    radius = shop.bit(shop.profile_bit).diameter / 2
    return rims(part.outline, tuple(c.loop for c in part.cutouts), radius)


def wood_of(ctx: Context, part: Part) -> Material:
    """What a part is made of. Raises CannotEvaluate when the table of materials does not list it."""
    stock = ctx.cabinet.shop.stock(part.stock)
    try:
        return material(stock.material)
    except UnknownMaterialError as reason:
        raise CannotEvaluate(f"{part.label}, stock {stock.label}: {reason}", (part.id,)) from None

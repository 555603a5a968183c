"""What no bit reaches: places narrower than the bit.

A bit of radius r leaves r (1 / sin(g / 2) - 1) of wood along the bisector of a corner of angle g. In the open that
is a fillet and no fault. It is one where a notch, slot or pocket is narrower than the bit and is not cut at all, and
where a tab wants the corner, which ``tabs`` reads.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.ascut import opening_as_cut
from desk.cabinet.model import Bit, Part
from desk.checks.context import Context, patch
from desk.checks.corners import fillets, own_place, tight_floors, turns
from desk.checks.finding import Place, Remedy
from desk.checks.home import Home, home, outline_cut
from desk.checks.registry import Draft, Rating, Sieve, Told, check, rate
from desk.shapes.loop import Loop, Point

OUTLINE = "outline"
_TOUCH = 1e-6
EXCESS = 0.1
"""Wood left beyond what corners leave, in squares of the bit's radius, up to which no place counts as narrow."""


class Left(NamedTuple):
    """What a bit leaves of a loop: rings of the places it does not get into, the width of the narrowest of them
    (inf for none), and the most wood left along a corner's bisector, mm.
    """

    places: tuple[tuple[Point, ...], ...]
    width: float
    corner: float


@lru_cache(maxsize=2048)
def left_in_outline(loop: Loop, radius: float) -> Left:
    """What a bit run round the outside of an outline leaves."""
    cut = outline_cut(loop, radius)
    area, corner = fillets(loop, radius, inside=False)
    floors = tight_floors(loop, radius, inside=False)
    if not len(floors) and float(cut.area) - loop.polygon.area - area < EXCESS * radius * radius:
        return Left((), math.inf, corner)
    return _narrow(shapely.difference(cut, loop.polygon), loop, radius, inside=False)


@lru_cache(maxsize=2048)
def left_in_opening(loop: Loop, radius: float) -> Left:
    """What a bit run round the inside of a loop leaves."""
    found = _left_inside(own_place(loop)[0], radius)
    return _left_here(loop, radius) if found.places else found


@lru_cache(maxsize=512)
def _left_inside(loop: Loop, radius: float) -> Left:
    area, corner = fillets(loop, radius, inside=True)
    floors = tight_floors(loop, radius, inside=True)
    cut = opening_as_cut(loop, radius)
    if not len(floors) and loop.polygon.area - float(cut.area) - area < EXCESS * radius * radius:
        return Left((), math.inf, corner)
    return _narrow(shapely.difference(loop.polygon, cut), loop, radius, inside=True)


@lru_cache(maxsize=512)
def _left_here(loop: Loop, radius: float) -> Left:
    return _narrow(shapely.difference(loop.polygon, opening_as_cut(loop, radius)), loop, radius, inside=True)


def _narrow(wood: shapely.Geometry, loop: Loop, radius: float, inside: bool) -> Left:
    """The pieces of what is left that are more than the fillets of their corners, or stand on a tight floor."""
    corner = fillets(loop, radius, inside)[1]
    turn = np.clip(turns(loop).at if inside else -turns(loop).at, 0.0, np.pi - 1e-3) / 2
    fillet = radius * radius * (np.tan(turn) - turn)
    coords = loop.coords
    floors = tight_floors(loop, radius, inside)
    middles = (coords[floors] + coords[(floors + 1) % len(coords)]) / 2
    lengths = np.hypot(*(coords[floors] - coords[(floors + 1) % len(coords)]).T)
    rings, widths = [], []
    for piece in (p for p in shapely.get_parts(wood) if p.geom_type == "Polygon"):
        at = shapely.dwithin(shapely.points(coords), piece, _TOUCH)
        on = lengths[shapely.dwithin(shapely.points(middles), piece, _TOUCH)] if len(floors) else lengths
        if len(on) or float(piece.area) - float(fillet[at].sum()) > EXCESS * radius * radius:
            round_about = shapely.length(shapely.maximum_inscribed_circle(piece, tolerance=0.01))
            widths.append(min(2 * float(round_about), float(on.min(initial=np.inf))))
            rings.append(tuple((float(x), float(y)) for x, y in piece.exterior.coords[:-1]))
    return Left(tuple(rings), min(widths, default=math.inf), corner)


@check(40, "bit-reach", "Cutting", "Corners and narrow places for the bit", "There is nothing to cut.")
def bit_reach(ctx: Context) -> Iterator[Draft]:
    """Narrow places of every outline, opening and pocket."""
    outer, inner = ctx.profile_bit, ctx.pocket_bit
    sieve = Sieve()
    for part in ctx.cabinet.parts:
        shape, at = home(part)
        for place, left in _left_in(shape, outer.diameter / 2, inner.diameter / 2):
            bit = outer if place in (OUTLINE, *(c.use for c in part.cutouts)) else inner
            if left.places:
                yield _too_narrow(ctx, part, bit, left, at, place, shape)
            elif sieve.wants(-left.corner, -math.inf):
                yield _gets_in(ctx, part, bit, left, place)


@lru_cache(maxsize=512)
def _left_in(shape: Home, outer: float, inner: float) -> tuple[tuple[str, Left], ...]:
    """What the bits leave of an outline and its openings: every place with something wrong, and the worst corner."""
    found = [(OUTLINE, left_in_outline(shape.outline, outer))]
    found += [(o.id, left_in_opening(o.loop, outer if o.through else inner)) for o in shape.openings]
    wrong = [f for f in found if f[1].places]
    return tuple(wrong) or (max(found, key=lambda f: f[1].corner),)


def _too_narrow(ctx: Context, part: Part, bit: Bit, left: Left, at: Point, where: str, shape: Home) -> Draft:
    rating = rate(ctx.need("narrow_place"), left.width - bit.diameter)
    rating = rating._replace(measured=left.width, needed=bit.diameter)

    def tell() -> Told:
        because = f"{left.width:.2f} mm wide, the {bit.label} bit cuts {bit.diameter:.2f} mm{_thinner(ctx, left.width)}"
        rings = (tuple((x + at[0], y + at[1]) for x, y in ring) for ring in left.places)
        places = tuple(Place(part.frame, "area", ring) for ring in rings)
        thinner = left.width / 2
        gets_in = all(w != where or not one.places for w, one in _left_in(shape, thinner, thinner))
        remedies = bit_remedies(ctx, bit, left.width - bit.diameter if gets_in else 0.0)
        return Told(f"Place too narrow for the bit in {part.label}", because, places, remedies)

    return Draft(f"{part.id}/{where}", (part.id,), rating, tell, (part.id, bit.id, round(left.width, 4)))


def _gets_in(ctx: Context, part: Part, bit: Bit, left: Left, where: str) -> Draft:
    rating = Rating("clear", left.corner, None, None, "mm", ctx.need("narrow_place").source)

    def tell() -> Told:
        because = (
            f"the {bit.diameter:.2f} mm bit gets in everywhere and leaves {left.corner:.2f} mm in a corner"
        )
        return Told(f"Corners of {part.label}", because, (patch(part, part.outline),), bit_remedies(ctx, bit))

    return Draft(f"{part.id}/{where}", (part.id,), rating, tell)


def _thinner(ctx: Context, width: float) -> str:
    owned = [b for b in ctx.cabinet.shop.bits if b.kind == "straight" and b.diameter <= width]
    if not owned:
        return "; no thinner bit is in the list"
    return f"; the {max(owned, key=lambda b: b.diameter).label} bit would get in"


def bit_remedies(ctx: Context, bit: Bit, change: float = 0.0) -> tuple[Remedy, ...]:
    """Another diameter for a bit, or another bit for what it is chosen for."""
    shop = ctx.cabinet.shop
    roles = [
        name for name, key in (("profile", shop.profile_bit), ("pocket", shop.pocket_bit)) if key == bit.id
    ]
    return (
        ctx.remedy(ctx.bit_address(bit, "diameter"), change, "Use a thinner bit"),
        *(Remedy(f"bit.{name}", None, "Choose another bit") for name in roles),
    )

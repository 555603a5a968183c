"""How sizes move over the year where the cabinet will stand, and how a reading of that is told.

Sizes are taken as measured at the region's average moisture. Wood moves across its grain, hardly along it; sheets move
little in their plane and most in thickness.
"""

from __future__ import annotations

import math
from collections.abc import Hashable
from functools import partial
from typing import NamedTuple

from desk.cabinet.model import Part
from desk.checks.context import Context
from desk.checks.finding import Place, Remedy
from desk.checks.legs import said
from desk.checks.registry import Draft, Rating, Told
from desk.shop.materials import Material
from desk.shop.seasons import movement, wide_movement

LINEAR = (6.0, 14.0)
"""Moisture, %, between which Wood Handbook eq. 13-2 holds."""
ACROSS = "across"
THICK = "thick"


class Year(NamedTuple):
    """How a size moves: shares it changes by from the average to the dry and to the damp end of the year."""

    dry: float
    damp: float

    def most(self) -> float:
        """The larger of both changes."""
        return max(abs(self.dry), abs(self.damp))


def year(ctx: Context, wood: Material, share: float, kind: str = ACROSS) -> Year:
    """How a size of this wood moves where the cabinet will stand; ``share`` is that of its coefficient which counts.

    Eq. 13-2 of the Wood Handbook; beyond its range eq. 13-3 where the table knows the shrinkage of the wood.
    """
    region = ctx.region
    coefficient = wood.move_thick if kind == THICK else wood.move_flat
    ends = []
    for end in (region.dry, region.damp):
        beyond = min(end, region.average) < LINEAR[0] or max(end, region.average) > LINEAR[1]
        if beyond and wood.kind == "solid" and wood.shrinkage is not None:
            shrinkage = wood.shrinkage[1 if kind == THICK else 0]
            ends.append(share * wide_movement(shrinkage, region.average, end))
        else:
            ends.append(share * movement(coefficient, region.average, end))
    return Year(*ends)


def in_plane(ctx: Context, part: Part, way: tuple[float, float]) -> Year:
    """How a part moves along a direction of its face: solid wood by the share across its grain."""
    wood = ctx.material(part)
    if wood.kind != "solid":
        return year(ctx, wood, 1.0)
    size = math.hypot(*way) * math.hypot(*part.grain)
    along = (way[0] * part.grain[0] + way[1] * part.grain[1]) / size
    return year(ctx, wood, 1.0 - along**2)


def through(ctx: Context, part: Part) -> Year:
    """How a part's thickness moves."""
    return year(ctx, ctx.material(part), 1.0, THICK)


def moisture(ctx: Context, damp: bool) -> str:
    """From which moisture to which, and where, in words."""
    region = ctx.region
    return f"{region.average:g} to {region.damp if damp else region.dry:g} % moisture ({region.label})"


def where() -> Remedy:
    """Another place to stand."""
    return Remedy("overall.region", None, "Choose where it will stand")


def made(
    key: str,
    parts: tuple[str, ...],
    rating: Rating,
    title: str,
    because: str,
    places: tuple[Place, ...],
    remedies: tuple[Remedy, ...],
    like: Hashable = None,
) -> Draft:
    """A reading of the seasons, the place where the cabinet stands among its remedies."""
    told = Told(title, because, places, (*remedies, where()))
    return Draft(key, parts, rating, partial(said, told), like)


def lane_of(ctx: Context) -> Year:
    """How the lane's width moves: the parts tabbed into both walls carry them; the one that moves least counts."""
    held = {t.part for t in ctx.cabinet.tab_joints}
    moves = [in_plane(ctx, p, (1.0, 0.0)) for p in ctx.cabinet.parts if p.id in held]
    return min(moves, key=Year.most, default=Year(0.0, 0.0))

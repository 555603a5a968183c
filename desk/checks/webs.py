"""The thinnest webs of a part as cut: between holes, pockets, openings and edges, and necks of its outline.

Two features are as far apart as their outlines in plan and their ranges of depth together make it; what overlaps in
both is one hole and has no web. A wall beside a pocket that stands no higher than it is thick is stout enough, so the
need never exceeds the height the two share.

The need is meant for birch plywood with the grain along the web. A web of another wood that is to bear as much in
bending is wider by the root of the two strengths' ratio, and where the grain runs across it, never by less than the
material's short-grain factor; a stronger wood is not cut thinner, because the router would still break it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import Part
from desk.checks import addresses
from desk.checks.context import Context, patch, spot
from desk.checks.corners import own_place
from desk.checks.finding import Place, Remedy
from desk.checks.home import Home, home, outline_cut
from desk.checks.necks import Neck, neck_of
from desk.checks.needs import Need
from desk.checks.registry import Draft, Rating, Sieve, Told, check, rate
from desk.checks.spacing import Web, close_features
from desk.shapes.loop import Loop, Point
from desk.shop.loads import load

NOTHING = "No web in this cabinet comes near the need."
LOOK = 1.25
"""Webs are measured up to this many times what is clear for them."""
LONG = 1.5
"""A neck this many times as long as wide has a direction; a rounder one is judged for the worst."""


class Weight(NamedTuple):
    """What the need for a web is multiplied by: ``wood`` with the grain along the web, ``grain`` more across it."""

    wood: float
    grain: float

    @property
    def most(self) -> float:
        """The same at worst."""
        return self.wood * self.grain


def weight_of(ctx: Context, part: Part) -> Weight:
    """How much wider a web of the part's wood has to be than one of birch plywood along its grain.

    Bending strength of a strip goes with its width squared.
    """
    made = ctx.material(part)
    wanted = load("web_wood", ctx.cabinet.tables).value
    along = max(1.0, math.sqrt(wanted / made.bending))
    return Weight(along, max(made.short_grain, math.sqrt(wanted / made.bending_across) / along, 1.0))


@check(43, "web", "Cutting", "Thinnest web", NOTHING)
def web(ctx: Context) -> Iterator[Draft]:
    """Webs between features, necks of the outline and of rails, floors under pockets."""
    need, floor = ctx.need("web"), ctx.need("web_skin")
    radii = ctx.profile_bit.diameter / 2, ctx.pocket_bit.diameter / 2
    sieve = Sieve()
    for part in ctx.cabinet.parts:
        shape, at = home(part)
        weight = weight_of(ctx, part)
        for found in close_features(shape, radii[0], LOOK * weight.most * need.clear, weight.grain):
            scale = min(weight.wood * found.share, found.height / need.value)
            if sieve.wants(found.size - need.value * scale, need.tight * scale):
                yield _web(ctx, part, found, at, rate(need, found.size, scale=scale), weight)
        for neck, what, share in _necks(shape, radii, need, weight):
            rating = rate(need, neck.width, scale=share)
            tell = partial(_tell_neck, ctx, part, neck, at, what, rating, share)
            yield Draft(f"{part.id}/{what}", (part.id,), rating, tell, (shape, part.stock, what))
        for depth in dict.fromkeys(p.depth for p in part.pockets):
            left = part.thickness - depth
            if sieve.wants(left - floor.value * weight.wood, floor.tight * weight.wood):
                rating = rate(floor, left, scale=weight.wood)
                tell = partial(_tell_floor, ctx, part, depth, rating)
                yield Draft(f"{part.id}/floor", (part.id,), rating, tell, (part.stock, "floor", depth))


def _web(ctx: Context, part: Part, found: Web, at: Point, rating: Rating, weight: Weight) -> Draft:
    tell = partial(_tell_web, ctx, part, found, at, rating, weight)
    return Draft(f"{part.id}/{'/'.join(found.ids)}", (part.id,), rating, tell, (part.stock, found))


def _tell_web(ctx: Context, part: Part, found: Web, at: Point, rating: Rating, weight: Weight) -> Told:
    limit = ctx.need("web").value
    because = f"{found.names[0]} to {found.names[1]}: {found.size:.2f} mm; needed {rating.needed:.2f}"
    if found.height < limit * found.share * weight.wood:
        because += ", as much as the wall is high"
    else:
        because += _weighed(ctx, part, limit, weight.wood, found.share)
    rows = dict.fromkeys(row for key in found.ids for row in addresses.beside(part, key))
    # what widens the wood up to the edge need not part two holes
    known = rating.short if "edge" in found.ids else 0.0
    remedies = tuple(ctx.remedy(address, gain * known, text) for address, gain, text in rows)
    return Told(f"Web in {part.label}", because, (spot(part, *_back(found.ends, at)),), remedies)


def _weighed(ctx: Context, part: Part, limit: float, wood: float, grain: float) -> str:
    """What the need was multiplied by."""
    factors = f" x {wood:.2f} for {ctx.material(part).label}" if wood > 1.005 else ""
    factors += f" x {grain:.2f} for the grain" if grain > 1.005 else ""
    return f" = {limit:.2f}{factors}" if factors else ""


@lru_cache(maxsize=512)
def _neck_share(neck: Neck, loop: Loop, radius: float, grain: Point, factor: float) -> float:
    """What the grain multiplies the need of a loop's neck by: ``factor`` where it runs across the neck, 1 along it."""
    if factor == 1.0:
        return 1.0
    ring = shapely.Polygon(neck.ring)
    x0, y0, x1, y1 = ring.bounds
    if max(x1 - x0, y1 - y0) <= LONG * neck.width:
        # a spot: straight to the nearest edge
        line = shapely.get_coordinates(
            shapely.shortest_line(ring.centroid, shapely.boundary(outline_cut(loop, radius)))
        )
        step = line[1] - line[0]
    else:
        sides = np.diff(shapely.get_coordinates(shapely.minimum_rotated_rectangle(ring))[:3], axis=0)
        lengths = np.hypot(sides[:, 0], sides[:, 1])
        if lengths.max() < LONG * lengths.min():
            return factor
        step = sides[int(lengths.argmin())]
    over = float(step @ np.array(grain)) / max(math.hypot(*step.tolist()) * math.hypot(*grain), 1e-12)
    return 1 + (factor - 1) * over**2


def _back(points: tuple[Point, ...], at: Point) -> tuple[Point, ...]:
    """Points of the shape in its own place, in the part's coordinates again."""
    return tuple((x + at[0], y + at[1]) for x, y in points)


def _necks(
    shape: Home, radii: tuple[float, float], need: Need, weight: Weight
) -> Iterator[tuple[Neck, str, float]]:
    """Necks of the part's outline and of each rail, thinner than may be clear, and what multiplies their need."""
    limit = need.clear * weight.most
    if neck := neck_of(shape.outline, radii[0], limit):
        share = _neck_share(neck, shape.outline, radii[0], shape.grain, weight.grain)
        yield neck, "neck", weight.wood * share
    for opening in shape.openings:
        if opening.depths[1] - opening.depths[0] <= need.value:
            continue
        for n, island in enumerate(opening.islands):
            narrow = neck_of(own_place(island)[0], radii[1], limit)
            if narrow and (neck := neck_of(island, radii[1], limit)):
                share = _neck_share(neck, island, radii[1], shape.grain, weight.grain)
                yield neck, f"rail {n + 1}", weight.wood * share


def _tell_neck(
    ctx: Context, part: Part, neck: Neck, at: Point, what: str, rating: Rating, share: float
) -> Told:
    weight, need = weight_of(ctx, part), ctx.need("web")
    because = f"{neck.width:.2f} mm wide at its narrowest; needed {rating.needed:.2f}"
    because += _weighed(ctx, part, need.value, weight.wood, share / weight.wood)
    title = f"Narrow neck in {part.label}"
    remedies: tuple[Remedy, ...] = ()
    if what.startswith("rail"):
        # another width may be narrowest elsewhere, where the grain runs across it
        wider = need.clear * weight.most - neck.width if rating.short > 0 else 0.0
        title, remedies = (
            f"Rail of {part.label}",
            (ctx.remedy("board.rail_width", wider, "Make the rails wider"),),
        )
    elif part.id == "lifter":
        remedies = (ctx.remedy("lifter.arm", 0.0, "Make the arm higher"),)
    return Told(title, because, (Place(part.frame, "area", _back(neck.ring, at)),), remedies)


def _tell_floor(ctx: Context, part: Part, depth: float, rating: Rating) -> Told:
    pocket = next(p for p in part.pockets if p.depth == depth)
    because = (
        f"{part.thickness:.2f} - {depth:.2f} deep = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    )
    carved = pocket.use == "carving"
    address, change = ("board.floor", rating.short) if carved else ("joint.mortise", -rating.short)
    remedies = [ctx.remedy(address, change, "Cut less deep")]
    if not carved:
        # the floor under the carving is a number of its own, however thick the board
        remedies.append(ctx.remedy(ctx.stock_address(part), rating.short, "Take thicker stock"))
    return Told(
        f"Floor under the {pocket.use} in {part.label}",
        because,
        (patch(part, pocket.loop),),
        tuple(remedies),
    )

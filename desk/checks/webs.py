"""The thinnest webs of a part as cut: between holes, pockets, openings and edges, and necks of its outline.

Two features are as far apart as their outlines in plan and their ranges of depth together make it; what overlaps in
both is one hole and has no web. A wall beside a pocket that stands no higher than it is thick is stout enough, so the
need never exceeds the height the two share. Where the grain runs across a web, not along it, the need grows by the
material's short-grain factor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from desk.cabinet.model import Part
from desk.checks import addresses
from desk.checks.context import Context, patch, spot
from desk.checks.corners import own_place
from desk.checks.finding import Place
from desk.checks.home import Home, home
from desk.checks.necks import Neck, neck_of
from desk.checks.needs import Need
from desk.checks.registry import Draft, Rating, Sieve, Told, check, rate
from desk.checks.spacing import Web, close_features
from desk.checks.wood import wood_of
from desk.shapes.loop import Point

NOTHING = "No web in this cabinet comes near the need."
LOOK = 1.25
"""Webs are measured up to this many times what is clear for them."""


@check(43, "web", "Cutting", "Thinnest web", NOTHING)
def web(ctx: Context) -> Iterator[Draft]:
    """Webs between features, necks of the outline and of rails, floors under pockets."""
    need, floor = ctx.need("web"), ctx.need("web_skin")
    radii = ctx.profile_bit.diameter / 2, ctx.pocket_bit.diameter / 2
    sieve = Sieve()
    for part in ctx.cabinet.parts:
        shape, at = home(part)
        factor = wood_of(ctx, part).short_grain
        for found in close_features(shape, radii[0], LOOK * factor * need.clear, factor):
            scale = min(found.share, found.height / need.value)
            if sieve.wants(found.size - need.value * scale, need.tight * scale):
                yield _web(ctx, part, found, at, rate(need, found.size, scale=scale))
        for neck, what in _necks(shape, radii, need):
            rating = rate(need, neck.width)
            tell = partial(_tell_neck, ctx, part, neck, at, what, rating)
            yield Draft(f"{part.id}/{what}", (part.id,), rating, tell, (shape, part.stock, what))
        for depth in dict.fromkeys(p.depth for p in part.pockets):
            left = part.thickness - depth
            if sieve.wants(left - floor.value, floor.tight):
                rating = rate(floor, left)
                tell = partial(_tell_floor, ctx, part, depth, rating)
                yield Draft(f"{part.id}/floor", (part.id,), rating, tell, (part.stock, "floor", depth))


def _web(ctx: Context, part: Part, found: Web, at: Point, rating: Rating) -> Draft:
    tell = partial(_tell_web, ctx, part, found, at, rating)
    return Draft(f"{part.id}/{'/'.join(found.ids)}", (part.id,), rating, tell, (part.stock, found))


def _tell_web(ctx: Context, part: Part, found: Web, at: Point, rating: Rating) -> Told:
    limit = ctx.need("web").value
    because = f"{found.names[0]} to {found.names[1]}: {found.size:.2f} mm; needed {rating.needed:.2f}"
    if found.height < limit * found.share:
        because += ", as much as the wall is high"
    elif found.share > 1.005:
        because += f" = {limit:.2f} x {found.share:.2f} for the grain"
    rows = dict.fromkeys(row for key in found.ids for row in addresses.beside(part, key))
    remedies = tuple(ctx.remedy(address, gain * rating.short, text) for address, gain, text in rows)
    return Told(f"Web in {part.label}", because, (spot(part, *_back(found.ends, at)),), remedies)


def _back(points: tuple[Point, ...], at: Point) -> tuple[Point, ...]:
    """Points of the shape in its own place, in the part's coordinates again."""
    return tuple((x + at[0], y + at[1]) for x, y in points)


def _necks(shape: Home, radii: tuple[float, float], need: Need) -> Iterator[tuple[Neck, str]]:
    """Necks of the part's outline and of each rail, thinner than clear."""
    if neck := neck_of(shape.outline, radii[0], need.clear):
        yield neck, "neck"
    for opening in shape.openings:
        if opening.depths[1] - opening.depths[0] <= need.value:
            continue
        for n, island in enumerate(opening.islands):
            narrow = neck_of(own_place(island)[0], radii[1], need.clear)
            if narrow and (neck := neck_of(island, radii[1], need.clear)):
                yield neck, f"rail {n + 1}"


def _tell_neck(ctx: Context, part: Part, neck: Neck, at: Point, what: str, rating: Rating) -> Told:
    because = f"{neck.width:.2f} mm wide at its narrowest; needed {rating.needed:.2f}"
    title, address, text = f"Narrow neck in {part.label}", "", ""
    if what.startswith("rail"):
        title, address, text = f"Rail of {part.label}", "board.rail_width", "Make the rails wider"
    elif part.id == "lifter":
        address, text = "lifter.arm", "Make the arm higher"
    remedies = (ctx.remedy(address, rating.short, text),) if address else ()
    return Told(title, because, (Place(part.frame, "area", _back(neck.ring, at)),), remedies)


def _tell_floor(ctx: Context, part: Part, depth: float, rating: Rating) -> Told:
    pocket = next(p for p in part.pockets if p.depth == depth)
    because = (
        f"{part.thickness:.2f} - {depth:.2f} deep = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    )
    carved = pocket.use == "carving"
    address, change = ("board.floor", rating.short) if carved else ("joint.mortise", -rating.short)
    remedies = (
        ctx.remedy(address, change, "Cut less deep"),
        ctx.remedy(
            ctx.stock_address(part),
            0.0 if math.isclose(rating.short, 0) else rating.short,
            "Take thicker stock",
        ),
    )
    return Told(
        f"Floor under the {pocket.use} in {part.label}", because, (patch(part, pocket.loop),), remedies
    )

"""Openings, rails, mortises and grooves lie in the wood of their part, and none runs into another.

Read on the shapes as designed. What is meant to run out at an edge (carving, rebates) is left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from itertools import combinations
from typing import NamedTuple

import shapely

from desk.cabinet.model import Part
from desk.checks.context import Context
from desk.checks.finding import Place
from desk.checks.registry import Draft, Rating, Told, check, rate
from desk.shapes.loop import polyline

_TOUCH = 1e-3
"""Shapes that share less than this, mm², only touch."""


class Cut(NamedTuple):
    """One thing cut into a part or left standing on it; a mortise is named by its joint."""

    name: str
    shape: shapely.Geometry


class Fault(NamedTuple):
    """Wood that is missing: how much of a cut lies where it should not, mm², and where."""

    what: str
    cuts: tuple[str, ...]
    area: float
    where: shapely.Geometry


@check(59, "inside-wood", "Cutting", "Cuts lie in their part and keep out of each other")
def inside_wood(ctx: Context) -> Iterator[Draft]:
    """Openings, rails, mortises and grooves inside the outline; openings clear of each other and of rails."""
    need = ctx.need("inside_wood")
    if not ctx.cabinet.targets:
        rating = Rating("conflict", None, None, None, need.unit, need.source)
        yield Draft("board/none", ("board",), rating, _no_target)
    for part in ctx.cabinet.parts:
        found = faults(part)
        for fault in found:
            rating = rate(need, fault.area, upper=True)
            tell = partial(_tell, ctx, part, fault)
            yield Draft(f"{part.id}/{'/'.join(fault.cuts)}", (part.id,), rating, tell)
        if not found:
            yield Draft(
                part.id, (part.id,), rate(need, 0.0, upper=True)._replace(margin=None), partial(_fine, part)
            )


@lru_cache(maxsize=512)
def faults(part: Part) -> tuple[Fault, ...]:
    """Every cut of the part that leaves its wood or meets another."""
    return (*_outside(part), *_meeting(part))


def _outside(part: Part) -> Iterator[Fault]:
    wood = part.outline.polygon
    for cut in (*_cuts(part), *_grooves(part)):
        if not wood.contains_properly(cut.shape):
            beyond = cut.shape.difference(wood)
            yield Fault(
                "reaches the edge of the part", (cut.name,), max(float(beyond.area), _TOUCH), cut.shape
            )


def _meeting(part: Part) -> Iterator[Fault]:
    for one, other in combinations(_cuts(part), 2):
        if one.shape.intersects(other.shape):
            common = one.shape.intersection(other.shape)
            if common.area > _TOUCH:
                yield Fault("runs into", (one.name, other.name), float(common.area), common)


def _cuts(part: Part) -> list[Cut]:
    """Openings, mortises and rails."""
    found = [Cut(c.use, c.loop.polygon) for c in part.cutouts]
    mortises = (p for p in part.pockets if p.use == "mortise")
    found += [Cut(p.joint, p.loop.polygon) for p in mortises]
    inner = [p.loop.polygon for p in part.pockets if p.use == "carving" and not p.islands]
    for pocket in part.pockets:
        for n, island in enumerate(pocket.islands, 1):
            shape = island.polygon
            for hollow in inner:
                if shape.contains(hollow):
                    shape = shape.difference(hollow)
            found.append(Cut(f"rail {n}", shape))
    return found


def _grooves(part: Part) -> Iterator[Cut]:
    """Grooves as wide as the bit cuts them at the face."""
    for groove in part.grooves:
        half = groove.depth * math.tan(math.radians(groove.angle / 2))
        lines = [polyline(path) for path in groove.paths if len(path) > 1]
        if lines:
            yield Cut(groove.use, shapely.buffer(shapely.MultiLineString(lines), max(half, _TOUCH)))


def _tell(ctx: Context, part: Part, fault: Fault) -> Told:
    names = [_called(ctx, cut) for cut in fault.cuts]
    title = f"{names[0][:1].upper()}{' and '.join(names)[1:]} in {part.label}"
    because = fault.what if len(names) == 1 else f"one {fault.what} the other on {fault.area:.1f} mm2"
    addresses = [a for cut in fault.cuts for a in _governing(part, cut)]
    remedies = tuple(
        ctx.remedy(a, 0.0, "Move or change this until there is wood all round")
        for a in dict.fromkeys(addresses)
    )
    ring = shapely.get_coordinates(shapely.get_exterior_ring(_one(fault.where)))[:-1]
    points = tuple((float(x), float(y)) for x, y in ring)
    return Told(title, because, (Place(part.frame, "area", points),), remedies)


def _called(ctx: Context, cut: str) -> str:
    """What a cut is called in the shop: a mortise by the part whose tab it is for."""
    tab = next((t for t in ctx.cabinet.tab_joints if t.id == cut), None)
    return cut if tab is None else f"mortise for {ctx.cabinet.by_id[tab.part].label}"


def _one(shape: shapely.Geometry) -> shapely.Polygon:
    pieces = [p for p in getattr(shape, "geoms", [shape]) if isinstance(p, shapely.Polygon)]
    return max(pieces, key=lambda p: float(p.area), default=shapely.box(0, 0, 1, 1))


def _no_target() -> Told:
    return Told("Target board without a hole", "there is no target, so no ball drops through", (), ())


def _fine(part: Part) -> Told:
    return Told(f"Cuts in {part.label}", "each lies in the wood and clear of the others")


def _governing(part: Part, cut: str) -> tuple[str, ...]:
    if part.grooves and cut == part.grooves[0].use:
        return ("header.letter", "header.groove", "header.height")
    if cut.startswith("target hole "):
        number = cut.removeprefix("target hole ")
        return tuple(f"targets.{number}.{field}" for field in ("across", "up", "hole"))
    if cut.startswith("rail "):
        return ("board.rail_width", "board.length", "lane.width")
    return ("silhouette.1.z", "board.tab", "joint.mortise_fit")

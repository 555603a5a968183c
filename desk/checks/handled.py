"""Edges and ends where hands go: the outside of the sides, corners of the silhouette, pin ends, what stands out.

Read on the parts as drawn; nobody cuts himself on what lies between the sides or stands on the table.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import shapely

from desk.cabinet.model import AxisJoint, Face, Part
from desk.checks import addresses
from desk.checks.context import Context, along_axis, from_the_side, lines_up, span, spot
from desk.checks.finding import Place, Remedy
from desk.checks.legs import said
from desk.checks.registry import CannotEvaluate, Draft, Told, check, rate
from desk.checks.standing import STANDS, side_on
from desk.shapes.loop import Loop, Point

RIGHT_ANGLE = math.pi / 2
GENTLE = math.radians(15)
"""A corner that turns by less than this is no corner."""
OUTSIDE = 0.05
"""A face this near to the cabinet's side is on the outside, mm."""
PINS = ("dowel", "rod", "pin")


class Corner(NamedTuple):
    """A corner of an outline that stands out: where, by how much it turns, radians, and its radius, mm."""

    at: Point
    turn: float
    radius: float


@check(55, "handled", "People", "Edges and ends under the hand")
def handled(ctx: Context) -> Iterator[Draft]:
    """Rounding of the outside edges, sharp corners of the silhouette, ends of pins, parts above the sides."""
    sides = _sides(ctx)
    for part, face in sides:
        yield _edge(ctx, part, face)
        yield from _corners(ctx, part)
    for joint in ctx.of_kind(*PINS):
        yield from _ends(ctx, joint)
    yield from _standing_out(ctx, [part for part, _ in sides])
    yield from _behind_header(ctx)
    yield from _handle_beyond(ctx, [part for part, _ in sides])


def _sides(ctx: Context) -> list[tuple[Part, Face]]:
    """The upright parts whose faces are the cabinet's left and right side, and those faces."""
    upright = [p for p in ctx.cabinet.parts if p.normal_axis == "y"]
    if not upright:
        raise CannotEvaluate("no part stands fore and aft, so the cabinet has no sides")
    low, high = min(p.extent[0][1] for p in upright), max(p.extent[1][1] for p in upright)
    found: list[tuple[Part, Face]] = []
    for part in upright:
        faces: tuple[Face, Face] = ("A", "B") if part.frame.normal[1] > 0 else ("B", "A")
        if part.extent[1][1] > high - OUTSIDE:
            found.append((part, faces[0]))
        if part.extent[0][1] < low + OUTSIDE:
            found.append((part, faces[1]))
    return found


def _edge(ctx: Context, part: Part, face: Face) -> Draft:
    """How far the edge of an outside face is broken."""
    sizes = [b.size for b in part.breaks if b.face == face]
    rating = rate(ctx.need("edge_round"), max(sizes, default=0.0))
    because = (
        f"outside edges rounded by {rating.measured:.2f} mm; at least {rating.needed:.2f}, by machine or hand"
    )
    x0, _, x1, y1 = part.outline.bounds
    remedies = (ctx.remedy("shop.edge_round", rating.short, "Round the outside edges more", rating.measured),)
    told = Told(f"Outside edges of {part.label}", because, (spot(part, (x0, y1), (x1, y1)),), remedies)
    return Draft(f"{part.id}/edge", (part.id,), rating, partial(said, told), "edge")


@lru_cache(maxsize=128)
def corners(loop: Loop) -> tuple[Corner, ...]:
    """Corners that stand out of a loop, sharp ones and those rounded by an arc; counter-clockwise loops."""
    edges = list(loop.edges())
    found = []
    for k, ((x0, y0, bulge), (x1, y1, _)) in enumerate(edges):
        chord, sweep = math.atan2(y1 - y0, x1 - x0), 4 * math.atan(bulge)
        (nx, ny, next_bulge), (mx, my, _) = edges[(k + 1) % len(edges)]
        leaves = math.atan2(my - ny, mx - nx) - 2 * math.atan(next_bulge)
        turn = (leaves - (chord + sweep / 2) + math.pi) % (2 * math.pi) - math.pi
        if turn > GENTLE:
            found.append(Corner((x1, y1), turn, 0.0))
        if sweep > GENTLE:
            radius = math.hypot(x1 - x0, y1 - y0) / (2 * math.sin(sweep / 2))
            found.append(Corner(((x0 + x1) / 2, (y0 + y1) / 2), sweep, radius))
    return tuple(found)


def _corners(ctx: Context, part: Part) -> Iterator[Draft]:
    """Corners of a side that stand off the table: the farther one turns, the rounder it has to be."""
    need = ctx.need("corner_round")
    table = min(p.extent[0][2] for p in ctx.cabinet.parts)
    for n, corner in enumerate(corners(part.outline)):
        if part.frame.world(*corner.at)[2] <= table + STANDS:
            continue
        scale = corner.turn / RIGHT_ANGLE
        rating = rate(need, corner.radius, scale=scale, unit="mm")
        because = (
            f"turns by {math.degrees(corner.turn):.0f} deg with a radius of {corner.radius:.2f} mm; needed "
            f"{need.value:g} x {math.degrees(corner.turn):.0f} / 90 = {rating.needed:.2f}"
        )
        told = Told(
            f"Corner in the silhouette of {part.label}",
            because,
            (spot(part, corner.at),),
            _silhouette(ctx, part.frame.world(*corner.at)[0], "radius", 0.0, "Round this corner more"),
        )
        yield Draft(f"{part.id}/corner {n}", (part.id,), rating, partial(said, told), ("corner", n))


def _silhouette(ctx: Context, x: float, field: str, change: float, text: str) -> tuple[Remedy, ...]:
    """The number of the silhouette's point that is nearest to x."""
    points = {k: p[0] for k, p in ctx.cabinet.marks.points.items() if k.startswith("silhouette ")}
    if not points:
        return ()
    name = min(points, key=lambda k: abs(points[k] - x))
    return (ctx.remedy(f"{name.replace(' ', '.')}.{field}", change, text),)


def _ends(ctx: Context, joint: AxisJoint) -> Iterator[Draft]:
    """Ends of a pin that comes through the outermost part it runs in; a handle's ends are free on purpose."""
    if len(joint.members) < 2:
        return
    need = ctx.need("pin_proud")
    for member, start in ((joint.members[0], True), (joint.members[-1], False)):
        part = ctx.part(member)
        if member.depth is not None or not lines_up(part, joint):
            continue
        near, far = span(part, joint)
        proud = near if start else joint.length - far
        rating = rate(need, proud, upper=True)
        because = (
            f"end {abs(proud):.2f} mm {'out of' if proud > 0 else 'below'} the face of {part.label}; at most "
            f"{need.value:g} out of it"
        )
        address = addresses.length(joint)
        remedies = [ctx.remedy(address, -rating.short, "Take a shorter pin")] if address else []
        remedies.append(ctx.remedy(ctx.stock_address(part), 0.0, "Take thicker stock"))
        face = near if start else far
        end = 0.0 if start else joint.length
        told = Told(
            f"End of the {joint.kind} in {part.label}",
            because,
            (along_axis(joint, end, face),),
            tuple(remedies),
        )
        like = (joint.kind, part.id, round(proud, 4))
        yield Draft(
            f"{joint.id}/{'start' if start else 'end'}", (part.id,), rating, partial(said, told), like
        )


def _standing_out(ctx: Context, sides: list[Part]) -> Iterator[Draft]:
    """Parts across the cabinet that stand higher than its sides: their square edges are in the open."""
    need = ctx.need("stands_out")
    shape = shapely.union_all([from_the_side(p) for p in sides])
    for part in (p for p in ctx.cabinet.parts if p.normal_axis != "y"):
        x, z, top = min(_tops(part, shape), key=lambda row: row[2] - row[1])
        rating = rate(need, top - z)
        because = f"sides {top:.2f} - top of the part {z:.2f} = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
        place = Place(
            side_on((part.extent[0][1] + part.extent[1][1]) / 2), "line", ((x, min(z, top)), (x, max(z, top)))
        )
        told = Told(f"{part.label} above the sides", because, (place,), _lower(ctx, part, x, rating.short))
        yield Draft(
            f"{part.id}/above", (part.id,), rating, partial(said, told), ("above", part.id.split("-")[0])
        )


def _handle_beyond(ctx: Context, sides: list[Part]) -> Iterator[Draft]:
    """How far the lifter's handle stands out of the side of the cabinet."""
    low, high = min(p.extent[0][1] for p in sides), max(p.extent[1][1] for p in sides)
    for joint in ctx.of_kind("rod"):
        if [m.part for m in joint.members] != ["lifter"]:
            continue
        first, last = sorted((joint.at[1], joint.at[1] + joint.length * joint.direction[1]))
        out = max(low - first, last - high, 0.0)
        rating = rate(ctx.need("handle_beyond"), out, upper=True)
        because = (
            f"{joint.length:.2f} mm long, from {first:.2f} to {last:.2f} across a cabinet from {low:.2f} to "
            f"{high:.2f}: {out:.2f} mm out of its side; at most {rating.needed:.2f}"
        )
        remedies = (ctx.remedy("lifter.handle_length", -2 * rating.short, "Make the handle shorter"),)
        told = Told("Handle beyond the side", because, (along_axis(joint, joint.length),), remedies)
        yield Draft("lifter/beyond", ("lifter",), rating, partial(said, told))


def _behind_header(ctx: Context) -> Iterator[Draft]:
    """The cleat that carries the header, above and below it."""
    header, cleat = (ctx.cabinet.by_id.get(key) for key in ("header", "cleat-upper"))
    if header is None or cleat is None:
        return
    (x, _, low), (_, _, high) = header.extent
    under, over = cleat.extent[0][2], cleat.extent[1][2]
    rating = rate(ctx.need("cleat_hidden"), min(high - over, under - low))
    because = (
        f"header {low:.2f} to {high:.2f}, cleat {under:.2f} to {over:.2f}: {rating.measured:.2f} mm behind it; "
        f"needed {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy("header.cleat", -2 * rating.short, "Make the cleat less high"),
        ctx.remedy("header.height", 2 * rating.short, "Make the header higher"),
    )
    ends = (high, over) if high - over <= under - low else (low, under)
    middle = (header.extent[0][1] + header.extent[1][1]) / 2
    place = Place(side_on(middle), "line", ((x, min(ends)), (x, max(ends))))
    told = Told("Upper cleat behind the header", because, (place,), remedies)
    yield Draft("cleat-upper/header", (cleat.id, header.id), rating, partial(said, told))


_HEIGHTS = {
    "header": ("header.height", 1.0),
    "cleat-upper": ("header.cleat", 2.0),
    "front-stop": ("lane.stop_height", 1.0),
    "deck": ("lane.deck_height", 1.0),
}
"""What sets how high a part stands, and mm of it for 1 mm of height: the cleat lies in the header's middle."""


def _lower(ctx: Context, part: Part, x: float, short: float) -> tuple[Remedy, ...]:
    raised = _silhouette(ctx, x, "z", 0.0, "Raise the sides here")
    if part.id in _HEIGHTS:
        address, gain = _HEIGHTS[part.id]
        return (ctx.remedy(address, -gain * short, f"Make {part.label.lower()} lower"), *raised)
    return raised


def _tops(part: Part, sides: shapely.Geometry) -> Iterator[tuple[float, float, float]]:
    """Corners of a part from the side: x, z, and the height of the sides there (at their nearest end beyond them)."""
    low, base, high, top = sides.bounds
    x0, y0, x1, y1 = part.outline.bounds
    world = (part.frame.world(u, v, d) for u in (x0, x1) for v in (y0, y1) for d in (0.0, part.thickness))
    for x, _, z in world:
        at = min(max(x, low + OUTSIDE), high - OUTSIDE)
        met = sides.intersection(shapely.LineString([(at, base - 1.0), (at, top + 1.0)]))
        yield x, z, float(met.bounds[3]) if not met.is_empty else base

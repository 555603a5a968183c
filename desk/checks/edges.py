"""Wood between a hole and the edge of its part, and either side of a screw that is driven into an edge."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, Drill, Part
from desk.checks import addresses
from desk.checks.context import FAR, Context, along_axis, lines_up, span, spot
from desk.checks.finding import Remedy
from desk.checks.needs import Need
from desk.checks.registry import Draft, Rating, Sieve, Told, check, rate
from desk.checks.wood import edges, hole_distances, nearest_edge, wood_of
from desk.shapes.frame import dot
from desk.shapes.loop import Point

_EDGE_NEEDS = {"pilot": "screw_edge", "clearance": "screw_clearance_edge"}


@check(28, "hole-edge", "Joints", "Edge and end distances", "There is no hole in this cabinet.")
def hole_edge(ctx: Context) -> Iterator[Draft]:
    """From the middle of each hole to the nearest edge as cut, in diameters of the pin or screw it is for."""
    sieve = Sieve()
    radius = ctx.profile_bit.diameter / 2
    for part in ctx.cabinet.parts:
        if not part.drills:
            continue
        solid = wood_of(ctx, part).kind == "solid"
        for drill, distance in zip(part.drills, hole_distances(part, radius), strict=True):
            need = ctx.need(_EDGE_NEEDS.get(drill.use, "dowel_edge"))
            across = _diameter(ctx, drill)
            if sieve.wants(distance - need.value * across, need.tight * across):
                yield _from_edge(ctx, part, drill, need, distance)
            if solid and drill.use == "pilot":
                yield _from_end(ctx, part, drill)
    for joint in ctx.of_kind("screw"):
        for member in joint.members:
            if not lines_up(ctx.part(member), joint):
                yield _beside_axis(ctx, joint, ctx.part(member))


def _diameter(ctx: Context, drill: Drill) -> float:
    joint = ctx.joints.get(drill.joint)
    return drill.diameter if joint is None else joint.diameter


def _from_edge(ctx: Context, part: Part, drill: Drill, need: Need, distance: float) -> Draft:
    across = _diameter(ctx, drill)
    rating = rate(need, distance, scale=across, unit="mm")

    def tell() -> Told:
        because = (
            f"middle of the hole to the edge {distance:.2f} mm; "
            f"needed {need.value:g} x {across:.2f} = {need.value * across:.2f}"
        )
        edge = nearest_edge(part, ctx.profile_bit.diameter / 2, drill.at)
        places = (spot(part, drill.at, edge),)
        return Told(
            f"Hole near the edge of {part.label}", because, places, _farther_in(ctx, part, drill, rating)
        )

    like = (part.outline, part.stock, drill.at, distance, need.id, across)
    return Draft(f"{part.id}/{drill.joint}/edge", (part.id,), rating, tell, like)


def _farther_in(ctx: Context, part: Part, drill: Drill, rating: Rating) -> tuple[Remedy, ...]:
    return tuple(ctx.remedy(a, k * rating.short, text) for a, k, text in addresses.beside(part, drill.joint))


def _from_end(ctx: Context, part: Part, drill: Drill) -> Draft:
    """Along the grain of solid wood, where a screw splits it."""
    distance = _along(ctx, part, drill.at, part.grain)
    need, across = ctx.need("screw_end"), _diameter(ctx, drill)
    rating = rate(need, distance, scale=across, unit="mm")

    def tell() -> Told:
        because = (
            f"middle of the pilot hole to the end along the grain {distance:.2f} mm; "
            f"needed {need.value:g} x {across:.2f} = {need.value * across:.2f}"
        )
        title = f"Screw near the end grain of {part.label}"
        return Told(title, because, (spot(part, drill.at),), _farther_in(ctx, part, drill, rating))

    return Draft(f"{part.id}/{drill.joint}/end", (part.id,), rating, tell)


def _along(ctx: Context, part: Part, at: Point, way: Point) -> float:
    """Distance from a point to the nearest edge along a direction and against it; 0 where there is none."""
    (x, y), (dx, dy) = at, way
    line = shapely.LineString([(x - FAR * dx, y - FAR * dy), (x + FAR * dx, y + FAR * dy)])
    rims = shapely.intersection(line, np.array(edges(part, ctx.profile_bit.diameter / 2), dtype=object))
    met = shapely.get_coordinates(rims)
    return float(np.hypot(met[:, 0] - x, met[:, 1] - y).min()) if len(met) else 0.0


def _beside_axis(ctx: Context, joint: AxisJoint, part: Part) -> Draft:
    """A screw into an edge: from its axis to the nearer face, and to the nearer side of the part."""
    x, y, depth = part.frame.local(joint.at)
    dx, dy = dot(joint.direction, part.frame.u), dot(joint.direction, part.frame.v)
    enter, leave = span(part, joint)
    end = min(leave, joint.length)
    middle = (enter + end) / 2
    side = _along(ctx, part, (x + middle * dx, y + middle * dy), (dy, -dx))
    wall = min(depth, part.thickness - depth, side)
    need = ctx.need("screw_edge_wall")
    rating = rate(need, wall, scale=joint.diameter, unit="mm")
    tell = partial(_tell_beside, ctx, joint, part, (enter, end), need, rating)
    return Draft(
        f"{part.id}/{joint.id}/wall", (part.id,), rating, tell, (part.id, round(wall, 6), joint.diameter)
    )


def _tell_beside(ctx: Context, joint: AxisJoint, part: Part, ends: Point, need: Need, rating: Rating) -> Told:
    because = (
        f"axis to the nearer face or side {rating.measured:.2f} mm; "
        f"needed {need.value:g} x {joint.diameter:.2f} = {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy(ctx.stock_address(part), 2 * rating.short, "Take thicker stock"),
        ctx.remedy("joint.screw", 0.0, "Take a thinner screw"),
    )
    return Told(
        f"Screw in the edge of {part.label}", because, (along_axis(joint, ends[1], ends[0]),), remedies
    )

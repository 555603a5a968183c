"""Wood between a hole and the edge of its part, and either side of a screw that is driven into an edge."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import AxisJoint, Drill, Part
from desk.checks import addresses
from desk.checks.context import FAR, Context, along_axis, lines_up, span, spot
from desk.checks.registry import Draft, Told, check, rate
from desk.checks.wood import part_rims, wood_of
from desk.shapes.frame import dot
from desk.shapes.loop import Point

_EDGE_NEEDS = {"pilot": "screw_edge", "clearance": "screw_clearance_edge"}


@check(28, "hole-edge", "Joints", "Edge and end distances", "There is no hole in this cabinet.")
def hole_edge(ctx: Context) -> Iterator[Draft]:
    """From the middle of each hole to the nearest edge as cut, in diameters of the pin or screw it is for."""
    for part in ctx.cabinet.parts:
        if not part.drills:
            continue
        rims = part_rims(part, ctx.cabinet.shop)
        spots = tuple(d.at for d in part.drills)
        for drill, distance in zip(part.drills, _distances(spots, rims), strict=True):
            yield _from_edge(ctx, part, drill, distance)
            if drill.use == "pilot" and wood_of(ctx, part).kind == "solid":
                yield _from_end(ctx, part, drill)
    for joint in ctx.cabinet.axis_joints:
        for member in joint.members:
            if joint.kind == "screw" and not lines_up(ctx.part(member), joint):
                yield _beside_axis(ctx, joint, ctx.part(member))


@lru_cache(maxsize=512)
def _distances(spots: tuple[Point, ...], rims: shapely.Geometry) -> list[float]:
    found: NDArray[np.float64] = shapely.distance(shapely.points(np.array(spots)), rims)
    return [float(x) for x in found]


def _diameter(ctx: Context, drill: Drill) -> float:
    joint = ctx.joints.get(drill.joint)
    return drill.diameter if joint is None else joint.diameter


def _from_edge(ctx: Context, part: Part, drill: Drill, distance: float) -> Draft:
    need = ctx.need(_EDGE_NEEDS.get(drill.use, "dowel_edge"))
    across = _diameter(ctx, drill)
    rating = rate(need, distance, scale=across, unit="mm")

    def tell() -> Told:
        because = (
            f"middle of the hole to the edge {distance:.2f} mm; "
            f"needed {need.value:g} x {across:.2f} = {need.value * across:.2f}"
        )
        edge = _nearest_edge(ctx, part, drill.at)
        remedies = tuple(
            ctx.remedy(a, k * rating.short, text) for a, k, text in addresses.beside(part, drill.joint)
        )
        return Told(f"Hole near the edge of {part.label}", because, (spot(part, drill.at, edge),), remedies)

    like = (part.outline, part.stock, drill.at, distance, need.id, across)
    return Draft(f"{part.id}/{drill.joint}/edge", (part.id,), rating, tell, like)


def _nearest_edge(ctx: Context, part: Part, at: Point) -> Point:
    rims = part_rims(part, ctx.cabinet.shop)
    end = shapely.get_coordinates(shapely.shortest_line(rims, shapely.Point(at)))[0]
    return float(end[0]), float(end[1])


def _from_end(ctx: Context, part: Part, drill: Drill) -> Draft:
    """Along the grain of solid wood, where a screw splits it."""
    (x, y), (gx, gy) = drill.at, part.grain
    rims = part_rims(part, ctx.cabinet.shop)
    line = shapely.LineString([(x - FAR * gx, y - FAR * gy), (x + FAR * gx, y + FAR * gy)])
    met = shapely.get_coordinates(shapely.intersection(line, rims))
    distance = float(np.hypot(met[:, 0] - x, met[:, 1] - y).min())
    need, across = ctx.need("screw_end"), _diameter(ctx, drill)
    rating = rate(need, distance, scale=across, unit="mm")

    def tell() -> Told:
        because = (
            f"middle of the pilot hole to the end along the grain {distance:.2f} mm; "
            f"needed {need.value:g} x {across:.2f} = {need.value * across:.2f}"
        )
        remedies = tuple(
            ctx.remedy(a, k * rating.short, text) for a, k, text in addresses.beside(part, drill.joint)
        )
        return Told(f"Screw near the end grain of {part.label}", because, (spot(part, drill.at),), remedies)

    return Draft(f"{part.id}/{drill.joint}/end", (part.id,), rating, tell)


def _beside_axis(ctx: Context, joint: AxisJoint, part: Part) -> Draft:
    """A screw into an edge: from its axis to the nearer face, and to the nearer side of the part."""
    x, y, depth = part.frame.local(joint.at)
    dx, dy = dot(joint.direction, part.frame.u), dot(joint.direction, part.frame.v)
    enter, leave = span(part, joint)
    middle = (enter + min(leave, joint.length)) / 2
    mx, my = x + middle * dx, y + middle * dy
    line = shapely.LineString([(mx + FAR * dy, my - FAR * dx), (mx - FAR * dy, my + FAR * dx)])
    met = shapely.get_coordinates(shapely.intersection(line, part_rims(part, ctx.cabinet.shop)))
    side = float(np.hypot(met[:, 0] - mx, met[:, 1] - my).min()) if len(met) else 0.0
    wall = min(depth, part.thickness - depth, side)
    need = ctx.need("screw_edge_wall")
    rating = rate(need, wall, scale=joint.diameter, unit="mm")

    def tell() -> Told:
        because = (
            f"axis to the nearer face or side {wall:.2f} mm; "
            f"needed {need.value:g} x {joint.diameter:.2f} = {need.value * joint.diameter:.2f}"
        )
        remedies = (
            ctx.remedy(ctx.stock_address(part), 2 * rating.short, "Take thicker stock"),
            ctx.remedy("joint.screw", 0.0, "Take a thinner screw"),
        )
        places = (along_axis(joint, min(leave, joint.length), enter),)
        return Told(f"Screw in the edge of {part.label}", because, places, remedies)

    return Draft(
        f"{part.id}/{joint.id}/wall", (part.id,), rating, tell, (part.id, round(wall, 6), joint.diameter)
    )

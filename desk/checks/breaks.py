"""Rounded and chamfered edges: how much of the thickness they take, and what lies behind them.

A rounding of radius r is taken as the quarter circle it is, a chamfer as its leg at 45 degrees; both start at the
face they are cut on, or at the floor of the pocket there. Edges are broken by hand after the machine's work.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, EdgeBreak, Face, Part
from desk.checks import addresses
from desk.checks.bodies import prisms
from desk.checks.context import Context, lines_up, patch, span, spot
from desk.checks.finding import Place
from desk.checks.registry import Draft, Rating, Told, check, rate
from desk.shapes.frame import dot
from desk.shapes.loop import SAME, Loop, Point, polyline

ROUGH = 0.05
"""Distances to rails are told in steps of this, mm: arcs stand as chords, up to a hundredth beside them each."""
NOTHING = "No edge of this cabinet is rounded or chamfered."


class Behind(NamedTuple):
    """What lies behind a broken edge: its name and id, its shape in plan (a point for a hole), the hole's radius, and
    depths from the face the edge is broken on.
    """

    what: str
    id: str
    shape: shapely.Geometry
    radius: float
    depths: Point


def wood_left(edge: EdgeBreak, inset: float, low: float, high: float) -> float:
    """Wood between the broken edge and something ``inset`` mm in from the edge, at depths ``low`` to ``high`` from the
    face; below zero where the one runs into the other, inf where it lies deeper or farther in than the break goes.

    A rounding keeps the circle about (r, r): what is left to a corner at (x, y) is r - sqrt((r - x)² + (r - y)²), and a
    chamfer of leg c leaves (x + y - c) / sqrt 2. What is open at the edge itself leaves the edge between both.
    """
    size = edge.size
    if inset <= SAME and low >= size:
        return low - size
    if inset >= size or low >= size or high <= 0:
        return math.inf
    x, y = max(inset, 0.0), max(low, 0.0)
    if edge.kind == "rounding":
        return size - math.hypot(size - x, size - y)
    return (x + y - size) / math.sqrt(2)


@check(44, "broken-edge", "Cutting", "Rounded and chamfered edges", NOTHING)
def broken_edge(ctx: Context) -> Iterator[Draft]:
    """Each broken edge against the thickness under it, against holes and pockets behind it, and against rails."""
    for part in ctx.cabinet.parts:
        for number, edge in enumerate(part.breaks, 1):
            floor = floor_of(part, edge)
            yield _share(ctx, part, edge, number, floor)
            yield from _behind(ctx, part, edge, floor)
            yield from _rails(ctx, part, edge, floor)


@lru_cache(maxsize=512)
def line_of(edge: EdgeBreak) -> shapely.LineString:
    """The path of a broken edge as a line."""
    points = Loop(edge.path).coords.tolist() if edge.closed else polyline(edge.path)
    return shapely.LineString([*points, points[0]] if edge.closed else points)


@lru_cache(maxsize=512)
def floor_of(part: Part, edge: EdgeBreak) -> float:
    """Depth, from the edge's face, of the surface it is broken at: that of the deepest pocket it runs in."""
    line, found = line_of(edge), 0.0
    for prism in prisms(part):
        deep = prism.depths[1] - prism.depths[0]
        pocket = prism.face == edge.face and deep < part.thickness - SAME
        if pocket and line.within(prism.shape.buffer(SAME)):
            found = max(found, deep)
    return found


def _address(edge: EdgeBreak) -> str:
    return "board.chamfer" if edge.closed else "shop.edge_round"


def _place(part: Part, edge: EdgeBreak) -> Place:
    """The whole rim of a hole; of an edge the straight run at half its length, so that a flag stands on the edge."""
    line = line_of(edge)
    points = [(x, y) for x, y in shapely.get_coordinates(line).tolist()]
    if not edge.closed:
        half, run = line.length / 2, 0.0
        for ends in pairwise(points):
            run += math.dist(*ends)
            if run >= half:
                points = list(ends)
                break
    return Place(part.frame, "line", tuple(points))


def _share(ctx: Context, part: Part, edge: EdgeBreak, number: int, floor: float) -> Draft:
    """Size of the break against what is left of the thickness; breaks of both faces along one edge add up."""
    thick = part.thickness - floor
    other = max((o.size for o in part.breaks if o.face != edge.face and _meet(o, edge)), default=0.0)
    rating = rate(
        ctx.need("break_share"), max(edge.size, (edge.size + other) / 2), upper=True, scale=thick, unit="mm"
    )

    def tell() -> Told:
        both = f", with {other:.2f} on the other face" if other else ""
        because = (
            f"{edge.kind} {edge.size:.2f} mm{both} on {thick:.2f} mm of wood; at most {rating.needed:.2f}, "
            f"{ctx.need('break_share').value:g} of it"
        )
        more = rating.short / ctx.need("break_share").value
        thicker = ctx.remedy(ctx.stock_address(part), more, "Take thicker stock")
        if thick < part.thickness - SAME:
            thicker = ctx.remedy("board.floor", more, "Leave a thicker floor under the carving")
        remedies = (ctx.remedy(_address(edge), -rating.short, "Break the edge less"), thicker)
        title = f"{edge.kind.capitalize()} of the {edge.use} of {part.label}"
        return Told(title, because, (_place(part, edge),), remedies)

    like = ("share", part.stock, edge.kind, edge.size, floor, other)
    return Draft(f"{part.id}/{edge.use} {number}/share", (part.id,), rating, tell, like)


def _meet(one: EdgeBreak, two: EdgeBreak) -> bool:
    return bool(line_of(one).distance(line_of(two)) < one.size + two.size)


def _behind(ctx: Context, part: Part, edge: EdgeBreak, floor: float) -> Iterator[Draft]:
    need = ctx.need("break_wall")
    for thing, inset in near_things(part, edge):
        joint = ctx.joints.get(thing.id)
        low, high = thing.depths
        if joint is not None and not lines_up(part, joint):
            continue
        if joint is not None and joint.members[-1].part == part.id and joint.kind == "screw":
            low, high = _with_point(part, edge, joint, (low, high))
        left = wood_left(edge, inset, low - floor, high - floor)
        if left < need.clear:
            rating = rate(need, left)
            tell = partial(_tell_behind, ctx, part, edge, thing, inset, rating)
            like = (part.id, "behind", thing.what, edge.size, round(left, 3))
            yield Draft(f"{part.id}/{edge.use}/{thing.id}", (part.id,), rating, tell, like)


@lru_cache(maxsize=512)
def near_things(part: Part, edge: EdgeBreak) -> tuple[tuple[Behind, float], ...]:
    """Holes, pockets and openings that come nearer to a broken edge than it goes, with how far in they start, mm."""
    own = edge.use.removeprefix("rim of ")
    things = [t for t in _things(part, edge.face) if t.id != own]
    if not things:
        return ()
    line = line_of(edge)
    shapely.prepare(line)
    radii = np.array([t.radius for t in things])
    shapes = np.array([t.shape for t in things])
    near = np.nonzero(shapely.dwithin(line, shapes, edge.size + radii))[0]
    insets = shapely.distance(line, shapes[near]) - radii[near]
    return tuple((things[k], float(inset)) for k, inset in zip(near, insets, strict=True))


def _things(part: Part, face: Face) -> Iterator[Behind]:
    for drill in part.drills:
        depth = part.thickness if drill.depth is None else min(drill.depth, part.thickness)
        what, at = f"the {drill.diameter:.2f} mm hole", shapely.Point(drill.at)
        depths = _from_face(part, drill.face == face, depth)
        yield Behind(what, drill.joint, at, drill.diameter / 2, depths)
    for prism in prisms(part):
        if prism.plain and not prism.what.endswith("carving"):
            deep = prism.depths[1] - prism.depths[0]
            depths = _from_face(part, prism.face == face, deep)
            yield Behind(prism.what, prism.owner, prism.shape, 0.0, depths)


def _with_point(part: Part, edge: EdgeBreak, joint: AxisJoint, depths: Point) -> Point:
    """The depths of a pilot hole, as deep as the screw's point goes."""
    enter, leave = span(part, joint)
    deep = min(joint.length, leave) - enter
    mouth: Face = "A" if dot(joint.direction, part.frame.normal) < 0 else "B"
    low, high = _from_face(part, mouth == edge.face, deep)
    return min(low, depths[0]), max(high, depths[1])


def _from_face(part: Part, same: bool, depth: float) -> Point:
    """Range of depth from a face, of what is cut ``depth`` deep from the same or the other face."""
    return (0.0, depth) if same else (part.thickness - depth, part.thickness)


def _tell_behind(
    ctx: Context, part: Part, edge: EdgeBreak, thing: Behind, inset: float, rating: Rating
) -> Told:
    low = max(thing.depths[0], 0.0)
    because = (
        f"{edge.kind} {edge.size:.2f} mm, {thing.what} {inset:.2f} in from the edge and {low:.2f} under the face: "
        f"{rating.measured:.2f} mm left; needed {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy(_address(edge), 0.0, "Break the edge less"),
        *(ctx.remedy(a, 0.0, text) for a, _, text in addresses.beside(part, thing.id)),
    )
    near = shapely.get_coordinates(shapely.shortest_line(line_of(edge), thing.shape)).tolist()
    places = (spot(part, (near[0][0], near[0][1]), (near[1][0], near[1][1])),)
    return Told(f"{edge.kind.capitalize()} and {thing.what} in {part.label}", because, places, remedies)


def _rails(ctx: Context, part: Part, edge: EdgeBreak, floor: float) -> Iterator[Draft]:
    """How far a chamfer or a rounding at a pocket's floor reaches in under what is left standing beside it."""
    need = ctx.need("rim_rail")
    for number, rail, away in near_rails(part, edge, floor):
        rating = rate(need, edge.size - away, upper=True)
        tell = partial(_tell_rail, ctx, part, edge, rail, rating)
        like = (part.id, "rail", edge.size, round(away, 3))
        yield Draft(f"{part.id}/{edge.use}/rail {number}", (part.id,), rating, tell, like)


@lru_cache(maxsize=512)
def near_rails(part: Part, edge: EdgeBreak, floor: float) -> tuple[tuple[int, Loop, float], ...]:
    """What is left standing in the pocket an edge is broken in, nearer to it than it goes: number, outline, distance
    in mm. A hollow in it is no wood.
    """
    line, found = line_of(edge), []
    hollows = [p.loop.polygon for p in part.pockets if p.face == edge.face and not p.islands]
    for pocket in part.pockets:
        if floor <= 0 or pocket.face != edge.face or abs(pocket.depth - floor) > SAME:
            continue
        for number, island in enumerate(pocket.islands, 1):
            wood = island.polygon
            if not line.dwithin(wood, edge.size):
                continue
            for hollow in hollows:
                wood = wood.difference(hollow) if wood.contains(hollow) else wood
            away = round(float(line.distance(wood)) / ROUGH) * ROUGH
            if away < edge.size:
                found.append((number, island, away))
    return tuple(found)


def _tell_rail(ctx: Context, part: Part, edge: EdgeBreak, rail: Loop, rating: Rating) -> Told:
    bite = rating.measured or 0.0
    because = (
        f"{edge.kind} {edge.size:.2f} mm, the rail {edge.size - bite:.2f} mm from the edge: "
        f"{bite:.2f} mm past the rail's foot; at most {rating.needed:.2f}"
    )
    number = edge.use.rpartition(" ")[2]
    remedies = [ctx.remedy(_address(edge), -rating.short, "Break the edge less")]
    if number.isdigit():
        remedies.append(ctx.remedy(f"targets.{number}.rail", 0.0, "Set the rail farther from the hole"))
    title = f"{edge.kind.capitalize()} of the {edge.use} beside a rail of {part.label}"
    return Told(title, because, (_place(part, edge), patch(part, rail)), tuple(remedies))

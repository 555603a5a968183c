"""What is cut into parts and driven through them, as bodies in space: holes, countersinks, pins and screws, V-grooves
as round bodies; pockets and openings as flat shapes with a range of depth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Literal, NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, Drill, Face, Groove, Member, Part
from desk.checks.context import Context, along_axis, lines_up, span, spot
from desk.checks.finding import Place
from desk.checks.solids import Disc, Hulls, Reals, hulls
from desk.shapes.frame import Vec, add
from desk.shapes.loop import SAME, Point, polyline

Kind = Literal["driven", "hole", "edge hole", "countersink", "groove"]
HARDWARE = ""
"""Stands for the part of what is driven through parts."""
SLOPE = 1.0
"""Spread of a countersink for its depth where no screw tells it: a cutter of 90 degrees."""


class Round(NamedTuple):
    """One round body. ``part`` is the part it is cut in, or HARDWARE; ``owner`` the joint, or the groove's name.

    A "hole" is drilled along the part's normal; the wood between it and other such holes and pockets is a web.
    """

    what: str
    owner: str
    part: str
    discs: tuple[Disc, ...]
    axis: Vec
    kind: Kind


class Prism(NamedTuple):
    """A pocket or an opening: its shape in the part's coordinates, and depths from face A."""

    what: str
    owner: str
    part: Part
    shape: shapely.Geometry
    bounds: tuple[float, float, float, float]
    depths: Point
    face: Face
    plain: bool
    """Without wood left standing in it."""


class Bodies:
    """Every body of a cabinet."""

    def __init__(self, ctx: Context) -> None:
        self.ctx = ctx
        self.rounds = [*_hardware(ctx), *_holes(ctx)]
        self.grooves = [g for part in ctx.cabinet.parts for g in _grooves(part)]
        self.prisms = [p for part in ctx.cabinet.parts for p in prisms(part)]

    @cached_property
    def hulls(self) -> Hulls:
        """The holes, pins and screws, in the order of ``rounds``."""
        return hulls([r.discs for r in self.rounds], [r.axis for r in self.rounds])

    @cached_property
    def groove_hulls(self) -> Hulls:
        """The runs of V-grooves, in the order of ``grooves``."""
        return hulls([g.discs for g in self.grooves], [g.axis for g in self.grooves])

    @cached_property
    def prism_boxes(self) -> Reals:
        """World boxes round the pockets and openings, (n, 2, 3)."""
        return np.array([_box(p) for p in self.prisms]).reshape(-1, 2, 3)

    def place(self, one: Round) -> Place:
        """Where a round body is."""
        joint = self.ctx.joints.get(one.owner)
        if joint is not None:
            along = [_along(joint, centre) for centre, _ in one.discs]
            return along_axis(joint, max(along), min(along))
        part = self.ctx.cabinet.by_id[one.part]
        (x0, y0, _), (x1, y1, _) = (part.frame.local(one.discs[k][0]) for k in (0, -1))
        return spot(part, (x0, y0), (x1, y1))


def _along(joint: AxisJoint, point: Vec) -> float:
    return sum((p - a) * d for p, a, d in zip(point, joint.at, joint.direction, strict=True))


def _hardware(ctx: Context) -> Iterator[Round]:
    """Pins and screws over their whole length; a screw's point counts as thick as its shank."""
    for joint in ctx.cabinet.axis_joints:
        if joint.length > SAME:
            far = add(joint.at, joint.direction, joint.length)
            radius = joint.diameter / 2
            what = f"{joint.diameter:.2f} mm {joint.kind}"
            yield Round(
                what, joint.id, HARDWARE, ((joint.at, radius), (far, radius)), joint.direction, "driven"
            )


def _holes(ctx: Context) -> Iterator[Round]:
    for part in ctx.cabinet.parts:
        for drill in part.drills:
            joint = ctx.joints.get(drill.joint)
            if joint is None or lines_up(part, joint):
                yield from _drilled(part, drill, joint)
    for joint in ctx.cabinet.axis_joints:
        for number, member in enumerate(joint.members):
            part = ctx.part(member)
            if not lines_up(part, joint):
                yield _in_edge(part, joint, member, number == 0)


def _drilled(part: Part, drill: Drill, joint: AxisJoint | None) -> Iterator[Round]:
    """A hole along the part's normal, and its countersink."""
    depth = part.thickness if drill.depth is None else min(drill.depth, part.thickness)
    start, way = (0.0, 1.0) if drill.face == "A" else (part.thickness, -1.0)
    inward = part.frame.normal
    axis = (-way * inward[0], -way * inward[1], -way * inward[2])
    mouth = part.frame.world(*drill.at, start)
    pin = f" for a {joint.kind}" if joint else ""
    radius = drill.diameter / 2
    ends = ((mouth, radius), (add(mouth, axis, depth), radius))
    yield Round(f"{drill.diameter:.2f} mm hole{pin}", drill.joint, part.id, ends, axis, "hole")
    if drill.head > drill.diameter:
        deep = min(countersink_depth(drill.head, drill.diameter, joint), part.thickness)
        cone = ((mouth, drill.head / 2), (add(mouth, axis, deep), radius))
        yield Round(f"{drill.head:.2f} mm countersink", drill.joint, part.id, cone, axis, "countersink")


def countersink_depth(head: float, hole: float, joint: AxisJoint | None) -> float:
    """Depth of a countersink ``head`` mm wide over a hole, mm, cut at the angle of the screw's own head."""
    spread = SLOPE
    if joint is not None and joint.head_height > SAME:
        spread = (joint.head - joint.diameter) / 2 / joint.head_height
    return (head - hole) / 2 / spread


def _in_edge(part: Part, joint: AxisJoint, member: Member, first: bool) -> Round:
    """A hole drilled into the part's edge."""
    enter, leave = span(part, joint)
    if member.depth is not None:
        enter, leave = (leave - member.depth, leave) if first else (enter, enter + member.depth)
    radius = member.diameter / 2
    ends = tuple((add(joint.at, joint.direction, t), radius) for t in (enter, leave))
    what = f"{member.diameter:.2f} mm hole for a {joint.kind} in the edge"
    return Round(what, joint.id, part.id, ends, joint.direction, "edge hole")


@lru_cache(maxsize=256)
def _grooves(part: Part) -> tuple[Round, ...]:
    """The straight runs of V-grooves; arcs by their chords."""
    return tuple(run for groove in part.grooves for run in _runs(part, groove))


def _runs(part: Part, groove: Groove) -> Iterator[Round]:
    half = half_width(groove)
    face, way = (0.0, 1.0) if groove.face == "A" else (part.thickness, -1.0)
    name = f"{part.id}/{groove.use}"
    for path in groove.paths:
        for (x0, y0), (x1, y1) in pairwise(polyline(path)):
            tops = part.frame.world(x0, y0, face), part.frame.world(x1, y1, face)
            deep = face + way * groove.depth
            tips = part.frame.world(x0, y0, deep), part.frame.world(x1, y1, deep)
            discs = ((tops[0], half), (tips[0], 0.0), (tips[1], 0.0), (tops[1], half))
            yield Round(groove.use, name, part.id, discs, part.frame.normal, "groove")


def half_width(groove: Groove) -> float:
    """Half the width of a V-groove at the face, mm: depth x tan(angle / 2)."""
    return groove.depth * math.tan(math.radians(groove.angle / 2))


@lru_cache(maxsize=512)
def prisms(part: Part) -> tuple[Prism, ...]:
    """The pockets and openings of a part, as far as they lie in it."""
    thick = part.thickness
    found = [
        Prism(f"the {c.use}", c.use, part, c.loop.polygon, c.loop.bounds, (0.0, thick), "A", True)
        for c in part.cutouts
    ]
    for number, pocket in enumerate(part.pockets, 1):
        depths = (0.0, pocket.depth) if pocket.face == "A" else (thick - pocket.depth, thick)
        shape = pocket.loop.polygon.intersection(part.outline.polygon)
        for island in pocket.islands:
            shape = shape.difference(island.polygon)
        owner, plain = pocket.joint or f"{pocket.use} {number}", not pocket.islands
        if not shape.is_empty:
            what, bounds = f"the {pocket.use}", shape.bounds
            found.append(Prism(what, owner, part, shape, bounds, depths, pocket.face, plain))
    return tuple(found)


def _box(prism: Prism) -> tuple[Vec, Vec]:
    x0, y0, x1, y1 = prism.bounds
    world = prism.part.frame.world
    corners = [world(x, y, d) for x in (x0, x1) for y in (y0, y1) for d in prism.depths]
    xs, ys, zs = zip(*corners, strict=True)
    return (min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs))


def prism_gap(body: Round, prism: Prism) -> float:
    """Wood between a round body and a pocket or opening, mm; below zero where they meet.

    A body along the part's normal is a disc in plan, another one the band it covers, taken as wide as it is thick.
    """
    local = [prism.part.frame.local(centre) for centre, _ in body.discs]
    radius = max(r for _, r in body.discs)
    lean = abs(sum(a * n for a, n in zip(body.axis, prism.part.frame.normal, strict=True)))
    depths = [d for _, _, d in local]
    thick = radius * math.sqrt(max(1 - lean * lean, 0.0))
    shape = prism.shape
    plan = shapely.Point(local[0][:2]) if lean > 1 - SAME else shapely.LineString([p[:2] for p in local])
    apart = float(plan.distance(shape)) - radius
    if apart <= -radius + SAME:
        apart = -radius - (float(plan.distance(shape.boundary)) if lean > 1 - SAME else 0.0)
    deep = max(min(depths) - thick - prism.depths[1], prism.depths[0] - max(depths) - thick)
    return together(apart, deep)


def together(apart: float, deep: float) -> float:
    """The gap of two bodies from their gaps on the face and in depth; below zero where both overlap."""
    return math.hypot(apart, deep) if apart > 0 and deep > 0 else max(apart, deep)

"""Holes that one pin or screw runs through: do they lie on one axis, open to each other, and have the joint's size.

Read on what is drilled into the parts, in space. The builder derives all of them from the joint; a part that is brought
in or changed need not agree with it. Holes drilled by hand follow the part in front and are left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from itertools import combinations, pairwise
from typing import NamedTuple

from desk.cabinet.model import AxisJoint, Drill, Member, Part
from desk.checks.context import Context, along_axis, lines_up, span, spot
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check, rate
from desk.shapes.frame import Vec, add, dot

FAMILY = "Joints"
NOTHING = "There is no pin or screw in this cabinet."


class Bored(NamedTuple):
    """One hole as drilled: its part, where its axis lies off the joint's (a world vector), the stretch of the axis that
    is bored and the part's own, mm from the joint's start.
    """

    member: Member
    part: Part
    drill: Drill
    off: Vec
    bored: tuple[float, float]
    body: tuple[float, float]


@check(35, "mating-holes", FAMILY, "Holes of one joint meet", NOTHING)
def mating_holes(ctx: Context) -> Iterator[Draft]:
    """Axes of the holes of each joint against each other, wood left between them, and their sizes."""
    for joint in ctx.cabinet.axis_joints:
        holes = [hole for m in joint.members if not m.by_hand and (hole := bored(ctx, joint, m))]
        if len(holes) > 1:
            yield _axis(ctx, joint, holes)
        if holes:
            yield _size(ctx, joint, holes)


def bored(ctx: Context, joint: AxisJoint, member: Member) -> Bored:
    """The hole of a member as drilled. Raises CannotEvaluate when it is missing, MissesPartError when the axis is."""
    part = ctx.part(member)
    drill = next((d for d in part.drills if d.joint == joint.id), None)
    if drill is None:
        raise CannotEvaluate(f"{part.label} has no hole for its {joint.kind}", (part.id,))
    body = span(part, joint)
    if not lines_up(part, joint):
        end = body[1] if drill.depth is None else body[0] + drill.depth
        return Bored(member, part, drill, _across(joint, part.frame.world(*drill.at)), (body[0], end), body)
    depth = part.thickness if drill.depth is None else min(drill.depth, part.thickness)
    # depths from face A run with the axis when the part's normal looks back at the joint's start
    from_start = (drill.face == "A") == (dot(part.frame.normal, joint.direction) < 0)
    stretch = (body[0], body[0] + depth) if from_start else (body[1] - depth, body[1])
    return Bored(member, part, drill, _across(joint, part.frame.world(*drill.at)), stretch, body)


def _across(joint: AxisJoint, point: Vec) -> Vec:
    """From the joint's axis square to a point."""
    away = add(point, joint.at, -1.0)
    return add(away, joint.direction, -dot(away, joint.direction))


def _apart(a: Bored, b: Bored) -> float:
    """How far the axes of two holes lie apart; for a hole into an edge, along that edge's face."""
    away = add(a.off, b.off, -1.0)
    return math.sqrt(dot(away, away))


def _axis(ctx: Context, joint: AxisJoint, holes: list[Bored]) -> Draft:
    lined = [h for h in holes if lines_up(h.part, joint)] or holes
    a, b = max(combinations(lined, 2), key=lambda pair: _apart(*pair), default=(lined[0], lined[0]))
    rating = rate(ctx.need("mating_axis"), _apart(a, b), upper=True)
    parts = tuple(h.part.id for h in (a, b))
    return Draft(f"{joint.id}/axis", parts, rating, partial(_tell_axis, joint, a, b, rating))


def _tell_axis(joint: AxisJoint, a: Bored, b: Bored, rating: Rating) -> Told:
    x, y, z = add(a.off, b.off, -1.0)
    because = (
        f"sqrt({x:.2f}² + {y:.2f}² + {z:.2f}²) = {rating.measured:.2f} mm between the axes of the holes in "
        f"{a.part.label} and {b.part.label}; at most {rating.needed:.2f}"
    )
    places = (spot(a.part, a.drill.at), spot(b.part, b.drill.at), along_axis(joint, b.body[1], a.body[0]))
    names = f"{a.part.label}, {b.part.label}"
    if rating.status == "clear":
        return Told(f"Holes of one {joint.kind} meet: {names}", because, places)
    belongs = " and ".join(f"{h.part.label} at ({_belongs(h, joint)})" for h in (a, b))
    return Told(
        f"Holes of one {joint.kind} do not meet: {names}", f"{because}. They belong in {belongs}", places
    )


def _belongs(hole: Bored, joint: AxisJoint) -> str:
    """Where in its part the joint's axis runs."""
    x, y, _ = hole.part.frame.local(joint.at)
    return f"{x:.2f}, {y:.2f}"


def _size(ctx: Context, joint: AxisJoint, holes: list[Bored]) -> Draft:
    """The worst of: wood left between two holes, a depth and a diameter that are not the joint's."""
    found = (
        [_deep(h) for h in holes] + [_wide(h) for h in holes] + [_between(a, b) for a, b in pairwise(holes)]
    )
    off, parts, words = max(found, key=lambda f: f[0])
    rating = rate(ctx.need("mating_depth"), off, upper=True)
    tell = partial(_tell_size, joint, parts, words, rating)
    return Draft(f"{joint.id}/size", tuple(h.part.id for h in parts), rating, tell)


Reading = tuple[float, tuple[Bored, ...], str]
"""How far off, mm, the holes concerned, and the sum in words."""


def _deep(hole: Bored) -> Reading:
    bored, wanted = hole.bored[1] - hole.bored[0], hole.member.depth
    whole = hole.body[1] - hole.body[0]
    deep = whole if wanted is None else min(wanted, whole)
    return abs(bored - deep), (hole,), f"drilled {bored:.2f} deep, the joint has {deep:.2f}"


def _wide(hole: Bored) -> Reading:
    drilled, wanted = hole.drill.diameter, hole.member.diameter
    return abs(drilled - wanted), (hole,), f"drilled {drilled:.2f} wide, the joint has {wanted:.2f}"


def _between(a: Bored, b: Bored) -> Reading:
    left, right = max(a.body[1] - a.bored[1], 0.0), max(b.bored[0] - b.body[0], 0.0)
    words = (
        f"{left:.2f} mm of wood left in {a.part.label} + {right:.2f} in {b.part.label} between the two holes"
    )
    return left + right, (a, b), words


def _tell_size(joint: AxisJoint, holes: tuple[Bored, ...], words: str, rating: Rating) -> Told:
    names = ", ".join(h.part.label for h in holes)
    because = (
        f"{words}: {rating.measured:.2f} mm off; at most {rating.needed:.2f}. Drill it as the joint has it"
    )
    places = (
        *(spot(h.part, h.drill.at) for h in holes),
        along_axis(joint, holes[-1].body[1], holes[0].body[0]),
    )
    if rating.status == "clear":
        return Told(f"Holes of one {joint.kind} as deep and wide as it: {names}", because, places)
    return Told(f"Hole for a {joint.kind} not as its joint has it: {names}", because, places)

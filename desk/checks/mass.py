"""How much wood there is in each part as cut, where its middle lies, and what the whole cabinet weighs.

Openings, pockets and drilled holes are taken off; rounded edges, chamfers and V-grooves are not. Volumes in mm³,
weights in kg.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import shapely

from desk.cabinet.ascut import opening_as_cut, outline_as_cut, pocket_as_cut
from desk.cabinet.model import AxisJoint, Part
from desk.checks.context import Context
from desk.shapes.frame import Vec, add
from desk.shop.loads import load
from desk.shop.materials import ball_mass

CUBIC_METRE = 1e9
"""mm³ in a cubic metre."""


class Lump(NamedTuple):
    """A volume, mm³, or a weight, kg, and the world point of its middle, mm."""

    size: float
    middle: Vec


def together(lumps: Iterable[Lump]) -> Lump:
    """All of them as one. Raises ZeroDivisionError when there is nothing."""
    every = list(lumps)
    size = sum(one.size for one in every)
    x, y, z = (sum(one.size * one.middle[k] for one in every) / size for k in range(3))
    return Lump(size, (x, y, z))


@lru_cache(maxsize=512)
def wood(part: Part, profile: float, pocket: float) -> Lump:
    """The wood left of a part cut with bits of these radii, mm."""
    face = outline_as_cut(part.outline, profile)
    for cutout in part.cutouts:
        face = face.difference(opening_as_cut(cutout.loop, profile))
    pieces = [(face, 0.0, part.thickness, 1.0)]
    pieces += ((shape, top, low, -1.0) for shape, top, low in _pocketed(part, face, pocket))
    for hole in part.drills:
        depth = part.thickness if hole.depth is None else min(hole.depth, part.thickness)
        top = 0.0 if hole.face == "A" else part.thickness - depth
        disc = shapely.Point(hole.at).buffer(hole.diameter / 2, quad_segs=16)
        # the polygon lacks a little of the circle's area
        full = math.pi * hole.diameter**2 / 4 / float(disc.area)
        pieces.append((disc, top, top + depth, -full))
    lumps = []
    for shape, top, low, sign in pieces:
        if not shape.is_empty:
            middle = shape.centroid
            where = part.frame.world(float(middle.x), float(middle.y), (top + low) / 2)
            lumps.append(Lump(sign * float(shape.area) * (low - top), where))
    return together(lumps)


def _pocketed(
    part: Part, face: shapely.Geometry, radius: float
) -> list[tuple[shapely.Geometry, float, float]]:
    """What the pockets take away, in slices: shape, depth from and to face A. Pockets in each other count once."""
    out = []
    for side in ("A", "B"):
        own = [p for p in part.pockets if p.face == side]
        for high, deep in pairwise((0.0, *sorted({min(p.depth, part.thickness) for p in own}))):
            reached = [pocket_as_cut(p, radius) for p in own if p.depth >= deep]
            shape = shapely.union_all(reached).intersection(face)
            slice_ = (high, deep) if side == "A" else (part.thickness - deep, part.thickness - high)
            out.append((shape, *slice_))
    return out


def part_weight(ctx: Context, part: Part) -> Lump:
    """Weight of a part as cut, kg, and its middle."""
    left = wood(part, ctx.profile_bit.diameter / 2, ctx.pocket_bit.diameter / 2)
    return Lump(left.size / CUBIC_METRE * ctx.material(part).density, left.middle)


def joint_weight(ctx: Context, joint: AxisJoint) -> Lump:
    """Weight of a pin or a screw, a plain cylinder, kg, and its middle."""
    density = load("steel" if joint.kind == "screw" else "dowel_wood", ctx.cabinet.tables).value
    weight = math.pi / 4 * joint.diameter**2 * joint.length / CUBIC_METRE * density
    return Lump(weight, add(joint.at, joint.direction, joint.length / 2))


def cabinet_weight(ctx: Context) -> Lump:
    """The cabinet with its pins and screws, without balls, lacquer and glue."""
    parts = [part_weight(ctx, part) for part in ctx.cabinet.parts]
    return together(parts + [joint_weight(ctx, joint) for joint in ctx.cabinet.axis_joints])


def balls_weight(ctx: Context) -> float:
    """All balls of the box at their largest, kg."""
    balls = ctx.cabinet.balls
    return balls.count * ball_mass(balls.largest, balls.density)

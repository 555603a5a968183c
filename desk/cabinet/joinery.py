"""Joints cut into parts: every mating hole, tab and mortise comes from one joint record, so they cannot drift apart.

An axis joint (dowel, rod, pin, screw) gives each member a hole where its axis pierces the member's plane. A tab joint
gives the cross part its tab and the wall its mortise. Corners of tab roots and mortises are relieved by the bit.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import lru_cache

from msgspec.structs import replace

from desk.cabinet.model import AxisJoint, Drill, Member, Part, Pocket, PocketUse, TabJoint
from desk.shapes.frame import Frame, Vec
from desk.shapes.loop import Loop, Vertex, relieved_rect

_FULL = 1e-6


def tabbed_outline(width: float, length: float, tabs: Sequence[TabJoint], gap: float) -> Loop:
    """Outline of a cross part of ``width`` (its local x) by ``length`` (its local y) with its tabs.

    Each tab stands out ``gap + reach`` from its side. Root corners are relieved with the joint's ``relief`` radius,
    cut down where the tab is too short or too near an end for it; a tab over the whole length just makes the
    part longer.
    """
    low = sorted((t for t in tabs if t.side == "low"), key=lambda t: t.start)
    high = sorted((t for t in tabs if t.side == "high"), key=lambda t: t.start)
    right = _side(high, width, length, gap, outward=1.0)
    left = [(x, y, -b) for x, y, b in _flipped(_side(low, 0.0, length, gap, outward=-1.0))]
    return Loop(tuple(right + left))


def _flipped(vertices: list[Vertex]) -> list[Vertex]:
    """The chain run backwards; bulges move to the vertex their edge then starts at (signs are the caller's)."""
    bulges = [v[2] for v in vertices]
    turned = [*bulges[:-1][::-1], 0.0]
    return [(v[0], v[1], b) for v, b in zip(reversed(vertices), turned, strict=True)]


def _side(tabs: Sequence[TabJoint], x: float, length: float, gap: float, outward: float) -> list[Vertex]:
    """One side edge from y = 0 to y = length, its tabs standing out to ``outward``."""
    out: list[Vertex] = []
    ends: list[Vertex] = [(x, 0.0, 0.0), (x, length, 0.0)]
    bulge = -1.0 * outward
    for i, tab in enumerate(tabs):
        reach = gap + tab.reach
        tip = x + outward * reach
        most = min(tab.relief * math.sqrt(2), 0.95 * reach)
        before = tab.start if i == 0 else (tab.start - tabs[i - 1].end) / 2
        after = length - tab.end if i == len(tabs) - 1 else (tabs[i + 1].start - tab.end) / 2
        if tab.start <= _FULL:
            ends[0] = (tip, 0.0, 0.0)
        else:
            k = min(most, 0.95 * before)
            out += [(x, tab.start - k, bulge), (x + outward * k, tab.start, 0.0), (tip, tab.start, 0.0)]
        if tab.end >= length - _FULL:
            ends[1] = (tip, length, 0.0)
        else:
            k = min(most, 0.95 * after)
            out += [(tip, tab.end, 0.0), (x + outward * k, tab.end, bulge), (x, tab.end + k, 0.0)]
    return [ends[0], *out, ends[1]]


def mortise_loop(joint: TabJoint, cross: Part, wall: Part, width: float) -> Loop:
    """The mortise in the wall's coordinates, for a cross part whose body is ``width`` wide."""
    return _mortise(joint, cross.frame, cross.thickness, wall.frame, width)


@lru_cache(maxsize=512)
def _mortise(joint: TabJoint, cross: Frame, thickness: float, wall: Frame, width: float) -> Loop:
    x = 0.0 if joint.side == "low" else width
    a = wall.local(cross.world(x, joint.start))
    b = wall.local(cross.world(x, joint.end))
    c = wall.local(cross.world(x, joint.start, thickness))
    angle = math.atan2(b[1] - a[1], b[0] - a[0])
    # which way the thickness goes, seen along the tab's length
    side = 1.0 if (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0 else -1.0
    length = round(math.hypot(b[0] - a[0], b[1] - a[1]), 9)
    shape = _mortise_shape(length, thickness, side, round(angle, 12), joint.fit, joint.over_run, joint.relief)
    return shape.moved(a[0], a[1])


@lru_cache(maxsize=256)
def _mortise_shape(
    length: float,
    thickness: float,
    side: float,
    angle: float,
    fit: float,
    over_run: tuple[float, float],
    relief: float,
) -> Loop:
    """The mortise turned as it lies in the wall, the tab's low corner on face A at the origin."""
    half = fit / 2
    near, far = -half - over_run[0], thickness + half + over_run[1]
    return relieved_rect(-half, side * near, length + half, side * far, relief).turned(angle)


def drilled(parts: Iterable[Part], joints: Iterable[AxisJoint]) -> list[Part]:
    """The parts with the holes of all axis joints added, in joint order."""
    by_id = {p.id: p for p in parts}
    holes: dict[str, list[Drill]] = defaultdict(list)
    for joint in joints:
        for member in joint.members:
            holes[member.part].append(_hole(joint.id, member, joint.at, by_id[member.part].frame))
    return [replace(p, drills=p.drills + tuple(holes[p.id])) if p.id in holes else p for p in by_id.values()]


@lru_cache(maxsize=1024)
def _hole(joint: str, member: Member, at: Vec, frame: Frame) -> Drill:
    """The hole a joint's axis through ``at`` makes in a member that stands at ``frame``."""
    x, y, _ = frame.local(at)
    return Drill(
        at=(x, y),
        diameter=member.diameter,
        depth=member.depth,
        use=member.use,
        joint=joint,
        face=member.face,
        head=member.head,
        by_hand=member.by_hand,
    )


def mortised(parts: Iterable[Part], joints: Iterable[TabJoint], body: dict[str, float]) -> list[Part]:
    """The parts with a mortise for every tab joint; ``body`` maps each cross part to its body's width."""
    by_id = {p.id: p for p in parts}
    cuts: dict[str, list[Pocket]] = defaultdict(list)
    for joint in joints:
        wall = by_id[joint.wall]
        loop = mortise_loop(joint, by_id[joint.part], wall, body[joint.part])
        use: PocketUse = "rebate" if any(joint.over_run) else "mortise"
        cuts[wall.id].append(Pocket(loop, joint.depth, use, joint.id))
    return [replace(p, pockets=p.pockets + tuple(cuts[p.id])) if p.id in cuts else p for p in by_id.values()]

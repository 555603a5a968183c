"""Dowels, rods, pins and screws in a plane: cut lengthwise where the plane runs along their axis, else end on.

Shapes are in mm of the plane's frame. A screw shows head, shank, the root of its thread and a point as long as it is
thick.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from desk.cabinet.model import AxisJoint
from desk.shapes.frame import Frame, Vec, dot
from desk.shapes.loop import Point
from desk.views.drawing import Disc, Item, Path
from desk.views.project import flat

ALONG = 1e-6
"""A cosine smaller than this is a right angle."""
STYLES = {"screw": "screw", "dowel": "dowel", "rod": "dowel", "pin": "dowel"}


def lengthwise(joint: AxisJoint, frame: Frame) -> bool:
    """Whether the plane runs along the joint's axis and through its pin or screw."""
    return _aside(joint, frame) is not None


def hardware_items(joint: AxisJoint, frame: Frame) -> Iterator[Item]:
    """The pin or screw of a joint as the plane shows it; nothing where it misses it or cuts it askew."""
    aside = _aside(joint, frame)
    if aside is not None:
        yield from _long(joint, frame, aside)
        return
    rate = -dot(joint.direction, frame.normal)
    depth = frame.local(joint.at)[2]
    if abs(rate) > 1 - ALONG and min(depth, depth + rate * joint.length) <= 0 <= max(
        depth, depth + rate * joint.length
    ):
        x, y = flat(frame, joint.at)
        yield Disc((round(x, 3), round(y, 3)), joint.diameter / 2, STYLES[joint.kind])


def _aside(joint: AxisJoint, frame: Frame) -> float | None:
    """How far the plane lies beside an axis it runs along, mm; None where it does not, or misses the joint."""
    if abs(dot(joint.direction, frame.normal)) > ALONG:
        return None
    aside = abs(frame.local(joint.at)[2])
    return aside if aside < joint.diameter / 2 else None


def _long(joint: AxisJoint, frame: Frame, aside: float) -> Iterator[Item]:
    start = flat(frame, joint.at)
    way = (dot(joint.direction, frame.u), dot(joint.direction, frame.v))

    def ring(*half: tuple[float, float]) -> tuple[Point, ...]:
        """Both sides of pairs (mm along the axis, half width)."""
        there = [_at(start, way, s, math.sqrt(max(h * h - aside * aside, 0.0))) for s, h in half]
        back = [_at(start, way, s, -math.sqrt(max(h * h - aside * aside, 0.0))) for s, h in reversed(half)]
        return (*there, *back)

    half, last = joint.diameter / 2, joint.length
    style = STYLES[joint.kind]
    if joint.kind != "screw":
        bevel = min(0.12 * joint.diameter, last / 4)
        slim = half - bevel
        outline = ring((0.0, slim), (bevel, half), (last - bevel, half), (last, slim))
        yield Path((outline,), style, part=joint.id)
        return
    point = last - min(joint.diameter, last / 3)
    head, neck = max(joint.head / 2, half), min(joint.head_height, last / 3)
    yield Path((ring((0.0, head), (neck, half), (point, half), (last, 0.05)),), style, part=joint.id)
    root = joint.root / 2
    if joint.thread > 0 and aside < root < half:
        first = max(last - joint.thread, neck)
        for side in (1.0, -1.0):
            thin = math.sqrt(root * root - aside * aside) * side
            yield Path(
                ((_at(start, way, first, thin), _at(start, way, point, thin)),), "thread", closed=False
            )


def _at(start: Point, way: Point, along: float, aside: float) -> Point:
    return (
        round(start[0] + along * way[0] - aside * way[1], 3),
        round(start[1] + along * way[1] + aside * way[0], 3),
    )


def name_of(joint: AxisJoint) -> str:
    """What a woodworker calls it."""
    return {"rod": "dowel rod"}.get(joint.kind, joint.kind)


def towards(direction: Vec) -> str:
    """Which way of the cabinet a direction runs, in words; "" where it runs askew."""
    words = {0: ("to the front", "to the back"), 1: ("to the left", "to the right"), 2: ("down", "up")}
    axis = max(range(3), key=lambda k: abs(direction[k]))
    return words[axis][direction[axis] > 0] if abs(direction[axis]) > 1 - ALONG else ""

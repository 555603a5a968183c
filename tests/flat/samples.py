"""Hand-made parts, a shop and cabinets of them, for tests that should not lean on the builder."""

from __future__ import annotations

import math
from collections.abc import Sequence

from desk.cabinet.model import (
    AxisJoint,
    Balls,
    Bit,
    Cabinet,
    Cutout,
    Drill,
    EdgeBreak,
    Groove,
    Landmarks,
    Member,
    Part,
    Pocket,
    Shop,
    Stock,
)
from desk.shapes.frame import Frame
from desk.shapes.loop import Loop, circle, rect, relieved_rect, rounded

LEVEL = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
PLY = Stock("s12", "Birch plywood 12 mm", "birch-plywood", 12.0, 11.8, 800.0, 600.0, grained=True)
MDF = Stock("m6", "MDF 6 mm", "mdf", 6.0, 6.05, 500.0, 400.0, grained=False)
BITS = (Bit("b6", "6 mm straight", "straight", 6.0, 22.0),)


def shop(*stocks: Stock, margin: float = 10.0, gap: float = 8.0) -> Shop:
    return Shop(
        stocks or (PLY, MDF), BITS, "b6", "b6", 900.0, 600.0, margin, gap, 0.075, film_in_joints=False
    )


def plain(name: str, width: float, height: float, stock: Stock = PLY, **more) -> Part:
    return Part(name, name.capitalize(), stock.id, stock.measured, rect(0, 0, width, height), LEVEL, **more)


OUTLINE = rounded([(-20, -15, 8), (180, -15, 0), (200, 10, 12), (200, 95, 20), (30, 110, 6), (-20, 60, 15)])
WIDE_ARC = Loop(((90.0, 20.0, math.tan(math.radians(250) / 4)), (110.0, 20.0, 0.0)))
"""A straight edge and one arc of 250 degrees: its bulge is above one."""


def rich(name: str = "rich", **more) -> Part:
    """A part with one of everything, its coordinates on both sides of the origin."""
    features = {
        "cutouts": (
            Cutout(circle(20.0, 70.0, 11.0), "target hole 1"),
            Cutout(relieved_rect(150.0, 60.0, 180.0, 72.0, 1.6), "slot"),
            Cutout(WIDE_ARC, "keyhole"),
        ),
        "drills": (
            Drill((0.0, 0.0), 6.1, 8.0, "dowel", "d1"),
            Drill((60.0, 0.0), 6.1, 8.0, "dowel", "d2"),
            Drill((0.0, 40.0), 3.8, None, "clearance", "s1", head=7.0),
            Drill((30.0, 40.0), 3.8, None, "clearance", "s2", face="B", head=7.0),
            Drill((120.0, -5.0), 2.2, 5.0, "pilot", "s3", face="B"),
            Drill((140.0, -5.0), 2.0, 4.0, "pilot", "s4", by_hand=True),
        ),
        "pockets": (
            Pocket(rect(60.0, 50.0, 120.0, 90.0), 4.0, "carving", islands=(circle(90.0, 70.0, 9.0),)),
            Pocket(rect(190.0, 30.0, 210.0, 50.0), 6.0, "mortise", "t1"),
            Pocket(rect(-10.0, 10.0, 10.0, 20.0), 3.0, "rebate", face="B"),
        ),
        "grooves": (
            Groove((((40.0, 10.0, 0.3), (70.0, 10.0, 0.0), (70.0, 25.0, 0.0)),), 90.0, 2.0, "lettering"),
        ),
        "breaks": (
            EdgeBreak(circle(20.0, 70.0, 11.0).points, True, "chamfer", 1.0, "rim"),
            EdgeBreak(OUTLINE.points[:4], False, "rounding", 3.0, "front", face="B"),
        ),
    }
    features.update(more)
    return Part(name, name.capitalize(), PLY.id, PLY.measured, OUTLINE, LEVEL, **features)


def cabinet(parts: Sequence[Part], *stocks: Stock, joints: Sequence[AxisJoint] = ()) -> Cabinet:
    return Cabinet(
        name="Test piece",
        parts=tuple(parts),
        axis_joints=tuple(joints),
        tab_joints=(),
        legs=(),
        balls=Balls(16.0, 0.4, 7, "glass", 2500.0),
        shop=shop(*stocks),
        targets=(),
        marks=Landmarks(),
        planes={},
    )


def dowel(name: str, part: str, direction: tuple[float, float, float], length: float = 30.0) -> AxisJoint:
    members = (Member(part, 6.1, 12.0, "dowel", by_hand=True),)
    return AxisJoint(
        name, "dowel", members, (0.0, 0.0, 0.0), direction, 6.0, length, hardware="dowel 6 x 30 mm"
    )

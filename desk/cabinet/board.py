"""The target board: floor carved from thick stock, rails left standing, holes with chamfered rims, tabs at both sides.

Local x runs across from the inner wall, local y up the slope; face A is the stock's face, the playing surface lies
``carve`` below it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from desk.cabinet.crossparts import body_width, plate
from desk.cabinet.joinery import tabbed_outline
from desk.cabinet.layout import Layout, Numbers
from desk.cabinet.model import Cutout, EdgeBreak, Part, Pocket, TabJoint, Target
from desk.shapes.frame import Frame
from desk.shapes.loop import Loop, Point, Vertex, arc_through, circle, rect, rounded

RAIL_LAND = 1.0
"""Wood between a hole's edge and the rail it lies against at the low side, mm."""
HORSESHOE_OPENING = math.radians(160)
"""The angle of a horseshoe that is left open, upwards."""
VEE_FALL = math.radians(35)
"""The straight rails of a vee fall to the hole at this angle."""


def board_frame(d: Numbers, lay: Layout) -> Frame:
    """Frame of the board's face A."""
    face = lay.face
    lift = (face.foot[0] - face.carve * math.sin(face.tilt), face.foot[1] + face.carve * math.cos(face.tilt))
    return plate(d, lay, lift, face.tilt)


def rail_centre(target: Target) -> Point:
    """Centre of a target's rail: the hole lies against the rail at its low side."""
    return (target.at[0], target.at[1] + max(target.rail - target.hole / 2 - RAIL_LAND, 0.0))


def rail_grip(target: Target) -> Point:
    """The point of a target's rail that its size is measured to: the leftmost of its inner edge."""
    if target.kind == "vee":
        return (target.at[0] - target.rail, _vee_low(target) + target.rail * math.tan(VEE_FALL))
    x, y = rail_centre(target)
    return (x - target.rail, y)


def rail_loop(target: Target, width: float) -> Loop | None:
    """Outer outline of a target's rail in board coordinates; None for a plain hole."""
    if target.kind == "plain" or target.rail <= 0:
        return None
    centre = rail_centre(target)
    if target.kind == "ring":
        return circle(*centre, target.rail + width)
    if target.kind == "vee":
        return _vee(target, width)
    start = math.pi / 2 + HORSESHOE_OPENING / 2
    sweep = 2 * math.pi - HORSESHOE_OPENING
    outer = arc_through(centre, target.rail + width, start, sweep)
    inner = arc_through(centre, target.rail, start + sweep, -sweep)
    outer[-1] = (outer[-1][0], outer[-1][1], 1.0)
    inner[-1] = (inner[-1][0], inner[-1][1], 1.0)
    points: list[Vertex] = [*outer, *inner]
    return Loop(tuple(points))


def _vee(target: Target, width: float) -> Loop:
    """Two straight rails that meet below the hole, as far from its edge as any rail; their ends are round."""
    x, low = target.at[0], _vee_low(target)
    reach, rise = target.rail, target.rail * math.tan(VEE_FALL)
    dx, dy = width * math.sin(VEE_FALL), width * math.cos(VEE_FALL)
    round_end = width / 2
    return rounded(
        [
            (x, low, 0.0),
            (x - reach, low + rise, round_end),
            (x - reach - dx, low + rise - dy, round_end),
            (x, low - width / math.cos(VEE_FALL), 0.0),
            (x + reach + dx, low + rise - dy, round_end),
            (x + reach, low + rise, round_end),
        ]
    )


def _vee_low(target: Target) -> float:
    """Height of the point where the inner edges of a vee's rails meet."""
    return target.at[1] - (target.hole / 2 + RAIL_LAND) / math.cos(VEE_FALL)


def board_part(
    d: Numbers, lay: Layout, tabs: Sequence[TabJoint], targets: Sequence[Target], stock: str
) -> Part:
    """The carved board with its targets; targets are in board coordinates."""
    width, length = body_width(d), d.value("board.length")
    thick, carve = lay.t["board"], lay.face.carve
    rails = [loop for t in targets if (loop := rail_loop(t, d.value("board.rail_width")))]
    return Part(
        "board",
        "Target board",
        stock,
        thick,
        tabbed_outline(width, length, tabs, d.value("joint.side_gap")),
        board_frame(d, lay),
        ("A",),
        cutouts=tuple(Cutout(circle(*t.at, t.hole / 2), f"target hole {t.number}") for t in targets),
        pockets=_carving(width, length, carve, d.value("board.rail_height"), rails, targets),
        breaks=_rims(d, targets),
        grain=(1.0, 0.0),
    )


def _carving(
    width: float,
    length: float,
    carve: float,
    rail_height: float,
    rails: Sequence[Loop],
    targets: Sequence[Target],
) -> tuple[Pocket, ...]:
    """The floor pocket, the pockets inside full rings, and where rails stand lower than the stock one over all."""
    over = 8.0
    field = rect(0.0, -over, width, length + over)
    pockets = [Pocket(field, carve, "carving", islands=tuple(rails))]
    pockets += [
        Pocket(circle(*rail_centre(t), t.rail), carve, "carving")
        for t in targets
        if t.kind == "ring" and t.rail > 0
    ]
    if rail_height < carve - 1e-6:
        pockets.append(Pocket(field, carve - rail_height, "carving"))
    return tuple(pockets)


def _rims(d: Numbers, targets: Sequence[Target]) -> tuple[EdgeBreak, ...]:
    size = d.value("board.chamfer")
    if size <= 0:
        return ()
    return tuple(
        EdgeBreak(circle(*t.at, t.hole / 2).points, True, "chamfer", size, f"rim of target hole {t.number}")
        for t in targets
    )

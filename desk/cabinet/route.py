"""The ball's way as plane legs, cut from the finished parts: nothing here reads a dimension of the design.

Sections are in the planes named by ``planes``: "lane" and "channel" look to the left, x to the right and z
up; "face" is the carved floor of the board, x across from its middle and y up the slope; "rear" looks from
the front, x across and z up; "plan" looks down, x to the right and the player's left up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import shapely
from msgspec.structs import replace

from desk.cabinet.ascut import opening_as_cut
from desk.cabinet.layout import Layout
from desk.cabinet.model import Cabinet, Landmarks, Leg, Part, Solid, Zone
from desk.cabinet.rails import rails
from desk.cabinet.section import Axis, finished_section, finished_wall
from desk.remember import Memory
from desk.shapes.frame import Frame
from desk.shapes.loop import Point, polygon_loop

_DOWN = (0.0, -1.0)
_OUTSIDE = 1.0
"""A section is taken this far inside the end of a part, mm."""
_SAME_DEPTH = 1e-6
_MEMORY = Memory(Cabinet, Landmarks, Layout)


def planes(lay: Layout) -> dict[str, Frame]:
    """The named planes of the cabinet."""
    a, face = lay.across, lay.face
    middle = (a.lane + a.far) / 2
    x, up = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)
    slope = (math.cos(face.tilt), 0.0, math.sin(face.tilt))
    return {
        "lane": Frame((0.0, middle, 0.0), x, up),
        "channel": Frame((0.0, (a.panel + a.spacer) / 2, 0.0), x, up),
        "plan": Frame((0.0, 0.0, 0.0), x, (0.0, -1.0, 0.0)),
        "face": Frame((face.foot[0], middle, face.foot[1]), (0.0, 1.0, 0.0), slope),
        "rear": Frame((lay.rear.back, 0.0, 0.0), (0.0, 1.0, 0.0), up),
    }


def route(cabinet: Cabinet, lay: Layout) -> tuple[Leg, ...]:
    """The legs in the order the ball runs them."""
    before = [_MEMORY.recall(work, work, cabinet, lay) for work in (_lane, _flight, _face, _under, _catch)]
    channel = _MEMORY.recall(_channel, _channel, cabinet, lay)
    return (*before, channel, _MEMORY.recall(_lift, _lift, cabinet, lay, channel))


class _Cutter:
    """Finished sections of named parts."""

    def __init__(self, cabinet: Cabinet) -> None:
        self.parts: dict[str, Part] = cabinet.by_id
        self.shop = cabinet.shop

    def __call__(self, axis: Axis, at: float, ids: Iterable[str]) -> tuple[Solid, ...]:
        out = []
        for key in ids:
            shape = finished_section(self.parts[key], self.shop, axis, at)
            if not shape.is_empty:
                out.append(Solid(key, shape))
        return tuple(out)

    def walls(self, axis: Axis, at: float) -> tuple[Solid, ...]:
        """The inner wall and both panels, their mortises filled."""
        ids = ("inner-wall", "panel-return", "panel-far")
        return tuple(Solid(key, finished_wall(self.parts[key], self.shop, axis, at)) for key in ids)

    def starting(self, prefix: str) -> list[str]:
        return [key for key in self.parts if key.startswith(prefix)]


def _box(x0: float, z0: float, x1: float, z1: float) -> shapely.Polygon:
    return shapely.box(min(x0, x1), min(z0, z1), max(x0, x1), max(z0, z1))


def _outline(points: Iterable[Point]) -> shapely.Polygon:
    """The polygon through the points; where odd sizes make it cross itself, its largest clean piece."""
    return polygon_loop(points).polygon


def _top(cabinet: Cabinet) -> float:
    """Above all that a ball meets; the side panels' outline does not matter to it."""
    return max(cabinet.marks.points[k][2] for k in ("header high", "top", "lip")) + 2 * cabinet.balls.largest


def _lane(cabinet: Cabinet, lay: Layout) -> Leg:
    """Front stop, deck and kicker, in the lane's middle plane."""
    cut = _Cutter(cabinet)
    frame, lip, lane = cabinet.planes["lane"], lay.kick.lip, lay.lane
    top, d = _top(cabinet), cabinet.balls.largest
    ribs = cut.starting("rib-")
    solids = cut("y", frame.origin[1], ["front-stop", "deck", "base"])
    if ribs:
        part = cut.parts[ribs[len(ribs) // 2]]
        middle = part.frame.origin[1] - part.thickness / 2
        solids += cut("y", middle, [part.id])
    return Leg(
        id="lane",
        label="Lane and kicker",
        frame=frame,
        room=_box(lane.stop, lane.base_top, lip[0] + 0.5 * d, top),
        solids=solids,
        pull=_DOWN,
        pull_share=1.0,
        sources=(Zone("deck", _box(lane.deck, lane.height(lane.deck), lane.kick, lane.top + 1.2 * d)),),
        sinks=(Zone("over the lip", _box(lip[0], lane.base_top, lip[0] + 0.5 * d, top)),),
        rests=(Zone("front stop", _box(lane.stop, lane.base_top, lane.deck + 1.5 * d, top)),),
        depth=lay.across.far - lay.across.lane - 2 * cabinet.shop.film,
    )


def _flight(cabinet: Cabinet, lay: Layout) -> Leg:
    """From the lip over the gutter gap to the board; a short ball drops through the gap."""
    cut = _Cutter(cabinet)
    frame, lip, face, r = cabinet.planes["lane"], lay.kick.lip, lay.face, lay.rear
    d, top = cabinet.balls.largest, _top(cabinet)
    y = lay.across.far - _OUTSIDE - 0.3 * d
    ribs = cut.starting("rib-")[-1:]
    solids = cut("y", y, [*ribs, "board", "header", "cleat-upper", "gutter-floor", "back-cover"])
    x_gap = face.foot[0] + lay.t["board"] * math.sin(face.tilt)
    below, header = lip[1] - 1.1 * d, cabinet.marks.points["header high"]
    gap = _box(lip[0], lay.rear.gutter_rear[1], x_gap, max(below, r.gutter_rear[1] + 0.3 * d))
    middle = ((face.foot[0] + face.top[0]) / 2, (face.foot[1] + face.top[1]) / 2)
    return Leg(
        id="flight",
        label="Flight and gutter gap",
        frame=Frame((0.0, y, 0.0), frame.u, frame.v),
        room=_box(lip[0] - 0.5 * d, r.gutter_rear[1], header[0] + 1.0, header[2]),
        solids=solids,
        pull=_DOWN,
        pull_share=1.0,
        sources=(Zone("lip", _box(lip[0] - 0.5 * d, lip[1], lip[0] + 0.5 * d, lip[1] + 2 * d)),),
        sinks=(
            Zone("gutter gap", gap),
            Zone("board face", _box(middle[0] - 2 * d, middle[1], middle[0] + d, middle[1] + 3 * d)),
        ),
        rests=(Zone("board face", _box(face.foot[0], face.foot[1] + 0.3 * d, r.back, top)),),
    )


def _face(cabinet: Cabinet, lay: Layout) -> Leg:
    """The carved floor with its rails, between the walls and below the header."""
    board, shop, d = cabinet.by_id["board"], cabinet.shop, cabinet.balls.largest
    half = (lay.across.far - lay.across.lane) / 2
    length = cabinet.marks.lengths["face length"]
    radius = shop.bit(shop.pocket_bit).diameter / 2
    dx = -half + (board.frame.origin[1] - lay.across.lane)
    field = _box(-half, 0.0, half, length)
    carving = tuple(p for p in board.pockets if p.depth >= lay.face.carve - _SAME_DEPTH)
    header_at = length + 0.05
    solids = [
        Solid("inner-wall", _box(-half - d, -2 * d, -half + shop.film, length + 2 * d)),
        Solid("panel-far", _box(half - shop.film, -2 * d, half + d, length + 2 * d)),
        Solid("header", _box(-half, header_at - shop.film, half, length + 2 * d)),
    ]
    solids += [Solid("board", rail) for rail in rails(carving, radius, shop.film, -dx, length)]
    sinks = [
        Zone(c.use, shapely.affinity.translate(opening_as_cut(c.loop, radius), dx, 0.0))
        for c in board.cutouts
    ]
    return Leg(
        id="face",
        label="Board face",
        frame=cabinet.planes["face"],
        room=field.union(_box(-half, -d, half, 0.0)),
        solids=tuple(solids),
        pull=_DOWN,
        pull_share=math.sin(lay.face.tilt),
        sources=(Zone("face", field),),
        sinks=(*sinks, Zone("gutter", _box(-half, -d, half, 0.0))),
        rail_height=cabinet.marks.lengths["rail height"] + shop.film,
    )


def _under(cabinet: Cabinet, lay: Layout) -> Leg:
    """Under the board to the trough, at the far end, where the catch ramp stands highest."""
    cut = _Cutter(cabinet)
    frame, r, face, lip = cabinet.planes["lane"], lay.rear, lay.face, lay.kick.lip
    d = cabinet.balls.largest
    y = lay.across.far - _OUTSIDE - 0.3 * d
    ids = [
        *cut.starting("rib-")[-1:],
        "gutter-floor",
        "board",
        "back-cover",
        *cut.starting("catch-ramp-"),
        "cleat-lower",
    ]
    drop = face.tilt + math.pi / 2
    back = (lay.t["board"] - face.carve) * math.cos(face.tilt)
    return Leg(
        id="under",
        label="Under the board",
        frame=Frame((0.0, y, 0.0), frame.u, frame.v),
        room=_outline(
            [
                (lip[0], r.ramp_bottom),
                (r.back, r.ramp_bottom),
                (r.back, face.top[1] + 0.2 * d),
                (face.top[0], face.top[1]),
                face.foot,
                (lip[0], lip[1]),
            ]
        ),
        solids=cut("y", y, ids),
        pull=_DOWN,
        pull_share=1.0,
        sources=(
            Zone(
                "under the gap",
                _box(lip[0], r.gutter_front[1], face.foot[0] + d * math.cos(drop) ** 2, lip[1]),
            ),
            Zone(
                "under the holes",
                _outline(
                    [
                        (face.foot[0] + 1.5 * d, r.gutter_rear[1]),
                        (face.top[0], r.gutter_rear[1]),
                        (face.top[0], face.top[1] - back - 0.6 * d),
                        (
                            face.foot[0] + 1.5 * d,
                            face.foot[1] + 1.5 * d * math.tan(face.tilt) - back - 0.6 * d,
                        ),
                    ]
                ),
            ),
        ),
        sinks=(Zone("trough", _box(r.gutter_rear[0], r.ramp_bottom, r.back, r.gutter_rear[1] + 0.4 * d)),),
    )


def _catch(cabinet: Cabinet, lay: Layout) -> Leg:
    """Along the catch ramp's top edge and through the inlet into the channel, seen from the front."""
    cut = _Cutter(cabinet)
    r, a, d, film = lay.rear, lay.across, cabinet.balls.largest, cabinet.shop.film
    frame = cabinet.planes["rear"]
    ramps = cut.starting("catch-ramp-")
    inlet = cabinet.marks.points["inlet low"][0]
    at = r.back - min(lay.t["ramp"] / 2, (r.back - inlet) / 2)
    solids = cut("x", at, [*ramps[:1], *cut.starting("spacer-")]) + cut.walls("x", at)
    trough = r.back - r.gutter_rear[0]
    return Leg(
        id="catch",
        label="Catch ramp and inlet",
        frame=Frame((at, 0.0, 0.0), frame.u, frame.v),
        room=_box(a.panel - 1.0, r.ramp_bottom, a.far + 1.0, r.ramp_high + 2.5 * d),
        solids=solids,
        pull=_DOWN,
        pull_share=1.0,
        sources=(Zone("trough", _box(a.lane + d, r.sill, a.far, r.ramp_high + 2.5 * d)),),
        sinks=(Zone("channel", _box(a.panel, lay.channel.floor(r.back) - 1.0, a.spacer, r.sill + 3 * d)),),
        depth=trough - 2 * film,
    )


def _channel(cabinet: Cabinet, lay: Layout) -> Leg:
    """The return channel from the inlet to the waiting place, the lifter at rest."""
    cut = _Cutter(cabinet)
    frame, c, r, a = cabinet.planes["channel"], lay.channel, lay.rear, lay.across
    d, film = cabinet.balls.largest, cabinet.shop.film
    layer = (a.panel + lay.t["spacer"] / 2) if a.spacer > a.panel else a.panel
    solids = cut("y", layer, ["lip-block-1", "spacer-lower-1", "spacer-upper-1"])
    solids += cut("y", frame.origin[1], ["lifter"])
    solids += cut("y", frame.origin[1], ["back-cover"])
    inlet = cabinet.marks.points["inlet low"][0]
    return Leg(
        id="channel",
        label="Return channel and waiting place",
        frame=frame,
        room=_box(0.0, 0.0, r.back, max(c.floor(r.back) + c.ceiling, c.lip_z + 3 * d)),
        solids=solids,
        pull=_DOWN,
        pull_share=1.0,
        sources=(Zone("inlet", _box(inlet, c.floor(inlet), r.back, c.floor(r.back) + c.ceiling)),),
        sinks=(),
        rests=(
            Zone(
                "waiting place", _box(c.lip - 0.2 * d, c.floor_z - 1.0, c.slot + 0.9 * d, c.floor_z + 1.2 * d)
            ),
            Zone("pick-up tray", _box(0.0, c.tray_floor(0.0) - 1.0, c.tray[1], c.lip_z + 0.5 * d)),
        ),
        depth=a.spacer - a.panel - 2 * film,
    )


def _lift(cabinet: Cabinet, lay: Layout, channel: Leg) -> Leg:
    """The waiting ball on the raised lifter: it is to roll over the lip into the pick-up tray."""
    c, d = lay.channel, cabinet.balls.largest
    pin = cabinet.marks.points["pin"]
    angle = cabinet.marks.lengths["lifter travel"]
    solids = tuple(
        Solid(s.part, shapely.affinity.rotate(s.shape, angle, origin=(pin[0], pin[2])))
        if s.part == "lifter"
        else s
        for s in channel.solids
    )
    tray = next(z for z in channel.rests if z.name == "pick-up tray")
    return replace(
        channel,
        id="lift",
        label="Lifted over the lip",
        solids=solids,
        sources=(Zone("lifted ball", _box(c.lip - 0.3 * d, c.floor_z, c.slot, c.lip_z + 1.6 * d)),),
        sinks=(tray,),
        rests=(Zone("queue behind the lifter", _box(c.slot, c.floor_z, lay.rear.back, c.lip_z + 3 * d)),),
    )

"""The cabinet's leading sizes, worked out once from the design; the part builders read them.

World axes as in ``desk.shapes.frame``. The layout is always that of a cabinet with the return on the left; a
cabinet with the return on the right is the mirror image, made at the end. Lengths in mm, angles in radians,
points are (x, z).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

from desk.shapes.loop import Point
from desk.shop.tables import Tables

TAB_BOTTOM_GAP = 0.5
"""A tab ends this far above the floor of its mortise, room for glue (common practice)."""
LIFTER_SINK = 0.2
"""The lifter's pad lies this far below the channel floor, so that it makes no ledge."""
LIP_FALL = 1.5
"""The tops of the lip and of the front wall fall this much to the tray, so that no ball balances on them."""
TONGUE = 12.0
"""Height of the ramp's tongue, which carries the ball through the inlet onto the channel floor."""
TONGUE_PLAY = 2.5
"""The inlet is cut this far below the tongue, clear of the wood a bit leaves at the tongue's root."""
TONGUE_SIDE = 0.3
"""A tongue needs this much room at its side in the inlet; a layer without it gets no tongue."""
HEADER_GAP = 0.5
"""The header starts this far above the top corner of the board face."""


class Numbers(Protocol):
    """What the builders read of a design."""

    def value(self, key: str) -> float:
        """Value of a dimension, mm or degrees or plain."""
        ...

    def choice(self, key: str) -> str:
        """Option chosen."""
        ...

    @property
    def tables(self) -> Tables:
        """The shop's tables with the person's own values."""
        ...


@dataclass(frozen=True)
class Across:
    """Planes across the cabinet, from the player's left.

    0 is the outside of the return-side panel, ``panel`` its inside, ``spacer`` the lane side of the spacers, ``lane``
    the lane side of the inner wall, ``far`` the inside of the far panel, ``end`` its outside.
    """

    panel: float
    spacer: float
    lane: float
    far: float
    end: float


@dataclass(frozen=True)
class Lane:
    """Front stop from ``stop``, deck from ``deck`` to ``kick``; the deck's top is ``top`` at x ``kick``."""

    base_top: float
    stop: float
    deck: float
    kick: float
    top: float
    rise: float

    def height(self, x: float) -> float:
        """Height of the deck's top at x."""
        return self.top + (x - self.kick) * math.tan(self.rise)


@dataclass(frozen=True)
class Kick:
    """The kicker's curve: arc about ``centre`` up to ``end``, then straight at ``exit`` to ``lip``."""

    centre: Point
    end: Point
    exit: float
    lip: Point


@dataclass(frozen=True)
class Face:
    """The board's playing surface, the carved floor, from ``foot`` to ``top``; ``carve`` below the board's face A."""

    tilt: float
    foot: Point
    top: Point
    carve: float


@dataclass(frozen=True)
class Channel:
    """The return channel from the tray in front to the back."""

    slope: float
    tray: Point
    """The tray's x range."""
    tray_z: float
    """Height of the tray floor at the lip."""
    lip: float
    """x of the lip's rear foot, where the waiting place begins."""
    floor_z: float
    lip_z: float
    slot: float
    """x where the spacer begins behind the lifter."""
    mouth: float
    """x where the cover over the channel begins."""
    ceiling: float
    """Ceiling above the floor, measured plumb."""

    def floor(self, x: float) -> float:
        """Height of the channel floor at x."""
        return self.floor_z + (x - self.lip) * math.tan(self.slope)

    def tray_floor(self, x: float) -> float:
        """Height of the tray's floor at x."""
        return self.tray_z + (x - self.tray[1]) * math.tan(self.slope)


@dataclass(frozen=True)
class Rear:
    """Behind the board: ``back`` is the rear edge of panels and walls, the cover's inside."""

    back: float
    end: float
    sill: float
    """Height of the ramp's low end, where the ball steps down to the channel floor."""
    ramp_high: float
    ramp_bottom: float
    gutter_front: Point
    gutter_rear: Point
    gutter_slope: float
    header: Point
    """z range of the header."""
    cleat: Point
    """z range of the cleat behind it."""


@dataclass(frozen=True)
class Layout:
    """Leading sizes; see the module for the axes. ``t`` holds the measured thickness for each role."""

    t: dict[str, float]
    across: Across
    lane: Lane
    kick: Kick
    face: Face
    channel: Channel
    rear: Rear


def lay_out(d: Numbers, t: dict[str, float]) -> Layout:
    """Work out the layout. ``t`` holds the measured thickness for each role ("panels", "wall", ...), mm."""
    across = _across(d, t)
    lane = _lane(d, t)
    kick = _kicker(d, lane)
    face = _face(d, t, kick)
    channel = _channel(d)
    return Layout(t, across, lane, kick, face, channel, _rear(d, t, lane, kick, face, channel))


def _across(d: Numbers, t: dict[str, float]) -> Across:
    panel = t["panels"]
    spacer = panel + d.value("return.layers") * t["spacer"]
    lane = spacer + t["wall"]
    far = lane + d.value("lane.width")
    return Across(panel, spacer, lane, far, far + t["panels"])


def _lane(d: Numbers, t: dict[str, float]) -> Lane:
    v = d.value
    deck = v("lane.front") + t["stop"]
    rise = math.radians(v("lane.rise"))
    return Lane(
        base_top=v("lane.base_height") + t["base"],
        stop=v("lane.front"),
        deck=deck,
        kick=deck + v("lane.length"),
        top=v("lane.deck_height") + v("lane.length") * math.tan(rise),
        rise=rise,
    )


def _kicker(d: Numbers, lane: Lane) -> Kick:
    radius, straight = d.value("kicker.radius"), d.value("kicker.straight")
    leave = max(math.radians(d.value("kicker.exit")), lane.rise + math.radians(1))
    cx, cz = lane.kick - radius * math.sin(lane.rise), lane.top + radius * math.cos(lane.rise)
    ex, ez = cx + radius * math.sin(leave), cz - radius * math.cos(leave)
    lip = (ex + straight * math.cos(leave), ez + straight * math.sin(leave))
    return Kick((cx, cz), (ex, ez), leave, lip)


def _face(d: Numbers, t: dict[str, float], kick: Kick) -> Face:
    tilt, length = math.radians(d.value("board.tilt")), d.value("board.length")
    x, z = kick.lip[0] + d.value("board.gap"), kick.lip[1] + d.value("board.foot_rise")
    top = (x + length * math.cos(tilt), z + length * math.sin(tilt))
    return Face(tilt, (x, z), top, max(t["board"] - d.value("board.floor"), 0.05))


def _channel(d: Numbers) -> Channel:
    v = d.value
    slope = math.radians(v("return.slope"))
    tray = (v("return.tray_wall"), v("return.tray_wall") + v("return.tray"))
    lip = tray[1] + v("return.lip_width")
    floor = v("return.floor_height")
    largest = v("ball.diameter") + v("ball.spread")
    return Channel(
        slope=slope,
        tray=tray,
        tray_z=floor - v("return.tray_drop"),
        lip=lip,
        floor_z=floor,
        lip_z=floor + v("return.lip_height"),
        slot=lip + v("return.slot"),
        mouth=lip + v("return.mouth"),
        ceiling=(largest + v("return.headroom")) / math.cos(slope),
    )


def _rear(d: Numbers, t: dict[str, float], lane: Lane, kick: Kick, face: Face, channel: Channel) -> Rear:
    v = d.value
    back = face.top[0] + v("behind.depth")
    sill = channel.floor(back) + v("behind.inlet_drop")
    high = sill + (v("lane.width") + t["wall"]) * math.tan(math.radians(v("behind.catch_slope")))
    slope = math.radians(v("behind.gutter_slope"))
    rear = (back - v("behind.trough"), high + v("behind.gutter_drop"))
    # the gutter floor's end is square to its slope: its lower corner reaches farther forward than the upper one
    front_x = kick.lip[0] + v("joint.side_gap") + max(t["gutter"] * math.sin(slope), 0.0)
    header_low = face.top[1] + HEADER_GAP
    middle, half = header_low + v("header.height") / 2, v("header.cleat") / 2
    return Rear(
        back=back,
        end=back + t["cover"],
        sill=sill,
        ramp_high=high,
        ramp_bottom=lane.base_top + 0.5 * (sill - lane.base_top),
        gutter_front=(front_x, rear[1] + (rear[0] - front_x) * math.tan(slope)),
        gutter_rear=rear,
        gutter_slope=slope,
        header=(header_low, header_low + v("header.height")),
        cleat=(middle - half, middle + half),
    )

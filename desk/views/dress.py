"""Dimension lines and handles: which sizes of the design each view shows, where, and how pulling them changes them.

A dimension line runs between two points of the view and is set off to the left of the way from start to end. Its handle
sits on the line's end unless said otherwise; pulling it away from the start makes the size larger by as much.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from desk.cabinet.board import rail_grip
from desk.cabinet.model import Cabinet
from desk.design.edit import get
from desk.design.model import Design
from desk.design.table import spec
from desk.shapes.frame import Frame, unit
from desk.shapes.loop import Point
from desk.views.drawing import Dimension, Pull
from desk.views.project import flat


@dataclass(frozen=True)
class Dresser:
    """Makes the dimension items of one view."""

    design: Design
    cabinet: Cabinet
    frame: Frame

    def mark(self, name: str) -> Point:
        """A landmark in the view."""
        return flat(self.frame, self.cabinet.marks.points[name])

    def line(
        self,
        address: str,
        start: Point,
        end: Point,
        offset: float,
        *,
        sense: float = 1.0,
        gain: float = 1.0,
        primary: bool = True,
    ) -> Dimension:
        """A length from start to end; ``sense`` -1 when it is the start that moves, its handle then sits there.

        ``gain`` is 2 for a length that grows to both sides of a middle line.
        """
        along = unit(end[0] - start[0], end[1] - start[1]) if end != start else (0.0, 1.0)
        grip, axis = (end, along) if sense > 0 else (start, (-along[0], -along[1]))
        handle = (grip[0] - along[1] * offset, grip[1] + along[0] * offset)
        return self._made(address, "line", start, end, offset, handle, (Pull(address, axis, gain),), primary)

    def angle(
        self,
        address: str,
        about: Point,
        arm: Point,
        *,
        sense: float = 1.0,
        plumb: bool = False,
        handle: Point | None = None,
        pull: Pull | None = None,
        primary: bool = True,
    ) -> Dimension:
        """An angle at ``about`` against level; pulling the arm's end up (``sense`` 1) makes it larger.

        The arm's end swings about ``about``; with ``plumb`` it keeps its place along the view and moves up and down.
        A handle that is not the arm's end brings its own ``pull``.
        """
        dx, dy = arm[0] - about[0], arm[1] - about[1]
        reach = max(math.hypot(dx, dy), 1.0)
        if plumb:
            swung = Pull(address, (0.0, math.copysign(1.0, dx) * sense), math.degrees(abs(dx) / reach**2))
        else:
            swung = Pull(address, (-dy / reach * sense, dx / reach * sense), math.degrees(1 / reach))
        return self._made(address, "angle", about, arm, 0.0, handle or arm, (pull or swung,), primary)

    def point(self, address: str, at: Point, *pulls: Pull, primary: bool = False) -> Dimension:
        """A bare handle that changes one size or two."""
        return self._made(address, "point", at, at, 0.0, at, pulls, primary)

    def _made(
        self,
        address: str,
        shape: str,
        start: Point,
        end: Point,
        offset: float,
        handle: Point,
        pulls: tuple[Pull, ...],
        primary: bool,
    ) -> Dimension:
        s = spec(address)
        value = get(self.design, address)
        return Dimension(address, shape, start, end, offset, handle, pulls, s.label, value, s.unit, primary)  # type: ignore[arg-type]


def _level(a: Point, b: Point, z: float) -> tuple[Point, Point]:
    return (a[0], z), (b[0], z)


def lane_dimensions(d: Dresser) -> Iterator[Dimension]:
    """Sizes of the section through the lane."""
    m = d.mark
    yield d.line("lane.front", *_level(m("front"), m("stop front"), 0.0), -14.0)
    yield d.line("lane.length", *_level(m("deck front"), m("deck end"), 0.0), -14.0)
    lip, foot, top, deck = m("lip"), m("foot"), m("top"), m("deck front")
    yield d.line("board.gap", lip, (foot[0], lip[1]), 34.0)
    yield d.point(
        "board.foot_rise", foot, Pull("board.foot_rise", (0.0, 1.0), 1.0), Pull("board.gap", (1.0, 0.0), 1.0)
    )
    yield d.line("board.length", foot, top, 36.0)
    yield d.angle("board.tilt", foot, _share(foot, top, 0.62))
    along, floor = unit(top[0] - foot[0], top[1] - foot[1]), d.design.value("board.floor")
    high = _share(foot, top, 0.86)
    below = (high[0] + along[1] * floor, high[1] - along[0] * floor)
    yield d.line("board.floor", high, below, 0.0, primary=False)
    x = deck[0] + 0.3 * (m("deck end")[0] - deck[0])
    yield d.line("lane.deck_height", (x, 0.0), (x, deck[1]), 0.0)
    yield d.angle("lane.rise", deck, m("deck end"), plumb=True, primary=False)
    yield d.line("lane.base_height", (x + 40.0, 0.0), (x + 40.0, m("base low")[1]), 0.0, primary=False)
    yield d.line("lane.stop_height", (m("stop top")[0], deck[1]), m("stop top"), 0.0, primary=False)
    centre, end = m("kick centre"), m("kick end")
    yield d.line("kicker.radius", m("deck end"), centre, 0.0, primary=False)
    yield _exit(d, centre, end, lip)
    back = m("back")
    yield d.line("behind.depth", top, (back[0], top[1]), -30.0, primary=False)
    rear = m("gutter rear")
    yield d.line("behind.trough", rear, (back[0], rear[1]), 20.0, sense=-1.0)
    yield d.point("behind.gutter_drop", rear, Pull("behind.gutter_drop", (0.0, 1.0), 1.0))
    yield d.angle("behind.gutter_slope", rear, m("gutter front"), sense=-1.0, plumb=True, primary=False)
    yield d.line("header.height", m("header low"), m("header high"), 16.0)
    radius = d.cabinet.balls.diameter / 2
    at = (deck[0] + radius, deck[1])
    yield d.line("ball.diameter", at, (at[0], at[1] + 2 * radius), -2.2 * radius, primary=False)
    yield from _silhouette(d)


def _exit(d: Dresser, centre: Point, end: Point, lip: Point) -> Dimension:
    """The angle the ball leaves at, where the curve ends; a steeper one carries the lip on round the curve."""
    radius, straight = math.dist(centre, end), math.dist(end, lip)
    along = ((centre[1] - end[1]) / radius, (end[0] - centre[0]) / radius)
    swing = unit(radius * along[0] - straight * along[1], radius * along[1] + straight * along[0])
    pull = Pull("kicker.exit", swing, math.degrees(1 / math.hypot(radius, straight)))
    arm = (end[0] + 0.6 * radius * along[0], end[1] + 0.6 * radius * along[1])
    return d.angle("kicker.exit", end, arm, handle=lip, pull=pull, primary=False)


def _share(a: Point, b: Point, share: float) -> Point:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _silhouette(d: Dresser) -> Iterator[Dimension]:
    back = d.mark("back")[0]
    for k, p in enumerate(d.design.silhouette, 1):
        front = p.origin == "front"
        at = (p.x if front else back - p.x, p.z)
        along = Pull(f"silhouette.{k}.x", (1.0 if front else -1.0, 0.0), 1.0)
        yield d.point(f"silhouette.{k}.z", at, along, Pull(f"silhouette.{k}.z", (0.0, 1.0), 1.0))


def channel_dimensions(d: Dresser) -> Iterator[Dimension]:
    """Sizes of the section through the return channel."""
    m = d.mark
    lip, slot, mouth, back = m("lip rear"), m("slot"), m("mouth"), m("channel back")
    x = mouth[0] + 0.12 * (back[0] - mouth[0])
    along = unit(back[0] - slot[0], back[1] - slot[1])
    floor = slot[1] + along[1] / along[0] * (x - slot[0])
    ball, cover = d.cabinet.balls.largest, d.cabinet.balls.largest + d.design.value("return.headroom")
    yield d.line("return.floor_height", (lip[0] + 26.0, 0.0), (lip[0] + 26.0, lip[1]), 0.0)
    above, below = ((x - h * along[1], floor + h * along[0]) for h in (cover, ball))
    yield d.line("return.headroom", below, above, 0.0)
    yield d.angle("return.slope", lip, back, plumb=True)
    top = m("lip top")
    yield d.line("return.lip_height", (top[0], lip[1]), top, 0.0)
    yield d.line("return.tray", *_level(m("tray front"), m("tray back"), m("tray front")[1]), 30.0)
    yield d.line("return.mouth", (lip[0], mouth[1]), mouth, 14.0)
    yield d.line("return.slot", lip, (slot[0], lip[1]), -22.0, primary=False)
    pin, handle = m("pin"), m("handle")
    yield d.point(
        "lifter.pin_z", pin, Pull("lifter.pin_x", (1.0, 0.0), 1.0), Pull("lifter.pin_z", (0.0, 1.0), 1.0)
    )
    yield d.line("lifter.reach", handle, pin, -12.0, sense=-1.0, primary=False)
    low, high = m("inlet low"), m("inlet high")
    yield d.line("behind.inlet_width", high, (back[0], high[1]), 16.0, sense=-1.0)
    yield d.line("behind.inlet_height", low, high, 8.0)
    yield d.line("behind.inlet_drop", back, (back[0], low[1]), -10.0, primary=False)
    radius = d.cabinet.balls.diameter / 2
    yield d.line(
        "ball.diameter", (lip[0] + radius, lip[1]), (lip[0] + radius, lip[1] + 2 * radius), 0.0, primary=False
    )


def plan_dimensions(d: Dresser) -> Iterator[Dimension]:
    """Sizes of the plan."""
    m = d.mark
    lane, far = m("lane")[1], m("far")[1]
    x = _share(m("deck front"), m("deck end"), 0.5)[0]
    near, away = sorted((lane, far), reverse=True)
    yield d.line("lane.width", (x, near), (x, away), 0.0)
    low = -d.cabinet.marks.lengths["width"]
    yield d.line("lane.front", *_level(m("front"), m("stop front"), low), -12.0)
    yield d.line("lane.length", *_level(m("deck front"), m("deck end"), low), -12.0)
    yield d.line("board.gap", *_level(m("lip"), m("foot"), low), -12.0)
    yield d.line("behind.depth", *_level(m("top"), m("back"), low), -12.0)
    middle = (lane + far) / 2
    yield d.line(
        "behind.trough", (m("gutter rear")[0], middle), (m("back")[0], middle), 0.0, sense=-1.0, primary=False
    )
    inlet = m("inlet low")
    yield d.line("behind.inlet_width", inlet, (m("back")[0], inlet[1]), 0.0, sense=-1.0, primary=False)
    tray = m("tray front")
    yield d.line("return.tray", tray, (m("tray back")[0], tray[1]), 0.0, primary=False)


def face_dimensions(d: Dresser) -> Iterator[Dimension]:
    """Sizes of the board face; each target is a handle of its own."""
    half = d.cabinet.marks.lengths["lane width"] / 2
    length = d.cabinet.marks.lengths["face length"]
    yield d.line("lane.width", (-half, -4.0), (half, -4.0), -16.0, gain=2.0)
    yield d.line("board.length", (half + 12.0, 0.0), (half + 12.0, length), -10.0)
    for t in d.cabinet.targets:
        x, y = t.at
        key = f"targets.{t.number}"
        yield d.point(
            f"{key}.up", t.at, Pull(f"{key}.across", (1.0, 0.0), 1.0), Pull(f"{key}.up", (0.0, 1.0), 1.0)
        )
        yield d.point(f"{key}.hole", (x + t.hole / 2, y), Pull(f"{key}.hole", (1.0, 0.0), 2.0))
        if t.kind != "plain":
            yield d.point(f"{key}.rail", rail_grip(t), Pull(f"{key}.rail", (-1.0, 0.0), 1.0))


def rear_dimensions(d: Dresser) -> Iterator[Dimension]:
    """Sizes of the section behind the board."""
    low, high = d.mark("ramp low"), d.mark("ramp high")
    yield d.angle("behind.catch_slope", low, high, sense=1.0 if high[0] > low[0] else -1.0, plumb=True)
    near, away = sorted((d.mark("lane")[0], d.mark("far")[0]))
    yield d.line("lane.width", (near, 0.0), (away, 0.0), -14.0)

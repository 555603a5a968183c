"""Named points of the cabinet that drawings measure between, in world mm."""

from __future__ import annotations

import math

from desk.cabinet.layout import Layout
from desk.cabinet.model import Landmarks
from desk.design.model import Design
from desk.shapes.frame import Vec
from desk.shapes.loop import Point


def landmarks(d: Design, lay: Layout) -> Landmarks:
    """Points and lengths by name."""
    a, lane, kick, face, c, r = lay.across, lay.lane, lay.kick, lay.face, lay.channel, lay.rear
    middle, channel = (a.lane + a.far) / 2, (a.panel + a.spacer) / 2

    def mid(p: Point) -> Vec:
        return (p[0], middle, p[1])

    def inside(x: float, z: float) -> Vec:
        return (x, channel, z)

    pin = (d.value("lifter.pin_x"), d.value("lifter.pin_z"))
    points = {
        "front": mid((0.0, 0.0)),
        "back": mid((r.back, 0.0)),
        "end": mid((r.end, 0.0)),
        "base top": mid((0.0, lane.base_top)),
        "base low": mid((0.0, d.value("lane.base_height"))),
        "stop front": mid((lane.stop, lane.base_top)),
        "stop top": mid((lane.deck, lane.height(lane.deck) + d.value("lane.stop_height"))),
        "deck front": mid((lane.deck, lane.height(lane.deck))),
        "deck end": mid((lane.kick, lane.top)),
        "kick centre": mid(kick.centre),
        "kick end": mid(kick.end),
        "lip": mid(kick.lip),
        "foot": mid(face.foot),
        "top": mid(face.top),
        "gutter front": mid(r.gutter_front),
        "gutter rear": mid(r.gutter_rear),
        "header low": mid((r.back - lay.t["cleats"] - lay.t["header"], r.header[0])),
        "header high": mid((r.back - lay.t["cleats"] - lay.t["header"], r.header[1])),
        "ramp low": (r.back, a.spacer, r.sill),
        "ramp high": (r.back, a.far, r.ramp_high),
        "tray front": inside(c.tray[0], c.tray_floor(c.tray[0])),
        "tray back": inside(c.tray[1], c.tray_z),
        "lip rear": inside(c.lip, c.floor_z),
        "lip top": inside(c.tray[1], c.lip_z),
        "slot": inside(c.slot, c.floor(c.slot)),
        "mouth": inside(c.mouth, c.floor(c.mouth) + c.ceiling),
        "mouth floor": inside(c.mouth, c.floor(c.mouth)),
        "channel back": inside(r.back, c.floor(r.back)),
        "inlet low": inside(r.back - d.value("behind.inlet_width"), r.sill),
        "inlet high": inside(r.back - d.value("behind.inlet_width"), r.sill + d.value("behind.inlet_height")),
        "pin": inside(*pin),
        "handle": inside(pin[0] - d.value("lifter.reach"), pin[1]),
        "panel": (0.0, a.panel, 0.0),
        "spacer": (0.0, a.spacer, 0.0),
        "lane": (0.0, a.lane, 0.0),
        "far": (0.0, a.far, 0.0),
        "right": (0.0, a.end, 0.0),
    }
    for k, p in enumerate(d.silhouette, 1):
        points[f"silhouette {k}"] = mid((p.x if p.origin == "front" else r.back - p.x, p.z))
    return Landmarks(points, _lengths(d, lay))


def _lengths(d: Design, lay: Layout) -> dict[str, float]:
    """Lengths of the finished cabinet, angles in degrees, by name; the youngest player's age in years."""
    a, face, r = lay.across, lay.face, lay.rear
    before_pin = d.value("lifter.reach") + d.value("lifter.arm") / 2
    return {
        "length": r.end + max(0.0, before_pin - d.value("lifter.pin_x")),
        "depth": r.end,
        "width": a.end,
        "lane width": a.far - a.lane,
        "channel width": a.spacer - a.panel,
        "carve": face.carve,
        "tilt": math.degrees(face.tilt),
        "rail height": min(d.value("board.rail_height"), face.carve),
        "face length": d.value("board.length"),
        "largest ball": d.value("ball.diameter") + d.value("ball.spread"),
        "lifter travel": d.value("lifter.travel"),
        "length limit": d.value("overall.length_limit"),
        "width limit": d.value("overall.width_limit"),
        "height limit": d.value("overall.height_limit"),
        "table depth": d.value("overall.table_depth"),
        "guard": d.value("lane.guard"),
        "youngest player": d.value("people.youngest"),
        **_asked(d),
    }


def _asked(d: Design) -> dict[str, float]:
    """What was asked for where the cabinet takes less when there is no room for it."""
    return {
        "asked rail height": d.value("board.rail_height"),
        "asked board tab": d.value("board.tab"),
        "asked lip rounding": d.value("kicker.lip_round"),
        **{f"asked corner {k}": p.radius for k, p in enumerate(d.silhouette, 1)},
    }

"""The upright views: through the lane, through the return channel, and across the trough seen from the front.

Back to front: the table, the parts behind the cut (paler), the cut parts with their stock's tint, dowels and screws
that the cut shows end on, the balls where they rest, labels.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from desk.ball.rests import Rest
from desk.cabinet.model import Cabinet, Part, Shop
from desk.cabinet.section import Axis, section
from desk.shapes.frame import Frame
from desk.shapes.loop import Point, polyline
from desk.views.drawing import Disc, Item, Path, Text
from desk.views.project import flat, loop_ring, placed, ring, shape_rings

SHORT = {
    "deck": "deck",
    "base": "base",
    "front-stop": "front stop",
    "board": "target board",
    "gutter-floor": "gutter floor",
    "header": "header",
    "back-cover": "back cover",
    "lip-block-1": "lip block",
    "spacer-lower-1": "return spacer, lower",
    "spacer-upper-1": "return spacer, upper",
    "lifter": "lifter",
    "catch-ramp-1": "catch ramp",
    "inner-wall": "inner wall",
}
"""Parts that carry their name in the views."""
TABLE_REACH = 30.0


def tint(cabinet: Cabinet, part: Part) -> str:
    """Style name of the part's stock: stocks are numbered as the design lists them."""
    return _tints(cabinet.shop).get(part.stock, "stock-1")


@lru_cache(maxsize=8)
def _tints(shop: Shop) -> dict[str, str]:
    return {s.id: f"stock-{k}" for k, s in enumerate(shop.stocks, 1)}


def table_line(x0: float, x1: float) -> Path:
    """The table the cabinet stands on."""
    return Path((((x0 - TABLE_REACH, 0.0), (x1 + TABLE_REACH, 0.0)),), "table", closed=False)


def lane_items(cabinet: Cabinet, rests: tuple[Rest, ...]) -> Iterator[Item]:
    """The section through the middle of the lane, looking to the return side."""
    frame = cabinet.planes["lane"]
    yield table_line(0.0, cabinet.marks.lengths["depth"])
    for key in ("panel-return", "inner-wall"):
        yield from _behind(cabinet, frame, key)
    yield from _cut(cabinet, "y", frame.origin[1], ("panel-return", "panel-far", "inner-wall"))
    yield from _pins(cabinet, frame, {"rod-kicker-1", "rod-kicker-2"})
    yield from _balls(cabinet, rests, "lane", frame)
    yield from _labels(cabinet, "y", frame.origin[1])


def channel_items(cabinet: Cabinet, rests: tuple[Rest, ...]) -> Iterator[Item]:
    """The section through the middle of the return channel, looking to the outer panel."""
    frame = cabinet.planes["channel"]
    at = next((_middle(p) for p in cabinet.parts if p.id == "spacer-lower-1"), frame.origin[1])
    yield table_line(0.0, cabinet.marks.lengths["depth"])
    yield from _behind(cabinet, frame, "panel-return")
    yield from _cut(cabinet, "y", at, ("lifter",))
    lever = cabinet.by_id["lifter"]
    if (path := _cut_path(lever, cabinet.shop, "y", _middle(lever), tint(cabinet, lever))) is not None:
        yield path  # where the spacers are several layers the lifter stands in the middle of them
    low, high = (flat(frame, cabinet.marks.points[k]) for k in ("inlet low", "inlet high"))
    back = cabinet.marks.points["back"][0]
    yield Path(((low, (back, low[1]), (back, high[1]), high),), "hidden")
    shown = {j.id for j in cabinet.axis_joints if "spacer" in j.id or "lip-block" in j.id or "return" in j.id}
    yield from _pins(cabinet, frame, shown | {"pin-lifter", "rod-handle"})
    yield from _queue(cabinet, rests)
    yield from _balls(cabinet, rests, "channel", frame)
    yield from _labels(cabinet, "y", at)


def rear_items(cabinet: Cabinet, rests: tuple[Rest, ...]) -> Iterator[Item]:
    """The section along the trough, seen from the front: the catch ramp and the inlet."""
    frame, at = cabinet.planes["rear"], cabinet.leg_by_id["catch"].frame.origin[0]
    width = cabinet.marks.lengths["width"]
    yield table_line(0.0, width)
    cover = cabinet.by_id["back-cover"]
    yield Path((loop_ring(frame, cover, cover.outline),), f"{tint(cabinet, cover)}-far", part=cover.id)
    yield from _cut(cabinet, "x", at, ("header", "cleat-upper", "cleat-lower"))
    yield from _nameplate(cabinet.by_id["header"], frame, tint(cabinet, cabinet.by_id["header"]))
    yield from _balls(cabinet, rests, "catch", frame)
    yield from _labels(cabinet, "x", at)


@lru_cache(maxsize=32)
def _nameplate(header: Part, frame: Frame, style: str) -> tuple[Item, ...]:
    """The header with its lettering, which stands before the cut."""
    grooves = (
        Path((ring(placed(frame, header.frame, np.array(polyline(path)))),), "groove", False, header.id)
        for groove in header.grooves
        for path in groove.paths
        if len(path) > 1
    )
    return (Path((loop_ring(frame, header, header.outline),), style, part=header.id), *grooves)


def _middle(part: Part) -> float:
    return part.frame.origin[1] - part.frame.normal[1] * part.thickness / 2


def _behind(cabinet: Cabinet, frame: Frame, key: str) -> tuple[Item, ...]:
    part = cabinet.by_id[key]
    return _seen_behind(part, frame, f"{tint(cabinet, part)}-far")


@lru_cache(maxsize=64)
def _seen_behind(part: Part, frame: Frame, style: str) -> tuple[Item, ...]:
    """A part behind the cut and the holes in the face it shows."""
    holes = (
        Disc(_rounded(flat(frame, part.frame.world(*hole.at))), hole.diameter / 2, "groove", part.id)
        for hole in part.drills
        if hole.face == "A" and not hole.by_hand
    )
    return (Path((loop_ring(frame, part, part.outline),), style, part=part.id), *holes)


def _cut(cabinet: Cabinet, axis: Axis, at: float, skip: tuple[str, ...]) -> Iterator[Item]:
    for part in cabinet.parts:
        if part.id not in skip and (path := _cut_path(part, cabinet.shop, axis, at, tint(cabinet, part))):
            yield path


@lru_cache(maxsize=512)
def _cut_path(part: Part, shop: Shop, axis: Axis, at: float, style: str) -> Path | None:
    """The part where the plane cuts it; None where the plane misses it."""
    shape = section(part, shop, axis, at)
    return None if shape.is_empty else Path(shape_rings(shape), style, part=part.id)


def _pins(cabinet: Cabinet, frame: Frame, ids: set[str]) -> Iterator[Item]:
    for joint in cabinet.axis_joints:
        if joint.id in ids:
            yield Disc(flat(frame, joint.at), joint.diameter / 2, "hole", joint.members[-1].part)


def _balls(cabinet: Cabinet, rests: tuple[Rest, ...], leg: str, frame: Frame) -> Iterator[Item]:
    """Balls where they come to rest: meant rests, and traps in their own style."""
    radius = cabinet.balls.diameter / 2
    of = cabinet.leg_by_id[leg].frame
    for rest in rests:
        if rest.leg == leg:
            at = flat(frame, of.world(*rest.at))
            yield Disc(_rounded(at), radius, "ball-resting" if rest.meant else "trap")


def _rounded(p: Point) -> Point:
    return (round(p[0], 3), round(p[1], 3))


def _queue(cabinet: Cabinet, rests: tuple[Rest, ...]) -> Iterator[Item]:
    """The balls that wait behind the one at the lip, along the channel's slope."""
    first = next((r for r in rests if r.meant == "waiting place"), None)
    if first is None:
        return
    slot, back = (flat(cabinet.planes["channel"], cabinet.marks.points[k]) for k in ("slot", "channel back"))
    length = float(np.hypot(back[0] - slot[0], back[1] - slot[1]))
    dx, dy = (back[0] - slot[0]) / length, (back[1] - slot[1]) / length
    d = cabinet.balls.diameter
    x = first.at[0] + d
    for _ in range(cabinet.balls.count - 1):
        z = slot[1] + (x - slot[0]) * dy / dx + d / 2 / dx
        if x + d / 2 < back[0]:
            yield Disc(_rounded((x, z)), d / 2, "ball-queue")
        x += d * dx


def _labels(cabinet: Cabinet, axis: Axis, at: float) -> Iterator[Item]:
    for key, name in SHORT.items():
        part = cabinet.by_id.get(key)
        if part is None:
            continue
        if (spot := _spot(part, cabinet.shop, axis, at)) is not None:
            yield Text(spot, name, "part-label")


@lru_cache(maxsize=256)
def _spot(part: Part, shop: Shop, axis: Axis, at: float) -> Point | None:
    """Where the name of a cut part goes; None where the plane misses the part."""
    shape = section(part, shop, axis, at)
    if shape.is_empty:
        return None
    point = shapely.point_on_surface(shape)
    return _rounded((point.x, point.y))

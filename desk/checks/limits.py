"""The whole cabinet against the limits set for it: its size, the table it stands on, the walls beside the lane.

Everything is read from the finished parts; of the design come only the limits themselves.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from desk.cabinet.model import Part
from desk.checks.context import Context
from desk.checks.finding import Place, Remedy
from desk.checks.legs import said, solid
from desk.checks.registry import CannotEvaluate, Draft, Told, check, rate
from desk.shapes.frame import Vec
from desk.shapes.loop import SAME

FAMILY = "Whole cabinet"
WALLS = ("inner-wall", "panel-far")
"""The walls on either side of the lane."""
_STANDS = 0.5
"""A part whose lowest point is no more than this above the cabinet's lowest stands on the table, mm."""
_AXES = {"length": 0, "width": 1, "height": 2}
_GOVERN = {
    "length": ("lane.length", "Make the deck shorter"),
    "width": ("lane.width", "Make the lane narrower"),
}
_NAMES = {"length": "longer", "width": "wider", "height": "taller"}


@check(58, "within-limits", FAMILY, "Within the limits")
def within_limits(ctx: Context) -> Iterator[Draft]:
    """Length, width and height, the footprint on the table, and how far the walls stand above the deck."""
    parts = ctx.cabinet.parts
    for what in _AXES:
        yield _size(ctx, what, parts)
    yield _footprint(ctx)
    for wall in WALLS:
        yield _guard(ctx, wall)


def _limit(ctx: Context, name: str) -> float:
    try:
        return ctx.cabinet.marks.lengths[name]
    except KeyError:
        raise CannotEvaluate(f"the cabinet does not tell its {name}") from None


def _reach(parts: tuple[Part, ...], axis: int) -> tuple[float, float, tuple[str, ...]]:
    """Lowest and highest coordinate along an axis, mm, and the parts that reach them."""
    low, high = min(p.extent[0][axis] for p in parts), max(p.extent[1][axis] for p in parts)
    ends = (p.id for p in parts if p.extent[0][axis] < low + SAME or p.extent[1][axis] > high - SAME)
    return low, high, tuple(ends)


def _size(ctx: Context, what: str, parts: tuple[Part, ...]) -> Draft:
    """One of the three sizes against its limit."""
    axis, need, limit = _AXES[what], ctx.need("limit_room"), _limit(ctx, f"{what} limit")
    low, high, ends = _reach(parts, axis)
    rating = rate(need, limit - (high - low))
    because = f"{limit:.2f} allowed - {high - low:.2f} = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    address = f"overall.{what}_limit"
    remedies = (
        *_smaller(ctx, what, rating.short, high, ends),
        ctx.remedy(address, rating.short, f"Allow a {_NAMES[what]} cabinet"),
    )
    plane = "plan" if what == "width" else "lane"
    told = Told(
        f"{what.capitalize()} of the cabinet", because, (_line(ctx, plane, axis, low, high),), remedies
    )
    return Draft(what, ends, rating, partial(said, told))


def _smaller(ctx: Context, what: str, short: float, high: float, ends: tuple[str, ...]) -> Iterator[Remedy]:
    """What makes the cabinet smaller; for the height the silhouette's highest points, or the header."""
    if what in _GOVERN:
        address, text = _GOVERN[what]
        # a stack of ribs that stands out is as wide as it is, however narrow the lane
        ribs = what == "width" and any(key.startswith("rib") for key in ends)
        yield ctx.remedy(address, 0.0 if ribs else -short, text)
        return
    if "header" in ends:
        yield ctx.remedy("header.height", -short, "Make the header less high")
    marks = ctx.cabinet.marks.points
    points = {k: p[2] for k, p in marks.items() if k.startswith("silhouette ")}
    above = {name: z for name, z in points.items() if z > high - max(short, SAME)}
    text = "Lower this corner" if len(above) == 1 else "Lower this corner, and the others that are named"
    for name, z in above.items():
        yield ctx.remedy(f"{name.replace(' ', '.')}.z", high - short - z, text)


def _footprint(ctx: Context) -> Draft:
    """What stands on the table against the table's depth."""
    depth, parts = _limit(ctx, "table depth"), ctx.cabinet.parts
    lowest = min(p.extent[0][2] for p in parts)
    standing = tuple(p for p in parts if p.extent[0][2] <= lowest + _STANDS)
    low, high, ends = _reach(standing, 0)
    rating = rate(ctx.need("limit_room"), depth - (high - low))
    because = f"{depth:.2f} table - {high - low:.2f} = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    remedies = (
        ctx.remedy("lane.length", -rating.short, "Make the deck shorter"),
        ctx.remedy("overall.table_depth", rating.short, "Stand it on a deeper table"),
    )
    told = Told("Footprint on the table", because, (_line(ctx, "lane", 0, low, high),), remedies)
    return Draft("table", ends, rating, partial(said, told))


def _line(ctx: Context, plane: str, axis: int, low: float, high: float) -> Place:
    """A line along one axis through the cabinet's middle plane, at the table or, upright, at the back."""
    frame = ctx.cabinet.planes[plane]
    back = ctx.cabinet.marks.points["back"][0]

    def at(value: float) -> Vec:
        world = [back if axis == 2 else back / 2, frame.origin[1], 0.0]
        world[axis] = value
        return (world[0], world[1], world[2])

    ends = (frame.local(at(low))[:2], frame.local(at(high))[:2])
    return Place(frame, "line", ends)


def _guard(ctx: Context, wall: str) -> Draft:
    """How far one wall stands above the deck where it does so least."""
    part, lane = ctx.cabinet.by_id.get(wall), ctx.cabinet.leg_by_id.get("lane")
    deck = shapely.Polygon() if lane is None else solid(lane, "deck")
    if part is None or lane is None or deck.is_empty:
        raise CannotEvaluate("there is no deck, or no wall beside it", (wall,))
    need, guard = ctx.need("guard_room"), _limit(ctx, "guard")
    # the clean piece of an outline that crosses itself; check 57 tells that it does
    corners = shapely.get_coordinates(part.outline.polygon.exterior).tolist()
    side = shapely.Polygon([lane.frame.local(part.frame.world(x, y))[:2] for x, y in corners])
    x, top, floor = _least(side, deck)
    rating = rate(need, top - floor - guard)
    because = (
        f"{top:.2f} - {floor:.2f} deck - {guard:.2f} guard = {rating.measured:.2f} mm; "
        f"needed {rating.needed:.2f}"
    )
    remedies = (
        *_higher(ctx, x),
        ctx.remedy("lane.deck_height", -rating.short, "Lower the deck"),
        ctx.remedy("lane.guard", -rating.short, "Ask for less guard"),
    )
    place = Place(lane.frame, "line", ((x, floor), (x, top)))
    told = Told("Walls above the deck", because, (place,), remedies)
    return Draft(f"guard/{wall}", (wall, "deck"), rating, partial(said, told), "guard")


def _least(side: shapely.Polygon, deck: shapely.Geometry) -> tuple[float, float, float]:
    """Where a wall stands least above the deck: x, top of the wall, top of the deck.

    Both tops are polylines, so the least is at a corner of one of them.
    """
    low, _, high, _ = deck.bounds
    corners = np.concatenate([shapely.get_coordinates(g)[:, 0] for g in (side, deck)])
    at = [x for x in np.unique(corners).tolist() if low + SAME < x < high - SAME]
    rows = [(x, _top(side, x), _top(deck, x)) for x in (low + SAME, *at, high - SAME)]
    return min(rows, key=lambda r: r[1] - r[2])


def _top(shape: shapely.Geometry, x: float) -> float:
    """Highest point of a shape at x; its lowest where it does not reach there."""
    _, low, _, high = shape.bounds
    met = shape.intersection(shapely.LineString([(x, low - 1.0), (x, high + 1.0)]))
    return float(low if met.is_empty else met.bounds[3])


def _higher(ctx: Context, x: float) -> Iterator[Remedy]:
    """The corners of the silhouette before and behind a place."""
    points = [(p[0], k) for k, p in ctx.cabinet.marks.points.items() if k.startswith("silhouette ")]
    before = max((p for p in points if p[0] <= x), default=None)
    behind = min((p for p in points if p[0] > x), default=None)
    for point in (before, behind):
        if point is not None:
            yield ctx.remedy(f"{point[1].replace(' ', '.')}.z", 0.0, "Raise the side here")

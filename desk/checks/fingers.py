"""Fingers reach the ball in the pick-up tray: two of them get down on both sides of it, and it is not too deep in.

Seen from above at the height of the ball's middle. A finger is a round rod that comes straight down as far as it is
long; the hand behind it is a disc as broad as the knuckles that stays above what is in its way. The ball may lie
anywhere in the tray, as a finger pushes it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import Part
from desk.checks.context import Context
from desk.checks.finding import Place
from desk.checks.legs import ROUND, rated, said, surveys
from desk.checks.needs import Need
from desk.checks.registry import CannotEvaluate, Draft, Told, check
from desk.checks.standing import plan_at
from desk.shapes.loop import Point
from desk.shapes.offset import grown
from desk.shop.supplies import Hand, hands

TRAY = "pick-up tray"
DIRECTIONS = 12
"""So many ways round a half turn are tried for the two fingers."""
THINNEST, THICKEST = 2.0, 60.0
"""Fingers between these breadths are tried, mm."""
HALVINGS = 9
AROUND = 300.0
"""What is farther from the tray than this is not in the way of a hand, mm."""
SLACK = 0.02
"""A place smaller than this across is none, mm."""


class Pinch(NamedTuple):
    """Two fingers at a ball: the breadth of the thickest that get down, mm, where the ball lies, and which way they
    stand to it, radians from the x axis.
    """

    breadth: float
    at: Point
    way: float


@check(17, "fingers", "People", "Fingers reach the ball")
def fingers(ctx: Context) -> Iterator[Draft]:
    """Breadth of the fingers that get down beside the ball, and how far in it lies."""
    sizes = hands(ctx.cabinet.tables)
    x, z = _in_tray(ctx)
    points = ctx.cabinet.marks.points
    low, high = sorted((points["spacer"][1], points["panel"][1]))
    edge = points["lane"][1]
    across = (min(low, edge), max(high, edge))
    tray = (points["tray front"][0], points["tray back"][0])
    around = (tray[0] - AROUND, across[0] - AROUND, tray[1] + AROUND, across[1] + AROUND)
    length, radius = sizes["finger-length"].value, ctx.cabinet.balls.largest / 2
    wood = _wood_above(ctx, z, z + length, around)
    found = pinch(wood, shapely.box(tray[0], across[0], tray[1], across[1]), radius)
    yield _pinched(ctx, found, z, radius, sizes["pick-room"])
    yield _reached(ctx, (x, (low + high) / 2, z), around, sizes)


def _in_tray(ctx: Context) -> Point:
    """Where the largest ball comes to rest in the tray, in the channel's plane."""
    leg = ctx.cabinet.leg_by_id.get("channel")
    rests = [] if leg is None else [r for r in surveys(ctx, leg)[0][2].rests if r.meant == TRAY]
    if not rests:
        raise CannotEvaluate("no ball comes to rest in the pick-up tray", ("lip-block-1",))
    return rests[0].at


def _wood_above(
    ctx: Context, low: float, high: float, around: tuple[float, float, float, float]
) -> shapely.Geometry:
    """What stands between two heights, seen from above, with its film, within a box."""
    pieces = [s for p in ctx.cabinet.parts for s in _seen_from_above(p, low, high)]
    inside = shapely.clip_by_rect(shapely.union_all(pieces), *around)
    return grown(inside, ctx.cabinet.shop.film)


@lru_cache(maxsize=512)
def _seen_from_above(part: Part, low: float, high: float) -> tuple[shapely.Geometry, ...]:
    """Boxes over the part between two heights: of one that stands fore and aft one for each piece of its side."""
    (x0, y0, z0), (x1, y1, z1) = part.extent
    if z1 <= low or z0 >= high:
        return ()
    if part.normal_axis != "y":
        return (shapely.box(x0, y0, x1, y1),)
    ox, _, oz = part.frame.origin
    u, v = part.frame.u, part.frame.v
    side = shapely.transform(
        part.outline.polygon, lambda c: np.column_stack((ox + c @ (u[0], v[0]), oz + c @ (u[2], v[2])))
    )
    cut = shapely.clip_by_rect(side, x0 - 1.0, low, x1 + 1.0, high)
    boxes = (shapely.bounds(piece).tolist() for piece in shapely.get_parts(cut))
    return tuple(shapely.box(a, y0, b, y1) for a, _, b, _ in boxes)


@lru_cache(maxsize=64)
def pinch(wood: shapely.Geometry, tray: shapely.Geometry, radius: float) -> Pinch:
    """The thickest fingers that get down on both sides of a ball somewhere in the tray; breadth 0 for none."""
    places = tray.difference(grown(wood, radius))
    ways = [math.pi * k / DIRECTIONS for k in range(DIRECTIONS)]
    best = Pinch(0.0, (float(tray.centroid.x), float(tray.centroid.y)), 0.0)
    low, high = THINNEST, THICKEST
    for n in range(HALVINGS + 1):
        breadth = THICKEST if n == 0 else (low + high) / 2
        found = _room(wood, places, radius, breadth, ways)
        if found is None:
            high = breadth
            continue
        best = Pinch(breadth, *found)
        ways.sort(key=lambda way: way != best.way)
        if n == 0:
            break
        low = breadth
    return best


def _room(
    wood: shapely.Geometry, places: shapely.Geometry, radius: float, breadth: float, ways: list[float]
) -> tuple[Point, float] | None:
    """A place of the ball and a way for two fingers of this breadth, or None."""
    shut, far = grown(wood, breadth / 2), radius + breadth / 2
    for way in ways:
        dx, dy = far * math.cos(way), far * math.sin(way)
        left = places
        for sign in (1.0, -1.0):
            left = left.difference(shapely.affinity.translate(shut, sign * dx, sign * dy))
        if not left.is_empty and left.area > SLACK * SLACK:
            at = left.representative_point()
            return (float(at.x), float(at.y)), way
    return None


def _circle(at: Point, radius: float) -> tuple[Point, ...]:
    turn = 2 * math.pi / ROUND
    return tuple(
        (at[0] + radius * math.cos(k * turn), -at[1] - radius * math.sin(k * turn)) for k in range(ROUND)
    )


def _pinched(ctx: Context, found: Pinch, z: float, radius: float, room: Hand) -> Draft:
    tight = ctx.need("finger_room")
    need = Need(tight.id, room.value, tight.tight, "mm", room.source)
    rating = rated(found.breadth, room.value, tight.tight, "mm", need)
    more = "or more " if found.breadth >= THICKEST else ""
    because = (
        f"fingers {found.breadth:.1f} mm {more}broad get down on both sides of the {2 * radius:.2f} mm ball; needed "
        f"{room.value:.1f}: {2 * radius:.2f} + 2 x {room.value:.1f} = {2 * radius + 2 * room.value:.1f} mm across"
    )
    far = radius + found.breadth / 2
    dx, dy = far * math.cos(found.way), far * math.sin(found.way)
    spots = [(found.at, radius)]
    if found.breadth:
        spots += [((found.at[0] + s * dx, found.at[1] + s * dy), found.breadth / 2) for s in (1.0, -1.0)]
    places = tuple(Place(plan_at(z), "area", _circle(at, r)) for at, r in spots)
    remedies = (
        ctx.remedy("return.tray", 0.0, "Make the tray longer"),
        ctx.remedy("lane.front", 0.0, "Make the bay before the front stop deeper"),
        ctx.remedy("lane.width", 0.0, "Make the lane wider"),
    )
    told = Told("Two fingers at the ball in the tray", because, places, remedies)
    return Draft("pinch", ("lip-block-1", "inner-wall"), rating, partial(said, told))


def _reached(
    ctx: Context,
    ball: tuple[float, float, float],
    around: tuple[float, float, float, float],
    sizes: dict[str, Hand],
) -> Draft:
    """Distance from where the hand finds room to the ball's middle against the length of a finger."""
    breadth, length = sizes["hand-breadth"], sizes["finger-length"]
    x, y, z = ball
    tops = {p.extent[1][2] for p in ctx.cabinet.parts}
    best = (math.inf, z)
    for height in sorted({z, *(top + ctx.cabinet.shop.film for top in tops if top > z)}):
        if height - z > best[0]:
            break
        wood = grown(_wood_above(ctx, height, math.inf, around), breadth.value / 2)
        aside = (
            float(shapely.boundary(wood).distance(shapely.Point(x, y)))
            if wood.contains(shapely.Point(x, y))
            else 0.0
        )
        best = min(best, (math.hypot(aside, height - z), height))
    need = ctx.need("finger_deep")
    rating = rated(
        length.value - best[0], 0.0, need.tight, "mm", Need(need.id, 0.0, need.tight, "mm", length.source)
    )
    rating = rating._replace(measured=best[0], needed=length.value)
    because = (
        f"a hand {breadth.value:.0f} mm broad comes within {best[0]:.1f} mm of the ball's middle; a finger is "
        f"{length.value:.0f} mm long"
    )
    place = Place(plan_at(z), "area", _circle((x, y), ctx.cabinet.balls.largest / 2))
    remedies = (
        ctx.remedy("silhouette.1.z", 0.0, "Lower the sides at the tray"),
        ctx.remedy("silhouette.2.z", 0.0, "Lower the sides at the tray"),
        ctx.remedy("lane.front", 0.0, "Make the bay before the front stop deeper"),
    )
    told = Told("Depth of the ball in the tray", because, (place,), remedies)
    return Draft("deep", ("panel-return", "lip-block-1"), rating, partial(said, told))

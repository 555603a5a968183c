"""The board face: holes that pass the ball, gaps that pass it or cannot hold it, and places where it would stay.

Read on the face leg: rails, walls and header as cut and finished, in the plane the ball rolls on. A rail lower than the
ball's radius meets the ball below its middle, so gaps are counted with the smaller circle of contact.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from itertools import combinations
from typing import NamedTuple

import shapely

from desk.ball.rests import RAIL, contact_radius
from desk.cabinet.ascut import opening_as_cut
from desk.cabinet.model import Cutout, Leg, Part, Solid
from desk.checks.context import Context, patch
from desk.checks.finding import Place
from desk.checks.legs import FAMILY, balls_of, rated, surveys, trap_drafts, traps
from desk.checks.registry import Draft, Rating, Sieve, Told, check, rate
from desk.shapes.loop import Point
from desk.shapes.offset import grown

HOLE = "target hole "


@check(1, "hole-passes", FAMILY, "Holes pass the ball", "The board has no target hole.")
def hole_passes(ctx: Context) -> Iterator[Draft]:
    """The narrowest of each hole, as cut and with film on its wall, against the largest ball."""
    board, sieve, need = ctx.cabinet.by_id["board"], Sieve(), ctx.need("passage")
    for cutout in board.cutouts:
        if not cutout.use.startswith(HOLE):
            continue
        width = hole_width(cutout, ctx.profile_bit.diameter / 2)
        spare = width - 2 * ctx.cabinet.shop.film - ctx.cabinet.balls.largest
        if sieve.wants(spare - need.value, need.tight):
            rating = rate(need, spare)
            tell = partial(_tell_hole, ctx, board, cutout, width, rating)
            yield Draft(cutout.use, ("board",), rating, tell)


@lru_cache(maxsize=256)
def hole_width(cutout: Cutout, radius: float) -> float:
    """Diameter of the largest circle in an opening cut with a bit of ``radius``; 0 where it is not cut."""
    cut = opening_as_cut(cutout.loop, radius)
    if cut.is_empty:
        return 0.0
    if len(cutout.loop.points) == 2:
        x0, y0, x1, y1 = cutout.loop.bounds
        return min(x1 - x0, y1 - y0)
    return 2 * float(shapely.length(shapely.maximum_inscribed_circle(cut, tolerance=1e-3)))


def _tell_hole(ctx: Context, board: Part, cutout: Cutout, width: float, rating: Rating) -> Told:
    film, largest = ctx.cabinet.shop.film, ctx.cabinet.balls.largest
    because = (
        f"{width:.2f} - 2 x {film:.3f} film - {largest:.2f} ball = {rating.measured:.2f} mm; "
        f"needed {rating.needed:.2f}"
    )
    number = cutout.use.removeprefix(HOLE)
    rim = [b.size for b in board.breaks if b.use.endswith(cutout.use)]
    if rim:
        because += f". The chamfer opens the rim to {width + 2 * rim[0]:.2f}"
    remedies = (
        ctx.remedy(f"targets.{number}.hole", rating.short, "Make the hole larger"),
        ctx.remedy("ball.diameter", -rating.short, "Use smaller balls"),
    )
    return Told(f"Ball through target hole {number}", because, (patch(board, cutout.loop),), remedies)


class Gap(NamedTuple):
    """Two solids of the face that a ball may come between: their distance, what the largest and the smallest ball
    need to pass, the ends of the shortest line, and for a gap too small for the smallest ball the half angle, in
    radians, at which it would sit between them and where.
    """

    first: int
    second: int
    width: float
    needs: tuple[float, float]
    ends: tuple[Point, Point]
    half_angle: float | None
    at: Point | None


NEAR = 4.0
"""A gap wider than what the ball needs by this, mm, is not looked at."""


def gaps(leg: Leg, largest: float, smallest: float) -> tuple[Gap, ...]:
    """Gaps of the face leg that come near to the ball's size, or that it may sit in."""
    return _gaps(leg.solids, leg.room, leg.rail_height, largest, smallest)


@lru_cache(maxsize=64)
def _gaps(
    solids: tuple[Solid, ...], room: shapely.Polygon, rail: float | None, largest: float, smallest: float
) -> tuple[Gap, ...]:
    found = []
    for i, j in combinations(range(len(solids)), 2):
        one, two = solids[i], solids[j]
        needs = (
            _contact(one, largest, rail) + _contact(two, largest, rail),
            _contact(one, smallest, rail) + _contact(two, smallest, rail),
        )
        width = float(one.shape.distance(two.shape))
        if width > needs[0] + NEAR:
            continue
        line = shapely.get_coordinates(shapely.shortest_line(one.shape, two.shape)).tolist()
        ends = ((line[0][0], line[0][1]), (line[1][0], line[1][1]))
        if width >= needs[1]:
            found.append(Gap(i, j, width, needs, ends, None, None))
        elif seat := _seat(solids, room, (one, two), smallest, rail):
            found.append(Gap(i, j, width, needs, ends, *seat))
    return tuple(found)


def _contact(solid: Solid, diameter: float, rail: float | None) -> float:
    """How near a ball's middle comes to a solid in the plane of the face."""
    if solid.part == RAIL and rail is not None:
        return contact_radius(diameter / 2, rail)
    return diameter / 2


def _seat(
    solids: tuple[Solid, ...],
    room: shapely.Polygon,
    pair: tuple[Solid, Solid],
    diameter: float,
    rail: float | None,
) -> tuple[float, Point] | None:
    """The sharpest wedge in which a ball touches a pair of solids and nothing else: half angle, ball's middle."""
    rims = [shapely.boundary(grown(s.shape, _contact(s, diameter, rail))) for s in pair]
    others = [(s.shape, _contact(s, diameter, rail)) for s in solids if s is not pair[0] and s is not pair[1]]
    seats = []
    for x, y in shapely.get_coordinates(shapely.intersection(*rims)).tolist():
        at = shapely.Point(x, y)
        if room.contains(at) and all(shape.distance(at) > c - 0.01 for shape, c in others):
            towards = [_direction(at, s.shape) for s in pair]
            between = math.acos(max(-1.0, min(1.0, sum(a * b for a, b in zip(*towards, strict=True)))))
            seats.append(((math.pi - between) / 2, (x, y)))
    return min(seats, default=None)


def _direction(at: shapely.Point, shape: shapely.Geometry) -> Point:
    (x0, y0), (x1, y1) = shapely.get_coordinates(shapely.shortest_line(at, shape)).tolist()
    length = math.hypot(x1 - x0, y1 - y0)
    return ((x1 - x0) / length, (y1 - y0) / length) if length else (0.0, 0.0)


@check(2, "face-gaps", FAMILY, "Gaps on the board face", "Nothing on the face comes near to anything else.")
def face_gaps(ctx: Context) -> Iterator[Draft]:
    """Between rails, walls and header: the largest ball passes, or the smallest is not wedged.

    A wedge that holds even a smooth ball is a conflict, one that may hold a rough one is tight.
    """
    leg, balls = ctx.cabinet.leg_by_id["face"], ctx.cabinet.balls
    need, wedge = ctx.need("passage"), ctx.need("wedge")
    low, high = (math.degrees(math.atan(mu)) for mu in balls_of(ctx).friction)
    for gap in gaps(leg, balls.largest, balls.smallest):
        if gap.half_angle is None:
            rating = rate(need, gap.width - gap.needs[0])
        else:
            rating = rated(math.degrees(gap.half_angle), low, high - low + wedge.tight, "deg", wedge)
        names = tuple(_name(leg, k) for k in (gap.first, gap.second))
        parts = tuple(dict.fromkeys(leg.solids[k].part for k in (gap.first, gap.second)))
        tell = partial(_tell_gap, ctx, leg, gap, names, rating)
        yield Draft(" to ".join(names), parts, rating, tell)


def _target(leg: Leg, shape: shapely.Geometry) -> str:
    """Number of the target whose hole is nearest to a shape; empty without targets."""
    holes = [z for z in leg.sinks if z.name.startswith(HOLE)]
    nearest = min(holes, key=lambda z: float(z.shape.centroid.distance(shape)), default=None)
    return "" if nearest is None else nearest.name.removeprefix(HOLE)


def _name(leg: Leg, number: int) -> str:
    solid = leg.solids[number]
    if solid.part == RAIL:
        return f"rail of target {_target(leg, solid.shape)}"
    return {"inner-wall": "inner wall", "panel-far": "far panel"}.get(solid.part, solid.part)


def _tell_gap(ctx: Context, leg: Leg, gap: Gap, names: tuple[str, ...], rating: Rating) -> Told:
    balls = ctx.cabinet.balls
    places = [Place(leg.frame, "line", gap.ends)]
    if gap.half_angle is None:
        because = (
            f"{gap.width:.2f} - {gap.needs[0]:.2f} where the {balls.largest:.2f} mm ball touches = "
            f"{gap.width - gap.needs[0]:.2f} mm; needed {ctx.need('passage').value:.2f}"
        )
    else:
        smooth, rough = balls_of(ctx).friction
        because = (
            f"{gap.width:.2f} mm; the {balls.smallest:.2f} mm ball sits in it at a half angle of {rating.measured:.1f} "
            f"deg; jams up to atan({smooth:.2f}) = {rating.needed:.1f}, where it is rough up to atan({rough:.2f}) = "
            f"{math.degrees(math.atan(rough)):.1f}"
        )
        if gap.at:
            places.append(Place(leg.frame, "point", (gap.at,)))
    remedies = [ctx.remedy(a, 0.0, "Widen the gap, or close it") for a in _movers(leg, gap)]
    if any(leg.solids[k].part != RAIL for k in (gap.first, gap.second)):
        remedies.append(ctx.remedy("lane.width", 0.0, "Make the lane wider"))
    return Told(f"Gap between {names[0]} and {names[1]}", because, tuple(places), tuple(remedies))


def _movers(leg: Leg, gap: Gap) -> list[str]:
    rails = [leg.solids[k].shape for k in (gap.first, gap.second) if leg.solids[k].part == RAIL]
    numbers = dict.fromkeys(n for shape in rails if (n := _target(leg, shape)))
    return [f"targets.{n}.{field}" for n in numbers for field in ("across", "up", "rail")]


@check(3, "face-traps", FAMILY, "Traps on the board face")
def face_traps(ctx: Context) -> Iterator[Draft]:
    """No place on the face holds a ball but the holes and the gutter."""
    leg = ctx.cabinet.leg_by_id["face"]
    held = [r for _, _, found in surveys(ctx, leg) for r in traps(found)]
    numbers = dict.fromkeys(n for r in held if (n := _target(leg, shapely.Point(r.at))))
    governed = [f"targets.{n}.{field}" for n in numbers for field in ("across", "up", "rail")]
    yield from trap_drafts(ctx, leg, (*governed, "board.rail_height"))

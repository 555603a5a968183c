"""How near things stand to one another on the board face: gaps between rails, walls and header, and their names.

Read on the face leg: rails, walls and header as cut and finished, in the plane the ball rolls on. A rail lower than the
ball's radius meets the ball below its middle, so gaps are counted with the smaller circle of contact.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

import shapely

from desk.ball.rests import RAIL, contact_radius
from desk.cabinet.model import Leg, Solid
from desk.shapes.loop import Point
from desk.shapes.offset import grown

HOLE = "target hole "


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
            contact(one, largest, rail) + contact(two, largest, rail),
            contact(one, smallest, rail) + contact(two, smallest, rail),
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


def contact(solid: Solid, diameter: float, rail: float | None) -> float:
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
    rims = [shapely.boundary(grown(s.shape, contact(s, diameter, rail))) for s in pair]
    others = [(s.shape, contact(s, diameter, rail)) for s in solids if s is not pair[0] and s is not pair[1]]
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


def target_at(leg: Leg, shape: shapely.Geometry) -> str:
    """Number of the target whose hole is nearest to a shape; empty without targets."""
    holes = [z for z in leg.sinks if z.name.startswith(HOLE)]
    nearest = min(holes, key=lambda z: float(z.shape.centroid.distance(shape)), default=None)
    return "" if nearest is None else nearest.name.removeprefix(HOLE)


def name_of(leg: Leg, number: int) -> str:
    """A solid of the face in words, by its place among the leg's."""
    solid = leg.solids[number]
    if solid.part == RAIL:
        return f"rail of target {target_at(leg, solid.shape)}"
    return {"inner-wall": "inner wall", "panel-far": "far panel"}.get(solid.part, solid.part)

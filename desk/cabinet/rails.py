"""What the carving leaves standing on the board's floor, as the pocket bit cuts it and the lacquer finishes it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely

from desk.cabinet.ascut import finished, opening_as_cut, outline_as_cut
from desk.cabinet.model import Pocket
from desk.shapes.loop import CHORD_TOLERANCE, Loop
from desk.shapes.offset import closed_by_bit

_CRUMB_AREA = 0.5
"""What is smaller than this, mm², is no rail but a sliver along a straight edge."""


@lru_cache(maxsize=64)
def rails(
    carving: tuple[Pocket, ...], radius: float, film: float, half: float, length: float
) -> tuple[shapely.Geometry, ...]:
    """What the carving leaves standing on the floor, as cut and finished, in face coordinates.

    ``half`` is half the width of the board's body, mm. Rails that the bit passes all round are worked out one by one,
    and remembered; else all together, with what the bit cannot clear between them and beside the walls.
    """
    islands = [i for p in carving for i in p.islands]
    inside = tuple(p.loop for p in carving if not p.islands and p.use == "carving") if islands else ()
    if _stand_alone(islands, 2 * radius, (0.0, 0.0, 2 * half, length)):
        return tuple(_rail(i, tuple(h for h in inside if _within(h, i)), radius, film, half) for i in islands)
    beside, width = 2 * radius + 1.0, 2 * half
    walls = [
        shapely.box(-beside, -beside, 0.0, length + beside),
        shapely.box(width, -beside, width + beside, length + beside),
    ]
    left = closed_by_bit(shapely.union_all([*walls, *(i.polygon for i in islands)]), radius)
    if inside:
        left = left.difference(shapely.union_all([opening_as_cut(h, radius) for h in inside]))
    left = left.intersection(shapely.box(0.0, 0.0, width, length))
    pieces = (p for p in getattr(left, "geoms", [left]) if p.area > _CRUMB_AREA)
    done = (finished(p.simplify(CHORD_TOLERANCE / 2), film) for p in pieces)
    return tuple(shapely.affinity.translate(p, -half, 0.0) for p in done)


def _stand_alone(islands: list[Loop], gap: float, field: tuple[float, float, float, float]) -> bool:
    """Whether every island keeps more than ``gap`` from the others and from the field's sides, by their boxes.

    Boxes may come nearer to each other than the islands do; those are then measured.
    """
    if not islands:
        return False
    boxes = np.array([i.bounds for i in islands])
    low, high = boxes[:, :2], boxes[:, 2:]
    if (
        low[:, 0].min() <= gap
        or high[:, 0].max() >= field[2] - gap
        or low[:, 1].min() < 0
        or high[:, 1].max() > field[3]
    ):
        return False
    near = (np.maximum(low[:, None] - high[None], low[None] - high[:, None]).max(axis=2)) <= gap
    pairs = ((a, b) for a, b in zip(*np.nonzero(near), strict=True) if a < b)
    return all(islands[a].polygon.distance(islands[b].polygon) > gap for a, b in pairs)


def _within(hole: Loop, island: Loop) -> bool:
    a, b = hole.bounds, island.bounds
    return b[0] <= a[0] and b[1] <= a[1] and a[2] <= b[2] and a[3] <= b[3]


@lru_cache(maxsize=256)
def _rail(
    island: Loop, inside: tuple[Loop, ...], radius: float, film: float, half: float
) -> shapely.Geometry:
    """One rail with nothing near it."""
    shape = outline_as_cut(island, radius)
    for hole in inside:
        shape = shape.difference(opening_as_cut(hole, radius))
    return shapely.affinity.translate(finished(shape.simplify(CHORD_TOLERANCE / 2), film), -half, 0.0)

"""From parts and places in space to points on a drawing plane."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import Part
from desk.shapes.frame import Frame, Vec, dot
from desk.shapes.loop import Loop, Point
from desk.views.drawing import Ring

FACING = 0.7
"""A plane is seen face on when the cosine between its normal and the view's is larger than this."""


def flat(frame: Frame, point: Vec) -> Point:
    """Where a world point shows in the view."""
    x, y, _ = frame.local(point)
    return (x, y)


def placed(frame: Frame, of: Frame, coords: NDArray[np.float64], depth: float = 0.0) -> NDArray[np.float64]:
    """Local points (n, 2) of one plane, at a depth below it, seen in the view of ``frame``: (n, 2)."""
    ox, oy, _ = frame.local(of.world(0.0, 0.0, depth))
    turn = np.array(
        [[dot(of.u, frame.u), dot(of.u, frame.v)], [dot(of.v, frame.u), dot(of.v, frame.v)]],
    )
    out: NDArray[np.float64] = coords @ turn + (ox, oy)
    return out


def ring(coords: NDArray[np.float64]) -> Ring:
    """A drawing ring from an array (n, 2), rounded to a thousandth of a mm so that equal shapes compare equal."""
    return tuple(map(tuple, np.round(coords, 3).tolist()))


def loop_ring(frame: Frame, part: Part, loop: Loop, depth: float = 0.0) -> Ring:
    """A loop of a part as seen in the view."""
    return ring(placed(frame, part.frame, loop.sketch, depth))


@lru_cache(maxsize=256)
def shape_rings(shape: shapely.Geometry) -> tuple[Ring, ...]:
    """All rings of polygons that are in the view's coordinates already."""
    out: list[Ring] = []
    for piece in getattr(shape, "geoms", [shape]):
        if isinstance(piece, shapely.Polygon) and not piece.is_empty:
            out.extend(ring(shapely.get_coordinates(r)[:-1]) for r in (piece.exterior, *piece.interiors))
    return tuple(out)


def faces(frame: Frame, of: Frame) -> bool:
    """Whether a plane is seen face on, from either side."""
    return abs(dot(frame.normal, of.normal)) > FACING

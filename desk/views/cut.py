"""What a plane cuts of a part: the wood as the bits leave it, with its holes, pockets and countersinks taken out.

The plane may lie any way to the part. Parallel to the faces it gives the outline less what reaches to its depth; at
right angles to them it gives the thickness along a line of the face; slanting it gives a strip of the face, seen in
the plane. Shapes are shapely geometries in mm, in the coordinates of the plane's frame. V-grooves and broken edges
are not taken out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.ascut import face_as_cut, pocket_as_cut
from desk.cabinet.model import Drill, Part, Shop
from desk.shapes.frame import Frame, dot
from desk.shapes.loop import SAME, Point, circle

EMPTY = shapely.Polygon()
FAR = 1e4
"""Farther than any part reaches, mm."""
LEVEL = 1e-9
"""A cosine smaller than this is none."""
ON_FACE = 1e-6
"""A plane this near to a face of a part, mm, lies in it."""


@dataclass(frozen=True)
class Taken:
    """What a tool takes out of a part: a shape in part coordinates over depths ``low`` to ``high`` from face A, mm."""

    shape: shapely.Geometry
    low: float
    high: float


@dataclass(frozen=True)
class _Lie:
    """How a plane lies to a part.

    ``along`` is the direction in the plane that keeps its depth in the part and ``down`` the one in which the depth
    grows by ``rate``; both in coordinates of the plane. ``spot`` is the place in part coordinates of the point of the
    plane's steepest line through its origin that lies in face A; ``step`` and ``climb`` are the moves in part
    coordinates for one mm along and down. ``foot`` is how far down that point lies from the plane's origin.
    """

    along: Point
    down: Point
    rate: float
    spot: Point
    step: Point
    climb: Point
    foot: float

    def to_plane(self, coords: NDArray[np.float64]) -> NDArray[np.float64]:
        """(mm along, depth) as points of the plane, arrays (n, 2)."""
        down = coords[:, 1] / self.rate + self.foot
        out: NDArray[np.float64] = np.outer(coords[:, 0], self.along) + np.outer(down, self.down)
        return out

    def from_face(self, coords: NDArray[np.float64]) -> NDArray[np.float64]:
        """Part coordinates of points where a slanting plane meets the wood, as (mm along, depth); arrays (n, 2)."""
        moves = np.array([self.step, (self.climb[0] / self.rate, self.climb[1] / self.rate)])
        out: NDArray[np.float64] = (coords - self.spot) @ np.linalg.inv(moves)
        return out


@lru_cache(maxsize=1024)
def cut(part: Part, shop: Shop, frame: Frame) -> shapely.Geometry:
    """The part where the plane of ``frame`` cuts it, in that frame's coordinates; empty where it misses it."""
    slant = abs(dot(part.frame.normal, frame.normal))
    if slant > 1 - LEVEL:
        return _slice(part, shop, frame)
    if slant < LEVEL:
        return _upright(part, shop, _lie(part, frame))
    return _slanting(part, shop, _lie(part, frame))


def taken(part: Part, shop: Shop) -> Iterator[Taken]:
    """Pockets as cut and holes of a part; countersinks are told apart, see ``sunk``."""
    radius = shop.bit(shop.pocket_bit).diameter / 2
    for pocket in part.pockets:
        yield Taken(pocket_as_cut(pocket, radius), *_depths(part, pocket.depth, pocket.face))
    for drill in part.drills:
        yield Taken(circle(*drill.at, drill.diameter / 2).polygon, *_depths(part, drill.depth, drill.face))


def _depths(part: Part, depth: float | None, face: str) -> tuple[float, float]:
    if depth is None:
        return -FAR, FAR
    return (-FAR, depth) if face == "A" else (part.thickness - depth, FAR)


def _slice(part: Part, shop: Shop, frame: Frame) -> shapely.Geometry:
    """The plane lies along the faces."""
    depth = part.frame.local(frame.origin)[2]
    if not -ON_FACE <= depth <= part.thickness + ON_FACE:
        return EMPTY
    depth = min(max(depth, 0.0), part.thickness)
    shape = face_as_cut(part, shop)
    for out in taken(part, shop):
        if out.low < depth < out.high:
            shape = shape.difference(out.shape)
    turn = np.array([[dot(part.frame.u, frame.u), dot(part.frame.u, frame.v)],
                     [dot(part.frame.v, frame.u), dot(part.frame.v, frame.v)]])  # fmt: skip
    shift = frame.local(part.frame.origin)[:2]
    return shapely.transform(shape, lambda c: c @ turn + shift)


def _lie(part: Part, frame: Frame) -> _Lie:
    of = part.frame
    x, y, depth = of.local(frame.origin)
    falls = (-dot(frame.u, of.normal), -dot(frame.v, of.normal))
    rate = math.hypot(*falls)
    down = (falls[0] / rate, falls[1] / rate)
    along = (down[1], -down[0])

    def in_face(way: Point) -> Point:
        return (
            way[0] * dot(frame.u, of.u) + way[1] * dot(frame.v, of.u),
            way[0] * dot(frame.u, of.v) + way[1] * dot(frame.v, of.v),
        )

    climb, foot = in_face(down), -depth / rate
    return _Lie(along, down, rate, (x + climb[0] * foot, y + climb[1] * foot), in_face(along), climb, foot)


def _upright(part: Part, shop: Shop, lie: _Lie) -> shapely.Geometry:
    """The plane stands at right angles to the faces: stretches along its line in the face, as deep as the wood is."""
    (x, y), (dx, dy) = lie.spot, lie.step
    line = shapely.LineString([(x - FAR * dx, y - FAR * dy), (x + FAR * dx, y + FAR * dy)])

    def boxes(shape: shapely.Geometry, low: float, high: float) -> Iterator[shapely.Polygon]:
        for piece in _pieces(shape.intersection(line)):
            ends = sorted((px - x) * dx + (py - y) * dy for px, py in shapely.get_coordinates(piece))
            if ends and ends[-1] - ends[0] > SAME:
                yield shapely.box(ends[0], low, ends[-1], high)

    wood = shapely.union_all(list(boxes(face_as_cut(part, shop), 0.0, part.thickness)))
    gone = [box for out in taken(part, shop) for box in boxes(out.shape, out.low, out.high)]
    gone += [cone for drill in part.drills if (cone := _sunk(part, drill, lie)) is not None]
    left = wood.difference(shapely.union_all(gone)) if gone else wood
    return shapely.transform(left, lie.to_plane)


def _sunk(part: Part, drill: Drill, lie: _Lie) -> shapely.Polygon | None:
    """What a countersink takes out where the plane runs through its hole's middle or near it; None for no such."""
    dx, dy = drill.at[0] - lie.spot[0], drill.at[1] - lie.spot[1]
    aside = abs(dx * lie.step[1] - dy * lie.step[0])
    if drill.head <= drill.diameter or aside >= drill.head / 2:
        return None
    at = dx * lie.step[0] + dy * lie.step[1]
    rims = [(drill.head / 2, 0.0), (drill.diameter / 2, (drill.head - drill.diameter) / 2)]
    (wide, top), (_, floor) = rims
    half = math.sqrt(wide**2 - aside**2)
    last = math.sqrt(max((drill.diameter / 2) ** 2 - aside**2, 0.0))
    ring = [(at - half, top), (at + half, top), (at + last, floor), (at - last, floor)]
    if drill.face == "B":
        ring = [(s, part.thickness - d) for s, d in ring]
    return shapely.Polygon(ring)


def _slanting(part: Part, shop: Shop, lie: _Lie) -> shapely.Geometry:
    """The plane slants through the wood: on it depth goes with the place on the face, so the cut is a strip of it."""

    def strip(low: float, high: float) -> shapely.Polygon:
        corners = []
        for s, depth in ((-FAR, low), (FAR, low), (FAR, high), (-FAR, high)):
            down = depth / lie.rate
            corners.append(
                (
                    lie.spot[0] + s * lie.step[0] + down * lie.climb[0],
                    lie.spot[1] + s * lie.step[1] + down * lie.climb[1],
                )
            )
        return shapely.Polygon(corners)

    wood = face_as_cut(part, shop).intersection(strip(0.0, part.thickness))
    for out in taken(part, shop):
        wood = wood.difference(out.shape.intersection(strip(out.low, out.high)))
    return shapely.transform(wood, lambda c: lie.to_plane(lie.from_face(c)))


def _pieces(shape: shapely.Geometry) -> Iterator[shapely.Geometry]:
    """The single lines of what a line shares with an area."""
    for piece in getattr(shape, "geoms", [shape]):
        if isinstance(piece, shapely.LineString) and not piece.is_empty:
            yield piece

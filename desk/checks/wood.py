"""What checks read of one part's wood: its edges as cut, its holes' distances to them, what it is made of."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.ascut import opening_as_cut, outline_as_cut
from desk.cabinet.model import Part
from desk.checks.context import Context
from desk.checks.home import Home, home, outline_cut
from desk.shapes.loop import Point
from desk.shop.materials import Material

Reals = NDArray[np.float64]


def edges(part: Part, radius: float) -> list[shapely.Geometry]:
    """The rims of a part cut with a bit of ``radius``: its outline and its openings, as lines."""
    shapes = [outline_as_cut(part.outline, radius), *(opening_as_cut(c.loop, radius) for c in part.cutouts)]
    return [shapely.boundary(s) for s in shapes if not s.is_empty]


def pieces(shape: shapely.Geometry) -> Reals:
    """The straight pieces of a shape's edge, or of lines, ring by ring: (n, 2 ends, 2)."""
    flat = shapely.get_dimensions(shape) == 2
    rings = [
        shapely.get_coordinates(r) for r in (shapely.get_rings(shape) if flat else shapely.get_parts(shape))
    ]
    if len(rings) == 1:
        return np.stack((rings[0][:-1], rings[0][1:]), axis=1)
    return np.concatenate([np.stack((c[:-1], c[1:]), axis=1) for c in rings])


def _to_pieces(spots: Reals, ends: Reals) -> Reals:
    """From each point to the nearest of the straight pieces."""
    start, step = ends[:, 0], ends[:, 1] - ends[:, 0]
    off = spots[:, None, :] - start[None]
    size = np.maximum((step * step).sum(axis=1), 1e-18)
    along = np.clip((off * step).sum(axis=2) / size, 0.0, 1.0)
    gap = off - along[..., None] * step
    least: Reals = np.sqrt((gap * gap).sum(axis=2).min(axis=1))
    return least


@lru_cache(maxsize=512)
def rim_distances(shape: Home, radius: float) -> Reals:
    """From the middle of each drilled hole to the outline as cut, mm, in the holes' order."""
    spots = np.array([h.at for h in shape.holes])
    return _to_pieces(spots, pieces(outline_cut(shape.outline, radius)))


@lru_cache(maxsize=512)
def hole_distances(part: Part, radius: float) -> tuple[float, ...]:
    """From the middle of each drilled hole to the nearest edge as cut, openings included, mm."""
    shape = home(part)[0]
    least = rim_distances(shape, radius)
    spots = np.array([h.at for h in shape.holes])
    for opening in shape.openings:
        if opening.through:
            cut = opening_as_cut(opening.loop, radius)
            least = least if cut.is_empty else np.minimum(least, _to_pieces(spots, pieces(cut)))
    return tuple(least.tolist())


def nearest_edge(part: Part, radius: float, at: Point) -> Point:
    """The point of the part's edges as cut that is nearest to ``at``."""
    spot = shapely.Point(at)
    rim = min(edges(part, radius), key=lambda r: float(r.distance(spot)))
    end = shapely.get_coordinates(shapely.shortest_line(rim, spot))[0]
    return float(end[0]), float(end[1])


def wood_of(ctx: Context, part: Part) -> Material:
    """What a part is made of. Raises CannotEvaluate when the table of materials does not list it."""
    return ctx.material(part)

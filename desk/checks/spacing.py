"""How far apart the features of one part are: drilled holes, openings, pockets and the edges, all as cut.

Drilled holes are discs, openings and pockets regions; each has a range of depth counted from face A. Boxes sort out
the pairs that are far apart, so that exact distances are taken only where they can matter.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.checks.corners import placed
from desk.checks.home import Hole, Home, Opening, outline_cut
from desk.checks.wood import Reals, pieces, rim_distances
from desk.shapes.loop import CHORD_TOLERANCE, SAME, Loop, Point

SMOOTH = np.radians(30)
"""An edge runs on, as one, through vertices that turn by less than this."""


class Web(NamedTuple):
    """Wood between two features, mm, in the place of the part's shape: ``share`` is what the grain multiplies the
    need by, ``height`` how high the wall between them stands (inf where one lies below the other).
    """

    size: float
    share: float
    height: float
    names: tuple[str, str]
    ids: tuple[str, str]
    """Joint, pocket or opening; these stay the same when sizes change."""
    ends: tuple[Point, ...]


class _Feature(NamedTuple):
    """A point for a disc, lines for an edge; its radius and its range of depth."""

    name: str
    id: str
    shape: shapely.Geometry
    radius: float
    depths: tuple[float, float]


_Pair = tuple[_Feature, _Feature, float]


def _disc(hole: Hole) -> _Feature:
    name = f"the {hole.diameter:.2f} mm hole"
    return _Feature(name, hole.joint, shapely.Point(hole.at), hole.diameter / 2, hole.depths)


def _region(opening: Opening) -> _Feature:
    """An opening or pocket as drawn; the bit leaves it so or smaller, so webs are not overrated."""
    return _Feature(opening.name, opening.id, placed(opening.loop), 0.0, opening.depths)


@lru_cache(maxsize=512)
def close_features(shape: Home, radius: float, limit: float, factor: float) -> tuple[Web, ...]:
    """Webs thinner than ``limit`` mm between features of a part whose outline is cut with a bit of ``radius``.

    Thinnest first. ``factor`` is the material's short-grain factor. Where a pocket runs out over an edge, that edge,
    as far as it runs on smoothly, is no web for it.
    """
    regions = [o for o in shape.openings if not o.islands]
    found = list(_among_holes(shape, radius, limit))
    if regions:
        boxes = _boxes(regions)
        found += _among_regions(regions, boxes, limit)
        found += _holes_to_regions(shape, regions, boxes, limit)
        found += _regions_to_edge(shape, regions, boxes, radius, limit)
        found += _in_rails(shape, regions)
    webs = (_web(shape, one, two, plan, factor) for one, two, plan in found)
    return tuple(sorted((w for w in webs if w is not None and w.size < limit), key=lambda w: w.size))


def _among_holes(shape: Home, radius: float, limit: float) -> Iterator[_Pair]:
    """Holes to the outline and to one another."""
    holes = shape.holes
    if not holes:
        return
    radii = np.array([h.diameter / 2 for h in holes])
    to_edge = rim_distances(shape, radius) - radii
    near = np.nonzero(to_edge < limit)[0]
    if len(near):
        edge = _edge(shape, radius)
        yield from ((_disc(holes[i]), edge, float(to_edge[i])) for i in near)
    spots = np.array([h.at for h in holes])
    step = spots[:, None] - spots[None, :]
    apart = np.hypot(step[..., 0], step[..., 1]) - radii[:, None] - radii[None, :]
    for i, j in zip(*np.nonzero(apart < limit), strict=True):
        if i < j:
            yield _disc(holes[i]), _disc(holes[j]), float(apart[i, j])


def _edge(shape: Home, radius: float) -> _Feature:
    rim = shapely.boundary(outline_cut(shape.outline, radius))
    return _Feature("the edge", "edge", rim, 0.0, (0.0, shape.thickness))


def _box_gaps(a: Reals, b: Reals) -> Reals:
    """Least distance between boxes of two lists, (n, m)."""
    dx = np.maximum(np.maximum(a[:, None, 0] - b[None, :, 2], b[None, :, 0] - a[:, None, 2]), 0.0)
    dy = np.maximum(np.maximum(a[:, None, 1] - b[None, :, 3], b[None, :, 1] - a[:, None, 3]), 0.0)
    gaps: Reals = np.hypot(dx, dy)
    return gaps


def _boxes(regions: list[Opening]) -> Reals:
    return np.array([_box(region.loop) for region in regions])


@lru_cache(maxsize=2048)
def _box(loop: Loop) -> tuple[float, float, float, float]:
    """A box round a region, arcs included with their whole height over the chord."""
    xs, ys, _ = zip(*loop.points, strict=True)
    bow = max((abs(p[2]) * math.dist(p[:2], q[:2]) / 2 for p, q in loop.edges() if p[2]), default=0.0)
    return min(xs) - bow, min(ys) - bow, max(xs) + bow, max(ys) + bow


def _among_regions(regions: list[Opening], boxes: Reals, limit: float) -> Iterator[_Pair]:
    if len(regions) < 2:
        return
    for i, j in zip(*np.nonzero(_box_gaps(boxes, boxes) < limit), strict=True):
        if i < j:
            one, two = _region(regions[i]), _region(regions[j])
            yield one, two, float(one.shape.distance(two.shape))


def _holes_to_regions(shape: Home, regions: list[Opening], boxes: Reals, limit: float) -> Iterator[_Pair]:
    if not shape.holes:
        return
    round_about = np.array([(*h.at, h.diameter / 2) for h in shape.holes])
    low, high = round_about[:, :2] - round_about[:, 2:], round_about[:, :2] + round_about[:, 2:]
    near = _box_gaps(np.concatenate((low, high), axis=1), boxes) < limit
    for i, j in zip(*np.nonzero(near), strict=True):
        disc, region = _disc(shape.holes[i]), _region(regions[j])
        yield disc, region, float(disc.shape.distance(region.shape)) - disc.radius


def _regions_to_edge(
    shape: Home, regions: list[Opening], boxes: Reals, radius: float, limit: float
) -> Iterator[_Pair]:
    ends = pieces(outline_cut(shape.outline, radius))
    near = _box_gaps(boxes, np.concatenate((ends.min(axis=1), ends.max(axis=1)), axis=1)) < limit
    for opening, row in zip(regions, near, strict=True):
        if row.any() and (found := _region_to_edge(shape.outline, opening, radius, limit)):
            region, edge = _region(opening), _edge(shape, radius)
            yield region, edge if found[1] is None else edge._replace(shape=found[1]), found[0]


@lru_cache(maxsize=1024)
def _region_to_edge(
    outline: Loop, opening: Opening, radius: float, limit: float
) -> tuple[float, shapely.Geometry | None] | None:
    """Distance of a region to the edge, and the edge if it is not the whole of it: without the edge it opens at."""
    ends = pieces(outline_cut(outline, radius))
    x0, y0, x1, y1 = _box(opening.loop)
    boxes = np.concatenate((ends.min(axis=1), ends.max(axis=1)), axis=1)
    row = _box_gaps(np.array(((x0, y0, x1, y1),)), boxes)[0] < limit
    shape, lines = placed(opening.loop), shapely.linestrings(ends[row])
    met = shapely.distance(shape, lines)
    if met.min() > SAME:
        return float(met.min()), None
    opens = np.zeros(len(ends), dtype=bool)
    opens[np.nonzero(row)[0][met <= SAME]] = True
    apart = ends[row & ~_same_edge(ends, opens)]
    if not len(apart):
        return None
    rest = shapely.multilinestrings(shapely.linestrings(apart))
    return float(shape.distance(rest)), rest


def _same_edge(ends: Reals, opens: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Pieces of the edge that a region opens at, and those they run on into smoothly."""
    step = ends[:, 1] - ends[:, 0]
    way = np.arctan2(step[:, 1], step[:, 0])
    onward = np.concatenate((way[1:], way[:1]))
    turn = np.abs((onward - way + np.pi) % (2 * np.pi) - np.pi)
    jump = np.abs(np.concatenate((ends[1:, 0], ends[:1, 0])) - ends[:, 1]).max(axis=1)
    joined = ((turn < SMOOTH) & (jump < SAME)).tolist()
    same, n = opens.tolist(), len(opens)
    for start in np.nonzero(opens)[0].tolist():
        k = start
        while joined[k] and not same[(k + 1) % n]:
            k = (k + 1) % n
            same[k] = True
        k = start
        while joined[k - 1] and not same[k - 1]:
            k = (k - 1) % n
            same[k] = True
    return np.array(same)


def _in_rails(shape: Home, regions: list[Opening]) -> Iterator[_Pair]:
    """Holes and pockets inside what is left standing in a pocket, to its side."""
    middles = [o.loop.points[0] for o in regions]
    for opening in shape.openings:
        for island in opening.islands:
            x0, y0, x1, y1 = island.bounds
            features = [
                _region(o)
                for o, (x, y, _) in zip(regions, middles, strict=True)
                if x0 < x < x1 and y0 < y < y1
            ]
            features += [_disc(h) for h in shape.holes if x0 < h.at[0] < x1 and y0 < h.at[1] < y1]
            if not features:
                continue
            rail = placed(island)
            side = _Feature("the side of the rail", "rail", rail.exterior, 0.0, opening.depths)
            for feature in features:
                if rail.contains(feature.shape):
                    yield feature, side, float(feature.shape.distance(side.shape)) - feature.radius


def _web(shape: Home, one: _Feature, two: _Feature, plan: float, factor: float) -> Web | None:
    """The web between two features ``plan`` mm apart on the face; None where they are one hole."""
    height = min(one.depths[1], two.depths[1]) - max(one.depths[0], two.depths[0])
    if height > SAME and plan <= SAME and two.id != "edge":
        return None
    names, ids = (one.name, two.name), (one.id, two.id)
    if height <= SAME:
        line = shapely.get_coordinates(shapely.shortest_line(one.shape, two.shape)).tolist()
        return Web(math.hypot(max(plan, 0.0), height), 1.0, math.inf, names, ids, _ends(line))
    if one.radius and not two.radius and factor > 1:
        size, share, ends = _worst_way(one, two.shape, shape.grain, factor)
        return Web(size, share, height, names, ids, ends)
    line = shapely.get_coordinates(shapely.shortest_line(one.shape, two.shape)).tolist()
    return Web(
        plan, _share(np.array(line[1]) - line[0], shape.grain, factor), height, names, ids, _ends(line)
    )


def _ends(line: list[list[float]]) -> tuple[Point, Point]:
    return (line[0][0], line[0][1]), (line[1][0], line[1][1])


def _share(step: Reals, grain: Point, factor: float) -> float:
    """What a need is multiplied by for a web that is thin along ``step``: ``factor`` along the grain, 1 across it."""
    length = math.hypot(*step)
    along = 0.0 if length < CHORD_TOLERANCE else float(step @ np.array(grain)) / length
    return 1 + (factor - 1) * along**2


def _worst_way(
    disc: _Feature, rim: shapely.Geometry, grain: Point, factor: float
) -> tuple[float, float, tuple[Point, Point]]:
    """Thickness, share and ends of the web between a disc and a rim in the direction that is worst for the grain.

    Round a hole near the end of a rounded arm the wood is equally thick in many directions, and weakest in one.
    """
    x, y = disc.shape.x, disc.shape.y
    ends = pieces(rim)
    start, step = ends[:, 0], ends[:, 1] - ends[:, 0]
    off = np.array((x, y)) - start
    along = np.clip((off * step).sum(axis=1) / np.maximum((step * step).sum(axis=1), 1e-18), 0.0, 1.0)
    near = start + along[:, None] * step
    way = near - (x, y)
    length = np.maximum(np.hypot(way[:, 0], way[:, 1]), CHORD_TOLERANCE)
    share = 1 + (factor - 1) * ((way @ np.array(grain)) / length) ** 2
    k = int(np.argmin((length - disc.radius) / share))
    return float(length[k] - disc.radius), float(share[k]), ((x, y), (float(near[k, 0]), float(near[k, 1])))

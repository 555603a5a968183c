"""Parts as bars: upright prisms over a plane figure, from one height to another along one axis of the world.

Every part is a flat plate. One whose faces lie square to the axis is a bar for each layer between its pocket floors;
one that stands on edge along the axis is cut into slabs across it, each with the section it has in the slab's
middle. Both give figures in the same plane, so that whether one part passes another is a question about plane figures
and intervals alone. Drilled holes are left out: pins and screws run in them, and the joints tell where.

The plane figure has the two other axes as its coordinates, in world order: (x, z) for the axis y. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from msgspec.structs import replace
from numpy.typing import NDArray

from desk.cabinet.model import AxisJoint, Part, Pocket
from desk.cabinet.section import profile
from desk.shapes.frame import Frame, Vec
from desk.shapes.loop import Loop, Point, polyline

SLACK = 0.1
"""Each bar is drawn in by this much all round, mm: what overlaps by less than twice it is a matter of fit."""
SMALL_ARC = 6.0
"""Arcs up to this radius, mm, are the reliefs and fillets of bits; they stand as two chords."""
ARC_SAG = 0.1
"""How far the chords of a larger arc may lie from it, mm."""
STEP = 1.0
"""A slab across a sloping edge is cut up until the edge climbs no more than this in each, mm."""
MOST_SLABS = 24
"""More slabs than this are not cut for one edge."""
LEVEL = 0.5
"""Corners that lie this near to each other along the axis, mm, bound no slab of their own."""
_UNIT = 1 - 1e-9


class AskewError(ValueError):
    """A part lies neither square to the axis nor along it, so that it is no bar; ``parts`` names it."""

    def __init__(self, parts: Sequence[Part]) -> None:
        names = ", ".join(p.label for p in parts)
        super().__init__(f"{names}: neither faces nor edges run along one axis that all parts share")
        self.parts = tuple(p.id for p in parts)


@dataclass(frozen=True)
class Bar:
    """One prism of a part: its figure drawn in by the slack, and its interval along the axis, drawn in too."""

    shape: shapely.Polygon
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Solids:
    """All bars of a cabinet in rows; ``owner`` is the index of the part each belongs to. Compared by identity."""

    axis: int
    parts: tuple[Part, ...]
    shapes: NDArray[np.object_]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    owner: NDArray[np.int_]
    boxes: NDArray[np.float64]
    """Bounds of the figures, (n, 4)."""
    owned: NDArray[np.bool_]
    """Which bar belongs to which part, (bars, parts)."""

    @property
    def across(self) -> NDArray[np.float64]:
        """One for each world axis in the plane of the figures, zero for the axis of the bars."""
        return np.array([float(k != self.axis) for k in range(3)])

    def volume(self, index: int) -> float:
        """Wood of a part, mm³, its pockets not taken off."""
        return self.parts[index].area * self.parts[index].thickness


def flat(v: Vec, axis: int) -> Point:
    """A world vector without its component along the axis."""
    a, b = (k for k in range(3) if k != axis)
    return v[a], v[b]


def common_axis(parts: Sequence[Part]) -> int:
    """The world axis along which every part has its thickness or one of its sides; y before x before z.

    Raises AskewError when there is none.
    """
    wrong = {axis: [p for p in parts if not _fits(p.frame, axis)] for axis in (1, 0, 2)}
    for axis, found in wrong.items():
        if not found:
            return axis
    raise AskewError(wrong[1])


def _fits(frame: Frame, axis: int) -> bool:
    return any(abs(way[axis]) > _UNIT for way in (frame.normal, frame.u, frame.v))


@lru_cache(maxsize=8)
def solids(parts: tuple[Part, ...], pins: tuple[AxisJoint, ...]) -> Solids:
    """The bars of all parts; ``pins`` that stand in one part alone (a handle) belong to it.

    Raises AskewError when the parts share no axis.
    """
    axis = common_axis(parts)
    rows: list[tuple[Bar, int]] = [(bar, k) for k, p in enumerate(parts) for bar in bars(p, axis)]
    place = {p.id: k for k, p in enumerate(parts)}
    for joint in pins:
        if joint.kind != "screw" and len(joint.members) == 1:
            rows += [(bar, place[joint.members[0].part]) for bar in _pin(joint, axis)]
    rows = [(bar, k) for bar, k in rows if not bar.shape.is_empty]
    shapes = np.array([bar.shape for bar, _ in rows], dtype=object)
    shapely.prepare(shapes)
    owner = np.array([k for _, k in rows], dtype=int)
    return Solids(
        axis,
        parts,
        shapes,
        np.array([bar.low for bar, _ in rows]),
        np.array([bar.high for bar, _ in rows]),
        owner,
        shapely.bounds(shapes),
        owner[:, None] == np.arange(len(parts)),
    )


@lru_cache(maxsize=512)
def bars(part: Part, axis: int) -> tuple[Bar, ...]:
    """The bars of one part that has its thickness or a side along the axis."""
    if abs(part.frame.normal[axis]) > _UNIT:
        return tuple(_layers(part, axis))
    return tuple(_slabs(part, axis))


def _bar(shape: shapely.Geometry, low: float, high: float) -> Iterable[Bar]:
    """A figure, in pieces where it is in pieces, drawn in."""
    if high - low <= 2 * SLACK:
        return ()
    drawn_in = shapely.buffer(shape, -SLACK, join_style="mitre")
    return (
        Bar(piece, low + SLACK, high - SLACK)
        for piece in shapely.get_parts(drawn_in)
        if isinstance(piece, shapely.Polygon)
    )


def _layers(part: Part, axis: int) -> Iterable[Bar]:
    """A plate square to the axis: one bar between each two depths at which a pocket ends."""
    t = part.thickness
    marks = sorted({0.0, t, *(min(max(m, 0.0), t) for p in part.pockets for m in _ends(p, t))})
    rise = -part.frame.normal[axis]
    start = part.frame.origin[axis]
    for upper, lower in pairwise(marks):
        cut = tuple(p for p in part.pockets if _ends(p, t)[0] <= upper and _ends(p, t)[1] >= lower)
        shape = _layer(part.outline, tuple(c.loop for c in part.cutouts), cut)
        ends = start + rise * upper, start + rise * lower
        yield from _bar(_placed(shape, part.frame, axis), min(ends), max(ends))


def _ends(pocket: Pocket, thickness: float) -> tuple[float, float]:
    """Depth range of a pocket from face A."""
    return (0.0, pocket.depth) if pocket.face == "A" else (thickness - pocket.depth, thickness)


@lru_cache(maxsize=512)
def _layer(outline: Loop, cutouts: tuple[Loop, ...], pockets: tuple[Pocket, ...]) -> shapely.Geometry:
    """The outline less what is cut out of it, arcs coarse, in part coordinates."""
    shape = coarse(outline)
    gone = [coarse(loop) for loop in cutouts]
    for pocket in pockets:
        hole = coarse(pocket.loop)
        if pocket.islands:
            hole = hole.difference(shapely.union_all([coarse(i) for i in pocket.islands]))
        gone.append(hole)
    return shape.difference(shapely.union_all(gone)) if gone else shape


@lru_cache(maxsize=2048)
def coarse(loop: Loop) -> shapely.Geometry:
    """The loop's polygon, small arcs as two chords: a relief through a corner gives the square corner back."""
    points: list[Point] = []
    for start, end in loop.edges():
        points.append(start[:2])
        if start[2]:
            points += _arc(start, end)
    made = shapely.Polygon(points) if len(points) > 2 else shapely.Polygon()
    return made if made.is_valid else loop.polygon


def _arc(start: tuple[float, float, float], end: tuple[float, float, float]) -> list[Point]:
    (x0, y0, bulge), (x1, y1, _) = start, end
    chord = math.hypot(x1 - x0, y1 - y0)
    radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
    if radius <= SMALL_ARC:
        return [((x0 + x1) / 2 + bulge * (y1 - y0) / 2, (y0 + y1) / 2 - bulge * (x1 - x0) / 2)]
    chords = polyline((start, (x1, y1, 0.0)))[1:-1]
    sweep = 4 * math.atan(abs(bulge))
    steps = max(2, math.ceil(sweep / (2 * math.acos(max(0.0, 1 - ARC_SAG / radius)))))
    every = max(1, (len(chords) + 1) // steps)
    return chords[every - 1 :: every]


def _placed(shape: shapely.Geometry, frame: Frame, axis: int) -> shapely.Geometry:
    """A figure in part coordinates, seen along the axis."""
    o, u, v = (flat(way, axis) for way in (frame.origin, frame.u, frame.v))
    return shapely.transform(
        shape, lambda c: np.column_stack((o[0] + c @ (u[0], v[0]), o[1] + c @ (u[1], v[1])))
    )


def _slabs(part: Part, axis: int) -> Iterable[Bar]:
    """A plate on edge: slabs across the axis, each with its section half-way along; target holes stay filled."""
    along = 0 if abs(part.frame.u[axis]) > _UNIT else 1
    way = (part.frame.u if along == 0 else part.frame.v)[axis]
    start = part.frame.origin[axis]
    plain = replace(part, cutouts=(), pockets=tuple(p for p in map(_bare, part.pockets)))
    for a, b in _slab_ends(part.outline, along):
        ends = start + way * a, start + way * b
        for y0, y1, depth in profile(plain, along, (a + b) / 2):
            yield from _plate(part, axis, along, (y0, y1, depth, part.thickness), ends)
    for pocket in part.pockets:
        for island in pocket.islands:
            x0, y0, x1, y1 = _common(island.bounds, pocket.loop.bounds, part.outline.bounds)
            if x1 <= x0 or y1 <= y0:
                continue
            if along == 1:
                x0, y0, x1, y1 = y0, x0, y1, x1
            ends = start + way * x0, start + way * x1
            yield from _plate(part, axis, along, (y0, y1, 0.0, pocket.depth), ends)


def _common(*boxes: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    """What boxes (x low, y low, x high, y high) have in common."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return max(x0), max(y0), min(x1), min(y1)


def _bare(pocket: Pocket) -> Pocket:
    return replace(pocket, islands=()) if pocket.islands else pocket


def _slab_ends(outline: Loop, along: int) -> list[tuple[float, float]]:
    """Where the slabs of an outline begin and end: at its corners, closer where an edge between them slopes."""
    levels: list[float] = []
    for level in sorted(p[along] for p in outline.points):
        if not levels or level - levels[-1] > LEVEL:
            levels.append(level)
    out: list[tuple[float, float]] = []
    for a, b in pairwise(levels):
        inset = 1e-3 * (b - a)
        ends = outline.crossings(along, a + inset), outline.crossings(along, b - inset)
        climb = max((abs(p - q) for p, q in zip(*ends, strict=False)), default=0.0)
        count = min(max(1, math.ceil(climb / STEP)), MOST_SLABS)
        out += [(a + (b - a) * k / count, a + (b - a) * (k + 1) / count) for k in range(count)]
    return out


def _plate(
    part: Part, axis: int, along: int, box: tuple[float, float, float, float], ends: tuple[float, float]
) -> Iterable[Bar]:
    """One stretch of a section, (from, to, upper depth, lower depth), as a bar between two places on the axis."""
    y0, y1, upper, lower = box
    y0, y1, upper, lower = y0 + SLACK, y1 - SLACK, upper + SLACK, lower - SLACK
    low, high = min(ends) + SLACK, max(ends) - SLACK
    if y1 <= y0 or lower <= upper or high <= low:
        return ()
    corners = ((y0, upper), (y1, upper), (y1, lower), (y0, lower))
    at = (part.frame.world(*((0.0, s) if along == 0 else (s, 0.0)), d) for s, d in corners)
    return (Bar(shapely.Polygon([flat(p, axis) for p in at]), low, high),)


def _pin(joint: AxisJoint, axis: int) -> Iterable[Bar]:
    """A pin along or square to the axis as a bar: round, or as wide as it is thick."""
    end = tuple(a + joint.length * d for a, d in zip(joint.at, joint.direction, strict=True))
    r, low, high = joint.diameter / 2, min(joint.at[axis], end[axis]), max(joint.at[axis], end[axis])
    line = shapely.LineString([flat(joint.at, axis), flat((end[0], end[1], end[2]), axis)])
    if high - low > SLACK:
        return _bar(shapely.Point(flat(joint.at, axis)).buffer(r, quad_segs=4), low, high)
    return _bar(line.buffer(r, cap_style="flat"), low - r, high + r)

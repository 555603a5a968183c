"""Closed loops of straight and circular edges, the form every outline, hole and pocket is kept in.

A vertex is ``(x, y, bulge)``. The bulge belongs to the edge that starts at the vertex: it is the tangent of a
quarter of the arc's sweep, positive when the arc runs counter-clockwise, zero for a straight edge. Loops run
counter-clockwise unless said otherwise. All lengths in mm. Loops are values: frozen, hashable and compared by
their points, so results of slow geometry can be cached on them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray

Point = tuple[float, float]
Vertex = tuple[float, float, float]

CHORD_TOLERANCE = 0.01
"""Largest distance, in mm, between an arc and the chords that stand for it in a polygon."""

_NUDGE = 1e-9
"""A line through the end of an arc is moved up by this, mm: the end then lies below it, as for straight edges."""

SKETCH_TOLERANCE = 0.05
"""The same for what is only looked at."""

SAME = 1e-7
"""Two lengths closer than this, in mm, are the same."""


class ShapeError(ValueError):
    """A shape that cannot exist was asked for."""


class Loop(Struct, frozen=True, dict=True):
    """One closed loop; ``points`` holds at least two vertices (two only when both edges are arcs)."""

    points: tuple[Vertex, ...]

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise ShapeError(f"a loop needs two vertices or more, got {len(self.points)}")

    @cached_property
    def _hash(self) -> int:
        return hash(self.points)

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def area(self) -> float:
        """Signed area in mm², exact for arcs; positive when the loop runs counter-clockwise."""
        total = 0.0
        for (x0, y0, bulge), (x1, y1, _) in self.edges():
            total += (x0 * y1 - x1 * y0) / 2
            if bulge:
                sweep = 4 * math.atan(bulge)
                radius = math.hypot(x1 - x0, y1 - y0) / (2 * math.sin(sweep / 2))
                total += radius * radius * (sweep - math.sin(sweep)) / 2
        return total

    def edges(self) -> Iterable[tuple[Vertex, Vertex]]:
        """Each edge as (start vertex, end vertex)."""
        return zip(self.points, (*self.points[1:], self.points[0]), strict=True)

    @cached_property
    def coords(self) -> NDArray[np.float64]:
        """The loop with its arcs cut into chords: array (n, 2), not repeated at the end."""
        return self._chords(CHORD_TOLERANCE)

    @cached_property
    def sketch(self) -> NDArray[np.float64]:
        """As ``coords``, with chords just fine enough for a drawing."""
        return self._chords(SKETCH_TOLERANCE)

    def _chords(self, tolerance: float) -> NDArray[np.float64]:
        out: list[Point] = []
        for start, end in self.edges():
            out.append((start[0], start[1]))
            if start[2]:
                out.extend(_arc_points(start, end, tolerance))
        return np.array(out)

    @cached_property
    def polygon(self) -> shapely.Polygon:
        """The loop as a shapely polygon (arcs as chords); of a loop that crosses itself, its largest clean piece."""
        made = self._chorded
        if not self._valid:
            made = _largest(shapely.make_valid(made))
        shapely.prepare(made)
        return made

    @cached_property
    def _chorded(self) -> shapely.Polygon:
        return shapely.Polygon(self.coords) if len(self.coords) > 2 else shapely.Polygon()

    @cached_property
    def _valid(self) -> bool:
        return bool(self._chorded.is_valid)

    @cached_property
    def simple(self) -> bool:
        """Whether the loop keeps clear of itself and encloses something."""
        return self.area > SAME and self._valid

    def crossings(self, along: int, at: float) -> list[float]:
        """Where the line ``coordinate[along] = at`` crosses the loop: the other coordinates, sorted, arcs exact.

        An edge counts when just one of its ends lies at or below the line, so a vertex on the line counts once; what
        only touches the line does not count.
        """
        out: list[float] = []
        for start, end in self.edges():
            a, b = start[along], end[along]
            odd = (a <= at) != (b <= at)
            if start[2]:
                out.extend(_arc_crossings(start, end, along, at, odd))
            elif odd:
                out.append(start[1 - along] + (at - a) / (b - a) * (end[1 - along] - start[1 - along]))
        out.sort()
        return out

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """(x low, y low, x high, y high), exact for arcs."""
        xs, ys = [p[0] for p in self.points], [p[1] for p in self.points]
        for start, end in self.edges():
            if start[2]:
                for x, y in _arc_extremes(start, end):
                    xs.append(x)
                    ys.append(y)
        return min(xs), min(ys), max(xs), max(ys)

    def moved(self, dx: float, dy: float) -> Loop:
        """The same loop shifted."""
        return Loop(tuple((x + dx, y + dy, b) for x, y, b in self.points))

    def turned(self, angle: float, about: Point = (0.0, 0.0)) -> Loop:
        """The same loop turned counter-clockwise by ``angle`` radians about a point."""
        c, s = math.cos(angle), math.sin(angle)
        ox, oy = about
        return Loop(
            tuple(
                (ox + c * (x - ox) - s * (y - oy), oy + s * (x - ox) + c * (y - oy), b)
                for x, y, b in self.points
            )
        )

    def mirrored(self) -> Loop:
        """The loop with x negated, kept running the same way round as before."""
        return Loop(tuple((-x, y, -b) for x, y, b in self.points)).reversed()

    def reversed(self) -> Loop:
        """The same loop run the other way round."""
        pts = self.points
        n = len(pts)
        return Loop(tuple((pts[i][0], pts[i][1], -pts[i - 1][2]) for i in range(n - 1, -1, -1)))


def _largest(shape: shapely.Geometry) -> shapely.Polygon:
    pieces = [p for p in getattr(shape, "geoms", [shape]) if isinstance(p, shapely.Polygon)]
    pieces += [
        q
        for m in getattr(shape, "geoms", [])
        for q in getattr(m, "geoms", [])
        if isinstance(q, shapely.Polygon)
    ]
    return max(pieces, key=lambda p: float(p.area), default=shapely.Polygon())


def _arc_circle(start: Vertex, end: Vertex) -> tuple[float, float, float, float, float]:
    """Circle of an arc edge: centre x and y, radius, angle at its start, sweep (positive counter-clockwise)."""
    x0, y0, bulge = start
    x1, y1, _ = end
    # from the chord's middle, to the left of the chord for a counter-clockwise arc under half a turn
    lift = (1 - bulge * bulge) / (4 * bulge)
    cx, cy = (x0 + x1) / 2 - (y1 - y0) * lift, (y0 + y1) / 2 + (x1 - x0) * lift
    return cx, cy, math.hypot(x0 - cx, y0 - cy), math.atan2(y0 - cy, x0 - cx), 4 * math.atan(bulge)


def _arc_points(start: Vertex, end: Vertex, tolerance: float) -> list[Point]:
    """Points strictly inside the arc from start to end, its chords within ``tolerance`` of it."""
    if math.hypot(end[0] - start[0], end[1] - start[1]) < SAME:
        return []
    cx, cy, radius, first, sweep = _arc_circle(start, end)
    steps = max(2, math.ceil(abs(sweep) / (2 * math.acos(max(0.0, 1 - tolerance / radius)))))
    turn = sweep / steps
    return [
        (cx + radius * math.cos(first + turn * k), cy + radius * math.sin(first + turn * k))
        for k in range(1, steps)
    ]


def _arc_extremes(start: Vertex, end: Vertex) -> list[Point]:
    """Where an arc reaches its circle's leftmost, rightmost, lowest or highest point."""
    cx, cy, radius, first, sweep = _arc_circle(start, end)
    low, high = min(first, first + sweep), max(first, first + sweep)
    quarter = math.pi / 2
    return [
        (cx + radius * math.cos(k * quarter), cy + radius * math.sin(k * quarter))
        for k in range(math.ceil(low / quarter), math.floor(high / quarter) + 1)
    ]


def _arc_crossings(start: Vertex, end: Vertex, along: int, at: float, odd: bool) -> list[float]:
    """Crossings of one arc of at most a half turn; ``odd`` says whether its ends lie on either side of the line."""
    if at in (start[along], end[along]):
        at += _NUDGE
    bulge = start[2]
    chord = math.hypot(end[0] - start[0], end[1] - start[1])
    reach = abs(bulge) * chord / 2
    low, high = min(start[along], end[along]) - reach, max(start[along], end[along]) + reach
    if not low <= at <= high:
        return []
    centre_x, centre_y, radius, _, _ = _arc_circle(start, end)
    centre = (centre_x, centre_y)
    rest = radius * radius - (at - centre[along]) ** 2
    found = []
    if rest > 0:
        for other in (centre[1 - along] - math.sqrt(rest), centre[1 - along] + math.sqrt(rest)):
            x, y = (at, other) if along == 0 else (other, at)
            side = (end[0] - start[0]) * (y - start[1]) - (end[1] - start[1]) * (x - start[0])
            if side * bulge <= 0:
                found.append(other)
    if len(found) % 2 == odd:
        return found
    if odd:
        nearest = min((start, end), key=lambda v: abs(v[along] - at))
        return [min(found, key=lambda o: abs(o - nearest[1 - along]), default=nearest[1 - along])]
    return []


def polygon_loop(points: Iterable[Point]) -> Loop:
    """A loop of straight edges through the points."""
    return Loop(tuple((x, y, 0.0) for x, y in points))


def rect(x0: float, y0: float, x1: float, y1: float) -> Loop:
    """An upright rectangle; the corners may be given in any order."""
    xa, xb = min(x0, x1), max(x0, x1)
    ya, yb = min(y0, y1), max(y0, y1)
    return polygon_loop([(xa, ya), (xb, ya), (xb, yb), (xa, yb)])


def circle(x: float, y: float, radius: float) -> Loop:
    """A full circle as two half-turn arcs."""
    if radius <= 0:
        raise ShapeError(f"a circle needs a radius above zero, got {radius:g} mm")
    return Loop(((x - radius, y, 1.0), (x + radius, y, 1.0)))


def rounded(corners: Sequence[tuple[float, float, float]]) -> Loop:
    """A polygon whose corners ``(x, y, radius)`` are rounded by true arcs.

    Where neighbouring arcs would overlap, both radii shrink in the same ratio, so any radii give a valid loop.
    Repeated corners are dropped. Corners all on one line give a loop without area.
    """
    pts = [c for k, c in enumerate(corners) if math.dist(c[:2], corners[k - 1][:2]) > SAME]
    n = len(pts)
    if n < 3:
        raise ShapeError("a rounded polygon needs three different corners or more")
    wanted = [_tangent_length(pts[k - 1], pts[k], pts[(k + 1) % n]) for k in range(n)]
    ratio = []
    for k in range(n):
        length = math.dist(pts[k][:2], pts[(k + 1) % n][:2])
        both = wanted[k] + wanted[(k + 1) % n]
        ratio.append(min(1.0, length / both) if both > 0 else 1.0)
    out: list[Vertex] = []
    for k in range(n):
        reach = wanted[k] * min(ratio[k - 1], ratio[k])
        out.extend(_corner(pts[k - 1], pts[k], pts[(k + 1) % n], reach))
    made = _without_repeats(out)
    return Loop(tuple(made)) if len(made) > 2 else polygon_loop((x, y) for x, y, _ in pts)


def _tangent_length(before: Vertex, at: Vertex, after: Vertex) -> float:
    if at[2] <= 0:
        return 0.0
    turn = abs(_turn(before, at, after))
    return at[2] * math.tan(min(turn, math.pi - 1e-3) / 2)


def _turn(before: Vertex, at: Vertex, after: Vertex) -> float:
    """Change of direction at a corner, radians, positive to the left."""
    a = math.atan2(at[1] - before[1], at[0] - before[0])
    b = math.atan2(after[1] - at[1], after[0] - at[0])
    return (b - a + math.pi) % (2 * math.pi) - math.pi


def _corner(before: Vertex, at: Vertex, after: Vertex, reach: float) -> list[Vertex]:
    if reach < SAME:
        return [(at[0], at[1], 0.0)]
    back, ahead = math.dist(before[:2], at[:2]), math.dist(at[:2], after[:2])
    start = (at[0] + (before[0] - at[0]) * reach / back, at[1] + (before[1] - at[1]) * reach / back)
    end = (at[0] + (after[0] - at[0]) * reach / ahead, at[1] + (after[1] - at[1]) * reach / ahead)
    return [(*start, math.tan(_turn(before, at, after) / 4)), (*end, 0.0)]


def _without_repeats(vertices: list[Vertex]) -> list[Vertex]:
    """Drop vertices that start an edge of no length."""
    n = len(vertices)
    return [v for k, v in enumerate(vertices) if math.dist(v[:2], vertices[(k + 1) % n][:2]) > SAME]


def relieved_rect(x0: float, y0: float, x1: float, y1: float, radius: float) -> Loop:
    """A rectangle whose corners are relieved on the diagonal, so that a square-cornered tab seats in it.

    Each relief is a half circle of ``radius`` through the corner, its centre on the bisector. The radius is cut
    down where the rectangle is too narrow for two reliefs; zero gives a plain rectangle.
    """
    r = min(radius, 0.999 * min(abs(x1 - x0), abs(y1 - y0)) / (2 * math.sqrt(2)))
    if r <= SAME:
        return rect(x0, y0, x1, y1)
    k = r * math.sqrt(2)
    xa, xb = min(x0, x1), max(x0, x1)
    ya, yb = min(y0, y1), max(y0, y1)
    return Loop(
        (
            (xa, ya + k, 1.0),
            (xa + k, ya, 0.0),
            (xb - k, ya, 1.0),
            (xb, ya + k, 0.0),
            (xb, yb - k, 1.0),
            (xb - k, yb, 0.0),
            (xa + k, yb, 1.0),
            (xa, yb - k, 0.0),
        )
    )


def arc_through(centre: Point, radius: float, start: float, sweep: float) -> list[Vertex]:
    """Vertices of an arc, the last with bulge zero: angles in radians, sweep positive counter-clockwise.

    Sweeps above a half turn are split so that no bulge exceeds one.
    """
    parts = max(1, math.ceil(abs(sweep) / math.pi - 1e-9))
    bulge = math.tan(sweep / parts / 4)
    out: list[Vertex] = []
    for k in range(parts + 1):
        a = start + sweep * k / parts
        out.append(
            (centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a), bulge if k < parts else 0.0)
        )
    return out


def polyline(path: Sequence[Vertex]) -> list[Point]:
    """An open path of vertices with its arcs cut into chords."""
    out: list[Point] = []
    for start, end in pairwise(path):
        out.append((start[0], start[1]))
        if start[2]:
            out.extend(_arc_points(start, end, CHORD_TOLERANCE))
    out.append((path[-1][0], path[-1][1]))
    return out

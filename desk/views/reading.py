"""How the lengths a finding compares lie at its place: where the measured one starts, which way it runs.

A check tells numbers and places, not which stretch of a place is the measured one. It is found from the geometry, the
first that fits: the place is as long as what was measured; it is the ball and what is left beside it; two edges of the
wood on its line, or such an edge and its end, are as far apart. Where nothing fits, the lengths stand beside the place
as a gauge: to the same scale, and claiming no place of their own. All lengths in mm of the drawing's plane.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

import shapely

from desk.checks.finding import Finding
from desk.shapes.loop import Point

FITS = 0.02
"""Two lengths closer than this, mm, are the same here: readings are as cut and finished, places may be nominal."""
LONGEST = 1500.0
"""A length above this, mm, is told in words alone."""
REACH = 3.0
"""Edges of the wood are looked for this many times the needed or the measured length beyond a line's ends."""


class Line(NamedTuple):
    """A straight line to read along."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """mm."""
        return math.dist(self.start, self.end)

    @property
    def way(self) -> Point:
        """Unit vector from start to end; to the right for a line without length."""
        size = self.length
        if not size:
            return (1.0, 0.0)
        return (self.end[0] - self.start[0]) / size, (self.end[1] - self.start[1]) / size

    def at(self, along: float) -> Point:
        """The point ``along`` mm from the start."""
        x, y = self.way
        return self.start[0] + along * x, self.start[1] + along * y


@dataclass(frozen=True)
class Reading:
    """The measured and the needed length from the same datum, each running along ``way`` (backwards when negative)."""

    datum: Point
    way: Point
    measured: float
    needed: float
    ball: tuple[Point, float] | None = None
    """Centre and radius of the ball the measured length is left beside."""
    gauge: bool = False
    """Whether the lengths only stand beside the place."""

    def point(self, length: float) -> Point:
        """Where a length from the datum ends."""
        return self.datum[0] + length * self.way[0], self.datum[1] + length * self.way[1]

    @property
    def ends(self) -> tuple[Point, Point, Point]:
        """Datum, end of the measured and end of the needed length."""
        return self.datum, self.point(self.measured), self.point(self.needed)


def has_lengths(finding: Finding) -> bool:
    """Whether what a finding compares are two lengths that can be drawn."""
    both = (finding.measured, finding.needed)
    return finding.unit == "mm" and all(v is not None and abs(v) <= LONGEST for v in both)


@dataclass(frozen=True)
class Surroundings:
    """What there is to measure from in a plane."""

    edges: shapely.Geometry
    """Edges of the wood, as lines."""
    balls: tuple[float, ...] = ()
    """Diameters of the balls a length may be left beside."""
    film: float = 0.0
    """Lacquer on a face: a place may be told without it."""


def read(
    finding: Finding,
    kind: str,
    points: Sequence[Point],
    about: Surroundings,
    line: Line | None = None,
) -> Reading | None:
    """The lengths of a finding at a place, given as points of the drawing's plane; None where they are not lengths.

    ``line`` says where the lengths start and a point they run towards, where that is known.
    """
    if not has_lengths(finding) or finding.measured is None or finding.needed is None:
        return None
    measured, needed = finding.measured, finding.needed
    if line is not None:
        return Reading(line.start, line.way, measured, needed)
    found = _placed(measured, needed, list(_lines(kind, points)), about)
    if found is None:
        return Reading(_beside(points, max(measured, needed, 0.0)), (1.0, 0.0), measured, needed, gauge=True)
    datum, way, ball = found
    return Reading(datum, way, measured, needed, ball)


Found = tuple[Point, Point, tuple[Point, float] | None]
"""Datum, direction and ball."""


def _placed(measured: float, needed: float, lines: list[Line], about: Surroundings) -> Found | None:
    """Where the measured length starts and which way a positive one runs."""
    slack = FITS + 2 * about.film
    for line in lines:
        if abs(line.length - abs(measured)) < slack:
            return (*_whole(line, measured, about.edges), None)
    for line in lines:
        for diameter in about.balls:
            if abs(line.length - diameter - measured) < slack:
                return line.at(diameter), line.way, (line.at(diameter / 2), diameter / 2)
    for line in lines:
        if (found := _between_edges(measured, needed, line, about.edges)) is not None:
            return found
    return None


def _whole(line: Line, measured: float, edges: shapely.Geometry) -> tuple[Point, Point]:
    """Datum and direction where the whole line is what was measured.

    It is measured from its start. A negative length is measured from the end that lies on an edge, if just its end
    does: what is needed lies on the other side of that edge.
    """
    if measured >= 0:
        return line.start, line.way
    on = [edges.distance(shapely.Point(p)) < FITS for p in (line.start, line.end)]
    if on == [False, True]:
        return line.end, line.way
    return line.start, _turned(line.way, -1.0)


def _lines(kind: str, points: Sequence[Point]) -> Iterator[Line]:
    """The lines a place can be read along: itself and how far it runs level and upright, or the middle lines of an
    area's box, the shorter one first.
    """
    if kind == "line" and len(points) == 2:
        (x, y), (u, v) = points
        yield Line(points[0], points[1])
        if min(abs(u - x), abs(v - y)) > FITS:
            yield Line((x, y), (u, y))
            yield Line((x, y), (x, v))
    elif kind == "area":
        x0, y0, x1, y1 = box_of(points)
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        level = Line((x0, middle[1]), (x1, middle[1]))
        upright = Line((middle[0], y0), (middle[0], y1))
        yield from sorted((level, upright), key=lambda line: line.length)


def _between_edges(measured: float, needed: float, line: Line, wood: shapely.Geometry) -> Found | None:
    """Two edges of the wood on the line, or an edge and an end of it, that are as far apart as what was measured."""
    size = abs(measured)
    if size < FITS or not line.length:
        return None
    beyond = REACH * max(size, abs(needed)) + 1.0
    ray = shapely.LineString([line.at(-beyond), line.at(line.length + beyond)])
    edges = sorted(set(_crossings(wood, ray, line)))
    ends = (0.0, line.length)
    for end in ends:
        for edge in edges:
            if abs(abs(edge - end) - size) < FITS:
                back = (end - edge) * math.copysign(1.0, measured)
                return line.at(edge), _turned(line.way, back), None
    for first, last in combinations(edges, 2):
        inside = first >= -FITS and last <= line.length + FITS
        if measured > 0 and inside and abs(last - first - size) < FITS:
            return line.at(first), line.way, None
    return None


def _crossings(wood: shapely.Geometry, ray: shapely.LineString, line: Line) -> Iterator[float]:
    """Where the edges of the wood cross a line, mm from its start."""
    met = wood.intersection(ray)
    for x, y in shapely.get_coordinates(met).tolist():
        yield round((x - line.start[0]) * line.way[0] + (y - line.start[1]) * line.way[1], 6)


def _turned(way: Point, sign: float) -> Point:
    return way if sign >= 0 else (-way[0], -way[1])


def _beside(points: Sequence[Point], longest: float) -> Point:
    """Where a gauge starts: under the place, in its middle."""
    x0, y0, x1, _ = box_of(points)
    return (x0 + x1 - longest) / 2, y0


def box_of(points: Sequence[Point]) -> tuple[float, float, float, float]:
    """x low, y low, x high, y high of points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)

"""Exact facts about paths of straight and circular edges, where the chords of a polygon are not good enough.

A vertex is ``(x, y, bulge)`` as in ``desk.shapes.loop``. All lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from desk.shapes.loop import SAME, Loop, Point, Vertex

Rect = tuple[float, float, float, float]
"""x low, y low, x high, y high."""

ROUND = 1e-6
"""Centres, radii and sweeps closer than this make one circle."""


def arc_of(start: Vertex, end: Vertex) -> tuple[float, float, float, float, float]:
    """(centre x, centre y, radius, start angle, sweep) of an arc; angles in radians, the sweep is signed.

    Raises ZeroDivisionError for a straight edge, which has no centre.
    """
    x0, y0, bulge = start
    x1, y1, _ = end
    lift = (1 - bulge * bulge) / (4 * bulge)
    cx, cy = (x0 + x1) / 2 - (y1 - y0) * lift, (y0 + y1) / 2 + (x1 - x0) * lift
    return cx, cy, math.hypot(x0 - cx, y0 - cy), math.atan2(y0 - cy, x0 - cx), 4 * math.atan(bulge)


def edge_length(start: Vertex, end: Vertex) -> float:
    """Length of an edge along its arc, or straight."""
    chord = math.hypot(end[0] - start[0], end[1] - start[1])
    if not start[2] or chord < SAME:
        return chord
    _, _, radius, _, sweep = arc_of(start, end)
    return radius * abs(sweep)


def exact_bounds(vertices: Sequence[Vertex], closed: bool = True) -> Rect:
    """Bounds of a path with its arcs taken as arcs, so that nothing stands out between the chords."""
    xs = [v[0] for v in vertices]
    ys = [v[1] for v in vertices]
    ends = [*vertices[1:], vertices[0]] if closed else vertices[1:]
    for start, end in zip(vertices, ends, strict=False):
        if not start[2] or math.hypot(end[0] - start[0], end[1] - start[1]) < SAME:
            continue
        cx, cy, radius, angle, sweep = arc_of(start, end)
        low, high = (angle, angle + sweep) if sweep > 0 else (angle + sweep, angle)
        for quarter in range(math.ceil(low / (math.pi / 2)), math.floor(high / (math.pi / 2)) + 1):
            xs.append(cx + radius * math.cos(quarter * math.pi / 2))
            ys.append(cy + radius * math.sin(quarter * math.pi / 2))
    return min(xs), min(ys), max(xs), max(ys)


def joined(rects: Iterable[Rect]) -> Rect:
    """The smallest rectangle round all of them; there has to be one at least."""
    x0, y0, x1, y1 = zip(*rects, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def as_circle(loop: Loop) -> tuple[float, float, float] | None:
    """(x, y, radius) when the loop is one full circle of any number of arcs, else None."""
    if any(not v[2] or v[2] * loop.points[0][2] < 0 for v in loop.points):
        return None
    arcs = [arc_of(a, b) for a, b in loop.edges()]
    x, y, radius = arcs[0][:3]
    same = all(math.dist((x, y, radius), arc[:3]) < ROUND for arc in arcs)
    whole = abs(abs(sum(arc[4] for arc in arcs)) - 2 * math.pi) < ROUND
    return (x, y, radius) if same and whole else None


def gentle(vertices: Sequence[Vertex], closed: bool) -> tuple[Vertex, ...]:
    """The same path with every arc wider than half a turn cut in two, so that no bulge exceeds one."""
    out: list[Vertex] = []
    ends = [*vertices[1:], vertices[0] if closed else vertices[-1]]
    for start, end in zip(vertices, ends, strict=True):
        if abs(start[2]) <= 1:
            out.append(start)
            continue
        cx, cy, radius, angle, sweep = arc_of(start, end)
        half = math.tan(sweep / 8)
        middle = angle + sweep / 2
        out += [
            (start[0], start[1], half),
            (cx + radius * math.cos(middle), cy + radius * math.sin(middle), half),
        ]
    return tuple(out)


def straight_last(loop: Loop) -> Loop:
    """The same loop begun so that its closing edge is straight, where it has a straight edge at all.

    Some readers lose the bulge of the closing edge of a polyline.
    """
    for k, vertex in enumerate(loop.points):
        if not vertex[2]:
            return Loop(loop.points[k + 1 :] + loop.points[: k + 1])
    return loop


def disc_bounds(at: Point, radius: float) -> Rect:
    """Bounds of a circle."""
    return at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius

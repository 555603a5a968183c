"""The side outline shared by the outer panels, the inner wall and the upper spacer, in world (x, z)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from desk.shapes.loop import Loop, Vertex, rounded


def side_outline(points: Sequence[tuple[str, float, float, float]], back: float) -> Loop:
    """Closed outline from the front bottom corner round to the front again.

    ``points`` are (origin, x, z, radius) from front to back along the top; x counts from the front edge or, for origin
    "back", forward from the rear edge at ``back``.
    """
    top = [(x if origin == "front" else back - x, z, radius) for origin, x, z, radius in points]
    return rounded([(0.0, 0.0, 0.0), (back, 0.0, 0.0), *reversed(top)])


def path_to(outline: Loop, x: float) -> list[Vertex]:
    """Vertices of the outline from its rear bottom corner over the top to where it first comes in front of ``x``.

    The last vertex lies at ``x`` exactly, with bulge zero. An outline that never gets there is followed to its end.
    """
    pts = outline.points
    out: list[Vertex] = []
    for start, end in zip(pts[1:], (*pts[2:], pts[0]), strict=True):
        if end[0] < x <= start[0]:
            cut = _cut(start, end, x)
            out.append((start[0], start[1], cut[2]))
            out.append((cut[0], cut[1], 0.0))
            return out
        out.append(start)
    return out


def _cut(start: Vertex, end: Vertex, x: float) -> Vertex:
    """Where the edge reaches ``x``: (x, z, bulge of the part before it)."""
    if not start[2]:
        share = (x - start[0]) / (end[0] - start[0])
        return (x, start[1] + share * (end[1] - start[1]), 0.0)
    sweep = 4 * math.atan(start[2])
    lift = (1 - start[2] ** 2) / (4 * start[2])
    cx = (start[0] + end[0]) / 2 - (end[1] - start[1]) * lift
    cz = (start[1] + end[1]) / 2 + (end[0] - start[0]) * lift
    radius = math.hypot(start[0] - cx, start[1] - cz)
    first = math.atan2(start[1] - cz, start[0] - cx)
    reach = math.acos(max(-1.0, min(1.0, (x - cx) / radius)))
    turns = [((a - first) * math.copysign(1, sweep)) % (2 * math.pi) for a in (reach, -reach)]
    part = min(turns)
    angle = first + math.copysign(part, sweep)
    return (x, cz + radius * math.sin(angle), math.copysign(math.tan(part / 4), sweep))

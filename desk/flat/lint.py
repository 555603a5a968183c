"""Reads a figure the way a router's software would, before it is written, and names every defect and place.

Two grades. A *broken* drawing says something that no machine can follow or that a line on its layer does not
mean: it is never written. A *doubtful* one can be followed but is hardly meant: cuts that overlap, a hole
outside its part, a part past its sheet. That is refused too, unless the person has chosen to export a design
with open conflicts; then it is written down as a warning in the files.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from desk.flat.curves import edge_length
from desk.flat.figure import Figure, Mark, Piece, Ring, Round, Track, mark_bounds
from desk.flat.layers import ALLOWED, layer
from desk.shapes.loop import Loop, Point, Vertex, circle

SHORTEST = 0.01
"""Shortest edge a line may have, mm."""
SAME_PLACE = 1e-6
"""Points closer than this, in mm, are one."""
OUT = 1e-6
"""A cut may pass its sheet's edge by this much, mm."""
SHARED = 0.01
"""Two lines that run along each other for more than this, in mm, are cut twice."""
CHORDS = 0.011
"""Chords stand off their arcs by less than this, mm."""

Rule = Literal[
    "layer name",
    "not finite",
    "open",
    "bulge",
    "repeated vertex",
    "short edge",
    "crosses itself",
    "direction",
    "duplicate",
    "overlap",
    "outside the part",
    "outside the sheet",
]


Closed = Ring | Round
"""A closed line."""


class ExportError(Exception):
    """Flat parts that cannot be exported: the text names the part, the place and the way out."""


@dataclass(frozen=True)
class Defect:
    """One thing wrong with a figure: the rule, the part (empty for a note), the place, in words."""

    rule: Rule
    part: str
    at: Point
    text: str
    doubtful: bool = False

    def __str__(self) -> str:
        return f"{self.part or 'a note'}, near ({self.at[0]:.2f}, {self.at[1]:.2f}) mm: {self.text}"


def defects(figure: Figure) -> tuple[Defect, ...]:
    """Every defect of a figure, the broken ones first."""
    found: list[Defect] = []
    sound: list[tuple[Piece, list[tuple[Closed, Loop]]]] = []
    for piece in figure.pieces:
        own = [d for mark in piece.marks for d in _of_mark(mark, piece.label)]
        found += own
        if not own:
            loops = [(m, _loop(m)) for m in piece.marks if m.layer.cut and isinstance(m, (Ring, Round))]
            sound.append((piece, loops))
            found += _of_piece(piece, loops)
    for note in figure.notes:
        found += _of_mark(note, "")
    found += _between(sound)
    return tuple(sorted(found, key=lambda d: d.doubtful))


def check(figure: Figure, name: str, doubtful_too: bool = True) -> tuple[Defect, ...]:
    """Refuse a figure that must not be written to the file ``name``.

    Raises ExportError on a broken figure, and on a doubtful one unless ``doubtful_too`` is False; then
    returns the doubtful defects.
    """
    found = defects(figure)
    bad = [d for d in found if doubtful_too or not d.doubtful]
    if bad:
        more = f" ({len(bad) - 1} more like it)" if len(bad) > 1 else ""
        raise ExportError(f"{name} was not written: {bad[0]}{more}")
    return found


def summary(found: Mapping[str, Sequence[Defect]]) -> tuple[str, ...]:
    """Defects by file name as sentences: one for each part and rule, from the first file that has it."""
    seen: dict[tuple[str, Rule], tuple[str, list[Defect]]] = {}
    for name, several in found.items():
        for defect in several:
            where, alike = seen.setdefault((defect.part, defect.rule), (name, []))
            if where == name:
                alike.append(defect)
    return tuple(
        f"{alike[0]}, in {name}" + (f"; {len(alike)} places like it" if len(alike) > 1 else "")
        for name, alike in seen.values()
    )


def _of_mark(mark: Mark, part: str) -> Iterator[Defect]:
    """What is wrong with one mark on its own."""
    if not ALLOWED.fullmatch(mark.layer.name):
        text = f"layer name {mark.layer.name!r} is not 1 to 31 of A-Z, 0-9 and _"
        yield Defect("layer name", part, _somewhere(mark), text)
    if not all(math.isfinite(v) for v in _numbers(mark)):
        yield Defect("not finite", part, (0.0, 0.0), f"a number on layer {mark.layer.name} is not finite")
        return
    if isinstance(mark, Round):
        if mark.radius < SHORTEST / 2:
            yield Defect(
                "short edge", part, mark.at, f"circle of {2 * mark.radius:.4f} mm on {mark.layer.name}"
            )
    elif isinstance(mark, Ring):
        yield from _of_ring(mark, part)
    elif isinstance(mark, Track):
        yield from _of_track(mark, part)


def _of_ring(mark: Ring, part: str) -> Iterator[Defect]:
    loop, name = mark.loop, mark.layer.name
    edges = list(loop.edges())
    fine = True
    for defect in _of_edges(edges, part, name):
        fine = False
        yield defect
    first = loop.points[0][:2]
    if len(edges) == 2 and not any(v[2] for v in loop.points):
        yield Defect(
            "open", part, first, f"a line on {name} goes out and back on itself and encloses nothing"
        )
        return
    if not fine:
        return
    line = shapely.LinearRing(loop.coords)
    if not line.is_simple:
        yield Defect(
            "crosses itself", part, _crossing(loop), f"a closed line on {name} meets or crosses itself"
        )
    elif (loop.area > 0) != (mark.role == "outer"):
        way = "clockwise" if mark.role == "outer" else "counter-clockwise"
        yield Defect("direction", part, first, f"an {mark.role} line on {name} runs {way}")


def _of_track(mark: Track, part: str) -> Iterator[Defect]:
    if len(mark.path) < 2:
        yield Defect("open", part, mark.path[0][:2], f"a line on {mark.layer.name} has one point only")
        return
    yield from _of_edges(list(zip(mark.path, mark.path[1:], strict=False)), part, mark.layer.name)
    if mark.layer.cut and "_VGROOVE_" not in mark.layer.name:
        text = f"a line on {mark.layer.name} is open, and that layer is for closed lines"
        yield Defect("open", part, mark.path[0][:2], text)


def _of_edges(edges: Iterable[tuple[Vertex, Vertex]], part: str, name: str) -> Iterator[Defect]:
    for start, end in edges:
        length = edge_length(start, end)
        if abs(start[2]) > 1:
            yield Defect("bulge", part, start[:2], f"an arc of more than half a turn on {name}")
        if length < SAME_PLACE:
            yield Defect("repeated vertex", part, start[:2], f"a vertex on {name} stands twice")
        elif length < SHORTEST:
            text = f"an edge of {length:.4f} mm on {name} is too short to cut; change a size nearby a little"
            yield Defect("short edge", part, start[:2], text)


def _of_piece(piece: Piece, loops: Sequence[tuple[Closed, Loop]]) -> Iterator[Defect]:
    """Cuts of one part against its outline and its sheet."""
    x0, y0, x1, y1 = piece.room
    for mark in piece.marks:
        a, b, c, d = mark_bounds(mark)
        if mark.layer.cut and (a < x0 - OUT or b < y0 - OUT or c > x1 + OUT or d > y1 + OUT):
            past = max(x0 - a, y0 - b, c - x1, d - y1)
            text = f"a cut on {mark.layer.name} passes the edge of the sheet or drawing by {past:.2f} mm"
            yield Defect("outside the sheet", piece.label, (a, b), text, doubtful=True)
    outline = next((loop.polygon for m, loop in loops if m.layer.name == layer("profile_out").name), None)
    if outline is None:
        return
    for mark in piece.marks:
        if mark.layer.cut and isinstance(mark, Track):
            line = shapely.LineString([v[:2] for v in mark.path])
            if not shapely.contains_properly(outline, line):
                text = f"a line on {mark.layer.name} reaches the part's edge or lies outside it"
                yield Defect("outside the part", piece.label, mark.path[0][:2], text, doubtful=True)
    for mark, loop in loops:
        inside = mark.layer.name == layer("profile_in").name or "_DRILL_" in mark.layer.name
        if inside and not shapely.contains_properly(outline, loop.polygon):
            text = f"what is cut on {mark.layer.name} reaches the part's edge or lies outside it"
            yield Defect("outside the part", piece.label, _middle(loop), text, doubtful=True)


def _between(sound: Sequence[tuple[Piece, list[tuple[Closed, Loop]]]]) -> Iterator[Defect]:
    """Cuts on one layer against each other, in one part and from part to part."""
    layers: dict[str, list[tuple[Piece, Closed, Loop]]] = {}
    for piece, loops in sound:
        for mark, loop in loops:
            layers.setdefault(mark.layer.name, []).append((piece, mark, loop))
    for name, members in layers.items():
        shapes = np.array([loop.polygon for _, _, loop in members])
        depth = [0] * len(members)
        for i, j in shapely.STRtree(shapes).query(shapes, predicate="intersects").T:
            if i == j:
                continue
            # every pair is met twice; a defect is told once, the depth of nesting counted for the inner one
            text = _relation(members[i][2], members[j][2]) if i < j else None
            if text:
                rule: Rule = "duplicate" if text.startswith("stands") else "overlap"
                both = members[i][0].label
                if members[j][0] is not members[i][0]:
                    both += f" and {members[j][0].label}"
                told = f"a line on {name} {text}"
                yield Defect(rule, both, _middle(members[j][2]), told, doubtful=rule == "overlap")
            elif shapely.contains_properly(shapes[j], shapes[i]):
                depth[i] += 1
        yield from _nesting(name, members, depth)


def _relation(one: Loop, other: Loop) -> str | None:
    """How two loops of one layer are at odds, None when they are apart or one lies well inside the other."""
    a, b = one.polygon, other.polygon
    if a.symmetric_difference(b).area < CHORDS * min(a.length, b.length):
        return "stands twice in the same place"
    edge_a, edge_b = a.exterior, b.exterior
    if shapely.intersection(edge_a, edge_b).length > SHARED:
        return "runs along another and would be cut twice"
    if edge_a.crosses(edge_b) or (edge_a.intersects(edge_b) and a.intersection(b).area > SHARED):
        return "crosses another of the same layer"
    return None


def _nesting(
    name: str, members: Sequence[tuple[Piece, Closed, Loop]], depth: Sequence[int]
) -> Iterator[Defect]:
    """On a pocket's layer wood and air take turns going inward; elsewhere nothing lies inside another."""
    for (piece, mark, loop), level in zip(members, depth, strict=True):
        if "_POCKET_" not in name:
            if level:
                text = f"a line on {name} lies inside another"
                yield Defect("overlap", piece.label, _middle(loop), text, doubtful=True)
        elif isinstance(mark, Ring) and (level % 2 == 0) != (mark.role == "outer"):
            what = (
                "a pocket lies inside another of the same depth" if level else "an island stands in no pocket"
            )
            yield Defect("overlap", piece.label, _middle(loop), f"on {name} {what}", doubtful=True)


def _loop(mark: Closed) -> Loop:
    """The line of a ring or a circle, for polygons."""
    return circle(*mark.at, mark.radius) if isinstance(mark, Round) else mark.loop


def _numbers(mark: Mark) -> Iterator[float]:
    if isinstance(mark, Ring):
        for vertex in mark.loop.points:
            yield from vertex
    elif isinstance(mark, Track):
        for vertex in mark.path:
            yield from vertex
    else:
        yield from mark.at
        yield mark.radius if isinstance(mark, Round) else mark.height


def _somewhere(mark: Mark) -> Point:
    if isinstance(mark, Ring):
        return mark.loop.points[0][:2]
    return mark.path[0][:2] if isinstance(mark, Track) else mark.at


def _middle(loop: Loop) -> Point:
    x0, y0, x1, y1 = loop.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2


def _crossing(loop: Loop) -> Point:
    """Where a loop meets itself: the first place that shapely finds."""
    nodes = shapely.node(shapely.LineString([*loop.coords, loop.coords[0]]))
    counts: dict[Point, int] = {}
    for line in nodes.geoms:
        for x, y in (line.coords[0], line.coords[-1]):
            counts[(x, y)] = counts.get((x, y), 0) + 1
    return max(counts, key=lambda at: counts[at])

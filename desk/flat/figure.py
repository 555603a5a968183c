"""A drawing to be written, as values: pieces of wood with what is cut in them, and the notes around them.

What stands in a figure is what is written, number for number: arcs of half a turn at most, full circles as
circles, outer loops counter-clockwise and inner ones clockwise, everything in the first quadrant.

Coordinates are rounded to 1e-7 mm. Coarser steps would be fine for a router, but an edge of 700 mm that moves
by half of 1e-4 mm changes the area by 0.035 mm², and the drawing would no longer prove equal to the model.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from desk.cabinet.model import Part
from desk.flat.curves import Rect, as_circle, exact_bounds, gentle, straight_last
from desk.flat.layers import Layer, layer
from desk.flat.operations import Operation, operations
from desk.shapes.loop import Loop, Point, Vertex

DIGITS = 7
REPEAT = 1e-6
"""Neighbouring vertices closer than this, in mm, are written once."""
FLAT = 1e-9
"""A bulge below this is a straight edge."""


@dataclass(frozen=True)
class Ring:
    """A closed line. Outer rings run counter-clockwise, inner ones clockwise."""

    layer: Layer
    loop: Loop
    role: Literal["outer", "inner"]


@dataclass(frozen=True)
class Round:
    """A full circle."""

    layer: Layer
    at: Point
    radius: float


@dataclass(frozen=True)
class Track:
    """An open line."""

    layer: Layer
    path: tuple[Vertex, ...]


@dataclass(frozen=True)
class Words:
    """One line of text from the left end of its base line; ``height`` is a capital's, upright reads up."""

    layer: Layer
    at: Point
    height: float
    text: str
    upright: bool = False


Mark = Ring | Round | Track | Words


@dataclass(frozen=True)
class Piece:
    """One part in the figure: all its marks, and the rectangle it has to stay in."""

    part: str
    label: str
    room: Rect
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class Figure:
    """One drawing: its size from the origin, its pieces, and marks that belong to no piece."""

    size: tuple[float, float]
    pieces: tuple[Piece, ...]
    notes: tuple[Mark, ...]

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All marks, pieces first."""
        return tuple(m for p in self.pieces for m in p.marks) + self.notes


class Move(Protocol):
    """Takes part coordinates to the figure's."""

    def point(self, at: Point) -> Point:
        """A point moved."""

    def path(self, vertices: Iterable[Vertex]) -> tuple[Vertex, ...]:
        """A path moved."""

    def loop(self, loop: Loop) -> Loop:
        """A loop moved, still counter-clockwise."""


@dataclass(frozen=True)
class FromBehind:
    """Takes part coordinates to the view on face B: x counts leftward from ``right``, y up from ``low``."""

    right: float
    low: float

    def point(self, at: Point) -> Point:
        """A point as seen from behind."""
        return self.right - at[0], at[1] - self.low

    def path(self, vertices: Iterable[Vertex]) -> tuple[Vertex, ...]:
        """A path as seen from behind; its arcs turn the other way."""
        return tuple((self.right - x, y - self.low, -b) for x, y, b in vertices)

    def loop(self, loop: Loop) -> Loop:
        """A loop as seen from behind, run round so that it is counter-clockwise again."""
        return Loop(self.path(loop.points)).reversed()


def settled(value: float) -> float:
    """A coordinate as it is written; never a negative zero."""
    return round(value, DIGITS) + 0.0


def settled_path(vertices: Sequence[Vertex], closed: bool) -> tuple[Vertex, ...]:
    """A path as it is written: arcs of half a turn at most, rounded, no vertex twice in a row."""
    found = [(settled(x), settled(y), b if abs(b) > FLAT else 0.0) for x, y, b in gentle(vertices, closed)]
    ends = [*found[1:], found[0]] if closed else [*found[1:], (math.inf, math.inf, 0.0)]
    return tuple(v for v, after in zip(found, ends, strict=True) if math.dist(v[:2], after[:2]) > REPEAT)


def closed_mark(on: Layer, loop: Loop, role: Literal["outer", "inner"]) -> Ring | Round:
    """The mark of a loop: a circle where it is one, else a ring running the way its role asks for."""
    if round_one := as_circle(loop):
        x, y, radius = round_one
        return Round(on, (settled(x), settled(y)), settled(radius))
    turned = loop if role == "outer" else loop.reversed()
    path = settled_path(turned.points, closed=True)
    return Ring(on, straight_last(Loop(path)), role)


def marks_of(operation: Operation, move: Move, on: Layer | None = None) -> tuple[Mark, ...]:
    """The marks of one operation, on its own layer unless another is given."""
    where = on or operation.layer
    outer: Literal["outer", "inner"] = "inner" if operation.kind == "profile inside" else "outer"
    found: list[Mark] = [closed_mark(where, move.loop(loop), outer) for loop in operation.loops]
    found += [closed_mark(where, move.loop(loop), "inner") for loop in operation.islands]
    found += [Track(where, settled_path(move.path(p), closed=False)) for p in operation.paths]
    for at in operation.points:
        x, y = move.point(at)
        found.append(Round(where, (settled(x), settled(y)), settled(operation.diameter / 2)))
    return tuple(found)


def piece(part: Part, move: Move, room: Rect) -> Piece:
    """A part seen on face A, with everything that is done to it."""
    found = tuple(m for operation in operations(part) for m in marks_of(operation, move))
    return Piece(part.id, part.label, room, found)


def piece_from_behind(part: Part, move: FromBehind, room: Rect) -> Piece:
    """A part seen on face B: the work on that face, and what goes right through as a faint reference."""
    faint = layer("outline")
    found: list[Mark] = []
    for operation in operations(part):
        if operation.face == "B":
            found += marks_of(operation, move)
        elif operation.layer.cut and operation.depth is None:
            found += marks_of(operation, move, faint)
    return Piece(part.id, part.label, room, tuple(found))


def mark_bounds(mark: Mark) -> Rect:
    """Exact bounds of a line; for words those of their first point."""
    if isinstance(mark, Ring):
        return exact_bounds(mark.loop.points)
    if isinstance(mark, Track):
        return exact_bounds(mark.path, closed=False)
    radius = mark.radius if isinstance(mark, Round) else 0.0
    return mark.at[0] - radius, mark.at[1] - radius, mark.at[0] + radius, mark.at[1] + radius

"""Puts labels where they cover no line, and breaks long sentences.

The width of a text is estimated, since every reader of a drawing has fonts of its own.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from desk.flat.figure import Mark, Piece, Ring, Round, Track, Words
from desk.flat.layers import Layer, layer
from desk.shapes.loop import Loop, Point, circle

WIDE = 0.95
"""Width of a letter over the height of a capital, on the generous side."""
LEADING = 1.7
"""Distance of base lines over the height of a capital."""
SPACE = 0.5
"""Least clear space round a label over the height of a capital."""
_TRIES = (
    *((h, False) for h in (8.0, 6.0, 5.0, 4.0)),
    *((h, True) for h in (8.0, 6.0, 5.0, 4.0)),
    *((h, upright) for h in (3.0, 2.5, 2.0) for upright in (False, True)),
)
"""Heights in mm and directions, the best first."""
_GRID = 17


def width_of(text: str, height: float) -> float:
    """Estimated width of a line of text, mm."""
    return WIDE * height * len(text)


def plain(text: str) -> str:
    """A text fit for one line of a drawing: no control characters and no codes for special signs."""
    return " ".join(text.split()).replace("%%", "% %").replace("^", "'")


def wrapped(text: str, height: float, width: float) -> list[str]:
    """The text in lines no wider than ``width`` mm, as far as its words allow."""
    return textwrap.wrap(plain(text), max(12, int(width / (WIDE * height))))


def block(
    on: Layer, lines: Sequence[str], left: float, bottom: float, height: float
) -> tuple[list[Mark], float]:
    """Lines of text one under the other, the last at ``bottom``; also where the next block may begin."""
    step = LEADING * height
    marks: list[Mark] = [
        Words(on, (left, bottom + step * (len(lines) - 1 - k)), height, line) for k, line in enumerate(lines)
    ]
    return marks, bottom + step * len(lines)


def label_for(piece: Piece, text: str) -> Words:
    """The label of a piece, as large as fits inside its outline and clear of every line, near the middle.

    Where nothing fits it stands in the middle, small, across the lines.
    """
    text, on, free = plain(text), layer("label"), _room_in(piece)
    for height, upright in _TRIES:
        along, across = width_of(text, height), height
        size = (across, along) if upright else (along, across)
        middle = _spot(free, size, SPACE * height)
        if middle is not None:
            return Words(on, _base(middle, size, upright), height, text, upright)
    small = _TRIES[-1][0]
    x0, y0, x1, y1 = free.outline.bounds
    at = _base(((x0 + x1) / 2, (y0 + y1) / 2), (width_of(text, small), small), upright=False)
    return Words(on, at, small, text)


@dataclass(frozen=True)
class _Room:
    """Where a label may stand: inside the outline, across no line, in no opening."""

    outline: shapely.Polygon
    lines: shapely.Geometry
    openings: shapely.Geometry


def _room_in(piece: Piece) -> _Room:
    through = layer("profile_in").name
    shut = [(m, _loop(m)) for m in piece.marks if isinstance(m, (Ring, Round))]
    lines: list[shapely.Geometry] = [shapely.LinearRing(loop.coords) for _, loop in shut]
    lines += [shapely.LineString([v[:2] for v in m.path]) for m in piece.marks if isinstance(m, Track)]
    together = shapely.multilinestrings(lines)
    shapely.prepare(together)
    openings = shapely.union_all([loop.polygon for m, loop in shut if m.layer.name == through])
    return _Room(shut[0][1].polygon, together, openings)


def _spot(free: _Room, size: Point, space: float) -> Point | None:
    """The middle of the free box of this size, with space round it, that is nearest to the outline's middle."""
    x0, y0, x1, y1 = free.outline.bounds
    half = np.array(size) / 2 + space
    low, high = np.array([x0, y0]) + half, np.array([x1, y1]) - half
    if (low > high).any():
        return None
    share = np.linspace(0.0, 1.0, _GRID)
    x, y = np.meshgrid(low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1]))
    at = np.column_stack((x.ravel(), y.ravel()))
    boxes = shapely.box(*(at - half).T, *(at + half).T)
    good = shapely.contains(free.outline, boxes) & ~shapely.intersects(free.lines, boxes)
    good &= ~shapely.intersects(free.openings, boxes)
    if not good.any():
        return None
    best = at[good][np.argmin(np.hypot(*(at[good] - (low + high) / 2).T).round(6))]
    return float(best[0]), float(best[1])


def _base(middle: Point, size: Point, upright: bool) -> Point:
    """Where the base line starts of a text whose box has this middle and size."""
    aside = size[0] / 2 if upright else -size[0] / 2
    return round(middle[0] + aside, 3), round(middle[1] - size[1] / 2, 3)


def _loop(mark: Ring | Round) -> Loop:
    return mark.loop if isinstance(mark, Ring) else circle(*mark.at, mark.radius)

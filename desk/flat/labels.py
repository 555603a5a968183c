"""Puts labels where they cover no line, and breaks long sentences.

The width of a text is estimated, since every reader of a drawing has fonts of its own.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

import numpy as np
import shapely

from desk.flat.figure import Mark, Piece, Ring, Round, Words
from desk.flat.layers import Layer, layer
from desk.shapes.loop import Loop, circle

WIDE = 0.95
"""Width of a letter over the height of a capital, on the generous side."""
LEADING = 1.7
"""Distance of base lines over the height of a capital."""
SPACE = 1.0
"""Least clear space round a label, mm."""
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
    text = plain(text)
    on = layer("label")
    loops = [_loop(m) for m in piece.marks if isinstance(m, (Ring, Round))]
    outline, holes = loops[0].polygon, _openings(piece)
    lines = shapely.multilinestrings([shapely.LinearRing(loop.coords) for loop in loops])
    shapely.prepare(lines)
    x0, y0, x1, y1 = outline.bounds
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    share = np.linspace(0.0, 1.0, _GRID)
    for height, upright in _TRIES:
        w, h = width_of(text, height), height
        w, h = (h, w) if upright else (w, h)
        if w + 2 * SPACE > x1 - x0 or h + 2 * SPACE > y1 - y0:
            continue
        half = np.array([w / 2 + SPACE, h / 2 + SPACE])
        cx, cy = np.meshgrid(
            x0 + half[0] + share * (x1 - x0 - 2 * half[0]), y0 + half[1] + share * (y1 - y0 - 2 * half[1])
        )
        at = np.column_stack((cx.ravel(), cy.ravel()))
        boxes = shapely.box(*(at - half).T, *(at + half).T)
        good = shapely.contains(outline, boxes) & ~shapely.intersects(lines, boxes)
        if holes is not None:
            good &= ~shapely.intersects(holes, boxes)
        if good.any():
            best = at[good][np.argmin(np.hypot(*(at[good] - middle).T).round(6))]
            return Words(on, _base(float(best[0]), float(best[1]), w, h, upright), height, text, upright)
    w, h = width_of(text, 2.0), 2.0
    return Words(on, _base(float(middle[0]), float(middle[1]), w, h, False), h, text)


def _base(x: float, y: float, w: float, h: float, upright: bool) -> tuple[float, float]:
    """Where the base line starts of a text whose box of w by h is centred at (x, y)."""
    return (
        (round(x + w / 2, 3), round(y - h / 2, 3)) if upright else (round(x - w / 2, 3), round(y - h / 2, 3))
    )


def _loop(mark: Ring | Round) -> Loop:
    return mark.loop if isinstance(mark, Ring) else circle(*mark.at, mark.radius)


def _openings(piece: Piece) -> shapely.Geometry | None:
    """What is cut right through, where no label belongs."""
    through = layer("profile_in").name
    loops = [_loop(m) for m in piece.marks if isinstance(m, (Ring, Round)) and m.layer.name == through]
    return shapely.union_all([loop.polygon for loop in loops]) if loops else None

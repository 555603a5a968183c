"""A part's flat shape moved to a place of its own, so that what is read of it can be kept while the part moves.

Upright parts are drawn in the cabinet's own coordinates and move when the cabinet grows; equal parts (kicker ribs)
differ only by where they stand. Moved so that the first corner of the outline is the origin, and rounded, all of
these are one value.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import shapely

from desk.cabinet.ascut import outline_as_cut
from desk.cabinet.model import Part
from desk.checks.corners import gentle
from desk.shapes.loop import Loop, Point

DECIMALS = 6
"""Of mm: moved shapes that agree to this are the same."""


class Hole(NamedTuple):
    """A drilled hole: middle, diameter, depth range from face A, mm; its use and joint."""

    at: Point
    diameter: float
    depths: tuple[float, float]
    use: str
    joint: str


class Opening(NamedTuple):
    """An opening or a pocket with its depth range from face A and what is left standing in it.

    ``id`` is the joint or the use and number; it stays the same when sizes change.
    """

    name: str
    id: str
    loop: Loop
    depths: tuple[float, float]
    islands: tuple[Loop, ...]
    through: bool


class Home(NamedTuple):
    """A part's flat shape in its own place."""

    outline: Loop
    holes: tuple[Hole, ...]
    openings: tuple[Opening, ...]
    thickness: float
    grain: Point


@lru_cache(maxsize=512)
def home(part: Part) -> tuple[Home, Point]:
    """The part's shape in its own place, and the corner of the part that became the origin."""
    x, y, _ = part.outline.points[0]
    t = part.thickness

    def moved(loop: Loop) -> Loop:
        return Loop(
            tuple(
                (round(a - x, DECIMALS), round(b - y, DECIMALS), round(c, DECIMALS + 3))
                for a, b, c in loop.points
            )
        )

    holes = tuple(
        Hole(
            (round(d.at[0] - x, DECIMALS), round(d.at[1] - y, DECIMALS)),
            d.diameter,
            _range(d.face, d.depth, t),
            d.use,
            d.joint,
        )
        for d in part.drills
    )
    cutouts = tuple(Opening(f"the {c.use}", c.use, moved(c.loop), (0.0, t), (), True) for c in part.cutouts)
    pockets = tuple(
        Opening(
            f"the {p.use}",
            p.joint or f"{p.use} {n + 1}",
            moved(p.loop),
            _range(p.face, p.depth, t),
            tuple(moved(i) for i in p.islands),
            False,
        )
        for n, p in enumerate(part.pockets)
    )
    return _kept(Home(moved(part.outline), holes, cutouts + pockets, t, part.grain)), (x, y)


def _range(face: str, depth: float | None, thickness: float) -> tuple[float, float]:
    if depth is None or depth >= thickness:
        return 0.0, thickness
    return (0.0, depth) if face == "A" else (thickness - depth, thickness)


@lru_cache(maxsize=512)
def _kept(shape: Home) -> Home:
    """The first of all equal shapes, with all that was worked out on its loops."""
    return shape


@lru_cache(maxsize=1024)
def outline_cut(outline: Loop, radius: float) -> shapely.Geometry:
    """What is left inside an outline cut with a bit of ``radius``; as drawn where the bit leaves it so."""
    return outline.polygon if gentle(outline, radius) else outline_as_cut(outline, radius)

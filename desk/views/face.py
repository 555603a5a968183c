"""The board face: the carved floor seen square on, rails, holes, walls and the gutter at its foot."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import shapely

from desk.ball.rests import Rest
from desk.cabinet.model import Cabinet, Solid, Target
from desk.shapes.loop import Point, circle
from desk.views.drawing import Disc, Item, Path, Ring, Text
from desk.views.project import ring, shape_rings
from desk.views.sections import tint

GUTTER = 14.0
SCORE_ASIDE = 0.5
"""A score stands this share of the hole's diameter to the right of hole and rail, clear of their handles."""


def face_items(cabinet: Cabinet, rests: tuple[Rest, ...]) -> Iterator[Item]:
    """Floor, rails as cut and finished, holes with their chamfers, walls, scores."""
    leg = cabinet.leg_by_id["face"]
    board = cabinet.by_id["board"]
    half = cabinet.marks.lengths["lane width"] / 2
    length = cabinet.marks.lengths["face length"]
    tints = tuple(tint(cabinet, cabinet.by_id[s.part]) for s in leg.solids)
    yield _plate(-half, 0.0, half, length, f"{tint(cabinet, board)}-far", "board")
    yield from _standing(leg.solids, tints, half, length)
    chamfer = {b.use.removeprefix("rim of "): b.size for b in board.breaks}
    for target in cabinet.targets:
        yield from _hole(target, chamfer.get(f"target hole {target.number}", 0.0))
    yield Text((0.0, -GUTTER / 2), "gutter gap", "part-label")
    radius = cabinet.balls.diameter / 2
    for rest in rests:
        if rest.leg == "face":
            yield Disc((round(rest.at[0], 3), round(rest.at[1], 3)), radius, "trap")


@lru_cache(maxsize=32)
def _standing(
    solids: tuple[Solid, ...], tints: tuple[str, ...], half: float, length: float
) -> tuple[Item, ...]:
    """Rails, walls and header; what is longer than the face is cut off a little beyond it."""
    window = _window(half, length)
    return tuple(
        Path(shape_rings(s.shape if s.part == "board" else s.shape.intersection(window)), style, part=s.part)
        for s, style in zip(solids, tints, strict=True)
    )


@lru_cache(maxsize=256)
def _hole(target: Target, rim: float) -> tuple[Item, ...]:
    """A target's hole with its chamfer, and its score."""
    hole = Path((ring(circle(*target.at, target.hole / 2).sketch),), "hole", part="board")
    score = Text(_score_spot(target), str(target.score), "label")
    if not rim:
        return (hole, score)
    return (
        Path((ring(circle(*target.at, target.hole / 2 + rim).sketch),), "groove", part="board"),
        hole,
        score,
    )


def _score_spot(target: Target) -> Point:
    reach = target.hole / 2 if target.kind == "plain" else max(target.rail, target.hole / 2) + 5.0
    return (target.at[0] + reach + SCORE_ASIDE * target.hole, target.at[1])


def _plate(x0: float, y0: float, x1: float, y1: float, style: str, part: str) -> Path:
    corners: Ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Path((corners,), style, part=part)


def _window(half: float, length: float) -> shapely.Polygon:
    return shapely.box(-half - 9.0, -GUTTER, half + 9.0, length + 9.0)

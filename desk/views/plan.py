"""The plan: the cabinet from above, each part where it is seen, lower parts first."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from desk.cabinet.model import Cabinet, Part
from desk.shapes.frame import Frame
from desk.views.drawing import Disc, Item, Path, Ring, Text
from desk.views.project import flat, placed, ring
from desk.views.sections import tint

LABELLED = {
    "deck": "deck",
    "base": "front bay",
    "board": "target board",
    "spacer-upper-1": "return, under its cover",
    "panel-far": "",
}


def plan_items(cabinet: Cabinet) -> Iterator[Item]:
    """Parts from the lowest to the highest, then the balls' inlet and the names."""
    frame = cabinet.planes["plan"]
    for part in sorted(cabinet.parts, key=_height):
        yield from _from_above(part, frame, tint(cabinet, part))
    low, back = cabinet.marks.points["inlet low"], cabinet.marks.points["back"][0]
    lane, spacer = cabinet.marks.points["lane"], cabinet.marks.points["spacer"]
    corners = ((low[0], -spacer[1]), (back, -spacer[1]), (back, -lane[1]), (low[0], -lane[1]))
    yield Path((corners,), "hidden")
    for key, name in LABELLED.items():
        part_named = cabinet.by_id.get(key)
        if part_named is not None and name:
            yield _label(frame, part_named, name)
    radius = cabinet.balls.diameter / 2
    deck = flat(frame, cabinet.marks.points["deck front"])
    yield Disc((deck[0] + radius, deck[1]), radius, "ball-resting")


@lru_cache(maxsize=256)
def _from_above(part: Part, frame: Frame, style: str) -> tuple[Item, ...]:
    """One part; the board with its rails and holes."""
    body = Path(_rings(frame, part), style, part=part.id)
    return (body, *_holes(frame, part)) if part.id == "board" else (body,)


def _label(frame: Frame, part: Part, name: str) -> Text:
    seen = _rings(frame, part)[0]
    xs, ys = [p[0] for p in seen], [p[1] for p in seen]
    x = (min(xs) + max(xs)) / 2 if part.id != "base" else min(xs) + 34.0
    y = (min(ys) + max(ys)) / 2
    return Text((round(x, 3), round(y if part.id != "board" else min(ys) + 8.0, 3)), name, "part-label")


def _height(part: Part) -> tuple[float, float]:
    (_, _, low), (_, _, top) = part.extent
    return (low if part.normal_axis in ("z", "tilted") else top, top)


def _rings(frame: Frame, part: Part) -> tuple[Ring, ...]:
    """The part seen from above: a box for an upright part, the outline for a lying one."""
    if part.normal_axis in ("z", "tilted"):
        return (ring(placed(frame, part.frame, part.outline.sketch)),)
    (x0, y0, _), (x1, y1, _) = part.extent
    return (tuple((round(x, 3), round(-y, 3)) for x, y in ((x0, y1), (x1, y1), (x1, y0), (x0, y0))),)


def _holes(frame: Frame, board: Part) -> Iterator[Item]:
    carve = max((p.depth for p in board.pockets), default=0.0)
    for pocket in board.pockets:
        for island in pocket.islands:
            yield Path((ring(placed(frame, board.frame, island.sketch)),), "pocket", part=board.id)
    for cutout in board.cutouts:
        yield Path((ring(placed(frame, board.frame, cutout.loop.sketch, carve)),), "hole", part=board.id)

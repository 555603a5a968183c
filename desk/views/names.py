"""Names of parts in a small drawing, put where they cover neither each other nor what the drawing is about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely

from desk.cabinet.model import Part
from desk.views.bars import PX, text_box
from desk.views.boxes import overlaps, padded
from desk.views.drawing import Disc, Item, Path, Text
from desk.views.reading import box_of
from desk.views.viewport import Box

STEPS = (15, 11)
"""Places tried across and up."""
LEAST = 14.0
"""A part that shows less than a square of this side, px, is not named."""
LIES = 0.45
"""At least this share of a name has to lie in its part, or it might be taken for a neighbour's."""
LARGE = 0.3
"""What covers more of the drawing than this share may be written on."""


def names(rows: Mapping[Part, shapely.Geometry], window: Box, around: Sequence[Item]) -> Iterator[Text]:
    """A name for each part with the shape it shows, the first ones first, as long as there is room.

    Of parts that come in numbers only one is named.
    """
    px = (window[2] - window[0]) / PX
    pane = shapely.box(*window)
    taken = [box for item in around if (box := _box(item, px)) and _counts(item, box, window)]
    named: set[str] = set()
    for part, shape in rows.items():
        kin = part.id.rstrip("0123456789")
        if kin in named or not shape.intersects(pane):
            continue
        seen = shape.intersection(pane)
        if seen.area < (LEAST * px) ** 2:
            continue
        if (text := _put(part.label, seen, window, taken, px)) is not None:
            named.add(kin)
            taken.append(text_box(text, px))
            yield text


def _put(label: str, seen: shapely.Geometry, window: Box, taken: list[Box], px: float) -> Text | None:
    """The label where it lies in its part best, clear of all boxes taken; None where it nowhere is."""
    x0, y0, x1, y1 = seen.bounds
    xs, ys = (np.linspace(a, b, n) for a, b, n in ((x0, x1, STEPS[0]), (y0, y1, STEPS[1])))
    grid = np.array(np.meshgrid(xs, ys)).reshape(2, -1)
    inside = shapely.contains_xy(seen, *grid)
    best: tuple[float, Text] | None = None
    for x, y in grid.T[inside].tolist():
        text = Text((round(x, 3), round(y, 3)), label, "part-label")
        box = text_box(text, px)
        within = window[0] < box[0] and box[2] < window[2] and window[1] < box[1] and box[3] < window[3]
        if not within or any(overlaps(padded(box, 2 * px), other) for other in taken):
            continue
        lies = float(seen.intersection(shapely.box(*box)).area) / _area(box)
        if lies > (LIES if best is None else best[0] + 1e-6):
            best = (lies, text)
    return best[1] if best is not None else None


def _box(item: Item, px: float) -> Box | None:
    if isinstance(item, Text):
        return text_box(item, px)
    if isinstance(item, Disc):
        (x, y), r = item.centre, item.radius
        return x - r, y - r, x + r, y + r
    if isinstance(item, Path) and any(item.rings):
        return box_of([p for ring in item.rings for p in ring])
    return None


def _counts(item: Item, box: Box, window: Box) -> bool:
    """Whether a name has to keep clear of an item: not of a place that is most of the drawing."""
    return not isinstance(item, Path) or _area(box) < LARGE * _area(window)


def _area(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])

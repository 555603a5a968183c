"""One part seen square on its face: outline as cut, openings, pockets, holes and grooves.

What is cut from the face that is turned to the viewer is drawn in full, what is cut from behind is drawn hidden.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from desk.cabinet.ascut import face_as_cut, pocket_as_cut
from desk.cabinet.model import Part, Shop
from desk.shapes.frame import Frame, dot
from desk.shapes.loop import polyline
from desk.views.drawing import Disc, Item, Path
from desk.views.project import placed, ring, shape_rings

MOST = 0.6
"""A pocket of more than this share of the face takes most of it."""


@lru_cache(maxsize=64)
def face_items(part: Part, shop: Shop, frame: Frame, style: str) -> tuple[Item, ...]:
    """The part in the plane of ``frame``, which is parallel to its faces: its body in ``style`` first."""
    return tuple(_face_items(part, shop, frame, style))


def _face_items(part: Part, shop: Shop, frame: Frame, style: str) -> Iterator[Item]:
    turned_to = "A" if dot(part.frame.normal, frame.normal) > 0 else "B"
    yield Path(shape_rings(body(part, shop, frame)), style, part=part.id)
    yield from _pockets(part, shop, frame, turned_to)
    for edge in part.breaks:
        if edge.face == turned_to:
            path = [*edge.path, edge.path[0]] if edge.closed else edge.path
            yield Path((ring(placed(frame, part.frame, np.array(polyline(path)))),), "broken", False, part.id)
    for groove in part.grooves:
        if groove.face == turned_to:
            for path in groove.paths:
                line = ring(placed(frame, part.frame, np.array(polyline(path))))
                yield Path((line,), "groove", False, part.id)
    for drill in part.drills:
        ((x, y),) = ring(placed(frame, part.frame, np.array([drill.at])))
        seen = drill.depth is None or drill.face == turned_to
        if drill.head > drill.diameter and drill.face == turned_to:
            yield Disc((x, y), drill.head / 2, "pocket", part.id)
        yield Disc((x, y), drill.diameter / 2, "hole" if seen else "hidden", part.id)


def _pockets(part: Part, shop: Shop, frame: Frame, turned_to: str) -> Iterator[Path]:
    """Pockets as cut, the deepest last; one that lowers most of the face for deeper ones to be cut in is left out."""
    radius = shop.bit(shop.pocket_bit).diameter / 2
    wood = face_as_cut(part, shop)
    deepest = max((p.depth for p in part.pockets), default=0.0)
    for pocket in sorted(part.pockets, key=lambda p: p.depth):
        shape = pocket_as_cut(pocket, radius).intersection(wood)
        lowers = pocket.depth < deepest and shape.area > MOST * wood.area
        if not shape.is_empty and not lowers:
            style = "pocket" if pocket.face == turned_to else "hidden"
            yield Path(shape_rings(_turned(part, frame, shape)), style, part=part.id)


def body(part: Part, shop: Shop, frame: Frame) -> shapely.Geometry:
    """Outline and openings of the part as cut, in the coordinates of a frame parallel to its faces."""
    return _turned(part, frame, face_as_cut(part, shop))


def _turned(part: Part, frame: Frame, shape: shapely.Geometry) -> shapely.Geometry:
    return shapely.transform(shape, lambda coords: placed(frame, part.frame, coords))

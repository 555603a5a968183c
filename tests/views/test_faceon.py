"""A part seen square on: what is cut from the face one looks at is drawn in full, what is cut from behind is hidden."""

from __future__ import annotations

import pytest
import shapely
from msgspec.structs import replace

from desk.cabinet.model import Drill, Part, Pocket
from desk.shapes.frame import Frame
from desk.shapes.loop import circle, rect
from desk.views.drawing import Disc, Path
from desk.views.faceon import face_items

from .designs import evaluated

FLAT = Frame((0.0, 0.0, 12.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
UNDER = Frame((0.0, 0.0, 12.0), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
PLATE = Part(
    "plate",
    "Plate",
    "stock",
    12.0,
    rect(0.0, 0.0, 80.0, 50.0),
    FLAT,
    drills=(
        Drill((10.0, 10.0), 4.0, None, "clearance", "s", head=8.0),
        Drill((30.0, 10.0), 5.0, 6.0, "dowel", "d"),
        Drill((50.0, 10.0), 6.0, 6.0, "pilot", "p", face="B"),
    ),
    pockets=(
        Pocket(circle(30.0, 32.0, 8.0), 4.0, "rebate"),
        Pocket(circle(60.0, 32.0, 8.0), 4.0, "rebate", face="B"),
    ),
)


def shown(part: Part, frame: Frame) -> tuple[dict[float, str], list[str]]:
    """Styles of the discs by diameter, and of the pockets."""
    items = face_items(part, evaluated("starting").cabinet.shop, frame, "stock-1")
    discs = {2 * i.radius: i.style for i in items if isinstance(i, Disc)}
    return discs, [i.style for i in items[1:] if isinstance(i, Path)]


@pytest.mark.parametrize(
    ("frame", "discs", "pockets"),
    [
        (FLAT, {8.0: "pocket", 4.0: "hole", 5.0: "hole", 6.0: "hidden"}, ["pocket", "hidden"]),
        (UNDER, {4.0: "hole", 5.0: "hidden", 6.0: "hole"}, ["hidden", "pocket"]),
    ],
)
def test_what_is_cut_from_behind_is_hidden(frame: Frame, discs: dict[float, str], pockets: list[str]) -> None:
    assert shown(PLATE, frame) == (discs, pockets)


def test_the_body_is_first_and_as_large_as_the_face() -> None:
    body = face_items(PLATE, evaluated("starting").cabinet.shop, UNDER, "stock-1")[0]
    assert isinstance(body, Path)
    assert body.style == "stock-1"
    assert shapely.Polygon(body.rings[0]).bounds == pytest.approx((-80.0, 0.0, 0.0, 50.0))


def test_a_pocket_that_lowers_most_of_the_face_does_not_cover_what_stands_up_in_it() -> None:
    low = Pocket(rect(-5.0, -5.0, 85.0, 55.0), 1.0, "carving")
    deep = Pocket(rect(-5.0, -5.0, 85.0, 55.0), 5.0, "carving", islands=(circle(40.0, 25.0, 10.0),))
    carved = replace(PLATE, drills=(), pockets=(deep, low))
    items = face_items(carved, evaluated("starting").cabinet.shop, FLAT, "stock-1")
    (pocket,) = (i for i in items if isinstance(i, Path) and i.style == "pocket")
    area = shapely.Polygon(pocket.rings[0], pocket.rings[1:])
    assert not area.contains(shapely.Point(40.0, 25.0))
    assert area.contains(shapely.Point(10.0, 25.0))

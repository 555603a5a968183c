"""Every view by its id. A view is made when it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from desk.ball.rests import Rest
from desk.cabinet.model import Cabinet, Landmarks
from desk.checks.finding import Finding
from desk.design.model import Design
from desk.remember import Memory
from desk.shapes.frame import Frame
from desk.views import dress
from desk.views.drawing import Dimension, Drawing, Item
from desk.views.dress import Dresser
from desk.views.face import GUTTER, face_items
from desk.views.flags import flag_items
from desk.views.plan import plan_items
from desk.views.sections import channel_items, lane_items, rear_items

Extent = tuple[float, float, float, float]
_MEMORY = Memory(Cabinet, Landmarks, Design)


@dataclass(frozen=True)
class View:
    """One view: its title, the plane it looks at, what it shows and the sizes it dresses."""

    id: str
    title: str
    plane: str
    items: Callable[[Cabinet, tuple[Rest, ...]], Iterable[Item]]
    dimensions: Callable[[Dresser], Iterable[Dimension]]
    extent: Callable[[Cabinet], Extent]
    legs: tuple[str, ...] = ()
    """Legs whose balls at rest it shows."""


def _upright(cabinet: Cabinet) -> Extent:
    upright = ("panel-return", "panel-far", "inner-wall", "header")
    top = max(cabinet.by_id[key].extent[1][2] for key in upright)
    return (-28.0, -24.0, cabinet.marks.lengths["depth"] + 8.0, top + 8.0)


def _plan(cabinet: Cabinet) -> Extent:
    return (-28.0, -cabinet.marks.lengths["width"] - 24.0, cabinet.marks.lengths["depth"] + 8.0, 6.0)


def _face(cabinet: Cabinet) -> Extent:
    half = cabinet.marks.lengths["lane width"] / 2 + 16.0
    return (-half, -GUTTER - 14.0, half, cabinet.marks.lengths["face length"] + 12.0)


def _rear(cabinet: Cabinet) -> Extent:
    return (-8.0, -24.0, cabinet.marks.lengths["width"] + 8.0, _upright(cabinet)[3])


VIEWS: dict[str, View] = {
    v.id: v
    for v in (
        View(
            "lane", "Section through the lane", "lane", lane_items, dress.lane_dimensions, _upright, ("lane",)
        ),
        View(
            "channel",
            "Section through the return",
            "channel",
            channel_items,
            dress.channel_dimensions,
            _upright,
            ("channel",),
        ),
        View(
            "rear", "Section along the trough", "rear", rear_items, dress.rear_dimensions, _rear, ("catch",)
        ),
        View("plan", "Plan", "plan", lambda c, _: plan_items(c), dress.plan_dimensions, _plan),
        View("face", "Board face", "face", face_items, dress.face_dimensions, _face, ("face",)),
    )
}


def draw(
    view_id: str, design: Design, cabinet: Cabinet, findings: Sequence[Finding], rests: tuple[Rest, ...]
) -> Drawing:
    """One view of the cabinet with its dimensions and flags. Raises KeyError for an id that is no view."""
    view = VIEWS[view_id]
    frame: Frame = cabinet.planes[view.plane]
    items = tuple(view.items(cabinet, rests))
    sizes = _MEMORY.recall((view_id, "sizes"), _sizes, design, cabinet, frame, view)
    marks = flag_items(cabinet, findings, view_id, frame)
    return Drawing(view_id, view.title, frame, view.extent(cabinet), (*items, *sizes, *marks))


def _sizes(design: Design, cabinet: Cabinet, frame: Frame, view: View) -> tuple[Dimension, ...]:
    return tuple(view.dimensions(Dresser(design, cabinet, frame)))

"""The few kinds of things a drawing is made of. Coordinates are mm of the view's plane, x right and y up.

Style names are looked up by whoever paints; a drawing never carries a colour. Styles in use are listed in
``resources/theme.toml``. Items are values: an unchanged item compares equal to the one of the step before, so a painter
can repaint only what moved.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from msgspec import Struct

if TYPE_CHECKING:  # the window shows drawings before anything heavy is imported
    from desk.cabinet.model import Status
    from desk.shapes.frame import Frame
    from desk.shapes.loop import Point

Ring = tuple[tuple[float, float], ...]


class Path(Struct, frozen=True):
    """Filled or stroked rings; inner rings are holes by the even-odd rule. ``part`` names what it belongs to."""

    rings: tuple[Ring, ...]
    style: str
    closed: bool = True
    part: str = ""
    status: Status | None = None
    finding: str = ""
    """Key of the finding this marks, for hatching and picking."""


class Disc(Struct, frozen=True):
    """A circle drawn as one: balls, holes."""

    centre: Point
    radius: float
    style: str
    part: str = ""


class Text(Struct, frozen=True):
    """A label. ``anchor`` says which point of the text sits at ``at``; size is the theme's, in screen points."""

    at: Point
    text: str
    style: str
    anchor: Literal["left", "middle", "right"] = "middle"
    angle: float = 0.0


class Pull(Struct, frozen=True):
    """How a handle changes one dimension: moving it 1 mm along ``axis`` changes ``address`` by ``gain``."""

    address: str
    axis: Point
    gain: float


class Dimension(Struct, frozen=True):
    """A dimension line with a handle.

    ``start`` and ``end`` are the points measured; the line is set off by ``offset`` mm to the left of start to end.
    ``shape`` "angle" draws an arc about ``start`` instead, "point" only the handle. ``pulls`` may be empty for a
    reference size, shown in brackets.
    """

    id: str
    shape: Literal["line", "angle", "point"]
    start: Point
    end: Point
    offset: float
    handle: Point
    pulls: tuple[Pull, ...]
    label: str
    value: float
    unit: str
    primary: bool = True
    """Whether the line and its text always show; the others show their handle only, until it is pointed at."""


class Marker(Struct, frozen=True):
    """A numbered flag planted at a finding's place; a small faint one for a finding that is ``muted``."""

    at: Point
    number: int
    status: Status
    finding: str
    muted: bool = False


BALLS = frozenset({"ball-resting", "ball-queue", "trap"})
"""Styles of balls at rest."""
Item = Path | Disc | Text | Dimension | Marker


class Drawing(Struct, frozen=True):
    """One view: its plane, the model's extent in it (x low, y low, x high, y high) and the items, back to front."""

    id: str
    title: str
    frame: Frame
    extent: tuple[float, float, float, float]
    items: tuple[Item, ...]

    @property
    def balls(self) -> list[Disc]:
        """The balls at rest, which no label is to cover."""
        return [i for i in self.items if isinstance(i, Disc) and i.style in BALLS]

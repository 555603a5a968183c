"""A finding as a value: what was measured, what is needed, where, why and what to change."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from desk.shop.sourced import Flag, Source

if TYPE_CHECKING:  # the window shows findings before anything heavy is imported
    from desk.cabinet.model import Status
    from desk.shapes.frame import Frame, Vec
    from desk.shapes.loop import Point
__all__ = [
    "RANK",
    "Finding",
    "Flag",
    "LetGo",
    "Place",
    "Remedy",
    "Source",
    "Thrown",
]

RANK: dict[Status, int] = {"conflict": 0, "tight": 1, "clear": 2}


class Place(Struct, frozen=True):
    """Where a finding is: a closed polygon, a line or a point in a plane of the cabinet (mm)."""

    frame: Frame
    kind: Literal["area", "line", "point"]
    points: tuple[Point, ...]

    @property
    def middle(self) -> Vec:
        """The world point a flag is planted at: the mean of the points."""
        n = len(self.points)
        return self.frame.world(sum(p[0] for p in self.points) / n, sum(p[1] for p in self.points) / n)


class Remedy(Struct, frozen=True):
    """One change that would help: the address, the value to set (None for a direction only), in words."""

    address: str
    value: float | None
    text: str


NO_REMEDY = Remedy("", None, "")
"""Stands for a change that cannot be made; findings do not list it."""


class Thrown(Struct, frozen=True):
    """A ball to watch: thrown from the front stop at a speed (m/s) and an aim (degrees to the right)."""

    speed: float
    aim: float
    spring: int = 0
    """How it springs back behind the board: -1 as little, 1 as much as its material may, 0 in the middle."""


class LetGo(Struct, frozen=True):
    """A ball to watch: let go from rest at a point of a leg's plane (mm)."""

    leg: str
    at: Point


class Finding(Struct, frozen=True):
    """One outcome of one check at one place. ``key`` stays the same across rebuilds, for a selection."""

    key: str
    number: int
    check: str
    family: str
    status: Status
    title: str
    parts: tuple[str, ...]
    measured: float | None
    needed: float | None
    margin: float | None
    unit: str
    because: str
    source: Source
    places: tuple[Place, ...]
    remedies: tuple[Remedy, ...] = ()
    muted: str = ""
    """Why the person does not want it counted; "" where they do."""
    ball: Thrown | LetGo | None = None
    """A ball whose way shows what was found."""

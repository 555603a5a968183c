"""A leg made ready for motion: the edge of its centre region with its chains, remembered by what the ball meets."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np
import shapely

from desk.ball.chains import Cells, cells_of
from desk.ball.contact import Contact
from desk.ball.edges import GRAVITY, Edges, Flags, Reals, Whole, Zones, edges_of
from desk.ball.rests import centre_region
from desk.cabinet.model import Leg
from desk.shapes.loop import Point

REACH = 1e-5
"""Slack of positions on edges, mm."""


@dataclass(frozen=True, eq=False)
class Outline(Edges):
    """Edges with their chains."""

    cells: Cells

    @cached_property
    def sides(self) -> Sides:
        """The edges and gates column by column."""
        fall, drive = self.inward @ self.gravity, self.along @ self.gravity
        cell, back = (np.concatenate([row, np.full(len(fall) - self.count, -1)]) for row in self.cells.at)
        (x, y), (tx, ty), (nx, ny) = (
            np.ascontiguousarray(v.T) for v in (self.start, self.along, self.inward)
        )
        return Sides(
            x, y, tx, ty, nx, ny, self.length, self.length + REACH, 2 * fall, np.where(fall < 0, -fall, 1.0), fall < 0,
            drive / 2, np.where(drive >= 0, 1.0, -1.0), self.ends, cell, back, cell >= 0, np.arange(len(fall)),
        )  # fmt: skip

    @cached_property
    def listed(self) -> tuple[Any, Any]:
        """Sides and cells with lists for columns, from which single numbers are read faster."""
        return _listed(self.sides), _listed(self.cells)


@dataclass(frozen=True, eq=False)
class Sides:
    """The columns of an outline's edges and gates.

    ``far`` is the length and a slack. Of gravity, mm/s²: ``twice`` the part away from the wood, ``below`` whether it
    pulls onto the edge at all, ``lift`` how strongly (1 where it does not), ``haul`` half the part along; ``down`` is
    the way along that it pulls (+1 or -1). ``cell`` and ``back`` are the edge's cells with the ring and against it (-1
    where it does not bear), ``number`` its own index.
    """

    x: Reals
    y: Reals
    tx: Reals
    ty: Reals
    nx: Reals
    ny: Reals
    length: Reals
    far: Reals
    twice: Reals
    lift: Reals
    below: Flags
    haul: Reals
    down: Reals
    ends: Whole
    cell: Whole
    back: Whole
    bears: Flags
    number: Whole


def _listed(columns: Sides | Cells) -> Any:
    return SimpleNamespace(**{name: column.tolist() for name, column in vars(columns).items()})


def edge_of(
    region: shapely.Geometry,
    room: shapely.Polygon,
    radius: float,
    gravity: Point,
    contact: Contact,
    zones: Zones = (),
) -> Outline:
    """The edge of any region, made ready; see ``edges.edges_of``."""
    edges = edges_of(region, room, radius, gravity, zones)
    return Outline(**vars(edges), cells=cells_of(edges, contact))


def outline(leg: Leg, diameter: float, contact: Contact, zones: Zones | None = None) -> Outline:
    """The edge of a leg's centre region for a ball; the ways out are ``zones``, or the leg's sinks."""
    ways = tuple((z.name, z.shape) for z in leg.sinks) if zones is None else tuple(zones)
    return _outline(_Figure(leg, ways), diameter, contact)


class _Figure:
    """A leg and its ways out, compared by what the ball meets and not by where the plane stands."""

    def __init__(self, leg: Leg, ways: tuple[tuple[str, shapely.Polygon], ...]) -> None:
        self.leg, self.ways = leg, ways
        self._key = (leg.id, leg.room, leg.solids, leg.pull, leg.pull_share, leg.rail_height, ways)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Figure) and self._key == other._key

    def __hash__(self) -> int:
        return hash((self.leg.figure_hash, self.ways))


@lru_cache(maxsize=64)
def _outline(figure: _Figure, diameter: float, contact: Contact) -> Outline:
    leg = figure.leg
    pull = GRAVITY * leg.pull_share
    gravity = (leg.pull[0] * pull, leg.pull[1] * pull)
    return edge_of(centre_region(leg, diameter), leg.room, diameter / 2, gravity, contact, figure.ways)

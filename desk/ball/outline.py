"""A leg made ready for motion: the edge of its centre region with its chains, remembered by what the ball meets."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import shapely

from desk.ball.chains import Cells, cells_of
from desk.ball.contact import Contact
from desk.ball.edges import GRAVITY, Edges, Zones, edges_of
from desk.ball.rests import centre_region
from desk.cabinet.model import Leg
from desk.shapes.loop import Point


@dataclass(frozen=True, eq=False)
class Outline(Edges):
    """Edges with their chains."""

    cells: Cells


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

"""Resting places of a ball on one leg of its route, and whether it gets through at all.

A ball is a point here: its centre, kept a radius away from all wood, moving in what is left of the leg's
room. It settles in a corner of that region's lower edge, or on a piece of the edge too level to start rolling
from. How well it is held is told by the climb the centre would need before it can go lower, reach a sink or
leave the room. Lengths in mm; heights count against the pull.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import Leg, Zone
from desk.shapes.loop import Point
from desk.shapes.offset import grown

_T = TypeVar("_T", np.float64, np.bool_)

LEVEL = 1e-6
"""Heights closer than this, mm, are level."""
BORDER = 1e-4
"""A point this close to the room's border, mm, is at a way out."""
FLAT_SHARE = 0.06
"""A stretch too flat to roll on holds a ball when it is longer than this share of the diameter."""
CREST_SHARE = 0.25
"""The same on a crest, where the least nudge sends the ball off to one side."""
RAIL = "board"
"""Solids of this part are rails on the face: a ball over them is met at the rail's height."""


@dataclass(frozen=True)
class Rest:
    """One resting place: the ball's centre, how far it must rise to get away (inf: never), and the meant zone or ""."""

    leg: str
    at: Point
    escape: float
    kind: Literal["notch", "flat"]
    meant: str


def contact_radius(radius: float, rail_height: float) -> float:
    """How near a ball's centre comes, in plan, to a rail of this height on the floor it rolls on.

    A rail lower than the radius meets the ball below its equator, on a circle of half-chord sqrt(2 r h - h²).
    """
    if rail_height >= radius:
        return radius
    return math.sqrt(max(2 * radius * rail_height - rail_height**2, 0.0))


def centre_region(leg: Leg, diameter: float) -> shapely.Geometry:
    """Where the centre of a ball of this diameter can be on the leg."""
    radius = diameter / 2
    reach = radius if leg.rail_height is None else contact_radius(radius, leg.rail_height)
    rails = [s.shape for s in leg.solids if s.part == RAIL] if leg.rail_height is not None else []
    full = [s.shape for s in leg.solids if leg.rail_height is None or s.part != RAIL]
    x0, y0, x1, y1 = leg.room.bounds
    keep = (x0 - diameter, y0 - diameter, x1 + diameter, y1 + diameter)
    grown_solids = [_grown(shape, radius, keep) for shape in full] + [
        _grown(shape, reach, keep) for shape in rails
    ]
    return leg.room.difference(shapely.union_all(grown_solids))


@lru_cache(maxsize=2048)
def _grown(shape: shapely.Geometry, by: float, keep: tuple[float, float, float, float]) -> shapely.Geometry:
    """A solid grown by the ball; what lies outside the bounds ``keep`` cannot matter and is cut away first."""
    x0, y0, x1, y1 = shape.bounds
    if x0 < keep[0] or y0 < keep[1] or x1 > keep[2] or y1 > keep[3]:
        shape = shapely.clip_by_rect(shape, *keep)
    return grown(shape, by)


def pieces(region: shapely.Geometry) -> list[shapely.Polygon]:
    """The connected pieces of a region."""
    parts = getattr(region, "geoms", [region])
    return [p for p in parts if isinstance(p, shapely.Polygon) and not p.is_empty]


def reachable(leg: Leg, region: shapely.Geometry) -> list[shapely.Polygon]:
    """The pieces of the centre region that a source of the leg opens into."""
    return [p for p in pieces(region) if any(p.intersects(z.shape) for z in leg.sources)]


def blocked(leg: Leg, region: shapely.Geometry) -> tuple[Zone, ...]:
    """Sources from which no sink, or where the leg has none no meant rest, can be reached in the centre region."""
    ends = leg.sinks or leg.rests
    open_to = [p for p in pieces(region) if any(p.intersects(z.shape) for z in ends)]
    return tuple(z for z in leg.sources if not any(p.intersects(z.shape) for p in open_to))


def resting_places(
    leg: Leg, region: shapely.Geometry, diameter: float, least_slope: float
) -> tuple[Rest, ...]:
    """Every place where a ball's centre comes to rest, lowest first.

    ``region`` is the leg's centre region for this diameter, ``least_slope`` the tangent of the flattest slope that
    still rolls. Rests inside a sink are not rests.
    """
    found: list[Rest] = []
    for piece in reachable(leg, region):
        for ring in _rings(piece):
            found.extend(_ring_rests(leg, ring, diameter, least_slope))
    return tuple(sorted(found, key=lambda r: _height(leg, r.at)))


@dataclass(frozen=True)
class Survey:
    """What one diameter finds on one leg: where its centre can be, its rests, and the sources it cannot leave."""

    region: shapely.Geometry
    rests: tuple[Rest, ...]
    blocked: tuple[Zone, ...]


def survey(leg: Leg, diameter: float, least_slope: float) -> Survey:
    """Region, rests and blocks of a leg in one go, remembered by the leg's figure wherever in space it stands."""
    return _survey(_Figure(leg), diameter, least_slope)


class _Figure:
    """A leg compared by what its ball meets and not by where its plane stands."""

    def __init__(self, leg: Leg) -> None:
        self.leg = leg
        self._key = (
            leg.id,
            leg.room,
            leg.solids,
            leg.pull,
            leg.sources,
            leg.sinks,
            leg.rests,
            leg.rail_height,
        )

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Figure) and (self.leg is other.leg or self._key == other._key)

    def __hash__(self) -> int:
        return self.leg.figure_hash


@lru_cache(maxsize=256)
def _survey(figure: _Figure, diameter: float, least_slope: float) -> Survey:
    leg = figure.leg
    region = centre_region(leg, diameter)
    return Survey(region, resting_places(leg, region, diameter, least_slope), blocked(leg, region))


def _height(leg: Leg, p: Point) -> float:
    return -(p[0] * leg.pull[0] + p[1] * leg.pull[1])


def _rings(piece: shapely.Polygon) -> Iterator[NDArray[np.float64]]:
    """Rings without the repeated last point, the region on the left hand."""
    for ring, ccw in ((piece.exterior, True), *((r, False) for r in piece.interiors)):
        coords = shapely.get_coordinates(ring)[:-1]
        yield coords if shapely.is_ccw(ring) == ccw else coords[::-1]


def _ring_rests(leg: Leg, ring: NDArray[np.float64], diameter: float, least_slope: float) -> Iterator[Rest]:
    px, py = leg.pull
    height = -(ring @ (px, py))
    along = ring @ (-py, px)  # to the right hand when the pull is down
    candidates = list(_candidates(height, along, diameter, least_slope))
    if not candidates:
        return
    out = _ways_out(leg, ring)
    for at, kind in candidates:
        if out[at]:
            continue
        point = (float(ring[at, 0]), float(ring[at, 1]))
        meant = next((z.name for z in leg.rests if shapely.contains_xy(z.shape, *point)), "")
        yield Rest(leg.id, point, _escape(height, out, at), kind, meant)


def _ways_out(leg: Leg, ring: NDArray[np.float64]) -> NDArray[np.bool_]:
    out = _on_border(leg.room, ring)
    for sink in leg.sinks:
        out |= shapely.contains_xy(sink.shape, ring[:, 0], ring[:, 1])
    return out


def _on_border(room: shapely.Polygon, points: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which of the points (n, 2) lie on the room's outer border, within ``BORDER``."""
    corners = shapely.get_coordinates(room.exterior)
    start, run = corners[:-1], np.diff(corners, axis=0)
    away = points[:, None, :] - start[None, :, :]
    share = np.clip((away * run).sum(axis=2) / np.maximum((run * run).sum(axis=1), LEVEL), 0.0, 1.0)
    gap = away - share[:, :, None] * run
    near: NDArray[np.bool_] = ((gap * gap).sum(axis=2) < BORDER * BORDER).any(axis=1)
    return near


def _rolled(values: NDArray[_T], by: int) -> NDArray[_T]:
    """The cyclic array shifted to higher indices; several times as fast as numpy's roll on arrays this short."""
    by %= len(values)
    return np.concatenate((values[-by:], values[:-by])) if by else values


def _candidates(
    height: NDArray[np.float64], along: NDArray[np.float64], diameter: float, least_slope: float
) -> Iterator[tuple[int, Literal["notch", "flat"]]]:
    """Indices of notches, then of the low ends of flat stretches that hold no notch."""
    rise = _rolled(height, -1) - height
    run = _rolled(along, -1) - along
    before, after = _rolled(rise, 1), rise
    supported = _rolled(run, 1) * after > before * run  # a left turn: a wall may lean over the wood below
    notch = (
        (before < -LEVEL)
        & (after >= -LEVEL)
        & supported
        & ~((after <= LEVEL) & (_rolled(after, -1) < -LEVEL))
    )
    notches = np.nonzero(notch)[0]
    yield from ((int(k), "notch") for k in notches)
    level = (run > 0) & (np.abs(rise) <= least_slope * run)
    n = len(height)
    for first, count in _runs(level):
        length = float(sum(run[(first + k) % n] for k in range(count)))
        members = {(first + k) % n for k in range(count + 1)}
        last = (first + count) % n
        crest = height[first - 1] < height[first] and height[(last + 1) % n] < height[last]
        if length >= diameter * (CREST_SHARE if crest else FLAT_SHARE) and not members.intersection(
            int(k) for k in notches
        ):
            yield min(members, key=lambda k: float(height[k])), "flat"


def _runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Cyclic runs of True as (first index, count)."""
    n = len(mask)
    if mask.all():
        return [(0, n)]
    starts = np.nonzero(mask & ~_rolled(mask, 1))[0]
    out = []
    for s in starts:
        k = 0
        while mask[(s + k) % n]:
            k += 1
        out.append((int(s), k))
    return out


def _escape(height: NDArray[np.float64], out: NDArray[np.bool_], at: int) -> float:
    """How far the centre must rise along the border, either way, before it is lower than here or out."""
    low = height[at] - LEVEL * 10
    return min(
        _climb(_rolled(height, -at), _rolled(out, -at), low),
        _climb(_rolled(height[::-1], at + 1), _rolled(out[::-1], at + 1), low),
    ) - float(height[at])


def _climb(height: NDArray[np.float64], out: NDArray[np.bool_], low: float) -> float:
    """Highest point on the way from index 0 to the first index that is lower than ``low`` or out; inf if none is."""
    ends = np.nonzero((height < low) | out)[0]
    ends = ends[ends > 0]
    return float(height[: ends[0] + 1].max()) if len(ends) else math.inf

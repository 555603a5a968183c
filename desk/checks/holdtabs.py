"""Where a part can be held to its sheet while its outline is cut: by holding tabs on straight edges.

A tab's stub is pared off afterwards, so it does not belong on curves, on edges that mate with another part or carry a
joint's tabs, or on edges that a ball rolls along. Which edges mate is read in space, just outside of each edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import Cabinet, Leg, Part
from desk.checks.context import Context, patch, spot
from desk.checks.home import home
from desk.checks.registry import Draft, Rating, Sieve, Told, check, rate
from desk.shapes.frame import dot
from desk.shapes.loop import Loop, Point

BESIDE = 0.15
"""An edge mates with what is nearer to it than this, mm: a tab's stub, pared flush by hand, stands out less."""
STEP = 6.0
"""Edges are looked at every this many mm."""
RISES = 0.2
"""A ball rolls along an edge whose outward normal has at least this share against the pull."""
Reals = NDArray[np.float64]


class Runs(NamedTuple):
    """Points every few mm along the straight edges of an outline: where they are, the outward normal there, and which
    edge each belongs to; the edges' lengths.
    """

    at: Reals
    out: Reals
    edge: NDArray[np.int_]
    lengths: Reals


class Stretch(NamedTuple):
    """A free stretch of a straight edge, in the part's coordinates."""

    start: Point
    end: Point
    length: float


@lru_cache(maxsize=1024)
def _runs(outline: Loop, least: float) -> Runs:
    """Points along the straight edges at least ``least`` long; the outline runs counter-clockwise."""
    at, out, edge = [], [], []
    lengths: list[float] = []
    for (x0, y0, bulge), (x1, y1, _) in outline.edges():
        length = float(np.hypot(x1 - x0, y1 - y0))
        if bulge or length < least:
            continue
        count = int(length // STEP) + 2
        share = (np.arange(count) + 0.5) / count
        at.append(np.stack((x0 + share * (x1 - x0), y0 + share * (y1 - y0)), axis=1))
        out.append(np.tile(((y1 - y0) / length, (x0 - x1) / length), (count, 1)))
        edge.append(np.full(count, len(lengths)))
        lengths.append(length)
    if not lengths:
        return Runs(np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0, dtype=int), np.zeros(0))
    return Runs(np.concatenate(at), np.concatenate(out), np.concatenate(edge), np.array(lengths))


@check(48, "holding-tabs", "Cutting", "Room for holding tabs", "There is nothing to cut.")
def holding_tabs(ctx: Context) -> Iterator[Draft]:
    """How many tabs find a place on each part's outline, and whether the part is wide enough to be held by them."""
    need, small = ctx.need("holding_tabs"), ctx.need("holding_small")
    room = ctx.need("holding_tab_width").value + ctx.profile_bit.diameter
    pitch = ctx.need("holding_pitch").value
    sieve = Sieve()
    if not ctx.cabinet.parts:
        return
    stretches = free_stretches(ctx.cabinet, room)
    for part in ctx.cabinet.parts:
        free = stretches[part.id]
        count = float(sum(1 + int((s.length - room) // pitch) for s in free))
        if sieve.wants(count - need.value, need.tight):
            rating = rate(need, count)
            tell = partial(_tell, ctx, part, free, room, rating)
            like = (home(part)[0].outline, part.stock, count)
            yield Draft(f"{part.id}/tabs", (part.id,), rating, tell, like)
        width = narrow_side(home(part)[0].outline)
        if width < small.clear:
            rating = rate(small, width)
            tell = partial(_tell_small, part, rating)
            yield Draft(f"{part.id}/small", (part.id,), rating, tell, (home(part)[0].outline, part.stock))


@lru_cache(maxsize=1024)
def narrow_side(outline: Loop) -> float:
    """The shorter side of the smallest rectangle, turned as it may be, round an outline, mm."""
    ring = shapely.get_coordinates(shapely.minimum_rotated_rectangle(outline.polygon))
    if len(ring) < 4:
        return 0.0
    return float(min(np.hypot(*(ring[1] - ring[0])), np.hypot(*(ring[2] - ring[1]))))


def free_stretches(cabinet: Cabinet, least: float) -> dict[str, tuple[Stretch, ...]]:
    """By part the stretches of its straight edges, ``least`` mm or longer, that mate with nothing and that no ball
    rolls along.
    """
    parts = cabinet.parts
    runs = [_runs(part.outline, least) for part in parts]
    owner = np.repeat(np.arange(len(parts)), [len(r.at) for r in runs])
    world = np.concatenate([_outside(part, r) for part, r in zip(parts, runs, strict=True)])
    taken = np.zeros(len(world), dtype=bool)
    for number, other in enumerate(parts):
        _mark_inside(other, world, taken, owner != number)
    found, start = {}, 0
    for part, run in zip(parts, runs, strict=True):
        own = taken[start : start + len(run.at)]
        for leg in cabinet.legs if len(own) else ():
            if any(s.part == part.id for s in leg.solids) and _flat_in(leg, part):
                own |= _rolled_on(cabinet, leg, part, run)
        found[part.id] = tuple(_stretches(run, own, least))
        start += len(run.at)
    return found


def _outside(part: Part, runs: Runs) -> Reals:
    """World points just outside of the edges, at half the thickness."""
    frame = part.frame
    flat = runs.at + BESIDE * runs.out
    u, v, n = np.array(frame.u), np.array(frame.v), np.array(frame.normal)
    world: Reals = np.array(frame.origin) + flat[:, :1] * u + flat[:, 1:] * v - part.thickness / 2 * n
    return world


def _mark_inside(other: Part, world: Reals, taken: NDArray[np.bool_], may: NDArray[np.bool_]) -> None:
    """Mark the world points, of those that may be, that lie in another part's wood."""
    low, high = other.extent
    may = may & ~taken
    for axis in range(3):
        may &= (world[:, axis] > low[axis] - 1e-6) & (world[:, axis] < high[axis] + 1e-6)
    near = np.nonzero(may)[0]
    if not len(near):
        return
    frame = other.frame
    local = world[near] - np.array(frame.origin)
    deep = -(local @ np.array(frame.normal))
    inside = shapely.contains_xy(other.polygon, local @ np.array(frame.u), local @ np.array(frame.v))
    taken[near] |= inside & (deep > -1e-6) & (deep < other.thickness + 1e-6)


def _flat_in(leg: Leg, part: Part) -> bool:
    """Whether a leg's plane is parallel to a part's faces."""
    return abs(dot(leg.frame.normal, part.frame.normal)) > 1 - 1e-6


def _rolled_on(cabinet: Cabinet, leg: Leg, part: Part, runs: Runs) -> NDArray[np.bool_]:
    """Where a ball can stand on the part's edge in a leg of its way."""
    frame, plane = part.frame, leg.frame
    turn = np.array([[dot(a, b) for b in (plane.u, plane.v)] for a in (frame.u, frame.v)])
    start = np.array(plane.local(frame.origin)[:2])
    out = runs.out @ turn
    centre = start + runs.at @ turn + cabinet.balls.smallest / 2 * out
    against = -(out @ np.array(leg.pull)) > RISES
    there = against & shapely.contains_xy(leg.room, centre[:, 0], centre[:, 1])
    for solid in leg.solids:
        if there.any():
            there &= ~shapely.contains_xy(solid.shape, centre[:, 0], centre[:, 1])
    marked: NDArray[np.bool_] = there
    return marked


def _stretches(runs: Runs, taken: NDArray[np.bool_], least: float) -> Iterator[Stretch]:
    """The runs of free points, as far as half a step past their ends."""
    first = 0
    for length, count in zip(runs.lengths.tolist(), np.bincount(runs.edge).tolist(), strict=True):
        rows = slice(first, first + count)
        for start, end in _free_runs(taken[rows].tolist()):
            size = (end - start) * length / count
            if size >= least - 1e-6:
                along = np.array((-runs.out[first, 1], runs.out[first, 0]))
                a = runs.at[first + start] - along * (length / count / 2)
                b = a + along * size
                yield Stretch((float(a[0]), float(a[1])), (float(b[0]), float(b[1])), float(size))
        first += count


def _free_runs(taken: list[bool]) -> Iterator[tuple[int, int]]:
    """Start and end of each run of free points."""
    start = None
    for k, is_taken in enumerate([*taken, True]):
        if is_taken and start is not None:
            yield start, k
            start = None
        elif not is_taken and start is None:
            start = k


def _tell(ctx: Context, part: Part, free: tuple[Stretch, ...], room: float, rating: Rating) -> Told:
    width, bit = ctx.need("holding_tab_width").value, ctx.profile_bit.diameter
    lengths = " + ".join(f"{s.length:.0f}" for s in sorted(free, key=lambda s: -s.length)[:4]) or "none"
    because = (
        f"straight edges that mate with nothing: {lengths} mm; a tab {width:.0f} and the bit {bit:.2f} take {room:.1f} "
        f"mm, one every {ctx.need('holding_pitch').value:.0f}: {rating.measured:.0f} tabs; three wanted, needed "
        f"{rating.needed:.0f}"
    )
    if rating.status == "conflict":
        because += ". Hold it by double-sided tape or by screws through its waste instead"
    places = tuple(spot(part, s.start, s.end) for s in free[:5]) or (patch(part, part.outline),)
    remedies = (ctx.remedy(ctx.bit_address(ctx.profile_bit, "diameter"), 0.0, "Use a thinner bit"),)
    return Told(f"Holding tabs of {part.label}", because, places, remedies)


def _tell_small(part: Part, rating: Rating) -> Told:
    because = (
        f"{rating.measured:.1f} mm wide at its narrower side; needed {rating.needed:.1f}. Cut it from a larger blank "
        "that is taped or screwed down, or by hand"
    )
    return Told(f"{part.label} is small to be held", because, (patch(part, part.outline),))

"""What comes off by screws to reach a ball stuck anywhere on its way.

Along each leg places are taken on the rim of where the ball's centre can be. A place is open when the ball can be drawn
out of the cabinet from there in one straight line, past all that is still on. What is glued stays; a leg with places
that never come open is a conflict, unless a thin straight stick gets at them from outside.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely

from desk.assembly.opening import Opening, Removal, opening_of
from desk.assembly.order import turned
from desk.assembly.solids import AskewError, Solids, solids
from desk.assembly.taking import PREFERRED
from desk.assembly.wayout import Places, Points, in_wood, set_between
from desk.ball.rests import reachable
from desk.cabinet.model import Leg, Status
from desk.checks.context import Context, listed
from desk.checks.finding import Place
from desk.checks.legs import surveys
from desk.checks.order import FAMILY, drivers, governs, readable
from desk.checks.registry import Draft, Rating, Told, check
from desk.shapes.frame import Vec, add

PLACES = 16
"""So many places are taken along each leg."""
TOWARDS: dict[Vec, str] = {
    (1, 0, 0): "to the back",
    (-1, 0, 0): "to the front",
    (0, 1, 0): "to the right",
    (0, -1, 0): "to the left",
    (0, 0, 1): "upwards",
    (0, 0, -1): "downwards",
}
FAN = 48
"""So many directions in a leg's plane are tried for a straight stick."""
ROUND = 12
"""So many directions are tried to move a ball clear of a corner."""
TOUCH = 1e-3
"""A move along the rim of where the centre can be counts as inside it."""
DENT = 0.5
"""A place where the ball would stand deeper in a part than this, mm, is none."""
_ALIGNED = 1 - 1e-6
NOTHING = "The ball's way has no legs in this cabinet."


@dataclass(frozen=True)
class Reach:
    """How a leg is got at: what is taken off, and which places stay shut, or open to a stick alone."""

    leg: Leg
    off: tuple[Removal, ...]
    shut: tuple[int, ...]
    poked: tuple[int, ...]
    spots: Points


@check(37, "jam-access", FAMILY, "Reaching a stuck ball", NOTHING)
def jam_access(ctx: Context) -> Iterator[Draft]:
    """Every place of every leg comes open by undoing screws."""
    if not ctx.cabinet.legs:
        return
    try:
        made = solids(ctx.cabinet.parts, ctx.cabinet.axis_joints)
        opening = opening_of(ctx.cabinet, drivers(ctx.need))
    except AskewError as error:
        raise readable(error) from None
    found = [_reach(ctx, made, opening, leg) for leg in ctx.cabinet.legs]
    yield _all_open(ctx, found)
    for reach in found:
        if reach.shut or reach.poked:
            yield _shut(ctx, opening, reach)


def _reach(ctx: Context, made: Solids, opening: Opening, leg: Leg) -> Reach:
    """The least that has to come off for the whole leg to be open, of what can come off."""
    radius = ctx.cabinet.balls.largest / 2
    spots, world = _spots(ctx, made, leg, radius)
    places, ways = Places(made, world, radius), PREFERRED
    if leg.rail_height is not None:
        ways = (leg.frame.normal, *PREFERRED)
    best: tuple[tuple[Removal, ...], tuple[int, ...]] | None = None
    for off in _states(opening):
        gone = [key for removal in off for key in removal.parts]
        shut = places.shut(ways, gone)
        if best is None or len(shut) < len(best[1]):
            best = off, shut
        if not shut:
            return Reach(leg, off, (), (), spots)
    off, shut = best or ((), ())
    gone = [key for removal in off for key in removal.parts]
    slant = _slant(ctx, leg)
    shut = tuple(k for k in shut if k in places.shut(slant, gone))
    shut = _dodged(ctx, made, leg, spots, shut, ((*ways, *slant), gone)) if shut else ()
    poked = _poked(made, leg, world, shut, gone, ctx.need("stick").value) if shut else ()
    return Reach(leg, off, tuple(k for k in shut if k not in poked), poked, spots)


def _dodged(
    ctx: Context,
    made: Solids,
    leg: Leg,
    spots: Points,
    shut: tuple[int, ...],
    out: tuple[tuple[Vec, ...], list[str]],
) -> tuple[int, ...]:
    """The places that stay shut when the ball is first moved by no more than its radius, clear of what it touches."""
    radius, region = ctx.cabinet.balls.largest / 2, surveys(ctx, leg)[0][2].region
    turn = np.arange(ROUND) * (2 * np.pi / ROUND)
    moves = radius * np.concatenate([s * np.stack((np.cos(turn), np.sin(turn)), 1) for s in (0.5, 1.0)])
    start = np.repeat(spots[list(shut)], len(moves), axis=0)
    end = start + np.tile(moves, (len(shut), 1))
    lines = shapely.linestrings(np.stack((start, end), axis=1))
    free = np.nonzero(shapely.covers(shapely.buffer(region, TOUCH), lines))[0]
    if not len(free):
        return shut
    moved = Places(made, _centres(made, leg, end[free], radius), radius)
    stuck = set(moved.shut(*out))
    got_out = {int(k) // len(moves) for n, k in enumerate(free) if n not in stuck}
    return tuple(k for n, k in enumerate(shut) if n not in got_out)


def _slant(ctx: Context, leg: Leg) -> tuple[Vec, ...]:
    """The directions along and off the plates that lie aslant in the leg."""
    frames = [ctx.cabinet.by_id[s.part].frame for s in leg.solids if s.part in ctx.cabinet.by_id]
    tilted = [w for f in frames for w in (f.v, f.normal) if max(map(abs, w)) < _ALIGNED]
    return tuple(dict.fromkeys(w for way in tilted for w in (way, turned(way))))


def _states(opening: Opening) -> Iterator[tuple[Removal, ...]]:
    """What can be off: nothing, one thing alone, all of a level and one more, and so on."""
    yield ()
    before: tuple[Removal, ...] = ()
    for level in opening.levels:
        for removal in level:
            yield (*before, removal)
        before = (*before, *level)
        yield before


def _spots(ctx: Context, made: Solids, leg: Leg, radius: float) -> tuple[Points, Points]:
    """Places of the largest ball's centre along the rim of where it can be: in the leg's plane, and in the world.

    Those where it has left the leg already, or where a part that the leg does not know is in its place, are left out.
    """
    region = surveys(ctx, leg)[0][2].region
    rims = [piece.exterior for piece in reachable(leg, region)] or [z.shape.exterior for z in leg.sources]
    whole = sum(rim.length for rim in rims)
    counts = [max(1, round(PLACES * rim.length / whole)) for rim in rims]
    lines = [
        shapely.line_interpolate_point(rim, np.arange(n) / n, normalized=True)
        for rim, n in zip(rims, counts, strict=True)
    ]
    points = np.concatenate(lines)
    left = shapely.intersects(shapely.union_all([z.shape for z in leg.sinks]), points)
    spots = shapely.get_coordinates(points if left.all() else points[~left])
    world = _centres(made, leg, spots, radius)
    none = in_wood(made, world, radius - DENT)
    return (spots, world) if none.all() else (spots[~none], world[~none])


def _centres(made: Solids, leg: Leg, spots: Points, radius: float) -> Points:
    """The ball's centre in the world: on a face it lies a radius above the plane, in a section between the walls."""
    lift = radius if leg.rail_height is not None else 0.0
    world = np.array([add(leg.frame.world(x, y), leg.frame.normal, lift) for x, y in spots.tolist()])
    if abs(leg.frame.normal[made.axis]) > _ALIGNED:
        return set_between(made, world, radius)
    return world


def _poked(
    made: Solids, leg: Leg, world: Points, shut: Sequence[int], gone: list[str], thick: float
) -> tuple[int, ...]:
    """Places a straight stick gets at from outside: along an axis, past open places or fanwise in the leg's plane."""
    stick = Places(made, world[list(shut)], thick / 2)
    left = set(stick.shut(PREFERRED, gone))
    if abs(leg.frame.normal[made.axis]) > _ALIGNED and left:
        turn = np.arange(FAN) * (2 * np.pi / FAN)
        fan = np.outer(np.cos(turn), leg.frame.u) + np.outer(np.sin(turn), leg.frame.v)
        left &= set(stick.shut(map(_vec, fan), gone))
        open_to = world[[k for k in range(len(world)) if k not in shut]]
        for n in sorted(left):
            past = (open_to - stick.points[n]) * made.across
            length = np.linalg.norm(past, axis=1)
            ways = past[length > 1] / length[length > 1, None]
            if not Places(made, stick.points[n : n + 1], thick / 2).shut(map(_vec, ways), gone):
                left.discard(n)
    return tuple(k for n, k in enumerate(shut) if n not in left)


def _vec(row: Points) -> Vec:
    return float(row[0]), float(row[1]), float(row[2])


def _said(ctx: Context, off: Sequence[Removal]) -> str:
    """What to take off, in words."""
    if not off:
        return "open as it stands"
    names = ctx.cabinet.by_id
    steps = []
    for removal in off:
        screws = f", {len(removal.screws)} screws, {removal.tool}" if removal.screws else ""
        way = TOWARDS.get(removal.direction, "")
        steps.append(f"{listed(names[key].label for key in removal.parts)} off {way}{screws}")
    return "; then ".join(steps)


def _all_open(ctx: Context, found: Sequence[Reach]) -> Draft:
    """How every leg is reached, in one finding."""
    need = ctx.need("way_open_again")
    rating = Rating("clear", 1.0, need.value, 0.0, need.unit, need.source)

    def tell() -> Told:
        ways: dict[str, list[str]] = {}
        for reach in found:
            ways.setdefault(_said(ctx, reach.off), []).append(reach.leg.label)
        because = ". ".join(f"{', '.join(legs)}: {said}" for said, legs in ways.items())
        places = tuple(_rim(reach, range(len(reach.spots))) for reach in found if reach.off)
        return Told("Reaching a stuck ball", because, places)

    parts = tuple(dict.fromkeys(key for reach in found for r in reach.off for key in r.parts))
    return Draft("all", parts, rating, tell)


def _rim(reach: Reach, which: Sequence[int]) -> Place:
    points = tuple((float(x), float(y)) for x, y in reach.spots[list(which)])
    return Place(reach.leg.frame, "point" if len(points) == 1 else "line", points)


def _shut(ctx: Context, opening: Opening, reach: Reach) -> Draft:
    """A leg with places that do not come open, or to a stick alone."""
    need, count = ctx.need("way_open_again"), len(reach.spots)
    status: Status = "conflict" if reach.shut else "tight"
    share = (count - len(reach.shut)) / count
    rating = Rating(status, share, need.value, share - need.value, need.unit, need.source)
    closing = _closing(opening, reach)
    return Draft(reach.leg.id, closing, rating, partial(_tell_shut, ctx, reach, closing))


def _closing(opening: Opening, reach: Reach) -> tuple[str, ...]:
    """The leg's own parts that stay."""
    own = dict.fromkeys(s.part for s in reach.leg.solids)
    return tuple(key for key in own if key in opening.fixed) or tuple(own)


def _tell_shut(ctx: Context, reach: Reach, closing: tuple[str, ...]) -> Told:
    names, count = ctx.cabinet.by_id, len(reach.spots)
    which = reach.shut or reach.poked
    most = "nothing comes off that would help" if not reach.off else _said(ctx, reach.off)
    glued = listed(names[key].label for key in closing)
    because = f"{most}: {count - len(reach.shut) - len(reach.poked)} of {count} places of the ball open; "
    if reach.shut:
        because += f"the others stay behind {glued}, which nothing undoes"
        title = f"{reach.leg.label}: a stuck ball stays shut in"
    else:
        because += f"the others can only be poked with a stick, {ctx.need('stick').value:g} mm thick"
        title = f"{reach.leg.label}: only a stick reaches a stuck ball"
    remedies = governs(ctx, closing, "Let this part come off by screws, or make an opening beside it")
    return Told(title, because, (_rim(reach, which),), remedies)

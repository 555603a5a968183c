"""The board face: holes that pass the ball, gaps that pass it or cannot hold it, and places where it would stay.

Gaps and their seats are found by ``facegaps``, what ends a trap by ``untrap``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial

import shapely

from desk.ball.rests import RAIL
from desk.cabinet.ascut import opening_as_cut
from desk.cabinet.model import Cutout, Leg, Part
from desk.checks.context import Context, patch
from desk.checks.facegaps import HOLE, Gap, gaps, name_of, target_at
from desk.checks.finding import Place, Remedy
from desk.checks.legs import FAMILY, balls_of, rated, trap_drafts
from desk.checks.registry import Draft, Rating, Sieve, Told, check, rate
from desk.checks.untrap import mends


@check(1, "hole-passes", FAMILY, "Holes pass the ball", "The board has no target hole.")
def hole_passes(ctx: Context) -> Iterator[Draft]:
    """The narrowest of each hole, as cut and with film on its wall, against the largest ball."""
    board, sieve, need = ctx.cabinet.by_id["board"], Sieve(), ctx.need("passage")
    for cutout in board.cutouts:
        if not cutout.use.startswith(HOLE):
            continue
        width = hole_width(cutout, ctx.profile_bit.diameter / 2)
        spare = width - 2 * ctx.cabinet.shop.film - ctx.cabinet.balls.largest
        if sieve.wants(spare - need.value, need.tight):
            rating = rate(need, spare)
            tell = partial(_tell_hole, ctx, board, cutout, width, rating)
            yield Draft(cutout.use, ("board",), rating, tell)


@lru_cache(maxsize=256)
def hole_width(cutout: Cutout, radius: float) -> float:
    """Diameter of the largest circle in an opening cut with a bit of ``radius``; 0 where it is not cut."""
    cut = opening_as_cut(cutout.loop, radius)
    if cut.is_empty:
        return 0.0
    if len(cutout.loop.points) == 2:
        x0, y0, x1, y1 = cutout.loop.bounds
        return min(x1 - x0, y1 - y0)
    return 2 * float(shapely.length(shapely.maximum_inscribed_circle(cut, tolerance=1e-3)))


def _tell_hole(ctx: Context, board: Part, cutout: Cutout, width: float, rating: Rating) -> Told:
    film, largest = ctx.cabinet.shop.film, ctx.cabinet.balls.largest
    because = (
        f"{width:.2f} - 2 x {film:.3f} film - {largest:.2f} ball = {rating.measured:.2f} mm; "
        f"needed {rating.needed:.2f}"
    )
    number = cutout.use.removeprefix(HOLE)
    rim = [b.size for b in board.breaks if b.use.endswith(cutout.use)]
    if rim:
        because += f". The chamfer opens the rim to {width + 2 * rim[0]:.2f}"
    remedies = (
        ctx.remedy(f"targets.{number}.hole", rating.short, "Make the hole larger"),
        ctx.remedy("ball.diameter", -rating.short, "Use smaller balls"),
    )
    return Told(f"Ball through target hole {number}", because, (patch(board, cutout.loop),), remedies)


@check(2, "face-gaps", FAMILY, "Gaps on the board face", "Nothing on the face comes near to anything else.")
def face_gaps(ctx: Context) -> Iterator[Draft]:
    """Between rails, walls and header: the largest ball passes, or the smallest is not wedged.

    A wedge that holds even a smooth ball is a conflict, one that may hold a rough one is tight.
    """
    leg, balls = ctx.cabinet.leg_by_id["face"], ctx.cabinet.balls
    need, wedge = ctx.need("passage"), ctx.need("wedge")
    low, high = (math.degrees(math.atan(mu)) for mu in balls_of(ctx).friction)
    for gap in gaps(leg, balls.largest, balls.smallest):
        if gap.half_angle is None:
            rating = rate(need, gap.width - gap.needs[0])
        else:
            rating = rated(math.degrees(gap.half_angle), low, high - low + wedge.tight, "deg", wedge)
        names = tuple(name_of(leg, k) for k in (gap.first, gap.second))
        parts = tuple(dict.fromkeys(leg.solids[k].part for k in (gap.first, gap.second)))
        tell = partial(_tell_gap, ctx, leg, gap, names, rating)
        yield Draft(" to ".join(names), parts, rating, tell)


def _tell_gap(ctx: Context, leg: Leg, gap: Gap, names: tuple[str, ...], rating: Rating) -> Told:
    balls = ctx.cabinet.balls
    places = [Place(leg.frame, "line", gap.ends)]
    if gap.half_angle is None:
        because = (
            f"{gap.width:.2f} - {gap.needs[0]:.2f} where the {balls.largest:.2f} mm ball touches = "
            f"{gap.width - gap.needs[0]:.2f} mm; needed {ctx.need('passage').value:.2f}"
        )
    else:
        smooth, rough = balls_of(ctx).friction
        least, rough_at = (math.degrees(math.atan(mu)) for mu in (smooth, rough))
        because = (
            f"{gap.width:.2f} mm; the {balls.smallest:.2f} mm ball sits in it at a half angle of {rating.measured:.1f} "
            f"deg; needed atan({smooth:.2f}) = {least:.1f}, up to which even a smooth ball jams; tight to "
            f"{rough_at + ctx.need('wedge').tight:.1f}, as a rough one may jam up to atan({rough:.2f}) = {rough_at:.1f}"
        )
        if gap.at:
            places.append(Place(leg.frame, "point", (gap.at,)))
    remedies = list(_wider(ctx, leg, gap, names))
    if any(leg.solids[k].part != RAIL for k in (gap.first, gap.second)):
        remedies.append(ctx.remedy("lane.width", 0.0, "Make the lane wider"))
    return Told(f"Gap between {names[0]} and {names[1]}", because, tuple(places), tuple(remedies))


def _wider(ctx: Context, leg: Leg, gap: Gap, names: tuple[str, ...]) -> Iterator[Remedy]:
    """What each setting of the targets beside a gap does to it."""
    pair = (gap.first, gap.second)
    for k, beside in zip(pair, reversed(names), strict=True):
        number = target_at(leg, leg.solids[k].shape) if leg.solids[k].part == RAIL else ""
        if not number:
            continue
        upright = abs(gap.ends[0][0] - gap.ends[1][0]) < abs(gap.ends[0][1] - gap.ends[1][1])
        field = "up" if upright else "across"
        words = f"Move target {number} away from the {beside}"
        yield ctx.remedy(f"targets.{number}.{field}", 0.0, words)
        yield ctx.remedy(f"targets.{number}.rail", 0.0, f"Make the rail of target {number} smaller")


@check(3, "face-traps", FAMILY, "Traps on the board face")
def face_traps(ctx: Context) -> Iterator[Draft]:
    """No place on the face holds a ball but the holes and the gutter."""
    leg = ctx.cabinet.leg_by_id["face"]
    yield from trap_drafts(ctx, leg, partial(mends, ctx, leg))

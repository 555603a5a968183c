"""The lip holds the arriving ball and lets it go when it is lifted; the way is open on every leg."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.ball.course import CannotPlayError
from desk.ball.lift import TRAY, lifted, raised
from desk.ball.rests import Rest, Survey, pieces
from desk.cabinet.model import Leg
from desk.checks.context import Context
from desk.checks.finding import LetGo, Place, Remedy, Thrown
from desk.checks.legs import (
    FAMILY,
    NO_REST,
    Sized,
    ball_at,
    balls_of,
    floor_place,
    governing,
    rated,
    said,
    surveys,
    trap_drafts,
    unmet,
    waiting,
)
from desk.checks.mechanics import arrival_speed, hop_speed
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check, rate
from desk.checks.trial import SOME, Trial, tried
from desk.remember import whole
from desk.shapes.loop import Point

LATER = ("lane", "flight", "lift")
"""Legs that no other check of the way needs; within a drag step they are put off."""
CORNER = 1.0
"""So near to the ball's resting place, mm, the corner it lies in is looked for."""


@check(15, "lip", FAMILY, "Lip of the waiting place")
def lip(ctx: Context) -> Iterator[Draft]:
    """The lip holds a ball that comes as fast as balls do, and lets the ball go once it is lifted."""
    leg, made = ctx.cabinet.leg_by_id["channel"], _throws(ctx)
    need = ctx.need("lip_reserve")
    for k, found in enumerate(surveys(ctx, leg)):
        name, rest = found[0], waiting(ctx, leg, k)
        if rest is None:
            told = Told(
                "Waiting place",
                NO_REST,
                floor_place(leg),
                (ctx.remedy("return.lip_height", 0.0, "Raise the lip"),),
            )
            yield Draft(f"hold/{name}", ("lip-block-1",), unmet(need), partial(said, told), "no rest")
            continue
        yield _hold(ctx, leg, found, rest, made)
    if made is not None and len(made.behind):
        yield _hops(ctx, leg, made)
    if not ctx.hurried:
        yield from _lifted(ctx)


class Arrival(NamedTuple):
    """How fast a ball comes to the waiting place, m/s, and the run, mm, and slope, radians, the closed form has."""

    speed: float
    run: float
    angle: float
    thrown: float | None
    """The largest speed of the balls that motion brought back, m/s; None when it was not asked or brought none."""


def arrival(ctx: Context, leg: Leg, rest: Rest, made: Trial | None) -> Arrival:
    """How fast a ball comes to the waiting place: the larger of a closed form and of what throws came with.

    The catch ramp meets the channel at a right angle: what speed the ball has on it is spent against the side panel,
    and that of the step down against the floor. From rest at the far end it rolls down the channel with the middle of
    its material's resistance; the reserve asked for covers the least. ``made``: throws, None for the closed form alone.
    """
    points = ctx.cabinet.marks.points
    _, _, end, _ = leg.sources[0].shape.bounds
    angle = math.atan2(
        points["channel back"][2] - points["slot"][2], abs(points["channel back"][0] - points["slot"][0])
    )
    run = (end - ctx.cabinet.balls.diameter / 2 - rest.at[0]) / math.cos(angle)
    rolled = arrival_speed(0.0, run, angle, sum(balls_of(ctx).rolling) / 2)
    came = () if made is None or not len(made.behind) else (made.column("at_lip"), *made.returned("at_lip"))
    thrown = max((v for speeds in came for v in speeds[np.isfinite(speeds)].tolist()), default=None)
    return Arrival(max(rolled, thrown or 0.0), run, angle, thrown)


def turn_at(found: Survey, at: Point, near: float) -> float:
    """Angle by which the edge of a ball's centre region turns up at its resting place, radians.

    The sharpest corner within ``near`` mm of it; where there is none (the ball lies on the level) 0, at which least
    speed is lost.
    """
    sharpest = 0.0
    for piece in pieces(found.region):
        ring = piece.exterior.coords if shapely.is_ccw(piece.exterior) else piece.exterior.coords[::-1]
        corners = np.array(ring)[:-1]
        before = corners - np.roll(corners, 1, axis=0)
        after = np.roll(before, -1, axis=0)
        cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
        turns = np.arctan2(cross, (before * after).sum(axis=1))
        close = np.hypot(*(corners - at).T) <= near
        sharpest = max(sharpest, float(turns[close].max(initial=0.0)))
    return sharpest


def _throws(ctx: Context) -> Trial | None:
    """The throws that tell how fast balls come; None within a drag step and where nothing can be thrown."""
    if ctx.hurried:
        return None
    try:
        return tried(ctx)
    except CannotEvaluate:
        return None


def _hold(ctx: Context, leg: Leg, found: Sized, rest: Rest, made: Trial | None) -> Draft:
    need, (name, diameter, survey) = ctx.need("lip_reserve"), found
    came, turn = arrival(ctx, leg, rest, made), turn_at(survey, rest.at, CORNER)
    limit = hop_speed(rest.escape, turn)
    needed = need.value * came.speed
    if math.isfinite(limit):
        rating = rated(limit, needed, need.tight * came.speed, "m/s", need)
    else:
        rating = Rating("clear", None, needed, None, "m/s", need.source)
    rolls = f"{came.run:.0f} mm down {math.degrees(came.angle):.1f} deg"
    how = rolls if came.thrown is None else f"{rolls}; thrown balls came with up to {came.thrown:.2f} m/s"
    over = f"= {limit:.2f} m/s takes it over" if math.isfinite(limit) else "no speed takes it over"
    because = (
        f"the {name} ball: sqrt(10 g h / 7) / ((2 + 5 cos a) / 7) with h {rest.escape:.2f} mm, a "
        f"{math.degrees(turn):.0f} deg {over}, if it does not spring back at all; needed "
        f"{need.value:g} x {came.speed:.2f} m/s ({how})"
    )
    place = ball_at(leg, rest.at, diameter)
    told = Told("Lip against the arriving ball", because, (place,), _remedies(ctx))
    return Draft(f"hold/{name}", ("lip-block-1",), rating, partial(said, told), "hold")


def _remedies(ctx: Context) -> tuple[Remedy, ...]:
    return (
        ctx.remedy("return.lip_height", 0.0, "Raise the lip"),
        ctx.remedy("return.slope", 0.0, "Let the channel fall less steeply"),
        ctx.remedy("lifter.pin_x", 0.0, "Set the pin farther forward, so that the lip stands steeper"),
    )


def _hops(ctx: Context, leg: Leg, made: Trial) -> Draft:
    """Thrown balls that ran over the lip, with the restitution at its low end, in the middle and at its high end."""
    (low, _, high), (low_at, _, high_at) = made.returned("hopped"), made.returned("at")
    tried_on = (low, made.column("hopped")[made.behind], high)
    over, shares = [int(h.sum()) for h in tried_on], [float(h.mean()) for h in tried_on]
    rating = rate(ctx.need("lip_hops"), 100 * max(shares), upper=True)
    because = (
        f"over the lip run {over[0]} of {len(low)} thrown balls that spring back as little as their material may, "
        f"{over[1]} of {len(made.behind)} in the middle, {over[2]} of {len(high)} that do as much; "
        f"at most {rating.needed:g} % (one in {SOME} is followed with other springs)"
    )
    if not any(over):
        told = Told("Balls that run over the lip unasked", because, floor_place(leg), _remedies(ctx))
        return Draft("hops", ("lip-block-1",), rating._replace(margin=None), partial(said, told))
    worst = shares.index(max(shares))
    k = int(np.flatnonzero(tried_on[worst])[0])
    throw = int((made.behind if worst == 1 else made.behind[::SOME])[k])
    ball = Thrown(float(made.speed[throw]), float(made.aim[throw]), worst - 1)
    x, z = (low_at, made.column("at")[made.behind], high_at)[worst][k].tolist()
    because += (
        f"; the first at {ball.speed:.4f} m/s, {ball.aim:+.3f} deg lies in the tray {x:.0f} mm from the front"
    )
    places = (ball_at(leg, (x, z), ctx.cabinet.balls.diameter), *floor_place(leg))
    told = Told("Balls that run over the lip unasked", because, places, _remedies(ctx), ball)
    return Draft("hops", ("lip-block-1",), rating, partial(said, told))


def _lifted(ctx: Context) -> Iterator[Draft]:
    leg = ctx.cabinet.leg_by_id["lift"]
    yield from trap_drafts(ctx, leg, ("lifter.travel", "return.lip_height"))
    yield _rolls_over(ctx, leg)


def _rolls_over(ctx: Context, leg: Leg) -> Draft:
    """The waiting ball, raised and let go: how long it takes into the tray."""
    need, cabinet = ctx.need("lifted_time"), whole(ctx.cabinet)
    parts, title = ("lifter", "lip-block-1"), "Lifted ball in motion"
    remedies = governing(ctx, leg, "Let the ball roll off the raised lifter")
    try:
        way, at = lifted(cabinet), raised(cabinet)
    except CannotPlayError as reason:
        told = Told(
            title, f"no ball can be let go on the raised lifter: {reason}", floor_place(leg), remedies
        )
        return Draft("lift/rolls", parts, unmet(need), partial(said, told))
    end = way.stretches[-1].points[-1]
    place, ball = ball_at(leg, end, cabinet.balls.diameter), LetGo("lift", at)
    if way.ended != TRAY:
        because = f"let go on the raised lifter: {way.ended}, after {way.time:.2f} s, and not in the tray"
        return Draft(
            "lift/rolls", parts, unmet(need), partial(said, Told(title, because, (place,), remedies, ball))
        )
    rating = rate(need, way.time, upper=True)
    because = (
        f"let go on the raised lifter it rolls over the lip and comes to the tray in {rating.measured:.2f} s; at most "
        f"{rating.needed:g} s"
    )
    return Draft("lift/rolls", parts, rating, partial(said, Told(title, because, (place,), remedies, ball)))


@check(18, "way-open", FAMILY, "The way is open on every leg")
def way_open(ctx: Context) -> Iterator[Draft]:
    """From every source of every leg the ball's centre reaches a sink."""
    need = ctx.need("open_way")
    for leg in ctx.cabinet.legs:
        if ctx.hurried and leg.id in LATER:
            continue
        for name, diameter, found in surveys(ctx, leg):
            shut = found.blocked
            rating = Rating("conflict" if shut else "clear", None, None, None, "", need.source)
            tell = partial(_tell_open, ctx, leg, name, diameter, tuple(z.name for z in shut))
            yield Draft(
                f"{leg.id}/{name}", tuple(dict.fromkeys(s.part for s in leg.solids)), rating, tell, leg.id
            )


def _tell_open(ctx: Context, leg: Leg, name: str, diameter: float, shut: tuple[str, ...]) -> Told:
    if not shut:
        return Told(
            f"{leg.label}: the way is open",
            f"the {name} ball, {diameter:.2f} mm, gets from every start to an end",
        )
    because = f"the {name} ball, {diameter:.2f} mm, cannot get on from: {', '.join(shut)}"
    places = tuple(
        Place(leg.frame, "area", tuple(map(tuple, shapely.get_coordinates(z.shape.exterior)[:-1].tolist())))
        for z in leg.sources
        if z.name in shut
    )
    remedies = governing(ctx, leg, "Open the way here")
    return Told(f"{leg.label}: the way is shut", because, places, remedies)

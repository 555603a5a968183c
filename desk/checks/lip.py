"""The lip holds the arriving ball and lets it go when it is lifted; the way is open on every leg."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import shapely

from desk.ball.rests import Rest
from desk.cabinet.model import Leg
from desk.checks.context import Context
from desk.checks.finding import Place
from desk.checks.legs import (
    FAMILY,
    NO_REST,
    ball_at,
    balls_of,
    floor_place,
    rated,
    said,
    solid,
    surveys,
    trap_drafts,
    unmet,
    waiting,
)
from desk.checks.mechanics import arrival_speed, climb_speed
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check

LATER = ("lane", "flight", "lift")
"""Legs that no other check of the way needs; within a drag step they are put off."""


@check(15, "lip", FAMILY, "Lip of the waiting place")
def lip(ctx: Context) -> Iterator[Draft]:
    """The lip holds a ball that has lost no speed from the catch ramp on, and lets the ball go once it is lifted."""
    leg = ctx.cabinet.leg_by_id["channel"]
    need = ctx.need("lip_reserve")
    for k, (name, diameter, _) in enumerate(surveys(ctx, leg)):
        rest = waiting(ctx, leg, k)
        if rest is None:
            told = Told(
                "Waiting place",
                NO_REST,
                floor_place(leg),
                (ctx.remedy("return.lip_height", 0.0, "Raise the lip"),),
            )
            yield Draft(f"hold/{name}", ("lip-block-1",), unmet(need), partial(said, told), "no rest")
            continue
        yield _hold(ctx, leg, name, diameter, rest)
    if not ctx.hurried:
        yield from _lifted(ctx)


class Arrival(NamedTuple):
    """How fast a ball can come to the waiting place, m/s, after which drop and run, mm, at which slope, radians."""

    speed: float
    drop: float
    run: float
    angle: float


def arrival(ctx: Context, leg: Leg, rest: Rest) -> Arrival:
    """An upper bound of the speed with which a ball comes to the waiting place.

    The ball starts at rest at the high end of the catch ramp. The height it loses on the ramp and on the step down to
    the channel is turned fully into speed along the channel: nothing is lost on the ramp, in the turn or at the
    step. Then it rolls with the least resistance of its material. What it brings from the fall into the trough is
    taken as spent there. Raises CannotEvaluate when the catch ramp or the channel's floor is not in its section.
    """
    catch = ctx.cabinet.leg_by_id["catch"]
    ramp, floor = solid(catch, "catch-ramp"), solid(catch, "spacer-lower")
    if ramp.is_empty or floor.is_empty:
        raise CannotEvaluate("ramp and channel floor do not both stand in this section", ("catch-ramp-1",))
    drop = max(ramp.bounds[3] - floor.bounds[3], 0.0)
    _, y0, x1, _ = leg.sources[0].shape.bounds
    run = math.hypot(x1 - rest.at[0], y0 - rest.at[1])
    angle = math.atan2(
        ctx.cabinet.marks.points["channel back"][2] - ctx.cabinet.marks.points["slot"][2],
        abs(ctx.cabinet.marks.points["channel back"][0] - ctx.cabinet.marks.points["slot"][0]),
    )
    return Arrival(arrival_speed(drop, run, angle, balls_of(ctx).rolling[0]), drop, run, angle)


def _hold(ctx: Context, leg: Leg, name: str, diameter: float, rest: Rest) -> Draft:
    need = ctx.need("lip_reserve")
    speed, drop, run, angle = arrival(ctx, leg, rest)
    limit = climb_speed(rest.escape, diameter / 2)
    needed = need.value * speed
    rating = rated(limit, needed, need.tight * speed, "m/s", need)
    because = (
        f"sqrt(10 g h / 7) / (1 - 5 h / 7 r) with h {rest.escape:.2f}, r {diameter / 2:.2f} mm = {limit:.2f} m/s "
        f"(plastic contact); needed {need.value:g} x {speed:.2f} m/s, the {name} ball at most: {drop:.1f} mm lost on "
        f"catch ramp and step turned fully into speed, then {run:.0f} mm at {math.degrees(angle):.1f} deg"
    )
    remedies = (
        ctx.remedy("return.lip_height", 0.0, "Raise the lip"),
        ctx.remedy("return.slope", 0.0, "Let the channel fall less steeply"),
        ctx.remedy("behind.catch_slope", 0.0, "Let the catch ramp fall less steeply"),
        ctx.remedy("behind.inlet_drop", 0.0, "Make the step down to the channel lower"),
    )
    place = ball_at(leg, rest.at, diameter)
    return Draft(
        f"hold/{name}",
        ("lip-block-1",),
        rating,
        lambda: Told("Lip against the arriving ball", because, (place,), remedies),
        "hold",
    )


def _lifted(ctx: Context) -> Iterator[Draft]:
    leg = ctx.cabinet.leg_by_id["lift"]
    yield from trap_drafts(ctx, leg, ("lifter.travel", "return.lip_height"))


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


_GOVERN = {
    "lane": ("kicker.radius", "lane.rise"),
    "flight": ("board.gap", "board.foot_rise"),
    "face": ("targets.1.across",),
    "under": ("board.foot_rise", "behind.trough", "behind.gutter_slope"),
    "catch": ("behind.inlet_height", "behind.catch_slope"),
    "channel": ("return.headroom", "return.mouth"),
    "lift": ("lifter.travel", "return.lip_height"),
}


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
    remedies = tuple(ctx.remedy(a, 0.0, "Open the way here") for a in _GOVERN.get(leg.id, ()))
    return Told(f"{leg.label}: the way is shut", because, places, remedies)

"""The lip holds the arriving ball and lets it go when it is lifted; the way is open on every leg."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

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
    surveys,
    trap_drafts,
    unmet,
    waiting,
)
from desk.checks.registry import Draft, Rating, Told, check

GRAVITY = 9.80665
"""Standard gravity, m/s²."""


@check(15, "lip", FAMILY, "Lip of the waiting place")
def lip(ctx: Context) -> Iterator[Draft]:
    """The lip holds the fastest ball that can arrive, and lets the ball go once it is lifted."""
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
        yield from _trap_drafts_lift(ctx)


def arrival(ctx: Context, leg: Leg, rest: Rest) -> tuple[float, float, float]:
    """Fastest arrival at the waiting place: (speed m/s, run m, angle radians).

    A sphere that starts at rest at the inlet and rolls with the least resistance of its material:
    v² = 2 (5/7) g (sin a - c cos a) s.
    """
    _, y0, x1, _ = leg.sources[0].shape.bounds
    run = math.hypot(x1 - rest.at[0], y0 - rest.at[1]) / 1000
    angle = math.atan2(
        ctx.cabinet.marks.points["channel back"][2] - ctx.cabinet.marks.points["slot"][2],
        abs(ctx.cabinet.marks.points["channel back"][0] - ctx.cabinet.marks.points["slot"][0]),
    )
    pull = max(math.sin(angle) - balls_of(ctx).rolling[0] * math.cos(angle), 0.0)
    return math.sqrt(2 * 5 / 7 * GRAVITY * pull * run), run, angle


def climb_speed(height: float, radius: float) -> float:
    """Least speed, m/s, that takes a rolling sphere over a step: sqrt(10 g h / 7) / (1 - 5 h / (7 r)), h < r in mm."""
    h = min(height, radius)
    return math.sqrt(10 * GRAVITY * h / 1000 / 7) / (1 - 5 * h / (7 * radius))


def _hold(ctx: Context, leg: Leg, name: str, diameter: float, rest: Rest) -> Draft:
    need = ctx.need("lip_reserve")
    speed, run, angle = arrival(ctx, leg, rest)
    limit = climb_speed(rest.escape, diameter / 2)
    needed = need.value * speed
    rating = rated(limit, needed, need.tight * speed, "m/s", need)
    because = (
        f"sqrt(10 g h / 7) / (1 - 5 h / 7 r) with h {rest.escape:.2f}, r {diameter / 2:.2f} mm = {limit:.2f} m/s; "
        f"needed {need.value:g} x {speed:.2f} m/s, the {name} ball after {run * 1000:.0f} mm "
        f"at {math.degrees(angle):.1f} deg"
    )
    remedies = (
        ctx.remedy("return.lip_height", 0.0, "Raise the lip"),
        ctx.remedy("return.slope", 0.0, "Let the channel fall less steeply"),
    )
    place = ball_at(leg, rest.at, diameter)
    return Draft(
        f"hold/{name}",
        ("lip-block-1",),
        rating,
        lambda: Told("Lip against the arriving ball", because, (place,), remedies),
        "hold",
    )


def _trap_drafts_lift(ctx: Context) -> Iterator[Draft]:
    leg = ctx.cabinet.leg_by_id["lift"]
    yield from trap_drafts(ctx, leg, ("lifter.travel", "return.lip_height"))


@check(18, "way-open", FAMILY, "The way is open on every leg")
def way_open(ctx: Context) -> Iterator[Draft]:
    """From every source of every leg the ball's centre reaches a sink."""
    need = ctx.need("open_way")
    for leg in ctx.cabinet.legs:
        if ctx.hurried and leg.id == "lift":
            continue
        for name, diameter, found in surveys(ctx, leg):
            shut = found.blocked
            rating = Rating(
                "conflict" if shut else "clear",
                float(len(shut)),
                0.0,
                -float(len(shut)) if shut else None,
                "blocks",
                need.source,
            )
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

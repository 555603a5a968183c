"""The return channel: width, headroom, slope, traps and room for the queue, for the largest and the smallest ball.

All on the leg's figure, which is as cut and as finished.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from desk.checks.context import Context, differing
from desk.checks.finding import Place
from desk.checks.legs import (
    FAMILY,
    NO_REST,
    balls_of,
    floor_place,
    floor_runs,
    slope_draft,
    solid,
    surveys,
    trap_drafts,
    unmet,
    waiting,
)
from desk.checks.mechanics import lock_width
from desk.checks.registry import Draft, Told, check, rate


@check(9, "channel-width", FAMILY, "Width of the return channel")
def channel_width(ctx: Context) -> Iterator[Draft]:
    """The largest ball passes; two of the smallest cannot lock side by side."""
    leg, balls = ctx.cabinet.leg_by_id["channel"], ctx.cabinet.balls
    width = leg.depth or 0.0
    parts = tuple(s.part for s in leg.solids if s.part.startswith("spacer"))
    film = 2 * ctx.cabinet.shop.film
    differs = sum(ctx.spread(p) for p in ctx.cabinet.parts if p.id.startswith("spacer-lower"))
    less = differing(differs)
    side = rate(ctx.need("channel_side"), width - balls.largest - differs)
    because = (
        f"{width + film:.2f} stack - {film:.2f} film{less} - {balls.largest:.2f} = {side.measured:.2f} mm"
    )
    remedies = (
        ctx.remedy("return.layers", 0.0, "Use another number of spacer layers"),
        ctx.remedy("ball.diameter", -side.short, "Use smaller balls"),
    )
    places = floor_place(leg)
    told = Told("Ball in the width of the channel", f"{because}; needed {side.needed:.2f}", places, remedies)
    yield Draft("pass", parts, side, lambda: told)
    friction = balls_of(ctx).friction[1]
    lock = lock_width(balls.smallest, friction)
    abreast = rate(ctx.need("channel_lock"), lock - width - differs)
    why = f"2 x {balls.smallest:.2f} / (1 + {friction:.2f}^2) - {width:.2f}{less} = {abreast.measured:.2f} mm"
    said = Told(
        "Two balls abreast in the channel", f"{why}; needed {abreast.needed:.2f}", places, remedies[:1]
    )
    yield Draft("lock", parts, abreast, lambda: said)


@check(10, "headroom", FAMILY, "Headroom along the channel")
def headroom(ctx: Context) -> Iterator[Draft]:
    """Least distance between the channel's floor and its ceiling, less the largest ball."""
    leg = ctx.cabinet.leg_by_id["channel"]
    floor, ceiling = solid(leg, "spacer-lower"), solid(leg, "spacer-upper")
    if floor.is_empty or ceiling.is_empty:
        return
    gap, largest = float(floor.distance(ceiling)), ctx.cabinet.balls.largest
    rating = rate(ctx.need("headroom"), gap - largest)
    near = shapely.get_coordinates(shapely.shortest_line(floor, ceiling)).tolist()
    because = f"{gap:.2f} - {largest:.2f} = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    remedies = (ctx.remedy("return.headroom", rating.short, "Raise the cover of the channel"),)
    place = Place(leg.frame, "line", tuple((x, y) for x, y in near))
    yield Draft(
        "channel",
        tuple(s.part for s in leg.solids if s.part.startswith("spacer")),
        rating,
        lambda: Told("Ball under the cover of the channel", because, (place,), remedies),
    )


@check(11, "channel-slope", FAMILY, "Slope of the channel")
def channel_slope(ctx: Context) -> Iterator[Draft]:
    """The channel falls to the waiting place more steeply than rolling resistance holds."""
    leg = ctx.cabinet.leg_by_id["channel"]
    floor = solid(leg, "spacer-lower")
    for _, diameter, found in surveys(ctx, leg)[:1]:
        runs = list(floor_runs(found, floor, diameter))
        if runs:
            yield slope_draft(ctx, leg, min(runs), "return.slope", "the channel", ("spacer-lower-1",))


@check(13, "channel-traps", FAMILY, "Traps in the channel")
def channel_traps(ctx: Context) -> Iterator[Draft]:
    """No place in the channel holds a ball but the waiting place and the tray."""
    governed = ("return.slope", "return.slot", "behind.inlet_drop", "return.lip_width")
    yield from trap_drafts(ctx, ctx.cabinet.leg_by_id["channel"], governed)


@check(14, "queue", FAMILY, "Room for all balls in the queue")
def queue(ctx: Context) -> Iterator[Draft]:
    """All balls lie between the lip and the inlet, the last clear of the opening."""
    leg, balls = ctx.cabinet.leg_by_id["channel"], ctx.cabinet.balls
    need = ctx.need("queue")
    governed = ("ball.count", "lane.length")
    rest = waiting(ctx, leg, 0)
    parts = ("spacer-lower-1", "lip-block-1")
    source = leg.sources[0].shape
    if rest is None:
        yield Draft(
            "queue", parts, unmet(need), lambda: Told("Queue of the balls", NO_REST, floor_place(leg))
        )
        return
    length = math.hypot(source.bounds[0] - rest.at[0], source.bounds[1] + balls.largest / 2 - rest.at[1])
    wanted = (balls.count - 0.5) * balls.largest
    rating = rate(need, length - wanted)
    because = (
        f"{length:.1f} from the waiting ball to the inlet - ({balls.count} - 1/2) x {balls.largest:.2f} "
        f"= {rating.measured:.1f} mm; needed {rating.needed:.1f}"
    )
    remedies = (
        ctx.remedy(governed[0], 0.0, "Use fewer balls"),
        ctx.remedy(governed[1], rating.short, "Make the deck longer"),
    )
    place = Place(leg.frame, "line", (rest.at, (source.bounds[0], source.bounds[1] + balls.largest / 2)))
    yield Draft("queue", parts, rating, lambda: Told("Queue of the balls", because, (place,), remedies))

"""Catch ramp and inlet: the ball rolls along the ramp, through the wall and down onto the channel's floor."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import shapely

from desk.cabinet.model import Leg
from desk.checks.context import Context
from desk.checks.finding import Place
from desk.checks.legs import FAMILY, floor_runs, said, slope_draft, solid, surveys, trap_drafts
from desk.checks.registry import CannotEvaluate, Draft, Told, check, rate
from desk.shapes.loop import Point

SHOWN = 0.005
"""A height under this is 0.00 in a sum, mm."""
_INSIDE = 0.05
"""A height is read this far inside the end of a shape, mm."""


@check(7, "catch-ramp", FAMILY, "Catch ramp")
def catch_ramp(ctx: Context) -> Iterator[Draft]:
    """The ramp falls to the return side, holds no ball, and leaves no slot a ball can drop into."""
    leg = ctx.cabinet.leg_by_id["catch"]
    parts = ("catch-ramp-1",)
    towards = 1.0 if leg.sinks[0].shape.centroid.x < leg.room.centroid.x else -1.0
    ramp = solid(leg, "catch-ramp")
    largest = surveys(ctx, leg)[0]
    runs = [(towards * t, a, b) for t, a, b in floor_runs(largest[2], ramp, largest[1])]
    if runs:
        yield slope_draft(ctx, leg, min(runs), "behind.catch_slope", "the catch ramp", parts)
    yield from trap_drafts(ctx, leg, ("behind.catch_slope", "behind.inlet_height", "behind.inlet_drop"))
    balls = ctx.cabinet.balls
    trough = rate(ctx.need("passage"), (leg.depth or 0.0) - balls.largest)
    because = f"{leg.depth:.2f} - {balls.largest:.2f} = {trough.measured:.2f} mm; needed {trough.needed:.2f}"
    remedies = (ctx.remedy("behind.trough", trough.short, "Make the trough deeper"),)
    where = (Place(leg.frame, "area", tuple(_corners(ramp))),)
    yield Draft("trough", parts, trough, lambda: Told("Ball in the trough", because, where, remedies))
    under = ctx.cabinet.leg_by_id["under"]
    yield from _slot_beside(ctx, under)
    if not runs:
        raise CannotEvaluate("no stretch of the catch ramp is long enough to tell how it falls", parts)


def _corners(shape: shapely.Geometry) -> list[Point]:
    x0, y0, x1, y1 = shape.bounds if not shape.is_empty else (0.0, 0.0, 1.0, 1.0)
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _slot_beside(ctx: Context, leg: Leg) -> Iterator[Draft]:
    """The gap between gutter floor and ramp against the smallest ball."""
    gutter, ramp = solid(leg, "gutter-floor"), solid(leg, "catch-ramp")
    if gutter.is_empty or ramp.is_empty:
        raise CannotEvaluate(
            "gutter floor and catch ramp do not both stand in this section", ("catch-ramp-1",)
        )
    between = ramp.bounds[0] - gutter.bounds[2]
    yield _room_beside(ctx, leg, between, (gutter.bounds[2], ramp.bounds[0], ramp.bounds[3]))
    gap = max(between, 0.0)
    small = ctx.cabinet.balls.smallest
    rating = rate(ctx.need("slot_share"), gap, upper=True, scale=small, unit="mm")
    because = f"slot {gap:.2f} mm; at most {rating.needed / small if rating.needed else 0:.2f} x {small:.2f}"
    place = Place(leg.frame, "line", ((gutter.bounds[2], ramp.bounds[3]), (ramp.bounds[0], ramp.bounds[3])))
    remedies = (
        ctx.remedy("behind.trough", -rating.short, "Make the trough less deep"),
        ctx.remedy("behind.ramp_layers", 0.0, "Make the ramp of more or thicker layers"),
    )
    told = Told("Slot beside the catch ramp", f"{because} = {rating.needed:.2f}", (place,), remedies)
    yield Draft("slot", ("catch-ramp-1", "gutter-floor"), rating, lambda: told)


def _room_beside(ctx: Context, leg: Leg, between: float, at: tuple[float, float, float]) -> Draft:
    """The ramp keeps clear of the gutter floor."""
    rating = rate(ctx.need("ramp_room"), between)
    because = f"{between:.2f} mm between gutter floor and ramp; needed {rating.needed:.2f}"
    place = Place(leg.frame, "line", ((at[0], at[2]), (at[1], at[2])))
    remedies = (
        ctx.remedy("behind.trough", rating.short, "Make the trough deeper"),
        ctx.remedy("behind.ramp_layers", 0.0, "Make the ramp of fewer or thinner layers"),
    )
    told = Told("Catch ramp beside the gutter floor", because, (place,), remedies)
    return Draft("room", ("catch-ramp-1", "gutter-floor"), rating, partial(said, told))


@check(8, "inlet", FAMILY, "Inlet of the return")
def inlet(ctx: Context) -> Iterator[Draft]:
    """The opening of the inner wall as cut passes the largest ball, and nothing steps up behind it."""
    cabinet = ctx.cabinet
    low, high, back = (cabinet.marks.points[k] for k in ("inlet low", "inlet high", "back"))
    film, largest = cabinet.shop.film, cabinet.balls.largest
    leg = cabinet.leg_by_id["catch"]
    plane = cabinet.planes["channel"]
    wide = abs(back[0] - low[0])
    width = wide - 2 * film
    # a leg of a cabinet with the return on the right counts the other way
    across, _, _ = leg.frame.local(cabinet.by_id["inner-wall"].frame.origin)
    ramp_top = _ramp_top(leg, across)
    height = high[2] - film - ramp_top
    tall, rise = high[2] - low[2], ramp_top - film - low[2]
    ramp = (
        f" {'-' if rise > 0 else '+'} {abs(rise):.2f} for the ramp at the wall" if abs(rise) >= SHOWN else ""
    )
    need = ctx.need("passage")
    corners = ((low[0], ramp_top), (back[0], ramp_top), (back[0], high[2]), (low[0], high[2]))
    place = Place(plane, "area", corners)
    for key, size, address, opening in (
        ("width", width, "behind.inlet_width", f"{wide:.2f}"),
        ("height", height, "behind.inlet_height", f"{tall:.2f}{ramp}"),
    ):
        rating = rate(need, size - largest)
        because = (
            f"{opening} - 2 x {film:.3f} film - {largest:.2f} ball = {rating.measured:.2f} mm; "
            f"needed {rating.needed:.2f}"
        )
        remedies = (ctx.remedy(address, rating.short, f"Make the inlet's {key} larger"),)
        told = Told(f"Ball in the {key} of the inlet", because, (place,), remedies)
        yield Draft(key, ("inner-wall",), rating, partial(said, told))
    yield from _corner(ctx, place, width, height)
    yield from _sill(ctx, leg)


def _ramp_top(leg: Leg, across: float) -> float:
    """Height of the ramp's top at ``across`` in the leg's own plane, or at its nearest end."""
    ramp = solid(leg, "catch-ramp")
    if ramp.is_empty:
        return 0.0
    x = min(max(across, ramp.bounds[0] + _INSIDE), ramp.bounds[2] - _INSIDE)
    line = shapely.LineString([(x, ramp.bounds[1] - 1), (x, ramp.bounds[3] + 1)])
    met = ramp.intersection(line)
    return float(met.bounds[3]) if not met.is_empty else float(ramp.bounds[3])


def _corner(ctx: Context, place: Place, width: float, height: float) -> Iterator[Draft]:
    """The bit leaves the upper inside corner round: the ball has to fit beside it too."""
    ball = ctx.cabinet.balls.largest / 2
    radius = ctx.profile_bit.diameter / 2 - ctx.cabinet.shop.film
    room = corner_room(width, height, radius, ball)
    if room is None:
        return
    rating = rate(ctx.need("passage"), room)
    because = (
        f"{radius:.2f} corner - {radius - ball - room:.2f} between the middles of corner and ball, the ball against "
        f"ramp and cover - {ball:.2f} = {room:.2f} mm; needed {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy("behind.inlet_height", 0.0, "Make the inlet higher"),
        ctx.remedy("behind.inlet_width", 0.0, "Make the inlet wider"),
        ctx.remedy(ctx.bit_address(ctx.profile_bit, "diameter"), 0.0, "Cut it with a thinner bit"),
    )
    told = Told("Ball beside the inlet's round corner", because, (place,), remedies)
    yield Draft("corner", ("inner-wall",), rating, lambda: told)


def corner_room(width: float, height: float, radius: float, ball: float) -> float | None:
    """Room between an opening's round corner and a ball that touches both sides opposite to it, mm.

    The room is measured along the line of the two middles. None where the ball does not fit between the sides, or is
    nearest to a straight side: then width and height tell.
    """
    if min(width, height) < 2 * ball:
        return None
    across, up = radius - (width - ball), radius - (height - ball)
    if across <= 0 or up <= 0:
        return None
    return radius - math.hypot(across, up) - ball


def _sill(ctx: Context, leg: Leg) -> Iterator[Draft]:
    """The ramp's end lies above the channel floor."""
    ramp, floor = solid(leg, "catch-ramp"), solid(leg, "spacer-lower")
    if ramp.is_empty or floor.is_empty:
        raise CannotEvaluate("ramp and channel floor do not both stand in this section", ("catch-ramp-1",))
    channel_left = floor.centroid.x < ramp.centroid.x
    x = ramp.bounds[0] if channel_left else ramp.bounds[2]
    end, top = _ramp_top(leg, x), floor.bounds[3]
    rating = rate(ctx.need("step_down"), end - top)
    because = f"ramp's end {end:.2f} - channel floor {top:.2f} = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    place = Place(leg.frame, "line", ((x, top), (x, end)))
    remedies = (ctx.remedy("behind.inlet_drop", rating.short, "Set the ramp higher above the channel"),)
    told = Told("Step from the ramp to the channel", because, (place,), remedies)
    yield Draft("sill", ("catch-ramp-1", "spacer-lower-1"), rating, lambda: told)


@check(6, "under-traps", FAMILY, "Traps under the board")
def under_traps(ctx: Context) -> Iterator[Draft]:
    """What drops through the board or off its foot rolls on to the trough."""
    governed = ("behind.gutter_slope", "behind.gutter_drop", "behind.trough", "board.foot_rise")
    yield from trap_drafts(ctx, ctx.cabinet.leg_by_id["under"], governed)

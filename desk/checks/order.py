"""The order of assembly and the drivers: can the parts be put together, and does a driver reach every screw then.

Screws are looked at among the parts that are there in the step that drives them. The sizes of the drivers are
limits like all others, so a person can set those of the ones at hand.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from desk.assembly.driver import Drivers, Room, Tool
from desk.assembly.order import Order, Step, order_of
from desk.assembly.solids import AskewError, solids
from desk.cabinet.model import AxisJoint, Cabinet, Part, Status
from desk.checks import addresses
from desk.checks.context import CannotEvaluate, Context, along_axis, listed, patch
from desk.checks.finding import Place, Remedy
from desk.checks.needs import Need, needs_of
from desk.checks.registry import MOST_PLACES, Draft, Rating, Told, check
from desk.shapes.loop import SAME

FAMILY = "Joints"
DRIVERS: tuple[tuple[str, str, str, str], ...] = (
    ("cordless driver", "driver_cordless", "driver_cordless_blade", "driver_cordless_width"),
    ("screwdriver", "driver_hand", "driver_hand_blade", "driver_handle_width"),
    ("stubby screwdriver", "driver_stubby", "driver_stubby_blade", "driver_handle_width"),
    ("right-angle driver", "driver_angle", "driver_stubby_blade", "driver_handle_width"),
)
"""Label and limits (length over all, blade, width of handle) of the drivers, the handiest first."""
EASY = ("cordless driver", "screwdriver")
"""What everybody has; a screw that only the others reach is tight."""
_PLACED = (
    ("header", "header.height"),
    ("board", "board.foot_rise"),
    ("gutter-floor", "behind.gutter_drop"),
    ("deck", "lane.deck_height"),
    ("front-stop", "lane.stop_height"),
    ("base", "lane.base_height"),
    ("cleat", "header.cleat"),
    ("catch-ramp", "behind.trough"),
    ("rib-", "kicker.ribs"),
    ("spacer-upper", "return.headroom"),
    ("spacer-lower", "return.floor_height"),
    ("lip-block", "return.lip_width"),
    ("lifter", "lifter.arm"),
    ("panel-far", "lane.width"),
    ("inner-wall", "lane.width"),
    ("back-cover", "behind.depth"),
)
"""What moves or shapes a part, by the start of its id."""


def drivers(need: Callable[[str], Need]) -> tuple[Tool, ...]:
    """The drivers by a table of limits."""
    width = need("driver_blade_width").value
    return tuple(
        Tool(label, need(length).value, need(blade).value, width, need(handle).value)
        for label, length, blade, handle in DRIVERS
    )


def assembly(cabinet: Cabinet) -> Order:
    """The order of assembly with the drivers of the cabinet's own limits. Raises AskewError."""
    return order_of(cabinet, drivers(needs_of(cabinet.tables).__getitem__))


def governs(ctx: Context, parts: Iterable[str], text: str) -> tuple[Remedy, ...]:
    """What places or shapes these parts, as directions."""
    found = (address for key in parts for start, address in _PLACED if key.startswith(start))
    return tuple(ctx.remedy(address, 0.0, text) for address in dict.fromkeys(found))


def readable(error: AskewError) -> CannotEvaluate:
    """That parts stand askew to each other, as a state of a check."""
    return CannotEvaluate(f"the order of assembly cannot be worked out: {error}", error.parts)


@check(36, "driver-reach", FAMILY, "Order of assembly and the way to every screw")
def driver_reach(ctx: Context) -> Iterator[Draft]:
    """Every part can be put in, in some order, and a driver stands on every screw in its step."""
    tools = drivers(ctx.need)
    try:
        order = order_of(ctx.cabinet, tools)
        made = Drivers(solids(ctx.cabinet.parts, ctx.cabinet.axis_joints), tools)
    except AskewError as error:
        raise readable(error) from None
    if not ctx.cabinet.parts:
        return
    yield _whole(ctx, order)
    for group in order.locked:
        yield _locked(ctx, order, group)
    place = {p.id: k for k, p in enumerate(ctx.cabinet.parts)}
    for screw in ctx.of_kind("screw"):
        step = order.step_of(screw.id)
        if step is not None:
            room = made.best(screw, sum(1 << place[key] for key in step.present))
            yield _screw(ctx, order, screw, step, room)


def _whole(ctx: Context, order: Order) -> Draft:
    """That the parts go together, with the first and the last of them."""
    rating = Rating("clear", None, None, None, "", ctx.need("driver_hand").source)

    def tell() -> Told:
        names = ctx.cabinet.by_id
        if not order.steps:
            return Told("Order of assembly", "there is nothing to put together")
        first, last = order.steps[0].onto[0], order.steps[-1].parts
        because = (
            f"{len(order.steps)} steps, each one straight push, from {names[first].label} to "
            f"{listed(names[key].label for key in last)}; every screw is driven with room for a driver"
        )
        return Told("Order of assembly", because, _outlines(ctx, last))

    return Draft("order", tuple(p.id for p in ctx.cabinet.parts), rating, tell)


def _outlines(ctx: Context, parts: Iterable[str]) -> tuple[Place, ...]:
    return tuple(patch(part, part.outline) for part in map(ctx.cabinet.by_id.__getitem__, parts))


def _locked(ctx: Context, order: Order, group: tuple[str, ...]) -> Draft:
    """Parts that no straight push puts together; where some stand in each other, those."""
    rating = Rating("conflict", None, None, None, "", ctx.need("open_way").source)
    both = tuple(pair for pair in order.together if set(pair) <= set(group))
    inner = tuple(dict.fromkeys(key for pair in both for key in pair)) or group
    return Draft(f"locked/{min(group)}", inner, rating, partial(_tell_locked, ctx, group, inner, both))


def _tell_locked(
    ctx: Context, group: tuple[str, ...], inner: tuple[str, ...], both: tuple[tuple[str, str], ...]
) -> Told:
    names = ctx.cabinet.by_id
    why = "whichever of them is pushed along, across or up, others are in its way"
    if both:
        pairs = ", ".join(f"{names[a].label} and {names[b].label}" for a, b in both[:3])
        why = f"as drawn, {pairs} stand in the same place"
    return Told(
        f"Parts that cannot be put together: {listed(names[key].label for key in inner)}",
        f"{len(group)} parts hold each other: {why}",
        _outlines(ctx, inner[:MOST_PLACES]),
        (*_tabs(ctx, group), *governs(ctx, inner, "Move it out of the way")),
    )


def _tabs(ctx: Context, group: tuple[str, ...]) -> tuple[Remedy, ...]:
    """The fit of mortises, where a tab ties two of the parts."""
    if any(t.part in group and t.wall in group for t in ctx.cabinet.tab_joints):
        return (ctx.remedy("joint.mortise_fit", 0.0, "Make the mortises larger than their tabs"),)
    return ()


def _screw(ctx: Context, order: Order, screw: AxisJoint, step: Step, room: Room) -> Draft:
    source = ctx.need(next(length for label, length, _, _ in DRIVERS if label == room.tool.label)).source
    needed = room.tool.length + room.proud
    fits = room.spare >= -SAME
    status: Status = "conflict" if not fits else "clear" if room.tool.label in EASY else "tight"
    rating = Rating(status, None, needed, None, "mm", source)
    if math.isfinite(room.free):
        rating = Rating(status, room.free, needed, room.spare, "mm", source, max(0.0, -room.spare))
    tell = partial(_tell_screw, ctx, order, screw, step, room)
    stop = None if room.part is None else ctx.cabinet.parts[room.part].id
    like = (screw.members[0].part, stop, room.tool.label, round(room.free, 3))
    parts = (screw.members[0].part, *(() if stop is None else (stop,)))
    return Draft(screw.id, parts, rating, tell, like)


def _tell_screw(ctx: Context, order: Order, screw: AxisJoint, step: Step, room: Room) -> Told:
    number = order.steps.index(step) + 1
    head = ctx.cabinet.by_id[screw.members[0].part]
    needed = f"{room.tool.length:.0f} {room.tool.label} + {room.proud:.1f} that the screw stands out at first"
    if room.part is None:
        because = f"step {number} of {len(order.steps)}: nothing stands behind the head; needed {needed}"
        return Told(
            f"Driver for the screws in {head.label}", because, (along_axis(screw, 0.0, -room.tool.length),)
        )
    stop = ctx.cabinet.parts[room.part]
    because = (
        f"step {number} of {len(order.steps)}: {room.free:.1f} mm behind the head up to {stop.label}; "
        f"needed {needed} = {room.tool.length + room.proud:.1f}"
    )
    places = (along_axis(screw, 0.0, -max(room.free, 1.0)), *_outlines(ctx, (stop.id,)))
    return Told(
        f"Driver for the screws in {head.label}: {stop.label} in the way",
        because,
        places,
        _room_makers(ctx, screw, stop, room),
    )


def _room_makers(ctx: Context, screw: AxisJoint, stop: Part, room: Room) -> tuple[Remedy, ...]:
    """A shorter screw, a part moved, or a shorter driver."""
    out = []
    if room.spare < 0 and (address := addresses.length(screw)) and -room.spare < room.proud:
        out.append(ctx.remedy(address, room.spare, "Take a shorter screw"))
    if stop.id in ("panel-far", "inner-wall") and room.spare < 0:
        out.append(ctx.remedy("lane.width", -room.spare, "Make the lane wider"))
    else:
        out += governs(ctx, (stop.id,), "Move it out of the driver's way")
    return tuple(out)

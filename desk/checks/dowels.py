"""Dowels, rods and pins: do they go in, is there room for glue, and is wood left round them.

All lengths run along the joint's axis from its start. "Closed" means that the hole at that end does not go
through.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from desk.cabinet.model import AxisJoint, Member, Part
from desk.checks import addresses
from desk.checks.context import Context, along_axis, lines_up, span
from desk.checks.finding import Place
from desk.checks.registry import Draft, Rating, Told, check, rate, worse

FAMILY = "Joints"


@check(26, "dowel-play", FAMILY, "Dowel in its hole", "There is no dowel or pin in this cabinet.")
def dowel_play(ctx: Context) -> Iterator[Draft]:
    """Hole less film on its wall less the pin: not below the fit, not so loose that nothing is located."""
    for joint in ctx.of_kind("dowel", "rod", "pin"):
        for index, member in enumerate(joint.members):
            turns = joint.kind == "pin" and 0 < index < len(joint.members) - 1
            kind = "pin" if turns else "dowel"
            play = member.diameter - 2 * ctx.film_in_joints - joint.diameter
            low, high = ctx.need(f"{kind}_play_low"), ctx.need(f"{kind}_play_high")
            loose = rate(high, play, upper=True)
            rating = worse(rate(low, play), loose)
            yield Draft(
                f"{joint.id}/{member.part}",
                (member.part,),
                rating,
                partial(_tell_play, ctx, joint, member, turns, rating, loose is rating),
                (joint.kind, turns, joint.diameter, member.diameter),
            )


def _tell_play(
    ctx: Context, joint: AxisJoint, member: Member, turns: bool, rating: Rating, loose: bool
) -> Told:
    part, film = ctx.part(member), ctx.film_in_joints
    limit = f"at most {rating.needed:.2f}" if loose else f"needed {rating.needed:.2f}"
    because = (
        f"hole {member.diameter:.2f} - 2 x {film:.3f} film - pin {joint.diameter:.2f} = "
        f"{rating.measured:.2f} mm; {limit}"
    )
    fit = "lifter.play" if turns else "joint.dowel_fit"
    change = -rating.short if loose else rating.short
    verb = "Drill the hole smaller" if loose else "Drill the hole larger"
    remedies = (
        ctx.remedy(fit, change, verb),
        ctx.remedy(addresses.pin_diameter(joint), -change, "Take another pin"),
    )
    what = "Pin it turns on" if turns else {"dowel": "Dowel", "rod": "Rod"}.get(joint.kind, "Pin")
    return Told(f"{what} in its hole in {part.label}", because, (_member_place(part, joint),), remedies)


def _member_place(part: Part, joint: AxisJoint) -> Place:
    first, last = span(part, joint)
    return along_axis(joint, last, first)


@dataclass(frozen=True)
class Seat:
    """A pin's holes laid out along its axis, mm from the joint's start."""

    start: float
    end: float
    closed: int
    """How many of the two ends are closed."""
    room: float
    """Holes together less the pin."""
    holds: tuple[float, float]
    """How deep the pin sits in the first and the last member."""


def seat(ctx: Context, joint: AxisJoint) -> Seat:
    """How a pin through two parts or more sits in its holes.

    A pin is driven home to a closed end, so the room is left at the open one; with both ends alike it is
    shared between them.
    """
    first, last = joint.members[0], joint.members[-1]
    spans = tuple(span(ctx.part(m), joint) for m in joint.members)
    start = spans[0][0] if first.depth is None else spans[0][1] - first.depth
    end = spans[-1][1] if last.depth is None else spans[-1][0] + last.depth
    room = end - start - joint.length
    closed = (first.depth is not None, last.depth is not None)
    loss = max(room, 0.0)
    share = {(True, False): (0.0, 1.0), (False, True): (1.0, 0.0)}.get(closed, (0.5, 0.5))
    holds = (spans[0][1] - start - share[0] * loss, end - spans[-1][0] - share[1] * loss)
    return Seat(start, end, sum(closed), room, holds)


@check(27, "dowel-depth", FAMILY, "Dowel depth", "There is no dowel or pin in this cabinet.")
def dowel_depth(ctx: Context) -> Iterator[Draft]:
    """Holes together longer than the pin, skin left under closed holes, and enough of the pin in either
    end.
    """
    for joint in ctx.of_kind("dowel", "rod", "pin"):
        for member in joint.members:
            if member.depth is not None and lines_up(ctx.part(member), joint):
                yield _skin(ctx, joint, member)
            if not lines_up(ctx.part(member), joint):
                yield _share_of_edge(ctx, joint, member)
        if len(joint.members) > 1:
            sits = seat(ctx, joint)
            yield _glue_room(ctx, joint, sits)
            for which in (0, -1):
                if lines_up(ctx.part(joint.members[which]), joint):
                    yield _hold(ctx, joint, sits, which)


def _glue_room(ctx: Context, joint: AxisJoint, sits: Seat) -> Draft:
    need = ctx.need("dowel_glue_room")
    rating = rate(need, sits.room, scale=sits.closed) if sits.closed else rate(need, sits.room + need.value)

    def tell() -> Told:
        because = (
            f"holes {sits.end - sits.start:.2f} - pin {joint.length:.2f} = {sits.room:.2f} mm; "
            f"needed {need.value * sits.closed:.2f}"
        )
        remedies = []
        if address := addresses.length(joint):
            remedies.append(ctx.remedy(address, -rating.short, "Take a shorter pin"))
        if sits.closed:
            change = rating.short / sits.closed
            remedies.append(ctx.remedy(addresses.blind_depth(joint), change, "Drill deeper"))
        parts = ", ".join(ctx.part(m).label for m in (joint.members[0], joint.members[-1]))
        place = along_axis(joint, sits.end, sits.start)
        return Told(f"Room for glue behind the pin: {parts}", because, (place,), tuple(remedies))

    like = ("room", joint.kind, round(sits.room, 6), joint.length, _ends(joint))
    return Draft(f"{joint.id}/room", tuple(m.part for m in joint.members), rating, tell, like)


def _ends(joint: AxisJoint) -> tuple[str, str]:
    return joint.members[0].part, joint.members[-1].part


def _skin(ctx: Context, joint: AxisJoint, member: Member) -> Draft:
    part = ctx.part(member)
    depth = member.depth or 0.0
    rating = rate(ctx.need("dowel_skin"), part.thickness - depth)

    def tell() -> Told:
        because = (
            f"{part.thickness:.2f} - {depth:.2f} deep = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
        )
        remedies = (
            ctx.remedy(addresses.blind_depth(joint), -rating.short, "Drill less deep"),
            ctx.remedy(ctx.stock_address(part), rating.short, "Take thicker stock"),
        )
        places = (_member_place(part, joint),)
        return Told(f"Skin under the dowel hole in {part.label}", because, places, remedies)

    like = ("skin", part.id, depth, part.thickness)
    return Draft(f"{joint.id}/{part.id}/skin", (part.id,), rating, tell, like)


def _hold(ctx: Context, joint: AxisJoint, sits: Seat, which: int) -> Draft:
    part = ctx.part(joint.members[which])
    hold = sits.holds[which]
    rating = rate(ctx.need("dowel_hold"), hold, scale=part.thickness, unit="mm")

    def tell() -> Told:
        because = (
            f"the pin sits {hold:.2f} mm deep, holes {sits.end - sits.start:.2f}, pin {joint.length:.2f}; "
            f"needed {rating.needed:.2f}, a third of {part.thickness:.2f}"
        )
        remedies = []
        if address := addresses.length(joint):
            remedies.append(ctx.remedy(address, rating.short, "Take a longer pin"))
        if joint.members[which].depth is not None:
            remedies.append(ctx.remedy(addresses.blind_depth(joint), rating.short, "Drill deeper"))
        places = (_member_place(part, joint),)
        return Told(f"Pin's hold in {part.label}", because, places, tuple(remedies))

    return Draft(
        f"{joint.id}/{part.id}/hold", (part.id,), rating, tell, ("hold", joint.kind, part.id, round(hold, 6))
    )


def _share_of_edge(ctx: Context, joint: AxisJoint, member: Member) -> Draft:
    part = ctx.part(member)
    low, high = ctx.need("dowel_diameter_low"), ctx.need("dowel_diameter_high")
    thick = rate(high, joint.diameter, upper=True, scale=part.thickness, unit="mm")
    rating = worse(rate(low, joint.diameter, scale=part.thickness, unit="mm"), thick)

    def tell() -> Told:
        share = joint.diameter / part.thickness
        because = (
            f"{joint.diameter:.2f} / {part.thickness:.2f} = {share:.2f} of the thickness; "
            f"needed {low.value:.2f} to {high.value:.2f}"
        )
        change = -rating.short if rating is thick else rating.short
        text = "Take a thinner pin" if rating is thick else "Take a thicker pin"
        remedies = (
            ctx.remedy(addresses.pin_diameter(joint), change, text),
            ctx.remedy(ctx.stock_address(part), 0.0, "Take stock of another thickness"),
        )
        return Told(f"Pin in the edge of {part.label}", because, (_member_place(part, joint),), remedies)

    return Draft(f"{joint.id}/{part.id}/share", (part.id,), rating, tell, ("share", part.id, joint.diameter))

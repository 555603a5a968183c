"""Dowels, rods and pins: do they go in, is there room for glue, and is wood left round them.

All lengths run along the joint's axis from its start. "Closed" means that the hole at that end does not go
through. Members with equal sizes are read once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from desk.cabinet.model import AxisJoint, Member, Part
from desk.checks import addresses
from desk.checks.context import Context, along_axis, lines_up, listed, span
from desk.checks.finding import Place
from desk.checks.registry import MOST_PLACES, Draft, Rating, Told, check, rate, worse
from desk.shapes.loop import SAME
from desk.shop.hardware import pins

FAMILY = "Joints"
NO_PIN = "There is no dowel or pin in this cabinet."
Group = list[tuple[AxisJoint, Member]]


def _key(group: Group) -> str:
    return min(f"{joint.id}/{member.part}" for joint, member in group)


def _parts(group: Group) -> tuple[str, ...]:
    return tuple(dict.fromkeys(member.part for _, member in group))


def _places(ctx: Context, group: Group) -> tuple[Place, ...]:
    return tuple(_member_place(ctx.part(member), joint) for joint, member in group[:MOST_PLACES])


def _member_place(part: Part, joint: AxisJoint) -> Place:
    first, last = span(part, joint)
    return along_axis(joint, last, first)


def _labels(ctx: Context, group: Group) -> str:
    return listed(ctx.part(member).label for _, member in group)


@check(26, "dowel-play", FAMILY, "Dowel in its hole", NO_PIN)
def dowel_play(ctx: Context) -> Iterator[Draft]:
    """Hole less film on its wall less the pin: not below the fit, not so loose that nothing is located."""
    groups: dict[tuple[str, bool, float, float], Group] = {}
    for joint in ctx.of_kind("dowel", "rod", "pin"):
        last = len(joint.members) - 1
        for index, member in enumerate(joint.members):
            turns = joint.kind == "pin" and 0 < index < last
            groups.setdefault((joint.kind, turns, joint.diameter, member.diameter), []).append(
                (joint, member)
            )
    for (_, turns, pin, hole), group in groups.items():
        kind = "pin" if turns else "dowel"
        play = hole - 2 * ctx.film_in_joints - pin
        loose = rate(ctx.need(f"{kind}_play_high"), play, upper=True)
        rating = worse(rate(ctx.need(f"{kind}_play_low"), play), loose)
        tell = partial(_tell_play, ctx, group, turns, rating, loose is rating)
        yield Draft(_key(group), _parts(group), rating, tell)


def _tell_play(ctx: Context, group: Group, turns: bool, rating: Rating, loose: bool) -> Told:
    joint, member = group[0]
    film = ctx.film_in_joints
    limit = f"at most {rating.needed:.2f}" if loose else f"needed {rating.needed:.2f}"
    because = (
        f"hole {member.diameter:.2f} - 2 x {film:.3f} film - pin {joint.diameter:.2f} = "
        f"{rating.measured:.2f} mm; {limit}"
    )
    change = -rating.short if loose else rating.short
    room = "less room" if loose else "more room"
    verb = f"Give the pin {room} to turn in" if turns else f"Give the dowel hole {room} over the pin"
    # the hole is drilled for the pin: another pin gets another hole and the same play
    remedies = (ctx.remedy("lifter.play" if turns else "joint.dowel_fit", change, verb),)
    what = "Pin it turns on" if turns else {"dowel": "Dowel", "rod": "Rod"}.get(joint.kind, "Pin")
    return Told(f"{what} in its hole: {_labels(ctx, group)}", because, _places(ctx, group), remedies)


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
    shares: tuple[float, float]
    """Which share of the room is left in the first and in the last member."""


def seat(ctx: Context, joint: AxisJoint) -> Seat:
    """How a pin through two parts or more sits in its holes.

    A pin is driven home to a closed end, so the room is left at the open one; with both ends alike it is
    shared between them.
    """
    first, last = joint.members[0], joint.members[-1]
    near, far = span(ctx.part(first), joint), span(ctx.part(last), joint)
    start = near[0] if first.depth is None else near[1] - first.depth
    end = far[1] if last.depth is None else far[0] + last.depth
    room = end - start - joint.length
    closed = (first.depth is not None, last.depth is not None)
    share = {(True, False): (0.0, 1.0), (False, True): (1.0, 0.0)}.get(closed, (0.5, 0.5))
    loss = max(room, 0.0)
    holds = (near[1] - start - share[0] * loss, end - far[0] - share[1] * loss)
    return Seat(start, end, sum(closed), room, holds, share)


@check(27, "dowel-depth", FAMILY, "Dowels in their depth and as sold", NO_PIN)
def dowel_depth(ctx: Context) -> Iterator[Draft]:
    """The pin must not bottom out, closed holes must not show through, and each end must be held."""
    skins: dict[tuple[str, float], Group] = {}
    for joint in ctx.of_kind("dowel", "rod", "pin"):
        for member in joint.members:
            if not lines_up(ctx.part(member), joint):
                yield _share_of_edge(ctx, joint, member)
            elif member.depth is not None:
                skins.setdefault((member.part, member.depth), []).append((joint, member))
        if len(joint.members) > 1:
            sits = seat(ctx, joint)
            yield _glue_room(ctx, joint, sits)
            for which in (0, -1):
                if lines_up(ctx.part(joint.members[which]), joint):
                    yield _hold(ctx, joint, sits, which)
    for (_, depth), group in skins.items():
        part = ctx.part(group[0][1])
        rating = rate(ctx.need("dowel_skin"), part.thickness - depth)
        yield Draft(f"{_key(group)}/skin", (part.id,), rating, partial(_tell_skin, ctx, group, rating))
    by_size: dict[float, list[AxisJoint]] = {}
    for joint in ctx.of_kind("dowel"):
        by_size.setdefault(joint.diameter, []).append(joint)
    for diameter, joints in by_size.items():
        yield _as_sold(ctx, diameter, joints)


def _as_sold(ctx: Context, diameter: float, joints: list[AxisJoint]) -> Draft:
    """A dowel's diameter against the nearest one that is sold, or lies in the drawer."""
    known = {p.diameter: p.size for p in pins(ctx.cabinet.tables)}
    known |= {d.diameter: d.label for d in ctx.cabinet.shop.drawer.dowels}
    nearest = min(known, key=lambda size: abs(size - diameter))
    rating = rate(ctx.need("dowel_sold"), abs(nearest - diameter), upper=True)

    def tell() -> Told:
        because = (
            f"{diameter:.2f} mm; the nearest that is sold or in the drawer is {known[nearest]}: "
            f"{abs(nearest - diameter):.2f} mm off; at most {rating.needed:.2f}"
        )
        remedies = (ctx.remedy("joint.dowel", nearest - diameter, "Take a dowel that is sold"),)
        places = tuple(along_axis(j, j.length) for j in joints[:MOST_PLACES])
        return Told("Diameter of the dowels", because, places, remedies)

    parts = tuple(dict.fromkeys(m.part for j in joints for m in j.members))
    return Draft(f"{min(j.id for j in joints)}/sold", parts, rating, tell)


def _tell_skin(ctx: Context, group: Group, rating: Rating) -> Told:
    joint, member = group[0]
    part = ctx.part(member)
    because = f"{part.thickness:.2f} - {member.depth:.2f} deep = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    remedies = (
        ctx.remedy(addresses.blind_depth(joint), -rating.short, "Drill less deep"),
        ctx.remedy(ctx.stock_address(part), rating.short, "Take thicker stock"),
    )
    return Told(f"Skin under the dowel holes in {part.label}", because, _places(ctx, group), remedies)


def _glue_room(ctx: Context, joint: AxisJoint, sits: Seat) -> Draft:
    """Behind a closed end trapped glue needs room; a pin open at both ends must only not stand proud."""
    need = ctx.need("dowel_glue_room")
    rating = rate(need, sits.room, scale=sits.closed)
    ends = joint.members[0], joint.members[-1]

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
        parts = ", ".join(ctx.part(m).label for m in ends)
        place = along_axis(joint, sits.end, sits.start)
        return Told(f"Room for glue behind the pin: {parts}", because, (place,), tuple(remedies))

    like = ("room", joint.kind, round(sits.room, 6), joint.length, ends[0].part, ends[1].part)
    return Draft(f"{joint.id}/room", tuple(m.part for m in joint.members), rating, tell, like)


def _hold(ctx: Context, joint: AxisJoint, sits: Seat, which: int) -> Draft:
    part = ctx.part(joint.members[which])
    hold = sits.holds[which]
    rating = rate(ctx.need("dowel_hold"), hold, scale=part.thickness, unit="mm")

    def tell() -> Told:
        because = (
            f"the pin sits {hold:.2f} mm deep, holes {sits.end - sits.start:.2f}, pin {joint.length:.2f}; "
            f"needed {rating.needed:.2f}, a third of {part.thickness:.2f}"
        )
        remedies, share = [], sits.shares[which]
        spare = share * sits.room > SAME
        if (address := addresses.length(joint)) and spare:
            longer = min(rating.short / share, sits.room)
            remedies.append(ctx.remedy(address, longer, "Take a longer pin"))
        if joint.members[which].depth is not None:
            deeper = 0.0 if spare else rating.short
            text = "Drill deeper, for a longer pin" if spare else "Drill deeper"
            remedies.append(ctx.remedy(addresses.blind_depth(joint), deeper, text))
        places = (_member_place(part, joint),)
        return Told(f"Pin's hold in {part.label}", because, places, tuple(remedies))

    like = ("hold", joint.kind, part.id, round(hold, 6))
    return Draft(f"{joint.id}/{part.id}/hold", (part.id,), rating, tell, like)


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

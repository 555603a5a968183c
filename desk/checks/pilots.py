"""Holes for screws: pilot holes against the wood and the thread's root, clearance holes against the shank.

A pilot is compared with the root of the thread: a cut thread's root is about two thirds of the shank, a rolled
thread's about four fifths. Dense wood and light wood are told apart by gravity, sheets and solid wood alike.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

from desk.cabinet.model import AxisJoint, Member
from desk.checks.context import CannotEvaluate, Context, along_axis, listed, span
from desk.checks.finding import Place
from desk.checks.registry import MOST_PLACES, Draft, Rating, Told, check, rate, worse
from desk.shop.materials import Material

NO_SCREW = "There is no screw in this cabinet."
ROLLED = 0.75
"""A root of a smaller share of the shank than this belongs to a cut thread (two thirds), of a larger one to a rolled
thread (about four fifths): the two rules the table of screws is made by."""
Group = list[tuple[AxisJoint, Member]]


class Bounds(NamedTuple):
    """Shares of the root for a pilot in one wood: least (0 for none), best, greatest."""

    least: float
    best: float
    most: float


def bounds(ctx: Context, wood: Material) -> Bounds:
    """What a pilot hole in a wood is to be, by the wood's gravity."""
    if wood.gravity >= ctx.need("pilot_dense").value:
        return Bounds(
            ctx.need("pilot_low").value,
            ctx.need("pilot_best_dense").value,
            ctx.need("pilot_high_dense").value,
        )
    return Bounds(0.0, ctx.need("pilot_best_soft").value, ctx.need("pilot_high_soft").value)


def thread_kind(joint: AxisJoint) -> str:
    """The kind of thread its root tells."""
    return "cut thread" if joint.root / joint.diameter < ROLLED else "rolled thread"


@check(32, "pilot", "Joints", "Pilot and clearance holes of screws", NO_SCREW)
def pilot(ctx: Context) -> Iterator[Draft]:
    """Pilot against the thread's root, its depth against the screw, clearance holes against the shank."""
    pilots: dict[tuple[str, float, float, float], Group] = {}
    near: dict[tuple[float, float], Group] = {}
    for joint in ctx.of_kind("screw"):
        if joint.root <= 0:
            raise CannotEvaluate(
                f"{joint.hardware or joint.kind}: the root of its thread is not known",
                (joint.members[-1].part,),
            )
        *through, last = joint.members
        pilots.setdefault((last.part, last.diameter, joint.root, joint.diameter), []).append((joint, last))
        for member in through:
            near.setdefault((member.diameter, joint.diameter), []).append((joint, member))
        yield from _short(ctx, joint, last)
    for group in pilots.values():
        yield _pilot(ctx, group)
    for group in near.values():
        yield _clearance(ctx, group)


def _pilot(ctx: Context, group: Group) -> Draft:
    joint, member = group[0]
    wood = ctx.material(member.part)
    share = bounds(ctx, wood)
    dense = share.least > 0
    high = ctx.need("pilot_high_dense" if dense else "pilot_high_soft")
    rating = rate(high, member.diameter, upper=True, scale=joint.root, unit="mm")
    if dense:
        rating = worse(rating, rate(ctx.need("pilot_low"), member.diameter, scale=joint.root, unit="mm"))
    tell = partial(_tell_pilot, ctx, group, wood, share)
    key = f"{min(j.id for j, _ in group)}/pilot"
    like = (member.diameter, joint.root, wood.id)
    return Draft(key, (member.part,), rating, tell, like)


def _tell_pilot(ctx: Context, group: Group, wood: Material, share: Bounds) -> Told:
    joint, member = group[0]
    ratio, best = member.diameter / joint.root, share.best * joint.root
    least = f"{share.least:.2f} to " if share.least else "up to "
    because = (
        f"hole {member.diameter:.2f} / root {joint.root:.2f} of the {thread_kind(joint)} = {ratio:.2f}; {wood.label}, "
        f"gravity {wood.gravity:.2f}: needed {least}{share.most:.2f}, best {share.best:.2f} = {best:.2f} mm"
    )
    remedies = (
        ctx.remedy("joint.pilot", best - member.diameter, f"Drill {best:.2f} mm"),
        ctx.remedy("joint.screw", 0.0, "Take another screw"),
    )
    title = f"Pilot hole in {ctx.part(member).label}"
    return Told(title, because, _places(ctx, group), remedies)


def _places(ctx: Context, group: Group) -> tuple[Place, ...]:
    return tuple(_stretch(ctx, joint, member) for joint, member in group[:MOST_PLACES])


def _stretch(ctx: Context, joint: AxisJoint, member: Member) -> Place:
    first, last = span(ctx.part(member), joint)
    return along_axis(joint, last, first)


def _short(ctx: Context, joint: AxisJoint, member: Member) -> Iterator[Draft]:
    """How far the point goes on past a pilot's end, in wood that wants a pilot."""
    part = ctx.part(member)
    wood = ctx.material(part)
    if not bounds(ctx, wood).least or member.depth is None:
        return
    enter, leave = span(part, joint)
    goes = min(joint.length, leave) - enter
    rating = rate(ctx.need("pilot_short"), goes - member.depth, upper=True, scale=joint.diameter, unit="mm")

    def tell() -> Told:
        because = (
            f"the point goes {goes:.2f} deep, its pilot hole {member.depth:.2f}: {rating.measured:.2f} mm; at most "
            f"{rating.needed:.2f}"
        )
        title = f"Depth of the pilot hole in {part.label}"
        place = along_axis(joint, enter + goes, enter)
        return Told(title, because, (place,), (ctx.remedy("joint.screw", 0.0, "Take another screw"),))

    yield Draft(
        f"{joint.id}/short", (part.id,), rating, tell, ("short", part.id, round(goes, 6), member.depth)
    )


def _clearance(ctx: Context, group: Group) -> Draft:
    """Hole less film on its wall less the shank."""
    joint, member = group[0]
    play = member.diameter - 2 * ctx.film_in_joints - joint.diameter
    wide = rate(ctx.need("clearance_high"), play, upper=True)
    rating = worse(rate(ctx.need("clearance_low"), play), wide)
    tell = partial(_tell_clearance, ctx, group, rating, rating is wide)
    parts = tuple(dict.fromkeys(m.part for _, m in group))
    return Draft(f"{min(j.id for j, _ in group)}/clearance", parts, rating, tell)


def _tell_clearance(ctx: Context, group: Group, rating: Rating, wide: bool) -> Told:
    joint, member = group[0]
    because = (
        f"hole {member.diameter:.2f} - 2 x {ctx.film_in_joints:.3f} film - shank {joint.diameter:.2f} = "
        f"{rating.measured:.2f} mm; {'at most' if wide else 'needed'} {rating.needed:.2f}"
    )
    labels = listed(ctx.part(m).label for _, m in group)
    remedies = (ctx.remedy("joint.screw", 0.0, "Take another screw"),)
    return Told(f"Clearance hole for the screw's shank: {labels}", because, _places(ctx, group), remedies)

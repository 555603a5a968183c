"""Countersunk heads: do they sit flush, and is enough wood left under and round them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from desk.cabinet.model import AxisJoint, Part
from desk.checks.bodies import countersink_depth
from desk.checks.context import Context, along_axis, span
from desk.checks.registry import MOST_PLACES, Draft, Rating, Told, check, rate
from desk.shapes.loop import SAME

NO_HEAD = "There is no screw with a countersunk head in this cabinet."


class Head(NamedTuple):
    """How a screw's head sits in the part it is in, mm."""

    wide: float
    """Width of the countersink at the face, that of the hole where there is none."""
    deep: float
    """How deep below the face the head ends, were it driven home."""
    proud: float
    """How far the head's face stands above the part's; below zero it is sunk."""


def head_of(joint: AxisJoint) -> Head:
    """How the head of a screw sits in its first member.

    A head and its countersink have the same angle. A head as wide as its countersink is flush; one that is wider by w
    stands proud by w / (2 tan(angle / 2)), one that is narrower is sunk by as much.
    """
    first = joint.members[0]
    wide = max(first.head, first.diameter)
    proud = countersink_depth(joint.head, wide, joint) if wide < joint.head else 0.0
    sunk = countersink_depth(wide, joint.head, joint) if wide > joint.head else 0.0
    return Head(wide, joint.head_height - proud + sunk, proud - sunk)


@check(33, "head", "Joints", "Screw heads in their countersinks", NO_HEAD)
def head(ctx: Context) -> Iterator[Draft]:
    """Heads flush with the face; wood left under them; the ring of wood they bear on."""
    alike: dict[tuple[object, ...], list[AxisJoint]] = {}
    for joint in ctx.of_kind("screw"):
        if joint.head > joint.diameter and joint.head_height > SAME:
            first = joint.members[0]
            sizes = (joint.head, joint.head_height, joint.diameter, first.head, first.diameter)
            alike.setdefault((first.part, *sizes), []).append(joint)
    for group in alike.values():
        yield from _readings(ctx, group)


def _readings(ctx: Context, group: list[AxisJoint]) -> Iterator[Draft]:
    joint = group[0]
    part, sits, first = ctx.part(joint.members[0]), head_of(joint), joint.members[0]
    enter, leave = span(part, joint)
    under, ring = leave - enter - sits.deep, (joint.head - first.diameter) / 2
    cutter = f"{sits.wide:.2f} mm countersink" if first.head else f"{sits.wide:.2f} mm hole, no countersink"
    yield _draft(
        ctx,
        group,
        "proud",
        rate(ctx.need("head_proud"), sits.proud, upper=True),
        f"{joint.head:.2f} mm head, {cutter}: stands {sits.proud:.2f} mm proud; at most",
        lambda part: f"Screw heads in the face of {part.label}",
    )
    yield _draft(
        ctx,
        group,
        "under",
        rate(ctx.need("head_wood"), under, scale=joint.diameter, unit="mm"),
        f"{leave - enter:.2f} - head {sits.deep:.2f} deep = {under:.2f} mm; needed",
        lambda part: f"Wood under the screw heads in {part.label}",
    )
    yield _draft(
        ctx,
        group,
        "ring",
        rate(ctx.need("head_ring"), ring, scale=joint.diameter, unit="mm"),
        f"({joint.head:.2f} head - {first.diameter:.2f} hole) / 2 = {ring:.2f} mm; needed",
        lambda part: f"Ring under the screw heads in {part.label}",
    )


def _draft(
    ctx: Context,
    group: list[AxisJoint],
    what: str,
    rating: Rating,
    because: str,
    title: Callable[[Part], str],
) -> Draft:
    joint = group[0]
    part = ctx.part(joint.members[0])

    def tell() -> Told:
        places = tuple(
            along_axis(j, span(part, j)[0] + max(head_of(j).deep, SAME), span(part, j)[0])
            for j in group[:MOST_PLACES]
        )
        remedies = [ctx.remedy("joint.screw", 0.0, "Take a screw with another head")]
        if what == "under":
            remedies.append(ctx.remedy(ctx.stock_address(part), rating.short, "Take thicker stock"))
        said = f"{because} {rating.needed:.2f}" + (f"; {joint.hardware}" if joint.hardware else "")
        return Told(title(part), said, places, tuple(remedies))

    return Draft(
        f"{min(j.id for j in group)}/{what}", (part.id,), rating, tell, (what, part.id, rating.measured)
    )

"""Pairs of the checks of holes that meet, tabs, order of assembly, opening and parts the wrong way round."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from desk.cabinet.model import AxisJoint, Cabinet, Cutout, Member
from desk.shapes.loop import Loop, circle, polygon_loop, rect
from tests.checks.helpers import cabinet, hole, pin, plate
from tests.checks.pairs.base import START, Given, Pair, built, starting


def changed_cabinet(change: Callable[[Cabinet], Cabinet]) -> Given:
    """The starting cabinet with something changed that no setting changes."""
    return lambda: (change(built(())), None)


def off_axis(by: float) -> Callable[[Cabinet], Cabinet]:
    """The first hole of the lip block ``by`` mm from where it belongs."""

    def change(of: Cabinet) -> Cabinet:
        part = of.by_id["lip-block-1"]
        first, *others = part.drills
        moved = replace(first, at=(first.at[0] + by, first.at[1]))
        drilled = replace(part, drills=(moved, *others))
        return replace(of, parts=tuple(drilled if p.id == part.id else p for p in of.parts))

    return change


def glued(*starts: str) -> Callable[[Cabinet], Cabinet]:
    """Joints whose ids start so are glued dowels."""

    def change(of: Cabinet) -> Cabinet:
        joints = tuple(
            replace(j, kind="dowel", glued=True) if j.id.startswith(starts) else j for j in of.axis_joints
        )
        return replace(of, axis_joints=joints)

    return change


def fork_outline(gap: float) -> Loop:
    """A plate with two arms from x = 0 to 10 and on from x = 10 + ``gap``, 60 mm tall, joined up to y = 20."""
    return polygon_loop(
        [
            (0, 0),
            (40 + gap, 0),
            (40 + gap, 60),
            (10 + gap, 60),
            (10 + gap, 20),
            (10, 20),
            (10, 60),
            (0, 60),
        ]
    )


def fork(gap: float) -> Given:
    """A screw along -x through one arm of a fork, the other arm ``gap`` mm behind its head."""
    parts = [plate("fork", 12.0, fork_outline(gap)), plate("block", 12.0, rect(-30, 0, 0, 60))]
    members = (
        Member("fork", 4.5, None, "clearance", head=8.0),
        Member("block", 2.5, 20.0, "pilot", by_hand=True),
    )
    joint = AxisJoint(
        "screw-1", "screw", members, (10.0, 6.0, 40.0), (-1.0, 0.0, 0.0), 4.0, 30.0, thread=20.0
    )
    return lambda: (cabinet(parts, [joint]), None)


def two_pins(aside: float) -> Given:
    """A plate on two pins, alike either way but for an opening; one pin is ``aside`` mm off its mirror image."""
    spots = [(15.0, 30.0), (85.0 + aside, 30.0)]
    members = [Member("a", 8.2, 8.0, "dowel"), Member("b", 8.2, None, "dowel")]
    joints = [
        replace(pin(members, 4.0, 20.0), id=f"pin-{k}", at=(x, 4.0, z)) for k, (x, z) in enumerate(spots)
    ]
    blind = tuple(hole(x, z, 8.2, 8.0, joint=f"pin-{k}") for k, (x, z) in enumerate(spots))
    through = tuple(hole(x, z, 8.2, joint=f"pin-{k}") for k, (x, z) in enumerate(spots))
    opening = (Cutout(circle(30.0, 30.0, 6.0), "finger hole"),)
    parts = [
        plate("a", 12.0, rect(-40, -10, 150, 90), drills=blind),
        plate("b", 24.0, drills=through, cutouts=opening),
    ]
    return lambda: (cabinet(parts, joints), None)


PAIRS: dict[str, Pair] = {
    "mating-holes": Pair(
        changed_cabinet(off_axis(0.5)),
        START,
        tight=changed_cabinet(off_axis(0.08)),
        parts=("lip-block-1",),
    ),
    "driver-reach": Pair(fork(45.0), START, tight=fork(140.0), parts=("fork",)),
    "jam-access": Pair(
        changed_cabinet(glued("screw-cover", "screw-ramp")),
        START,
        tight=changed_cabinet(glued("screw-return", "dowel-")),
        parts=("board", "gutter-floor"),
    ),
    "wrong-way": Pair(two_pins(0.0), START, tight=two_pins(2.5), parts=("b",)),
    "tab-seat": Pair(
        starting(joint__mortise_fit=0.0),
        START,
        tight=starting(joint__mortise_fit=0.05),
        parts=("base", "inner-wall"),
    ),
}

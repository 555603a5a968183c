"""All checks together. Importing this module registers every family."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from desk.cabinet.model import Cabinet, Landmarks
from desk.checks import (
    access,
    asked,
    breaks,
    cautions,
    channel,
    cutting,
    depth,
    dowels,
    drop,
    edges,
    ends,
    face,
    faces,
    fingers,
    flipped,
    handled,
    heads,
    holding,
    holdtabs,
    inlet,
    inside,
    lifting,
    limits,
    lip,
    mating,
    order,
    outlines,
    people,
    pilots,
    play,
    reach,
    sag,
    screws,
    season,
    sizes,
    stacks,
    standing,
    steps,
    strength,
    tabs,
    webs,
)
from desk.checks.context import Context, ValueOf
from desk.checks.finding import RANK, Finding
from desk.checks.needs import Need
from desk.checks.registry import REGISTER, Check, evaluate
from desk.design.model import Mute
from desk.remember import Memory
from desk.shop.safety import never_muted

FAMILIES = (
    inside,
    outlines,
    face,
    drop,
    inlet,
    channel,
    lip,
    lifting,
    steps,
    dowels,
    edges,
    screws,
    depth,
    pilots,
    heads,
    holding,
    reach,
    cutting,
    sizes,
    breaks,
    faces,
    holdtabs,
    webs,
    stacks,
    people,
    play,
    ends,
    handled,
    cautions,
    fingers,
    limits,
    asked,
    strength,
    sag,
    season,
    standing,
    mating,
    tabs,
    order,
    access,
    flipped,
)
"""The modules whose import fills the register."""
LIVE = frozenset({"Ball's way"})
"""Families whose checks are run within every drag step, but for those in LATER."""
LATER = frozenset({"steps", "lifter"})
"""Checks of those families that follow a moment after a drag step."""
SLOW = frozenset(
    {
        "within-limits",
        "depth",
        "driver-reach",
        "jam-access",
        "wrong-way",
        "stands",
        "holding-tabs",
        "fingers",
        "kicker",
        "weight",
        "hole-edge",
    }
    | {"speed-window", "flight", "hand-speed", "hole-speed", "ends"}
)
"""Checks that never are run within a drag step, not even one that moves a number they name: 3 ms each and more."""
_MUTED = RANK["tight"] + 0.5
"""Where muted findings are listed: after what counts."""


class Values(Struct, frozen=True):
    """The design's number at an address."""

    of: ValueOf


_MEMORY = Memory(Cabinet, Landmarks, Values)


def checks() -> tuple[Check, ...]:
    """Every registered check by number."""
    return REGISTER.all()


def behind() -> frozenset[str]:
    """Ids of the checks that may follow a moment after a drag step; the others are run within it."""
    return frozenset(c.id for c in checks() if c.family not in LIVE or c.id in LATER)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings as they are listed: conflicts first, then tight, then muted, then clear, each by number."""
    return tuple(sorted(findings, key=lambda f: (_MUTED if f.muted else RANK[f.status], f.number, f.key)))


def with_mutes(findings: tuple[Finding, ...], mutes: Sequence[Mute]) -> tuple[Finding, ...]:
    """The findings, those that have a mute with its reason.

    What is clear, or always counts, is never muted; nor what is worse, or found at more places, than it was when it
    was muted.
    """
    kept, by_key = never_muted(), {mute.key: mute for mute in mutes}

    def told(finding: Finding) -> Finding:
        mute = by_key.get(finding.key)
        holds = mute is not None and finding.check not in kept and _holds(mute, finding)
        reason = mute.reason if mute is not None and holds else ""
        return finding if reason == finding.muted else replace(finding, muted=reason)

    return in_order(map(told, findings)) if mutes else findings


def _holds(mute: Mute, finding: Finding) -> bool:
    same = RANK[mute.status] <= RANK[finding.status] < RANK["clear"]
    return same and (not mute.places or len(finding.places) <= mute.places)


def run(
    cabinet: Cabinet,
    only: Collection[str] | None = None,
    *,
    needs: Mapping[str, Need] | None = None,
    value_of: ValueOf | None = None,
    hurried: bool = False,
) -> tuple[Finding, ...]:
    """Findings on a cabinet: conflicts first, then tight, then clear, each by number.

    ``only`` keeps to the checks with these ids; ``needs`` replaces the shipped limits; ``value_of`` gives
    the design's number at an address, so that remedies can name the value that would do; ``hurried``
    follows the largest ball alone. Raises KeyError for an id in ``only`` that no check has.
    """
    if only is not None and (unknown := set(only) - {c.id for c in checks()}):
        raise KeyError(f"no check is called {', '.join(sorted(unknown))}")
    wanted = [one for one in checks() if only is None or one.id in only]
    return in_order(f for one in wanted for f in _found(one, cabinet, needs, value_of, hurried))


def _found(
    one: Check,
    cabinet: Cabinet,
    needs: Mapping[str, Need] | None,
    value_of: ValueOf | None,
    hurried: bool,
) -> list[Finding]:
    """Findings of one check: those it made last when all that it read then still reads the same."""
    if needs is not None or value_of is None:
        return evaluate(one, Context(cabinet, needs, value_of, hurried))

    def work(noted: Cabinet, values: Values) -> list[Finding]:
        return evaluate(one, Context(noted, None, values.of, hurried))

    return _MEMORY.recall((one.id, hurried), work, cabinet, Values(value_of))

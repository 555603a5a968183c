"""The register of checks, and how their readings become findings.

A check is a function that takes a Context and yields Drafts: one reading each, with the words left to a
function that is called only for what is shown. Every conflict and every tight reading is shown; readings
that are alike (eight equal ribs) become one finding. A check with nothing wrong shows one clear finding,
the one with the least margin. A check that cannot read what it needs raises CannotEvaluate, or meets a joint that
misses its part, and stands as a conflict; any other exception is a fault of the program and passes through.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable
from typing import NamedTuple

from msgspec import Struct

from desk.cabinet.model import Status
from desk.checks.context import CannotEvaluate, Context, MissesPartError
from desk.checks.finding import NO_REMEDY, RANK, Finding, LetGo, Place, Remedy, Source, Thrown
from desk.checks.needs import Need
from desk.shapes.loop import SAME

__all__ = [
    "MOST_PLACES",
    "NOT_READ",
    "REGISTER",
    "UNREAD",
    "CannotEvaluate",
    "Check",
    "CheckFunction",
    "Draft",
    "Rating",
    "Register",
    "Sieve",
    "Told",
    "check",
    "evaluate",
    "rate",
    "worse",
]

MOST_PLACES = 6
"""A finding that stands for many like places shows this many of them."""
NOT_READ = Source("The check could not read what it needs.", "derived")
UNREAD = (CannotEvaluate, MissesPartError)
"""What ends a check as a finding; both carry the parts concerned."""


class Rating(NamedTuple):
    """A reading against its need.

    The margin is positive when the need is met, None where there is no number; ``short`` is what the reading
    lacks to be clear, zero when it is.
    """

    status: Status
    measured: float | None
    needed: float | None
    margin: float | None
    unit: str
    source: Source
    short: float = 0.0


class Told(NamedTuple):
    """The words and places of a finding, and a ball that shows it."""

    title: str
    because: str
    places: tuple[Place, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    ball: Thrown | LetGo | None = None


class Draft(Struct):
    """One reading. ``key`` names the place whatever the sizes; drafts with an equal ``like`` become one
    finding.
    """

    key: str
    parts: tuple[str, ...]
    rating: Rating
    tell: Callable[[], Told]
    like: Hashable = None


CheckFunction = Callable[[Context], Iterable[Draft]]


class Check(Struct, frozen=True):
    """A registered check.

    ``nothing`` is said when a cabinet rightly has nothing for it to look at (no screw, no dowel). A check without such
    words that comes back empty could not be made, and stands as a conflict.
    """

    number: int
    id: str
    family: str
    title: str
    nothing: str
    function: CheckFunction


class Register:
    """Checks by number; a number or an id can be taken once."""

    def __init__(self) -> None:
        self._by_number: dict[int, Check] = {}

    def check(
        self, number: int, key: str, family: str, title: str, nothing: str = ""
    ) -> Callable[[CheckFunction], CheckFunction]:
        """Decorator that registers a check function. Raises ValueError when the number or the id is taken."""

        def add(function: CheckFunction) -> CheckFunction:
            taken = [c for c in self._by_number.values() if number == c.number or key == c.id]
            if taken:
                raise ValueError(
                    f"check {number} {key!r}: {taken[0].number} {taken[0].id!r} is registered already"
                )
            self._by_number[number] = Check(number, key, family, title, nothing, function)
            return function

        return add

    def all(self) -> tuple[Check, ...]:
        """Registered checks by number."""
        return tuple(self._by_number[n] for n in sorted(self._by_number))


REGISTER = Register()
check = REGISTER.check


def rate(need: Need, measured: float, *, upper: bool = False, scale: float = 1.0, unit: str = "") -> Rating:
    """Rate a reading against a lower or upper limit; limit and tight margin are multiplied by ``scale``."""
    needed, tight = need.value * scale, need.tight * scale
    margin = needed - measured if upper else measured - needed
    short = max(0.0, max(tight, 0.0) - margin)
    return Rating(_status(margin, tight), measured, needed, margin, unit or need.unit, need.source, short)


def _status(margin: float, tight: float) -> Status:
    if margin < -SAME:
        return "conflict"
    return "tight" if margin < tight - SAME else "clear"


class Sieve:
    """Lets through the readings that can be shown: every one that is not clear, and of the clear ones those with a
    smaller margin than all before. Asking it first spares making drafts that nobody sees.
    """

    def __init__(self) -> None:
        self._least = math.inf

    def wants(self, margin: float, tight: float) -> bool:
        """Whether a reading with this margin, clear from ``tight`` on, can be shown."""
        if margin < tight - SAME:
            return True
        if margin < self._least:
            self._least = margin
            return True
        return False


def worse(*ratings: Rating) -> Rating:
    """The rating with the worst status; of equal ones the one with the least margin."""
    return min(ratings, key=_severity)


def _severity(rating: Rating) -> tuple[int, float]:
    return RANK[rating.status], math.inf if rating.margin is None else rating.margin


def evaluate(one: Check, ctx: Context) -> list[Finding]:
    """Findings of one check, worst first."""
    drafts: list[Draft] = []
    try:
        for draft in one.function(ctx):
            drafts.append(draft)
    except UNREAD as reason:
        drafts = [d for d in drafts if d.rating.status != "clear"]
        drafts.append(_not_evaluated(one, str(reason), reason.parts))
    if not drafts and one.nothing:
        return [_nothing(one)]
    if not drafts:
        drafts.append(_not_evaluated(one, "The cabinet has nothing that this check could be made on.", ()))
    wrong = [d for d in drafts if d.rating.status != "clear"]
    if not wrong:
        return [_shown(one, [min(drafts, key=lambda d: _severity(d.rating))])]
    groups: dict[Hashable, list[Draft]] = {}
    for draft in sorted(wrong, key=lambda d: _severity(d.rating)):
        same = draft.key if draft.like is None else (draft.like, draft.rating.status)
        groups.setdefault(same, []).append(draft)
    shown = (_shown(one, group) for group in groups.values())
    return list({finding.key: finding for finding in shown}.values())


def _shown(one: Check, group: list[Draft]) -> Finding:
    """The finding of a group; that it could not be read when its words or places cannot be had."""
    try:
        return _finding(one, group)
    except UNREAD as reason:
        return _finding(one, [_not_evaluated(one, str(reason), reason.parts)])


def _finding(one: Check, group: list[Draft]) -> Finding:
    first = group[0]
    told = [d.tell() for d in group[:MOST_PLACES]]
    places = [place for t in told for place in t.places]
    alike = "" if len(group) == 1 else f" ({len(group)} alike)"
    rating = first.rating
    return Finding(
        key=f"{one.id}/{min(d.key for d in group)}",
        number=one.number,
        check=one.id,
        family=one.family,
        status=rating.status,
        title=told[0].title + alike,
        parts=tuple(dict.fromkeys(p for d in group for p in d.parts)),
        measured=rating.measured,
        needed=rating.needed,
        margin=rating.margin,
        unit=rating.unit,
        because=told[0].because,
        source=rating.source,
        places=tuple(places[:MOST_PLACES]),
        remedies=tuple(r for r in told[0].remedies if r is not NO_REMEDY),
        ball=told[0].ball,
    )


def _not_evaluated(one: Check, reason: str, parts: tuple[str, ...]) -> Draft:
    rating = Rating("conflict", None, None, None, "", NOT_READ)
    return Draft("not-evaluated", parts, rating, lambda: Told(f"{one.title}: cannot be checked", reason))


def _nothing(one: Check) -> Finding:
    rating = Rating("clear", None, None, None, "", Source("Nothing to measure.", "derived"))
    return _finding(one, [Draft("none", (), rating, lambda: Told(one.title, one.nothing))])

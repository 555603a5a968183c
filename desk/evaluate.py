"""One step of the program: a design becomes a cabinet, its findings and, when asked for, its drawings."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from desk.ball.course import Course
from desk.ball.play import LARGEST, play
from desk.ball.rests import Rest, survey
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet, People
from desk.checks.context import CannotEvaluate
from desk.checks.ends import RUN_KEYS, Ended, ended, verdict
from desk.checks.finding import Finding
from desk.checks.needs import needs_of
from desk.checks.run import behind, checks, in_order, run, with_mutes
from desk.checks.trial import course_of, people_of, warm
from desk.design.edit import get
from desk.design.model import Design, Mute
from desk.shop.materials import ball_material
from desk.views.drawing import Drawing
from desk.views.views import VIEWS, draw


def resting_places(cabinet: Cabinet, legs: Collection[str] | None = None) -> tuple[Rest, ...]:
    """Where the largest ball comes to rest, on the legs with these ids or on every leg."""
    balls = cabinet.balls
    least = ball_material(balls.material, cabinet.tables).rolling[1]
    shown = (leg for leg in cabinet.legs if legs is None or leg.id in legs)
    return tuple(r for leg in shown for r in survey(leg, balls.largest, least).rests)


class Drawings(Mapping[str, Drawing]):
    """The drawings of one evaluation by view id, each made the first time it is asked for.

    It does not hold the evaluation, which holds it: what a drag step leaves behind is then freed at once, and not
    in heaps by the collector while the hand is moving.
    """

    def __init__(self, design: Design, cabinet: Cabinet, findings: tuple[Finding, ...]) -> None:
        self._design, self._cabinet, self._findings = design, cabinet, findings
        self._made: dict[str, Drawing] = {}

    def __getitem__(self, view: str) -> Drawing:
        if view not in VIEWS:
            raise KeyError(view)
        if view not in self._made:
            rests = resting_places(self._cabinet, VIEWS[view].legs)
            self._made[view] = draw(view, self._design, self._cabinet, self._findings, rests)
        return self._made[view]

    def __iter__(self) -> Iterator[str]:
        return iter(VIEWS)

    def __len__(self) -> int:
        return len(VIEWS)


@dataclass(frozen=True)
class Evaluation:
    """What follows from one design."""

    design: Design
    cabinet: Cabinet
    findings: tuple[Finding, ...]
    pending: frozenset[str] = frozenset()
    """Ids of the checks that have not been run on this design yet; their findings are missing, not clear."""

    @cached_property
    def drawings(self) -> Drawings:
        """The views, made when asked for."""
        return Drawings(self.design, self.cabinet, self.findings)

    def count(self, status: str) -> int:
        """How many findings have this status and count, or how many are "muted"."""
        return sum(1 for f in self.findings if ("muted" if f.muted else f.status) == status)

    @property
    def idle_mutes(self) -> tuple[Mute, ...]:
        """Mutes of the design that mute nothing here: what they were for is not found, or is clear."""
        used = {f.key for f in self.findings if f.muted}
        return tuple(mute for mute in self.design.mutes if mute.key not in used)

    def advance(self) -> Iterator[None]:
        """Make the throws that checks look at, then run every check in full, one with each step; ``completed`` then has
        their findings at hand.
        """
        if self.pending:
            yield from warm(self.cabinet, needs_of(self.cabinet.tables)["hand_speed"].value)
            for one in checks():
                _run(self.design, self.cabinet, (one.id,))
                yield

    def with_ends(self, ends: tuple[Finding, ...]) -> Evaluation:
        """The same with the findings on how balls end taken from a run of more throws than the check makes by itself
        (see ``desk.checks.ends.verdict``); what the check alone looks at stays.
        """
        kept = [f for f in self.findings if f.key not in RUN_KEYS]
        if any(f.check == "ends" for f in kept):  # a clear verdict is told where there is nothing worse
            ends = tuple(f for f in ends if f.status != "clear")
        return replace(self, findings=with_mutes(in_order((*kept, *ends)), self.design.mutes))

    def played(self) -> Evaluation:
        """The same after as many throws as a whole run has; itself where the ball cannot be thrown."""
        run = _run_of(self.cabinet)
        return self if run is None else self.with_ends(verdict(self.cabinet, run))

    def completed(self) -> Evaluation:
        """The same with every check run in full; itself when it is so already."""
        if not self.pending:
            return self
        return Evaluation(self.design, self.cabinet, _run(self.design, self.cabinet, None))


def evaluate(design: Design, live: bool = False, also: frozenset[str] = frozenset()) -> Evaluation:
    """Build the cabinet and run every check on it.

    ``live`` is for a step of a drag: checks that are not of the ball's way are put off, and the way is followed by
    the largest ball alone, until ``completed`` is called. ``also`` gives ids of checks that are not put off all the
    same. Raises KeyError for an id that no check has.
    """
    cabinet = build(design)
    if not live:
        return Evaluation(design, cabinet, _run(design, cabinet, None))
    late = behind() - also
    now = ({c.id for c in checks()} - late) | also
    return Evaluation(design, cabinet, _run(design, cabinet, now, hurried=True), late)


def _run_of(cabinet: Cabinet) -> Ended | None:
    try:
        return _ended(course_of(cabinet), people_of(cabinet), cabinet.balls.count)
    except CannotEvaluate:
        return None


@lru_cache(maxsize=8)
def _ended(of: Course, people: People, balls: int) -> Ended:
    """How the balls of a whole run end."""
    *_, known = play(of, people, balls, piece=LARGEST)
    return ended(known.strays, known.done)


def _run(
    design: Design, cabinet: Cabinet, only: Collection[str] | None, hurried: bool = False
) -> tuple[Finding, ...]:
    found = run(cabinet, only, value_of=lambda address: get(design, address), hurried=hurried)
    return with_mutes(found, design.mutes)

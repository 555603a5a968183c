"""Throws tried on a cabinet for its checks of play.

A sweep of every speed, straight on and exactly at each target, tells which speeds come to what; where most speeds in a
row come to a target it is made once more with speeds close together. Some hundred throws as people make them, off
their aim, tell how balls end; those that come behind the board are followed on with a ball that springs back as
little, in the middle and as much as its material may. They are the same throws for the same cabinet, made a bunch at a
time so that a window can make them while nobody waits, and kept with the course of the ball.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from desk.ball.contact import Contact, contact_ends
from desk.ball.course import LEGS, CannotPlayError, Course, course
from desk.ball.play import Stray, throws_of
from desk.ball.throw import LOST, STOPPED, UNDER, Outcome, Stage, Throws, Tracker, begin, follow, outcome
from desk.cabinet.model import Cabinet, People
from desk.checks.context import CannotEvaluate, Context
from desk.remember import whole

SLOWEST = 0.3
"""The first speed of the sweep, m/s."""
STEP = 0.0125
"""Speeds of the sweep are this far apart, m/s."""
FAST_STEP = 0.05
"""The same for speeds faster than people throw."""
FINE = 5
"""The closer sweep has so many speeds for each of the first."""
LOOSE = 400
"""So many throws are made as people make them: the first of those of a run of many."""
BUNCH = 60
"""So many throws are made at a time while a window lives on; all at once they take a third of the time."""
SOME = 4
"""One in so many of the balls that come behind the board is followed on with other restitutions as well."""
WIDEST = 10.0
"""Nobody aims farther to a side than this, degrees."""
SWEEP, PEOPLE, CLOSE = range(3)
"""Kinds of throws."""

Reals = NDArray[np.float64]


@dataclass(frozen=True)
class Run:
    """Speeds in a row that come to a target, from ``low`` to ``high`` m/s, at an aim in degrees."""

    low: float
    high: float
    aim: float

    @property
    def width(self) -> float:
        """How wide it is, m/s."""
        return self.high - self.low

    @property
    def middle(self) -> float:
        """The speed in its middle, m/s."""
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class Best:
    """The speed, m/s, and aim, degrees, to be meant for a target, and the share of such throws that come to it."""

    speed: float
    aim: float
    spread: float
    """One standard deviation of the speed of such throws, m/s."""
    share: float


class _Launches(Tracker):
    """Notes the state in which balls first leave the lip: x, z, vx, vz, y, vy in mm and mm/s, a row for each throw."""

    def __init__(self, count: int) -> None:
        self.first = np.full((count, 6), np.nan)

    def across(self, stage: Stage, i: NDArray[np.intp], leg: str) -> None:
        """See ``Tracker``."""
        if leg == "flight":
            new = i[np.isnan(self.first[i, 0])]
            columns = (stage.x, stage.z, stage.vx, stage.vz, stage.y, stage.vy)
            self.first[new] = np.column_stack([column[new] for column in columns])


class Trial:
    """The throws and, once ``finish`` has been called, their outcomes; ``kind`` tells the sweep from the rest.

    Some of the throws of people that come behind the board are followed on from there with each of two other ``ends``
    of restitution.
    """

    def __init__(
        self, of: Course, people: People, ends: tuple[Contact, Contact], top: float, aims: tuple[float, ...]
    ) -> None:
        """``top`` is the last speed of the sweep, m/s; ``aims`` are in degrees."""
        self.course, self.people = of, people
        fast = min(max(people.slow, people.fast), top)
        speeds = np.concatenate(
            (
                np.arange(SLOWEST, fast + STEP / 2, STEP),
                np.arange(fast + FAST_STEP, top + FAST_STEP / 2, FAST_STEP),
            )
        )
        grid = np.meshgrid(speeds, np.array(aims), indexing="ij")
        loose = throws_of(people)
        self.speed = np.concatenate((grid[0].ravel(), loose.speed[:LOOSE]))
        self.aim = np.concatenate((grid[1].ravel(), loose.aim[:LOOSE]))
        self.kind = np.repeat([SWEEP, PEOPLE], [grid[0].size, LOOSE])
        self._ends = ends
        self._done: list[Outcome] = []
        self._launch: list[Reals] = []
        self._behind: list[NDArray[np.intp]] = []
        self._kept: list[Stage] = []
        """Some of the balls that come behind the board, as they come."""
        self._others: list[Outcome] = []
        """What becomes of those with each of the ends."""
        self._made = 0
        self._sweep = int(grid[0].size)

    def steps(self) -> Iterator[None]:
        """Make the throws that are missing, a bunch with each step."""
        while self._step(BUNCH):
            yield

    def finish(self) -> Trial:
        """The same with every throw made."""
        while self._step(len(self.speed)):
            pass
        return self

    def _step(self, count: int) -> bool:
        """Do a piece of what there is to do; whether there was any."""
        if self._made < len(self.speed):
            self._make(count)
        elif self._kept and len(self._others) < len(self._ends):
            contact = self._ends[len(self._others)]
            self._others.append(follow(replace(self.course, contact=contact), _some(self._kept)))
        else:
            return False
        return True

    def _make(self, count: int) -> None:
        """The next throws; those of the sweeps are followed no farther than through the board."""
        swept = self._made < self._sweep
        end = min(self._made + count, self._sweep if swept else len(self.speed))
        part = slice(self._made, end)
        stage, eye = begin(self.course, Throws(self.speed[part], self.aim[part])), _Launches(end - self._made)
        follow(self.course, stage, whole=False, tracker=eye)
        on = np.nonzero(stage.running & (stage.leg == UNDER) & (self.kind[part] == PEOPLE))[0]
        if on.size:
            self._kept.append(_rows(stage, on))
            stage.running[:] = False
            stage.running[on] = True
            follow(self.course, stage)
        self._done.append(outcome(self.course, stage))
        self._launch.append(eye.first)
        self._behind.append(on + self._made)
        self._made = end
        if swept and end == self._sweep:
            self._look_closer()

    def _look_closer(self) -> None:
        """Add the throws of the closer sweeps, which the coarse one has just told where to make."""
        found = (self.longest(target, SWEEP) for target in range(1, len(self.course.scores)))
        for run in (r for r in found if r is not None):
            n = round(run.width / STEP) + 2
            speeds = run.low - STEP + STEP / FINE * np.arange(n * FINE + 1)
            self.speed = np.concatenate((self.speed, speeds))
            self.aim = np.concatenate((self.aim, np.full(len(speeds), run.aim)))
            self.kind = np.concatenate((self.kind, np.full(len(speeds), CLOSE)))

    def column(self, name: str) -> Reals:
        """One of the outcome's arrays for all throws made."""
        return np.concatenate([getattr(done, name) for done in self._done])

    @property
    def people_count(self) -> int:
        """How many throws of people there are."""
        return int((self.kind == PEOPLE).sum())

    @property
    def launch(self) -> Reals:
        """(throws, 6): how balls left the lip for the first time, x, z, vx, vz, y, vy in mm and mm/s; NaN: never."""
        return np.concatenate(self._launch)

    @property
    def behind(self) -> NDArray[np.intp]:
        """Numbers of the throws of people that came behind the board."""
        return np.concatenate(self._behind)

    def returned(self, name: str) -> tuple[Reals, Reals, Reals]:
        """One of the outcome's arrays for one in ``SOME`` of those throws, with the lowest, the middle and the highest
        restitution.
        """
        low, high = (getattr(done, name) for done in self._others)
        return low, self.column(name)[self.behind[::SOME]], high

    def scoring(self, target: int) -> Reals:
        """(k, 2) speeds and aims of the sweep's throws that came to a target, slowest first."""
        on = (self.kind[: self._made] == SWEEP) & (self.column("result") == target)
        return np.column_stack((self.speed[: self._made][on], self.aim[: self._made][on]))

    def best(self, target: int) -> Best | None:
        """What people should mean when they want the target; None when no speed of theirs comes to it.

        Each speed of the sweep that comes there stands for the speeds as far as half-way to the next one tried; the
        speeds of throws are spread normally about the one meant. Of the aim no spread is reckoned with.
        """
        found, best = self.scoring(target), None
        low, high = sorted((self.people.slow, self.people.fast))
        for aim in np.unique(found[:, 1]).tolist():
            speed = found[found[:, 1] == aim, 0]
            meant = speed[(speed >= low) & (speed <= high + 1e-9)]
            spread = np.maximum(self.people.speed_spread * meant, STEP)[:, None]
            step = np.where(speed > high + 1e-9, FAST_STEP, STEP)
            off = (speed - meant[:, None]) / spread
            share = (step * np.exp(-off * off / 2) / (spread * math.sqrt(2 * math.pi))).sum(axis=1)
            k = int(share.argmax()) if len(meant) else -1
            if k >= 0 and (best is None or share[k] > best.share):
                best = Best(float(meant[k]), aim, float(spread[k, 0]), float(share[k]))
        return best

    def longest(self, target: int, kind: int = CLOSE) -> Run | None:
        """The most speeds in a row of those people throw with that come to a target, of one of the sweeps; its ends
        lie half-way to the next speed tried. None when no throw comes there.
        """
        made, best = self._made, None
        result, speed, aim = self.column("result"), self.speed[:made], self.aim[:made]
        low, high = sorted((self.people.slow, self.people.fast))
        mine = (self.kind[:made] == kind) & (speed >= low - STEP) & (speed <= high + 1e-9)
        for one in np.unique(aim[mine & (result == target)]).tolist():
            row = np.nonzero(mine & (aim == one))[0]
            row = row[np.argsort(speed[row], kind="stable")]
            for run in _in_a_row(speed[row], result[row] == target, STEP if kind == SWEEP else STEP / FINE):
                if best is None or run[1] - run[0] > best.width + 1e-9:
                    best = Run(run[0], run[1], one)
        return best

    def strays(self) -> tuple[Stray, ...]:
        """The throws of people whose ball did not come back, by their number in a run of many."""
        result, leg, at = self.column("result"), self.column("leg"), self.column("at")
        first = int(np.nonzero(self.kind == PEOPLE)[0][0])
        on = np.nonzero((self.kind == PEOPLE) & ((result == LOST) | (result == STOPPED)))[0]
        return tuple(
            Stray(
                k - first,
                float(self.speed[k]),
                float(self.aim[k]),
                int(result[k]),
                LEGS[int(leg[k])],
                (float(at[k, 0]), float(at[k, 1])),
            )
            for k in on.tolist()
        )


def _in_a_row(speed: Reals, hit: NDArray[np.bool_], step: float) -> Iterator[tuple[float, float]]:
    """Ends of the rows of hits among rising speeds tried a step apart: half a step beyond the first and the last."""
    begins, ends = hit.copy(), hit.copy()
    joined = np.diff(speed) < 1.5 * step
    begins[1:] &= ~(hit[:-1] & joined)
    ends[:-1] &= ~(hit[1:] & joined)
    for a, b in zip(speed[begins].tolist(), speed[ends].tolist(), strict=True):
        yield a - step / 2, b + step / 2


def _rows(stage: Stage, rows: NDArray[np.intp]) -> Stage:
    """A stage with copies of some of the rows."""
    return Stage(**{f.name: getattr(stage, f.name)[rows] for f in fields(stage)})


def _some(stages: list[Stage]) -> Stage:
    """One in ``SOME`` of the balls of all stages, as one stage."""
    return Stage(
        **{f.name: np.concatenate([getattr(s, f.name) for s in stages])[::SOME] for f in fields(Stage)}
    )


def people_of(cabinet: Cabinet) -> People:
    """Who throws. Raises CannotEvaluate when the cabinet does not tell."""
    if cabinet.people is None:
        raise CannotEvaluate("The cabinet does not tell how fast people throw.")
    return cabinet.people


def trial(cabinet: Cabinet, hand: float) -> Trial:
    """The throws for a cabinet, none of them made yet or all that were asked for before.

    Up to the speed ``hand`` (m/s) or the people's own, whichever is higher. Raises CannotEvaluate when the ball
    cannot run at all.
    """
    people, of = people_of(cabinet), course_of(cabinet)
    aims = {0.0, *(_aim(of, target.at) for target in cabinet.targets)}
    return _trial(
        of,
        people,
        contact_ends(cabinet.balls.material, cabinet.tables),
        max(people.slow, people.fast, hand),
        tuple(sorted(a for a in aims if abs(a) <= WIDEST)),
    )


def tried(ctx: Context) -> Trial:
    """Every throw that the checks look at. Raises CannotEvaluate as ``trial`` does."""
    return trial(whole(ctx.cabinet), ctx.need("hand_speed").value).finish()


def course_of(cabinet: Cabinet) -> Course:
    """The way of the nominal ball. Raises CannotEvaluate when it cannot run at all."""
    try:
        return course(cabinet)
    except CannotPlayError as reason:
        raise CannotEvaluate(f"The ball cannot be thrown: {reason}") from reason


def _aim(of: Course, at: tuple[float, float]) -> float:
    """Degrees from straight ahead, to the right positive, from the middle of the lane's front to a target."""
    x, y, _ = of.face.world(*at)
    return round(math.degrees(math.atan2(y - of.middle, x - of.start[0])), 2)


@lru_cache(maxsize=4)
def _trial(
    of: Course, people: People, ends: tuple[Contact, Contact], top: float, aims: tuple[float, ...]
) -> Trial:
    return Trial(of, people, ends, top, aims)


def warm(cabinet: Cabinet, hand: float) -> Iterator[None]:
    """Make the throws a bunch at a time, so that the checks find them made; none where nothing can be played."""
    try:
        yield from trial(cabinet, hand).steps()
    except CannotEvaluate:
        return

"""Throws tried on a cabinet for its checks of play.

A sweep of every speed, straight on and exactly at each target, tells which speeds come to what; a handful of throws as
people make them, off their aim, tells how balls end. They are the same throws for the same cabinet, made a bunch at a
time so that a window can make them while nobody waits, and kept with the course of the ball.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from desk.ball.course import CannotPlayError, Course, course
from desk.ball.play import throws_of
from desk.ball.throw import Outcome, Throws, throw
from desk.cabinet.model import Cabinet, People
from desk.checks.context import CannotEvaluate

SLOWEST = 0.3
"""The first speed of the sweep, m/s."""
STEP = 0.0125
"""Speeds of the sweep are this far apart, m/s."""
LOOSE = 400
"""So many throws are made as people make them."""
BUNCH = 60
"""So many throws are made at a time while a window lives on; all at once they take a third of the time."""
WIDEST = 10.0
"""Nobody aims farther to a side than this, degrees."""


class Trial:
    """The throws and, once ``finish`` has been called, their outcomes; ``swept`` tells the sweep from the rest."""

    def __init__(self, of: Course, people: People, top: float, aims: tuple[float, ...]) -> None:
        """``top`` is the last speed of the sweep, m/s; ``aims`` are in degrees."""
        self.course = of
        speeds = np.arange(SLOWEST, top + STEP / 2, STEP)
        grid = np.meshgrid(speeds, np.array(aims), indexing="ij")
        loose = throws_of(people, LOOSE)
        self.speed = np.concatenate((grid[0].ravel(), loose.speed))
        self.aim = np.concatenate((grid[1].ravel(), loose.aim))
        self.swept = np.arange(len(self.speed)) < grid[0].size
        self._sweep = int(self.swept.sum())
        self._done: list[Outcome] = []
        self._made = 0

    def steps(self) -> Iterator[None]:
        """Make the throws that are missing, a bunch with each step."""
        while self._made < len(self.speed):
            self._make(BUNCH)
            yield

    def finish(self) -> Trial:
        """The same with every throw made."""
        while self._made < len(self.speed):
            self._make(len(self.speed))
        return self

    def _make(self, count: int) -> None:
        """The next throws; those of the sweep are followed no farther than through the board."""
        of_sweep = self._made < self._sweep
        end = min(self._made + count, self._sweep if of_sweep else len(self.speed))
        part = slice(self._made, end)
        throws = Throws(self.speed[part], self.aim[part])
        self._done.append(throw(self.course, throws, whole=not of_sweep))
        self._made = end

    def column(self, name: str) -> NDArray[np.float64]:
        """One of the outcome's arrays for all throws."""
        return np.concatenate([getattr(done, name) for done in self._done])

    def scoring(self, target: int) -> NDArray[np.float64]:
        """(k, 2) speeds and aims of the sweep's throws that came to a target, slowest first."""
        on = self.swept & (self.column("result") == target)
        return np.column_stack((self.speed[on], self.aim[on]))


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
        max(people.slow, people.fast, hand),
        tuple(sorted(a for a in aims if abs(a) <= WIDEST)),
    )


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
def _trial(of: Course, people: People, top: float, aims: tuple[float, ...]) -> Trial:
    return Trial(of, people, top, aims)


def warm(cabinet: Cabinet, hand: float) -> Iterator[None]:
    """Make the throws a bunch at a time, so that the checks find them made; none where nothing can be played."""
    try:
        yield from trial(cabinet, hand).steps()
    except CannotEvaluate:
        return

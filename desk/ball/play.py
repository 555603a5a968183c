"""How a cabinet plays: thousands of throws as people make them, counted as they come in.

A person means to throw at some speed between the slowest and the fastest, all alike, and straight ahead; speed and
aim then come out with a normal spread. The same seed gives the same throws whatever the size of the pieces they
are run in, so that each can be run again by its number.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from desk.ball.course import LEGS, CannotPlayError, Course
from desk.ball.edges import Reals, Whole
from desk.ball.throw import LOST, STOPPED, Outcome, Throws, throw
from desk.cabinet.model import People

THROWS, SEED = 10_000, 1
PIECE, LARGEST = 500, 10_000
"""Throws in the first piece of a run, and the most in any: a piece takes time by itself, and little for each throw."""
SLOWEST = 0.02
"""No throw is slower than this, m/s."""


@dataclass(frozen=True)
class End:
    """How often balls came to one end: ``result`` as in ``throw.Outcome``, share and its standard error."""

    result: int
    score: float
    count: int
    share: float
    error: float


@dataclass(frozen=True)
class Stray:
    """A throw whose ball did not come back: its number, speed (m/s), aim (degrees), how and on which leg it ended.

    ``at`` is where the ball's middle was in that leg's plane, mm.
    """

    number: int
    speed: float
    aim: float
    result: int
    leg: str
    at: tuple[float, float]


@dataclass(frozen=True)
class PlayStatistics:
    """What the first ``done`` of ``total`` throws came to."""

    done: int
    total: int
    ends: tuple[End, ...]
    """Targets first, each once even if no ball came to it; then gutter, back, lost, stopped."""
    ball: float
    """Mean score of a ball."""
    round: float
    """Expected score of a round in which every ball of the box is thrown once, and its standard error."""
    round_error: float
    back: float
    """Share of balls that come back to the hand."""
    lost: float
    """Share that does not: out of the cabinet or stopped."""
    time: float
    """Mean time from hand to rest of the balls that come back, s; NaN when none does."""
    strays: tuple[Stray, ...]
    landings: Reals
    """(n, 2): where balls first touched the face, mm in its plane."""


def throws_of(people: People, count: int = THROWS, seed: int = SEED) -> Throws:
    """The throws of people who mean every speed between their slowest and fastest alike."""
    random = np.random.default_rng(seed)
    draws = random.random(count), random.standard_normal(count), random.standard_normal(count)
    low, high = sorted((people.slow, people.fast))
    speed = (low + (high - low) * draws[0]) * (1 + people.speed_spread * draws[1])
    return Throws(np.maximum(speed, SLOWEST), people.aim_spread * draws[2])


def play(
    course: Course,
    people: People | None,
    balls: int,
    total: int = THROWS,
    seed: int = SEED,
    piece: int = PIECE,
) -> Iterator[PlayStatistics]:
    """Run ``total`` throws piece by piece, each twice as large as the one before; what is known is told after each
    piece, and the run ends when nobody asks on.

    ``piece`` is how many throws the first one has, ``balls`` how many make a round. Raises CannotPlayError when nobody
    is told to throw.
    """
    if people is None:
        raise CannotPlayError("Nobody throws: the cabinet does not tell how people throw")
    throws = throws_of(people, total, seed)
    done: list[Outcome] = []
    first = 0
    while first < total:
        part = slice(first, min(first + piece, total))
        done.append(throw(course, Throws(throws.speed[part], throws.aim[part])))
        yield statistics(course, throws, done, total, balls)
        first, piece = part.stop, min(2 * piece, LARGEST)


def statistics(course: Course, throws: Throws, done: list[Outcome], total: int, balls: int) -> PlayStatistics:
    """Count outcomes, which belong to the first of the throws."""
    result = np.concatenate([d.result for d in done])
    score = np.concatenate([d.score for d in done])
    time = np.concatenate([d.time for d in done])
    landing = np.concatenate([d.landing for d in done])
    n = len(result)
    gone = (result == LOST) | (result == STOPPED)
    mean, spread = float(score.mean()), float(score.std(ddof=1)) if n > 1 else 0.0
    return PlayStatistics(
        done=n,
        total=total,
        ends=_ends(course, result, n),
        ball=mean,
        round=balls * mean,
        round_error=balls * spread / math.sqrt(n),
        back=float((~gone).mean()),
        lost=float(gone.mean()),
        time=float(time[~gone].mean()) if (~gone).any() else math.nan,
        strays=_strays(throws, done, np.nonzero(gone)[0]),
        landings=landing[np.isfinite(landing[:, 0])],
    )


def _ends(course: Course, result: Whole, n: int) -> tuple[End, ...]:
    targets = [h.target for h in course.ground.holes if h.target]
    others = sorted({int(r) for r in np.unique(result)} - set(targets), reverse=True)
    out = []
    for key in [*sorted(set(targets)), *others]:
        count = int((result == key).sum())
        share = count / n
        out.append(
            End(
                key,
                float(course.scores[key]) if key > 0 else 0.0,
                count,
                share,
                math.sqrt(share * (1 - share) / n),
            )
        )
    return tuple(out)


def _strays(throws: Throws, done: list[Outcome], numbers: Whole) -> tuple[Stray, ...]:
    leg = np.concatenate([d.leg for d in done])
    result = np.concatenate([d.result for d in done])
    at = np.concatenate([d.at for d in done])
    return tuple(
        Stray(
            k,
            float(throws.speed[k]),
            float(throws.aim[k]),
            int(result[k]),
            LEGS[int(leg[k])],
            (float(at[k, 0]), float(at[k, 1])),
        )
        for k in numbers.tolist()
    )

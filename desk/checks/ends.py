"""Play: how balls end. Into the hole at the speed they come with, and that every ball comes back.

Whatever the number of throws, the same rules hold for their ends: ``verdict`` rates a run of many as the check rates
the few it makes itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from desk.ball.board import IN_HOLE
from desk.ball.course import LEGS
from desk.ball.face import play
from desk.ball.play import Stray
from desk.ball.throw import LOST, STOPPED
from desk.cabinet.model import Cabinet, Target
from desk.checks.context import Context
from desk.checks.finding import Finding, LetGo, Remedy, Thrown
from desk.checks.legs import ball_at, balls_of, governing, said
from desk.checks.mechanics import GRAVITY, capture_speed, roll_in_speed
from desk.checks.play import FAMILY, ring
from desk.checks.registry import REGISTER, Draft, Told, check, evaluate, rate
from desk.checks.trial import PEOPLE, SOME, Reals, Trial, course_of, tried
from desk.remember import whole
from desk.shapes.loop import Point

UNDER_RAIL = (-35.0, 0.0, 35.0)
"""Where balls are let go under a round rail, degrees from its top."""
ALONG_VEE = (-0.7, 0.0, 0.7)
"""Where balls are let go over a vee, as shares of its reach."""
THROWN_OUT = ("lane", "flight", "face")
"""Legs on which a ball leaves the cabinet because of how it was thrown."""
CLEAR = 0.5
"""They are let go so far from the rail, mm."""


RUN_KEYS = frozenset({"ends/stops", "ends/lost"})
"""Keys of the findings that ``verdict`` makes."""


@check(24, "hole-speed", FAMILY, "Into the hole at its speed", "The board has no target.")
def hole_speed(ctx: Context) -> Iterator[Draft]:
    """Of the balls that touch a hole's rim enough fall in, and what lies within a rail rolls into its hole.

    A target whose rim no ball touches is left to the check on speeds that score.
    """
    made = tried(ctx)
    hole, rims = made.column("hole"), made.column("rims")
    for target in (t for t in ctx.cabinet.targets if t.number < rims.shape[1]):
        came = np.nonzero((made.kind == PEOPLE) & np.isfinite(rims[:, target.number, 0]))[0]
        if len(came):
            fell = hole[came] == target.number
            yield _arrival(ctx, target, made, came, fell, rims[came, target.number])
    yield from _rolled_in(ctx)


def _arrival(
    ctx: Context,
    target: Target,
    made: Trial,
    came: NDArray[np.intp],
    fell: NDArray[np.bool_],
    rim: Reals,
) -> Draft:
    """How many of the balls that touched the rim fell in, and how many of each kind: those slow enough for a clean
    fall on their way, up the board, across or down, and the faster ones, which rails and the far rim have to stop.
    """
    rating = rate(ctx.need("hole_takes"), float(fell.mean()))
    tilt, radius = math.radians(ctx.cabinet.marks.lengths["tilt"]), ctx.cabinet.balls.diameter / 2
    clean = partial(capture_speed, target.hole / 2, radius, tilt)
    slow = np.array([v <= clean(up / v if v else 1.0) for v, up in rim.tolist()])
    because = (
        f"{fell.sum()} of {len(came)} balls that touch the rim fall in = {rating.measured:.2f}; needed "
        f"{rating.needed:g}. Slow enough to fall in cleanly came {slow.sum()}, and {(slow & fell).sum()} of them "
        f"fell in; of {(~slow).sum()} faster ones rails and the far rim stopped {(~slow & fell).sum()}. Clean over "
        f"the middle is x / t + s g sin a t / 2 with x = {target.hole:g} - {radius:g} mm, t = sqrt(2 r / (g cos a)): "
        f"up the board (s = 1) {clean(1.0):.2f} m/s, across {clean(0.0):.2f}, down it {clean(-1.0):.2f}"
    )
    remedies = (
        ctx.remedy(f"targets.{target.number}.hole", 0.0, "Make the hole larger"),
        ctx.remedy("kicker.exit", 0.0, "Let balls come down more steeply"),
        ctx.remedy(f"targets.{target.number}.up", 0.0, "Move the target"),
    )
    k = int(came[(fell == (rating.status == "clear")).argmax()])
    title = f"Balls at the rim of hole {target.number}"
    ball = Thrown(float(made.speed[k]), float(made.aim[k]))
    told = Told(title, because, (ring(ctx, target),), remedies, ball)
    return Draft(f"speed/target {target.number}", ("board",), rating, partial(said, told))


def _rolled_in(ctx: Context) -> Iterator[Draft]:
    """Balls let go at rest within the rails, all of them in one go."""
    starts = [(t, at) for t in ctx.cabinet.targets for at in _starts(t, ctx.cabinet.balls.diameter / 2)]
    if not starts:
        return
    of = course_of(whole(ctx.cabinet))
    free = np.array([of.ground.free(*at) for _, at in starts])
    state = np.zeros((len(starts), 9))
    state[:, :2], state[:, 2] = [at for _, at in starts], of.radius
    done = play(of.ground, of.contact, state, np.zeros(len(starts)))
    fell = free & (done.place == IN_HOLE) & (done.target == [t.number for t, _ in starts])
    for target in ctx.cabinet.targets:
        mine = np.array([t is target for t, _ in starts])
        if mine.any():
            stuck = [at for (t, at), ok in zip(starts, fell.tolist(), strict=True) if t is target and not ok]
            yield _rolling(ctx, target, int(fell[mine].sum()), stuck)


def _starts(target: Target, radius: float) -> tuple[Point, ...]:
    """Where balls are let go within a target's rail; none where it has none."""
    x, y = target.at
    if target.kind in ("ring", "horseshoe"):
        reach = max(target.rail - radius - CLEAR, 0.0)
        turns = [math.radians(90.0 + turn) for turn in UNDER_RAIL]
        return tuple((x + reach * math.cos(a), y + reach * math.sin(a)) for a in turns)
    if target.kind == "vee":
        return tuple(
            (x + s * target.rail, y + abs(s) * target.rail + target.hole / 2 + radius) for s in ALONG_VEE
        )
    return ()


def _rolling(ctx: Context, target: Target, caught: int, stuck: Sequence[Point]) -> Draft:
    need = ctx.need("falls_in")
    tilt, radius = math.radians(ctx.cabinet.marks.lengths["tilt"]), ctx.cabinet.balls.diameter / 2
    still = math.sqrt(GRAVITY * radius / 1000 * math.cos(tilt))
    (x, y), at = target.at, _starts(target, radius)[1]
    run = max(math.hypot(at[0] - x, at[1] - y) - target.hole / 2, 0.0)
    came = roll_in_speed(run, tilt, balls_of(ctx).rolling[0])
    rating = rate(need, float(caught))
    because = (
        f"{caught} of {len(UNDER_RAIL)} let go within the rail fall in; from its middle they roll {run:.1f} mm to "
        f"the rim, which gives at most {came:.2f} m/s; below sqrt(g r cos a) = {still:.2f} m/s a "
        f"ball does not fly off the rim"
    )
    remedies = (
        ctx.remedy(f"targets.{target.number}.hole", 0.0, "Make the hole larger"),
        ctx.remedy(f"targets.{target.number}.rail", 0.0, "Bring the rail nearer"),
        ctx.remedy("board.tilt", 0.0, "Tilt the board less"),
    )
    ball = LetGo("face", stuck[0] if stuck else at)
    told = Told(f"Ball that rolls into hole {target.number}", because, (ring(ctx, target),), remedies, ball)
    return Draft(f"target {target.number}", ("board",), rating, partial(said, told))


@check(25, "ends", FAMILY, "Every thrown ball comes back")
def ends(ctx: Context) -> Iterator[Draft]:
    """Of the throws people make, none stops where no rest is meant, and few leave the cabinet.

    A ball that runs over the lip into the pick-up tray has come back; that the lip does not hold it is told by the
    lip's own check.
    """
    made = tried(ctx)
    yield from _drafts(ctx, ended(made.strays(), made.people_count))
    if len(made.behind):
        yield _behind(ctx, made)


class Ended(NamedTuple):
    """How the balls of a run ended: how many throws, how many stopped and left, and some of the throws that did."""

    total: int
    stopped: int
    lost: int
    strays: Sequence[Stray]


def ended(strays: Sequence[Stray], total: int) -> Ended:
    """The same from all throws whose balls did not come back."""
    stopped = sum(s.result == STOPPED for s in strays)
    return Ended(total, stopped, len(strays) - stopped, strays)


def verdict(cabinet: Cabinet, run: Ended) -> tuple[Finding, ...]:
    """The findings of the same check on a run of throws, worst first."""

    def judged(ctx: Context) -> Iterator[Draft]:
        return _drafts(ctx, run)

    one = next(c for c in REGISTER.all() if c.id == "ends")
    return tuple(evaluate(replace(one, function=judged), Context(cabinet)))


def _drafts(ctx: Context, run: Ended) -> Iterator[Draft]:
    for key, what, result, count in (
        ("stops", "stop on the way", STOPPED, run.stopped),
        ("lost", "leave the cabinet", LOST, run.lost),
    ):
        rating = rate(ctx.need(key), 100 * count / run.total, upper=True)
        because = (
            f"{count} of {run.total} throws {what} = {rating.measured:.2f} %; at most {rating.needed:g} %"
        )
        mine = [s for s in run.strays if s.result == result]
        yield Draft(key, ("board",), rating, partial(_tell_end, ctx, mine, because, what))


def _tell_end(ctx: Context, mine: Sequence[Stray], because: str, what: str, spring: int = 0) -> Told:
    """Where such balls are, the first of them as thrown, and what shapes the way there; ``spring`` as in ``Thrown``."""
    if not mine:
        return Told(f"Balls that {what}", because)
    first = mine[0]
    leg = ctx.cabinet.leg_by_id[first.leg]
    how = f"{first.speed:.4f} m/s, {first.aim:+.3f} deg"
    because += f"; the first is throw {first.number}, {how}, on: {leg.label.lower()}"
    size = ctx.cabinet.balls.diameter
    places = tuple(
        ball_at(ctx.cabinet.leg_by_id[s.leg], s.at, size) for s in mine[:6] if np.isfinite(s.at).all()
    )
    remedies: tuple[Remedy, ...] = (
        ctx.remedy("people.fast", 0.0, "Throw less hard"),
        ctx.remedy("lane.guard", 0.0, "Make the sides higher"),
    )
    if first.result == STOPPED or first.leg not in THROWN_OUT:
        remedies = governing(ctx, leg, "Let the ball run on here", first.at)
    return Told(f"Balls that {what}", because, places, remedies, Thrown(first.speed, first.aim, spring))


def _behind(ctx: Context, made: Trial) -> Draft:
    """Balls that do not come back from behind the board where they spring back less or more than in the middle."""
    low, middle, high = ((r == STOPPED) | (r == LOST) for r in made.returned("result"))
    gone = [np.flatnonzero(r & ~middle) for r in (low, high)]
    worse = int(len(gone[1]) > len(gone[0]))
    rating = rate(ctx.need("stops"), 100 * len(gone[worse]) / len(middle), upper=True)
    because = (
        f"of {len(middle)} balls, one in {SOME} of the {len(made.behind)} that come behind the board, "
        f"{len(gone[0])} more stay there where they spring back as little as their material may, and {len(gone[1])} "
        f"more where they do as much = {rating.measured:.2f} %; at most {rating.needed:g} %"
    )
    mine = _missing(made, gone[worse], 2 * worse)
    around = ctx.cabinet.leg_by_id[mine[0].leg].solids if mine else ()
    parts = tuple(dict.fromkeys(s.part for s in around)) or ("gutter-floor",)
    tell = partial(_tell_end, ctx, mine, because, "stay behind the board", 2 * worse - 1)
    return Draft("behind", parts, rating, tell)


def _missing(made: Trial, rows: NDArray[np.intp], end: int) -> list[Stray]:
    """The throws of these rows of ``Trial.returned``, and where their balls are with its restitution number ``end``."""
    result, leg, at = (made.returned(name)[end] for name in ("result", "leg", "at"))
    first = int(np.flatnonzero(made.kind == PEOPLE)[0])
    numbers = made.behind[::SOME]
    return [
        Stray(
            int(numbers[k]) - first,
            float(made.speed[numbers[k]]),
            float(made.aim[numbers[k]]),
            int(result[k]),
            LEGS[int(leg[k])],
            (float(at[k, 0]), float(at[k, 1])),
        )
        for k in rows.tolist()
    ]

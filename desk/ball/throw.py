"""Throws from the front of the lane to their end: which leg a ball reaches, what it scores, where and how fast.

One code for one ball and for a hundred thousand. Nothing here is random: the same throw ends the same way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from desk.ball.board import IN_HOLE, OFF_FOOT, OVER
from desk.ball.course import AT_LIP, FACE, GAP, Course
from desk.ball.edges import BORDER, GRAVITY, Reals, Whole
from desk.ball.exits import outside, rises
from desk.ball.face import Played, play
from desk.ball.flock import Flock, Log, flock
from desk.ball.ground import STEP_TOP
from desk.ball.outline import Outline
from desk.ball.plane import RESTING, Motion
from desk.ball.rests import CREST_SHARE

GUTTER, BACK, LOST, STOPPED = 0, -1, -2, -3
"""Results besides the numbers of targets: through the gutter, back to the front stop, out of the cabinet, and come to
an end inside it where no ball is taken from."""
ROUNDS = 8
"""How often a ball may go to and fro between lane, flight and face."""
LANE, FLIGHT, ON_FACE, UNDER, CATCH, CHANNEL = range(6)
NO = np.nan


@dataclass(frozen=True)
class Throws:
    """Speed in m/s and aim in degrees from straight ahead, to the right positive; one entry each for every throw."""

    speed: Reals
    aim: Reals

    def __post_init__(self) -> None:
        speed, aim = np.broadcast_arrays(np.atleast_1d(self.speed), np.atleast_1d(self.aim))
        object.__setattr__(self, "speed", np.array(speed, dtype=float))
        object.__setattr__(self, "aim", np.array(aim, dtype=float))

    def __len__(self) -> int:
        return len(self.speed)


@dataclass(frozen=True)
class Outcome:
    """What became of throws, one row each.

    ``result``: the target's number, or ``GUTTER``, ``BACK``, ``LOST``, ``STOPPED``. ``leg``: index into
    ``course.LEGS`` of the last leg. ``landing``: where a ball first touched the face, (n, 2), mm in the face's
    plane, NaN for never. ``rims``: (n, numbers, 2), m/s along the face and up it with which it came to a target's
    rim, as last touched from over the hole. ``at_lip``: speed, m/s, when it came to the waiting place. NaN when it
    did not. ``at``: x, y of the ball's middle in the last leg's plane. ``time`` in s.
    """

    result: Whole
    score: Reals
    leg: Whole
    time: Reals
    landing: Reals
    rims: Reals
    at_lip: Reals
    hopped: NDArray[np.bool_]
    """Ran over the lip of the waiting place into the tray."""
    hole: Whole
    """Number of the target whose hole a ball fell into, whatever became of it behind the board; 0 for none."""
    at: Reals

    def __len__(self) -> int:
        return len(self.result)


@dataclass
class Stage:
    """Balls on their way: section state, what they do across, and what is known of them so far."""

    x: Reals
    z: Reals
    vx: Reals
    vz: Reals
    w: Reals
    y: Reals
    vy: Reals
    time: Reals
    leg: Whole
    result: Whole
    landing: Reals
    rims: Reals
    at_lip: Reals
    hopped: NDArray[np.bool_]
    hole: Whole
    face: Reals
    """States (n, 9) on the board face."""
    running: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, dtype=bool))


UNKNOWN = 99


def begin(course: Course, throws: Throws) -> Stage:
    """Balls at the front of the lane, rolling."""
    n = len(throws)
    aim, speed = np.radians(throws.aim), throws.speed * 1000.0
    x, z = course.start
    ahead = speed * np.cos(aim)
    return Stage(
        np.full(n, x), np.full(n, z), ahead, np.zeros(n), ahead.copy(), np.full(n, course.middle),
        speed * np.sin(aim), np.zeros(n), np.zeros(n, dtype=np.intp), np.full(n, UNKNOWN, dtype=np.intp),
        np.full((n, 2), NO), np.full((n, course.ground.numbers, 2), NO), np.full(n, NO), np.zeros(n, dtype=bool),
        np.zeros(n, dtype=np.intp), np.zeros((n, 9)), np.ones(n, dtype=bool),
    )  # fmt: skip


class Tracker:
    """Told of what one ball does, for drawing; the base notes nothing."""

    def section(self, leg: str) -> Log | None:  # noqa: ARG002 - the drawing one reads it
        """What the plane kernel is to call for the moves on a leg."""
        return None

    def across(self, stage: Stage, i: Whole, leg: str) -> None:
        """Called before the ball moves on a leg, while time, y and vy are those it starts with."""

    def board(self, played: Played) -> None:
        """Called with what happened on the face."""


def throw(course: Course, throws: Throws, whole: bool = True, tracker: Tracker | None = None) -> Outcome:
    """Run throws to their ends; with ``whole`` false balls that fell through the board are not followed on."""
    return follow(course, begin(course, throws), whole, tracker)


def follow(course: Course, stage: Stage, whole: bool = True, tracker: Tracker | None = None) -> Outcome:
    """The same from wherever the balls of ``stage`` are."""
    eye = tracker or Tracker()
    moves = (_lane, _flight, _face, _under, _catch, _channel)
    last = len(moves) if whole else UNDER
    for _ in range(ROUNDS):
        for number in range(last):
            i = np.nonzero(stage.running & (stage.leg == number))[0]
            if i.size:
                moves[number](course, stage, i, eye)
        if not (stage.running & (stage.leg < last)).any():
            break
    _end(stage, np.nonzero(stage.running & (stage.leg < last))[0], STOPPED)
    return outcome(course, stage)


def outcome(course: Course, stage: Stage) -> Outcome:
    """The stage as a result."""
    at = np.column_stack((stage.x, stage.z))
    on = stage.leg == ON_FACE
    at[on] = stage.face[on][:, :2]
    result = stage.result
    score = np.where(result > 0, course.scores[np.clip(result, 0, None)], 0.0)
    return Outcome(
        result,
        score,
        stage.leg,
        stage.time,
        stage.landing,
        stage.rims,
        stage.at_lip,
        stage.hopped,
        stage.hole,
        at,
    )


def _end(s: Stage, i: Whole, result: int | Whole) -> None:
    s.result[i], s.running[i] = result, False


def _run(course: Course, s: Stage, i: Whole, leg: str, eye: Tracker) -> Flock:
    """Move balls through one section; their stage then holds where they are at its end."""
    motion = Motion(course.edges[leg], course.contact, course.contact.panel, eye.section(leg))
    return _moved(motion, s, i)


def _moved(motion: Motion, s: Stage, i: Whole) -> Flock:
    b = flock(s.x[i], s.z[i], s.vx[i], s.vz[i], s.w[i], s.time[i])
    motion.enter(b)
    motion.run(b)
    s.x[i], s.z[i], s.vx[i], s.vz[i], s.w[i], s.time[i] = b.x, b.y, b.vx, b.vy, b.w, b.time
    return b


def drift(course: Course, y: Reals, vy: Reals, dt: Reals, spring: float) -> tuple[Reals, Reals]:
    """Where balls are across after ``dt``, between walls that give back ``spring`` of their speed."""
    half, middle = course.ground.half, course.middle
    y, vy, dt = y - middle, np.array(vy), np.array(dt)
    for _ in range(6):
        goes = vy != 0
        hit = np.where(goes, (np.sign(vy) * half - y) / np.where(goes, vy, 1.0), np.inf)
        met = hit < dt
        go = np.where(met, np.maximum(hit, 0.0), dt)
        y = y + vy * go
        vy, dt = np.where(met, -vy * spring, vy), dt - go
        if not met.any():
            break
    return np.clip(y, -half, half) + middle, vy


def rolling_spring(contact_panel: float) -> float:
    """Share of its speed across that a rolling ball has after a wall: its spin, still turned the old way, eats most.

    The deck brings speed v and surface speed w to (5 v + 2 w) / 7; the wall leaves v' = -e v, w' = v.
    """
    return max((5 * contact_panel - 2) / 7, 0.0)


def _across(course: Course, s: Stage, i: Whole, before: Reals, spring: float) -> None:
    s.y[i], s.vy[i] = drift(course, s.y[i], s.vy[i], s.time[i] - before, spring)


def _rolled(course: Course, s: Stage, i: Whole, leg: str, eye: Tracker) -> Flock:
    """Balls run to the end of a leg, and roll from wall to wall across it meanwhile."""
    before = s.time[i]
    eye.across(s, i, leg)
    b = _run(course, s, i, leg, eye)
    _across(course, s, i, before, rolling_spring(course.contact.panel))
    return b


def _lane(course: Course, s: Stage, i: Whole, eye: Tracker) -> None:
    b = _rolled(course, s, i, "lane", eye)
    names = course.edges["lane"].names
    over = b.end == names.index("over the lip")
    s.leg[i[over]] = FLIGHT
    stop = course.legs["lane"].rests[0].shape.bounds
    home = (b.end == RESTING) & (b.x <= stop[2]) & (b.x >= stop[0])
    home |= (b.end == RESTING) & _balanced(course.edges["lane"], b)
    _end(s, i[home], BACK)
    astray = ~home & ~over
    _end(s, i[astray], _strays(course, "lane", b)[astray])


def _strays(course: Course, leg: str, b: Flock) -> Whole:
    """What becomes of balls that end on a leg where they should not."""
    out = (b.end == course.edges[leg].names.index(BORDER)) & outside(course.legs[leg], b.y)
    return np.where(out, LOST, STOPPED)


def _balanced(edges: Outline, b: Flock) -> NDArray[np.bool_]:
    """Balls on a crest, where the least nudge sends them off: where they lie still no ball stays."""
    k = edges.cells.edge[b.cell]
    crest: NDArray[np.bool_] = (edges.turn[k] < 0) & (edges.turn[edges.before[k]] < 0)
    return crest & (edges.length[k] <= 2 * CREST_SHARE * edges.radius)


def _flight(course: Course, s: Stage, i: Whole, eye: Tracker) -> None:
    edges = course.edges["flight"]
    before = s.time[i]
    over = _over_wall(course, s, i)
    eye.across(s, i, "flight")
    b = _run(course, s, i, "flight", eye)
    _across(course, s, i, before, course.contact.panel)
    face, gap, lane = (b.end == edges.names.index(n) for n in (FACE, GAP, BORDER))
    lane &= (b.x < course.legs["flight"].room.bounds[0] + course.radius) & (b.vx < 0) & ~over
    gap &= ~over
    s.leg[i[face]], s.leg[i[gap]], s.leg[i[lane]] = ON_FACE, UNDER, LANE
    _onto_face(course, s, i[face])
    s.result[i[gap]] = GUTTER
    gone = over | ~(face | gap | lane)
    _end(s, i[gone], np.where(over, LOST, _strays(course, "flight", b))[gone])


def _over_wall(course: Course, s: Stage, i: Whole) -> NDArray[np.bool_]:
    """Balls that reach a wall in their first flight where it is lower than they are."""
    g = course.ground
    side = np.abs(s.vy[i]) > 1e-9
    vy = np.where(side, s.vy[i], 1.0)
    t = np.where(side, (np.sign(vy) * g.half + course.middle - s.y[i]) / vy, np.inf)
    t = np.where(t > 0, t, np.inf)
    x = s.x[i] + s.vx[i] * np.where(np.isfinite(t), t, 0.0)
    z = (
        s.z[i]
        + s.vz[i] * np.where(np.isfinite(t), t, 0.0)
        - GRAVITY / 2 * np.where(np.isfinite(t), t, 0.0) ** 2
    )
    along = x - course.foot[0]
    tops = np.array(g.wall_top)
    k = np.clip(((along - g.wall_x0) / STEP_TOP).astype(np.intp), 0, len(tops) - 1)
    y, _ = course.on_face(x, z)
    return np.isfinite(t) & (y < 0) & (z > course.foot[1]) & (z - course.foot[1] > tops[k])


def _onto_face(course: Course, s: Stage, i: Whole) -> None:
    """Section state to the state over the face."""
    y, h = course.on_face(s.x[i], s.z[i])
    c, n = math.cos(course.ground.tilt), math.sin(course.ground.tilt)
    vy, vh = s.vx[i] * c + s.vz[i] * n, s.vz[i] * c - s.vx[i] * n
    side = s.vy[i] * course.out
    s.face[i] = np.column_stack(
        (
            (s.y[i] - course.middle) * course.out,
            np.maximum(y, 0.0),
            h,
            side,
            vy,
            vh,
            -s.w[i],
            side * c,
            -side * n,
        )
    )


def _face(course: Course, s: Stage, i: Whole, eye: Tracker) -> None:
    done = play(course.ground, course.contact, s.face[i], s.time[i])
    eye.board(done)
    s.face[i], s.time[i] = done.state, done.time
    fresh = np.isnan(s.landing[i, 0])
    s.landing[i[fresh]] = done.first[fresh]
    sunk = done.place == IN_HOLE
    s.rims[i] = np.where(np.isnan(done.rims), s.rims[i], done.rims / 1000)
    _into_hole(course, s, i[sunk], done.target[sunk])
    off = i[done.place == OFF_FOOT]
    f = s.face[off]
    s.x[off], s.z[off] = course.off_face(f[:, 1], f[:, 2])
    s.x[off] += course.foot[0]
    s.z[off] += course.foot[1]
    s.vx[off], s.vz[off] = course.off_face(f[:, 4], f[:, 5])
    s.w[off] = -f[:, 6]
    s.y[off], s.vy[off] = f[:, 0] * course.out + course.middle, f[:, 3] * course.out
    s.leg[off] = np.where(s.x[off] > course.legs["flight"].room.bounds[0], FLIGHT, LANE)
    _end(s, i[done.place == OVER], LOST)
    _end(s, i[(done.place != OVER) & (done.place != OFF_FOOT) & ~sunk], STOPPED)


def _into_hole(course: Course, s: Stage, i: Whole, target: Whole) -> None:
    """Through the board: down the hole's axis, against its lower side, to where the ball is clear of the board's
    back."""
    if not i.size:
        return
    f, g = s.face[i], course.ground
    by = {h.target: h for h in g.holes}
    h0 = -course.back
    fall = np.maximum(f[:, 2] - h0, 0.0)
    a = GRAVITY * math.cos(g.tilt)
    v0 = np.maximum(-f[:, 5], 0.0)
    v1 = np.sqrt(v0 * v0 + 2 * a * fall)
    y = np.array([by[int(k)].y - max(by[int(k)].radius - course.radius, 0.0) for k in target])
    x, z = course.off_face(y, np.full(len(i), h0))
    s.x[i], s.z[i] = x + course.foot[0], z + course.foot[1]
    s.vx[i], s.vz[i] = course.off_face(np.zeros(len(i)), -v1)
    s.w[i], s.vy[i] = 0.0, 0.0
    s.y[i] = np.array([by[int(k)].x for k in target]) * course.out + course.middle
    s.time[i] += 2 * fall / np.maximum(v0 + v1, 1e-6)
    s.result[i], s.hole[i], s.leg[i] = target, target, UNDER


def _under(course: Course, s: Stage, i: Whole, eye: Tracker) -> None:
    b = _rolled(course, s, i, "under", eye)
    names = course.edges["under"].names
    down = b.end == names.index("trough")
    up = (b.end == names.index(BORDER)) & rises(course.legs["under"], course.foot, b.x, b.y)
    s.leg[i[down]], s.leg[i[up]] = CATCH, FLIGHT
    _end(s, i[~down & ~up], STOPPED)


def _catch(course: Course, s: Stage, i: Whole, eye: Tracker) -> None:
    """Along the ramp: the section looks along x, and what speed the ball had that way is spent in the trough.

    A ball that springs up higher than the section is under the board again.
    """
    frame = course.legs["catch"].frame
    deep = np.clip(s.x[i], *course.trough)
    s.x[i], s.vx[i], s.w[i] = (s.y[i] - frame.origin[1]) * frame.u[1], s.vy[i] * frame.u[1], 0.0
    eye.across(s, i, "catch")
    b = _run(course, s, i, "catch", eye)
    s.y[i] = frame.origin[1] + b.x * frame.u[1]
    on = b.end == course.edges["catch"].names.index("channel")
    s.leg[i[on]] = CHANNEL
    s.x[i[on]], s.vx[i[on]], s.w[i[on]], s.vy[i[on]] = deep[on], 0.0, 0.0, 0.0
    up = (b.end == course.edges["catch"].names.index(BORDER)) & (b.vy > 0)
    s.leg[i[up]] = UNDER
    s.x[i[up]], s.vx[i[up]], s.w[i[up]], s.vy[i[up]] = deep[up], 0.0, 0.0, b.vx[up] * frame.u[1]
    _end(s, i[~on & ~up], STOPPED)


def _channel(course: Course, s: Stage, i: Whole, eye: Tracker) -> None:
    """Down the channel; head-on against the panel nothing of the ramp's speed was left."""
    leg = course.legs["channel"]
    s.y[i] = leg.frame.origin[1]
    eye.across(s, i, "channel")
    first = Motion(course.arrival, course.contact, course.contact.panel, eye.section("channel"))
    b = _moved(first, s, i)
    came = b.end == course.arrival.names.index(AT_LIP)
    s.at_lip[i[came]] = np.hypot(b.vx, b.vy)[came] / 1000
    on = i[came]
    if on.size:
        c = _run(course, s, on, "channel", eye)
        b.end[came], b.x[came] = c.end, c.x
    names = [z.name for z in leg.rests]
    waits, tray = (leg.rests[names.index(n)].shape.bounds for n in ("waiting place", "pick-up tray"))
    home = (b.end == RESTING) & (b.x >= waits[0]) & (b.x <= waits[2])
    s.hopped[i] = (b.end == RESTING) & (b.x >= tray[0]) & (b.x <= tray[2]) & ~home
    good = home | s.hopped[i]
    _end(s, i[good], s.result[i[good]])
    _end(s, i[~good], _strays(course, "channel", b)[~good])

"""One ball's way as a drawing needs it: time-stamped points on each leg, in the leg's plane and in the world.

``path`` throws a ball; ``drop`` lets one go from anywhere on a leg. The same throw or drop always runs the same way.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from desk.ball.board import IN_HOLE, OFF_FOOT, OVER
from desk.ball.contact import contact_ends
from desk.ball.course import LEGS, CannotPlayError, Course, course
from desk.ball.edges import BORDER, Reals, Whole
from desk.ball.exits import outside, rises
from desk.ball.face import Played, play
from desk.ball.flock import FLY, Log, Move, flock
from desk.ball.outline import outline
from desk.ball.plane import ASTRAY, RESTING, Motion
from desk.ball.throw import (
    BACK,
    GUTTER,
    LOST,
    STOPPED,
    Outcome,
    Stage,
    Throws,
    Tracker,
    begin,
    drift,
    follow,
    rolling_spring,
)
from desk.cabinet.model import Cabinet, Leg
from desk.shapes.frame import Frame, Vec
from desk.shapes.loop import Point

RESULTS = {
    GUTTER: "through the gutter",
    BACK: "back to the front stop",
    LOST: "out of the cabinet",
    STOPPED: "stopped",
}


@dataclass(frozen=True)
class Stretch:
    """The way on one leg: times (s), points in the leg's plane (mm) and the ball's middle in the world (mm)."""

    leg: str
    time: tuple[float, ...]
    points: tuple[Point, ...]
    world: tuple[Vec, ...]


@dataclass(frozen=True)
class Path:
    """A ball's whole way. ``result`` is as in ``throw.Outcome``; ``ended`` says it in words."""

    stretches: tuple[Stretch, ...]
    result: int
    ended: str
    score: float
    outcome: Outcome | None = None

    @property
    def time(self) -> float:
        """How long it took, s."""
        return self.stretches[-1].time[-1] if self.stretches else 0.0

    @cached_property
    def _starts(self) -> tuple[float, ...]:
        return tuple(s.time[0] for s in self.stretches)

    def at(self, time: float) -> tuple[str, Point, Vec]:
        """Leg, point in its plane and world point of the ball's middle at a time; its ends before and after."""
        stretch = self.stretches[max(bisect_right(self._starts, time) - 1, 0)]
        k = min(max(bisect_right(stretch.time, time), 1), len(stretch.time) - 1)
        if not k:
            return stretch.leg, stretch.points[0], stretch.world[0]
        t0, t1 = stretch.time[k - 1], stretch.time[k]
        f = min(max((time - t0) / (t1 - t0), 0.0), 1.0) if t1 > t0 else 1.0
        p, q, a, b = stretch.points[k - 1], stretch.points[k], stretch.world[k - 1], stretch.world[k]
        return (
            stretch.leg,
            (p[0] + f * (q[0] - p[0]), p[1] + f * (q[1] - p[1])),
            (a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]), a[2] + f * (b[2] - a[2])),
        )


class _Pen(Tracker):
    """Keeps what one ball does."""

    def __init__(self, of: Course) -> None:
        self.of = of
        self.stretches: list[Stretch] = []
        self._moves: list[Move] = []
        self._leg, self._t, self._y, self._vy = "", 0.0, 0.0, 0.0

    def section(self, leg: str) -> Log:  # noqa: ARG002 - told by across
        """See ``Tracker``."""
        return self._moves.append

    def across(self, stage: Stage, i: Whole, leg: str) -> None:
        """See ``Tracker``."""
        self.flush()
        k = int(i[0])
        self._leg, self._t = leg, float(stage.time[k])
        self._y, self._vy = float(stage.y[k]), float(stage.vy[k])

    def board(self, played: Played) -> None:
        """See ``Tracker``."""
        self.flush()
        self.stretches.append(face_stretch(self.of.face, played))

    def flush(self) -> None:
        """Turn the moves of the leg that has been left into a stretch."""
        moves, self._moves = self._moves, []
        if not moves:
            return
        time, x, z = _joined(moves)
        frame = self.of.legs[self._leg].frame
        if self._leg in ("catch", "channel"):
            world = _in_world(frame, x, z)
            if self._leg == "catch":
                deep = sum(self.of.trough) / 2
                world = [(deep, p[1], p[2]) for p in world]
        else:
            panel = self.of.contact.panel
            spring = panel if self._leg == "flight" else rolling_spring(panel)
            n = len(time)
            y, _ = drift(self.of, np.full(n, self._y), np.full(n, self._vy), time - self._t, spring)
            world = list(zip(x.tolist(), y.tolist(), z.tolist(), strict=True))
        points = tuple(zip(x.tolist(), z.tolist(), strict=True))
        self.stretches.append(Stretch(self._leg, tuple(time.tolist()), points, tuple(world)))


def _joined(moves: list[Move]) -> tuple[Reals, Reals, Reals]:
    time = np.array([t for m in moves for t in m.time])
    x, z = np.array([x for m in moves for x in m.x]), np.array([y for m in moves for y in m.y])
    new = np.concatenate([[True], (np.diff(time) > 0) | (np.diff(x) != 0) | (np.diff(z) != 0)])
    return time[new], x[new], z[new]


def _in_world(frame: Frame, x: Reals, y: Reals, high: Reals | float = 0.0) -> list[Vec]:
    """World points of points so ``high`` above a plane."""
    axes = zip(frame.origin, frame.u, frame.v, frame.normal, strict=True)
    return list(zip(*((o + x * u + y * v + high * n).tolist() for o, u, v, n in axes), strict=True))


def face_stretch(frame: Frame, played: Played) -> Stretch:
    """The way over the face."""
    time, x, y, high = np.array(played.track)[:, :4].T
    points = tuple(zip(x.tolist(), y.tolist(), strict=True))
    return Stretch("face", tuple(time.tolist()), points, tuple(_in_world(frame, x, y, high)))


def path(
    cabinet: Cabinet, speed: float, aim: float = 0.0, diameter: float | None = None, spring: int = 0
) -> Path:
    """The way of a ball thrown at ``speed`` m/s, ``aim`` degrees to the right of straight ahead.

    ``spring``: from behind the board on it springs back as little (-1), in the middle (0) or as much (1) as its
    material may. Raises CannotPlayError when the cabinet leaves no room for the ball.
    """
    of = course(cabinet, diameter)
    pen, stage = _Pen(of), begin(of, Throws(np.array([speed]), np.array([aim])))
    if spring:
        follow(of, stage, whole=False, tracker=pen)
        pen.flush()
        low, high = contact_ends(cabinet.balls.material, cabinet.tables)
        pen.of = of = replace(of, contact=low if spring < 0 else high)
    done = follow(of, stage, tracker=pen)
    pen.flush()
    result = int(done.result[0])
    return Path(_through_holes(pen.stretches), result, _words(result, done), float(done.score[0]), done)


def _through_holes(stretches: list[Stretch]) -> tuple[Stretch, ...]:
    """The stretches, with the fall through the board as the last of those on the face."""
    out = list(stretches)
    for k, (a, b) in enumerate(pairwise(stretches)):
        if (a.leg, b.leg) == ("face", "under"):
            out[k] = Stretch(a.leg, (*a.time, b.time[0]), (*a.points, a.points[-1]), (*a.world, b.world[0]))
    return tuple(out)


def _words(result: int, done: Outcome) -> str:
    said = RESULTS.get(result, f"target {result}")
    return f"{said}, over the lip into the tray" if done.hopped[0] else said


def drop(cabinet: Cabinet, leg_id: str, point: Point, diameter: float | None = None) -> Path:
    """Let a ball go at rest from a point of a leg: where it runs on that leg, and where it stops.

    Raises CannotPlayError where the ball's middle cannot be, and KeyError for a leg that is not.
    """
    if leg_id == "face":
        return _drop_on_face(cabinet, point, diameter)
    of = course(cabinet, diameter)
    leg = cabinet.leg_by_id[leg_id]
    edges = outline(leg, 2 * of.radius, of.contact)
    if not edges.holds(*point):
        raise CannotPlayError(f"{leg.label}: there is wood where the ball would be")
    moves: list[Move] = []
    motion = Motion(edges, of.contact, of.contact.panel, moves.append)
    b = flock(*(np.array([v]) for v in (point[0], point[1], 0.0, 0.0, 0.0, 0.0)))
    motion.enter(b)
    motion.run(b)
    moves = moves or [Move(FLY, [0.0], [point[0]], [point[1]], 0.0, 0.0)]
    time, x, z = _joined(moves)
    points = tuple(zip(x.tolist(), z.tolist(), strict=True))
    stretch = Stretch(leg_id, tuple(time.tolist()), points, tuple(leg.frame.world(*p) for p in points))
    end = int(b.end[0])
    if end >= 0:
        return Path((stretch,), *_beyond(of, leg, edges.names[end], points[-1]), 0.0)
    meant = next((z.name for z in leg.rests if _in(z.shape.bounds, points[-1])), "")
    if end == RESTING and meant:
        return Path((stretch,), GUTTER, f"at rest: {meant}", 0.0)
    return Path(
        (stretch,), STOPPED, "never comes to rest" if end == ASTRAY else "stops where no rest is meant", 0.0
    )


def _beyond(of: Course, leg: Leg, name: str, at: Point) -> tuple[int, str]:
    """Result of a ball that has left a leg by an end of this name, and the same in words."""
    if name != BORDER:
        return GUTTER, f"to the {name}"
    if leg.id == "under" and rises(leg, of.foot, *at):
        return GUTTER, "up in front of the board"
    return (LOST, RESULTS[LOST]) if outside(leg, at[1]) else (STOPPED, "falls where no ball is taken from")


def let_go(
    cabinet: Cabinet, leg_id: str, point: Point, across: float | None = None, diameter: float | None = None
) -> Path:
    """Let a ball go at rest from a point of a leg and follow it through every leg it comes to.

    ``across``: world y of a ball on a leg that runs to the back; None for the middle of the lane. In the channel the
    ball is followed to its end there. Raises as ``drop`` does.
    """
    of = course(cabinet, diameter)
    if leg_id not in LEGS or leg_id == "channel":
        return drop(cabinet, leg_id, point, diameter)
    _room_for(of, cabinet.leg_by_id[leg_id], point)
    stage, pen = begin(of, Throws(np.zeros(1), np.zeros(1))), _Pen(of)
    stage.leg[0] = LEGS.index(leg_id)
    stage.x[0], stage.z[0] = point
    stage.y[0] = of.middle if across is None else across
    if leg_id == "face":
        stage.face[0, :3] = (*point, of.radius)
    elif leg_id == "catch":
        frame = of.legs["catch"].frame
        stage.x[0], stage.y[0] = sum(of.trough) / 2, frame.world(*point)[1]
    if leg_id in ("under", "catch"):
        stage.result[0] = GUTTER
    done = follow(of, stage, tracker=pen)
    pen.flush()
    result = int(done.result[0])
    return Path(_through_holes(pen.stretches), result, _words(result, done), float(done.score[0]), done)


def _room_for(of: Course, leg: Leg, point: Point) -> None:
    """Raises CannotPlayError where the ball's middle cannot be on a leg."""
    on_face = leg.id == "face"
    free = of.ground.free(*point) if on_face else outline(leg, 2 * of.radius, of.contact).holds(*point)
    if not free:
        raise CannotPlayError(f"{leg.label}: there is wood where the ball would be")


def _in(bounds: tuple[float, float, float, float], p: Point) -> bool:
    return bounds[0] <= p[0] <= bounds[2] and bounds[1] <= p[1] <= bounds[3]


def _drop_on_face(cabinet: Cabinet, point: Point, diameter: float | None) -> Path:
    of = course(cabinet, diameter)
    state = np.zeros((1, 9))
    state[0, :3] = (*point, of.radius)
    if not of.ground.free(*point):
        raise CannotPlayError("Board face: there is wood where the ball would be")
    done = play(of.ground, of.contact, state, np.zeros(1))
    stretch = face_stretch(of.face, done)
    place = int(done.place[0])
    if place == IN_HOLE:
        target = int(done.target[0])
        return Path((stretch,), target, f"target {target}", float(of.scores[target]))
    result, said = {
        OFF_FOOT: (GUTTER, "to the gutter"),
        OVER: (LOST, RESULTS[LOST]),
    }.get(place, (STOPPED, "stops where no rest is meant"))
    return Path((stretch,), result, said, 0.0)

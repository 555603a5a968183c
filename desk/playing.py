"""Playing with a cabinet, without a window: a ball in the hand, the throw on view and those before it, what to say of
them, and which speed comes to what.

Lengths in mm, speeds in m/s, aims in degrees to the right of straight ahead, times in s.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Generic, TypeVar

import numpy as np
import shapely

from desk.ball.course import CannotPlayError, Course, course, runs_alike
from desk.ball.edges import Reals, Whole
from desk.ball.motion import Path, let_go
from desk.ball.outline import outline
from desk.ball.throw import BACK, GUTTER, LOST, STOPPED, Throws, throw
from desk.cabinet.model import Cabinet, Leg
from desk.shapes.loop import Point
from desk.views.drawing import Drawing, Item
from desk.views.playing import GHOSTS, Trail, end_items, moving_items, trail

if TYPE_CHECKING:
    from desk.shapes.frame import Vec

LEGS_OF: dict[str, tuple[str, ...]] = {
    "lane": ("under", "flight", "lane"),
    "channel": ("channel",),
    "rear": ("catch",),
    "face": ("face",),
}
"""Legs in which a ball may be let go, by view, in the order they are tried."""
SECTION_OF = {
    "lane": "lane",
    "flight": "lane",
    "face": "lane",
    "under": "lane",
    "channel": "channel",
    "lift": "channel",
}
"""The section in which a ball on a leg is best seen; on the legs not named any will do."""
BEFORE_THE_GUTTER = ("lane", "flight", "face")
"""Legs from which a ball that meets no hole comes through the gutter; one let go behind them only comes back."""
ENDS = {GUTTER: "gutter", BACK: "rolls back", LOST: "lost", STOPPED: "stops"}
"""Ends that are no target, in words."""
WOOD = "There is wood here"
OUTSIDE = "This is outside the ball's way"
COVERED = "The return is covered here; let the ball go in the section through it"
ABOVE = 0.02
"""A ball put on the deck is let go so far above it, mm."""


@dataclass
class Playback:
    """A clock that runs at true speed or slower from 0 to ``length`` s."""

    length: float
    rate: float = 1.0
    time: float = 0.0
    paused: bool = False

    def advance(self, gone: float) -> None:
        """So many seconds have gone by."""
        if not self.paused:
            self.time = min(self.length, self.time + gone * self.rate)

    @property
    def over(self) -> bool:
        """Whether the end is reached."""
        return self.time >= self.length


@dataclass(frozen=True)
class Spot:
    """Where a ball is let go: a leg, a point in its plane, and for legs that run to the back the world's y."""

    leg: str
    point: Point
    across: float | None = None


def spot(cabinet: Cabinet, drawing: Drawing, at: Point) -> Spot:
    """The place on the ball's way that is meant by a point of a view. Raises CannotPlayError when there is none."""
    world = drawing.frame.world(*at)
    if drawing.id == "plan":
        return _from_above(cabinet, world)
    of = course(cabinet)
    inside = False
    for key in LEGS_OF[drawing.id]:
        leg = cabinet.leg_by_id[key]
        x, y, _ = leg.frame.local(world)
        inside = inside or leg.room.contains(shapely.Point(x, y))
        if _free(of, leg, (x, y)):
            return Spot(key, (x, y))
    raise CannotPlayError(WOOD if inside else OUTSIDE)


def _free(of: Course, leg: Leg, at: Point) -> bool:
    if leg.id == "face":
        x0, y0, x1, y1 = leg.room.bounds
        return x0 < at[0] < x1 and y0 < at[1] < y1 and bool(of.ground.free(*at))
    if leg.id == "under" and of.on_face(np.array(at[0]), np.array(at[1]))[1] > 0:
        return False  # what is over the face is in flight
    return outline(leg, 2 * of.radius, of.contact).holds(*at)


def _from_above(cabinet: Cabinet, world: Vec) -> Spot:
    """On the board where the board is, on the deck where the deck is."""
    of = course(cabinet)
    face, lane = cabinet.leg_by_id["face"], cabinet.leg_by_id["lane"]
    if abs(world[1] - of.middle) > of.ground.half:
        raise CannotPlayError(
            COVERED if abs(world[1] - cabinet.leg_by_id["channel"].frame.origin[1]) < of.radius else WOOD
        )
    up = (world[0] - face.frame.origin[0]) / face.frame.v[0]
    on_board = ((world[1] - face.frame.origin[1]) * of.out, up)
    if _free(of, face, on_board):
        return Spot("face", on_board)
    if 0 < up < face.room.bounds[3]:
        raise CannotPlayError(WOOD)
    edges = outline(lane, 2 * of.radius, of.contact)
    a = edges.start[: edges.count]
    b = a + edges.along[: edges.count] * edges.length[: edges.count, None]
    under = (np.minimum(a[:, 0], b[:, 0]) <= world[0]) & (np.maximum(a[:, 0], b[:, 0]) >= world[0])
    under &= np.abs(b[:, 0] - a[:, 0]) > 1e-9
    for k in np.nonzero(under)[0]:
        share = (world[0] - a[k, 0]) / (b[k, 0] - a[k, 0])
        at = (world[0], float(a[k, 1] + share * (b[k, 1] - a[k, 1])) + ABOVE)
        if edges.holds(*at):
            return Spot("lane", at, world[1])
    raise CannotPlayError(OUTSIDE)


def dropped(cabinet: Cabinet, place: Spot) -> Path:
    """The way of a ball let go there. Raises CannotPlayError inside wood."""
    return let_go(cabinet, place.leg, place.point, place.across)


# --- words


def told(way: Path, cabinet: Cabinet) -> str:
    """What became of a ball, as a sentence or two."""
    after = f"after {way.time:.1f} s"
    label = cabinet.leg_by_id[way.stretches[-1].leg].label if way.stretches else ""
    if way.result == STOPPED:
        return f"Stops {after} where no rest is meant. {label}."
    if way.result == LOST:
        return f"Leaves the cabinet {after}. {label}."
    if way.result == BACK:
        alone = {s.leg for s in way.stretches} == {"lane"}
        why = "Too slow for the kicker: rolls" if alone else "Comes off the board and over the kicker"
        return f"{why} back to the front stop {after}."
    if way.outcome is None:
        return f"{way.ended[:1].upper()}{way.ended[1:]}, {after}."
    points = (
        f"Target {way.result}: {way.score:g} points."
        if way.result > GUTTER
        else "Through the gutter: no points."
        if any(s.leg in BEFORE_THE_GUTTER for s in way.stretches)
        else ""
    )
    where = "Over the lip into the pick-up tray" if way.outcome.hopped[0] else "Back in the waiting place"
    return f"{points} {where} {after}.".lstrip()


def went_wrong(way: Path) -> bool:
    """Whether a ball stopped where no rest is meant, or left the cabinet."""
    return way.result in (STOPPED, LOST)


def same_play(a: Cabinet, b: Cabinet) -> bool:
    """Whether people play the same with both, and make rounds of as many balls."""
    return runs_alike(a, b) and (a.people, a.balls) == (b.people, b.balls)


# --- what is on view


@dataclass
class Scene:
    """The ball's way on view, how far it is played, and the ways before it, newest first."""

    radius: float = 8.0
    way: Path | None = None
    play: Playback | None = None
    before: list[Path] = field(default_factory=list)
    _trails: dict[tuple[int, str], tuple[Path, Trail]] = field(default_factory=dict)

    def begin(self, way: Path, radius: float, rate: float) -> None:
        """Put a new way on view from its start; the one on view becomes the newest of those before."""
        if self.way is not None:
            self.before = [self.way, *self.before][:GHOSTS]
        self.way, self.radius, self.play = way, radius, Playback(way.time, rate)
        kept = {id(w) for w in (way, *self.before)}
        self._trails = {key: made for key, made in self._trails.items() if key[0] in kept}

    def retire(self) -> None:
        """The cabinet has changed: the way on view is one of those before."""
        if self.way is not None:
            self.before = [self.way, *self.before][:GHOSTS]
            self.way = self.play = None

    def clear(self) -> None:
        """Nothing is on view."""
        self.way = self.play = None
        self.before.clear()
        self._trails.clear()

    def again(self) -> None:
        """Play the way on view from its start."""
        if self.play is not None:
            self.play.time, self.play.paused = 0.0, False

    def items(self, drawing: Drawing) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
        """What lies below the sizes of a drawing, and what above them."""
        below, above = moving_items(
            self._trail(self.way, drawing) if self.way else None,
            self.play.time if self.play else 0.0,
            self.radius,
            [self._trail(way, drawing) for way in self.before],
        )
        if self.way is None or self.play is None or not self.play.over or not went_wrong(self.way):
            return below, above
        end = self._trail(self.way, drawing).rest
        words = "stops here" if self.way.result == STOPPED else "leaves here"
        return below, (*above, *(end_items(end, self.radius, words) if end else ()))

    def _trail(self, way: Path, drawing: Drawing) -> Trail:
        key = (id(way), drawing.id)
        if key not in self._trails:
            self._trails[key] = (way, trail(way, drawing))
        return self._trails[key][1]

    @property
    def leg(self) -> str:
        """The leg the ball is on now, "" for none."""
        return self.way.at(self.play.time)[0] if self.way and self.play and self.way.stretches else ""


# --- which speed comes to what


@dataclass(frozen=True)
class Window:
    """Speeds that come to the same: from ``low`` to ``high`` m/s, the result as in ``desk.ball.throw``, its score."""

    low: float
    high: float
    result: int
    score: float


@dataclass(frozen=True)
class Sweep:
    """What throws of every speed from ``low`` to ``high`` come to at one aim; ``step`` is the gap between two tried."""

    low: float
    high: float
    aim: float
    step: float
    windows: tuple[Window, ...]

    def at(self, speed: float) -> Window | None:
        """The window a speed lies in."""
        return next((w for w in self.windows if w.low <= speed <= w.high), None)

    @property
    def least(self) -> float | None:
        """The lowest speed tried that does not roll back down the lane; None when all do."""
        return next((w.low for w in self.windows if w.result != BACK), None)


def sweep(of: Course, low: float, high: float, aim: float, count: int) -> Sweep:
    """Try ``count`` speeds evenly from ``low`` to ``high``. An edge lies half-way between two that differ."""
    speeds = np.linspace(low, high, count)
    done = throw(of, Throws(speeds, np.full(count, aim)))
    return Sweep(low, high, aim, (high - low) / (count - 1), windows(speeds, done.result, done.score))


def windows(speeds: Reals, result: Whole, score: Reals) -> tuple[Window, ...]:
    """Runs of speeds with the same result."""
    cuts = (np.nonzero(np.diff(result))[0] + 1).tolist()
    ends = [0, *cuts, len(speeds)]
    edges = [float(speeds[0]), *(float(speeds[k - 1] + speeds[k]) / 2 for k in cuts), float(speeds[-1])]
    return tuple(
        Window(edges[k], edges[k + 1], int(result[a]), float(score[a]))
        for k, (a, _) in enumerate(pairwise(ends))
    )


def reach_of(cabinet: Cabinet) -> tuple[float, float]:
    """Slowest and fastest speed worth trying: the people's own and a little beyond, m/s."""
    people = cabinet.people
    slow, fast = (people.slow, people.fast) if people is not None else (0.6, 2.5)
    low, high = min(slow, fast), max(slow, fast)
    beyond = 0.1 * max(high - low, 0.5)
    return max(0.05, math.floor((low - beyond) * 10) / 10), math.ceil((high + beyond) * 10) / 10


def named(result: int, score: float) -> str:
    """A result in a few words."""
    return ENDS.get(result) or f"target {result}, {score:g} points"


# --- runs of many throws, before and after a change

T = TypeVar("T")
KEPT = 4


class Runs(Generic[T]):
    """What whole runs came to, by the cabinet they were run with; the last few, newest last."""

    def __init__(self) -> None:
        self._kept: list[tuple[Cabinet, T]] = []

    def keep(self, cabinet: Cabinet, run: T) -> None:
        """Remember a run; it takes the place of one with a cabinet that plays the same."""
        others = [(c, r) for c, r in self._kept if not same_play(c, cabinet)]
        self._kept = [*others, (cabinet, run)][-KEPT:]

    def of(self, cabinet: Cabinet) -> T | None:
        """The run with a cabinet that plays like this one."""
        return next((r for c, r in self._kept if same_play(c, cabinet)), None)

    def before(self, cabinet: Cabinet) -> T | None:
        """The newest run with a cabinet that plays otherwise."""
        return next((r for c, r in reversed(self._kept) if not same_play(c, cabinet)), None)

    def clear(self) -> None:
        """Forget all."""
        self._kept.clear()

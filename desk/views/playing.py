"""A ball's way as the views show it: the line it leaves, the ball itself, earlier throws, where balls land.

All are plain drawing items, in mm of the view's plane. They lie over a drawing and come and go without it. What stands
still from one picture to the next is the same object, so a painter repaints only round the ball.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from desk.views.boxes import around, overlaps, padded
from desk.views.drawing import Disc, Drawing, Item, Path, Text
from desk.views.layout import Measure, Plot
from desk.views.viewport import Box, Px, Viewport

if TYPE_CHECKING:
    from desk.ball.motion import Path as Way
    from desk.ball.motion import Stretch
    from desk.shapes.frame import Frame
    from desk.shapes.loop import Point

SEEN: dict[str, dict[str, bool]] = {
    "lane": {"lane": True, "flight": True, "face": True, "under": True, "catch": True},
    "channel": {"channel": True, "lift": True},
    "rear": {"under": False, "catch": True},
    "plan": {"lane": True, "flight": True, "face": True, "under": False, "catch": False, "channel": False},
    "face": {"flight": True, "face": True},
}
"""Legs that each view shows, and whether the ball is in sight there or behind wood."""
GHOSTS = 3
"""So many throws before the last one are still shown."""
PIECE = 12
"""Points of a line that are painted together."""
BESIDE = 6.0
"""Gap between a place and the words about it, px."""
MOST, LEAST = 0.46, 0.09
"""Radii of the dots for the fullest square and for a single ball, as shares of its side."""
LONG_ARROW = 60.0
"""Length of the aiming arrow for a throw at 1 m/s, mm."""


@dataclass(frozen=True, eq=False)
class Run:
    """A ball's way in one view, without a break: times in s, points in mm of the view, in sight or hidden."""

    time: tuple[float, ...]
    points: tuple[Point, ...]
    seen: bool


class Trail:
    """A ball's whole way in one view. ``over`` is when it ends, s; where it ends in view the ball stays."""

    def __init__(self, runs: Sequence[Run], over: float) -> None:
        self.runs, self.over = tuple(runs), over
        self._made: dict[tuple[str, int, int], Path] = {}

    def ball(self, time: float) -> tuple[Point, bool] | None:
        """Where the ball's middle is at a time, and whether it is in sight; None while it is not in this view."""
        for run in reversed(self.runs):
            if run.time[0] <= min(time, self.over) <= run.time[-1]:
                return _between(run, time), run.seen
        return None

    def line(self, time: float, style: str) -> tuple[Path, ...]:
        """The line the ball has left up to a time. Hidden runs are in the style ``<style>-hidden``."""
        out: list[Path] = []
        for number, run in enumerate(self.runs):
            if time <= run.time[0]:
                continue
            kind = style if run.seen else f"{style}-hidden"
            done = bisect_right(run.time, time) - 1
            whole = done // PIECE * PIECE if time < run.time[-1] else len(run.points) - 1
            out.extend(self._piece(number, k, kind) for k in range(0, whole, PIECE))
            if time < run.time[-1]:
                ring = (*run.points[whole : done + 1], _between(run, time))
                out.append(Path((ring,), kind, closed=False))
        return tuple(out)

    def _piece(self, number: int, start: int, kind: str) -> Path:
        """One piece of a line, always the same object."""
        key = (kind, number, start)
        if key not in self._made:
            ring = self.runs[number].points[start : start + PIECE + 1]
            self._made[key] = Path((ring,), kind, closed=False)
        return self._made[key]

    @property
    def rest(self) -> Point | None:
        """Where the way ends; None when that is not in this view."""
        ends = self.runs and self.runs[-1].time[-1] >= self.over
        return self.runs[-1].points[-1] if ends else None


def _between(run: Run, time: float) -> Point:
    k = min(max(bisect_right(run.time, time), 1), len(run.time) - 1)
    if not k:
        return run.points[0]
    t0, t1 = run.time[k - 1], run.time[k]
    f = min(max((time - t0) / (t1 - t0), 0.0), 1.0) if t1 > t0 else 1.0
    (x0, y0), (x1, y1) = run.points[k - 1], run.points[k]
    return round(x0 + f * (x1 - x0), 3), round(y0 + f * (y1 - y0), 3)


def trail(way: Way, drawing: Drawing) -> Trail:
    """What one view shows of a ball's way: its legs that the view shows, as far as they lie in the drawing."""
    legs = SEEN.get(drawing.id, {})
    return Trail(
        [
            run
            for stretch in way.stretches
            if stretch.leg in legs
            for run in _runs(stretch, drawing.frame, drawing.extent, legs[stretch.leg])
        ],
        way.time,
    )


def _runs(stretch: Stretch, frame: Frame, extent: Box, seen: bool) -> Iterator[Run]:
    """The stretch in the view's plane, cut where it leaves the drawing."""
    time: list[float] = []
    points: list[Point] = []
    for t, world in zip(stretch.time, stretch.world, strict=True):
        x, y, _ = frame.local(world)
        if extent[0] <= x <= extent[2] and extent[1] <= y <= extent[3]:
            time.append(t)
            points.append((round(x, 3), round(y, 3)))
        elif points:
            yield Run(tuple(time), tuple(points), seen)
            time, points = [], []
    if points:
        yield Run(tuple(time), tuple(points), seen)


def moving_items(
    now: Trail | None, time: float, radius: float, before: Sequence[Trail] = ()
) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    """The line behind a ball on its way, under it the ways of earlier throws (``before``, newest first); then the ball
    itself, which is to lie above what else the view shows.
    """
    below: list[Item] = []
    for age, old in reversed(list(enumerate(before[:GHOSTS], 1))):
        below.extend(old.line(math.inf, f"way-{age}"))
    if now is None:
        return tuple(below), ()
    below.extend(now.line(time, "way"))
    at = now.ball(time)
    if at is None:
        return tuple(below), ()
    return tuple(below), (Disc(at[0], radius, "ball-moving" if at[1] else "ball-moving-hidden"),)


def hand_items(at: Point, radius: float, refused: str) -> tuple[Item, ...]:
    """A ball in the hand; with why it cannot be let go there, "" for it can."""
    if not refused:
        return (Disc(at, radius, "ball-in-hand"),)
    return Disc(at, radius, "ball-refused"), Text(at, refused, "loose", "left")


def end_items(at: Point, radius: float, words: str) -> tuple[Item, ...]:
    """Where a ball stopped though no rest is meant there, or was lost, with a word."""
    return Disc(at, radius, "ball-stopped"), Text(at, words, "loose", "left")


def arrow_items(ball: Point, speed: float, aim: float) -> tuple[Item, ...]:
    """The throw as an arrow from the ball's middle in the plan: long for fast, turned for the aim in degrees."""
    tip = arrow_tip(ball, speed, aim)
    along = (math.cos(math.radians(aim)), -math.sin(math.radians(aim)))
    side = (-along[1], along[0])
    barbs = tuple(
        (tip[0] - 7 * along[0] + s * 3.2 * side[0], tip[1] - 7 * along[1] + s * 3.2 * side[1])
        for s in (1, -1)
    )
    return Path(((ball, tip), (barbs[0], tip, barbs[1])), "throw-arrow", closed=False), Disc(
        tip, 2.6, "throw-tip"
    )


def arrow_tip(ball: Point, speed: float, aim: float) -> Point:
    """The arrow's tip in the plan; aim to the right is towards lower y there."""
    reach, turn = LONG_ARROW * speed, math.radians(aim)
    return round(ball[0] + reach * math.cos(turn), 3), round(ball[1] - reach * math.sin(turn), 3)


def arrow_read(ball: Point, tip: Point) -> tuple[float, float]:
    """Speed in m/s and aim in degrees of an arrow with its tip there."""
    dx, dy = tip[0] - ball[0], ball[1] - tip[1]
    return math.hypot(dx, dy) / LONG_ARROW, math.degrees(math.atan2(dy, dx))


Cells = Mapping[tuple[int, int], int]
"""How many balls in each square of the face; square (i, j) starts at (i, j) times its side."""


def counted(landings: Iterable[Point], side: float) -> dict[tuple[int, int], int]:
    """Landings by square of a side in mm; those that are not numbers, of balls that never touched the face, are left
    out.
    """
    counts: dict[tuple[int, int], int] = {}
    for x, y in landings:
        if math.isfinite(x) and math.isfinite(y):
            cell = (math.floor(x / side), math.floor(y / side))
            counts[cell] = counts.get(cell, 0) + 1
    return counts


def landing_items(cells: Cells, side: float) -> tuple[Item, ...]:
    """Where balls first touch the board face: one dot for each square of it, its area the share of the balls.

    ``side``: of the squares, mm.
    """
    most = max(cells.values(), default=1)
    return tuple(
        Disc(
            ((i + 0.5) * side, (j + 0.5) * side),
            round(side * max(LEAST, MOST * math.sqrt(count / most)), 3),
            "landing",
        )
        for (i, j), count in sorted(cells.items())
    )


def loose_plots(
    items: Sequence[Item],
    view: Viewport,
    size: tuple[float, float],
    measure: Measure,
    last: dict[int, Plot],
    flags: Sequence[Box] = (),
) -> tuple[Plot, ...]:
    """Items that lie over a drawing, on the screen; plots of ``last`` (by identity of their items) are kept.

    Words stand beside their place, inside the canvas, and off the ``flags`` where they can.
    """
    return tuple([last.get(id(item)) or _plot(item, view, size, measure, flags) for item in items])


def _plot(
    item: Item, view: Viewport, size: tuple[float, float], measure: Measure, flags: Sequence[Box]
) -> Plot:
    if isinstance(item, Text):
        box = min(
            _beside(view.to_px(item.at), measure(item.text, item.style), size),
            key=lambda place: sum(overlaps(padded(place, 2.0), flag) for flag in flags),
        )
        return Plot(item, padded(box, 2.0), box, item.text)
    if isinstance(item, Disc):
        return Plot(item, around([view.to_px(item.centre)], item.radius * view.scale + 3.0))
    if isinstance(item, Path):
        points: list[Px] = [view.to_px(p) for ring in item.rings for p in ring]
        return Plot(item, around(points, 3.0))
    raise TypeError(f"{type(item).__name__} does not lie loose over a drawing")


def _beside(at: Px, words: tuple[float, float], size: tuple[float, float]) -> list[Box]:
    """Places for words beside a point, the best first: to the right or else to the left, a little higher or lower; over
    the point and under it.
    """
    (x, y), (w, h) = at, words
    gap = BESIDE + 8.0
    right, left = x + gap, x - gap - w
    sides = [right, left] if right + w < size[0] - 4 else [left, right]
    corners = [(side, top) for side in sides for top in (y - h - 4.0, y + 4.0)]
    corners += [(x - w / 2, y - gap - h), (x - w / 2, y + gap)]
    inside = [(min(max(4.0, a), size[0] - w - 4), min(max(4.0, b), size[1] - h - 4)) for a, b in corners]
    return [(a, b, a + w, b + h) for a, b in inside]

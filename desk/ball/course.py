"""The whole way of a ball in one cabinet: every leg made ready for motion, and how a ball goes from leg to leg.

Sections are plane legs in x (to the back) and z (up); across, y, a ball keeps its speed but for the walls. Lengths
in mm, speeds in mm/s, times in s.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from desk.ball.contact import Contact, contact_of
from desk.ball.edges import Reals
from desk.ball.ground import Ground, ground
from desk.ball.outline import Outline, outline
from desk.ball.rests import Rest, survey
from desk.cabinet.model import Cabinet, Leg
from desk.shapes.frame import Frame
from desk.shapes.loop import Point

LEGS = ("lane", "flight", "face", "under", "catch", "channel")
"""Legs in the order a ball runs them; an outcome names the last one by its index."""
FACE, GAP, AT_LIP = "face", "gutter gap", "at the lip"
READ = ("deck front", "foot", "inlet low", "channel back", "lane", "far", "lip", "header low")
"""Landmarks the course is laid out by."""
HIGH = 2000.0
"""Higher than any ball flies over the face, mm."""


class CannotPlayError(ValueError):
    """The cabinet lacks something that motion needs; says what."""


@dataclass(frozen=True, eq=False)
class Course:
    """Everything motion reads of a cabinet, for one size of ball.

    ``start``: where a throw begins, x and z of the middle. ``back``: how far the ball is below the face's floor when it
    leaves a hole. ``arrival``: the channel with the waiting place as its end.
    """

    radius: float
    contact: Contact
    edges: dict[str, Outline]
    arrival: Outline
    ground: Ground
    legs: dict[str, Leg]
    face: Frame
    start: Point
    middle: float
    foot: Point
    back: float
    trough: tuple[float, float]
    wait: Rest | None
    scores: Reals
    """Score by target number; 0 for none."""

    @property
    def out(self) -> float:
        """+1 when the face's x runs with world y, else -1."""
        return self.face.u[1]

    def on_face(self, x: Reals, z: Reals) -> tuple[Reals, Reals]:
        """y and h on the face of points of the section."""
        dx, dz = x - self.foot[0], z - self.foot[1]
        c, s = math.cos(self.ground.tilt), math.sin(self.ground.tilt)
        return dx * c + dz * s, dz * c - dx * s

    def off_face(self, y: Reals, h: Reals) -> tuple[Reals, Reals]:
        """The reverse of ``on_face``; for speeds leave out the foot."""
        c, s = math.cos(self.ground.tilt), math.sin(self.ground.tilt)
        return y * c - h * s, y * s + h * c


def course(cabinet: Cabinet, diameter: float | None = None) -> Course:
    """The way of a ball of this diameter, or of the nominal one.

    Raises CannotPlayError when a leg leaves no room for the ball at all.
    """
    size = cabinet.balls.diameter if diameter is None else diameter
    return _course(_Key(cabinet, _read(cabinet)), size, contact_of(cabinet.balls.material, cabinet.tables))


def runs_alike(a: Cabinet, b: Cabinet) -> bool:
    """Whether the nominal ball runs the same in both."""
    return a is b or _run_in(a) == _run_in(b)


def _run_in(cabinet: Cabinet) -> tuple[object, ...]:
    balls = cabinet.balls
    return (*_read(cabinet), balls.diameter, contact_of(balls.material, cabinet.tables))


def _read(cabinet: Cabinet) -> tuple[object, ...]:
    """What motion reads of a cabinet."""
    walls = tuple(cabinet.by_id[key].outline for key in ("inner-wall", "panel-far"))
    points = tuple(cabinet.marks.points[name] for name in READ)
    lengths = (cabinet.marks.lengths["tilt"], cabinet.marks.lengths["carve"])
    return cabinet.legs, cabinet.targets, walls, points, lengths, cabinet.shop.film


class _Key:
    """A cabinet compared by what motion reads of it."""

    def __init__(self, cabinet: Cabinet, read: tuple[object, ...]) -> None:
        self.cabinet, self.read = cabinet, read

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self.read == other.read

    def __hash__(self) -> int:
        return hash(self.read)


@lru_cache(maxsize=8)
def _course(key: _Key, diameter: float, contact: Contact) -> Course:
    cabinet = key.cabinet
    legs, marks = cabinet.leg_by_id, cabinet.marks
    foot, tilt, radius = marks.points["foot"], math.radians(marks.lengths["tilt"]), diameter / 2
    rest = _waiting(legs["channel"], diameter, contact)
    edges = {name: outline(legs[name], diameter, contact) for name in ("lane", "under", "catch", "channel")}
    edges["flight"] = outline(legs["flight"], diameter, contact, _flight_ends(cabinet, radius, tilt))
    for name, made in edges.items():
        if not made.count:
            raise CannotPlayError(f"{legs[name].label}: no room for a ball of {diameter:.2f} mm")
    x = marks.points["deck front"][0] + radius + 0.5
    back = cabinet.by_id["board"].thickness - marks.lengths["carve"] + radius + 2 * cabinet.shop.film
    inlet, end = marks.points["inlet low"][0], marks.points["channel back"][0]
    scores = np.zeros(max((t.number for t in cabinet.targets), default=0) + 1)
    for t in cabinet.targets:
        scores[t.number] = t.score
    return Course(
        radius=radius,
        contact=contact,
        edges=edges,
        arrival=outline(legs["channel"], diameter, contact, _at_lip(legs["channel"], rest)),
        ground=ground(cabinet, diameter),
        legs={name: legs[name] for name in LEGS},
        face=legs["face"].frame,
        start=(x, _on_deck(edges["lane"], x, marks.points["deck front"][2])),
        middle=(marks.points["lane"][1] + marks.points["far"][1]) / 2,
        foot=(foot[0], foot[2]),
        back=back + 0.02,
        trough=(inlet + radius + 0.1, end - radius - 0.1),
        wait=rest,
        scores=scores,
    )


def _flight_ends(cabinet: Cabinet, radius: float, tilt: float) -> list[tuple[str, shapely.Polygon]]:
    """All that is over the face, and the gap: there the ball's middle is lower than kicker and foot."""
    up, out = (math.cos(tilt), math.sin(tilt)), (-math.sin(tilt), math.cos(tilt))
    foot, lip = cabinet.marks.points["foot"], cabinet.marks.points["lip"]
    _, bottom, right, _ = cabinet.leg_by_id["flight"].room.bounds

    def at(y: float, h: float) -> Point:
        return foot[0] + y * up[0] + h * out[0], foot[2] + y * up[1] + h * out[1]

    over = shapely.Polygon([at(0.0, 0.0), at(HIGH, 0.0), at(HIGH, HIGH), at(0.0, HIGH)])
    low = min(lip[2], foot[2]) - 0.1 * radius
    return [(FACE, over), (GAP, shapely.box(lip[0], bottom - 1.0, right + 1.0, low))]


def _at_lip(leg: Leg, rest: Rest | None) -> list[tuple[str, shapely.Polygon]]:
    """All of the channel in front of the waiting ball's middle."""
    x0, y0, _, y1 = leg.room.bounds
    at = x0 if rest is None else rest.at[0] + 1.0
    return [(AT_LIP, shapely.box(x0 - 1.0, y0 - 1.0, max(at, x0 + 1.0), y1 + 1.0))]


def _waiting(leg: Leg, diameter: float, contact: Contact) -> Rest | None:
    rests = survey(leg, diameter, contact.rolling).rests
    return next((r for r in rests if r.meant == "waiting place"), None)


def _on_deck(lane: Outline, x: float, deck: float) -> float:
    """Height of the ball's middle on the deck at x. Raises CannotPlayError when nothing bears it there."""
    a = lane.start[: lane.count]
    b = a + lane.along[: lane.count] * lane.length[: lane.count, None]
    bears = lane.cells.at[0] >= 0
    hit = bears & (np.minimum(a[:, 0], b[:, 0]) <= x) & (np.maximum(a[:, 0], b[:, 0]) >= x) & (b[:, 1] > deck)
    if not hit.any():
        raise CannotPlayError("Lane: the ball finds no deck to roll on behind the front stop")
    share = (x - a[hit, 0]) / (b[hit, 0] - a[hit, 0])
    return float((a[hit, 1] + share * (b[hit, 1] - a[hit, 1])).min())

"""Traps found by geometry and traps found by motion, over the examples and random designs.

Geometry finds the corners and flats of the edge of the region that a ball's middle can be in; motion lets balls run
until they lie still. Neither knows of the other. Where they need not agree is said beside the test.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from desk.ball.board import RESTING as LIES
from desk.ball.contact import Contact, contact_of
from desk.ball.course import Course, course
from desk.ball.face import play
from desk.ball.flock import Flock, flock
from desk.ball.ground import PITCH
from desk.ball.outline import Outline, outline
from desk.ball.plane import ASTRAY, RESTING, Motion
from desk.ball.rests import centre_region, reachable, survey
from desk.cabinet.model import Leg

from .designs import RANDOM, Stretch, cabinets

LEGS = ("lane", "under", "catch", "channel")
HAIR = 0.01
"""A ball slower than 10 mm/s may be left on the slope beside a corner so much higher up, mm."""
SHALLOW = 0.5
"""Pockets between rails that a ball leaves by rising so little, mm, are lost between the nodes of the grid of distances
that motion on the face goes by (an eighth of the radius apart)."""
PINCHED = 3.0
"""In a slender corner between two rails that grid holds a ball up to so much, mm, before the corner."""


def run(edges: Outline, contact: Contact, places: np.ndarray, speed: float = 0.0) -> Flock:
    none = np.zeros(len(places))
    balls = flock(places[:, 0], places[:, 1], none + speed, none, none, none)
    motion = Motion(edges, contact, contact.panel)
    motion.enter(balls)
    return motion.run(balls)


def starts(leg: Leg, edges: Outline) -> np.ndarray:
    """Places all over the sources of a leg."""
    found = []
    for zone in leg.sources:
        x0, y0, x1, y1 = zone.shape.bounds
        x, y = np.meshgrid(*(a + np.linspace(0.05, 0.95, 6) * (b - a) for a, b in ((x0, x1), (y0, y1))))
        inside = shapely.contains_xy(zone.shape.intersection(edges.region), x.ravel(), y.ravel())
        found.append(np.column_stack((x.ravel(), y.ravel()))[inside])
    return np.concatenate(found) if found else np.zeros((0, 2))


def test_a_ball_put_where_geometry_says_it_is_held_stays():
    """At the corner, or somewhere along a flat: its end, which geometry names, may be the brink of a drop. A flat that
    a way out of the leg reaches into need not hold it."""
    lost, held, traps = [], 0, set()
    for name, cabinet in cabinets():
        contact, size = contact_of(cabinet.balls.material), cabinet.balls.diameter
        for key in LEGS:
            leg = cabinet.leg_by_id[key]
            edges = outline(leg, size, contact)
            for rest in survey(leg, size, contact.rolling).rests:
                stretch = Stretch(edges, contact, rest.at)
                balls = run(edges, contact, np.array([rest.at, *stretch.places()]))
                still = balls.end == RESTING
                if any(stretch.away(*at) < 0.1 for at in zip(balls.x[still], balls.y[still], strict=True)):
                    held += 1
                    traps |= set() if rest.meant else {(name, key)}
                elif not (rest.kind == "flat" and stretch.leads_out):
                    lost.append((name, key, rest))
    assert lost == []
    assert held > 200
    assert len({key for _, key in traps}) >= 3
    assert len({name for name, _ in traps}) > RANDOM / 2


def test_a_ball_that_lies_still_is_where_geometry_says_it_is_held():
    """Let go, or pushed to and fro at 0.3 m/s, all over the sources of each leg. Geometry leaves out flats that lead
    straight out of the leg, such as the top of the front stop; a ball may still come to lie on them."""
    astray, wrong, stops = [], [], 0
    for name, cabinet in cabinets():
        contact, size = contact_of(cabinet.balls.material), cabinet.balls.diameter
        for key in LEGS:
            leg = cabinet.leg_by_id[key]
            edges = outline(leg, size, contact)
            found = [Stretch(edges, contact, r.at) for r in survey(leg, size, contact.rolling).rests]
            places = starts(leg, edges)
            for speed in (0.0, 300.0, -300.0):
                balls = run(edges, contact, places, speed)
                astray += [(name, key)] * int((balls.end == ASTRAY).sum())
                for k in np.flatnonzero(balls.end == RESTING).tolist():
                    at, side = (float(balls.x[k]), float(balls.y[k])), int(edges.cells.edge[balls.cell[k]])
                    stops += 1
                    steep = max(abs(float(edges.drive[side] / edges.press[side])), contact.rolling)
                    if min((s.away(*at) for s in found), default=math.inf) > HAIR / steep + 0.1:
                        own = Stretch(edges, contact, tuple(edges.start[side]))
                        if not own.leads_out:
                            wrong.append((name, key, at))
    assert (astray, wrong) == ([], [])
    assert stops > 2000


def near(at, rests, far: float) -> bool:
    return any(math.dist(at, r.at) < far for r in rests)


def free_places(leg: Leg, size: float, of: Course) -> np.ndarray:
    """Places all over the face, where a ball can come to."""
    random = np.random.default_rng(3)
    x0, y0, x1, y1 = leg.room.bounds
    places = np.column_stack((random.uniform(x0, x1, 60), random.uniform(y0, y1, 60)))
    open_to = shapely.union_all(reachable(leg, centre_region(leg, size)))
    return places[shapely.contains_xy(open_to, *places.T) & [of.ground.free(*p) for p in places.tolist()]]


def test_rails_hold_a_ball_in_geometry_and_in_motion_alike():
    """On the face: put into every trap a ball stays, and wherever a ball let go comes to lie there is a trap, or a slot
    in which a ball larger by one step of the grid would be held."""
    lost, wrong, held, stops = [], [], 0, 0
    for name, cabinet in cabinets(face=True):
        contact, size, of = contact_of(cabinet.balls.material), cabinet.balls.diameter, course(cabinet)
        leg = cabinet.leg_by_id["face"]
        traps = [r for r in survey(leg, size, contact.rolling).rests if not r.meant]
        slots = survey(leg, (1 + PITCH / 2) * size, contact.rolling).rests
        deep = [r for r in traps if r.escape > SHALLOW]
        places = np.array([*(r.at for r in deep), *free_places(leg, size, of)])
        state = np.zeros((len(places), 9))
        state[:, :2], state[:, 2] = places, of.radius
        done = play(of.ground, contact, state, np.zeros(len(places)))
        still, at = (done.place == LIES).tolist(), done.state[:, :2].tolist()
        held += len(deep)
        stops += sum(still[len(deep) :])
        lost += [
            (name, r, q)
            for r, s, q in zip(deep, still, at, strict=False)
            if not (s and near(q, [r], PINCHED))
        ]
        wrong += [(name, q) for s, q in zip(still, at, strict=True)
                  if s and not near(q, traps, PINCHED) and not near(q, slots, size / 2)]  # fmt: skip
    assert (lost, wrong) == ([], [])
    assert held > 20
    assert stops > 20

"""Our motion beside a general rigid-body engine on the same legs: same ends, same resting places, times within 5 %.

Rolling resistance is left out on both sides, as the engine knows none; a ball then swings in a hollow for longer,
so the time compared is the one at which it first gets to the end of its way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
import shapely

from desk.ball.contact import Contact, contact_of
from desk.ball.course import course
from desk.ball.flock import flock
from desk.ball.outline import Outline, outline
from desk.ball.plane import ASTRAY, RESTING, Motion
from desk.ball.rests import Rest, survey
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet, Leg
from desk.design import edit
from desk.design.starting import starting_design
from desk.shapes.loop import Point

from . import rigid
from .designs import CLEAN, RANDOM, Stretch, cabinets, example

WITHIN = 0.05
LATE = 0.02
"""Times of less than this, s, need not agree in share: the engine's own step and slop are a part of them."""
ROUGH = 0.006
"""Slopes flatter than this hold a ball for geometry."""


def smooth(cabinet: Cabinet) -> Contact:
    """The cabinet's contact without rolling resistance, and slow bounces not cut off so early."""
    return replace(contact_of(cabinet.balls.material), rolling=0.0, stick=10.0)


def ours(edges: Outline, contact: Contact, at, velocity=(0.0, 0.0), spin=0.0):
    b = flock(*(np.array([v], dtype=float) for v in (*at, *velocity, spin, 0.0)))
    motion = Motion(edges, contact, contact.panel)
    motion.enter(b)
    motion.run(b)
    end = int(b.end[0])
    name = {RESTING: "rest", ASTRAY: "astray"}.get(end) or edges.names[end]
    return name, float(b.time[0]), (float(b.x[0]), float(b.y[0]))


def agree(leg: Leg, contact: Contact, radius: float, at, until, name: str) -> None:
    """Both let go at rest come to the zone ``until``, called ``name``, in nearly the same time."""
    edges = outline(leg, 2 * radius, contact, ((name, until),))
    end, time, _ = ours(edges, contact, at)
    other = rigid.run(leg, contact, contact.panel, radius, at, until=until)
    assert end == name
    assert not other.rest
    assert abs(other.time - time) < max(WITHIN * time, LATE), (time, other.time)


def under_starts(cabinet: Cabinet):
    """Where balls come out under the first and the last hole."""
    of = course(cabinet)
    for hole in (of.ground.holes[0], of.ground.holes[-1]):
        x, z = of.off_face(np.array([hole.y - hole.radius + of.radius]), np.array([-of.back]))
        yield float(x[0]) + of.foot[0], float(z[0]) + of.foot[1]


@pytest.mark.parametrize("name", CLEAN)
def test_under_the_board_to_the_trough(name):
    cabinet = example(name)
    leg, contact = cabinet.leg_by_id["under"], smooth(cabinet)
    for at in under_starts(cabinet):
        agree(leg, contact, cabinet.balls.diameter / 2, at, leg.sinks[0].shape, "trough")


@pytest.mark.parametrize("name", CLEAN)
def test_along_the_catch_ramp_to_the_channel(name):
    cabinet = example(name)
    leg, contact, radius = cabinet.leg_by_id["catch"], smooth(cabinet), cabinet.balls.diameter / 2
    x0, _, x1, y1 = leg.sources[0].shape.bounds
    for share in (0.25, 0.85):
        at = (x0 + share * (x1 - x0), y1 - 2 * radius)
        agree(leg, contact, radius, at, leg.sinks[0].shape, "channel")


def front_of(leg: Leg, x: float) -> shapely.Polygon:
    """All of a leg's room in front of x."""
    x0, y0, _, y1 = leg.room.bounds
    return shapely.box(x0 - 1, y0 - 1, x, y1 + 1)


@pytest.mark.parametrize("name", CLEAN)
def test_down_the_channel_to_the_waiting_place(name):
    cabinet = example(name)
    leg, contact, radius = cabinet.leg_by_id["channel"], smooth(cabinet), cabinet.balls.diameter / 2
    of = course(cabinet)
    assert of.wait is not None
    x0, y0, x1, _ = leg.sources[0].shape.bounds
    at = ((x0 + x1) / 2, y0 + radius + 4.0)
    agree(leg, contact, radius, at, front_of(leg, of.wait.at[0] + 1.0), "lip")


@pytest.mark.parametrize("name", CLEAN)
def test_a_ball_let_go_gently_waits_at_the_same_place(name):
    """From 60 mm behind the waiting place, slow enough not to run over the lip; and in the tray, on the front stop."""
    cabinet = example(name)
    contact, radius = smooth(cabinet), cabinet.balls.diameter / 2
    of = course(cabinet)
    assert of.wait is not None
    tray = next(z for z in cabinet.leg_by_id["channel"].rests if z.name == "pick-up tray").shape.bounds
    for key, at in (
        ("channel", (of.wait.at[0] + 20.0, of.wait.at[1] + 3.0)),
        ("channel", ((tray[0] + tray[2]) / 2, tray[3] + radius)),
        ("lane", (of.start[0] + 10.0, of.start[1] + 2.0)),
    ):
        leg = cabinet.leg_by_id[key]
        end, _, place = ours(outline(leg, 2 * radius, contact), contact, at)
        other = rigid.run(leg, contact, contact.panel, radius, at, most=15.0)
        assert end == "rest"
        assert math.dist(place, (other.x, other.y)) < 0.6, (key, place, other)


@pytest.mark.parametrize("name", CLEAN)
@pytest.mark.parametrize("share", [0.4, 0.65])
def test_up_the_lane_and_back(name, share):
    """A ball too slow for the kicker comes back to the front stop after the same time."""
    cabinet = example(name)
    leg, contact, radius = cabinet.leg_by_id["lane"], smooth(cabinet), cabinet.balls.diameter / 2
    of = course(cabinet)
    speed = share * 850.0 * math.sqrt(radius / 8.0)
    back = front_of(leg, of.start[0] - 0.2)
    at, velocity = (of.start[0] + 2.0, of.start[1] + 0.2), (speed, 0.0)
    edges = outline(leg, 2 * radius, contact, (("front", back),))
    end, time, _ = ours(edges, contact, at, velocity, speed)
    other = rigid.run(leg, contact, contact.panel, radius, at, velocity, speed, until=back)
    assert end == "front"
    assert other.time == pytest.approx(time, rel=WITHIN)


@pytest.mark.parametrize("name", CLEAN)
def test_over_the_lip_in_the_same_time(name):
    cabinet = example(name)
    leg, contact, radius = cabinet.leg_by_id["lane"], smooth(cabinet), cabinet.balls.diameter / 2
    of = course(cabinet)
    lip = leg.sinks[0].shape
    at, velocity = (of.start[0], of.start[1] + 0.02), (1600.0, 0.0)
    edges = outline(leg, 2 * radius, contact)
    end, time, place = ours(edges, contact, at, velocity, 1600.0)
    other = rigid.run(leg, contact, contact.panel, radius, at, velocity, 1600.0, until=lip)
    assert end == "over the lip"
    assert other.time == pytest.approx(time, rel=WITHIN)
    assert other.y == pytest.approx(place[1], abs=1.0)


def ends_of(leg: Leg, size: float) -> tuple[shapely.Geometry | None, list[Rest]]:
    """Where a ball on its way back leaves a leg or comes to the waiting place, and where the leg may hold it."""
    rests = list(survey(leg, size, ROUGH).rests)
    waiting = [r.at[0] for r in rests if r.meant == "waiting place"]
    if waiting:
        return front_of(leg, waiting[0] + 1.0), rests
    return (leg.sinks[0].shape if leg.sinks else None), rests


def sent_back() -> Iterator[tuple[str, Leg, Contact, float, Point]]:
    """Every leg of a ball's way back in the examples and the random designs, with a place where it comes into it."""
    for name, cabinet in cabinets():
        for key in ("under", "catch", "channel"):
            leg = cabinet.leg_by_id[key]
            at = leg.sources[-1].shape.representative_point().coords[0]
            yield f"{name}, {key}", leg, smooth(cabinet), cabinet.balls.diameter, (float(at[0]), float(at[1]))


def test_balls_come_back_in_the_same_time_over_the_examples_and_random_designs():
    wrong, agreed = [], 0
    for name, leg, contact, size, at in sent_back():
        until, _ = ends_of(leg, size)
        if until is None:
            continue
        end, time, _ = ours(outline(leg, size, contact, (("end", until),)), contact, at)
        if end != "end":
            continue  # it is held, or leaves the leg
        other = rigid.run(leg, contact, contact.panel, size / 2, at, until=until)
        agreed += 1
        if other.rest or abs(other.time - time) > max(WITHIN * time, LATE):
            wrong.append((name, time, other))
    assert wrong == []
    assert agreed > RANDOM


def test_balls_rest_in_the_same_places_over_the_examples_and_random_designs():
    """All that stop on a leg, and those in the channel. On a flat ours lies anywhere; the engine, which knows no
    resistance, rolls it on to the flat's end or off. A ball that is all but too slow for the lip may hop it in one."""
    wrong, agreed, hopped = [], 0, []
    for name, leg, contact, size, at in sent_back():
        edges, (_, rests) = outline(leg, size, contact), ends_of(leg, size)
        end, _, place = ours(edges, contact, at)
        if end != "rest" or not rests:
            continue
        other = rigid.run(leg, contact, contact.panel, size / 2, at)
        there = (other.x, other.y)
        if other.rest and math.dist(place, there) < 1.0:
            agreed += 1
            continue
        rough = outline(leg, size, replace(contact, rolling=ROUGH))
        flats = [Stretch(rough, replace(contact, rolling=ROUGH), r.at) for r in rests if r.kind == "flat"]
        settled = other.rest and min(math.dist(there, r.at) for r in rests) < 1.0
        if settled and min((f.away(*place) for f in flats), default=math.inf) < 1.0:
            agreed += 1
        elif settled and leg.id == "channel":
            hopped.append(name)
        else:
            wrong.append((name, place, other))
    assert wrong == []
    assert agreed > 2 * RANDOM
    assert len(hopped) <= 2, hopped


@pytest.mark.parametrize(
    ("leg_id", "numbers"),
    [
        ("under", {"behind.gutter_slope": -2.0}),
        ("catch", {"behind.catch_slope": -2.0}),
        ("channel", {"return.slope": -1.0}),
    ],
)
def test_a_trap_holds_the_ball_in_geometry_motion_and_engine(leg_id, numbers):
    """Where the survey finds a place that holds a ball, ours and the engine's come to rest in it."""
    design = starting_design()
    for address, value in numbers.items():
        design = edit.put(design, address, value)
    cabinet = build(design)
    leg, radius = cabinet.leg_by_id[leg_id], cabinet.balls.diameter / 2
    contact = replace(contact_of(cabinet.balls.material), stick=10.0)
    rests = survey(leg, 2 * radius, contact.rolling).rests
    assert rests
    x0, y0, x1, y1 = leg.sources[-1].shape.bounds
    at = (x0 + 0.5 * (x1 - x0), min(y0 + 0.5 * (y1 - y0), y1))
    edges = outline(leg, 2 * radius, contact)
    end, _, place = ours(edges, contact, at)
    other = rigid.run(leg, contact, contact.panel, radius, at, most=14.0)
    assert end == "rest"
    assert min(math.dist(place, r.at) for r in rests) < 0.5
    assert math.dist(place, (other.x, other.y)) < 3.0

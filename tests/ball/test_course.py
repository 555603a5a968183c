"""From leg to leg: nothing jumps in space or gains energy, mirror images play as mirror images, and the ways asked
for come out."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from desk.ball.course import CannotPlayError, course
from desk.ball.motion import drop, path
from desk.ball.throw import BACK, GUTTER, LOST, Throws, throw
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.design.edit import put, put_choice
from desk.design.file import load
from desk.design.starting import starting_design

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CLEAN = ("marble-16mm", "steel-half-inch", "wood-25mm")
G = 9.80665


@cache
def cabinet(name: str) -> Cabinet:
    return build(load(EXAMPLES / f"{name}.lane"))


@cache
def sided(side: str) -> Cabinet:
    return build(put_choice(starting_design(), "return.side", side))


@pytest.mark.parametrize("name", CLEAN)
@pytest.mark.parametrize(("speed", "aim"), [(0.5, 0.0), (1.0, 0.3), (1.5, -0.8), (1.9, 0.0), (2.3, 1.1)])
def test_the_ball_moves_through_space_without_a_jump(name, speed, aim):
    """Between legs the middle stays where it was, but for the trough, where it may shift by the room it has there."""
    cab = cabinet(name)
    way = path(cab, speed, aim)
    size = cab.balls.diameter
    trough = cab.leg_by_id["catch"].depth or 0.0
    for a, b in pairwise(way.stretches):
        gap = math.dist(a.world[-1], b.world[0])
        loose = trough + size if {a.leg, b.leg} & {"catch", "channel"} else 0.7
        assert gap < loose, (a.leg, b.leg, gap)
        assert b.time[0] >= a.time[-1] - 1e-9
    for s in way.stretches:
        assert all(t1 >= t0 for t0, t1 in pairwise(s.time))
        for (t0, t1), (p, q) in zip(pairwise(s.time), pairwise(s.world), strict=True):
            assert math.dist(p, q) <= 4000.0 * (t1 - t0) + 1.6 * size * (s.leg == "face") + 0.5


@pytest.mark.parametrize("name", CLEAN)
def test_the_ball_never_rises_above_what_its_speed_allows(name):
    """No point of the way is higher above the start than 7/10 v²/g, all the energy of a rolling throw."""
    for speed in (0.8, 1.4, 2.2):
        way = path(cabinet(name), speed)
        start = way.stretches[0].world[0][2]
        assert max(p[2] for s in way.stretches for p in s.world) - start <= 700 * speed**2 / G + 0.1


def test_a_mirrored_cabinet_plays_the_mirror_image():
    """Return left and right: the same throw with the aim the other way round ends alike, across and all."""
    left, right = course(sided("left")), course(sided("right"))
    speed, aim = np.linspace(0.4, 2.4, 60), np.linspace(-6.0, 6.0, 60)
    a, b = throw(left, Throws(speed, aim)), throw(right, Throws(speed, -aim))
    same = (a.result == b.result) & (np.abs(a.time - b.time) < 0.02)
    assert same.mean() > 0.85  # rounding may send a ball that bounces often the other way
    first = np.isfinite(a.landing[:, 0]) & np.isfinite(b.landing[:, 0])
    assert first.sum() > 20
    assert np.abs(a.landing[first, 0] + b.landing[first, 0]).max() < 0.05
    assert np.abs(a.landing[first, 1] - b.landing[first, 1]).max() < 0.05


@pytest.mark.parametrize("name", CLEAN)
def test_a_ball_thrown_alone_ends_as_it_does_among_others(name):
    """To the last bit: both round alike, whatever else is on its way."""
    of, speed, aim = course(cabinet(name)), np.linspace(0.3, 2.6, 48), np.tile(np.linspace(-4.0, 4.0, 12), 4)
    many = vars(throw(of, Throws(speed, aim)))
    alone = [vars(throw(of, Throws(v, a))) for v, a in zip(speed, aim, strict=True)]
    for key, values in many.items():
        assert np.array_equal(
            values, np.concatenate([one[key] for one in alone]), equal_nan=values.dtype.kind == "f"
        ), key


def test_landing_is_where_the_parabola_meets_the_board():
    """Launched from the lip with the speed left there, the middle meets the plane a radius over the floor.

    Up to where it leaves the kicker v² = v0² - 10/7 g (h + c x), from there on the spin stays what it is and
    1/2 v² alone pays for the height; then the larger root of the parabola against the board (range on an incline
    from a point beside it).
    """
    cab = sided("left")
    of = course(cab)
    way = path(cab, 1.3)
    lip, face = way.stretches[1], way.stretches[2]
    (x0, z0), (x1, z1) = lip.points[0], lip.points[1]
    dt = lip.time[1] - lip.time[0]
    vx, vz = (x1 - x0) / dt, (z1 - z0) / dt + 9806.65 * dt / 2
    tan = math.tan(of.ground.tilt)
    raised = of.radius / math.cos(of.ground.tilt)
    line = of.foot[1] + raised - tan * of.foot[0]  # z of the middle's plane at x = 0
    a, b, c = 9806.65 / (2 * vx * vx), vz / vx - tan, z0 - tan * x0 - line
    x = x0 + (b + math.sqrt(b * b + 4 * a * c)) / (2 * a)
    y, _ = of.on_face(np.array([x]), np.array([line + tan * x]))
    assert way.outcome is not None
    assert way.outcome.landing[0, 1] == pytest.approx(float(y[0]), rel=2e-3)
    climbed = z0 - way.stretches[0].points[0][1]
    run = x0 - way.stretches[0].points[0][0]
    edges = of.edges["lane"]
    crests = edges.start[edges.after[: edges.count]][edges.turn < -0.01]
    crests = crests[crests[:, 0] > cab.marks.points["deck end"][0]]
    left = crests[crests[:, 0].argmin(), 1] - way.stretches[0].points[0][1]  # where it leaves the kicker
    spin = 1300.0**2 - 10 / 7 * 9806.65 * (left + of.contact.rolling * run)
    energy = 0.7 * 1300.0**2 - 9806.65 * (climbed + of.contact.rolling * run) - spin / 5
    assert math.hypot(vx, vz) == pytest.approx(math.sqrt(2 * energy), rel=0.01)
    assert face.leg == "face"


def test_the_slowest_come_back_and_the_fastest_leave():
    of = course(sided("left"))
    done = throw(of, Throws(np.array([0.1, 9.0]), np.array([0.0, 0.0])))
    assert done.result[0] == BACK
    assert done.result[1] in (LOST, BACK, GUTTER)
    assert done.score.tolist() == [0.0, 0.0]


def test_the_place_at_a_time_is_on_the_way():
    way = path(cabinet("marble-16mm"), 1.4, 0.3)
    assert way.at(-1.0)[2] == pytest.approx(way.stretches[0].world[0])
    assert way.at(way.time + 1.0)[2] == way.stretches[-1].world[-1]
    s = way.stretches[3]
    leg, point, world = way.at((s.time[4] + s.time[5]) / 2)
    assert leg == s.leg
    for k in (0, 1):
        assert (
            min(s.points[4][k], s.points[5][k]) - 1e-9
            <= point[k]
            <= max(s.points[4][k], s.points[5][k]) + 1e-9
        )
    assert all(map(math.isfinite, world))


@pytest.mark.parametrize(
    ("leg", "point", "ended"),
    [
        ("lane", (200.0, 150.0), "at rest: front stop"),
        ("under", (500.0, 120.0), "to the trough"),
        ("catch", (100.0, 100.0), "to the channel"),
        ("face", (0.0, 164.0), "target 1"),
    ],
)
def test_a_ball_let_go_runs_where_it_has_to(leg, point, ended):
    assert drop(cabinet("marble-16mm"), leg, point).ended == ended


def test_a_ball_cannot_be_let_go_inside_wood():
    for leg, point in (("lane", (200.0, 90.0)), ("face", (0.0, 184.0)), ("face", (70.0, 50.0))):
        with pytest.raises(CannotPlayError, match="wood"):
            drop(cabinet("marble-16mm"), leg, point)


def test_a_cabinet_without_room_for_the_ball_says_so():
    cab = sided("left")
    with pytest.raises(CannotPlayError, match=r"no room|finds no deck"):
        course(replace(cab, balls=replace(cab.balls, diameter=300.0)))


def test_the_course_is_remembered_by_what_motion_reads():
    first = course(sided("left"))
    assert course(build(starting_design())) is first
    assert course(build(put(starting_design(), "header.letter", 10.0))) is first
    assert course(build(put(starting_design(), "lane.rise", 2.0))) is not first


def test_hand_over_between_section_and_face_is_there_and_back():
    of = course(sided("left"))
    x, z = np.array([480.0, 520.0]), np.array([170.0, 220.0])
    y, h = of.on_face(x, z)
    u, v = of.off_face(y, h)
    assert u + of.foot[0] == pytest.approx(x)
    assert v + of.foot[1] == pytest.approx(z)

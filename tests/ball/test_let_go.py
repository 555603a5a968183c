"""A ball let go at rest somewhere in the cabinet, and followed through every leg it comes to."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from desk.ball.course import LEGS, CannotPlayError, course
from desk.ball.motion import drop, let_go
from desk.ball.throw import BACK, STOPPED
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.design.file import load

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"
GRAVITY = 9806.65
"""Standard gravity, CGPM 1901, in mm/s²."""


@pytest.fixture(scope="module")
def marbles() -> Cabinet:
    return build(load(EXAMPLES / "marble-16mm.lane"))


def test_a_ball_let_go_over_the_deck_falls_freely_and_rolls_to_the_front_stop(marbles: Cabinet) -> None:
    way = let_go(marbles, "lane", (200.0, 150.0), 90.0)
    assert way.result == BACK
    assert [s.leg for s in way.stretches] == ["lane"]
    assert all(w[1] == 90.0 for w in way.stretches[0].world)
    low = min(p[1] for p in way.stretches[0].points if abs(p[0] - 200.0) < 0.5)
    landed = next(
        t for t, p in zip(way.stretches[0].time, way.stretches[0].points, strict=True) if p[1] < low + 0.01
    )
    assert landed == pytest.approx(
        math.sqrt(2 * (150.0 - low) / GRAVITY), rel=0.005
    )  # free fall, closed form


@pytest.mark.parametrize(
    ("leg", "point"),
    [("flight", (450.0, 200.0)), ("face", (30.0, 60.0)), ("under", (500.0, 120.0)), ("catch", (100.0, 90.0))],
)
def test_it_is_followed_from_leg_to_leg_without_a_gap_to_the_channel(
    marbles: Cabinet, leg: str, point: tuple[float, float]
) -> None:
    way = let_go(marbles, leg, point)
    assert way.stretches[0].leg == leg
    assert way.stretches[-1].leg == "channel"
    assert [LEGS.index(s.leg) for s in way.stretches if s.leg != "flight"] == sorted(
        LEGS.index(s.leg) for s in way.stretches if s.leg != "flight"
    )
    far = 2 * marbles.balls.diameter
    for a, b in pairwise(way.stretches):
        assert b.time[0] == pytest.approx(a.time[-1])
        assert math.dist(a.world[-1], b.world[0]) < far


def test_a_ball_let_go_at_rest_never_rises_above_where_it_was(marbles: Cabinet) -> None:
    """The energy of a ball that starts at rest is its height: it cannot come higher, whatever it bounces on."""
    for leg, point in (("flight", (450.0, 200.0)), ("flight", (520.0, 260.0)), ("face", (50.0, 185.0))):
        way = let_go(marbles, leg, point)
        heights = [w[2] for s in way.stretches for w in s.world]
        assert max(heights) <= heights[0] + 0.1


def test_on_one_leg_it_is_the_drop_of_that_leg(marbles: Cabinet) -> None:
    assert let_go(marbles, "channel", (20.0, 90.0)) == drop(marbles, "channel", (20.0, 90.0))
    alone, whole = drop(marbles, "under", (500.0, 120.0)), let_go(marbles, "under", (500.0, 120.0))
    assert alone.stretches[0].points == whole.stretches[0].points


def test_a_broken_cabinet_holds_the_ball() -> None:
    way = let_go(build(load(EXAMPLES / "broken.lane")), "flight", (450.0, 200.0))
    assert way.result == STOPPED


@pytest.mark.parametrize(
    ("leg", "point"), [("lane", (200.0, 90.0)), ("face", (0.0, 500.0)), ("channel", (300.0, 20.0))]
)
def test_a_ball_cannot_be_let_go_inside_wood(marbles: Cabinet, leg: str, point: tuple[float, float]) -> None:
    with pytest.raises(CannotPlayError, match="there is wood where the ball would be"):
        let_go(marbles, leg, point)


def test_a_leg_that_is_not_there_is_an_error(marbles: Cabinet) -> None:
    with pytest.raises(KeyError):
        let_go(marbles, "cellar", (0.0, 0.0))


def test_a_larger_ball_finds_less_room(marbles: Cabinet) -> None:
    x, z = course(marbles).start
    let_go(marbles, "lane", (x, z + 0.5))
    with pytest.raises(CannotPlayError, match="there is wood"):
        let_go(marbles, "lane", (x, z + 0.5), diameter=marbles.balls.diameter + 2.0)


def test_the_way_is_told_closely_enough_to_be_played_and_a_slope_speeds_the_ball_up_evenly(
    marbles: Cabinet,
) -> None:
    """Rolling down a slope a solid sphere gains 5/7 g (sin a - c cos a); c is the lever of rolling resistance."""
    way = let_go(marbles, "lane", (300.0, 150.0))
    times = [t for s in way.stretches for t in s.time]
    assert max(b - a for a, b in pairwise(times)) < 0.05
    lane = way.stretches[0]
    rolling = [
        (t, p) for t, p in zip(lane.time, lane.points, strict=True) if 120.0 < p[0] < 200.0 and p[1] < 106.0
    ]
    gaps = [
        ((a[0] + b[0]) / 2, math.dist(a[1], b[1]) / (b[0] - a[0]))
        for a, b in pairwise(rolling)
        if b[0] - a[0] > 1e-3
    ]
    (t0, v0), (t1, v1) = gaps[0], gaps[-1]
    (x0, z0), (x1, z1) = rolling[0][1], rolling[-1][1]
    slope = math.atan2(abs(z1 - z0), abs(x1 - x0))
    lever = course(marbles).contact.rolling
    gain = 5 / 7 * GRAVITY * (math.sin(slope) - lever * math.cos(slope))
    assert (v1 - v0) / (t1 - t0) == pytest.approx(gain, rel=0.02)

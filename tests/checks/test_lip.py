"""The lip against the arriving ball: its corner as cut, the speed that takes a ball over it, balls that run over it."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from desk.ball.course import course
from desk.ball.flock import flock
from desk.ball.lift import TRAY
from desk.ball.motion import let_go, path
from desk.ball.plane import RESTING, Motion
from desk.checks import lip
from desk.checks.context import Context
from desk.checks.legs import surveys, waiting
from desk.checks.mechanics import hop_speed
from desk.checks.run import run
from desk.checks.trial import tried
from tests.checks.pairs.base import built

LOW = (("return.lip_height", 5.0),)


def corner(cabinet) -> tuple[float, float]:
    """Turn of the corner the largest ball waits in, radians, and the height it has to rise, mm."""
    ctx, leg = Context(cabinet), cabinet.leg_by_id["channel"]
    rest, (_, _, found) = waiting(ctx, leg, 0), surveys(ctx, leg)[0]
    return lip.turn_at(found, rest.at, lip.CORNER), rest.escape


def test_the_corner_is_between_the_floor_and_the_arc_about_the_lifters_pin():
    """The ball's middle goes about the pin on a larger circle: its slope there is at right angles to the line from the
    pin to the middle; the floor falls by the channel's slope.
    """
    cabinet = built(())
    ctx, leg = Context(cabinet), cabinet.leg_by_id["channel"]
    at, pin = waiting(ctx, leg, 0).at, cabinet.marks.points["pin"]
    lean = math.atan2(at[1] - pin[2], at[0] - pin[0])
    wanted = math.pi / 2 - lean + math.radians(1.8)
    # chords of the arc lie up to a degree off it
    assert corner(cabinet)[0] == pytest.approx(wanted, abs=math.radians(1.5))


def over(cabinet, spring: float) -> float:
    """Least share of its own speed at which a ball in motion runs over the lip."""
    of = course(cabinet)
    first = Motion(of.arrival, of.contact, spring)
    b = flock(
        *(np.array([v]) for v in (of.trough[1], of.edges["catch"].region.bounds[1], 0.0, 0.0, 0.0, 0.0))
    )
    first.enter(b)
    first.run(b)
    came = float(np.hypot(b.vx, b.vy)[0])
    speeds = np.arange(200.0, 1200.0, 4.0)
    one = np.ones(len(speeds))
    c = flock(
        b.x * one, b.y * one, b.vx / came * speeds, b.vy / came * speeds, b.w / came * speeds, 0.0 * one
    )
    motion = Motion(of.edges["channel"], of.contact, spring)
    motion.enter(c)
    motion.run(c)
    home = (c.end == RESTING) & (np.abs(c.x - of.wait.at[0]) < 3.0)
    return float(speeds[~home].min()) / 1000


@pytest.mark.parametrize("values", [(), LOW, (("return.lip_height", 8.0), ("lifter.pin_x", 28.0))])
def test_a_ball_that_does_not_spring_back_is_held_up_to_the_closed_form(values):
    """The motion, event by event, with no restitution at all."""
    cabinet = built(values)
    turn, height = corner(cabinet)
    assert over(cabinet, 0.0) == pytest.approx(hop_speed(height, turn), rel=0.06)


@pytest.mark.parametrize("spring", [0.15, 0.3, 0.45, 0.6])
def test_one_that_springs_back_is_held_at_any_speed_that_the_closed_form_allows(spring):
    for values in ((), LOW):
        cabinet = built(values)
        turn, height = corner(cabinet)
        assert over(cabinet, spring) >= 0.97 * hop_speed(height, turn)


def test_balls_that_run_over_a_low_lip_are_counted():
    cabinet = built((("return.lip_height", 2.0),))
    made = tried(Context(cabinet))
    low, _, high = made.returned("hopped")
    assert low.any()
    found = next(f for f in run(cabinet, ["lip"]) if "unasked" in f.title)
    assert found.status == "conflict"
    shares = [100 * h.mean() for h in (low, made.column("hopped")[made.behind], high)]
    assert found.measured == pytest.approx(max(shares))
    assert f"{int(low.sum())} of {len(low)}" in found.because
    way = path(cabinet, found.ball.speed, found.ball.aim, spring=found.ball.spring)
    assert way.outcome.hopped[0]
    x, z, _ = cabinet.leg_by_id["channel"].frame.local(found.places[0].middle)
    assert (x, z) == pytest.approx(way.stretches[-1].points[-1], abs=0.01)


def lifted(cabinet):
    """Rating and words of the ball that is let go on the raised lifter."""
    draft = next(d for d in lip.lip(Context(cabinet)) if d.key == "lift/rolls")
    return draft.rating, draft.tell()


@pytest.mark.parametrize(("travel", "status"), [(14.5, "clear"), (5.0, "conflict")])
def test_the_lifted_ball_is_let_roll(travel, status):
    """Down 9 mm of a slope of 16 degrees a solid sphere rolls in a tenth of a second; from a pad that stays below the
    lip it never gets away."""
    cabinet = built((("lifter.travel", travel),))
    rating, told = lifted(cabinet)
    assert rating.status == status
    assert told.ball.leg == "lift"
    way = let_go(cabinet, "lift", told.ball.at)
    assert (way.ended == TRAY) == (status == "clear")
    if status == "clear":
        assert rating.measured == pytest.approx(way.time)
        rolls = math.sqrt(2 * 0.009 / (5 / 7 * 9.80665 * math.sin(math.radians(16.3))))
        assert rating.measured == pytest.approx(rolls, rel=0.1)
    else:
        assert {"lifter.travel", "return.lip_height"} == {r.address for r in told.remedies}


def test_where_no_ball_can_be_let_go_on_the_lifter_the_check_says_so():
    cabinet = built(())
    channel = cabinet.leg_by_id["channel"]
    away = replace(channel.rests[0], shape=shapely.box(-9.0, -9.0, -8.0, -8.0))
    moved = replace(channel, rests=(away, *channel.rests[1:]))
    legs = tuple(moved if leg is channel else leg for leg in cabinet.legs)
    rating, told = lifted(replace(cabinet, legs=legs))
    assert rating.status == "conflict"
    assert "no ball comes to rest" in told.because


def test_within_a_drag_step_nothing_is_thrown_and_the_verdict_is_that_of_the_throws():
    for values in ((), (("return.lip_height", 8.0),), LOW):
        cabinet = built(values)
        quick = [d for d in lip.lip(Context(cabinet, hurried=True)) if d.like == "hold"]
        whole = [d for d in lip.lip(Context(cabinet)) if d.like == "hold"]
        assert [d.key for d in quick] == ["hold/largest"]
        assert quick[0].rating.status == whole[0].rating.status
        assert quick[0].rating.needed == pytest.approx(whole[0].rating.needed, rel=0.03)


def test_a_cabinet_nobody_throws_in_is_rated_by_the_closed_form():
    drafts = {d.key for d in lip.lip(Context(replace(built(()), people=None)))}
    assert "hold/largest" in drafts
    assert "hops" not in drafts

"""The lip against the arriving ball: its corner as cut, the speed that takes a ball over it, balls that run over it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from desk.ball.course import course
from desk.ball.flock import flock
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


def test_within_a_drag_step_nothing_is_thrown_and_the_verdict_is_that_of_the_throws():
    for values in ((), (("return.lip_height", 8.0),), LOW):
        cabinet = built(values)
        quick = [d for d in lip.lip(Context(cabinet, hurried=True)) if d.like == "hold"]
        whole = [d for d in lip.lip(Context(cabinet)) if d.like == "hold"]
        assert [d.key for d in quick] == ["hold/largest"]
        assert quick[0].rating.status == whole[0].rating.status
        assert quick[0].rating.needed == pytest.approx(whole[0].rating.needed, rel=0.03)


def test_a_cabinet_nobody_throws_in_is_rated_by_the_closed_form():
    from msgspec.structs import replace

    drafts = {d.key for d in lip.lip(Context(replace(built(()), people=None)))}
    assert "hold/largest" in drafts
    assert "hops" not in drafts

"""The waiting ball, raised: it rolls over the lip into the tray, as the closed form and geometry have it."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.ball.course import CannotPlayError, course
from desk.ball.edges import GRAVITY
from desk.ball.lift import ABOVE, TRAY, lifted, raised
from desk.ball.rests import survey
from desk.ball.throw import GUTTER, STOPPED
from desk.cabinet.build import build
from desk.design.edit import put
from desk.design.starting import starting_design

from .designs import CLEAN, cabinets, example


@pytest.mark.parametrize("name", CLEAN)
def test_a_lifted_ball_rolls_over_the_lip_into_the_tray(name):
    way = lifted(example(name))
    assert (way.ended, way.result) == (TRAY, GUTTER)
    assert [s.leg for s in way.stretches] == ["lift"]
    x, z = way.stretches[0].points[-1]
    tray = next(s.shape for s in example(name).leg_by_id["lift"].sinks)
    assert x == pytest.approx(tray.bounds[2], abs=0.01)
    assert z < raised(example(name))[1]


@pytest.mark.parametrize("name", CLEAN)
def test_it_rolls_down_the_raised_pad_as_a_solid_sphere_does(name):
    """From rest s = 5/14 g (sin a - c cos a) t²; a is how the pad falls at rest, as the channel does, and the swing."""
    cabinet = example(name)
    back, slot = (cabinet.marks.points[key] for key in ("channel back", "slot"))
    rest = math.atan2(back[2] - slot[2], back[0] - slot[0])
    a = rest + math.radians(cabinet.marks.lengths["lifter travel"])
    lever = course(cabinet).contact.rolling
    way = lifted(cabinet).stretches[0]
    gain = 5 / 7 * GRAVITY * (math.sin(a) - lever * math.cos(a))
    (x0, z0), farthest = way.points[0], 0.0
    for t, (x, z) in zip(way.time[1:], way.points[1:], strict=True):
        if math.atan2(z0 - z, x0 - x) < a + 0.002:
            farthest = math.hypot(x0 - x, z0 - z)
            assert farthest == pytest.approx(gain * t * t / 2, rel=0.01, abs=2 * ABOVE)
    assert farthest > 2.0


def test_motion_and_geometry_agree_where_a_lifted_ball_stays():
    """Over the examples and random designs: where it comes to rest there is a place that holds it, and where nothing
    holds a ball beside the lip it gets to the tray."""
    stays, wrong = [], []
    for name, cabinet in cabinets():
        way, of = lifted(cabinet), course(cabinet)
        found = survey(cabinet.leg_by_id["lift"], 2 * of.radius, of.contact.rolling).rests
        start, end = raised(cabinet), way.stretches[-1].points[-1]
        held = [r.at for r in found if not r.meant and math.dist(r.at, start) < 4 * of.radius]
        near = min((math.dist(end, at) for at in held), default=math.inf)
        stays.append(way.result == STOPPED)
        if (way.result == STOPPED and near > 0.05) or (not held and way.ended != TRAY):
            wrong.append((name, way.ended, end, held))
    assert wrong == []
    assert sum(stays) > 10
    assert len(stays) - sum(stays) > 20


def test_where_no_ball_waits_there_is_none_to_lift():
    cabinet = example(CLEAN[0])
    legs = tuple(replace(leg, rests=leg.rests[1:]) if leg.id == "channel" else leg for leg in cabinet.legs)
    with pytest.raises(CannotPlayError, match="no ball comes to rest"):
        lifted(replace(cabinet, legs=legs))


def test_a_lifter_that_swings_too_little_keeps_the_ball_behind_the_lip():
    """The pad has to be above the lip for the ball to roll off it."""
    way = lifted(build(put(starting_design(), "lifter.travel", 5.0)))
    assert way.result == STOPPED

"""Play: closed forms against published figures, what throws come to, and that bunches change nothing."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Solid
from desk.checks.context import Context
from desk.checks.mechanics import GRAVITY, capture_speed, kink_share, roll_in_speed
from desk.checks.play import tried
from desk.checks.run import run
from desk.checks.trial import Trial, trial, warm
from desk.design.file import load
from tests.checks.pairs.base import built

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
INCH = 25.4


def test_speed_kept_at_a_corner():
    """A solid sphere that turns up by 10 degrees keeps 0.9891 of its speed: L about the new contact, 7/5 m r²."""
    assert kink_share(math.radians(10)) == pytest.approx(0.9891, abs=5e-5)
    # by itself: v' = (2/5 + cos d) / (7/5) v
    for degrees in (0.0, 3.0, 25.0, 60.0):
        d = math.radians(degrees)
        assert kink_share(d) == pytest.approx((0.4 + math.cos(d)) / 1.4)


def test_clean_fall_into_a_level_hole_is_that_of_the_golf_ball():
    """Holmes, American Journal of Physics 59 (1991) 129: hole radius 54 mm, ball radius 21.35 mm, 1.31 m/s."""
    assert capture_speed(54.0, 21.35, 0.0, up=True) == pytest.approx(1.313, abs=5e-4)
    assert capture_speed(54.0, 21.35, 0.0, up=False) == pytest.approx(1.313, abs=5e-4)


@pytest.mark.parametrize(("up", "speed"), [(True, 0.7860), (False, 0.6546)])
def test_clean_fall_on_a_slope_against_a_path_made_step_by_step(up, speed):
    """Hole radius 25, ball radius 12.7 mm, 15 degrees; the path in the board's axes, made in steps of 1 microsecond."""
    tilt, hole, radius = math.radians(15), 25.0, 12.7
    found = capture_speed(hole, radius, tilt, up=up)
    assert found == pytest.approx(speed, abs=5e-5)
    x = fallen = 0.0
    v, w, dt = found, 0.0, 1e-6
    along = -GRAVITY * math.sin(tilt) * (1 if up else -1)
    while fallen < radius / 1000:
        v, w = v + along * dt, w + GRAVITY * math.cos(tilt) * dt
        x, fallen = x + v * dt, fallen + w * dt
    assert x * 1000 == pytest.approx(2 * hole - radius, rel=1e-3)


def test_a_hole_of_the_balls_own_size_still_swallows_a_slow_one_and_a_smaller_one_never_less_than_zero():
    assert capture_speed(8.0, 8.0, 0.0, up=True) > 0
    assert capture_speed(3.0, 8.0, math.radians(25), up=False) == 0.0


def test_rolling_down_from_rest():
    """Textbook: v = sqrt(10 g h / 7) from a height h, without resistance; 3 degrees give 0.3666 m/s²."""
    tilt, run_mm = math.radians(25), 9.0
    height = run_mm / 1000 * math.sin(tilt)
    assert roll_in_speed(run_mm, tilt, 0.0) == pytest.approx(math.sqrt(10 * GRAVITY * height / 7))
    assert roll_in_speed(1000 / 2 / 0.3666, math.radians(3), 0.0) == pytest.approx(1.0, rel=2e-4)
    assert roll_in_speed(-1.0, tilt, 0.0) == 0.0


def test_a_wedge_on_the_deck_is_the_sharpest_corner():
    """A wedge of 12 degrees costs 1 - (2 + 5 cos 12) / 7 = 1.56 % of the speed (the deck falls 1.5 to the front)."""
    cabinet = built(())
    lane = cabinet.leg_by_id["lane"]
    deck = next(s.shape for s in lane.solids if s.part == "deck")
    x0, x1 = deck.bounds[0] + 120.0, deck.bounds[0] + 200.0
    floor = deck.intersection(shapely.LineString([(x0, 0), (x0, 300)])).bounds[3]
    rise = (x1 - x0) * math.tan(math.radians(13.5))
    wedge = shapely.Polygon([(x0, floor), (x1, floor + rise), (x1, floor)])
    legs = tuple(
        replace(leg, solids=(*leg.solids, Solid("deck", wedge))) if leg.id == "lane" else leg
        for leg in cabinet.legs
    )
    found = run(replace(cabinet, legs=legs), ["kicker"])
    corner = next(f for f in found if f.title.startswith("Sharpest"))
    assert corner.measured == pytest.approx(100 * (1 - kink_share(math.radians(12.0))), rel=0.02)


def test_bunches_come_to_the_same_as_all_at_once():
    cabinet = built(())
    ctx = Context(cabinet)
    whole = tried(ctx)
    again = Trial(whole.course, cabinet.people, 2.5, (0.0,))
    for _ in again.steps():
        pass
    once = Trial(whole.course, cabinet.people, 2.5, (0.0,)).finish()
    assert np.array_equal(again.column("result"), once.column("result"))
    assert np.allclose(again.column("time"), once.column("time"), equal_nan=True)


def test_the_throws_of_a_cabinet_are_made_once():
    cabinet = built((("lane.length", 283.0),))
    made = list(warm(cabinet, 3.0))
    assert made
    assert list(warm(cabinet, 3.0)) == []
    assert trial(cabinet, 3.0) is trial(build_again(), 3.0)


def build_again():
    from tests.checks.helpers import changed

    return build(changed(lane__length=283.0))


def test_a_cabinet_without_people_cannot_be_played_and_says_so():
    found = run(replace(built(()), people=None), ["ends"])
    assert [f.status for f in found] == ["conflict"]
    assert "how fast people throw" in found[0].because
    assert list(warm(replace(built(()), people=None), 3.0)) == []


def test_the_broken_example_tells_where_its_balls_stop():
    cabinet = build(load(EXAMPLES / "broken.lane"))
    stops = next(f for f in run(cabinet, ["ends"]) if "stop" in f.title)
    assert stops.status == "conflict"
    assert stops.places
    assert "catch ramp and inlet" in stops.because
    x, y, _ = stops.places[0].middle
    catch = cabinet.leg_by_id["catch"]
    assert catch.room.buffer(20.0).intersects(
        shapely.Point(*catch.frame.local((x, y, stops.places[0].middle[2]))[:2])
    )

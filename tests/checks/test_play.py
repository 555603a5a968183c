"""Play: closed forms against published figures, speeds that score, flights to the board."""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from desk.ball.motion import path
from desk.cabinet.model import Solid
from desk.checks import play
from desk.checks.context import Context
from desk.checks.mechanics import (
    GRAVITY,
    capture_speed,
    kink_share,
    leave_speed,
    roll_in_speed,
)
from desk.checks.run import run
from desk.checks.trial import STEP, SWEEP, tried, warm
from tests.checks.pairs.base import built


def test_speed_kept_at_a_corner():
    """A solid sphere that turns up by 10 degrees keeps 0.9891 of its speed: L about the new contact, 7/5 m r²."""
    assert kink_share(math.radians(10)) == pytest.approx(0.9891, abs=5e-5)
    # by itself: v' = (2/5 + cos d) / (7/5) v
    for degrees in (0.0, 3.0, 25.0, 60.0):
        d = math.radians(degrees)
        assert kink_share(d) == pytest.approx((0.4 + math.cos(d)) / 1.4)


def test_clean_fall_into_a_level_hole_is_that_of_the_golf_ball():
    """Holmes, American Journal of Physics 59 (1991) 129: hole radius 54 mm, ball radius 21.35 mm, 1.31 m/s."""
    assert capture_speed(54.0, 21.35, 0.0, up=1.0) == pytest.approx(1.313, abs=5e-4)
    assert capture_speed(54.0, 21.35, 0.0, up=-1.0) == pytest.approx(1.313, abs=5e-4)


@pytest.mark.parametrize(("up", "speed"), [(1.0, 0.7860), (-1.0, 0.6546)])
def test_clean_fall_on_a_slope_against_a_path_made_step_by_step(up, speed):
    """Hole radius 25, ball radius 12.7 mm, 15 degrees; the path in the board's axes, made in steps of 1 microsecond."""
    tilt, hole, radius = math.radians(15), 25.0, 12.7
    found = capture_speed(hole, radius, tilt, up=up)
    assert found == pytest.approx(speed, abs=5e-5)
    x = fallen = 0.0
    v, w, dt = found, 0.0, 1e-6
    along = -GRAVITY * math.sin(tilt) * up
    while fallen < radius / 1000:
        v, w = v + along * dt, w + GRAVITY * math.cos(tilt) * dt
        x, fallen = x + v * dt, fallen + w * dt
    assert x * 1000 == pytest.approx(2 * hole - radius, rel=1e-3)


def test_a_hole_of_the_balls_own_size_still_swallows_a_slow_one_and_a_smaller_one_never_less_than_zero():
    assert capture_speed(8.0, 8.0, 0.0, up=1.0) > 0
    assert capture_speed(3.0, 8.0, math.radians(25), up=-1.0) == 0.0


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


def test_a_cabinet_without_people_cannot_be_played_and_says_so():
    found = run(replace(built(()), people=None), ["ends"])
    assert [f.status for f in found] == ["conflict"]
    assert "how fast people throw" in found[0].because
    assert list(warm(replace(built(()), people=None), 3.0)) == []


def test_a_ball_flies_off_the_end_of_a_slope_where_gravity_bends_less_than_its_radius():
    """The middle of a ball that pivots about the edge goes round it with v² / r; gravity's part towards the edge is
    g cos a. Made step by step: from that speed on the parabola never comes nearer to the edge than the radius.
    """
    radius, slope = 12.7, math.radians(10)
    least = leave_speed(radius, slope)
    assert least == pytest.approx(math.sqrt(9.80665 * 0.0127 * math.cos(slope)))
    assert leave_speed(radius, 0.0) == pytest.approx(0.3529, abs=5e-5)
    t = np.arange(1, 400) * 1e-4
    for share, clears in ((1.0, True), (1.02, True), (0.98, False)):
        v = share * least
        along = v * t - GRAVITY / 2 * math.sin(slope) * t * t
        away = radius / 1000 - GRAVITY / 2 * math.cos(slope) * t * t
        # on a rising slope gravity slows it as well: only its bend counts where it has just left
        first = t * v < radius / 1000 / 20
        near = np.hypot(along + GRAVITY / 2 * math.sin(slope) * t * t, away)[first].min()
        assert (near >= radius / 1000 - 1e-9) == clears


def test_the_share_of_throws_meant_for_a_target_is_that_of_drawn_speeds():
    """A hundred thousand speeds drawn about the one to be meant, each taken to the nearest speed of the sweep."""
    ctx = Context(built(()))
    made = tried(ctx)
    for target in (1, 5):
        best = made.best(target)
        assert best.spread == pytest.approx(ctx.cabinet.people.speed_spread * best.speed)
        swept = (made.kind == SWEEP) & (made.aim == best.aim)
        speed, hit = made.speed[swept], made.column("result")[swept] == target
        drawn = np.random.default_rng(7).normal(best.speed, best.spread, 100_000)
        share = hit[np.abs(speed[:, None] - drawn).argmin(axis=0)].mean()
        told = next(d for d in play.speed_window(ctx) if d.key == f"target {target}")
        assert told.rating.measured == pytest.approx(100 * share, abs=1.0)


def test_no_other_speed_or_aim_is_better_to_mean():
    made = tried(Context(built(())))
    best, of = made.best(3), NormalDist()
    for aim in set(made.aim[made.kind == SWEEP].tolist()):
        speeds = made.scoring(3)[made.scoring(3)[:, 1] == aim, 0]
        for meant in np.arange(made.people.slow, made.people.fast, 0.05):
            ends = ((speeds[:, None] + np.array([-STEP, STEP]) / 2) - meant) / (
                made.people.speed_spread * meant
            )
            share = sum(of.cdf(high) - of.cdf(low) for low, high in ends.tolist())
            assert share <= best.share + 0.005


def test_people_who_spread_nothing_come_to_a_target_every_time_or_not_at_all():
    """As far as the sweep can tell: it knows a speed no closer than it tried."""
    cabinet = built((("people.speed_spread", 0.0),))
    best = tried(Context(cabinet)).best(5)
    assert best.spread == STEP
    assert best.share > 0.6
    assert path(cabinet, best.speed, best.aim).result == 5


def test_every_speed_of_a_row_comes_to_the_target():
    """One ball at a time, between the speeds that were tried; at an end the next speed tried goes elsewhere."""
    cabinet = built(())
    made = tried(Context(cabinet))
    for target in (1, 5):
        row = made.longest(target)
        for share in (0.06, 0.3, 0.5, 0.77, 0.94):
            speed = row.low + share * row.width
            assert path(cabinet, speed, row.aim).result == target
    step = 0.0025
    assert {path(cabinet, made.longest(5).low - step / 2, 0.0).result} != {5}


def test_a_target_no_throw_comes_to_is_a_conflict_of_its_own_and_the_others_are_still_rated():
    cabinet = built((("kicker.exit", 40.0),))
    made = tried(Context(cabinet))
    never = [t.number for t in cabinet.targets if not len(made.scoring(t.number))]
    assert never
    drafts = {d.key: d for d in play.hand_speed(Context(cabinet))}
    assert set(drafts) == {f"target {t.number}" for t in cabinet.targets}
    for number in never:
        lost = drafts[f"target {number}"]
        assert lost.rating.status == "conflict"
        assert "no throw up to" in lost.tell().because
    rated = [d.rating for k, d in drafts.items() if k not in {f"target {n}" for n in never}]
    assert rated
    assert all(r.measured is not None for r in rated)
    windows = {d.key: d for d in play.speed_window(Context(cabinet))}
    assert all(windows[f"target {n}"].rating.measured == 0.0 for n in never)


def test_the_parabola_of_a_flight_is_the_way_of_the_ball():
    cabinet = built(())
    made = tried(Context(cabinet))
    row = made.longest(1)
    way = play.Flight(made, 1, row)
    flown = next(s for s in path(cabinet, way.ball.speed, way.ball.aim).stretches if s.leg == "flight")
    line = shapely.LineString(way.line)
    assert max(line.distance(shapely.Point(p)) for p in flown.points) < 0.05
    assert way.off < way.ball.speed


def test_a_ball_thrown_at_a_target_beside_the_wall_meets_the_wall():
    found = run(built((("targets.3.across", -50.0),)), ["flight"])
    wall = next(f for f in found if f.status == "conflict")
    assert "target 3" in wall.title
    assert "inner-wall" in wall.parts
    assert {r.address for r in wall.remedies} >= {"lane.width", "targets.3.across"}

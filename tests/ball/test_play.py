"""Counting throws: shares and errors by the binomial formulas, the same throws for the same seed, pieces that
change nothing."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from desk.ball.contact import contact_ends, contact_of
from desk.ball.course import LEGS, CannotPlayError, Course, course
from desk.ball.motion import path
from desk.ball.play import play, throws_of
from desk.ball.rests import survey
from desk.ball.throw import BACK, GUTTER, LOST, STOPPED, Throws, begin, follow, throw
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet, People
from desk.design.file import load

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CLEAN = ("marble-16mm", "steel-half-inch", "wood-25mm")
PEOPLE = People(0.6, 2.5, 1.5, 0.1)


@cache
def cabinet(name: str) -> Cabinet:
    return build(load(EXAMPLES / f"{name}.lane"))


def of(name: str) -> Course:
    return course(cabinet(name))


def last(name: str, total: int, seed: int = 1, piece: int = 500):
    return list(play(of(name), cabinet(name).people, cabinet(name).balls.count, total, seed, piece))[-1]


def test_throws_have_the_spread_of_their_people():
    """Uniform between slow and fast, times 1 + s N(0, 1): mean (a + b)/2, variance by the law of total variance."""
    throws = throws_of(PEOPLE, 40_000, 3)
    mean = (0.6 + 2.5) / 2
    second = (0.6**2 + 0.6 * 2.5 + 2.5**2) / 3
    assert throws.speed.mean() == pytest.approx(mean, abs=4 * 0.58 / 200)
    assert throws.speed.var() == pytest.approx(second * 1.01 - mean**2, rel=0.02)
    assert throws.aim.std() == pytest.approx(1.5, rel=0.02)
    assert throws.aim.mean() == pytest.approx(0.0, abs=4 * 1.5 / 200)


def test_the_same_seed_gives_the_same_throws_and_another_one_others():
    first, again, other = throws_of(PEOPLE, 50, 7), throws_of(PEOPLE, 50, 7), throws_of(PEOPLE, 50, 8)
    assert np.array_equal(first.speed, again.speed)
    assert np.array_equal(first.aim, again.aim)
    assert not np.array_equal(first.speed, other.speed)


def test_pieces_change_nothing():
    whole, pieces = last("marble-16mm", 300, piece=300), last("marble-16mm", 300, piece=70)
    assert [(e.result, e.count) for e in whole.ends] == [(e.result, e.count) for e in pieces.ends]
    assert whole.round == pytest.approx(pieces.round)


def test_numbers_firm_up_piece_by_piece_and_can_be_given_up():
    run = play(of("marble-16mm"), PEOPLE, 7, 400, 1, 100)
    first, second = next(run), next(run)
    assert (first.done, second.done, second.total) == (100, 300, 400)
    run.close()
    assert next(run, None) is None


def test_shares_errors_and_the_score_of_a_round():
    """Share p: error sqrt(p (1 - p)/n). A round of k balls: k times the mean, error k s/sqrt(n)."""
    made = last("wood-25mm", 600)
    n, balls = made.done, cabinet("wood-25mm").balls.count
    assert sum(e.count for e in made.ends) == n == 600
    assert sum(e.share for e in made.ends) == pytest.approx(1.0)
    for end in made.ends:
        assert end.error == pytest.approx(math.sqrt(end.share * (1 - end.share) / n))
    mean = sum(e.score * e.share for e in made.ends)
    variance = sum(e.share * (e.score - mean) ** 2 for e in made.ends) * n / (n - 1)
    assert made.round == pytest.approx(balls * mean)
    assert made.round_error == pytest.approx(balls * math.sqrt(variance / n))
    assert made.back + made.lost == pytest.approx(1.0)


def test_every_target_is_counted_even_where_no_ball_came():
    made = last("steel-half-inch", 40)
    assert [e.result for e in made.ends][:5] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize("name", CLEAN)
def test_in_a_clean_design_no_ball_stops(name):
    made = last(name, 700)
    assert [s for s in made.strays if s.result == STOPPED] == []
    assert made.lost < 0.01
    assert 2.0 < made.time < 12.0


def test_stops_of_the_broken_design_can_be_played_again():
    """Its catch ramp leaves the ball before a shut inlet: nearly all balls stop there, each with a way to replay."""
    made = last("broken", 300)
    stops = [s for s in made.strays if s.result == STOPPED]
    assert len(stops) > 150
    throws = throws_of(cabinet("broken").people, 300, 1)  # type: ignore[arg-type]
    for stray in stops[:4]:
        assert (throws.speed[stray.number], throws.aim[stray.number]) == (stray.speed, stray.aim)
        way = path(cabinet("broken"), stray.speed, stray.aim)
        assert way.result == STOPPED
        assert way.stretches[-1].leg == stray.leg
        assert way.stretches[-1].points[-1] == pytest.approx(stray.at, abs=0.5)


def test_nobody_throws():
    with pytest.raises(CannotPlayError, match="Nobody throws"):
        next(play(of("marble-16mm"), None, 7))


@pytest.mark.parametrize("name", CLEAN)
def test_every_target_is_reached_at_a_human_speed(name):
    """Some throw between slowest and fastest, at some aim a hand has, comes to each target."""
    people = cabinet(name).people
    assert people is not None
    reached: set[int] = set()
    speed = np.arange(people.slow, people.fast, 0.01)
    for aim in (0.0, 0.5, -0.5, 1.0, 8.0, -8.0, -1.5):
        done = throw(of(name), Throws(speed, np.full(len(speed), aim)), whole=False)
        reached |= {int(r) for r in np.unique(done.result)}
    assert {t.number for t in cabinet(name).targets} <= reached


@pytest.mark.parametrize("name", CLEAN)
def test_a_slow_ball_comes_back_and_no_throw_goes_astray(name):
    people = cabinet(name).people
    assert people is not None
    speed = np.linspace(0.05, people.fast, 120)
    done = throw(of(name), Throws(speed, np.zeros(120)))
    assert done.result[0] == BACK
    assert not (done.result == STOPPED).any()
    assert (done.result == LOST).sum() <= 2
    assert np.nanmax(done.at_lip) < 1.0


def test_traps_on_the_face_are_the_same_in_geometry_and_in_motion():
    """Every ball that stops on the broken design's face lies where the survey says a ball is held, and some do."""
    cab = cabinet("broken")
    leg, size = cab.leg_by_id["face"], cab.balls.diameter
    held = [r.at for r in survey(leg, size, contact_of(cab.balls.material).rolling).rests if not r.meant]
    assert held
    assert cab.people is not None
    done = throw(of("broken"), throws_of(cab.people, 2500, 5), whole=False)
    stopped = done.at[(done.result == STOPPED) & (done.leg == LEGS.index("face"))]
    assert len(stopped) > 5
    for at in stopped.tolist():
        assert min(math.dist(at, r) for r in held) < 1.0


@pytest.mark.parametrize("name", CLEAN)
def test_where_geometry_finds_no_trap_no_ball_stops_on_the_face(name):
    cab = cabinet(name)
    least = contact_of(cab.balls.material).rolling
    assert not [r for r in survey(cab.leg_by_id["face"], cab.balls.diameter, least).rests if not r.meant]
    assert cab.people is not None
    done = throw(of(name), throws_of(cab.people, 500, 9), whole=False)
    assert not (done.result == STOPPED).any()


@pytest.mark.parametrize("name", CLEAN)
def test_no_ball_stays_on_the_lip_of_the_kicker(name):
    """Halving the gap between rolling back and going over, down to speeds that differ in the last digit: on the crest
    between the two the least nudge sends a ball off, so that none is taken as stopped there.
    """
    low, high = 0.3, 1.6
    found = set()
    while high - low > 1e-12:
        middle = (low + high) / 2
        result = int(throw(of(name), Throws(np.array([middle]), np.zeros(1)), whole=False).result[0])
        found.add(result)
        low, high = (middle, high) if result == BACK else (low, middle)
    assert BACK in found
    assert STOPPED not in found


def test_a_ball_that_springs_high_off_the_catch_ramp_comes_down_again():
    """At 2 m/s onto the ramp and 0.6 of it back up it rises by 0.073 m, above the section along the ramp."""
    lively = replace(of("marble-16mm"), contact=contact_ends("glass")[1])
    stage = begin(lively, Throws(np.full(5, 1.0), np.zeros(5)))
    stage.leg[:], stage.result[:] = LEGS.index("under"), GUTTER
    stage.x[:] = sum(lively.trough) / 2
    stage.z[:] = lively.edges["catch"].region.bounds[1] + 40.0
    stage.vx[:], stage.w[:] = 0.0, 0.0
    stage.vz[:] = -np.linspace(1000.0, 2000.0, 5)
    done = follow(lively, stage)
    assert set(done.result.tolist()) == {GUTTER}
    assert np.isfinite(done.at_lip).all()

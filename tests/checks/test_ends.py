"""How balls end: into the hole at their speed, back or not, in the few throws of the check and in a run of many."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from desk.ball.face import play as roll
from desk.ball.motion import path
from desk.ball.play import Stray, play
from desk.ball.throw import GUTTER, LOST, STOPPED, Throws, throw
from desk.cabinet.build import build
from desk.checks import ends
from desk.checks.context import Context
from desk.checks.legs import GOVERN
from desk.checks.mechanics import capture_speed
from desk.checks.needs import shipped_needs
from desk.checks.run import run
from desk.checks.trial import PEOPLE, SOME, tried
from desk.design.file import load
from tests.ball.designs import varied
from tests.checks.pairs.base import built

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CLEAN = ("marble-16mm", "steel-half-inch", "wood-25mm")


def drafts(cabinet, prefix=""):
    return {d.key: d for d in ends.hole_speed(Context(cabinet)) if d.key.startswith(prefix)}


def test_every_kind_of_target_is_rated_at_the_speed_balls_come_with():
    kinds = {t.kind for name in CLEAN for t in build(load(EXAMPLES / f"{name}.lane")).targets}
    assert kinds == {"ring", "horseshoe", "vee", "plain"}
    for name in CLEAN:
        cabinet = build(load(EXAMPLES / f"{name}.lane"))
        assert {f"speed/target {t.number}" for t in cabinet.targets} <= set(drafts(cabinet))


def speeds_over(cabinet, number):
    """Balls of people's throws that touch a rim, thrown once more one by one: speeds along the face and up it just
    before their middles last came over the hole and touched its rim, and whether they fell in.
    """
    made = tried(Context(cabinet))
    met = np.isfinite(made.column("rims")[:, number, 0])
    rows = []
    for k in np.nonzero((made.kind == PEOPLE) & met)[0].tolist():
        one = throw(made.course, Throws(made.speed[k : k + 1], made.aim[k : k + 1]), whole=False)
        rows.append((*one.rims[0, number], made.column("result")[k] == number))
    return np.array(rows)


def test_of_the_balls_that_touch_a_rim_those_that_fall_in_are_counted():
    """A railed hole and a plain one: the share, and the clean fall of each ball on its own way, counted by hand."""
    cabinet = built(())
    tilt, found = np.radians(34.0), drafts(cabinet)
    for number, radius in ((3, 11.5), (5, 11.5)):
        speed, up, fell = speeds_over(cabinet, number).T
        assert found[f"speed/target {number}"].rating.measured == pytest.approx(fell.mean())
        time = np.sqrt(2 * 0.008 / (9.80665 * np.cos(tilt)))
        clean = speed <= (2 * radius - 8) / 1000 / time + up / speed * 9.80665 * np.sin(tilt) * time / 2
        because = found[f"speed/target {number}"].tell().because
        assert f"{int(fell.sum())} of {len(fell)} balls that touch the rim" in because
        assert f"cleanly came {clean.sum()}, and {int((clean * fell).sum())} of them" in because
        assert f"of {(~clean).sum()} faster ones" in because


@pytest.mark.parametrize("name", CLEAN)
def test_balls_slow_enough_for_a_clean_fall_on_their_way_fall_into_railed_holes(name):
    """The closed form of the fall (Holmes 1991, tilted) against the motion: rails send to the middle what runs beside
    it, so nine in ten that are slow enough do fall in; and there are faster ones that do not.
    """
    cabinet = build(load(EXAMPLES / f"{name}.lane"))
    made = tried(Context(cabinet))
    tilt, radius = np.radians(cabinet.marks.lengths["tilt"]), cabinet.balls.diameter / 2
    slow, fast = [], []
    for target in (t for t in cabinet.targets if t.kind != "plain"):
        speed, up = made.column("rims")[made.kind == PEOPLE, target.number].T
        fell = (made.column("result") == target.number)[made.kind == PEOPLE]
        for v, u, f in zip(speed, up, fell, strict=True):
            if np.isfinite(v):
                limit = capture_speed(target.hole / 2, radius, tilt, u / v)
                (slow if v <= limit else fast).append(f)
    assert len(slow) >= 20
    assert np.mean(slow) >= 0.9
    assert 0.3 < np.mean(fast) < np.mean(slow)


def test_the_way_at_the_rim_is_up_the_board_or_down_it():
    """Rolled over the lowest hole from below and let go above it."""
    cabinet = built(())
    of = tried(Context(cabinet)).course
    hole = max((h for h in of.ground.holes if h.target == 5), key=lambda h: h.y)
    r, start = of.radius, hole.radius + 3.0
    state = np.zeros((2, 9))
    state[:, 0], state[:, 1] = hole.x, (hole.y - start, hole.y + start)
    state[:, 2], state[:, 4], state[:, 6] = r, (500.0, 0.0), (-500.0, 0.0)
    done = roll(of.ground, of.contact, state, np.zeros(2))
    (up_speed, up), (down_speed, down) = done.rims[:, 5]
    a = 5 / 7 * 9806.65 * np.sin(of.ground.tilt)
    assert up > 0 > down
    assert abs(up) == pytest.approx(np.sqrt(500.0**2 - 2 * a * 3.0), rel=0.02)
    assert abs(down) == pytest.approx(np.sqrt(2 * a * 3.0), rel=0.05)
    assert (up_speed, down_speed) == pytest.approx((abs(up), abs(down)))


@pytest.mark.parametrize(
    ("hole", "least", "status"), [(15.0, 0.0, "clear"), (26.0, 1.0, "tight"), (26.0, 1.1, "conflict")]
)
def test_a_persons_own_share_may_be_none_or_all(hole, least, status):
    """Into a hole smaller than the ball none falls, into a wide one all: a throw that shows it is told all the same."""
    tight = 0.03 if least else 0.0
    needs = {
        **shipped_needs(),
        "hole_takes": replace(shipped_needs()["hole_takes"], value=least, tight=tight),
    }
    cabinet = built((("targets.3.hole", hole),))
    found = {d.key: d for d in ends.hole_speed(Context(cabinet, needs=needs))}
    draft = found["speed/target 3"]
    assert (draft.rating.measured, draft.rating.status) == (min(least, 1.0), status)
    assert draft.tell().ball is not None


def test_balls_let_go_within_a_rail_roll_into_its_hole_and_plain_holes_have_no_rail_to_let_go_in():
    cabinet = build(load(EXAMPLES / "steel-half-inch.lane"))
    rolled = drafts(cabinet, "target")
    railed = {f"target {t.number}" for t in cabinet.targets if t.kind != "plain"}
    assert set(rolled) == railed
    assert {d.rating.measured for d in rolled.values()} == {3.0}


def test_what_cannot_get_out_of_its_rail_does_not_fall_in():
    """With the hole closed to less than the ball, none of three falls in."""
    cabinet = built((("targets.3.hole", 15.0),))
    assert drafts(cabinet, "target")["target 3"].rating.status == "conflict"


def test_the_broken_example_tells_where_its_balls_stop():
    """Behind the board: that they fell into the holes is not held against the holes."""
    cabinet = build(load(EXAMPLES / "broken.lane"))
    assert {f.status for f in run(cabinet, ["hole-speed"])} == {"clear"}
    stops = next(f for f in run(cabinet, ["ends"]) if "stop" in f.title)
    assert stops.status == "conflict"
    assert stops.places
    assert "catch ramp and inlet" in stops.because
    assert "behind.inlet_height" in {r.address for r in stops.remedies}
    x, y, _ = stops.places[0].middle
    catch = cabinet.leg_by_id["catch"]
    assert catch.room.buffer(20.0).intersects(
        shapely.Point(*catch.frame.local((x, y, stops.places[0].middle[2]))[:2])
    )
    first = next(s for s in tried(Context(cabinet)).strays() if s.result == STOPPED)
    assert path(cabinet, first.speed, first.aim).result == STOPPED


def test_one_stop_in_ten_thousand_throws_is_a_conflict_with_its_place_and_its_throw():
    cabinet = built(())
    stop = Stray(4711, 1.25, -0.5, STOPPED, "under", (480.0, 110.0))
    (found,) = [f for f in ends.verdict(cabinet, ends.ended((stop,), 10_000)) if f.status != "clear"]
    assert found.status == "conflict"
    assert found.check == "ends"
    assert found.measured == pytest.approx(0.01)
    assert "throw 4711, 1.2500 m/s, -0.500 deg" in found.because
    assert "under the board" in found.because
    assert found.places


def test_a_ball_that_stops_on_the_face_is_mended_at_the_target_beside_it():
    cabinet = built(())
    for target in cabinet.targets:
        stop = Stray(1, 1.25, -0.5, STOPPED, "face", (target.at[0] + 1.0, target.at[1] + 2.0))
        (found,) = [f for f in ends.verdict(cabinet, ends.ended((stop,), 10_000)) if f.status != "clear"]
        assert f"targets.{target.number}.across" in {r.address for r in found.remedies}


@pytest.mark.parametrize(("lost", "status"), [(0, "clear"), (90, "clear"), (150, "tight"), (250, "conflict")])
def test_of_balls_that_leave_the_cabinet_two_in_a_hundred_are_let_pass(lost, status):
    cabinet = built(())
    gone = tuple(Stray(k, 2.6, 1.0, LOST, "face", (0.0, 200.0)) for k in range(lost))
    assert ends.verdict(cabinet, ends.ended(gone, 10_000))[0].status == status


def test_a_ball_that_stays_behind_with_another_spring_is_told_with_its_place_and_can_be_watched():
    """Catch ramp and inlet of a random design hold balls that spring back as much as they may."""
    cabinet = varied(46)
    made = tried(Context(cabinet))
    _, middle, high = made.returned("result")
    stay = int((((high == STOPPED) | (high == LOST)) & (middle >= GUTTER)).sum())
    found = next(f for f in run(cabinet, ["ends"]) if "stay behind" in f.title)
    assert found.status == "conflict"
    assert found.measured == pytest.approx(100 * stay / len(high))
    assert f"of {len(high)} balls, one in {SOME} of the {len(made.behind)} that come behind" in found.because
    assert f"and {stay} more where they do as much" in found.because
    assert found.ball.spring == 1
    stays = path(cabinet, found.ball.speed, found.ball.aim, spring=1)
    assert stays.result == STOPPED
    assert path(cabinet, found.ball.speed, found.ball.aim).result >= GUTTER
    leg = cabinet.leg_by_id[stays.stretches[-1].leg]
    x, z, _ = leg.frame.local(found.places[0].middle)
    assert (x, z) == pytest.approx(stays.stretches[-1].points[-1], abs=0.01)
    assert {r.address for r in found.remedies} == set(GOVERN[leg.id])


@pytest.mark.parametrize(("leg", "address"), [("face", "lane.guard"), ("channel", "return.headroom")])
def test_what_is_lost_is_mended_where_it_is_lost(leg, address):
    """Higher sides hold no ball that leaves the return."""
    gone = tuple(Stray(k, 2.6, 1.0, LOST, leg, (10.0, 90.0)) for k in range(250))
    (found,) = [f for f in ends.verdict(built(()), ends.ended(gone, 10_000)) if f.status == "conflict"]
    assert address in {r.address for r in found.remedies}
    assert ("lane.guard" in {r.address for r in found.remedies}) == (leg == "face")


@pytest.mark.parametrize("name", CLEAN)
def test_the_clean_examples_play(name):
    """Of 10,000 throws none stops, hardly any leaves the cabinet, and every target is hit by two to thirty-five in a
    hundred: by chance alone as well as by a throw that is meant for it.
    """
    cabinet = build(load(EXAMPLES / f"{name}.lane"))
    of = tried(Context(cabinet)).course
    (whole,) = play(of, cabinet.people, cabinet.balls.count, piece=10_000)
    assert not [s for s in whole.strays if s.result == STOPPED]
    assert whole.lost < 0.001
    shares = {e.result: e.share for e in whole.ends if e.result > 0}
    assert len(shares) == len(cabinet.targets)
    assert all(0.02 < share < 0.35 for share in shares.values())
    assert [f.status for f in ends.verdict(cabinet, ends.ended(whole.strays, whole.done))] == ["clear"]

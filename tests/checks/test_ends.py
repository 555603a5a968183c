"""How balls end: into the hole at their speed, back or not, in the few throws of the check and in a run of many."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from desk.ball.motion import path
from desk.ball.play import Stray, play
from desk.ball.throw import LOST, STOPPED
from desk.cabinet.build import build
from desk.checks import ends
from desk.checks.context import Context
from desk.checks.mechanics import capture_speed
from desk.checks.run import run
from desk.checks.trial import tried
from desk.design.file import load
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


def test_the_slowest_quarter_is_set_against_the_clean_fall():
    """The speeds at the rim of the very throws, sorted by hand, and the closed form of the fall up the board."""
    cabinet = built(())
    made = tried(Context(cabinet))
    mine = (made.speed >= 0.7) & (made.speed <= 1.9) & (made.column("result") == 3)
    speeds = np.sort(made.column("at_hole")[mine])
    assert len(speeds) > 20
    slow = np.interp(0.25 * (len(speeds) - 1), np.arange(len(speeds)), speeds)
    limit = capture_speed(11.5, 8.0, np.radians(34.0), up=True)
    assert drafts(cabinet)["speed/target 3"].rating.measured == pytest.approx(limit - slow)


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
    cabinet = build(load(EXAMPLES / "broken.lane"))
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

"""Playing without a window: where a ball is let go, what is said of it, the playback, which speed comes to what."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from desk.ball.course import CannotPlayError, course
from desk.ball.motion import path
from desk.ball.throw import BACK, GUTTER, LOST, STOPPED, Throws, throw
from desk.cabinet.build import build
from desk.design import edit
from desk.design.file import load
from desk.evaluate import Evaluation, evaluate
from desk.playing import (
    COVERED,
    LEGS_OF,
    OUTSIDE,
    WOOD,
    Playback,
    Scene,
    Spot,
    Sweep,
    Window,
    dropped,
    named,
    reach_of,
    same_play,
    spot,
    sweep,
    told,
    went_wrong,
    windows,
)
from desk.views.drawing import Disc, Text
from desk.views.playing import GHOSTS

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"


@pytest.fixture(scope="module")
def marbles() -> Evaluation:
    return evaluate(load(EXAMPLES / "marble-16mm.lane"))


@pytest.fixture(scope="module")
def broken() -> Evaluation:
    return evaluate(load(EXAMPLES / "broken.lane"))


# --- where a ball is let go


def test_a_point_of_a_view_is_found_on_the_leg_it_lies_on(marbles: Evaluation) -> None:
    cabinet, views = marbles.cabinet, marbles.drawings
    foot = cabinet.marks.points["foot"]
    over, under = (foot[0] + 60.0, foot[2] + 110.0), (foot[0] + 60.0, foot[2] - 15.0)
    assert spot(cabinet, views["lane"], (200.0, 150.0)).leg == "lane"
    assert spot(cabinet, views["lane"], over).leg == "flight"
    assert spot(cabinet, views["lane"], under).leg == "under"
    assert spot(cabinet, views["face"], (0.0, 50.0)).leg == "face"
    assert spot(cabinet, views["rear"], (100.0, 90.0)).leg == "catch"


def test_every_view_lets_a_ball_go_somewhere(marbles: Evaluation) -> None:
    assert set(LEGS_OF) | {"plan"} == set(marbles.drawings)


def test_in_the_plan_a_ball_lies_on_the_deck_or_on_the_board_below_the_hand(marbles: Evaluation) -> None:
    cabinet, plan = marbles.cabinet, marbles.drawings["plan"]
    on_deck = spot(cabinet, plan, (200.0, -100.0))
    assert (on_deck.leg, on_deck.across) == ("lane", 100.0)
    assert on_deck.point[0] == 200.0
    way = dropped(cabinet, on_deck)
    assert way.stretches[0].world[0][1] == 100.0
    assert max(p[1] for p in way.stretches[0].points[:3]) < on_deck.point[1] + 0.1
    on_board = spot(cabinet, plan, (480.0, -110.0))
    world = cabinet.leg_by_id["face"].frame.world(*on_board.point)
    assert on_board.leg == "face"
    assert world[:2] == pytest.approx((480.0, 110.0))


@pytest.mark.parametrize(
    ("view", "at", "why"),
    [
        ("lane", (200.0, 85.0), WOOD),
        ("lane", (0.0, 300.0), OUTSIDE),
        ("plan", (480.0, -22.0), COVERED),
        ("plan", (20.0, -110.0), OUTSIDE),
        ("face", (0.0, 900.0), OUTSIDE),
        ("channel", (300.0, 20.0), WOOD),
        ("rear", (100.0, 20.0), OUTSIDE),
    ],
)
def test_a_ball_is_not_let_go_where_it_cannot_be(
    marbles: Evaluation, view: str, at: tuple[float, float], why: str
) -> None:
    with pytest.raises(CannotPlayError, match=why):
        spot(marbles.cabinet, marbles.drawings[view], at)


def test_a_ball_is_not_let_go_on_a_rail(marbles: Evaluation) -> None:
    ring = next(t for t in marbles.cabinet.targets if t.kind == "ring")
    with pytest.raises(CannotPlayError, match=WOOD):
        spot(marbles.cabinet, marbles.drawings["face"], (ring.at[0] + ring.rail, ring.at[1]))


# --- words


def test_what_became_of_a_ball_is_told(marbles: Evaluation, broken: Evaluation) -> None:
    cabinet = marbles.cabinet
    slow = path(cabinet, 0.3)
    assert slow.result == BACK
    assert told(slow, cabinet).startswith("Too slow for the kicker: rolls back to the front stop after ")
    scored = next(w for w in (path(cabinet, 0.8 + 0.02 * k) for k in range(90)) if w.result > 0)
    assert told(scored, cabinet).startswith(f"Target {scored.result}: {scored.score:g} points. ")
    assert f"after {scored.time:.1f} s" in told(scored, cabinet)
    gutter = next(w for w in (path(cabinet, 0.8 + 0.02 * k) for k in range(90)) if w.result == GUTTER)
    assert told(gutter, cabinet).startswith("Through the gutter: no points. ")
    stopped = path(broken.cabinet, 1.0)
    assert told(stopped, broken.cabinet).startswith("Stops after ")
    assert went_wrong(stopped)
    assert not went_wrong(scored)
    assert told(replace(slow, result=LOST), cabinet).startswith("Leaves the cabinet after ")


def test_a_ball_let_go_behind_the_board_comes_back_and_is_not_said_to_score_nothing(
    marbles: Evaluation,
) -> None:
    cabinet = marbles.cabinet
    thrown = next(w for w in (path(cabinet, 0.8 + 0.02 * k) for k in range(90)) if w.result == GUTTER)
    behind = next(s for s in thrown.stretches if s.leg == "under")
    way = dropped(cabinet, Spot("under", behind.points[len(behind.points) // 2]))
    assert way.result == GUTTER
    assert told(way, cabinet).startswith("Back in the waiting place after ")


def test_a_ball_that_comes_off_the_board_is_not_called_slow(marbles: Evaluation) -> None:
    way = next(
        w
        for w in (path(marbles.cabinet, 1.0 + 0.02 * k) for k in range(90))
        if w.result == BACK and len(w.stretches) > 1
    )
    assert told(way, marbles.cabinet).startswith(
        "Comes off the board and over the kicker back to the front stop"
    )


def test_a_drop_in_the_channel_is_told_by_where_it_ends(marbles: Evaluation) -> None:
    place = spot(marbles.cabinet, marbles.drawings["channel"], (20.0, 90.0))
    assert told(dropped(marbles.cabinet, place), marbles.cabinet).startswith("At rest: pick-up tray, after ")


def test_results_have_names() -> None:
    assert [named(r, 0.0) for r in (GUTTER, BACK, LOST, STOPPED)] == ["gutter", "rolls back", "lost", "stops"]
    assert named(3, 20.0) == "target 3, 20 points"


# --- playing


def test_the_clock_of_a_playback_keeps_its_rate_and_stops_at_the_end() -> None:
    play = Playback(2.0, 0.25)
    play.advance(1.0)
    assert (play.time, play.over) == (0.25, False)
    play.paused = True
    play.advance(5.0)
    assert play.time == 0.25
    play.paused, play.rate = False, 1.0
    play.advance(9.0)
    assert (play.time, play.over) == (2.0, True)


def test_the_throws_before_are_kept_newest_first_and_not_for_ever(marbles: Evaluation) -> None:
    ways = [path(marbles.cabinet, 0.8 + 0.1 * k) for k in range(GHOSTS + 3)]
    scene = Scene()
    for way in ways:
        scene.begin(way, 8.0, 1.0)
    assert scene.way is ways[-1]
    assert scene.before == ways[-2 : -2 - GHOSTS : -1]
    scene.items(marbles.drawings["lane"])
    scene.retire()
    assert (scene.way, scene.play, scene.before[0]) == (None, None, ways[-1])
    below, above = scene.items(marbles.drawings["lane"])
    assert below
    assert above == ()
    scene.clear()
    assert scene.items(marbles.drawings["lane"]) == ((), ())


def test_the_scene_shows_the_ball_where_its_way_has_it(marbles: Evaluation) -> None:
    way, scene = path(marbles.cabinet, 1.0), Scene()
    scene.begin(way, 8.0, 1.0)
    assert scene.play is not None
    scene.play.advance(0.2)
    assert scene.leg == "lane"
    _, above = scene.items(marbles.drawings["lane"])
    (ball,) = above
    assert isinstance(ball, Disc)
    world = way.at(0.2)[2]
    assert ball.centre == pytest.approx(marbles.drawings["lane"].frame.local(world)[:2], abs=0.01)
    scene.again()
    assert scene.play.time == 0.0


def test_a_stop_is_marked_once_the_ball_is_there(broken: Evaluation) -> None:
    scene = Scene()
    scene.begin(path(broken.cabinet, 1.0), 8.0, 1.0)
    view = broken.drawings["rear"]
    assert not [i for i in scene.items(view)[1] if isinstance(i, Text)]
    assert scene.play is not None
    scene.play.advance(99.0)
    assert [i.text for i in scene.items(view)[1] if isinstance(i, Text)] == ["stops here"]


# --- which speed comes to what


def test_windows_are_runs_with_edges_half_way_between_two_speeds() -> None:
    speeds = np.array([1.0, 1.1, 1.2, 1.3, 1.4])
    made = windows(speeds, np.array([0, 0, 3, 3, 3]), np.array([0.0, 0.0, 20.0, 20.0, 20.0]))
    assert made == (Window(1.0, pytest.approx(1.15), 0, 0.0), Window(pytest.approx(1.15), 1.4, 3, 20.0))


def test_a_sweep_says_what_single_throws_say(marbles: Evaluation) -> None:
    of = course(marbles.cabinet)
    made = sweep(of, 0.4, 2.6, 1.0, 45)
    assert [w.low for w in made.windows[1:]] == [w.high for w in made.windows[:-1]]
    assert (made.windows[0].low, made.windows[-1].high) == (0.4, 2.6)
    for speed in np.linspace(0.4, 2.6, 45)[::4].tolist():
        found = made.at(speed)
        alone = throw(of, Throws(np.array([speed]), np.array([1.0])))
        assert found is not None
        assert (found.result, found.score) == (int(alone.result[0]), float(alone.score[0]))


def test_the_least_speed_over_the_kicker_is_the_one_its_height_asks_for(marbles: Evaluation) -> None:
    """Energy of a rolling solid sphere, 7/10 m v², against the rise from the start to the lip (rolling losses of a few
    per cent come on top; the closed form is a lower bound).
    """
    cabinet = marbles.cabinet
    of = course(cabinet)
    rise = cabinet.marks.points["lip"][2] - (of.start[1] - of.radius)
    least = math.sqrt(10 / 7 * 9.80665 * rise / 1000)
    made = sweep(of, 0.4, 2.0, 0.0, 161)
    assert made.least is not None
    assert least * 0.98 < made.least < 1.15 * least


def test_a_sweep_that_never_leaves_the_lane_has_no_least_speed() -> None:
    assert Sweep(0.1, 0.2, 0.0, 0.1, (Window(0.1, 0.2, BACK, 0.0),)).least is None
    assert Sweep(0.1, 0.2, 0.0, 0.1, (Window(0.1, 0.2, BACK, 0.0),)).at(0.3) is None


def test_the_speeds_tried_reach_beyond_the_peoples_own(marbles: Evaluation) -> None:
    design = load(EXAMPLES / "marble-16mm.lane")
    for slow, fast in ((0.6, 2.5), (0.3, 0.35), (2.0, 1.0)):
        design = edit.put(edit.put(design, "people.slow", slow), "people.fast", fast)
        low, high = reach_of(evaluate(design).cabinet)
        assert 0 < low < min(slow, fast)
        assert high > max(slow, fast)


@pytest.mark.parametrize(
    ("table", "row", "field", "value"),
    [("balls", "glass", "rolling", [0.01, 0.02]), ("restitution", "glass", "board", [0.2, 0.3])],
)
def test_numbers_of_ones_own_that_motion_reads_make_another_play(table, row, field, value):
    design = load(EXAMPLES / "marble-16mm.lane")
    other = build(edit.put_own_value(design, table, row, field, value))
    assert not same_play(build(design), other)
    assert course(build(design)) is not course(other)


def test_a_letter_moves_no_ball_and_another_count_of_balls_makes_another_round():
    design = load(EXAMPLES / "marble-16mm.lane")
    assert same_play(build(design), build(edit.put(design, "header.letter", 12.0)))
    assert not same_play(build(design), build(edit.put(design, "ball.count", 5.0)))

"""Balls thrown and dropped in the real window: where they are painted, what is said of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desk.design import edit
from desk.ui.easel import Event
from desk.ui.store import Store
from desk.views.drawing import Text
from desk.views.playing import arrow_tip

from .hands import drag, move, pixels, press, release
from .play_room import Opener, PlayRoom, ball, open_room, styles


@pytest.fixture
def opener(qapp: QApplication, tmp_path: Path, store: Store) -> Iterator[Opener]:
    made: list[PlayRoom] = []

    def make(example: str = "marble-16mm") -> PlayRoom:
        made.append(open_room(tmp_path, store, example))
        return made[-1]

    yield make
    for play in made:
        play.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def play(opener: Opener) -> PlayRoom:
    return opener()


def said(play: PlayRoom) -> str:
    """What stands in the status bar."""
    return play.room.front.statusBar().currentMessage()


def test_a_throw_moves_the_ball_in_section_plan_and_face_at_once(play: PlayRoom) -> None:
    stage, sheet = play.room.play.stage, play.room.sheet
    stage.set_throw(1.0, 1.0)
    stage.throw()
    way = stage.scene.way
    assert way is not None
    play.wait(0.2)
    first = ball(sheet.section, "ball-moving").centre
    assert "ball-moving" in styles(sheet.plan)
    assert "ball-moving" not in styles(sheet.face)
    on_face = next(s for s in way.stretches if s.leg == "face")
    play.wait((on_face.time[0] + on_face.time[-1]) / 2 - 0.2)
    assert all("ball-moving" in styles(c) for c in (sheet.section, sheet.plan, sheet.face))
    assert ball(sheet.section, "ball-moving").centre[0] > first[0] + 100.0


def test_the_ball_runs_at_true_speed_and_slower_at_will(play: PlayRoom) -> None:
    stage = play.room.play.stage
    stage.throw()
    play.wait(0.25)
    assert stage.scene.play is not None
    assert stage.scene.play.time == pytest.approx(0.25, abs=0.02)
    play.room.play.set_rate("pace_tenth")
    play.wait(0.5)
    assert stage.scene.play.time == pytest.approx(0.30, abs=0.02)
    assert play.room.actions_by_id["pace_tenth"].isChecked()
    assert not play.room.actions_by_id["pace_true"].isChecked()


def test_pixels_change_along_the_way_and_nowhere_else(play: PlayRoom) -> None:
    stage, canvas = play.room.play.stage, play.room.sheet.section
    behind, ahead = (canvas.view.to_px((x, 103.0)) for x in (150.0, 330.0))
    before = [pixels(canvas, at, 6) for at in (behind, ahead)]
    stage.set_throw(1.0, 0.0)
    stage.throw()
    play.wait(0.15)
    x = ball(canvas, "ball-moving").centre[0]
    assert 170.0 < x < 300.0
    assert [pixels(canvas, at, 6) == was for at, was in zip((behind, ahead), before, strict=True)] == [
        False,
        True,
    ]
    stage.clear()
    QApplication.processEvents()
    assert [pixels(canvas, at, 6) for at in (behind, ahead)] == before


def test_a_beat_repaints_round_the_ball_only(play: PlayRoom) -> None:
    stage, canvas = play.room.play.stage, play.room.sheet.section
    stage.set_throw(1.0, 0.0)
    stage.throw()
    play.wait(0.1)
    every = len(canvas.easel.plots)
    counts = []
    for _ in range(5):
        play.wait(1 / 60)
        counts.append(canvas.painted)
    assert max(counts) < every / 2


def test_what_became_of_the_ball_is_told_when_it_is_there(play: PlayRoom) -> None:
    stage = play.room.play.stage
    stage.set_throw(0.3, 0.0)
    stage.throw()
    play.wait(0.3)
    assert "kicker" not in said(play)
    play.wait(6.0)
    assert said(play).startswith("Too slow for the kicker: rolls back to the front stop after ")
    assert not play.room.pace.waiting("ball")


def test_pause_holds_the_ball_and_again_starts_over(play: PlayRoom) -> None:
    stage, actions = play.room.play.stage, play.room.actions_by_id
    actions["throw"].trigger()
    play.wait(0.2)
    actions["pause"].trigger()
    assert stage.scene.play is not None
    held = stage.scene.play.time
    play.wait(0.5)
    assert stage.scene.play.time == held
    actions["pause"].trigger()
    play.wait(0.1)
    assert stage.scene.play.time == pytest.approx(held + 0.1, abs=0.02)
    actions["again"].trigger()
    assert stage.scene.play.time == 0.0
    play.wait(9.0)
    assert stage.scene.play.over
    actions["pause"].trigger()
    assert stage.scene.play.time == 0.0


def test_the_last_throws_stay_as_fading_lines(play: PlayRoom) -> None:
    stage = play.room.play.stage
    for speed in (0.9, 1.0, 1.1):
        stage.set_throw(speed, 0.0)
        stage.throw()
        play.wait(0.4)
    assert {"way", "way-1", "way-2"} <= styles(play.room.sheet.section)
    play.room.actions_by_id["clear_play"].trigger()
    assert styles(play.room.sheet.section) == set()


def test_the_section_follows_the_ball_into_the_return(play: PlayRoom) -> None:
    stage, sheet = play.room.play.stage, play.room.sheet
    stage.let_go(sheet.section, (480.0, 130.0))
    assert sheet.section_id == "lane"
    assert stage.scene.way is not None
    channel = next(s for s in stage.scene.way.stretches if s.leg == "channel")
    play.wait(channel.time[0] + 0.1)
    assert sheet.section_id == "channel"
    assert "ball-moving" in styles(sheet.section)
    assert "ball-moving-hidden" in styles(sheet.plan)
    stage.follow = False
    play.room.show_section("lane")
    play.wait(0.1)
    assert sheet.section_id == "lane"
    assert "ball-moving" not in styles(sheet.section)


def test_taking_the_ball_and_letting_it_go_over_the_board_shows_where_it_runs(play: PlayRoom) -> None:
    canvas = play.room.sheet.section
    at = canvas.view.to_px(ball(canvas).centre)
    there = canvas.view.to_px((480.0, 240.0))
    press(canvas, at)
    assert canvas.easel.state == "carrying"
    move(canvas, there)
    assert ball(canvas, "ball-in-hand").centre == pytest.approx(canvas.view.to_mm(there))
    release(canvas, there)
    assert canvas.easel.state == "idle"
    way = play.room.play.stage.scene.way
    assert way is not None
    assert way.stretches[0].leg == "flight"
    play.wait(way.time + 0.1)
    assert f"after {way.time:.1f} s" in said(play)


def test_a_ball_is_not_let_go_inside_wood(play: PlayRoom) -> None:
    canvas = play.room.sheet.section
    at, wood = canvas.view.to_px(ball(canvas).centre), canvas.view.to_px((200.0, 87.0))
    press(canvas, at)
    move(canvas, wood)
    assert "ball-refused" in styles(canvas)
    assert [i.text for i in canvas.lying if isinstance(i, Text)] == ["There is wood here"]
    release(canvas, wood)
    assert said(play) == "There is wood here: the ball cannot be let go."
    assert play.room.play.stage.scene.way is None
    assert styles(canvas) == set()


def test_a_ball_let_go_on_the_face_runs_down_it(play: PlayRoom) -> None:
    stage, face = play.room.play.stage, play.room.sheet.face
    stage.let_go(face, (40.0, 120.0))
    play.wait(0.3)
    centre = ball(face, "ball-moving").centre
    assert centre[1] < 120.0


def test_escape_puts_the_ball_back(play: PlayRoom) -> None:
    canvas = play.room.sheet.section
    at = canvas.view.to_px(ball(canvas).centre)
    press(canvas, at)
    move(canvas, canvas.view.to_px((480.0, 240.0)))
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.easel.state == "idle"
    assert styles(canvas) == set()
    release(canvas, at)
    assert play.room.play.stage.scene.way is None


def test_with_keys_alone_a_ball_is_dropped(play: PlayRoom) -> None:
    canvas = play.room.sheet.section
    canvas.setFocus()
    play.room.actions_by_id["drop"].trigger()
    assert canvas.easel.state == "carrying"
    start = next(i for i in canvas.lying if getattr(i, "style", "").startswith("ball-"))
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    now = next(i for i in canvas.lying if getattr(i, "style", "").startswith("ball-"))
    dx, dy = (b - a for a, b in zip(start.centre, now.centre, strict=True))  # type: ignore[union-attr]
    assert (dx, dy) == pytest.approx((2.0, 20.0))
    canvas.feed(Event("move", canvas.view.to_px((250.0, 150.0))))
    QTest.keyClick(canvas, Qt.Key.Key_Return)
    assert canvas.easel.state == "idle"
    way = play.room.play.stage.scene.way
    assert way is not None
    assert way.stretches[0].points[0] == pytest.approx((250.0, 150.0), abs=0.01)


def test_a_ball_that_stops_is_marked_at_its_place(opener: Opener) -> None:
    play = opener("broken")
    play.room.show_section("rear")
    stage, canvas = play.room.play.stage, play.room.sheet.section
    stage.set_throw(1.0, 0.0)
    stage.throw()
    way = stage.scene.way
    assert way is not None
    play.wait(way.time + 0.1)
    assert "ball-stopped" in styles(canvas)
    assert said(play).startswith("Stops after ")


def test_pulling_the_arrow_in_the_plan_sets_speed_and_aim(play: PlayRoom) -> None:
    stage, plan = play.room.play.stage, play.room.sheet.plan
    stage.arrow = True
    stage.set_throw(1.0, 0.0)
    foot, tip = ball(plan).centre, ball(plan, "throw-tip").centre
    assert tip == arrow_tip(foot, 1.0, 0.0)
    wanted = arrow_tip(foot, 1.5, 10.0)
    press(plan, plan.view.to_px(tip))
    move(plan, plan.view.to_px(wanted))
    release(plan, plan.view.to_px(wanted))
    assert (stage.speed, stage.aim) == pytest.approx((1.5, 10.0), abs=0.05)
    assert stage.scene.way is None


def test_a_changed_cabinet_makes_what_was_played_a_thing_of_the_past(play: PlayRoom) -> None:
    stage, section = play.room.play.stage, play.room.sheet.section
    stage.throw()
    play.wait(0.3)
    drag(section, "board.tilt", (0.0, -6.0))
    assert stage.scene.way is None
    assert not play.room.pace.waiting("ball")
    assert "way-1" in styles(section)
    assert "way" not in styles(section)


def test_a_change_a_ball_does_not_meet_leaves_it_rolling(play: PlayRoom) -> None:
    stage = play.room.play.stage
    stage.throw()
    play.wait(0.3)
    play.room.document.change("Rename", lambda d: edit.rename(d, "Other"))
    assert stage.scene.way is not None
    play.wait(0.1)
    assert stage.scene.play is not None
    assert stage.scene.play.time > 0.35


def test_another_design_starts_with_clear_views(play: PlayRoom) -> None:
    stage, document = play.room.play.stage, play.room.document
    stage.throw()
    play.wait(0.2)
    document.open(edit.put(document.design, "people.fast", 3.5), None)
    assert styles(play.room.sheet.section) == set()
    assert stage.speed == pytest.approx((document.value("people.slow") + 3.5) / 2, abs=0.01)

"""What the play strip says: why nothing is thrown, what became of a ball, and nothing of what is gone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton

from desk.ui import play_desk
from desk.ui.play_desk import CHANGED, START, PlayDesk
from desk.ui.store import Store

from .play_room import EXAMPLES, PlayRoom, open_room
from .test_play_desk import FakeWorker


@pytest.fixture
def play(
    qapp: QApplication, tmp_path: Path, store: Store, monkeypatch: pytest.MonkeyPatch
) -> Iterator[PlayRoom]:
    monkeypatch.setattr(play_desk, "PlayWorker", FakeWorker)
    made = open_room(tmp_path, store)
    yield made
    made.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def unfolded(play: PlayRoom) -> PlayDesk:
    play.room.actions_by_id["play"].trigger()
    play.wait(0.2)
    desk = play.room.play.desk
    assert desk is not None
    return desk


def test_rubbish_in_the_speed_field_throws_nothing_and_says_why(play: PlayRoom) -> None:
    desk = unfolded(play)
    field, words = desk.panel.speed, desk.panel.words
    throw = next(b for b in desk.panel.findChildren(QToolButton) if b.text() == "Throw")
    before = play.room.play.stage.speed
    QTest.mouseDClick(field, Qt.MouseButton.LeftButton)
    field.selectAll()
    QTest.keyClicks(field, "fast")
    QTest.mouseClick(throw, Qt.MouseButton.LeftButton)
    play.wait(0.1)
    stage = play.room.play.stage
    assert stage.scene.way is None
    assert "'fast' does not start with a number" in words.text()
    assert words.property("wrong") is True
    assert words.isVisible()
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert words.text() == START
    QTest.keyClicks(field, "9")
    desk.panel.strip.setFocus()
    assert words.text().endswith(f"{before:g} m/s is kept.")
    QTest.mouseClick(throw, Qt.MouseButton.LeftButton)
    assert stage.scene.way is not None
    assert stage.speed == before


def stopped(play: PlayRoom, desk: PlayDesk) -> str:
    """Throw a ball and let it come to its end; what is told of it."""
    play.room.play.throw()
    play.wait(12.0)
    told = desk.panel.words.text()
    assert " after " in told
    assert play.room.front.statusBar().currentMessage() == told
    return told


def test_clear_takes_the_words_about_the_ball_away_too(play: PlayRoom) -> None:
    desk = unfolded(play)
    stopped(play, desk)
    play.room.actions_by_id["clear_play"].trigger()
    assert desk.panel.words.text() == START
    assert play.room.front.statusBar().currentMessage() == ""


def test_another_design_leaves_no_words_about_a_ball_of_the_one_before(play: PlayRoom) -> None:
    desk = unfolded(play)
    told = stopped(play, desk)
    play.room.files.read(EXAMPLES / "steel-half-inch.lane")
    play.wait(0.5)
    assert desk.panel.words.text() == START
    assert play.room.front.statusBar().currentMessage() != told


def test_no_line_is_spoken_of_that_was_cleared_before_the_cabinet_changed(play: PlayRoom) -> None:
    desk = unfolded(play)
    stopped(play, desk)
    play.room.document.type_in("board.gap", "20")
    play.wait(0.5)
    assert desk.panel.words.text() == CHANGED
    play.room.actions_by_id["clear_play"].trigger()
    play.room.document.type_in("board.gap", "21")
    play.wait(0.5)
    assert desk.panel.words.text() == START


@pytest.mark.parametrize(("width", "words"), [(1440, "1/4 speed"), (1280, "1/4")])
def test_the_speeds_of_playing_are_named_as_such(play: PlayRoom, width: int, words: str) -> None:
    desk = unfolded(play)
    play.room.front.resize(width, 860)
    play.wait(0.1)
    texts = [button.text() for button in desk.panel.buttons.values()]
    assert texts[:2] == ["True speed", words]
    assert all(b.width() >= b.sizeHint().width() for b in desk.panel.buttons.values())

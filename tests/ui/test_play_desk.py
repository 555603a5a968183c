"""The play strip at work: unfolded, told about, run from; the process beside the window is a fake that answers when the
test says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit

from desk.checks.finding import Finding, Thrown
from desk.design import edit
from desk.playwork import Ask, AskRun, AskSweep, Cancel, Failed, Span, Stray, Swept
from desk.ui import play_desk
from desk.ui.play_desk import PlayDesk
from desk.ui.store import Store

from .hands import drag
from .play_room import PlayRoom, open_room, styles, tally


class FakeWorker(QObject):
    """Notes what it is asked."""

    answered = Signal(object)
    failed = Signal(str)
    stopped = 0

    def __init__(self) -> None:
        super().__init__()
        self.asks: list[Ask] = []

    def ask(self, message: Ask) -> None:
        self.asks.append(message)

    def stop(self) -> None:
        self.stopped += 1

    def sweeps(self) -> list[AskSweep]:
        return [a for a in self.asks if isinstance(a, AskSweep)]


@pytest.fixture
def play(
    qapp: QApplication, tmp_path: Path, store: Store, monkeypatch: pytest.MonkeyPatch
) -> Iterator[PlayRoom]:
    monkeypatch.setattr(play_desk, "PlayWorker", FakeWorker)
    made = open_room(tmp_path, store)
    yield made
    made.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def unfolded(play: PlayRoom) -> tuple[PlayDesk, FakeWorker]:
    """The strip in view, and the process it asks."""
    play.room.actions_by_id["play"].trigger()
    play.wait(0.2)
    desk = play.room.play.desk
    assert desk is not None
    assert isinstance(desk.worker, FakeWorker)
    return desk, desk.worker


def swept(ask: AskSweep, done: bool = True) -> Swept:
    """Below 1 m/s balls roll back, from there on they fall into target 3."""
    spans = [Span(ask.low, 1.0, -1, 0.0), Span(1.0, ask.high, 3, 20.0)]
    return Swept(ask.id, ask.low, ask.high, ask.aim, 0.005, spans, done)


def test_nothing_is_made_or_started_before_the_strip_is_unfolded(play: PlayRoom) -> None:
    assert play.room.play.desk is None
    assert play.room.play._stage is None
    desk, worker = unfolded(play)
    assert desk.panel.isVisible()
    assert len(worker.sweeps()) == 1


def test_the_drawings_get_their_room_back_when_it_is_folded_away(play: PlayRoom) -> None:
    section = play.room.sheet.section
    before = section.height()
    desk, _ = unfolded(play)
    assert section.height() < before
    assert section.height() > 200
    play.room.actions_by_id["play"].trigger()
    play.wait(0.1)
    assert not desk.panel.isVisible()
    assert section.height() == pytest.approx(before, abs=1), "splitters share whole px"
    assert not play.room.actions_by_id["play"].isChecked()


def test_the_strip_goes_with_the_drawings(play: PlayRoom) -> None:
    desk, _ = unfolded(play)
    play.room.show_page("shop")
    assert not desk.panel.isVisible()
    play.room.show_page("drawings")
    assert desk.panel.isVisible()
    play.room.show_page("shop")
    play.room.actions_by_id["throw"].trigger()
    assert desk.panel.isVisible()


def test_speed_and_aim_are_typed_picked_and_pulled(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    stage, panel = play.room.play.stage, desk.panel
    panel.speed.setText("1.25")
    panel.speed.setModified(True)
    play.room.actions_by_id["throw"].trigger()
    assert stage.speed == 1.25
    assert stage.scene.way is not None
    panel.strip.picked.emit(1.4)
    assert panel.speed.text() == "1.4 m/s"
    count = len(worker.sweeps())
    panel.aim.entered.emit(2.0)
    play.wait(0.3)
    assert (stage.aim, panel.aim.text()) == (2.0, "2°")
    assert len(worker.sweeps()) == count + 1
    assert worker.sweeps()[-1].aim == 2.0


def test_the_speed_strip_is_current_only_for_what_is_on_view(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    ask = worker.sweeps()[-1]
    assert not desk.current
    worker.answered.emit(swept(ask, done=False))
    assert desk.current
    chart = desk.panel.strip.chart
    assert chart is not None
    assert [b.label for b in chart.blocks] == ["rolls back", "20"]
    assert "target 3, 20 points" in chart.caption
    drag(play.room.sheet.section, "board.tilt", (0.0, -6.0))
    chart = desk.panel.strip.chart
    assert chart is not None
    assert not chart.current
    assert "working it out" in chart.caption
    play.wait(0.3)
    later = worker.sweeps()[-1]
    assert (later.id, later.design) != (ask.id, ask.design)
    worker.answered.emit(swept(ask))
    assert not desk.current
    worker.answered.emit(swept(later))
    assert desk.current


def test_asks_during_a_drag_are_few(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    before = len(worker.sweeps())
    drag(play.room.sheet.section, "board.tilt", (0.0, -20.0), steps=20)
    play.wait(0.5)
    assert 1 <= len(worker.sweeps()) - before <= 3
    assert not desk.current


def test_nothing_is_asked_while_the_strip_is_folded_away(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    play.room.actions_by_id["play"].trigger()
    before = len(worker.asks)
    drag(play.room.sheet.section, "board.tilt", (0.0, -6.0))
    play.wait(0.5)
    assert len(worker.asks) == before
    play.room.actions_by_id["play"].trigger()
    play.wait(0.2)
    assert len(worker.asks) == before + 1
    assert not desk.current


def test_the_people_on_the_strip_are_those_of_the_design(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    play.room.document.change("Faster", lambda d: edit.put(d, "people.fast", 3.4))
    play.wait(0.3)
    worker.answered.emit(swept(worker.sweeps()[-1]))
    chart = desk.panel.strip.chart
    assert chart is not None
    assert chart.people == (play.room.document.design.value("people.slow"), 3.4)
    assert chart.high > 3.4


def test_why_there_is_no_answer_is_said(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    worker.answered.emit(Failed(worker.sweeps()[-1].id, "the lane has no deck"))
    chart = desk.panel.strip.chart
    assert chart is not None
    assert "the lane has no deck" in chart.caption
    worker.failed.emit("it ended with code 1")
    chart = desk.panel.strip.chart
    assert chart is not None
    assert "it ended with code 1" in chart.caption


def test_the_balls_time_and_end_are_told_on_the_strip(play: PlayRoom) -> None:
    desk, _ = unfolded(play)
    stage = play.room.play.stage
    stage.set_throw(0.3, 0.0)
    stage.throw()
    play.wait(0.4)
    assert desk.panel.words.text().endswith("Lane")
    play.wait(8.0)
    assert desk.panel.words.text().startswith("Too slow for the kicker")
    assert desk.panel.words.property("wrong") is False


def test_throws_are_run_and_shown_as_they_come(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    play.room.actions_by_id["run"].trigger()
    ask = worker.asks[-1]
    assert isinstance(ask, AskRun)
    assert ask.throws == 10_000
    panel = desk.panel
    assert panel.run_button.text() == "Stop"
    worker.answered.emit(tally(ask.id, 400))
    play.wait(0.2)
    assert panel.progress.value() == 400
    assert "landing" in styles(play.room.sheet.face)
    assert len(panel.chances.chart.columns) == 9
    assert "60.0 ± 0.4" in panel.round.text()
    worker.answered.emit(tally(ask.id, 1000))
    play.wait(0.2)
    assert panel.run_button.text() == "Run"
    assert not panel.progress.isVisible()
    assert panel.round.accessibleDescription().startswith("60.0 ± 0.4 a round of 7")


def test_a_run_can_be_stopped_with_the_same_button(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    desk.panel.run_button.click()
    worker.answered.emit(tally(1, 400))
    play.wait(0.2)
    desk.panel.run_button.click()
    play.wait(0.2)
    assert worker.asks[-1] == Cancel()
    assert desk.panel.run_button.text() == "Run"
    assert "landing" in styles(play.room.sheet.face), "what is counted so far stays"
    assert desk.panel.chances.isVisible()


def test_a_change_sets_the_run_beside_what_follows(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    desk.panel.run_button.click()
    worker.answered.emit(tally(1, 1000))
    play.wait(0.2)
    drag(play.room.sheet.section, "board.tilt", (0.0, -6.0))
    play.wait(0.2)
    chart = desk.panel.chances.chart
    assert not chart.current
    assert {c.now for c in chart.columns} == {None}
    assert "before 60.0" in desk.panel.round.text()
    assert "landing" not in styles(play.room.sheet.face)
    play.room.document.undo()
    play.wait(0.2)
    assert desk.panel.chances.chart.current


def test_balls_that_did_not_come_back_are_listed_and_played(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    desk.panel.run_button.click()
    strays = (
        Stray(7, 1.0312345, 0.25, -3, "catch", (120.0, 60.0)),
        Stray(7, 2.0, 0.0, -2, "flight", (120.0, 60.0)),
    )
    worker.answered.emit(tally(1, 1000, strays=strays))
    play.wait(0.2)
    assert desk.panel.stops.isVisible()
    listed = desk.panel.stops.menu().actions()
    assert [a.text()[:17] for a in listed] == ["Stops: 1.03 m/s, ", "Lost: 2.00 m/s, a"]
    listed[0].trigger()
    scene = play.room.play.stage.scene
    assert scene.way is not None
    assert play.room.play.stage.speed == pytest.approx(1.031, abs=1e-3)


def test_a_stop_in_a_run_of_many_is_a_finding_until_the_design_changes(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    document = play.room.document
    play.wait(0.5)
    document.finish()

    def stops() -> Finding:
        return next(f for f in document.findings if f.key == "ends/stops")

    assert stops().status == "clear"
    desk.panel.run_button.click()
    worker.answered.emit(tally(1, 1000, strays=(Stray(412, 1.25, 0.5, -3, "under", (480.0, 60.0)),)))
    play.wait(0.3)
    assert stops().status == "conflict"
    assert "1 of 1000 throws" in stops().because
    assert stops().ball == Thrown(1.25, 0.5)
    assert stops().key in {f.key for f in play.room.findings.shown()}
    document.type_in("board.gap", "23")
    document.finish()
    assert stops().status == "clear"
    document.undo()
    document.finish()
    assert stops().status == "conflict", "what is known of a cabinet is known again when it is back"
    document.type_in("header.letter", "14")
    document.finish()
    assert stops().status == "conflict", (
        "nothing leaves the window before it is told, and a letter moves no ball"
    )
    document.change("Own", lambda d: edit.put_own_value(d, "balls", "glass", "rolling", [0.001, 0.004]))
    document.finish()
    assert "1 of 1000 throws" not in stops().because, "a ball that rolls otherwise plays otherwise"


def test_what_a_run_refutes_or_finds_beside_what_was_found_is_told(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    document = play.room.document
    document.type_in("people.fast", "2.26")
    document.finish()

    def found() -> dict[str, str]:
        return {f.key: f.status for f in document.findings if f.check == "ends"}

    assert found() == {"ends/lost": "tight"}
    desk.panel.run_button.click()
    worker.answered.emit(tally(1, 1000, strays=(Stray(412, 1.25, 0.5, -3, "under", (480.0, 60.0)),)))
    play.wait(0.3)
    assert found() == {"ends/stops": "conflict"}


def test_running_from_the_menu_unfolds_the_strip(play: PlayRoom) -> None:
    play.room.actions_by_id["run"].trigger()
    desk = play.room.play.desk
    assert desk is not None
    assert desk.panel.isVisible()
    assert desk.runs.running


def test_all_of_it_has_a_name_and_is_reached_by_keys(play: PlayRoom) -> None:
    desk, _ = unfolded(play)
    panel = desk.panel
    for kind in (QAbstractButton, QLineEdit):
        for widget in panel.findChildren(kind):
            if widget.isVisible():
                assert widget.accessibleName() or widget.text(), widget
                assert widget.focusPolicy() & Qt.FocusPolicy.TabFocus, widget
    panel.strip.setFocus()
    speed = play.room.play.stage.speed
    QTest.keyClick(panel.strip, Qt.Key.Key_Right)
    assert play.room.play.stage.speed == pytest.approx(speed + 0.01)


@pytest.mark.parametrize("size", [(1024, 600), (1280, 800), (1920, 1080)])
def test_nothing_in_the_strip_is_squeezed(play: PlayRoom, size: tuple[int, int]) -> None:
    play.room.front.resize(*size)
    play.wait(0.1)
    desk, _ = unfolded(play)
    QApplication.processEvents()
    for button in desk.panel.findChildren(QAbstractButton):
        if button.isVisible():
            assert button.width() >= button.minimumSizeHint().width() - 2, button.text()
    assert play.room.front.rect().contains(desk.panel.mapTo(play.room.front, desk.panel.rect().bottomRight()))


def test_the_keys_go_round_by_way_of_the_strip(play: PlayRoom) -> None:
    desk, _ = unfolded(play)
    seen = set()
    for _ in range(9):
        play.room.next_pane()
        seen.add(QApplication.focusWidget())
    assert {desk.panel.speed, desk.panel.strip, play.room.sheet.face} <= seen


def test_after_a_change_the_words_are_not_those_of_the_throw_before(play: PlayRoom) -> None:
    desk, _ = unfolded(play)
    play.room.play.stage.throw()
    play.wait(9.0)
    play.room.show_section("lane")
    drag(play.room.sheet.section, "board.tilt", (0.0, -6.0))
    assert desk.panel.words.text() == play_desk.CHANGED
    play.room.play.stage.throw()
    play.wait(0.3)
    assert desk.panel.words.text() != play_desk.CHANGED


def test_dark_and_light_repaint_the_strip(play: PlayRoom) -> None:
    desk, worker = unfolded(play)
    worker.answered.emit(swept(worker.sweeps()[-1]))
    light = desk.panel.strip.grab().toImage()
    play.room.set_look("dark")
    assert desk.panel.strip.grab().toImage() != light


def test_closing_the_window_ends_the_process(play: PlayRoom) -> None:
    _, worker = unfolded(play)
    play.room.closed()
    assert worker.stopped == 1

"""The play strip with the real process beside the window and the real clock: the window goes on while throws run."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.design.file import load
from desk.ui.document import Document
from desk.ui.front import Front
from desk.ui.outward import advance, complete, evaluate
from desk.ui.pace import Pace
from desk.ui.play_desk import PlayDesk
from desk.ui.recovery import Recovery
from desk.ui.store import Store
from desk.ui.workroom import Workroom
from desk.views.theme import theme

from .play_room import EXAMPLES, styles

LONG = 60_000
"""Milliseconds a run may take on a busy machine."""


@pytest.fixture
def room(qapp: QApplication, tmp_path: Path, store: Store) -> Iterator[Workroom]:
    store.set_look("light")
    front = Front(theme("light"))
    front.resize(1280, 800)
    front.show()
    document = Document(load(EXAMPLES / "broken.lane"), evaluate, Pace(), complete, advance)
    made = Workroom(front, document, store, Recovery(tmp_path / "state"), document._pace)
    made.begin(None)
    made.play.show(True)
    yield made
    made.document.session.mark_saved()
    front.close()
    front.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def desk_of(room: Workroom) -> PlayDesk:
    assert room.play.desk is not None
    return room.play.desk


def choose(desk: PlayDesk, throws: int) -> None:
    desk.panel.throws.setCurrentIndex(desk.panel.throws.findData(throws))


def test_throws_run_while_a_ball_rolls_and_the_window_lives(room: Workroom, qtbot: QtBot) -> None:
    desk = desk_of(room)
    qtbot.waitUntil(lambda: desk.current, timeout=LONG)
    choose(desk, 1000)
    beats: list[float] = []
    seen: list[float] = []
    room.play.set_rate("pace_tenth")
    room.play.stage.moved.connect(lambda: beats.append(time.perf_counter()))
    desk.runs.changed.connect(lambda: seen.append(desk.runs.progress))
    room.play.throw()
    room.actions_by_id["run"].trigger()
    start = len(beats)
    qtbot.waitUntil(lambda: not desk.runs.running, timeout=LONG)
    during = beats[start:]
    gaps = sorted(1000 * (b - a) for a, b in pairwise(during))
    assert len(gaps) > 5, "the ball stood still while the throws ran"
    print(f"gaps between beats: median {gaps[len(gaps) // 2]:.1f} ms, worst {gaps[-1]:.1f} ms")
    assert any(0 < share < 1 for share in seen), "numbers appear before all throws are run"
    qtbot.waitUntil(lambda: "landing" in styles(room.sheet.face), timeout=LONG)
    cabinet = room.play.stage.cabinet
    assert cabinet is not None
    now = desk.runs.now(cabinet)
    assert now is not None
    assert (now.done, now.finished) == (1000, True)
    assert now.strayed > 100


def test_a_stop_of_the_run_stops_again_when_it_is_played(room: Workroom, qtbot: QtBot) -> None:
    desk = desk_of(room)
    choose(desk, 1000)
    room.actions_by_id["run"].trigger()
    qtbot.waitUntil(lambda: not desk.runs.running, timeout=LONG)
    qtbot.waitUntil(lambda: bool(desk.panel.stops.menu().actions()), timeout=LONG)
    first = desk.panel.stops.menu().actions()[0]
    assert first.text().startswith("Stops: ")
    first.trigger()
    way = room.play.stage.scene.way
    assert way is not None
    assert way.ended == "stopped"


def test_a_run_is_cancelled_and_another_follows(room: Workroom, qtbot: QtBot) -> None:
    desk = desk_of(room)
    choose(desk, 100_000)
    room.actions_by_id["run"].trigger()
    qtbot.waitUntil(lambda: desk.runs.progress > 0, timeout=LONG)
    room.actions_by_id["run"].trigger()
    assert not desk.runs.running
    process = desk.worker._process
    choose(desk, 1000)
    room.actions_by_id["run"].trigger()
    qtbot.waitUntil(lambda: not desk.runs.running, timeout=LONG)
    cabinet = room.play.stage.cabinet
    assert cabinet is not None
    now = desk.runs.now(cabinet)
    assert now is not None
    assert now.total == 1000
    assert desk.worker._process is process is not None


def test_closing_the_window_in_the_middle_of_a_run_ends_the_process(room: Workroom, qtbot: QtBot) -> None:
    desk = desk_of(room)
    choose(desk, 100_000)
    room.actions_by_id["run"].trigger()
    qtbot.waitUntil(lambda: desk.worker._process is not None, timeout=LONG)
    room.document.session.mark_saved()
    room.front.close()
    assert desk.worker._process is None

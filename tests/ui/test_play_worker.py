"""The process beside the window as the window sees it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desk.playwork import AskSweep, Failed, Swept
from desk.ui.play_worker import PlayWorker

DESIGN = (Path(__file__).resolve().parent.parent.parent / "examples" / "marble-16mm.lane").read_bytes()
LONG = 20_000
"""Milliseconds a process may take to start on a busy machine."""


@pytest.fixture
def worker(qtbot: QtBot) -> Iterator[PlayWorker]:
    made = PlayWorker()
    yield made
    made.stop()


def test_no_process_runs_before_it_is_asked(worker: PlayWorker) -> None:
    assert worker._process is None
    worker.stop()
    assert worker._process is None


def test_asks_are_answered_one_after_the_other(worker: PlayWorker, qtbot: QtBot) -> None:
    got: list[object] = []
    worker.answered.connect(got.append)
    worker.ask(AskSweep(1, DESIGN, 0.5, 1.0, 0.0))
    process = worker._process
    assert process is not None
    qtbot.waitUntil(lambda: len(got) == 2, timeout=LONG)
    worker.ask(AskSweep(2, b"no design", 0.5, 1.0, 0.0))
    qtbot.waitUntil(lambda: len(got) == 3, timeout=LONG)
    assert worker._process is process
    assert [type(a) for a in got] == [Swept, Swept, Failed]
    assert [getattr(a, "id", None) for a in got] == [1, 1, 2]


def test_a_process_that_ends_by_itself_is_told_and_the_next_ask_starts_another(
    worker: PlayWorker, qtbot: QtBot
) -> None:
    worker.ask(AskSweep(1, DESIGN, 0.5, 1.0, 0.0))
    with qtbot.waitSignal(worker.answered, timeout=LONG):
        pass
    assert worker._process is not None
    with qtbot.waitSignal(worker.failed, timeout=LONG) as told:
        worker._process.kill()
    assert str(told.args[0]).startswith("it ended")
    with qtbot.waitSignal(worker.answered, timeout=LONG):
        worker.ask(AskSweep(2, DESIGN, 0.5, 1.0, 0.0))


def test_a_process_that_cannot_be_started_is_told(
    worker: PlayWorker, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "executable", str(tmp_path / "no-such-program"))
    with qtbot.waitSignal(worker.failed, timeout=LONG) as told:
        worker.ask(AskSweep(1, DESIGN, 0.5, 1.0, 0.0))
    assert told.args == ["it could not be started"]


def test_stopping_ends_the_process_without_a_word(worker: PlayWorker, qtbot: QtBot) -> None:
    told: list[str] = []
    worker.failed.connect(told.append)
    worker.ask(AskSweep(1, DESIGN, 0.5, 1.0, 0.0))
    worker.stop()
    assert worker._process is None
    qtbot.wait(50)
    assert told == []

"""Starting the program: the window comes first, its content after."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import QSettings, QStandardPaths
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.file import DesignFileError, save
from desk.design.starting import starting_design
from desk.ui import ask
from desk.ui.app import open_front, tell_errors
from desk.ui.front import Front
from desk.ui.workroom import Workroom


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Path]:
    """Settings and snapshots in a folder of the test's own."""
    QStandardPaths.setTestModeEnabled(True)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    yield tmp_path
    QStandardPaths.setTestModeEnabled(False)


def started(qtbot: QtBot, path: Path | None) -> Workroom:
    """The content of a started window, once it is there."""
    done: list[int] = []
    front = open_front(path, lambda: done.append(1))
    assert front.guest is None
    qtbot.waitUntil(lambda: done == [1], timeout=20_000)
    return cast(Workroom, front.guest)


def end(room: Workroom) -> None:
    room.document.session.mark_saved()
    room.front.close()
    room.front.deleteLater()


def test_without_a_file_it_opens_on_the_starting_design(qtbot: QtBot, qapp: QApplication, home: Path) -> None:
    room = started(qtbot, None)
    assert room.document.design == starting_design()
    assert room.document.evaluation is not None
    assert not room.front.isWindowModified()
    assert room.document.path is None
    end(room)


def test_with_a_file_it_opens_that_and_remembers_it(qtbot: QtBot, qapp: QApplication, home: Path) -> None:
    path = home / "mine.lane"
    save(edit.put(starting_design(), "board.gap", 23.0), path)
    room = started(qtbot, path)
    assert room.document.value("board.gap") == 23.0
    assert room.document.path == path
    assert room.store.recent() == [path]
    end(room)


def test_a_bad_file_is_told_and_the_starting_design_shown(
    qtbot: QtBot, qapp: QApplication, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[DesignFileError] = []
    monkeypatch.setattr(ask, "show_problems", lambda _w, error: shown.append(error))
    room = started(qtbot, home / "not-there.lane")
    assert len(shown) == 1
    assert room.document.evaluation is not None
    end(room)


def test_an_error_nobody_caught_is_told_in_the_window(
    window: Workroom, capsys: pytest.CaptureFixture[str]
) -> None:
    hook = tell_errors(window.front)
    hook(RuntimeError, RuntimeError("no such wood"), None)
    assert "no such wood" in window.front.statusBar().currentMessage()
    assert "no such wood" in capsys.readouterr().err


def test_the_window_comes_back_where_it_was(qtbot: QtBot, qapp: QApplication, home: Path) -> None:
    first = started(qtbot, None)
    first.front.resize(1024, 620)
    end(first)
    front: Front = open_front(None)
    assert (front.width(), front.height()) == (1024, 620)
    qtbot.waitUntil(lambda: front.guest is not None, timeout=20_000)
    end(cast(Workroom, front.guest))

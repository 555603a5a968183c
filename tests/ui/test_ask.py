"""Questions: what the dialogs show and what their answers mean."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog, QLabel, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from desk.design.file import DesignFileError, loads
from desk.ui import ask


@pytest.fixture
def parent(qtbot: QtBot) -> QWidget:
    widget = QWidget()
    qtbot.addWidget(widget)
    return widget


def test_every_problem_is_listed_with_its_place(qtbot: QtBot) -> None:
    with pytest.raises(DesignFileError) as caught:
        loads(
            b'{"format": "lanewright design", "schema": 1, "name": "x", "values": {"a.b": 1, "ball.count": 1e9}}'
        )
    error = caught.value
    dialog = ask.ProblemsDialog(None, error.what, [(p.path, p.text) for p in error.problems])
    qtbot.addWidget(dialog)
    rows = [dialog.list.topLevelItem(k) for k in range(dialog.list.topLevelItemCount())]
    places = [row.text(0) for row in rows if row is not None]
    assert len(places) == len(error.problems) >= 2
    assert "$.values.ball.count" in places
    words = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert f"{len(places)} problems" in words
    assert "left as it is" in words


@pytest.mark.parametrize(
    ("button", "answer"),
    [
        (QMessageBox.StandardButton.Save, "save"),
        (QMessageBox.StandardButton.Discard, "drop"),
        (QMessageBox.StandardButton.Cancel, "stay"),
    ],
)
def test_what_of_changes(
    parent: QWidget, monkeypatch: pytest.MonkeyPatch, button: QMessageBox.StandardButton, answer: str
) -> None:
    monkeypatch.setattr(QMessageBox, "exec", lambda _box: button.value)
    assert ask.what_of_changes(parent, "x") == answer


@pytest.mark.parametrize(("place", "answer"), [(0, "open"), (1, "drop"), (2, "later")])
def test_take_up(parent: QWidget, monkeypatch: pytest.MonkeyPatch, place: int, answer: str) -> None:
    roles = QMessageBox.ButtonRole
    role = (roles.AcceptRole, roles.DestructiveRole, roles.RejectRole)[place]

    def press(box: QMessageBox) -> int:
        next(b for b in box.buttons() if box.buttonRole(b) == role).click()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", press)
    assert ask.take_up(parent, "x", "today") == answer


def test_extensions_are_added_when_left_out(parent: QWidget, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("place/a", ""))
    assert ask.file_to_save(parent, Path("x")) == Path("place/a.lane")
    assert ask.picture_to_save(parent, Path("x")) == Path("place/a.png")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("place/a.json", ""))
    assert ask.file_to_save(parent, Path("x")) == Path("place/a.json.lane")


def test_giving_up_gives_nothing(parent: QWidget, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: ("", ""))
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: "")
    here = Path()
    assert ask.file_to_save(parent, here) is None
    assert ask.file_to_open(parent, here) is None
    assert ask.picture_to_save(parent, here) is None
    assert ask.folder_for_parts(parent, here) is None


@pytest.mark.parametrize(("answer", "kept"), [("Yes", True), ("No", False)])
def test_an_added_ending_asks_before_it_replaces_a_file(parent, tmp_path, monkeypatch, answer, kept):
    there = tmp_path / "precious.lane"
    there.write_text("mine")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "precious"), ""))
    button = getattr(QMessageBox.StandardButton, answer)
    monkeypatch.setattr(QMessageBox, "question", lambda *_: button)
    assert ask.file_to_save(parent, tmp_path) == (there if kept else None)

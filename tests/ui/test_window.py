"""The window as a whole: commands, files, dirty mark, look, closing."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.file import DesignFileError, load, save
from desk.design.model import Design
from desk.shapes.loop import ShapeError
from desk.ui import ask
from desk.ui.actions import COMMANDS, KeysDialog
from desk.ui.document import Evaluator
from desk.ui.store import Store
from desk.ui.workroom import Workroom

from .fakes import evaluate, starting


def put(window: Workroom, address: str, value: float) -> None:
    assert window.document.change("Set", lambda d: edit.put(d, address, value))


def trigger(window: Workroom, name: str) -> None:
    action = window.actions_by_id[name]
    assert action.isEnabled(), name
    action.trigger()


def test_undo_and_redo_with_their_marks(window: Workroom) -> None:
    assert not window.actions_by_id["undo"].isEnabled()
    put(window, "board.gap", 30.0)
    put(window, "lane.length", 300.0)
    assert window.front.isWindowModified()
    assert "Undo" in window.actions_by_id["undo"].toolTip()
    trigger(window, "undo")
    trigger(window, "undo")
    assert window.document.design == starting()
    assert not window.front.isWindowModified()
    trigger(window, "redo")
    assert window.document.value("board.gap") == 30.0
    assert window.front.isWindowModified()


def test_save_as_save_and_open_again(
    window: Workroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "cabinet.lane"
    monkeypatch.setattr(ask, "file_to_save", lambda *_: path)
    put(window, "board.gap", 30.0)
    trigger(window, "save")
    assert not window.front.isWindowModified()
    assert window.front.windowFilePath() == str(path)
    assert load(path).value("board.gap") == 30.0
    put(window, "board.gap", 31.0)
    trigger(window, "save")
    assert load(path).value("board.gap") == 31.0
    trigger(window, "new")
    assert window.document.path is None
    monkeypatch.setattr(ask, "file_to_open", lambda *_: path)
    trigger(window, "open")
    assert window.document.value("board.gap") == 31.0
    assert not window.front.isWindowModified()
    assert window.store.recent() == [path.resolve()]


def test_recent_files_are_listed_and_missing_ones_greyed(
    window: Workroom, tmp_path: Path, store: Store
) -> None:
    here, gone = tmp_path / "here.lane", tmp_path / "gone.lane"
    save(edit.put(starting(), "board.gap", 33.0), here)
    store.add_recent(gone)
    store.add_recent(here)
    window.recent_menu.aboutToShow.emit()
    first, second = window.recent_menu.actions()
    assert (first.isEnabled(), second.isEnabled()) == (True, False)
    first.trigger()
    assert window.document.value("board.gap") == 33.0


@pytest.mark.parametrize(
    ("answer", "closes", "saved"), [("save", True, True), ("drop", True, False), ("stay", False, False)]
)
def test_closing_with_changes_asks(
    make_window: Callable[[], Workroom],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    answer: str,
    closes: bool,
    saved: bool,
) -> None:
    window = make_window()
    path = tmp_path / "mine.lane"
    asked: list[str] = []
    monkeypatch.setattr(ask, "what_of_changes", lambda _w, name: asked.append(name) or answer)
    monkeypatch.setattr(ask, "file_to_save", lambda *_: path)
    put(window, "board.gap", 30.0)
    assert window.front.close() is closes
    assert asked == ["Test"]
    assert path.exists() is saved


def test_closing_without_changes_does_not_ask(
    make_window: Callable[[], Workroom], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ask, "what_of_changes", lambda *_: pytest.fail("asked"))
    assert make_window().front.close()


def test_saving_given_up_keeps_the_window_open(window: Workroom, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ask, "what_of_changes", lambda *_: "save")
    monkeypatch.setattr(ask, "file_to_save", lambda *_: None)
    put(window, "board.gap", 30.0)
    assert not window.front.close()
    assert window.front.isWindowModified()


def test_a_file_that_cannot_be_read_shows_all_problems_and_changes_nothing(
    window: Workroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bad.lane"
    path.write_text(
        '{"format": "lanewright design", "schema": 1, "name": "x", "values": {"board.gap": "wide"}}'
    )
    shown: list[DesignFileError] = []
    monkeypatch.setattr(ask, "show_problems", lambda _w, error: shown.append(error))
    assert not window.files.open_path(path)
    assert any("board.gap" in p.path for p in shown[0].problems)
    assert window.document.design == starting()
    assert "wide" in path.read_text()


def test_a_design_dropped_on_the_window_is_opened(window: Workroom, tmp_path: Path) -> None:
    path = tmp_path / "dropped.lane"
    save(edit.put(starting(), "board.gap", 27.0), path)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    none, keys = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(5, 5), Qt.DropAction.CopyAction, data, none, keys)
    QApplication.sendEvent(window.front, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(
        window.front, QDropEvent(QPointF(5, 5), Qt.DropAction.CopyAction, data, none, keys)
    )
    assert window.document.value("board.gap") == 27.0


def test_another_file_dropped_is_left_alone(window: Workroom, tmp_path: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(tmp_path / "x.txt"))])
    enter = QDragEnterEvent(
        QPoint(5, 5), Qt.DropAction.CopyAction, data, Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    )
    enter.ignore()
    QApplication.sendEvent(window.front, enter)
    assert not enter.isAccepted()


def test_the_unit_switch_is_an_undoable_change(window: Workroom) -> None:
    window.strip.units["in"].click()
    assert window.document.unit() == "in"
    trigger(window, "undo")
    assert window.document.unit() == "mm"
    assert window.strip.units["mm"].isChecked()


def test_renaming(window: Workroom, qtbot: QtBot) -> None:
    window.strip.name.setFocus()
    window.strip.name.selectAll()
    qtbot.keyClicks(window.strip.name, "Twelve oaks")
    qtbot.keyClick(window.strip.name, Qt.Key.Key_Return)
    assert window.document.design.name == "Twelve oaks"
    assert "Twelve oaks" in window.front.windowTitle()
    trigger(window, "undo")
    window.sheet.section.setFocus()
    assert window.document.design.name == "Test"


def test_an_empty_name_is_not_taken(window: Workroom, qtbot: QtBot) -> None:
    window.strip.name.setFocus()
    window.strip.name.clear()
    qtbot.keyClick(window.strip.name, Qt.Key.Key_Return)
    assert window.document.design.name == window.strip.name.text() == "Test"


def test_the_look_can_be_changed_and_is_remembered(window: Workroom, store: Store) -> None:
    light = window.front.grab().toImage()
    trigger(window, "look_dark")
    dark = window.front.grab().toImage()
    assert store.look() == "dark"
    assert light.pixelColor(3, 60).lightness() > 200
    assert dark.pixelColor(3, 60).lightness() < 60
    trigger(window, "look_light")
    assert window.front.grab().toImage() == light


def test_the_section_switches_by_command(window: Workroom) -> None:
    trigger(window, "rear")
    assert window.sheet.section.easel.drawing is not None
    assert window.sheet.section.easel.drawing.id == "rear"
    assert window.actions_by_id["rear"].isChecked()
    assert not window.actions_by_id["lane"].isChecked()


def test_findings_are_gone_through_by_key(window: Workroom) -> None:
    put(window, "board.gap", 10.0)
    trigger(window, "next_finding")
    first = window.document.finding
    trigger(window, "next_finding")
    assert window.document.finding != first
    trigger(window, "previous_finding")
    assert window.document.finding == first
    window.strip.counts["conflict"].click()
    assert window.document.finding == "check-1"


def test_panes_are_gone_through_by_key(window: Workroom) -> None:
    seen = []
    for _ in range(6):
        trigger(window, "next_pane")
        seen.append(QApplication.focusWidget())
    assert len(set(map(id, seen))) == 6


def test_a_design_that_makes_no_cabinet_is_told_and_the_last_views_stay(
    make_window: Callable[[Evaluator], Workroom],
) -> None:
    def picky(design: Design, last: object = None) -> object:
        if design.value("board.gap") < 5:
            raise ShapeError("the gap is too narrow to cut")
        return evaluate(design)

    window = make_window(picky)  # type: ignore[arg-type]
    put(window, "board.gap", 2.0)
    notices = [label for label in window.front.findChildren(QLabel) if label.objectName() == "notice"]
    assert notices[0].isVisible()
    assert "too narrow to cut" in notices[0].text()
    assert not window.actions_by_id["export"].isEnabled()
    assert window.sheet.section.easel.drawing is not None
    trigger(window, "undo")
    assert not notices[0].isVisible()
    assert window.actions_by_id["export"].isEnabled()


def test_a_fault_of_the_program_is_told_as_one_and_the_design_can_be_saved(
    make_window: Callable[[Evaluator], Workroom],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def faulty(design: Design, last: object = None) -> object:
        if design.value("board.gap") < 5:
            raise ValueError("not enough values <to> unpack")
        return evaluate(design)

    window = make_window(faulty)  # type: ignore[arg-type]
    put(window, "board.gap", 2.0)
    notice = window.notice
    assert notice.isVisible()
    assert "A fault in the program: ValueError: not enough values &lt;to&gt; unpack" in notice.text()
    assert "No cabinet" not in notice.text()
    assert "not enough values" in capsys.readouterr().err
    assert not window.actions_by_id["export"].isEnabled()
    path = tmp_path / "kept.lane"
    monkeypatch.setattr(ask, "file_to_save", lambda *_: path)
    notice.linkActivated.emit("save")
    assert load(path).value("board.gap") == 2.0
    trigger(window, "undo")
    assert not notice.isVisible()
    assert window.actions_by_id["export"].isEnabled()


def test_panes_moved_by_the_person_stay_and_can_be_put_back(make_window: Callable[[], Workroom]) -> None:
    first = make_window()
    before = first.desk.sizes()
    first.desk.setSizes([before[0] - 120, before[1] + 120])
    first.desk.splitterMoved.emit(before[0] - 120, 1)
    moved = first.desk.sizes()
    first.front.close()
    second = make_window()
    assert second.desk.sizes() == moved
    trigger(second, "reset_layout")
    assert second.desk.sizes() == before


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080), (1024, 600)])
def test_nothing_is_squeezed_out_of_the_window(
    window: Workroom, qapp: QApplication, size: tuple[int, int]
) -> None:
    window.front.resize(*size)
    qapp.processEvents()
    frame = window.front.rect()
    for part in (
        window.strip,
        *window.sheet.canvases.values(),
        window.card,
        window.findings,
        window.dimensions,
    ):
        corner = part.mapTo(window.front, QPoint(0, 0))
        assert frame.contains(corner)
        assert frame.contains(corner + QPoint(part.width() - 1, part.height() - 1))
        assert part.width() >= 120
    row = [window.strip.name, *window.strip.counts.values(), *window.strip.units.values()]
    for left, right in pairwise(row):
        assert left.geometry().right() < right.geometry().left()
    for button in window.front.findChildren(QPushButton):
        assert not button.isVisible() or button.width() >= button.minimumSizeHint().width() - 2


def test_every_command_has_words_and_no_key_is_given_twice(window: Workroom) -> None:
    keys: dict[str, str] = {}
    for command in COMMANDS:
        action = window.actions_by_id[command.id]
        assert action.text()
        for key in action.shortcuts():
            assert key.toString() not in keys, f"{key.toString()}: {command.id} and {keys[key.toString()]}"
            keys[key.toString()] = command.id


def test_the_sheet_of_keys_lists_every_key(window: Workroom, qtbot: QtBot) -> None:
    dialog = KeysDialog(None, window.actions_by_id)
    qtbot.addWidget(dialog)
    words = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "Export flat parts" in words
    assert "Tab, Shift+Tab" in words


def test_controls_have_names_for_screen_readers(window: Workroom) -> None:
    named = [
        window.strip.name, window.dimensions.search, window.dimensions.tree, window.findings.list,
        *window.strip.counts.values(), *window.strip.units.values(), *window.sheet.canvases.values(),
        *window.sheet.section_pane.tabs.values(),
    ]  # fmt: skip
    assert all(widget.accessibleName() for widget in named)


def test_the_picture_goes_to_the_clipboard(window: Workroom) -> None:
    trigger(window, "copy_picture")
    assert QGuiApplication.clipboard().image().width() > 2000


def test_the_picture_is_saved(window: Workroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "shared.png"
    monkeypatch.setattr(ask, "picture_to_save", lambda *_: path)
    trigger(window, "picture")
    assert path.read_bytes().startswith(b"\x89PNG")


def test_a_long_name_ends_with_an_ellipsis_until_it_is_edited(window: Workroom, qtbot: QtBot) -> None:
    name = "A cabinet with a name that goes on and on for as long as anybody cares to read it"
    window.document.change("Rename", lambda d: edit.rename(d, name))
    window.front.resize(1024, 768)
    QApplication.processEvents()
    line = window.strip.name
    line.clearFocus()
    assert line.shown().endswith("…")
    assert line.text() == line.toolTip() == name
    assert line.fontMetrics().horizontalAdvance(line.shown()) <= line.width()
    line.setText("Short")
    assert line.shown() == "Short"

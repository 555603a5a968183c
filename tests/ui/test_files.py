"""Snapshots of unsaved work, and file names."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from desk.design import edit
from desk.design.file import load, save
from desk.ui import ask
from desk.ui.files import file_name
from desk.ui.workroom import Workroom

from .fakes import starting


def put(window: Workroom, address: str, value: float) -> None:
    assert window.document.change("Set", lambda d: edit.put(d, address, value))


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Twelve oaks", "twelve-oaks.lane"),
        ("a/b\\c:d", "abcd.lane"),
        ("..", "cabinet.lane"),
        ("Steel balls, 1/2 in", "steel-balls-1-2-in.lane"),
        ("9,5 or 9.5 mm", "9-5-or-9-5-mm.lane"),
        ("Größe 16", "größe-16.lane"),
        ("  ", "cabinet.lane"),
    ],
)
def test_file_names_every_file_system_takes(name: str, file: str) -> None:
    assert file_name(name, ".lane") == file


def test_a_change_leaves_a_snapshot_and_saving_takes_it_away(
    window: Workroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(window, "board.gap", 30.0)
    (snapshot,) = (tmp_path / "state").glob("*.lane")
    assert load(snapshot).value("board.gap") == 30.0
    monkeypatch.setattr(ask, "file_to_save", lambda *_: tmp_path / "mine.lane")
    assert window.files.save()
    assert not list((tmp_path / "state").glob("*.lane"))


def test_undoing_everything_takes_the_snapshot_away(window: Workroom, tmp_path: Path) -> None:
    put(window, "board.gap", 30.0)
    window.document.undo()
    assert not list((tmp_path / "state").glob("*.lane"))


def crash(window: Workroom) -> None:
    """End without closing: the lock goes with the process, the snapshot stays."""
    lock = window.recovery._lock
    assert lock is not None
    lock.unlock()


def test_work_left_behind_is_offered_and_the_saved_file_stays(
    make_window: Callable[[], Workroom], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "mine.lane"
    save(starting(), path)
    before = path.read_bytes()
    first = make_window()
    assert first.files.open_path(path)
    put(first, "board.gap", 30.0)
    crash(first)
    asked: list[str] = []
    monkeypatch.setattr(ask, "take_up", lambda _w, name, _when: asked.append(name) or "open")
    second = make_window()
    assert asked == ["Test"]
    assert second.document.value("board.gap") == 30.0
    assert second.front.isWindowModified()
    assert second.document.path == path
    assert path.read_bytes() == before


def test_work_thrown_away_is_not_offered_again(
    make_window: Callable[[], Workroom], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    first = make_window()
    put(first, "board.gap", 30.0)
    crash(first)
    monkeypatch.setattr(ask, "take_up", lambda *_: "drop")
    second = make_window()
    assert second.document.value("board.gap") == 22.0
    assert not list((tmp_path / "state").glob("*.lane"))
    monkeypatch.setattr(ask, "take_up", lambda *_: pytest.fail("asked again"))
    make_window()


def test_asking_later_keeps_it(
    make_window: Callable[[], Workroom], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    first = make_window()
    put(first, "board.gap", 30.0)
    crash(first)
    monkeypatch.setattr(ask, "take_up", lambda *_: "later")
    make_window()
    assert len(list((tmp_path / "state").glob("*.lane"))) == 1


def test_a_file_that_cannot_be_written_is_told(
    window: Workroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(ask, "file_to_save", lambda *_: tmp_path / "no" / "such" / "x.lane")
    monkeypatch.setattr(ask, "tell", lambda _w, text, _more="": told.append(text))
    put(window, "board.gap", 30.0)
    assert not window.files.save()
    assert "cannot be saved" in told[0]
    assert window.front.isWindowModified()


def test_changes_while_saving_under_the_same_design_stay_dirty(
    window: Workroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ask, "file_to_save", lambda *_: tmp_path / "mine.lane")
    put(window, "board.gap", 30.0)
    window.files.save()
    put(window, "board.gap", 31.0)
    assert window.front.isWindowModified()
    window.document.undo()
    assert not window.front.isWindowModified()

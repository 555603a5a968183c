"""Settings read back by another object from the same file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings
from PySide6.QtWidgets import QApplication

from desk.ui.store import RECENT, Store


def again(path: Path) -> Store:
    return Store(QSettings(str(path), QSettings.Format.IniFormat))


def test_everything_comes_back_with_its_type(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "s.ini"
    first = again(path)
    first.add_recent(tmp_path / "one, two.lane")
    first.set_look("dark")
    first.set_folder("parts", tmp_path)
    first.set_bytes("layout desk", QByteArray(b"\x00\xff\x10"))
    first._settings.sync()
    second = again(path)
    assert second.recent() == [(tmp_path / "one, two.lane").resolve()]
    assert second.look() == "dark"
    assert second.folder("parts") == tmp_path
    assert second.bytes_of("layout desk").data() == b"\x00\xff\x10"


def test_recent_files_are_few_and_each_once(qapp: QApplication, tmp_path: Path) -> None:
    store = again(tmp_path / "s.ini")
    for k in range(RECENT + 5):
        store.add_recent(tmp_path / f"{k}.lane")
    store.add_recent(tmp_path / "7.lane")
    names = [p.name for p in store.recent()]
    assert names[0] == "7.lane"
    assert len(names) == len(set(names)) == RECENT


def test_nonsense_in_the_file_is_passed_over(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "s.ini"
    path.write_text('[General]\nrecent=[1, "a.lane", null\nlook="\\"purple\\""\nfolder%20parts=3\n')
    store = again(path)
    assert store.recent() == []
    assert store.look() == "system"
    assert store.folder("parts") == Path.home()
    assert store.bytes_of("layout desk").isEmpty()


def test_a_folder_that_is_gone_is_not_proposed(qapp: QApplication, tmp_path: Path) -> None:
    store = again(tmp_path / "s.ini")
    store.set_folder("parts", tmp_path / "gone")
    assert store.folder("parts") == Path.home()


def test_the_layout_can_be_forgotten(qapp: QApplication, tmp_path: Path) -> None:
    store = again(tmp_path / "s.ini")
    store.set_bytes("layout desk", QByteArray(b"x"))
    store.forget_layout(("layout desk",))
    assert store.bytes_of("layout desk").isEmpty()

"""Exporting flat parts: held back by conflicts, told what was written."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desk.checks.finding import Finding, Place
from desk.ui import ask
from desk.ui.export_dialog import ExportDialog
from desk.units import Unit
from desk.views.wording import warnings_of

from .fakes import LANE, finding

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")
SPOT = Place(LANE, "point", ((0.0, 0.0),))
CONFLICTS = (
    finding(1, "conflict", "Gap", -1.0, SPOT, None),
    finding(2, "tight", "Web", 0.2, SPOT, None),
    finding(3, "conflict", "Hole", -2.0, SPOT, None),
)


class FakeExport:
    """Writes one file and remembers what it was asked."""

    def __init__(self, error: Exception | None = None) -> None:
        self.error = error
        self.asked: list[tuple[object, Path, tuple[str, ...]]] = []

    def __call__(
        self,
        cabinet: object,
        folder: Path,
        warnings: tuple[str, ...],
        muted: tuple[str, ...],
        replacing: bool,
        unit: Unit,
    ) -> tuple[Path, ...]:
        self.muted, self.replacing, self.unit = muted, replacing, unit
        self.asked.append((cabinet, folder, warnings))
        if self.error:
            raise self.error
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / "parts.dxf"
        path.write_text("x")
        return (path,)


def dialog(
    qtbot: QtBot, folder: Path, export: FakeExport, findings: tuple[Finding, ...] = ()
) -> ExportDialog:
    made = ExportDialog(None, "the cabinet", findings, "mm", folder, export)
    qtbot.addWidget(made)
    made.show()
    return made


def test_without_conflicts_it_exports_and_lists_the_files(qtbot: QtBot, tmp_path: Path) -> None:
    export = FakeExport()
    made = dialog(qtbot, tmp_path / "new" / "parts", export, CONFLICTS[1:2])
    assert not made.despite.isVisible()
    made.go.click()
    assert export.asked == [("the cabinet", tmp_path / "new" / "parts", ())]
    assert made.written == (tmp_path / "new" / "parts" / "parts.dxf",)
    assert export.unit == "mm"
    assert made.list.item(0).text() == "parts.dxf"
    assert "1 file written" in made.say.text()
    assert not made.go.isVisible()
    assert made.show_folder.isVisible()


def test_conflicts_hold_it_back_until_the_person_says_so(qtbot: QtBot, tmp_path: Path) -> None:
    export = FakeExport()
    made = dialog(qtbot, tmp_path, export, CONFLICTS)
    assert not made.go.isEnabled()
    assert made.list.count() == 2
    assert "2 conflicts" in made.despite.text()
    made.despite.click()
    made.go.click()
    assert export.asked[0][2] == warnings_of(CONFLICTS, "mm")
    assert all(word in " ".join(export.asked[0][2]) for word in ("Gap", "Hole"))
    assert "Web" not in " ".join(export.asked[0][2])


@pytest.mark.parametrize("error", [OSError("disk full"), ValueError("the deck has an open outline")])
def test_a_failure_is_told_and_can_be_tried_again(qtbot: QtBot, tmp_path: Path, error: Exception) -> None:
    export = FakeExport(error)
    made = dialog(qtbot, tmp_path / "fresh", export)
    made.go.click()
    assert made.say.text() == f"Nothing was written: {error}"
    assert not (tmp_path / "fresh").exists()
    assert made.written == ()
    export.error = None
    made.go.click()
    assert len(made.written) == 1


def test_what_would_be_lost_is_named_and_goes_only_when_the_person_ticks_the_box(
    qtbot: QtBot, tmp_path: Path
) -> None:
    export = FakeExport(FileExistsError("there holds the flat parts of the design 'A'"))
    made = dialog(qtbot, tmp_path / "there", export)
    assert not made.replacing.isVisible()
    made.go.click()
    assert "the design 'A'" in made.say.text()
    assert made.replacing.isVisible()
    assert not made.go.isEnabled()
    made.replacing.click()
    made.line.setText(str(tmp_path / "elsewhere"))
    assert not made.replacing.isVisible()
    assert made.go.isEnabled()
    made.go.click()
    assert not export.replacing
    export.error = None
    made.replacing.click()
    made.go.click()
    assert export.replacing
    assert not made.replacing.isVisible()
    assert len(made.written) == 1


def test_the_folder_can_be_chosen(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ask, "folder_for_parts", lambda *_: tmp_path / "there")
    export = FakeExport()
    made = dialog(qtbot, tmp_path, export)
    made.browse.click()
    made.go.click()
    assert made.folder == tmp_path / "there"
    made.line.clear()


def test_no_folder_no_export(qtbot: QtBot, tmp_path: Path) -> None:
    made = dialog(qtbot, tmp_path, FakeExport())
    made.line.setText("  ")
    assert not made.go.isEnabled()

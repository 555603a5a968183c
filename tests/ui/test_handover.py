"""Nothing leaves the window but what is worked out of the design as it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtGui import QGuiApplication, QImage

from desk.design import edit
from desk.design.model import Design
from desk.shapes.loop import ShapeError
from desk.ui import export_dialog, handover
from desk.ui.document import Evaluated
from desk.ui.workroom import Workroom

from .fakes import FakeEvaluation
from .fakes import evaluate as fake

Make = Callable[..., Workroom]


class FakeDialog:
    """Remembers what it was asked to export."""

    asked: list[object] = []  # noqa: RUF012 - shared on purpose, emptied by the fixture
    folders: list[Path] = []  # noqa: RUF012 - likewise
    written: tuple[Path, ...] = ()

    def __init__(self, _window: object, cabinet: object, *rest: object) -> None:
        self.asked.append(cabinet)
        self.folders += [each for each in rest if isinstance(each, Path)]

    def exec(self) -> None:
        """Nothing is asked."""


@pytest.fixture
def exports(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    FakeDialog.asked.clear()
    FakeDialog.folders.clear()
    monkeypatch.setattr(export_dialog, "ExportDialog", FakeDialog)
    return FakeDialog.asked


def live(design: Design, last: Evaluated | None = None) -> FakeEvaluation:
    """Within a drag step one check is put off."""
    made = fake(design, last)
    return made if last is None else replace(made, pending=frozenset({"c03"}))


def whole(made: Evaluated) -> FakeEvaluation:
    assert isinstance(made, FakeEvaluation)
    return replace(made, pending=frozenset(), cabinet="whole")


def narrow_breaks(design: Design, last: Evaluated | None = None) -> FakeEvaluation:
    """No cabinet can be made with a gap under 5 mm."""
    if design.value("board.gap") < 5:
        raise ShapeError("the gap is too narrow")
    return fake(design, last)


def test_what_was_put_off_is_worked_out_before_the_export_is_asked_for(
    make_window: Make, exports: list[object]
) -> None:
    window = make_window(live, completer=whole)
    window.pace.instant = False
    window.document.pull({"board.gap": 21.0}, gesture=1)
    window.handover.export_parts()
    assert exports == ["whole"]
    assert window.document.evaluation is not None
    assert window.document.evaluation.design == window.document.design


def test_an_earlier_design_is_never_exported(make_window: Make, exports: list[object]) -> None:
    window = make_window(narrow_breaks)
    told: list[str] = []
    window.document.refused.connect(told.append)
    window.document.change("Set", lambda d: edit.put(d, "board.gap", 3.0))
    assert window.document.evaluation is not None
    assert window.document.evaluation.design != window.document.design
    window.handover.export_parts()
    assert exports == []
    assert told == [handover.STALE]
    window.document.undo()
    window.handover.export_parts()
    assert len(exports) == 1


def test_the_folder_is_proposed_beside_the_design_file(
    make_window: Make, exports: list[object], tmp_path: Path
) -> None:
    window = make_window(fake)
    window.document.change("Rename", lambda d: edit.rename(d, "Steel balls, 1/2 in"))
    window.handover.export_parts()
    window.document.saved(window.document.design, tmp_path / "mine.lane")
    window.handover.export_parts()
    assert [folder.name for folder in FakeDialog.folders] == ["steel-balls-1-2-in"] * 2
    assert FakeDialog.folders[0].parent != tmp_path
    assert FakeDialog.folders[1].parent == tmp_path
    assert len(exports) == 2


def test_no_picture_is_made_of_an_earlier_design(
    make_window: Make, monkeypatch: pytest.MonkeyPatch, qapp: object
) -> None:
    from desk.ui import picture

    made: list[object] = []

    def render(evaluation: Evaluated, _theme: object) -> QImage:
        made.append(evaluation.design)
        return QImage(4, 4, QImage.Format.Format_RGB32)

    monkeypatch.setattr(picture, "render_picture", render)
    window = make_window(narrow_breaks)
    window.handover.copy_picture()
    assert made == [window.document.design]
    assert QGuiApplication.clipboard().image().width() == 4
    window.document.change("Set", lambda d: edit.put(d, "board.gap", 3.0))
    window.handover.copy_picture()
    window.handover.save_picture()
    assert len(made) == 1


def test_a_check_that_could_not_be_finished_keeps_everything_back(
    make_window: Make, exports: list[object], capsys: pytest.CaptureFixture[str]
) -> None:
    def fails(_made: Evaluated) -> Evaluated:
        raise RuntimeError("a fault")

    window = make_window(live, completer=fails)
    window.document.change("Set", lambda d: edit.put(d, "board.gap", 21.0))
    window.handover.export_parts()
    assert exports == []
    assert "a fault" in capsys.readouterr().err

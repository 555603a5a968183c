"""Every question the window puts to the person, one function each, so that tests can answer in their place."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QLabel,
    QMessageBox,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

if TYPE_CHECKING:
    from desk.design.file import DesignFileError

EXTENSION = ".lane"
DESIGNS = f"Designs (*{EXTENSION});;All files (*)"


def file_to_open(parent: QWidget, folder: Path) -> Path | None:
    """Which design to open."""
    name, _ = QFileDialog.getOpenFileName(parent, "Open a design", str(folder), DESIGNS)
    return Path(name) if name else None


def file_to_save(parent: QWidget, proposal: Path) -> Path | None:
    """Where to save the design; the extension is added when left out."""
    name, _ = QFileDialog.getSaveFileName(parent, "Save the design as", str(proposal), DESIGNS)
    return _with_ending(parent, name, EXTENSION)


def picture_to_save(parent: QWidget, proposal: Path) -> Path | None:
    """Where to save the sharing picture."""
    name, _ = QFileDialog.getSaveFileName(
        parent, "Save the sharing picture as", str(proposal), "Pictures (*.png)"
    )
    return _with_ending(parent, name, ".png")


def _with_ending(parent: QWidget, name: str, ending: str) -> Path | None:
    """The path with its ending. Where adding it leads to another file, which the dialog has not asked about, ask."""
    if not name:
        return None
    path = Path(name)
    if path.suffix.casefold() == ending:
        return path
    path = path.with_name(path.name + ending)
    if not path.exists():
        return path
    answer = QMessageBox.question(parent, "Replace the file?", f"{path.name} exists already. Replace it?")
    return path if answer == QMessageBox.StandardButton.Yes else None


def folder_for_parts(parent: QWidget, folder: Path) -> Path | None:
    """Where to write the flat parts."""
    name = QFileDialog.getExistingDirectory(parent, "Folder for the flat parts", str(folder))
    return Path(name) if name else None


def what_of_changes(parent: QWidget, name: str) -> Literal["save", "drop", "stay"]:
    """What to do with changes that are not saved."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setText(f"“{name}” has changes that are not saved.")
    box.setInformativeText("Without saving they are lost.")
    buttons = QMessageBox.StandardButton
    box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
    box.setDefaultButton(buttons.Save)
    answer = box.exec()
    return {buttons.Save.value: "save", buttons.Discard.value: "drop"}.get(answer, "stay")  # type: ignore[return-value]


def take_up(parent: QWidget, name: str, when: str) -> Literal["open", "drop", "later"]:
    """Whether to take up work that an earlier session left."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setText(f"The program did not end cleanly. There is unsaved work on “{name}” from {when}.")
    box.setInformativeText("Opening it leaves the saved file as it is until you save.")
    open_it = box.addButton("Open the unsaved work", QMessageBox.ButtonRole.AcceptRole)
    drop = box.addButton("Throw it away", QMessageBox.ButtonRole.DestructiveRole)
    box.addButton("Ask again next time", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(open_it)
    box.exec()
    clicked = box.clickedButton()
    return "open" if clicked is open_it else "drop" if clicked is drop else "later"


def tell(parent: QWidget, text: str, more: str = "") -> None:
    """Tell something that went wrong."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setText(text)
    box.setInformativeText(more)
    box.exec()


class ProblemsDialog(QDialog):
    """All that is wrong with a file, with the place of each problem in it."""

    def __init__(self, parent: QWidget | None, what: str, problems: Sequence[tuple[str, str]]) -> None:
        super().__init__(parent)
        self.setWindowTitle("This file cannot be opened")
        self.resize(680, 340)
        headline = QLabel(what)
        headline.setObjectName("heading")
        headline.setWordWrap(True)
        self.list = QTreeWidget()
        self.list.setAccessibleName("Problems in the file")
        self.list.setHeaderLabels(["Place in the file", "What is wrong"])
        self.list.setRootIsDecorated(False)
        self.list.setWordWrap(True)
        for path, text in problems:
            item = QTreeWidgetItem(self.list, [path, text])
            item.setToolTip(1, text)
        self.list.resizeColumnToContents(0)
        count = QLabel(
            f"{len(problems)} problem{'s' if len(problems) != 1 else ''} found. The file was left as it is."
        )
        count.setObjectName("quiet")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        for widget in (headline, self.list, count, buttons):
            column.addWidget(widget)
        self.setWindowModality(Qt.WindowModality.WindowModal)


def show_problems(parent: QWidget, error: DesignFileError) -> None:
    """Show why a file cannot be used."""
    dialog = ProblemsDialog(parent, error.what, [(p.path, p.text) for p in error.problems])
    dialog.exec()

"""Asks where the flat parts go, holds back while conflicts stand, and tells which files were written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from desk.checks.finding import Finding
from desk.ui import ask
from desk.units import Unit
from desk.views.wording import mutes_of, warnings_of

Exporter = Callable[[Any, Path, tuple[str, ...], tuple[str, ...], bool, Unit], tuple[Path, ...]]
"""(cabinet, folder, warnings, muted, replacing, unit) -> files written; raises OSError or ValueError, and
FileExistsError where something would be lost that only ``replacing`` takes away.
"""


class ExportDialog(QDialog):
    """One dialog, two stages: asking, then the list of files."""

    def __init__(
        self,
        parent: QWidget | None,
        cabinet: object,
        findings: tuple[Finding, ...],
        unit: Unit,
        folder: Path,
        export: Exporter,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Export flat parts")
        self.resize(620, 440)
        self.folder = folder
        self.written: tuple[Path, ...] = ()
        self._cabinet, self._export = cabinet, export
        self._unit = unit
        self._warnings = warnings_of(findings, unit)
        self._muted = mutes_of(findings, unit)
        self.line = QLineEdit(str(folder))
        self.line.setAccessibleName("Folder")
        self.browse = QPushButton("Choose…")
        self.list = QListWidget()
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setSpacing(2)
        self.say = QLabel()
        self.say.setWordWrap(True)
        self.say.setAlignment(Qt.AlignmentFlag.AlignTop)
        n = len(self._warnings)
        self.despite = QCheckBox(f"Export in spite of {n} conflict{'s' if n != 1 else ''}; the files say so")
        self.replacing = QCheckBox("Replace what the folder holds")
        self.go = QPushButton("Export")
        self.go.setObjectName("main")
        self.go.setDefault(True)
        self.leave = QPushButton("Cancel")
        self.show_folder = QPushButton("Show the folder")
        self._build()
        self._ask()

    def _build(self) -> None:
        row = QHBoxLayout()
        row.addWidget(QLabel("Folder"))
        row.addWidget(self.line, 1)
        row.addWidget(self.browse)
        buttons = QHBoxLayout()
        buttons.addWidget(self.show_folder)
        buttons.addStretch(1)
        buttons.addWidget(self.leave)
        buttons.addWidget(self.go)
        column = QVBoxLayout(self)
        column.addLayout(row)
        column.addWidget(self.say)
        column.addWidget(self.list, 1)
        column.addWidget(self.despite)
        column.addWidget(self.replacing)
        column.addLayout(buttons)
        self.browse.clicked.connect(self._browse)
        self.despite.toggled.connect(lambda _on: self._judge())
        self.replacing.toggled.connect(lambda _on: self._judge())
        self.line.textChanged.connect(lambda _text: self._elsewhere())
        self.go.clicked.connect(self._write)
        self.leave.clicked.connect(self.reject)
        self.show_folder.clicked.connect(
            lambda: QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.folder)))
        )

    def _ask(self) -> None:
        self.show_folder.hide()
        self.replacing.hide()
        self.despite.setVisible(bool(self._warnings))
        self.list.clear()
        self.list.addItems(list(self._warnings))
        self.list.setVisible(bool(self._warnings))
        self.list.setAccessibleName("Conflicts")
        if self._warnings:
            self.say.setText("The design has conflicts. Mend them first, or tick the box below.")
        else:
            self.say.setText(
                "Writes one drawing for each stock thickness, one for each part, a cut list and a hardware list, "
                "true to size in mm."
            )
        self._judge()

    def _elsewhere(self) -> None:
        """Another folder: what was said of the one before does not hold for it."""
        self.replacing.setChecked(False)
        self.replacing.hide()
        self._judge()

    def _judge(self) -> None:
        held = bool(self._warnings) and not self.despite.isChecked()
        held = held or (not self.replacing.isHidden() and not self.replacing.isChecked())
        self.go.setEnabled(not held and bool(self.line.text().strip()))

    def _browse(self) -> None:
        folder = ask.folder_for_parts(self, Path(self.line.text().strip() or "."))
        if folder is not None:
            self.line.setText(str(folder))

    def _write(self) -> None:
        self.folder = Path(self.line.text().strip()).expanduser()
        try:
            self.written = self._export(
                self._cabinet,
                self.folder,
                self._warnings,
                self._muted,
                self.replacing.isChecked(),
                self._unit,
            )
        except FileExistsError as error:
            self.say.setText(f"Nothing was written: {error}. Choose another folder, or tick the box below.")
            self.replacing.show()
            self._judge()
            return
        except (OSError, ValueError) as error:
            self.say.setText(f"Nothing was written: {error}")
            return
        self._tell()

    def _tell(self) -> None:
        n = len(self.written)
        self.say.setText(f"{n} file{'s' if n != 1 else ''} written to {self.folder}")
        self.list.clear()
        self.list.addItems([p.name for p in self.written])
        self.list.setAccessibleName("Files written")
        self.list.show()
        for widget in (self.despite, self.replacing, self.go, self.browse):
            widget.hide()
        self.line.setReadOnly(True)
        self.show_folder.show()
        self.leave.setText("Close")
        self.leave.setFocus()

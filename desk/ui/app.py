"""Starts the window. What is heavy is imported after the window is on the screen."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtCore import QSettings, QStandardPaths
from PySide6.QtWidgets import QApplication

from desk.design.starting import starting_design
from desk.ui.outward import evaluate
from desk.ui.pace import Pace
from desk.ui.recovery import Recovery
from desk.ui.store import Store
from desk.ui.window import Window

NAME = "lanewright"


def make_app(arguments: list[str]) -> QApplication:
    """The application with its names set, so that settings and desktop entries are found."""
    app = QApplication(arguments)
    app.setApplicationName(NAME)
    app.setApplicationDisplayName("Lanewright")
    app.setOrganizationName(NAME)
    app.setDesktopFileName(NAME)
    return app


def state_folder() -> Path:
    """Where snapshots of unsaved work lie."""
    return Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.StateLocation))


def open_window(design_path: Path | None) -> Window:
    """A window on the screen, its content worked out as soon as it has been painted."""
    pace = Pace()
    store = Store(QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, NAME, NAME))
    window = Window(starting_design(), evaluate, store, Recovery(state_folder()), pace)
    window.resize(1280, 800)
    geometry = store.bytes_of("geometry")
    if not geometry.isEmpty():
        window.restoreGeometry(geometry)
    window.show()
    pace.debounce("begin", 0.0, lambda: window.begin(design_path))
    return window


def run(design_path: Path | None) -> int:
    """Open the window on a design, or on the starting one, and stay until it is closed; the exit code."""
    app = make_app(sys.argv[:1])
    window = open_window(design_path)
    code = app.exec()
    window.pace.stop()
    return code

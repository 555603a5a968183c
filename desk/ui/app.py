"""Starts the window: first the bare front, and once that has been painted what fills it."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from desk.ui.dress import variant_of
from desk.ui.front import Front
from desk.ui.pace import Pace
from desk.ui.store import Store
from desk.views.theme import theme

NAME = "lanewright"


def make_app(arguments: list[str]) -> QApplication:
    """The application with its names set, so that settings and desktop entries are found."""
    app = QApplication(arguments)
    app.setApplicationName(NAME)
    app.setApplicationDisplayName("Lanewright")
    app.setOrganizationName(NAME)
    app.setDesktopFileName(NAME)
    return app


def open_front(design_path: Path | None, ready: Callable[[], None] = lambda: None) -> Front:
    """A window on the screen; what fills it moves in after the first picture, then ``ready`` is called."""
    pace = Pace()
    store = Store(QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, NAME, NAME))
    front = Front(theme(variant_of(store.look())))
    front.resize(1280, 800)
    geometry = store.bytes_of("geometry")
    if not geometry.isEmpty():
        front.restoreGeometry(geometry)

    def move_in() -> None:
        from desk.ui.movein import furnish

        furnish(front, store, pace, design_path)
        ready()

    front.blank.painted.connect(lambda: pace.debounce("move in", 0.0, move_in))
    front.show()
    return front


def tell_errors(front: Front) -> Callable[[type[BaseException], BaseException, TracebackType | None], None]:
    """A hook for errors nobody caught: written out as ever, and told in the window, which stays open."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        sys.__excepthook__(kind, error, trace)
        if front.guest is not None:
            front.guest.say(
                f"Something went wrong inside the program ({error}). Undo takes the last step back."
            )

    return hook


def run(design_path: Path | None) -> int:
    """Open the window on a design, or on the starting one, and stay until it is closed; the exit code."""
    app = make_app(sys.argv[:1])
    front = open_front(design_path)
    sys.excepthook = tell_errors(front)
    return app.exec()

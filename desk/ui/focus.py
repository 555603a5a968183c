"""Where the keyboard goes when what had it disappears or is greyed out: to what it lay in, else to a view.

Left alone, Qt hands it to whatever comes next, which may be the design's name with all of it selected. A handle that
was pointed at is let go when a step back or forth is of something else.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QWidget

from desk.ui.document import Document


class FocusKeeper(QObject):
    """Keeps the focus of one window. ``home`` gives where it goes when nothing is left of where it was."""

    def __init__(self, window: QWidget, home: Callable[[], QWidget | None]) -> None:
        super().__init__(window)
        self._window, self._home = window, home
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._follow)

    def _follow(self, old: QWidget | None, new: QWidget | None) -> None:
        """Step in where the focus went on because what had it can have it no more."""
        if old is None or old.window() is not self._window or not self._window.isVisible():
            return
        if (new is not None and new.window() is not self._window) or (old.isVisible() and old.isEnabled()):
            return
        place = around(old) or self._home()
        if place is not None and place is not new:
            place.setFocus(Qt.FocusReason.OtherFocusReason)


def around(gone: QWidget) -> QWidget | None:
    """The nearest widget round this one that can have the focus and is in view."""
    above = gone.parentWidget()
    while above is not None:
        if above.focusPolicy() != Qt.FocusPolicy.NoFocus and above.isVisible() and above.isEnabled():
            return above
        above = above.parentWidget()
    return None


def stepping(document: Document, step: Callable[[], None]) -> Callable[[], None]:
    """A step back or forth in the history that lets go of the number pointed at, unless it is a step of just that
    number and there are more to take back.
    """

    def act() -> None:
        address = document.address
        before = document.present(address) if address else ""
        step()
        if address and (not document.session.can_undo or document.present(address) == before):
            document.point_at("")

    return act

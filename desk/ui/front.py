"""The bare window: its frame, its menus' names and the sheets of paper, on the screen before anything else is known.

Only what the first picture needs is imported here. What fills the window (desk.ui.workroom) moves in as a guest once
the first picture has been painted, and takes the same places.
"""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QEvent, QRect, Qt, Signal
from PySide6.QtGui import (
    QCloseEvent,
    QColor,
    QDragEnterEvent,
    QDropEvent,
    QFont,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QApplication, QMainWindow, QMenu, QWidget

from desk.ui.dress import dress
from desk.views.theme import Theme

SMALLEST = (1024, 600)
MENUS = ("File", "Edit", "View", "Play", "Help")
EXTENSION = ".lane"
HANDLE = 6
"""Gap between panes, px."""
STRIP = 39
"""Height of the strip above the panes, px."""
LISTS = (330, 460)
"""Least and greatest width given to the lists, px."""
FACE = (262, 430)
"""Least and greatest width given to the board face and the card, px."""


def widths(width: int) -> tuple[int, int, int]:
    """Widths of the sections' column, the face's column and the lists, for a window this wide."""
    lists = min(LISTS[1], max(LISTS[0], width // 4))
    face = min(FACE[1], max(FACE[0], (width - lists) * 3 // 10))
    return width - lists - face - 2 * HANDLE, face, lists


def heights(height: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """Heights of face and card, and of findings and dimensions, for panes this high together."""
    face, findings = height * 52 // 100, height * 38 // 100
    return (face, height - face), (findings, height - findings)


class Guest(Protocol):
    """What fills the window."""

    def may_close(self) -> bool:
        """Whether the window may close; asks about unsaved work."""

    def closed(self) -> None:
        """The window is closing: remember and end cleanly."""

    def receive(self, path: Path) -> None:
        """A design file was dropped on the window."""

    def desktop_changed(self) -> None:
        """The desktop went light or dark."""

    def resized(self) -> None:
        """The window has another size, or has come on the screen."""

    def say(self, text: str) -> None:
        """Show a message."""


class Blank(QWidget):
    """The panes as empty sheets of paper. ``painted`` is emitted after the first picture."""

    painted = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._told = False

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint sheets with their headings."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        heading = QFont(list(self._theme.text("title").families))
        heading.setPointSizeF(10.5)
        heading.setWeight(QFont.Weight.DemiBold)
        painter.setFont(heading)
        for name, rect, ground in self._sheets():
            painter.setPen(QColor(self._theme.colour("rule")))
            painter.setBrush(QColor(self._theme.colour(ground)))
            painter.drawRoundedRect(rect, 2, 2)
            painter.setPen(QColor(self._theme.colour("ink")))
            painter.drawText(rect.adjusted(11, 5, 0, 0), int(Qt.AlignmentFlag.AlignLeft), name)
        painter.end()
        if not self._told:
            self._told = True
            self.painted.emit()

    def _sheets(self) -> list[tuple[str, QRect, str]]:
        """Heading, place and ground of each pane."""
        top, high = STRIP, self.height() - STRIP - 20
        section, face, lists = widths(self.width() - 12)
        (a, b), (c, d) = heights(high)
        x = 6
        out = [("Section", x, top, section, high * 6 // 10, "sheet")]
        out.append(
            ("Plan", x, top + high * 6 // 10 + HANDLE, section, high - high * 6 // 10 - HANDLE, "sheet")
        )
        x += section + HANDLE
        out.append(("Board face", x, top, face, a, "sheet"))
        out.append(("", x, top + a + HANDLE, face, b - HANDLE, "panel"))
        x += face + HANDLE
        out.append(("Findings", x, top, lists, c, "panel"))
        out.append(("Dimensions", x, top + c + HANDLE, lists, d - HANDLE, "panel"))
        return [(name, QRect(x, y, w, h), ground) for name, x, y, w, h, ground in out]


class Front(QMainWindow):
    """The main window. Events that concern its content go to the guest."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.guest: Guest | None = None
        self.set_theme(theme)
        self.setWindowTitle("Lanewright")
        self.setMinimumSize(*SMALLEST)
        self.menus: dict[str, QMenu] = {name: self.menuBar().addMenu(f"&{name}") for name in MENUS}
        self.blank = Blank(theme)
        self.setCentralWidget(self.blank)

    def set_theme(self, theme: Theme) -> None:
        """Dress the whole program in another variant."""
        self.theme = theme
        app = QApplication.instance()
        if isinstance(app, QApplication):
            dress(app, theme)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the desktop's light and dark."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ThemeChange and self.guest is not None:
            self.guest.desktop_changed()

    def showEvent(self, event: QShowEvent) -> None:
        """Come on the screen."""
        super().showEvent(event)
        if self.guest is not None:
            self.guest.resized()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take another size."""
        super().resizeEvent(event)
        if self.guest is not None:
            self.guest.resized()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A design file may be dropped on the window."""
        if self.guest is not None and dropped(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the file dropped."""
        path = dropped(event)
        if path is not None and self.guest is not None:
            event.acceptProposedAction()
            self.guest.receive(path)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close, unless the guest has something to ask and the person stays."""
        if self.guest is not None:
            if not self.guest.may_close():
                event.ignore()
                return
            self.guest.closed()
        event.accept()


def dropped(event: QDropEvent) -> Path | None:
    """The design file a drop carries, if it carries one."""
    for url in event.mimeData().urls():
        path = Path(url.toLocalFile())
        if url.isLocalFile() and path.suffix == EXTENSION:
            return path
    return None

"""What the tints and signs in the views mean: the design's sheets and the three statuses."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from desk.ui.document import Document
from desk.ui.surface import PathStore, QtSurface, metrics
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport
from desk.views.wording import value_words

ROW = 21
SIGNS = {
    "conflict": "conflict: will not fit or not work",
    "tight": "tight: little to spare",
    "clear": "clear",
}
MUTED = "muted, with your reason: not counted"
TINTS = 6
"""Stocks that have a tint of their own."""


class Legend(QWidget):
    """Rows of a swatch and words."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document, self._theme = document, theme
        self._stocks: tuple[tuple[str, str], ...] = ()
        self._muted = False
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        document.designed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Follow the design's sheets."""
        design = self._document.design
        stocks = tuple(
            (s.label, value_words(s.measured, "length", design.unit)) for s in design.stocks[:TINTS]
        )
        if (stocks, bool(design.mutes)) != (self._stocks, self._muted):
            self._stocks, self._muted = stocks, bool(design.mutes)
            sheets = "; ".join(f"{label}, measured {thick}" for label, thick in stocks)
            signs = (*SIGNS.values(), *((MUTED,) if self._muted else ()))
            self.setAccessibleName(f"Sheets: {sheets}. Signs: {'; '.join(signs)}")
            self.updateGeometry()
            self.update()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        self.update()

    def sizeHint(self) -> QSize:
        """As many rows as there are sheets and signs, with two headings."""
        return QSize(200, ROW * (len(self._stocks) + len(SIGNS) + self._muted + 2) + 14)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the rows."""
        painter = QPainter(self)
        theme = self._theme
        surface = QtSurface(painter, Viewport(), PathStore(), theme.colour("panel"))
        note, strong = theme.text("note"), theme.text("note-strong")
        wide = float(self.width())
        surface.text((0.0, 0.0, wide, ROW), "Sheets", strong, left=True)
        y = float(ROW)
        for k, (label, thick) in enumerate(self._stocks, 1):
            surface.box((1.0, y + 4, 23.0, y + 16), theme.stroke(f"stock-{k}"))
            surface.text((32.0, y, wide, y + ROW), label, note, left=True)
            size = metrics(note).horizontalAdvance(thick)
            surface.text((wide - size - 4, y, wide, y + ROW), thick, note, left=True)
            y += ROW
        y += 14.0
        surface.text((0.0, y, wide, y + ROW), "Signs", strong, left=True)
        for status, words in SIGNS.items():
            y += ROW
            badge(surface, (1.0, y + 4, 23.0, y + 17), status, "", theme)
            surface.text((32.0, y, wide, y + ROW), words, note, left=True)
        if self._muted:
            y += ROW
            badge(surface, (1.0, y + 4, 23.0, y + 17), "conflict", "", theme, muted=True)
            surface.text((32.0, y, wide, y + ROW), MUTED, note, left=True)
        painter.end()

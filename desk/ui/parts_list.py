"""Which parts a finding is about: their names under the sheet they are cut from, with its tint and thickness."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from desk.ui.labels import label, put
from desk.ui.lookup import StockRow
from desk.ui.surface import PathStore, QtSurface
from desk.units import Unit
from desk.views.theme import Theme
from desk.views.viewport import Viewport
from desk.views.wording import value_words


class Swatch(QWidget):
    """A sheet's tint."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.style_name = ""
        self.setFixedSize(18, 15)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the tint."""
        if self.style_name:
            painter = QPainter(self)
            surface = QtSurface(painter, Viewport(), PathStore(), self.theme.colour("panel"))
            surface.box((1.0, 2.0, 17.0, 13.0), self.theme.stroke(self.style_name))
            painter.end()


class PartsList(QWidget):
    """Rows of swatch, names and sheet."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._shown: tuple[tuple[StockRow, ...], Unit] = ((), "mm")
        self.names: list[str] = []
        """What is written, one text a sheet."""
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(0)
        self._grid.setColumnStretch(1, 1)
        self._labels: list[tuple[Swatch, QLabel, QLabel]] = []

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        for swatch, _, _ in self._labels:
            swatch.theme = theme
            swatch.update()

    def show_rows(self, rows: tuple[StockRow, ...], unit: Unit) -> None:
        """Show these."""
        if (rows, unit) == self._shown:
            return
        self._shown = (rows, unit)
        while len(self._labels) < len(rows):
            self._add()
        self.names = ["; ".join(row.parts) for row in rows]
        for k, (swatch, names, sheet) in enumerate(self._labels):
            row = rows[k] if k < len(rows) else None
            swatch.setVisible(row is not None)
            swatch.style_name = row.tint if row is not None else ""
            put(names, self.names[k] if row is not None else "")
            put(sheet, _sheet(row, unit) if row is not None else "")
        self.setVisible(bool(rows))

    def _add(self) -> None:
        swatch, names, sheet = Swatch(self._theme), label(), label("quiet")
        at = 2 * len(self._labels)
        self._grid.addWidget(swatch, at, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(names, at, 1)
        self._grid.addWidget(sheet, at + 1, 1)
        self._labels.append((swatch, names, sheet))


def _sheet(row: StockRow, unit: Unit) -> str:
    if row.thickness is None:
        return row.label
    return f"{row.label}, {value_words(row.thickness, 'length', unit)} thick"

"""Paints the rows of the list of findings: headings with their counts, findings with badge, title and margin."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from desk.ui.findings_model import Index, Row, RowRole
from desk.ui.surface import PathStore, QtSurface, font, metrics
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport

ROW, FAMILY, MUTED = 25, 22, 41
"""Heights of rows, px: of a finding or the heading of a status, of the heading of a family, of one with a reason."""
LEFT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
RIGHT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight)
INDENT = 14
"""How far the heading of a family stands in, px."""


class FindingDelegate(QStyledItemDelegate):
    """Paints one row."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def sizeHint(self, _option: QStyleOptionViewItem, index: Index) -> QSize:
        """The height goes by the kind of row."""
        row: Row | None = index.data(RowRole)
        if row is not None and row.reason:
            return QSize(120, MUTED)
        return QSize(120, FAMILY if row is not None and "/" in row.group else ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one row."""
        row: Row = index.data(RowRole)
        theme = self.theme
        rect: QRect = option.rect
        state: QStyle.StateFlag = option.state
        painter.save()
        if state & QStyle.StateFlag.State_Selected and not row.heading:
            painter.fillRect(rect, QColor(theme.colour("accent_wash")))
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QColor(theme.colour("accent")))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        surface = QtSurface(painter, Viewport(), PathStore(), theme.colour("panel"))
        if row.heading:
            self._heading(surface, painter, rect, row)
        else:
            self._finding(surface, painter, rect, row)
        painter.restore()

    def _heading(self, surface: QtSurface, painter: QPainter, rect: QRect, row: Row) -> None:
        theme, family = self.theme, "/" in row.group
        left, middle = rect.left() + 8.0 + (INDENT if family else 0), rect.center().y() + 1.0
        fold = (
            ((left, middle - 4), (left + 5, middle), (left, middle + 4))
            if row.folded
            else ((left - 1, middle - 2), (left + 3, middle + 3), (left + 7, middle - 2))
        )
        surface.line(fold, theme.stroke("dimension"))
        painter.setFont(font(theme.text("part-label" if family else "note-strong")))
        none = row.aside.split(" ", maxsplit=1)[0].rstrip(",") == "0"
        ink = "faint_ink" if none else "soft_ink" if family else "ink"
        painter.setPen(QColor(theme.colour(ink)))
        box = rect.adjusted(22 + (INDENT if family else 0), 0, -8, 0)
        painter.drawText(box, LEFT, f"{row.title}  ({row.aside})")
        if not family:
            painter.setPen(QColor(theme.colour("faint_rule")))
            painter.drawLine(rect.left() + 8, rect.bottom(), rect.right() - 8, rect.bottom())

    def _finding(self, surface: QtSurface, painter: QPainter, rect: QRect, row: Row) -> None:
        theme = self.theme
        line = QRect(rect.left(), rect.top(), rect.width(), ROW)
        if row.finding is not None:
            middle = line.center().y() + 0.5
            box = (rect.left() + 12.0, middle - 7.5, rect.left() + 36.0, middle + 7.5)
            muted = bool(row.reason)
            badge(surface, box, row.finding.status, row.number, theme, faint=row.waits, muted=muted)
        faint = row.waits or bool(row.reason)
        wide = round(metrics(theme.text("note")).horizontalAdvance(row.aside)) + 2 if row.aside else 0
        room = line.adjusted(46, 0, -10 - wide - (8 if wide else 0), 0)
        painter.setFont(font(theme.text("note")))
        painter.setPen(QColor(theme.colour("faint_ink" if row.waits else "soft_ink" if faint else "ink")))
        self._elided(painter, room, row.title, "note")
        painter.setPen(QColor(theme.colour("faint_ink" if row.waits else "soft_ink")))
        painter.drawText(QRect(rect.right() - 10 - wide, line.top(), wide + 2, ROW), RIGHT, row.aside)
        if row.reason:
            painter.setFont(font(theme.text("part-label")))
            below = QRect(rect.left() + 46, line.bottom() - 4, rect.width() - 56, MUTED - ROW + 1)
            self._elided(painter, below, row.reason, "part-label")

    def _elided(self, painter: QPainter, box: QRect, text: str, style: str) -> None:
        size = metrics(self.theme.text(style))
        painter.drawText(box, LEFT, size.elidedText(text, Qt.TextElideMode.ElideRight, box.width()))

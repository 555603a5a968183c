"""Paints the rows of the list of findings: headings with their counts, findings with badge, title and margin."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QAbstractItemView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from desk.ui.findings_model import Index, Row, RowRole
from desk.ui.surface import PathStore, QtSurface, font, metrics
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport

ROW, FAMILY, LINE = 25, 22, 16
"""Heights, px: of a finding or the heading of a status, of the heading of a family, of each further line of a row."""
BADGE, WORDS, END = 12, 46, 10
"""Where badge and title start, and the room left at the right, px."""
INNER = 16
"""How far findings under a worse one of their check stand in, px."""
ASIDE = 78
"""Width kept for a margin, px."""
LEFT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
ELIDE = Qt.TextElideMode.ElideRight
RIGHT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight)
INDENT = (0, 14, 38)
"""How far headings stand in by their level, px."""


class FindingDelegate(QStyledItemDelegate):
    """Paints one row."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """The height goes by the kind of row and by how many lines its words take."""
        row: Row | None = index.data(RowRole)
        if row is None or row.heading:
            return QSize(120, FAMILY if row is not None and row.level else ROW)
        view: QWidget | None = option.widget
        width = view.viewport().width() if isinstance(view, QAbstractItemView) else 300
        lines = len(self._title(row, width)) + bool(row.reason)
        return QSize(120, ROW + (lines - 1) * LINE)

    def _title(self, row: Row, width: int) -> list[str]:
        """A finding's title in a line, or in two."""
        kept = ASIDE if row.finding is not None and row.finding.margin is not None else 0
        room = width - WORDS - END - kept - (INNER if row.inner else 0)
        return in_lines(row.title, room, metrics(self.theme.text("note")))

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
        theme, family = self.theme, row.level > 0
        indent = INDENT[row.level]
        left, middle = rect.left() + 8.0 + indent, rect.center().y() + 1.0
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
        box = rect.adjusted(22 + indent, 0, -8, 0)
        painter.drawText(box, LEFT, f"{row.title}  ({row.aside})" if row.aside else row.title)
        if not family:
            painter.setPen(QColor(theme.colour("faint_rule")))
            painter.drawLine(rect.left() + 8, rect.bottom(), rect.right() - 8, rect.bottom())

    def _finding(self, surface: QtSurface, painter: QPainter, rect: QRect, row: Row) -> None:
        theme, inset = self.theme, INNER if row.inner else 0
        line = QRect(rect.left() + inset, rect.top(), rect.width() - inset, ROW)
        if row.finding is not None:
            middle = line.center().y() + 0.5
            box = (line.left() + BADGE, middle - 7.5, line.left() + BADGE + 24.0, middle + 7.5)
            muted = bool(row.reason)
            badge(surface, box, row.finding.status, row.number, theme, faint=row.waits, muted=muted)
        faint = row.waits or bool(row.reason)
        painter.setFont(font(theme.text("note")))
        painter.setPen(QColor(theme.colour("faint_ink" if row.waits else "soft_ink")))
        painter.drawText(line.adjusted(0, 0, -END, 0), RIGHT, row.aside)
        painter.setPen(QColor(theme.colour("faint_ink" if row.waits else "soft_ink" if faint else "ink")))
        for words in self._title(row, rect.width()):
            painter.drawText(line.adjusted(WORDS, 0, 0, 0), LEFT, words)
            line.translate(0, LINE)
        if row.reason:
            painter.setFont(font(theme.text("part-label")))
            room = rect.width() - WORDS - END
            words = metrics(theme.text("part-label")).elidedText(row.reason, ELIDE, room)
            painter.drawText(line.adjusted(WORDS, 0, 0, 0), LEFT, words)


def in_lines(text: str, width: int, size: QFontMetricsF) -> list[str]:
    """A text broken between words into one line or two that are no wider than ``width`` px; what is too long ends
    with an ellipsis.
    """
    if size.horizontalAdvance(text) <= width:
        return [text]
    words = text.split(" ")
    fits = [k for k in range(1, len(words)) if size.horizontalAdvance(" ".join(words[:k])) <= width]
    if not fits:
        return [size.elidedText(text, ELIDE, width)]
    first, rest = " ".join(words[: fits[-1]]), " ".join(words[fits[-1] :])
    return [first, size.elidedText(rest, ELIDE, width)]

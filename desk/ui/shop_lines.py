"""Lists of lines on the shop page: a sign, a name, a few words about it, a number at the right; headings that fold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from desk.ui.surface import PathStore, QtSurface, font, metrics
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport

Index = QModelIndex | QPersistentModelIndex
LineRole = Qt.ItemDataRole.UserRole + 1
ROW = 25
"""Height of a line, px."""
MIDDLE_LEFT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
MIDDLE_RIGHT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight)


@dataclass(frozen=True)
class Line:
    """One line. ``status`` gives its sign; a heading has none and tells whether what is below it is ``folded``."""

    key: str
    text: str
    about: str = ""
    aside: str = ""
    status: str = ""
    tip: str = ""
    heading: bool = False
    folded: bool = False
    faint: bool = False
    marked: bool = False
    """A bar at the left: this is what is taken now, or the person's own."""


class Lines(QAbstractListModel):
    """The lines as Qt wants them."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.lines: tuple[Line, ...] = ()

    def show(self, lines: Sequence[Line]) -> None:
        """Show these; rows are told of one by one when there are as many as before."""
        now = tuple(lines)
        if len(now) != len(self.lines):
            self.beginResetModel()
            self.lines = now
            self.endResetModel()
            return
        was, self.lines = self.lines, now
        for k, (old, new) in enumerate(zip(was, now, strict=True)):
            if old != new:
                self.dataChanged.emit(self.index(k), self.index(k))

    def place(self, key: str) -> int:
        """Row of the line with this key, -1 for none."""
        return next((k for k, line in enumerate(self.lines) if line.key == key), -1)

    def rowCount(self, _parent: Index | None = None) -> int:
        """Number of lines."""
        return len(self.lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words to look at, to hover over and to have read out."""
        if not index.isValid() or index.row() >= len(self.lines):
            return None
        line = self.lines[index.row()]
        if role == LineRole:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return line.text
        if role == Qt.ItemDataRole.ToolTipRole:
            return line.tip or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            fold = ("folded" if line.folded else "open") if line.heading else ""
            words = (line.text, line.status, line.aside, line.about, "chosen" if line.marked else "", fold)
            return ", ".join(word for word in words if word)
        return None


class LineDelegate(QStyledItemDelegate):
    """Paints a line. ``name`` is the width of the name's column, px, 0 for all there is."""

    def __init__(self, theme: Theme, parent: QWidget, name: int = 0, signs: bool = True) -> None:
        super().__init__(parent)
        self.theme, self._name, self._signs = theme, name, signs

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        """All lines are of one height."""
        return QSize(120, ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one line."""
        line: Line = index.data(LineRole)
        theme, rect = self.theme, option.rect
        state: QStyle.StateFlag = option.state
        painter.save()
        if state & QStyle.StateFlag.State_Selected and not line.heading:
            painter.fillRect(rect, QColor(theme.colour("accent_wash")))
        if line.marked:
            painter.fillRect(
                QRect(rect.left(), rect.top() + 3, 3, rect.height() - 6), QColor(theme.colour("accent"))
            )
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QColor(theme.colour("accent")))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        surface = QtSurface(painter, Viewport(), PathStore(), theme.colour("sheet"))
        if line.heading:
            self._heading(surface, painter, rect, line)
        else:
            self._line(surface, painter, rect, line)
        painter.restore()

    def _heading(self, surface: QtSurface, painter: QPainter, rect: QRect, line: Line) -> None:
        theme = self.theme
        left, middle = rect.left() + 8.0, rect.center().y() + 1.0
        shut = ((left, middle - 4), (left + 5, middle), (left, middle + 4))
        opened = ((left - 1, middle - 2), (left + 3, middle + 3), (left + 7, middle - 2))
        surface.line(shut if line.folded else opened, theme.stroke("dimension"))
        painter.setFont(font(theme.text("note-strong")))
        painter.setPen(QColor(theme.colour("ink")))
        painter.drawText(rect.adjusted(22, 0, -8, 0), MIDDLE_LEFT, line.text)
        wide = round(metrics(theme.text("note-strong")).horizontalAdvance(line.text))
        painter.setFont(font(theme.text("note")))
        painter.setPen(QColor(theme.colour("soft_ink")))
        painter.drawText(rect.adjusted(36 + wide, 0, -8, 0), MIDDLE_LEFT, line.about)
        painter.setPen(QColor(theme.colour("faint_rule")))
        painter.drawLine(rect.left() + 8, rect.bottom(), rect.right() - 8, rect.bottom())

    def _line(self, surface: QtSurface, painter: QPainter, rect: QRect, line: Line) -> None:
        theme = self.theme
        middle = rect.center().y() + 0.5
        left = rect.left() + 8
        if self._signs:
            if line.status:
                box = (left + 2.0, middle - 6, left + 20.0, middle + 6)
                badge(surface, box, line.status, "", theme, faint=line.faint)
            left += 30
        size = metrics(theme.text("note"))
        painter.setFont(font(theme.text("note")))
        strong, soft = ("faint_ink",) * 2 if line.faint else ("ink", "soft_ink")
        wide = round(size.horizontalAdvance(line.aside)) + 2 if line.aside else 0
        end = rect.right() - 10 - wide - (10 if wide else 0)
        room = min(self._name, end - left) if self._name else end - left
        painter.setPen(QColor(theme.colour(strong)))
        name = QRect(left, rect.top(), room, rect.height())
        painter.drawText(name, MIDDLE_LEFT, size.elidedText(line.text, Qt.TextElideMode.ElideRight, room))
        painter.setPen(QColor(theme.colour(soft)))
        painter.drawText(
            QRect(rect.right() - 10 - wide, rect.top(), wide + 2, rect.height()), MIDDLE_RIGHT, line.aside
        )
        about = QRect(left + room + 8, rect.top(), end - left - room - 8, rect.height())
        if about.width() > 20:
            words = size.elidedText(line.about, Qt.TextElideMode.ElideRight, about.width())
            painter.drawText(about, MIDDLE_LEFT, words)


class LineList(QListView):
    """The lines. ``turned`` tells the key of the line turned to, ``taken`` that of one double-clicked or entered."""

    turned = Signal(str)
    taken = Signal(str)
    folded = Signal(str, bool)

    def __init__(self, theme: Theme, name: str, width: int = 0, signs: bool = True) -> None:
        super().__init__()
        self.setObjectName("lines")
        self.setAccessibleName(name)
        self.model_ = Lines(self)
        self._delegate = LineDelegate(theme, self, width, signs)
        self._following = False
        self.setModel(self.model_)
        self.setItemDelegate(self._delegate)
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.selectionModel().currentChanged.connect(self._turned)

    @property
    def current(self) -> str:
        """Key of the current line, "" for none."""
        line = self._line(self.currentIndex())
        return line.key if line is not None else ""

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Show these lines; the current one stays the current one."""
        key = self.current
        self._following = True
        self.model_.show(lines)
        self.turn_to(key)
        self._following = False

    def turn_to(self, key: str) -> bool:
        """Make a line the current one without telling anybody; False when it is not here."""
        at = self.model_.place(key) if key else -1
        if at < 0:
            return False
        was, self._following = self._following, True
        self.selectionModel().setCurrentIndex(
            self.model_.index(at), QItemSelectionModel.SelectionFlag.ClearAndSelect
        )
        self._following = was
        return True

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._delegate.theme = theme
        self.viewport().update()

    def _line(self, index: Index) -> Line | None:
        line: Line | None = index.data(LineRole) if index.isValid() else None
        return line

    def _turned(self, index: QModelIndex, _before: QModelIndex) -> None:
        line = self._line(index)
        if line is not None and not line.heading and not self._following:
            self.turned.emit(line.key)

    def _act(self, line: Line | None, want: bool | None = None) -> bool:
        """Fold a heading, or take a line; False when there is nothing to do."""
        if line is None or (not line.heading and want is not None) or (line.heading and want == line.folded):
            return False
        if line.heading:
            self.folded.emit(line.key, not line.folded)
        else:
            self.taken.emit(line.key)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A heading folds."""
        line = self._line(self.indexAt(event.position().toPoint()))
        super().mousePressEvent(event)
        if event.button() == Qt.MouseButton.LeftButton and line is not None and line.heading:
            self._act(line)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """A line is taken."""
        line = self._line(self.indexAt(event.position().toPoint()))
        if event.button() == Qt.MouseButton.LeftButton and line is not None:
            self._act(line)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes a line; Enter, Space, left and right fold a heading."""
        line = self._line(self.currentIndex())
        wants: dict[int, bool] = {Qt.Key.Key_Left: True, Qt.Key.Key_Right: False}
        toggles = [Qt.Key.Key_Return, Qt.Key.Key_Enter]
        if line is not None and line.heading:
            toggles.append(Qt.Key.Key_Space)
        key = event.key()
        if (key in toggles and self._act(line)) or (key in wants and self._act(line, wants[key])):
            return
        super().keyPressEvent(event)

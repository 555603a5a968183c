"""How the rows of the dimension list look and what is typed into them."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractItemModel, QEvent, QObject, QRect, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter
from PySide6.QtWidgets import QComboBox, QLineEdit, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from desk.ui.dimension_model import EDITABLE, LABEL, LOCK, VALUE, Index, NodeRole, ShownRole
from desk.ui.dimension_rows import Node, Shown, options
from desk.ui.document import Document
from desk.ui.surface import PathStore, QtSurface, font, metrics
from desk.ui.value_edit import ValueEdit, told
from desk.views.draw import badge
from desk.views.theme import Stroke, Theme
from desk.views.viewport import Viewport
from desk.views.wording import with_minus

ROW = 24
"""Height of a row, px."""
HEADING_REACH = 100
"""How far a heading may run on over the value column, which it does not use, px."""
MIDDLE_LEFT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
MIDDLE_RIGHT = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight)


class DimensionDelegate(QStyledItemDelegate):
    """Paints label, value and lock; makes the editors."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme
        self._document = document

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        """All rows are of one height."""
        return QSize(60, ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        node: Node = index.data(NodeRole)
        seen: Shown = index.data(ShownRole)
        rect: QRect = option.rect
        state: QStyle.StateFlag = option.state
        painter.save()
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, QColor(self.theme.colour("accent_wash")))
        if index.column() == LABEL:
            self._label(painter, rect, node, seen)
        elif index.column() == VALUE:
            self._value(painter, rect, node, seen, bool(state & QStyle.StateFlag.State_MouseOver))
        elif node.kind in ("number", "choice"):
            self._lock(painter, rect, seen)
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QColor(self.theme.colour("accent")))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        painter.restore()

    def _label(self, painter: QPainter, rect: QRect, node: Node, seen: Shown) -> None:
        """A label; headings and list items run on over the value column, an item with a few words about it."""
        letters = self.theme.text("note-strong" if node.kind in ("group", "list") else "note")
        size = metrics(letters)
        painter.setFont(font(letters))
        painter.setPen(QColor(self.theme.colour("ink")))
        box = rect.adjusted(2, 0, -4 if node.kind in EDITABLE else HEADING_REACH, 0)
        text = size.elidedText(node.label, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, MIDDLE_LEFT, text)
        if node.kind == "item":
            box.setLeft(box.left() + round(size.horizontalAdvance(text)) + 10)
            painter.setPen(QColor(self.theme.colour("soft_ink")))
            about = size.elidedText(seen.text, Qt.TextElideMode.ElideRight, box.width())
            painter.drawText(box, MIDDLE_LEFT, about)

    def _value(self, painter: QPainter, rect: QRect, node: Node, seen: Shown, over: bool) -> None:
        theme = self.theme
        if node.kind not in EDITABLE:
            return
        letters = theme.text("note")
        painter.setFont(font(letters))
        painter.setPen(QColor(theme.colour("soft_ink" if seen.locked else "ink")))
        box = rect.adjusted(22, 0, -8, 0)
        text = metrics(letters).elidedText(with_minus(seen.text), Qt.TextElideMode.ElideMiddle, box.width())
        painter.drawText(box, MIDDLE_RIGHT, text)
        if not seen.locked:
            painter.setPen(QColor(theme.colour("accent" if over else "rule")))
            painter.drawLine(rect.left() + 22, rect.bottom() - 2, rect.right() - 6, rect.bottom() - 2)
        middle = rect.center().y() + 0.5
        surface = QtSurface(painter, Viewport(), PathStore(), theme.colour("panel"))
        left = float(rect.left())
        if seen.status:
            badge(surface, (left + 3, middle - 5, left + 17, middle + 5), seen.status, "", theme)
        elif seen.unusual:
            x = left + 11
            corners = ((x - 5, middle), (x, middle - 5), (x + 5, middle), (x, middle + 5))
            surface.line(corners, theme.stroke("dimension"), closed=True)
            surface.line(((x, middle - 2.2), (x, middle + 0.8)), theme.stroke("dimension"))

    def _lock(self, painter: QPainter, rect: QRect, seen: Shown) -> None:
        """A padlock: shut and filled, or open and faint."""
        colour = self.theme.colour("ink" if seen.locked else "faint_ink")
        x, y = float(rect.center().x()), float(rect.center().y())
        surface = QtSurface(painter, Viewport(), PathStore(), self.theme.colour("panel"))
        surface.box((x - 5, y, x + 5, y + 6), Stroke(colour if seen.locked else "", colour, 1.0))
        foot = y if seen.locked else y - 2.5
        bow = ((x - 3, y), (x - 3, y - 3), (x - 1.5, y - 5), (x + 1.5, y - 5), (x + 3, y - 3), (x + 3, foot))
        surface.line(bow, Stroke("", colour, 1.4 if seen.locked else 1.0))

    # --- editors

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A line for numbers and texts, a list for choices."""
        node: Node = index.data(NodeRole)
        if node.kind == "number":
            line = ValueEdit(parent)
            line.faulted.connect(self._document.refuse)
            return line
        if node.kind in ("choice", "word"):
            box = QComboBox(parent)
            for key, option in options(node, self._document.design):
                box.addItem(option, key)
            box.setAccessibleName(node.label)
            box.activated.connect(lambda _row: self.commitData.emit(box))
            return box
        words = QLineEdit(parent)
        words.setAccessibleName(node.label)
        return words

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Enter on what cannot be entered says why, Escape gives it up without words; the rest is Qt's."""
        if isinstance(editor, ValueEdit) and isinstance(event, QKeyEvent):
            if event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Escape:
                editor.give_up()
            elif event.type() == QEvent.Type.KeyPress and event.key() in (
                Qt.Key.Key_Return,
                Qt.Key.Key_Enter,
            ):
                self._document.refuse(told(editor.fault(editor.text())))
        return super().eventFilter(editor, event)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the value in its editor."""
        node: Node = index.data(NodeRole)
        text: str = index.data(Qt.ItemDataRole.EditRole)
        if isinstance(editor, ValueEdit):
            editor.begin(text, node.key, self._document.unit())
        elif isinstance(editor, QComboBox):
            editor.setCurrentIndex(max(0, editor.findText(text)))
        elif isinstance(editor, QLineEdit):
            editor.setText(text)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Hand over what was typed or chosen."""
        value: Any = None
        if isinstance(editor, QComboBox):
            value = editor.currentData()
        elif isinstance(editor, QLineEdit):
            if not editor.hasAcceptableInput():
                return
            value = editor.text()
        if value is not None:
            model.setData(index, value, Qt.ItemDataRole.EditRole)

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, _index: Index) -> None:
        """The editor fills the cell and a little more."""
        rect: QRect = option.rect
        editor.setGeometry(rect.adjusted(0, -1, 0, 1))

    def editorEvent(
        self, event: QEvent, model: QAbstractItemModel, _option: QStyleOptionViewItem, index: Index
    ) -> bool:
        """A click on the lock turns it."""
        node: Node = index.data(NodeRole)
        if index.column() == LOCK and node.kind in ("number", "choice"):
            if event.type() == QEvent.Type.MouseButtonRelease:
                toggle_lock(model, index)
            return event.type() in (QEvent.Type.MouseButtonRelease, QEvent.Type.MouseButtonDblClick)
        return False


def toggle_lock(model: QAbstractItemModel, index: Index) -> None:
    """Lock what is not locked and the other way round."""
    seen: Shown = index.data(ShownRole)
    state = Qt.CheckState.Unchecked if seen.locked else Qt.CheckState.Checked
    model.setData(index, state, Qt.ItemDataRole.CheckStateRole)

"""The list of findings beside the drawings: the same numbers and shapes as the flags, one row each."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from desk.ui.announce import announce
from desk.ui.document import Document, Evaluated
from desk.ui.findings_model import FindingsModel, Index, Row, RowRole
from desk.ui.surface import PathStore, QtSurface, font, metrics
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport
from desk.views.wording import counted, counts

ROW = 25
"""Height of a row, px."""


class FindingDelegate(QStyledItemDelegate):
    """Paints badge, title and margin of a row; a heading with its count and a fold mark."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        """All rows are of one height."""
        return QSize(120, ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one row."""
        row: Row = index.data(RowRole)
        theme = self.theme
        rect: QRect = option.rect
        state: QStyle.StateFlag = option.state
        painter.save()
        if state & QStyle.StateFlag.State_Selected and row.finding is not None:
            painter.fillRect(rect, QColor(theme.colour("accent_wash")))
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QColor(theme.colour("accent")))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        surface = QtSurface(painter, Viewport(), PathStore(), theme.colour("panel"))
        if row.finding is None:
            self._heading(surface, painter, rect, row)
        else:
            self._finding(surface, painter, rect, row)
        painter.restore()

    def _heading(self, surface: QtSurface, painter: QPainter, rect: QRect, row: Row) -> None:
        theme = self.theme
        left, middle = rect.left() + 8.0, rect.center().y() + 1.0
        ink = theme.stroke("dimension")
        fold = (
            ((left, middle - 4), (left + 5, middle), (left, middle + 4))
            if row.folded
            else ((left - 1, middle - 2), (left + 3, middle + 3), (left + 7, middle - 2))
        )
        surface.line(fold, ink)
        painter.setFont(font(theme.text("note-strong")))
        painter.setPen(QColor(theme.colour("ink" if row.aside != "0" else "faint_ink")))
        box = rect.adjusted(22, 0, -8, 0)
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.drawText(box, int(flags), f"{row.title}  ({row.aside})")
        painter.setPen(QColor(theme.colour("faint_rule")))
        painter.drawLine(rect.left() + 8, rect.bottom(), rect.right() - 8, rect.bottom())

    def _finding(self, surface: QtSurface, painter: QPainter, rect: QRect, row: Row) -> None:
        assert row.finding is not None
        theme = self.theme
        middle = rect.center().y() + 0.5
        badge(
            surface,
            (rect.left() + 10.0, middle - 7.5, rect.left() + 34.0, middle + 7.5),
            row.status,
            row.number,
            theme,
            faint=row.waits,
        )
        size = metrics(theme.text("note"))
        painter.setFont(font(theme.text("note")))
        wide = round(size.horizontalAdvance(row.aside)) + 2 if row.aside else 0
        box = rect.adjusted(44, 0, -10 - wide - (8 if wide else 0), 0)
        painter.setPen(QColor(theme.colour("faint_ink" if row.waits else "ink")))
        flags = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
        painter.drawText(box, flags, size.elidedText(row.title, Qt.TextElideMode.ElideRight, box.width()))
        painter.setPen(QColor(theme.colour("faint_ink" if row.waits else "soft_ink")))
        aside = QRect(rect.right() - 10 - wide, rect.top(), wide + 2, rect.height())
        painter.drawText(aside, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight), row.aside)


class FindingList(QListView):
    """The rows. ``folded`` is asked for by a click or a key on a heading."""

    folded = Signal(str, bool)

    def _fold(self, index: QModelIndex, want: bool | None = None) -> bool:
        row: Row | None = index.data(RowRole)
        if row is None or row.finding is not None or want == row.folded:
            return False
        self.folded.emit(row.status, not row.folded)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A heading folds; a finding is chosen."""
        index = self.indexAt(event.position().toPoint())
        super().mousePressEvent(event)
        if event.button() == Qt.MouseButton.LeftButton:
            self._fold(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right, Space and Enter fold a heading."""
        index = self.currentIndex()
        toggles = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        wants: dict[int, bool] = {Qt.Key.Key_Left: True, Qt.Key.Key_Right: False}
        want = wants.get(event.key())
        if (event.key() in toggles or want is not None) and self._fold(index, want):
            return
        super().keyPressEvent(event)


class FindingsPanel(QFrame):
    """Heading, count and list."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("margin")
        self._document = document
        self._spoken = ""
        self._following = False
        self.model = FindingsModel(self)
        self._delegate = FindingDelegate(theme, self)
        self.list = FindingList()
        self.list.setAccessibleName("Findings")
        self.list.setModel(self.model)
        self.list.setItemDelegate(self._delegate)
        self.list.setUniformItemSizes(True)
        self.list.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.list.folded.connect(self._fold)
        self.list.selectionModel().currentChanged.connect(self._turned)
        self.list.activated.connect(self._turned)
        self.list.clicked.connect(self._again)
        head = QWidget()
        head.setObjectName("head")
        heading = QLabel("Findings")
        heading.setObjectName("heading")
        heading.setContentsMargins(10, 5, 10, 5)
        box = QVBoxLayout(head)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(heading)
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self.list)
        document.evaluated.connect(self._show)
        document.chosen.connect(self._select)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._delegate.theme = theme
        self.list.viewport().update()

    def _show(self, evaluation: Evaluated) -> None:
        document = self._document
        self.model.show(evaluation.findings, document.unit(), document.flag_number, evaluation.pending)
        if self._document.finding:
            self._select(self._document.finding, scroll=False, unfold=False)
        spoken = counted(counts(evaluation.findings))
        if not evaluation.pending and spoken != self._spoken:
            self._spoken = spoken
            announce(self.list, spoken)

    def _fold(self, status: str, folded: bool) -> None:
        self.model.fold(status, folded)
        heading = self.model.index(self.model.row_of(f"heading {status}", unfold=False))
        self._following = True
        self.list.selectionModel().setCurrentIndex(heading, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._following = False

    def _turned(self, index: QModelIndex, _before: QModelIndex | None = None) -> None:
        row: Row | None = index.data(RowRole)
        if self._following or row is None or row.finding is None:
            return
        if row.finding.key != self._document.finding:
            self._document.choose(row.finding.key)

    def _again(self, index: QModelIndex) -> None:
        """A click on the row that is chosen already takes the view to the place once more."""
        row: Row | None = index.data(RowRole)
        if row is not None and row.finding is not None:
            self._document.choose(row.finding.key)

    def _select(self, key: str, scroll: bool = True, unfold: bool = True) -> None:
        picker = self.list.selectionModel()
        at = self.model.row_of(key, unfold) if key else -1
        self._following = True
        if at < 0:
            self.list.clearSelection()
            picker.setCurrentIndex(QModelIndex(), QItemSelectionModel.SelectionFlag.NoUpdate)
        else:
            index = self.model.index(at)
            picker.setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
            if scroll:
                self.list.scrollTo(index)
        self._following = False

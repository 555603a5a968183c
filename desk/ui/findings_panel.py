"""The list of findings beside the drawings: the same numbers and shapes as the flags, one row each."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QFrame, QListView, QVBoxLayout, QWidget

from desk.checks.finding import Finding
from desk.ui.announce import announce
from desk.ui.document import Document, Evaluated
from desk.ui.finding_delegate import FindingDelegate
from desk.ui.finding_filter import FindingFilter
from desk.ui.findings_model import FindingsModel, Row, RowRole
from desk.ui.lookup import part_labels
from desk.ui.sift import Sift
from desk.views.theme import Theme
from desk.views.wording import counted, counts


class FindingList(QListView):
    """The rows. ``folded`` is asked for by a click or a key on a heading."""

    folded = Signal(str, bool)

    def _fold(self, index: QModelIndex, want: bool | None = None) -> bool:
        row: Row | None = index.data(RowRole)
        if row is None or not row.heading or want == row.folded:
            return False
        self.folded.emit(row.group, not row.folded)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A heading folds; a finding is chosen."""
        index = self.indexAt(event.position().toPoint())
        super().mousePressEvent(event)
        if event.button() == Qt.MouseButton.LeftButton:
            self._fold(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right, Space and Enter fold a heading; left goes from a finding to its heading."""
        index = self.currentIndex()
        toggles = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        wants: dict[int, bool] = {Qt.Key.Key_Left: True, Qt.Key.Key_Right: False}
        want = wants.get(event.key())
        if (event.key() in toggles or want is not None) and self._fold(index, want):
            return
        if event.key() == Qt.Key.Key_Left and self._to_heading(index):
            return
        super().keyPressEvent(event)

    def _to_heading(self, index: QModelIndex) -> bool:
        for at in range(index.row() - 1, -1, -1):
            above = self.model().index(at, 0)
            if above.data(RowRole).heading:
                self.setCurrentIndex(above)
                return True
        return False


class FindingsPanel(QFrame):
    """Heading with search and filter, and the list."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("margin")
        self._document = document
        self._spoken = ""
        self._following = False
        self._looked_at: object = None
        self._labels: dict[str, str] = {}
        self.model = FindingsModel(self)
        self._delegate = FindingDelegate(theme, self)
        self.filter = FindingFilter()
        self.list = FindingList()
        self._build()
        self.filter.asked.connect(self._sift)
        self.filter.left.connect(lambda: self.list.setFocus(Qt.FocusReason.ShortcutFocusReason))
        document.evaluated.connect(document.at_leisure("findings", self._show))
        document.chosen.connect(self._select)

    def _build(self) -> None:
        listed = self.list
        listed.setAccessibleName("Findings")
        listed.setModel(self.model)
        listed.setItemDelegate(self._delegate)
        listed.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        listed.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        listed.setWordWrap(True)  # another width lays the rows out anew
        listed.folded.connect(self._fold)
        listed.selectionModel().currentChanged.connect(self._turned)
        listed.activated.connect(self._turned)
        listed.clicked.connect(self._again)
        head = QWidget()
        head.setObjectName("head")
        box = QVBoxLayout(head)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self.filter)
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(listed)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._delegate.theme = theme
        self.list.viewport().update()

    def shown(self) -> tuple[Finding, ...]:
        """The findings that are asked for, folded or not."""
        return self.model.wanted

    def go_search(self) -> None:
        """Put the cursor into the search field."""
        self.filter.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.filter.search.selectAll()

    def _show(self) -> None:
        document, evaluation = self._document, self._document.evaluation
        if evaluation is None:
            return
        self._offer(evaluation)
        self.model.show(
            evaluation.findings,
            document.unit(),
            document.flag_number,
            evaluation.pending,
            self._labels,
            evaluation.design.mutes,
        )
        self._tell()
        if document.finding:
            self._select(document.finding, scroll=False, unfold=False)
        muted = sum(1 for f in evaluation.findings if f.muted)
        spoken = counted(counts(evaluation.findings), muted)
        if not evaluation.pending and spoken != self._spoken:
            self._spoken = spoken
            announce(self.list, spoken)

    def _offer(self, evaluation: Evaluated) -> None:
        """Offer families and parts to sift by, where those have changed."""
        looked_at = [(f.family, f.parts) for f in evaluation.findings]
        if looked_at != self._looked_at:
            self._looked_at = looked_at
            self._labels = part_labels(evaluation)
            self.filter.offer(evaluation.findings, self._labels)

    def _sift(self, sift: Sift) -> None:
        self.model.ask_for(sift)
        self._tell()
        self._select(self._document.finding, unfold=False)
        if sift.active:
            announce(self.list, f"{len(self.model.wanted)} of {len(self.model.findings)} findings shown")

    def _tell(self) -> None:
        chosen = self._document.finding if self.model.sift.active else ""
        astray = bool(chosen) and chosen not in {f.key for f in self.model.wanted}
        astray = astray and self._document.finding_of(chosen) is not None
        self.filter.tell(len(self.model.wanted), len(self.model.findings), astray)

    def _fold(self, group: str, folded: bool) -> None:
        self.model.fold(group, folded)
        heading = self.model.index(self.model.row_of(f"heading {group}", unfold=False))
        self._following = True
        self.list.selectionModel().setCurrentIndex(heading, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._following = False

    def _turned(self, index: QModelIndex, _before: QModelIndex | None = None) -> None:
        row: Row | None = index.data(RowRole)
        if self._following or row is None or not row.target:
            return
        if row.target != self._document.finding:
            self._document.choose(row.target)

    def _again(self, index: QModelIndex) -> None:
        """A click on the row that is chosen already takes the view to the place once more."""
        row: Row | None = index.data(RowRole)
        if row is not None and row.target:
            self._document.choose(row.target)

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
        if scroll:
            self._tell()

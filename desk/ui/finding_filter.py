"""The line over the list of findings that sifts them: words, and status, family and part behind a switch.

What is asked for is always in view, with how much of the whole it leaves and a button that clears it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QToolButton,
    QWidget,
)

from desk.checks.finding import Finding
from desk.ui.findings_model import HEADINGS
from desk.ui.labels import label, put
from desk.ui.sift import Sift

ANY = {"status": "Any status", "family": "Any family", "part": "Any part"}
POPUP = 260
"""Least width of a list of choices, px."""


class Chooser(QComboBox):
    """A box of choices that shows the end of a fold as its mark, as the headings below it do."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName("chooser")
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        self.setAccessibleName(f"Filter by {name}")
        self.setMaxVisibleItems(16)
        self.view().setMinimumWidth(POPUP)
        self.addItem(ANY[name], "")

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box and its mark."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self.palette().color(QPalette.ColorRole.Text), 1.2))
        x, y = self.width() - 10.0, self.height() / 2
        painter.drawPolyline([QPointF(x - 4, y - 2), QPointF(x, y + 2.5), QPointF(x + 4, y - 2)])
        painter.end()


class SearchLine(QLineEdit):
    """Words to look for. Escape empties it, Down goes on to the list."""

    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setPlaceholderText("Search findings")
        self.setAccessibleName("Search findings")
        self.setClearButtonEnabled(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Empty the line, or go on to the list."""
        if event.key() == Qt.Key.Key_Escape and self.text():
            self.clear()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Escape):
            self.left.emit()
        else:
            super().keyPressEvent(event)


class FindingFilter(QWidget):
    """The sifting line. ``asked`` is emitted with the new Sift, ``left`` when the keys go on to the list."""

    asked = Signal(object)
    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.search = SearchLine()
        self.switch = QToolButton()
        self.boxes = {name: Chooser(name) for name in ANY}
        self.row = QWidget()
        self.told = label("quiet")
        self.clear_button = QPushButton()
        self.foot = QWidget()
        self._build()
        self.search.textChanged.connect(lambda _text: self._ask())
        self.search.left.connect(self.left)
        for box in self.boxes.values():
            box.activated.connect(lambda _at: self._ask())
        self.switch.toggled.connect(self._open)
        self.clear_button.clicked.connect(self.clear)

    def _build(self) -> None:
        self.switch.setText("Filter")
        self.switch.setObjectName("tab")
        self.switch.setCheckable(True)
        self.switch.setAccessibleName("Filter by status, family and part")
        self.switch.setToolTip("Show by status, by family or by part")
        self.clear_button.setText("Show all")
        self.clear_button.setObjectName("quiet")
        self.clear_button.setAccessibleName("Show all findings again")
        head = QHBoxLayout()
        head.setSpacing(8)
        heading = QLabel("Findings")
        heading.setObjectName("heading")
        head.addWidget(heading)
        head.addWidget(self.search, 1)
        head.addWidget(self.switch)
        row = QHBoxLayout(self.row)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(5)
        for box in self.boxes.values():
            row.addWidget(box, 1)
        for status, words in HEADINGS.items():
            self.boxes["status"].addItem(words, status)
        foot = QHBoxLayout(self.foot)
        foot.setContentsMargins(0, 0, 0, 0)
        foot.addWidget(self.told, 1)
        foot.addWidget(self.clear_button)
        grid = QGridLayout(self)
        grid.setContentsMargins(10, 4, 8, 4)
        grid.setVerticalSpacing(4)
        grid.addLayout(head, 0, 0)
        grid.addWidget(self.row, 1, 0)
        grid.addWidget(self.foot, 2, 0)
        self.row.hide()
        self.foot.hide()

    @property
    def sift(self) -> Sift:
        """What is asked for."""
        chosen = {name: str(box.currentData() or "") for name, box in self.boxes.items()}
        return Sift(text=self.search.text().strip(), **chosen)

    def offer(self, findings: Iterable[Finding], labels: Mapping[str, str]) -> None:
        """Offer the families and parts there are findings of; what is chosen stays on offer."""
        found = list(findings)
        families = dict.fromkeys(f.family for f in found)
        parts = {key: labels.get(key, key) for f in found for key in f.parts}
        self._fill("family", {name: name for name in families})
        self._fill("part", dict(sorted(parts.items(), key=lambda row: row[1])))

    def _fill(self, name: str, options: Mapping[str, str]) -> None:
        box = self.boxes[name]
        chosen = str(box.currentData() or "")
        rows = {"": ANY[name], **options}
        if chosen and chosen not in rows:
            rows[chosen] = box.currentText()
        if {box.itemData(k): box.itemText(k) for k in range(box.count())} == rows:
            return
        box.blockSignals(True)
        box.clear()
        for key, words in rows.items():
            box.addItem(words, key)
        box.setCurrentIndex(list(rows).index(chosen))
        box.blockSignals(False)

    def tell(self, shown: int, of: int, astray: bool) -> None:
        """Tell how many of how many are shown; ``astray`` when the chosen finding is not among them."""
        sift = self.sift
        self.foot.setVisible(sift.active)
        if not sift.active:
            return
        named = [box.currentText() for box in self.boxes.values() if box.currentData()]
        if sift.text:
            named.append(f"“{sift.text}”")
        rest = ". The chosen one is not among them" if astray else ""
        put(self.told, f"{shown} of {of} shown: {', '.join(named)}{rest}")
        self.told.setToolTip(self.told.text())

    def clear(self) -> None:
        """Ask for everything again."""
        for box in self.boxes.values():
            box.setCurrentIndex(0)
        self.search.clear()
        self._ask()

    def _ask(self) -> None:
        self.asked.emit(self.sift)

    def _open(self, on: bool) -> None:
        self.row.setVisible(on)
        if on:
            self.boxes["status"].setFocus(Qt.FocusReason.ShortcutFocusReason)

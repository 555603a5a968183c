"""The card that explains the chosen finding: what was measured, the formula, the source, what would help."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from desk.checks.finding import Finding, Flag, Remedy
from desk.design import edit, table
from desk.ui.document import Document, Evaluated
from desk.ui.legend import Legend
from desk.ui.surface import PathStore, QtSurface
from desk.units import format_value
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport
from desk.views.wording import BEING_CHECKED, amount

FLAG_WORDS: dict[Flag, str] = {
    "published": "published",
    "practice": "common practice",
    "memory": "from memory, unconfirmed",
    "derived": "worked out here",
    "choice": "the project's own choice",
    "own": "your own value",
}
INVITATION = (
    "Choose a flag in a view or a line in the list of findings. This card then tells what was measured, "
    "what is needed, how it was worked out and what would help."
)


class Badge(QWidget):
    """A status shape with a number."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.status, self.number = "clear", ""
        self.faint = False
        self.setFixedSize(34, 22)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the shape."""
        painter = QPainter(self)
        surface = QtSurface(painter, Viewport(), PathStore(), self.theme.colour("panel"))
        badge(surface, (2.0, 3.0, 28.0, 19.0), self.status, self.number, self.theme, faint=self.faint)
        painter.end()


class RemedyRow(QWidget):
    """One remedy in words, with a button where it names a value."""

    def __init__(self, apply: Callable[[Remedy], None], show: Callable[[str], None]) -> None:
        super().__init__()
        self._remedy: Remedy | None = None
        self.name = _label("quiet")
        self.text = _label()
        self.button = QPushButton()
        self.show_button = QPushButton("Show")
        self.button.clicked.connect(lambda: self._remedy and apply(self._remedy))
        self.show_button.clicked.connect(lambda: self._remedy and show(self._remedy.address))
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 2, 0, 6)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(2)
        grid.addWidget(self.name, 0, 0)
        grid.addWidget(self.text, 1, 0)
        grid.addWidget(self.show_button, 0, 1, 2, 1, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.button, 2, 0, 1, 2, Qt.AlignmentFlag.AlignLeft)
        grid.setColumnStretch(0, 1)
        grid.setRowStretch(3, 1)

    def set(self, remedy: Remedy, document: Document) -> None:
        """Show this remedy."""
        self._remedy = remedy
        _put(self.text, remedy.text)
        title = document.title_of(remedy.address)
        _put(self.name, title)
        self.show_button.setVisible(bool(title))
        self.show_button.setAccessibleName(f"Show {title.lower()} in the list of dimensions")
        settable = document.is_number(remedy.address) and remedy.value is not None
        self.button.setVisible(settable)
        if settable and remedy.value is not None:
            spec = table.spec(remedy.address)
            value = format_value(round(remedy.value, 3), spec.unit, document.unit(), named=True)
            self.button.setText(f"Apply {value}")
            self.button.setAccessibleName(f"Set {spec.title.lower()} to {value}")
            locked = document.locked(remedy.address)
            self.button.setEnabled(not locked)
            self.button.setToolTip(
                f"{spec.title} is locked" if locked else f"Set {spec.title.lower()} to {value}"
            )


class NoteCard(QFrame):
    """The card. It follows the chosen finding while the design changes."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("margin")
        self._document = document
        self._shown: Finding | None = None
        self.badge = Badge(theme)
        self.title = _label("heading")
        self.status = _label("quiet")
        self.numbers = QGridLayout()
        self.captions: dict[str, QLabel] = {}
        self.values = {name: _label() for name in ("Measured", "Needed", "Margin")}
        self.formula = _label("formula")
        self.source = _label("quiet")
        self.parts = _label("quiet")
        self.remedies_title = _label("strong")
        self.rows: list[RemedyRow] = []
        self._remedies = QVBoxLayout()
        self._body = QWidget()
        self._body.setObjectName("card")
        self.legend = Legend(document, theme)
        self._invitation = _label("quiet")
        self._invitation.setText(INVITATION)
        self._build()
        document.evaluated.connect(self._follow)
        document.chosen.connect(lambda _key: self._follow())
        self._follow()

    def _build(self) -> None:
        body = QVBoxLayout(self._body)
        body.setContentsMargins(10, 8, 10, 10)
        body.setSpacing(6)
        top = QHBoxLayout()
        top.addWidget(self.badge, 0, Qt.AlignmentFlag.AlignTop)
        top.addWidget(self.title, 1)
        body.addWidget(self._invitation)
        body.addSpacing(4)
        body.addWidget(self.legend)
        body.addLayout(top)
        body.addWidget(self.status)
        for k, (name, label) in enumerate(self.values.items()):
            caption = QLabel(name)
            caption.setObjectName("quiet")
            self.captions[name] = caption
            self.numbers.addWidget(caption, k, 0)
            self.numbers.addWidget(label, k, 1)
        self.numbers.setColumnStretch(1, 1)
        self.numbers.setHorizontalSpacing(12)
        self.numbers.setVerticalSpacing(1)
        body.addLayout(self.numbers)
        body.addWidget(self.formula)
        body.addWidget(self.remedies_title)
        body.addLayout(self._remedies)
        body.addWidget(self.parts)
        body.addWidget(self.source)
        body.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(self._body)
        area.setAccessibleName("Explanation of the chosen finding")
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.addWidget(area)

    def sizeHint(self) -> QSize:
        """A column's width."""
        return QSize(280, 300)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self.badge.theme = theme
        self.badge.update()
        self.legend.set_theme(theme)

    def _follow(self, _evaluation: Evaluated | None = None) -> None:
        if not self._document.finding and self._shown is None and _evaluation is not None:
            return
        finding = self._document.finding_of(self._document.finding)
        if finding == self._shown and finding is not None and _evaluation is None:
            return
        self._shown = finding
        self._invitation.setVisible(finding is None)
        self.legend.setVisible(finding is None)
        for widget in self._body.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly):
            if widget not in (self._invitation, self.legend) and finding is None:
                widget.hide()
        if finding is not None:
            self._fill(finding)

    def _fill(self, finding: Finding) -> None:
        unit = self._document.unit()
        self.badge.status, self.badge.number = finding.status, self._document.flag_number(finding.key)
        self.badge.faint = self._document.waits(finding)
        self.badge.update()
        self.badge.show()
        _put(self.title, finding.title)
        waits = self._document.waits(finding)
        status = BEING_CHECKED if waits else finding.status
        _put(self.status, f"{status.capitalize()} · {finding.family}")
        margin = None if waits else finding.margin
        given = {"Measured": None if waits else finding.measured, "Needed": finding.needed, "Margin": margin}
        for name, value in given.items():
            text = "" if value is None else amount(value, finding.unit, unit, signed=name == "Margin")
            _put(self.values[name], text)
            self.captions[name].setVisible(bool(text))
        _put(self.formula, "…" if waits else finding.because)
        _put(self.parts, f"Parts: {', '.join(finding.parts)}" if finding.parts else "")
        source = finding.source
        _put(self.source, f"Source: {source.text} ({FLAG_WORDS[source.flag]})")
        _put(self.remedies_title, "What would help" if finding.remedies else "")
        while len(self.rows) < len(finding.remedies):
            row = RemedyRow(self._apply, self._document.point_at)
            self.rows.append(row)
            self._remedies.addWidget(row)
        for k, row in enumerate(self.rows):
            row.setVisible(k < len(finding.remedies))
            if k < len(finding.remedies):
                row.set(finding.remedies[k], self._document)

    def _apply(self, remedy: Remedy) -> None:
        value = remedy.value
        if value is not None:
            title = table.spec(remedy.address).title.lower()
            self._document.change(f"Set {title}", lambda design: edit.put(design, remedy.address, value))
            self._document.point_at(remedy.address)


def _label(name: str = "") -> QLabel:
    made = QLabel()
    made.setObjectName(name)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(True)
    made.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    made.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
    return made


def _put(label: QLabel, text: str) -> None:
    """Set a label's text only when it differs, and hide it when empty."""
    if label.text() != text:
        label.setText(text)
    label.setVisible(bool(text))

"""The strip across the top of the window: the design's name, how many findings of each kind, the main commands."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QAction, QKeySequence, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSizePolicy,
    QStyle,
    QStyleOptionFrame,
    QStylePainter,
    QToolButton,
    QWidget,
)

from desk.checks.finding import Finding
from desk.design import edit
from desk.ui.document import Document, Evaluated
from desk.ui.surface import PathStore, QtSurface, metrics
from desk.units import UNITS
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport
from desk.views.wording import counts

CHECKING = "Checking the joints\nand the cutting …"
CHECKING_SHORT, CHECKING_TIGHT = "Checking …", "…"
NARROW = 1500
"""A strip narrower than this, px, has room for the short words only."""
CHECKING_ALL = (
    "The way of the largest ball has been checked. The joints, the cutting and the smaller balls follow; until then "
    "they count, faintly, as they were."
)
PAGES = {"drawings": "Drawings", "shop": "Shop"}
BUTTONS = {
    "play": ("Play", "Play"),
    "undo": ("Undo", "Undo"),
    "redo": ("Redo", "Redo"),
    "picture": ("Sharing picture", "Picture"),
    "export": ("Export flat parts", "Export"),
}
"""Commands with a button in the strip: its words, and those it has where there is little room."""
CRAMPED = 1400
"""A strip narrower than this, px, has room for the buttons' short words only."""
TIGHTEST = 1180
"""A strip narrower than this, px, has room for the bare counts only."""
WORDS = {"conflict": "in conflict", "tight": "tight", "clear": "clear"}


class CountButton(QAbstractButton):
    """How many findings there are of one status; a press goes to the next of them."""

    def __init__(self, status: str, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.status = status
        self.number, self.waiting, self._short = 0, 0, False
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.set_number(0)

    def set_number(self, number: int, waiting: int = 0) -> None:
        """Show another count; faint while so many of it are ``waiting`` to be checked again."""
        self.number, self.waiting = number, waiting
        words = f"{number} {WORDS[self.status]}"
        self.setAccessibleName(f"{words}, {waiting} of them being checked" if waiting else words)
        self.setText(f"{number}" if self._short else words)
        self.setToolTip(f"Go to the next finding {WORDS[self.status]}" if number else "")
        self.updateGeometry()
        self.update()

    def shorten(self, short: bool) -> None:
        """Leave the words out, or not."""
        if short != self._short:
            self._short = short
            self.set_number(self.number, self.waiting)

    def sizeHint(self) -> QSize:
        """Badge and words."""
        width = metrics(self.theme.text("note")).horizontalAdvance(self.text())
        return QSize(round(width) + 44, 26)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint badge and words."""
        painter = QPainter(self)
        surface = QtSurface(painter, Viewport(), PathStore(), self.theme.colour("window"))
        middle = self.height() / 2
        faint = bool(self.waiting)
        badge(surface, (6.0, middle - 6, 24.0, middle + 6), self.status, "", self.theme, faint=faint)
        letters = self.theme.text("note")
        if faint:
            letters = replace(letters, colour=self.theme.colour("faint_ink"))
        surface.text((30.0, 0.0, self.width() - 6.0, float(self.height())), self.text(), letters, left=True)
        if self.hasFocus():
            surface.box((1.0, 1.0, self.width() - 1.0, self.height() - 1.0), self.theme.stroke("focus"))
        painter.end()


class NameLine(QLineEdit):
    """A line as wide as its text, where there is room; else the text ends with an ellipsis until it is edited."""

    def __init__(self) -> None:
        super().__init__()
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.textChanged.connect(lambda _text: self.updateGeometry())
        self.textChanged.connect(self.setToolTip)

    def sizeHint(self) -> QSize:
        """Room for the whole text and the cursor."""
        self.ensurePolished()
        usual = super().sizeHint()
        return QSize(
            max(self.minimumWidth(), self.fontMetrics().horizontalAdvance(self.text()) + 24), usual.height()
        )

    def minimumSizeHint(self) -> QSize:
        """The name gives way first."""
        return QSize(self.minimumWidth(), super().minimumSizeHint().height())

    def shown(self) -> str:
        """What is painted of the text."""
        room = self._room().width()
        return self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room)

    def _room(self) -> QRect:
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        lies = self.style().subElementRect(QStyle.SubElement.SE_LineEditContents, option, self)
        return lies.adjusted(2, 0, -2, 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the line; what is too long ends with an ellipsis."""
        if self.hasFocus() or self.shown() == self.text():
            super().paintEvent(event)
            return
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        painter = QStylePainter(self)
        painter.drawPrimitive(QStyle.PrimitiveElement.PE_PanelLineEdit, option)
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(self._room(), Qt.AlignmentFlag.AlignVCenter, self.shown())
        painter.end()


class Strip(QWidget):
    """Name, counts, unit switch, commands."""

    asked_next = Signal(str)

    def __init__(self, document: Document, theme: Theme, actions: dict[str, QAction]) -> None:
        super().__init__()
        self.setObjectName("strip")
        self._document = document
        self.name = NameLine()
        self.name.setObjectName("name")
        self.name.setAccessibleName("Name of the design")
        self.name.setMaxLength(200)
        self.name.setMinimumWidth(100)
        self.name.editingFinished.connect(self._rename)
        self.counts = {status: CountButton(status, theme) for status in WORDS}
        for status, button in self.counts.items():
            button.clicked.connect(lambda _on=False, s=status: self.asked_next.emit(s))
        self.checking = _checking()
        self.pages = {key: QToolButton() for key in PAGES}
        self.units = {unit: QToolButton() for unit in UNITS}
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 3, 8, 3)
        row.setSpacing(6)
        row.addWidget(self.name)
        row.addSpacing(6)
        for button in self.counts.values():
            row.addWidget(button)
        row.addWidget(self.checking)
        row.addStretch(1)
        self._add_pages(row, actions)
        row.addSpacing(8)
        self._add_units(row)
        row.addSpacing(6)
        self.buttons = {key: _button(actions[key], BUTTONS[key][0], key == "export") for key in BUTTONS}
        for command in self.buttons.values():
            row.addWidget(command)
        document.designed.connect(self._show_design)
        document.evaluated.connect(self._show)
        self._show_design()

    def _add_pages(self, row: QHBoxLayout, actions: dict[str, QAction]) -> None:
        for key, button in self.pages.items():
            action = actions[key]
            button.setText(PAGES[key])
            button.setObjectName("tab")
            button.setCheckable(True)
            button.setAccessibleName(f"Show the {PAGES[key].lower()}")
            keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            button.setToolTip(f"{button.accessibleName()}  {keys}".strip())
            button.clicked.connect(lambda _on=False, act=action: act.trigger())
            action.changed.connect(lambda b=button, act=action: b.setChecked(act.isChecked()))
            row.addWidget(button)

    def _add_units(self, row: QHBoxLayout) -> None:
        group = QButtonGroup(self)
        for unit, button in self.units.items():
            button.setText(unit)
            button.setObjectName("tab")
            button.setCheckable(True)
            button.setAccessibleName(f"Lengths in {'inches' if unit == 'in' else 'millimetres'}")
            button.setToolTip(button.accessibleName())
            label = f"Show lengths in {unit}"
            button.clicked.connect(
                lambda _on, u=unit, words=label: self._document.change(words, lambda d: edit.set_unit(d, u))
            )
            group.addButton(button)
            row.addWidget(button)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say it shorter where there is less room."""
        super().resizeEvent(event)
        short = CHECKING_TIGHT if self.width() < TIGHTEST else CHECKING_SHORT
        self.checking.setText(short if self.width() < NARROW else CHECKING)
        for count in self.counts.values():
            count.shorten(self.width() < TIGHTEST)
        for key, button in self.buttons.items():
            button.setProperty("words", BUTTONS[key][self.width() < CRAMPED])
            button.setText(button.property("words"))

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        for button in self.counts.values():
            button.theme = theme
            button.update()

    def _show(self, evaluation: Evaluated) -> None:
        self.checking.setVisible(bool(evaluation.pending))
        late = counts(f for f in evaluation.findings if f.check in evaluation.pending)
        for status, number in counts(evaluation.findings).items():
            button = self.counts[status]
            if (button.number, button.waiting) != (number, late[status]):
                button.set_number(number, late[status])

    def _show_design(self) -> None:
        design = self._document.design
        if not self.name.hasFocus() and self.name.text() != design.name:
            self.name.setText(design.name)
            self.name.setCursorPosition(0)
        if not self.units[design.unit].isChecked():
            self.units[design.unit].setChecked(True)

    def _rename(self) -> None:
        name = self.name.text().strip()
        if not name or not self._document.change("Rename", lambda d: edit.rename(d, name)):
            self.name.setText(self._document.design.name)


def next_finding(findings: tuple[Finding, ...], after: str, status: str, step: int = 1) -> str:
    """The key of the finding after (or before) one, of one status or of those not clear; "" when there is none."""
    wanted = [f for f in findings if _goes_to(f, status) or f.key == after]
    keys = [f.key for f in wanted]
    if after not in keys:
        return keys[0 if step > 0 else -1] if keys else ""
    return keys[(keys.index(after) + step) % len(keys)]


def _goes_to(finding: Finding, status: str) -> bool:
    """Whether one is led to a finding: what is muted is passed over."""
    return not finding.muted and (finding.status == status if status else finding.status != "clear")


def _checking() -> QLabel:
    made = QLabel(CHECKING)
    made.setObjectName("quiet")
    made.setToolTip(CHECKING_ALL)
    made.setAccessibleName(CHECKING.replace("\n", " "))
    kept = made.sizePolicy()
    kept.setRetainSizeWhenHidden(True)
    made.setSizePolicy(kept)
    made.hide()
    return made


def _button(action: QAction, words: str, main: bool) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(action)
    button.setText(words)
    button.setProperty("words", words)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
    button.setAccessibleName(words)
    button.setObjectName("main" if main else "")
    action.changed.connect(lambda: button.setText(button.property("words")))
    return button

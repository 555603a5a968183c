"""A line to type a number in: any unit or fraction, decimal comma or point, whatever the locale.

The text is read by desk.units alone. No locale takes part, so ``18,5`` and ``18.5`` are the same everywhere and
nothing is ever taken for a group separator.
"""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QValidator
from PySide6.QtWidgets import QLineEdit, QWidget

from desk.design import rules, table
from desk.units import Unit, UnitError, parse_value
from desk.views.wording import with_minus


class _Judge(QValidator):
    """Lets every key in; the text is acceptable once it says a value that may stand at the address."""

    def __init__(self, line: ValueEdit) -> None:
        super().__init__(line)
        self._line = line

    def validate(self, text: str, at: int) -> tuple[QValidator.State, str, int]:
        """Whether the text could be entered now."""
        wrong = self._line.fault(text)
        return QValidator.State.Intermediate if wrong else QValidator.State.Acceptable, text, at


class ValueEdit(QLineEdit):
    """Emits ``entered`` with the text on Enter and ``dropped`` on Escape or when the focus goes elsewhere."""

    entered = Signal(str)
    dropped = Signal()
    faulted = Signal(str)
    """Why what is typed cannot be entered, as soon as it cannot; "" once it can; when left, what is kept."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec: table.Spec | None = None
        self._unit: Unit = "mm"
        self._kept, self._typed = "", False
        self.setMaxLength(40)
        self.setValidator(_Judge(self))
        self.textEdited.connect(self._judge)

    def begin(self, text: str, address: str, unit: Unit) -> None:
        """Show the text of the number at an address, all of it selected."""
        self._spec, self._unit = table.spec(address), unit
        self.setAccessibleName(self._spec.title)
        self._kept, self._typed = text, False
        self.setText(text)
        self.selectAll()
        self.say("")

    def fault(self, text: str) -> str:
        """Why the text cannot be entered, or ""."""
        if self._spec is None:
            return ""
        try:
            value = parse_value(text, self._spec.unit, self._unit)
        except UnitError as error:
            return str(error)
        return rules.number_fault(self._spec, value, self._unit) or ""

    def say(self, fault: str) -> None:
        """Mark the line as wrong and say why; "" clears it."""
        if self.property("wrong") != bool(fault):
            self.setProperty("wrong", bool(fault))
            self.style().unpolish(self)
            self.style().polish(self)
        self.setToolTip(fault)
        self.setAccessibleDescription(fault)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Escape end the typing."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit(self.text())
        elif event.key() == Qt.Key.Key_Escape:
            self.give_up()
            self.dropped.emit()
        else:
            super().keyPressEvent(event)

    def give_up(self) -> None:
        """The person wants nothing of what was typed: leaving the line is then no matter for words."""
        if self._typed:
            self.faulted.emit("")
        self._typed = False

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Leaving the line gives up what was typed, unless a menu or another window took the focus."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason):
            fault = self.fault(self.text()) if self._typed else ""
            self._typed = False
            if fault:
                self.faulted.emit(f"{told(fault)} {with_minus(self._kept)} is kept.")
            self.dropped.emit()

    def _judge(self) -> None:
        self._typed = True
        fault = self.fault(self.text()) if self.text().strip() else ""
        if fault or self.property("wrong"):
            self.faulted.emit(told(fault))
        self.say(fault)


def told(fault: str) -> str:
    """What is wrong as a sentence."""
    return f"{fault[:1].upper()}{fault[1:].rstrip('.')}." if fault else ""

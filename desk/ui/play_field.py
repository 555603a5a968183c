"""A line for one number of the throw: typed with or without its unit, stepped with the arrow keys and the wheel."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QLineEdit

from desk.units import Quantity, UnitError, format_value, parse_value
from desk.views.wording import with_minus


class PlayField(QLineEdit):
    """Emits ``entered`` with the number once it may stand, ``refused`` with why it may not."""

    entered = Signal(float)
    refused = Signal(str)
    """What is wrong with a text that was to be taken; "" once that is over."""

    def __init__(
        self, name: str, quantity: Quantity, limits: tuple[float, float], step: float, places: int
    ) -> None:
        super().__init__()
        self._quantity, self._limits, self._step, self._places = quantity, limits, step, places
        self.value = limits[0]
        self.setAccessibleName(name)
        self.setMaxLength(20)
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setToolTip(f"{name}: {self._words(limits[0])} to {self._words(limits[1])}; arrow keys change it")
        self._usual = self.toolTip()
        self.textEdited.connect(lambda text: self._say(self._fault(text)))

    def show_value(self, value: float) -> None:
        """Show another number, unless one is being typed that cannot stand."""
        self.value = value
        if not (self.hasFocus() and self.isModified()):
            self._show()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes the text, Escape gives it up, arrows change the number."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.take()
        elif key == Qt.Key.Key_Escape and self.isModified():
            self._show()
            self.refused.emit("")
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            size = 10.0 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0
            self._by(size if key == Qt.Key.Key_Up else -size)
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With the focus here the wheel changes the number."""
        if self.hasFocus():
            self._by(1.0 if event.angleDelta().y() > 0 else -1.0)
            event.accept()
        else:
            event.ignore()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Leaving the line takes what was typed if it can stand, else gives it up."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason):
            if self.isModified() and (fault := self._fault(self.text())):
                self.refused.emit(f"{self._named(fault)}. {self._words(self.value)} is kept.")
            self.take(quietly=True)
            self._show()

    def take(self, quietly: bool = False) -> bool:
        """Take what has been typed; False, and the reason told unless ``quietly``, when it cannot stand."""
        if not self.isModified():
            return True
        fault = self._fault(self.text())
        self._say(fault)
        if not fault:
            self.refused.emit("")
            self._set(parse_value(self.text(), self._quantity, "mm"))
        elif not quietly:
            self.refused.emit(f"{self._named(fault)}.")
        return not fault

    def _by(self, steps: float) -> None:
        low, high = self._limits
        self._set(min(max(round(self.value + steps * self._step, 6), low), high))

    def _set(self, value: float) -> None:
        self.value = value
        self._show()
        self.entered.emit(value)

    def _show(self) -> None:
        self.setText(self._words(self.value))
        self.setModified(False)
        self._say("")

    def _named(self, fault: str) -> str:
        return f"{self.accessibleName().split(',')[0]}: {fault}"

    def _words(self, value: float) -> str:
        return with_minus(format_value(round(value, self._places), self._quantity, "mm", named=True))

    def _fault(self, text: str) -> str:
        """Why the text cannot stand, or ""."""
        try:
            value = parse_value(text, self._quantity, "mm")
        except UnitError as error:
            return str(error)
        low, high = self._limits
        return "" if low <= value <= high else f"{self._words(low)} to {self._words(high)} can be set"

    def _say(self, fault: str) -> None:
        if self.property("wrong") != bool(fault):
            self.setProperty("wrong", bool(fault))
            self.style().unpolish(self)
            self.style().polish(self)
        self.setToolTip(fault or self._usual)
        self.setAccessibleDescription(fault)

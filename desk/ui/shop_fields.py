"""Fields of the shop page: they stand there all the time, take what is typed when the person goes on, and lose nothing.

A field reads its text from the design and writes it back as one step of the history. What cannot be taken stays in the
field, marked, and the reason is told beside it; Escape gives it up. A field follows the design unless the person is in
the middle of something in it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QWheelEvent
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QWidget

from desk.design import edit, table
from desk.design.model import Design
from desk.shop.tables import OwnError
from desk.ui.document import Document
from desk.units import UnitError

INDENT = 10
"""Room for the bar beside what is wrong, px."""
MARGIN = 10
"""Height of a field beyond that of its letters, px; lines and lists are of one height."""
LONGEST = 1000
"""Characters that go into a field; many readings are long."""


@dataclass(frozen=True)
class Link:
    """What ties a field to the design. ``step`` is what undo calls a change."""

    read: Callable[[Design], str]
    write: Callable[[Design, str], Design]
    step: Callable[[], str]


def attempt(document: Document, step: str, make: Callable[[Design], Design]) -> str:
    """Apply an edit as one step; why it was refused, or ""."""
    try:
        design = make(document.design)
    except (edit.EditError, table.UnknownAddress, UnitError, OwnError) as error:
        return str(error)
    document.session.apply(step, design)
    document.settle()
    return ""


class Entry(QLineEdit):
    """A line that is always there. ``told`` gives the reason why its text cannot be taken, "" once it can."""

    told = Signal(str)

    def __init__(self, document: Document, link: Link) -> None:
        super().__init__()
        self._document, self._link = document, link
        self._shown = ""
        self.fault = ""
        self.setObjectName("cell")
        self.setFixedHeight(self.fontMetrics().height() + MARGIN)
        self.setMaxLength(LONGEST)
        self.textEdited.connect(lambda _text: self._say("") if self.fault else None)
        self.refresh()

    def sizeHint(self) -> QSize:
        """No wider than it must be; columns that may stretch do so."""
        return QSize(self.minimumWidth() or super().sizeHint().width(), super().sizeHint().height())

    @property
    def changed(self) -> bool:
        """Whether the field holds something that the design does not."""
        return self.text() != self._shown

    def refresh(self) -> None:
        """Follow the design, unless something is being typed or waits to be mended."""
        shown = self._link.read(self._document.design)
        holding = self.changed
        if shown == self._shown:
            return
        self._shown = shown
        if not holding:
            self.setText(shown)
            self.setCursorPosition(0)

    def take(self) -> bool:
        """Take what was typed, if anything was; False when it cannot be taken."""
        if not self.changed:
            self._say("")
            return True
        fault = attempt(self._document, self._link.step(), lambda d: self._link.write(d, self.text()))
        self._say(fault)
        if not fault:
            self._shown = self._link.read(self._document.design)
            self.setText(self._shown)
            self.setCursorPosition(0)
        return not fault

    def give_up(self) -> None:
        """Put the design's text back."""
        self.setText(self._shown)
        self._say("")

    def _say(self, fault: str) -> None:
        if fault == self.fault:
            return
        self.fault = fault
        self.setProperty("wrong", bool(fault))
        self.style().unpolish(self)
        self.style().polish(self)
        self.setAccessibleDescription(fault)
        self.told.emit(fault)

    def event(self, event: QEvent) -> bool:
        """While nothing has been typed, undo and redo are the window's."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            wanted = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)
            if not self.changed and any(event.matches(keys) for keys in wanted):
                event.ignore()
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes, Escape gives up."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.take():
                self.selectAll()
        elif event.key() == Qt.Key.Key_Escape and (self.changed or self.fault):
            self.give_up()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Going on takes what was typed."""
        super().focusOutEvent(event)
        passing = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
        if event.reason() not in passing:
            self.take()
            self.deselect()


class Pick(QComboBox):
    """A list of options that is always there; the options are made anew when the design offers others."""

    told = Signal(str)

    def __init__(
        self, document: Document, link: Link, options: Callable[[Design], tuple[tuple[str, str], ...]]
    ) -> None:
        super().__init__()
        self._document, self._link, self._options = document, link, options
        self._offered: tuple[tuple[str, str], ...] = ()
        self.setObjectName("cell")
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(4)
        self.setFixedHeight(self.fontMetrics().height() + MARGIN)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.activated.connect(self._picked)
        self.refresh()

    def refresh(self) -> None:
        """Follow the design."""
        options = self._options(self._document.design)
        if options != self._offered:
            self._offered = options
            self.clear()
            for key, words in options:
                self.addItem(words, key)
        at = self.findData(self._link.read(self._document.design))
        if at != self.currentIndex():
            self.setCurrentIndex(at)
        self.setToolTip(self.currentText())

    def _picked(self, at: int) -> None:
        key = self.itemData(at)
        fault = attempt(self._document, self._link.step(), lambda d: self._link.write(d, str(key)))
        self.told.emit(fault)
        self.refresh()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel scrolls the page; it changes nothing in passing."""
        event.ignore()


Field = Entry | Pick


class Note(QLabel):
    """A quiet line under a field or a row, which tells what is wrong while something is."""

    def __init__(self, quiet: str = "", always: bool = False) -> None:
        """``always`` keeps its place while there is nothing to tell."""
        super().__init__()
        self._always = always
        self._quiet, self._fault = "", ""
        self.setObjectName("quiet")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self._quiet = quiet
        self.setText(quiet)
        if not quiet and not always:
            self.hide()  # showing it before it is in a window would make a window of it

    def say(self, quiet: str) -> None:
        """What is told while nothing is wrong."""
        self._quiet = quiet
        self._show()

    def warn(self, fault: str) -> None:
        """What is wrong; "" for nothing."""
        self._fault = fault
        self.setIndent(INDENT if fault else 0)
        if self.property("wrong") != bool(fault):
            self.setProperty("wrong", bool(fault))
            self.style().unpolish(self)
            self.style().polish(self)
        self._show()

    def _show(self) -> None:
        text = self._fault or self._quiet
        if text != self.text():
            self.setText(text)
        if not self._always:
            self.setVisible(bool(text))


def chain(widgets: list[QWidget]) -> None:
    """Have Tab go through these in this order."""
    for before, after in pairwise(widgets):
        QWidget.setTabOrder(before, after)

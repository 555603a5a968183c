"""Muting in the card: a button, a line for the reason in its place, and what is said once it is muted.

Every change is one step of the document's history. What always counts has its button disabled, and says why.
"""

from __future__ import annotations

from enum import Enum
from typing import Literal

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from desk.checks.finding import Finding
from desk.design import edit
from desk.design.model import Design
from desk.design.refusals import EditError
from desk.design.rules_shop import LONGEST_REASON
from desk.shop.safety import never_muted
from desk.ui.announce import announce
from desk.ui.document import Document
from desk.ui.labels import label, put
from desk.views.wording import title_words

ALWAYS = "This caution protects children: it always counts and cannot be muted."
ASKED = "Why does this not count? The reason is kept in the file and told in every output."
OFFERED = "Leave it out of the counts, for a reason"
WAITS = "Being checked; it can be muted as soon as it is known."


class State(Enum):
    """What can be done about a finding."""

    NOTHING = "nothing"
    OFFER = "offer"
    NEVER = "never"
    MUTED = "muted"
    IDLE = "idle"
    """There is a mute for it, and nothing to mute."""
    GROWN = "grown"
    """It has grown since it was muted, and counts again."""


TOLD = {
    State.MUTED: "Muted",
    State.IDLE: "A mute is kept for it",
    State.GROWN: "It has grown since it was muted, and counts again",
}
BACK = {
    State.MUTED: "Let it count again",
    State.IDLE: "Take the mute out",
    State.GROWN: "Take the mute out",
}


class ReasonLine(QLineEdit):
    """The line for the reason; Escape gives it up."""

    dropped = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give up on Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.dropped.emit()
            event.accept()
        else:
            super().keyPressEvent(event)


class MuteBox(QWidget):
    """Everything about muting below the heading of the card. ``button`` stands beside the heading and opens it."""

    grown = Signal()
    """The line for the reason was opened."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self._key = ""
        self.state = State.NOTHING
        self.button = QPushButton("Mute …")
        self.button.setObjectName("quiet")
        self.said = label()
        self.said.setObjectName("formula")
        self.hint = label("quiet")
        self.line = ReasonLine()
        self.line.setPlaceholderText("Reason")
        self.line.setAccessibleName("Reason for muting")
        self.line.setMaxLength(LONGEST_REASON)
        self.fault = label("quiet")
        self.fault.setProperty("wrong", True)
        self.confirm, self.cancel, self.back = QPushButton("Mute"), QPushButton("Cancel"), QPushButton()
        self.form = QWidget()
        self._build()
        self._wire()

    def _build(self) -> None:
        form = QVBoxLayout(self.form)
        form.setContentsMargins(0, 0, 0, 0)
        form.setSpacing(4)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.cancel)
        row.addWidget(self.confirm)
        for widget in (self.line, self.fault):
            form.addWidget(widget)
        form.addLayout(row)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(5)
        column.addWidget(self.said)
        column.addWidget(self.hint)
        column.addWidget(self.form)
        column.addWidget(self.back, 0, Qt.AlignmentFlag.AlignLeft)
        self.form.hide()

    def _wire(self) -> None:
        self.button.clicked.connect(self._open)
        self.confirm.clicked.connect(self._mute)
        self.line.returnPressed.connect(self._mute)
        self.line.textEdited.connect(lambda _text: put(self.fault, ""))
        self.line.dropped.connect(self._give_up)
        self.cancel.clicked.connect(self._give_up)
        self.back.clicked.connect(self._unmute)

    def show_for(self, key: str, finding: Finding | None) -> None:
        """Follow the chosen key and its finding, which may be gone while a mute for it is kept."""
        if key != self._key:
            self.form.hide()
            self.line.clear()
        self._key = key
        self.state = state = self._state_of(finding)
        if state not in (State.OFFER, State.GROWN):
            self.form.hide()
        typing = not self.form.isHidden()
        waits = finding is not None and self._document.waits(finding)
        self.button.setVisible(state in (State.OFFER, State.GROWN, State.NEVER) and not typing)
        self.button.setEnabled(state in (State.OFFER, State.GROWN) and not waits)
        self.button.setToolTip(ALWAYS if state is State.NEVER else WAITS if waits else OFFERED)
        told = TOLD.get(state, "")
        put(self.said, f"{told}: {self._document.mute_of(key)}" if told else "")
        put(self.hint, ALWAYS if state is State.NEVER else ASKED if typing else "")
        words = BACK.get(state, "")
        self.back.setText(words)
        self.back.setVisible(bool(words))
        put(self.fault, self.fault.text() if typing else "")
        self.setVisible(bool(words) or typing or state is State.NEVER)

    def _state_of(self, finding: Finding | None) -> State:
        if finding is not None and finding.muted:
            return State.MUTED
        muted = bool(self._document.mute_of(self._key))
        if finding is None or finding.status == "clear":
            return State.IDLE if muted else State.NOTHING
        if muted:
            return State.GROWN
        return State.NEVER if finding.check in never_muted() else State.OFFER

    def _open(self) -> None:
        self.form.show()
        self.show_for(self._key, self._document.finding_of(self._key))
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.grown.emit()

    def _give_up(self) -> None:
        self.form.hide()
        self.line.clear()
        self.show_for(self._key, self._document.finding_of(self._key))
        self.button.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _mute(self) -> None:
        key, reason = self._key, self.line.text()
        finding = self._document.finding_of(key)
        status: Literal["tight", "conflict"] = (
            "tight" if finding is not None and finding.status == "tight" else "conflict"
        )
        places = len(finding.places) if finding is not None else 0

        def change(design: Design) -> Design:
            return edit.mute(design, key, reason, status, places)

        try:
            change(self._document.design)
        except EditError as error:
            fault = str(error)
            put(self.fault, fault[:1].upper() + fault[1:])
            announce(self.line, self.fault.text())
            self.line.setFocus()
            return
        title = title_words(finding, self._document.unit()) if finding is not None else key
        self.form.hide()
        self._document.change(f"Mute {title}", change)
        self.back.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _unmute(self) -> None:
        key = self._key
        finding = self._document.finding_of(key)
        title = title_words(finding, self._document.unit()) if finding is not None else key
        self._document.change(f"Unmute {title}", lambda design: edit.unmute(design, key))
        self.button.setFocus(Qt.FocusReason.ShortcutFocusReason)

"""Plain labels that wrap, and texts put on them only when they differ."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QSizePolicy


def label(name: str = "", wraps: bool = True) -> QLabel:
    """A label of plain text that can be selected; ``name`` is its style in the style sheet."""
    made = QLabel()
    made.setObjectName(name)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    if wraps:
        made.setWordWrap(True)
        made.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
    return made


def put(to: QLabel, text: str) -> None:
    """Set a label's text only when it differs, and hide it when empty."""
    if to.text() != text:
        to.setText(text)
    to.setVisible(bool(text))

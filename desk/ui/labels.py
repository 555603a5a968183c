"""Plain labels that wrap, and texts put on them only when they differ."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy

LEAST = 60
"""Least width of a label that is shortened, px."""


class OneLine(QLabel):
    """A line of plain text that ends with an ellipsis where there is no room for all of it."""

    def __init__(self) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def minimumSizeHint(self) -> QSize:
        """A few letters."""
        return QSize(LEAST, super().minimumSizeHint().height())

    def shown(self) -> str:
        """What is painted of the text."""
        width = self.contentsRect().width()
        return self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, width)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint frame and text."""
        QFrame.paintEvent(self, event)
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(self.contentsRect(), Qt.AlignmentFlag.AlignVCenter, self.shown())
        painter.end()


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

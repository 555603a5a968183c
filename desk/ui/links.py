"""A text that can be pressed: wrapped, underlined, in the accent's colour; by mouse, Enter and Space."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from desk.views.theme import Theme

_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


class Link(QAbstractButton):
    """One such text."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        self.update()

    def hasHeightForWidth(self) -> bool:
        """The text wraps."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Height of the wrapped text."""
        return self._box(width).height() + 2

    def sizeHint(self) -> QSize:
        """The text in one line."""
        return QSize(self.fontMetrics().horizontalAdvance(self.text()) + 2, self.heightForWidth(10_000))

    def _box(self, width: int) -> QRect:
        return self.fontMetrics().boundingRect(QRect(0, 0, max(width, 1), 10_000), _WRAP, self.text())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses it, as Space does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the text."""
        painter = QPainter(self)
        font = self.font()
        font.setUnderline(True)
        painter.setFont(font)
        painter.setPen(QColor(self._theme.colour("accent")))
        painter.drawText(self.rect().adjusted(0, 1, 0, 0), _WRAP, self.text())
        if self.hasFocus():
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

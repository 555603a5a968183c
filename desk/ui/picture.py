"""The sharing picture painted by Qt: the page of desk.views.sheet as an image.

Needs QtGui only (a QGuiApplication and no window), so the command line makes it too. The page is drawn twice as fine as
on the screen, so that it can be zoomed on a phone.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtGui import QColor, QImage, QPainter

from desk.ui.surface import PathStore, QtSurface, metrics
from desk.views.sheet import PAGE, Evaluated, paint_sheet
from desk.views.theme import Theme
from desk.views.viewport import Box, Viewport

FINENESS = 2.0


class _Paper:
    """A page on a painter; see desk.views.sheet.Paper."""

    def __init__(self, painter: QPainter, theme: Theme) -> None:
        self._painter, self._theme = painter, theme

    @contextmanager
    def area(self, box: Box, view: Viewport) -> Iterator[QtSurface]:
        """A surface whose px count from the corner of ``box``, for a drawing seen through ``view``."""
        self._painter.save()
        self._painter.translate(box[0], box[1])
        yield QtSurface(self._painter, view, PathStore(), self._theme.colour("sheet"))
        self._painter.restore()

    def measure(self, text: str, style: str) -> tuple[float, float]:
        """Width and height of a line of text, px."""
        size = metrics(self._theme.text(style))
        return size.horizontalAdvance(text), size.height()


def render_picture(evaluation: Evaluated, theme: Theme) -> QImage:
    """The picture of an evaluated design. Needs a QGuiApplication; ``theme("print")`` gives white paper."""
    width, height = PAGE
    image = QImage(round(width * FINENESS), round(height * FINENESS), QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(FINENESS)
    image.fill(QColor(theme.colour("sheet")))
    painter = QPainter(image)
    paint_sheet(_Paper(painter, theme), evaluation, theme)
    painter.end()
    return image

"""The small drawing in the card. While a hand pulls it shows the wood of the last pause, faint, and no lengths.

It is painted by the same layout and painter as the views. A click, or Enter, takes the views to the place.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from desk.ui.scalebar import scale_bar
from desk.ui.surface import PathStore, QtSurface, metrics
from desk.units import Unit
from desk.views.bars import SHAPE
from desk.views.draw import draw
from desk.views.drawing import Disc, Drawing, Path, Text
from desk.views.layout import Layout, Look, Plot
from desk.views.theme import Theme
from desk.views.viewport import Viewport, fit_scale, placed
from desk.views.wording import BEING_CHECKED, dimension_words

FOOT = 20
"""Height of the line under the drawing that tells what it is, px."""
TALLEST = 280
"""Greatest height of the drawing, px."""
RULER = 46.0
"""Length aimed at for the ruler, px."""
FAINT = 0.35
"""Opacity of a drawing that is of an earlier design."""


class DetailView(QWidget):
    """Shows one drawing. ``asked`` is emitted when the person wants to see the place in the views."""

    asked = Signal()

    def __init__(self, theme: Theme, unit: Callable[[], Unit]) -> None:
        super().__init__()
        self.drawing: Drawing | None = None
        self.stale = False
        """Whether the drawing is of an earlier design."""
        self.plots: tuple[Plot, ...] = ()
        self._theme, self._unit = theme, unit
        self._view = Viewport()
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def hasHeightForWidth(self) -> bool:
        """The drawing keeps its shape."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Height of drawing and foot."""
        return min(round(width / SHAPE), TALLEST) + FOOT

    def sizeHint(self) -> QSize:
        """As wide as a narrow card."""
        return QSize(250, self.heightForWidth(250))

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        self._lay_out()

    def show_drawing(self, drawing: Drawing | None) -> None:
        """Show this drawing, which is of the design now; nothing for None."""
        changed = drawing != self.drawing
        self.drawing = drawing
        self.setVisible(drawing is not None)
        if drawing is not None and (changed or self.stale):
            told = [i.text for i in drawing.items if isinstance(i, Text) and i.style == "length"]
            self.setAccessibleName(f"Small drawing: {', '.join([drawing.title, *told])}")
            self.setToolTip(f"{drawing.title}. Click to go to the place in the views")
            self.stale = False
            self._lay_out()

    def set_stale(self) -> None:
        """The design has changed since; a new drawing follows."""
        if not self.stale and self.drawing is not None:
            self.stale = True
            self.setAccessibleName(f"Small drawing: {BEING_CHECKED}")
            self.update()

    def _lay_out(self) -> None:
        if self.drawing is None:
            return
        size = (float(self.width()), float(self.height() - FOOT))
        box = self.drawing.extent
        self._view = placed(box, fit_scale(box, *size, 0.0), *size)
        layout = Layout(self._measure, lambda item, pointed: dimension_words(item, self._unit(), pointed))
        self.plots = layout.plots(self.drawing, self._view, size, Look())
        self.update()

    def _measure(self, text: str, style: str) -> tuple[float, float]:
        size = metrics(self._theme.text(style))
        return size.horizontalAdvance(text), size.height()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out anew."""
        super().resizeEvent(event)
        self._lay_out()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the drawing and its foot."""
        theme = self._theme
        painter = QPainter(self)
        wide, high = self.width(), self.height() - FOOT
        painter.fillRect(self.rect(), QColor(theme.colour("panel")))
        painter.fillRect(0, 0, wide, high, QColor(theme.colour("sheet")))
        surface = QtSurface(painter, self._view, PathStore(), theme.colour("sheet"))
        painter.setClipRect(0, 0, wide, high)
        if self.stale:
            painter.setOpacity(FAINT)
            draw(surface, [p for p in self.plots if _is_wood(p)], self._view, theme, grips=False)
            painter.setOpacity(1.0)
            surface.text((0.0, 0.0, float(wide), float(high)), "…", theme.text("title"))
        else:
            draw(surface, self.plots, self._view, theme, grips=False)
        painter.setClipping(False)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QColor(theme.colour("accent" if self.hasFocus() else "rule")))
        painter.drawRect(0, 0, wide - 1, high - 1)
        self._foot(painter)
        painter.end()

    def _foot(self, painter: QPainter) -> None:
        """What the drawing is, and its scale."""
        theme, letters = self._theme, self._theme.text("label-small")
        surface = QtSurface(painter, Viewport(), PathStore(), theme.colour("panel"))
        size = (float(self.width()), float(self.height() - 3))
        ruler = scale_bar(surface, self._view.scale, self._unit(), size, theme, RULER, right=True)
        title = self.drawing.title if self.drawing is not None else ""
        room = ruler - 12.0
        words = metrics(letters).elidedText(title, Qt.TextElideMode.ElideRight, room)
        surface.text((2.0, size[1] - FOOT + 4, room, size[1] + 2), words, letters, left=True)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go to the place in the views."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.asked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Space go to the place."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.asked.emit()
        else:
            super().keyPressEvent(event)


def _is_wood(plot: Plot) -> bool:
    """Whether it is a part, a dowel or a screw, and tells nothing of the finding."""
    item = plot.item
    return isinstance(item, Path | Disc) and bool(item.part)

"""The speed strip and the chart of chances as widgets; what they paint is in desk.views.played."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from desk.ui.surface import PathStore, QtSurface, metrics
from desk.views.played import (
    ChanceChart,
    SpeedChart,
    legend,
    paint_chances,
    paint_speeds,
    speed_at,
)
from desk.views.theme import Theme
from desk.views.viewport import Box, Viewport

STEP, LEAP = 0.01, 0.1
"""Arrow keys change the speed by this, with Shift by that, m/s."""


class Chart(QWidget):
    """A painted chart with a focus mark."""

    def __init__(self, theme: Theme, name: str, least: QSize) -> None:
        super().__init__()
        self._theme = theme
        self.setAccessibleName(name)
        self.setMinimumSize(least)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        self.update()

    def box(self) -> Box:
        """The whole widget, px."""
        return 0.0, 0.0, float(self.width()), float(self.height())

    def measure(self, text: str, style: str) -> tuple[float, float]:
        """Width and height of a text, px."""
        size = metrics(self._theme.text(style))
        return size.horizontalAdvance(text), size.height()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the chart."""
        painter = QPainter(self)
        surface = QtSurface(painter, Viewport(), PathStore(), self._theme.colour("sheet"))
        self.paint(surface)
        if self.hasFocus():
            x0, y0, x1, y1 = self.box()
            surface.box((x0 + 1, y0 + 1, x1 - 1, y1 - 1), self._theme.stroke("focus"))
        painter.end()

    def paint(self, surface: QtSurface) -> None:
        """Paint on a surface."""
        raise NotImplementedError


class SpeedStrip(Chart):
    """Which speed comes to what. A press or a pull sets the speed; ``picked`` tells it, ``let_go`` its end."""

    picked = Signal(float)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, "Which speed comes to what", QSize(260, 96))
        self.chart: SpeedChart | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def show_chart(self, chart: SpeedChart) -> None:
        """Show this."""
        if chart != self.chart:
            self.chart = chart
            self.setAccessibleDescription(f"{chart.caption}. {chart.reading}")
            self.update()

    def paint(self, surface: QtSurface) -> None:
        """Paint on a surface."""
        if self.chart is not None:
            paint_speeds(surface, self.box(), self.chart, self._theme, self.measure)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Set the speed."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._pick(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pull the speed."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._pick(event.position().x())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows, Home and End change the speed."""
        chart, key = self.chart, event.key()
        if chart is None or key not in _KEYS:
            super().keyPressEvent(event)
            return
        step = LEAP if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else STEP
        ends = {Qt.Key.Key_Home: chart.low, Qt.Key.Key_End: chart.high}
        speed = ends[Qt.Key(key)] if key in ends else chart.speed + step * _KEYS[Qt.Key(key)]
        self.picked.emit(round(min(max(speed, chart.low), chart.high), 3))

    def event(self, event: QEvent) -> bool:
        """Say what the speed under the pointer comes to."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip and self.chart is not None:
            QToolTip.showText(event.globalPos(), self._tip(float(event.pos().x())), self)
            return True
        return super().event(event)

    def _tip(self, x: float) -> str:
        chart = self.chart
        if chart is None:
            return ""
        speed = speed_at(chart, self.box(), x)
        block = next((b for b in chart.blocks if b.low <= speed <= b.high), None)
        if block is None or not chart.current:
            return f"{speed:.2f} m/s"
        return f"{block.low:.2f} to {block.high:.2f} m/s: {block.told}"

    def _pick(self, x: float) -> None:
        if self.chart is not None:
            self.picked.emit(round(speed_at(self.chart, self.box(), x), 2))


_KEYS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Home: 0, Qt.Key.Key_End: 0}


class Chances(Chart):
    """How often each end is reached."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, "Chance of each end", QSize(300, 96))
        self.chart = ChanceChart()

    def show_chart(self, chart: ChanceChart) -> None:
        """Show this."""
        if chart != self.chart:
            self.chart = chart
            self.setAccessibleDescription(legend(chart.columns))
            self.update()

    def paint(self, surface: QtSurface) -> None:
        """Paint on a surface."""
        paint_chances(surface, self.box(), self.chart, self._theme, self.measure)

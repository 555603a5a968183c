"""Mouse and keys for tests: real Qt events sent to a canvas."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QImage, QMouseEvent
from PySide6.QtWidgets import QApplication

from desk.ui.canvas import Canvas
from desk.views.drawing import Dimension

LEFT, MIDDLE, NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton, Qt.MouseButton.NoButton
PLAIN = Qt.KeyboardModifier.NoModifier
Px = tuple[float, float]


def send(canvas: Canvas, kind: QEvent.Type, at: Px, button: Qt.MouseButton, held: Qt.MouseButton) -> None:
    """One mouse event."""
    place = QPointF(*at)
    QApplication.sendEvent(canvas, QMouseEvent(kind, place, canvas.mapToGlobal(place), button, held, PLAIN))


def press(canvas: Canvas, at: Px, button: Qt.MouseButton = LEFT) -> None:
    """A button goes down."""
    send(canvas, QEvent.Type.MouseButtonPress, at, button, button)


def move(canvas: Canvas, at: Px, held: Qt.MouseButton = LEFT) -> None:
    """The pointer moves with a button held."""
    send(canvas, QEvent.Type.MouseMove, at, NONE, held)


def release(canvas: Canvas, at: Px, button: Qt.MouseButton = LEFT) -> None:
    """A button goes up."""
    send(canvas, QEvent.Type.MouseButtonRelease, at, button, NONE)


def grip(canvas: Canvas, address: str) -> Px:
    """Where the handle of a number is on the canvas."""
    return canvas.view.to_px(dimension(canvas, address).handle)


def dimension(canvas: Canvas, address: str) -> Dimension:
    """The dimension that pulls a number."""
    item = canvas.easel.by_address(address)
    assert item is not None, f"{canvas.name} has no handle for {address}"
    return item


def drag(canvas: Canvas, address: str, by: Px, steps: int = 5) -> None:
    """A whole pull of a handle."""
    x, y = grip(canvas, address)
    press(canvas, (x, y))
    for k in range(1, steps + 1):
        move(canvas, (x + by[0] * k / steps, y + by[1] * k / steps))
    release(canvas, (x + by[0], y + by[1]))


def pixels(canvas: Canvas, at: Px, half: int = 14) -> QImage:
    """What is painted around a place."""
    return canvas.grab().toImage().copy(round(at[0]) - half, round(at[1]) - half, 2 * half, 2 * half)

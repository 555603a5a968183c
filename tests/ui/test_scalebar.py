"""The ruler in the corner of a view."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from desk.ui.scalebar import MM_STEPS, WANTED, round_length, scale_bar
from desk.ui.surface import PathStore, QtSurface
from desk.units import Unit
from desk.views.theme import theme
from desk.views.viewport import Viewport


@pytest.mark.parametrize(
    ("scale", "unit", "length"),
    [(1.0, "mm", 50.0), (4.0, "mm", 20.0), (1.0, "in", 50.8), (40.0, "in", 1.5875)],
)
def test_it_is_a_round_length(scale: float, unit: Unit, length: float) -> None:
    assert round_length(scale, unit) == pytest.approx(length)


@pytest.mark.parametrize("scale", [0.05, 0.3, 1.0, 7.0, 80.0])
def test_it_is_never_much_longer_than_wanted(scale: float) -> None:
    assert round_length(scale, "mm") * scale <= max(WANTED, MM_STEPS[0] * scale)


def test_it_is_drawn_true_to_scale(qapp: QApplication) -> None:
    image = QImage(300, 60, QImage.Format.Format_RGB32)
    image.fill(QColor("#ffffff"))
    painter = QPainter(image)
    look = theme("print")
    scale_bar(QtSurface(painter, Viewport(), PathStore(), "#ffffff"), 1.0, "mm", (300.0, 60.0), look)
    painter.end()
    row = [x for x in range(90) if image.pixelColor(x, 51).lightness() < 250]
    assert row[-1] - row[0] == pytest.approx(50, abs=2)

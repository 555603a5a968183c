"""The speed strip and the chart of chances as widgets."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desk.ui.play_charts import Chances, SpeedStrip
from desk.views.played import Block, ChanceChart, Column, SpeedChart, x_of
from desk.views.theme import theme

CHART = SpeedChart(
    0.5,
    2.5,
    1.4,
    (0.6, 2.4),
    (Block(0.5, 1.0, 0.0, "rolls back", "rolls back"), Block(1.0, 2.5, 20.0, "20", "target 3, 20 points")),
    "What each speed comes to",
    "1.40 m/s target 3, 20 points",
)


@pytest.fixture
def strip(qapp: QApplication) -> SpeedStrip:
    made = SpeedStrip(theme("light"))
    made.resize(420, 120)
    made.show_chart(CHART)
    return made


def test_a_press_or_a_pull_sets_the_speed_at_its_place(strip: SpeedStrip) -> None:
    got: list[float] = []
    strip.picked.connect(got.append)
    left = Qt.MouseButton.LeftButton
    at = round(x_of(CHART, strip.box(), 1.0)), 60
    QTest.mousePress(strip, left, Qt.KeyboardModifier.NoModifier, QPoint(*at))
    assert got == [pytest.approx(1.0, abs=0.01)]
    QTest.mouseRelease(strip, left, Qt.KeyboardModifier.NoModifier, QPoint(-80, 60))
    QTest.mousePress(strip, left, Qt.KeyboardModifier.NoModifier, QPoint(9999, 60))
    assert got[-1] == 2.5


def test_keys_set_the_speed(strip: SpeedStrip) -> None:
    got: list[float] = []
    strip.picked.connect(got.append)
    shift = Qt.KeyboardModifier.ShiftModifier
    for key, held in (
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_Left, shift),
        (Qt.Key.Key_Home, shift),
        (Qt.Key.Key_End, shift),
        (Qt.Key.Key_A, shift),
    ):
        QTest.keyClick(strip, key, held)
    assert got == pytest.approx([1.41, 1.3, 0.5, 2.5])


def test_the_strip_can_be_read_out_and_says_nothing_where_it_knows_nothing(strip: SpeedStrip) -> None:
    assert strip.accessibleName()
    assert "target 3, 20 points" in strip.accessibleDescription()
    assert strip._tip(x_of(CHART, strip.box(), 1.5)) == "1.00 to 2.50 m/s: target 3, 20 points"
    strip.show_chart(
        SpeedChart(0.5, 2.5, 1.4, (0.6, 2.4), CHART.blocks, "working it out …", "", current=False)
    )
    assert strip._tip(x_of(CHART, strip.box(), 1.5)) == "1.50 m/s"


def test_what_is_shown_is_painted(strip: SpeedStrip) -> None:
    full = strip.grab().toImage()
    strip.show_chart(SpeedChart(0.5, 2.5, 1.4, (0.6, 2.4)))
    assert strip.grab().toImage() != full
    strip.show_chart(CHART)
    assert strip.grab().toImage() == full
    strip.set_theme(theme("dark"))
    assert strip.grab().toImage() != full


def test_a_strip_without_a_chart_takes_no_speed(qapp: QApplication) -> None:
    strip = SpeedStrip(theme("light"))
    got: list[float] = []
    strip.picked.connect(got.append)
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton)
    QTest.keyClick(strip, Qt.Key.Key_Right)
    assert got == []
    assert not strip.grab().isNull()


def test_the_chances_are_painted_and_can_be_read_out(qapp: QApplication) -> None:
    made = Chances(theme("dark"))
    made.resize(420, 120)
    empty = made.grab().toImage()
    made.show_chart(ChanceChart((Column("50", "target 1", 0.2, 0.01, 0.1),)))
    assert made.grab().toImage() != empty
    assert made.accessibleDescription() == "50 target 1: 20 percent, before 10"

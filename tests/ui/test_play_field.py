"""Typing the numbers of a throw."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from desk.ui.play_field import PlayField


@pytest.fixture
def field(qapp: QApplication) -> PlayField:
    made = PlayField("Speed of the throw", "speed", (0.05, 8.0), 0.05, 3)
    made.show_value(1.2)
    return made


def typed(field: PlayField, text: str) -> list[float]:
    """What is told while a text is typed and entered."""
    got: list[float] = []
    field.entered.connect(got.append)
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)
    return got


@pytest.mark.parametrize(("text", "value"), [("1.5", 1.5), ("1,5", 1.5), ("2 m/s", 2.0), ("0.05", 0.05)])
def test_a_number_is_taken_with_or_without_its_unit(field: PlayField, text: str, value: float) -> None:
    assert typed(field, text) == [value]
    assert field.text() == f"{value:g} m/s"


@pytest.mark.parametrize("text", ["", "fast", "9", "0.01", "1 mm", "-1"])
def test_what_cannot_stand_is_said_and_not_taken(field: PlayField, text: str) -> None:
    if not text:
        field.clear()
    assert typed(field, text) == []
    if text:
        assert field.property("wrong") is True
        assert field.accessibleDescription()
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.property("wrong") in (False, None)


def test_arrow_keys_step_within_the_limits(field: PlayField) -> None:
    got: list[float] = []
    field.entered.connect(got.append)
    QTest.keyClick(field, Qt.Key.Key_Up)
    QTest.keyClick(field, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    field.show_value(7.99)
    QTest.keyClick(field, Qt.Key.Key_Up)
    assert got == pytest.approx([1.25, 0.75, 8.0])


def test_leaving_the_line_takes_what_can_stand_and_gives_up_what_cannot(qapp: QApplication) -> None:
    page = QWidget()
    field, other = PlayField("Aim", "angle", (-30.0, 30.0), 0.1, 2), QLineEdit()
    field.setParent(page)
    other.setParent(page)
    got: list[float] = []
    field.entered.connect(got.append)
    page.show()
    qapp.processEvents()
    for text in ("4.5", "99"):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, text)
        other.setFocus()
        qapp.processEvents()
    assert got == [4.5]
    assert field.text() == "4.5°"
    page.close()
    page.deleteLater()


def test_a_number_being_typed_is_not_overwritten(qapp: QApplication, field: PlayField) -> None:
    field.show()
    qapp.processEvents()
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "1.")
    field.show_value(2.0)
    assert field.text() == "1."
    field.take()
    assert field.value == 1.0
    field.close()


def test_a_turn_to_the_left_has_a_minus_that_can_be_typed_over(qapp: QApplication) -> None:
    aim = PlayField("Aim", "angle", (-30.0, 30.0), 0.1, 2)
    aim.show_value(-1.5)
    assert aim.text() == "−1.5°"
    aim.setModified(True)
    aim.take()
    assert (aim.value, aim.text()) == (-1.5, "−1.5°")

"""Typing numbers: the same in every locale."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QValidator
from pytestqt.qtbot import QtBot

from desk.ui.value_edit import ValueEdit
from desk.units import parse_value


@pytest.fixture(params=["de_DE", "en_US", "fr_FR"])
def locale(request: pytest.FixtureRequest) -> Iterator[str]:
    before = QLocale()
    QLocale.setDefault(QLocale(request.param))
    yield request.param
    QLocale.setDefault(before)


def line(qtbot: QtBot, address: str = "lane.length", unit: str = "mm") -> ValueEdit:
    edit = ValueEdit()
    qtbot.addWidget(edit)
    edit.begin("280 mm", address, unit)  # type: ignore[arg-type]
    edit.show()
    return edit


@pytest.mark.parametrize("text", ["218.5", "218,5", "218.5mm", "218,5 mm", "21,85 cm"])
def test_point_and_comma_are_the_same_in_every_locale(qtbot: QtBot, locale: str, text: str) -> None:
    edit = line(qtbot)
    with qtbot.waitSignal(edit.entered) as caught:
        qtbot.keyClicks(edit, text)
        qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert caught.args == [text]
    assert parse_value(caught.args[0], "length", "mm") == 218.5
    assert edit.hasAcceptableInput()


@pytest.mark.parametrize("text", ["1.218,5", "1,218.5", "21 8", "wide", "1/2", "5000", "", "12 34"])
def test_what_cannot_stand_is_not_acceptable(qtbot: QtBot, locale: str, text: str) -> None:
    edit = line(qtbot)
    edit.setText(text)
    assert not edit.hasAcceptableInput()
    assert edit.fault(text)


def test_every_key_goes_in_so_that_a_text_can_be_mended(qtbot: QtBot) -> None:
    edit = line(qtbot)
    qtbot.keyClicks(edit, "1 1/2x")
    assert edit.text() == "1 1/2x"
    judge = edit.validator()
    assert judge.validate("x", 1)[0] == QValidator.State.Intermediate  # type: ignore[index]


def test_a_wrong_text_is_marked_with_the_reason_and_cleared_when_mended(qtbot: QtBot) -> None:
    edit = line(qtbot)
    qtbot.keyClicks(edit, "9999")
    assert edit.property("wrong") is True
    assert "1500" in edit.toolTip()
    assert edit.accessibleDescription() == edit.toolTip()
    edit.clear()
    qtbot.keyClicks(edit, "99")
    assert edit.property("wrong") is False


def test_fractions_need_inches(qtbot: QtBot) -> None:
    edit = line(qtbot, unit="in")
    edit.setText("11 1/2")
    assert edit.hasAcceptableInput()


def test_it_begins_with_all_selected_so_that_typing_replaces(qtbot: QtBot) -> None:
    edit = line(qtbot)
    assert edit.selectedText() == "280 mm"
    assert edit.accessibleName() == "Deck length"


def test_escape_drops(qtbot: QtBot) -> None:
    edit = line(qtbot)
    with qtbot.waitSignal(edit.dropped):
        qtbot.keyClick(edit, Qt.Key.Key_Escape)

"""The tables of the shop page: typed into, undone, saved; rows that come and go."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.file import load, save
from desk.ui import ask
from desk.ui.shop_balls import BallsPart
from desk.ui.shop_fields import Pick
from desk.ui.shop_page import ShopPage
from desk.ui.workroom import Workroom

from .fakes import starting
from .shop_hands import line, row, sheets, turned_to, type_in


@pytest.fixture
def shop(window: Workroom, qtbot: QtBot) -> ShopPage:
    return turned_to(window, qtbot)


# --- typing


def test_readings_typed_are_one_step_that_is_worked_out_at_once(window: Workroom, shop: ShopPage) -> None:
    field = line(shop, "s12", "readings")
    type_in(field, "11.8 11.9 11.75")
    stock = window.document.design.stocks[1]
    assert stock.readings == (11.8, 11.9, 11.75)
    assert window.document.evaluation is not None
    assert window.document.evaluation.design == window.document.design
    assert row(shop, "s12").cells["measured"].text() == "11.817 ± 0.075"  # type: ignore[union-attr]
    assert window.document.session.labels == ("Set calipers of a stock",)
    QTest.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.document.design == starting(), "undo is the window's while nothing is being typed"
    assert field.text() == "11.8"


def test_a_finding_comes_and_goes_with_what_is_typed(window: Workroom, shop: ShopPage) -> None:
    shop.show_part("balls")
    part = shop.part("balls")
    assert isinstance(part, BallsPart)
    gap = window.document.finding_of("check-1")
    assert gap is not None
    assert gap.status == "clear"
    type_in(part.fields["ball.diameter"], "1 in")
    gap = window.document.finding_of("check-1")
    assert gap is not None
    assert gap.status == "conflict"
    assert window.strip.counts["conflict"].number == 1


def test_going_on_takes_what_was_typed(window: Workroom, shop: ShopPage) -> None:
    type_in(line(shop, "s9", "label"), "Old shelf", Qt.Key.Key_Tab)
    assert window.document.design.stocks[0].label == "Old shelf"
    assert row(shop, "s9").remove.accessibleName() == "Remove Old shelf"


def test_what_cannot_be_taken_stays_in_its_field_and_is_told_there(window: Workroom, shop: ShopPage) -> None:
    field = line(shop, "s12", "nominal")
    type_in(field, "twelve", Qt.Key.Key_Tab)
    assert field.text() == "twelve"
    assert "does not start with a number" in field.fault
    assert field.property("wrong")
    assert "does not start with a number" in row(shop, "s12").note.text()
    assert field.accessibleDescription() == field.fault
    assert window.document.design == starting()
    type_in(line(shop, "s9", "price"), "48,5")
    window.document.undo()
    assert field.text() == "twelve", "what is unfinished survives every other change"
    shop.show_part("bits")
    shop.show_part("stock")
    window.show_page("drawings")
    window.show_page("shop")
    assert field.text() == "twelve"
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == "12"
    assert field.fault == ""
    assert row(shop, "s12").note.text().startswith("For outer panels")


def test_a_fault_goes_away_when_it_is_mended(shop: ShopPage) -> None:
    field = line(shop, "s12", "sheet_width")
    type_in(field, "0")
    assert field.fault
    type_in(field, "23 5/8 in")
    assert field.fault == ""
    assert field.text() == "23 5/8 in"
    assert not field.property("wrong")


def test_saving_takes_what_is_being_typed(
    window: Workroom, shop: ShopPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "shop.lane"
    monkeypatch.setattr(ask, "file_to_save", lambda *_: path)
    field = line(shop, "s12", "readings")
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "11.7 11.9 11.8")
    window.actions_by_id["save"].trigger()
    assert load(path).stocks[1].readings == (11.7, 11.9, 11.8)


def test_closing_asks_about_what_is_being_typed(
    window: Workroom, shop: ShopPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(ask, "what_of_changes", lambda _parent, name: asked.append(name) or "stay")
    field = line(shop, "s12", "label")
    field.setFocus()
    QTest.keyClicks(field, " new")
    assert not window.may_close()
    assert asked


def test_another_design_gets_nothing_of_what_was_unfinished(window: Workroom, shop: ShopPage) -> None:
    field = line(shop, "s12", "nominal")
    type_in(field, "twelve", Qt.Key.Key_Tab)
    other = edit.put(starting(), "stocks.2.nominal", 13.0)
    window.document.open(other, None)
    assert field.text() == "13"
    assert field.fault == ""
    assert window.document.design == other


def test_opening_another_file_asks_about_what_is_being_typed(
    window: Workroom, shop: ShopPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "other.lane"
    save(starting(), path)
    asked: list[str] = []
    monkeypatch.setattr(ask, "what_of_changes", lambda _parent, name: asked.append(name) or "stay")
    field = line(shop, "s12", "label")
    field.setFocus()
    QTest.keyClicks(field, " new")
    window.receive(path)
    assert asked
    assert window.document.path is None


def test_picking_is_a_step_and_a_refusal_is_told(window: Workroom, shop: ShopPage) -> None:
    pick = row(shop, "s12").fields["grain"]
    assert isinstance(pick, Pick)
    pick.setCurrentIndex(pick.findData("width"))
    pick.activated.emit(pick.currentIndex())
    assert window.document.design.stocks[1].grain == "width"
    window.document.undo()
    assert pick.currentData() == "length"


# --- rows


def test_rows_are_added_duplicated_and_removed(window: Workroom, shop: ShopPage) -> None:
    rows = sheets(shop)
    rows.add.click()
    assert len(window.document.design.stocks) == 4
    new = window.document.design.stocks[3]
    assert rows.rows[new.id].fields["label"].hasFocus()
    assert rows.rows[new.id].note.text() == "Not used"
    rows.rows["s9"].copy.click()
    copy = window.document.design.stocks[1]
    assert copy.measured == window.document.design.stocks[0].measured
    assert list(rows.rows) == ["s9", copy.id, "s12", "s18", new.id]
    rows.rows[copy.id].remove.click()
    assert list(rows.rows) == ["s9", "s12", "s18", new.id]
    assert rows.rows["s12"].remove.hasFocus(), "the keyboard stays in the table"
    window.document.undo()
    window.document.undo()
    window.document.undo()
    assert window.document.design == starting()
    assert list(rows.rows) == ["s9", "s12", "s18"]


def test_a_row_in_use_stays_and_tells_its_users(window: Workroom, shop: ShopPage) -> None:
    used = row(shop, "s18")
    used.remove.click()
    assert window.document.design == starting()
    assert (
        used.note.text()
        == "In use for return spacers, kicker ribs, target board and catch ramp. Choose another there first."
    )
    type_in(line(shop, "s9", "price"), "30")
    assert used.note.text().startswith("For return spacers")


def test_what_is_unfinished_stays_with_its_item_when_rows_go(window: Workroom, shop: ShopPage) -> None:
    rows = sheets(shop)
    rows.rows["s9"].copy.click()
    copy = window.document.design.stocks[1].id
    type_in(line(shop, "s18", "nominal"), "thick", Qt.Key.Key_Tab)
    rows.rows[copy].remove.click()
    assert line(shop, "s18", "nominal").text() == "thick"
    assert line(shop, "s12", "nominal").text() == "12"
    type_in(line(shop, "s18", "nominal"), "19")
    assert window.document.design.stocks[2].nominal == 19.0


def test_a_bit_as_sold_goes_into_the_table(window: Workroom, shop: ShopPage) -> None:
    shop.show_part("bits")
    menu = shop.part("bits").menu  # type: ignore[attr-defined]
    menu.menu().aboutToShow.emit()
    below = {a.text(): a.menu() for a in menu.menu().actions()}
    drill = next(a for a in below["Drills"].actions() if a.text() == "3 mm drill")
    drill.trigger()
    assert window.document.design.bits[-1].diameter == 3.0
    drill.trigger()
    assert len({bit.id for bit in window.document.design.bits}) == len(window.document.design.bits)

"""The shop page in the window: turned to and left, typed into, undone, saved; operable by keys alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.file import load, save
from desk.design.model import Design
from desk.ui import ask
from desk.ui.outward import evaluate as real
from desk.ui.shop_balls import BallsPart
from desk.ui.shop_fields import Entry, Pick
from desk.ui.shop_page import HOMES, PARTS, ShopPage
from desk.ui.shop_rows import Row, Rows
from desk.ui.shop_stock import StockPart
from desk.ui.workroom import Workroom

from .fakes import starting


@pytest.fixture
def shop(window: Workroom, qtbot: QtBot) -> ShopPage:
    """The page, turned to, in a window that has the keyboard."""
    window.front.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWindow() is window.front.windowHandle())
    window.actions_by_id["shop"].trigger()
    assert window.pages.shop is not None
    return window.pages.shop


def sheets(shop: ShopPage) -> Rows:
    shop.show_part("stock")
    part = shop.part("stock")
    assert isinstance(part, StockPart)
    return part.rows


def row(shop: ShopPage, key: str) -> Row:
    return sheets(shop).rows[key]


def line(shop: ShopPage, key: str, field: str) -> Entry:
    found = row(shop, key).fields[field]
    assert isinstance(found, Entry)
    return found


def type_in(field: QWidget, text: str, end: Qt.Key = Qt.Key.Key_Return) -> None:
    field.setFocus()
    assert isinstance(field, QLineEdit)
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, end)


# --- turning to the page and away


def test_the_page_is_made_when_it_is_first_shown_and_each_part_when_it_is(window: Workroom) -> None:
    assert window.pages.shop is None
    window.show_page("shop")
    shop = window.pages.shop
    assert shop is not None
    assert list(shop.parts) == ["stock"]
    for key in PARTS:
        shop.tabs[key].click()
        assert shop.shown == key
        assert shop.part(key).isVisible()
    assert list(shop.parts) == list(PARTS)


def test_the_strip_and_keys_turn_pages_and_findings_card_and_undo_stay(window: Workroom) -> None:
    card, front = window.card, window.front
    window.strip.pages["shop"].click()
    assert window.pages.shop is not None
    assert window.pages.shop.isVisible()
    assert not window.sheet.isVisible()
    assert not window.dimensions.isVisible()
    assert card.isVisible()
    assert window.findings.isVisible()
    assert window.actions_by_id["shop"].isChecked()
    assert window.strip.pages["shop"].isChecked()
    assert not window.actions_by_id["fit"].isEnabled()
    window.strip.pages["drawings"].click()
    assert window.sheet.isVisible()
    assert window.sheet.column.indexOf(card) == 1
    assert card.isVisible()
    assert window.dimensions.isVisible()
    assert window.actions_by_id["fit"].isEnabled()
    assert not window.strip.pages["shop"].isChecked()
    QTest.keyClick(front, Qt.Key.Key_4, Qt.KeyboardModifier.ControlModifier)
    assert window.pages.shown == "shop"
    QTest.keyClick(front, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
    assert window.pages.shown == "drawings"
    assert window.sheet.section_id == "channel"
    assert not window.actions_by_id["shop"].isChecked()


def test_the_panes_keep_their_places(window: Workroom) -> None:
    before = window.sheet.column.sizes()
    window.show_page("shop")
    window.show_page("drawings")
    assert window.sheet.column.sizes() == before


def test_searching_a_dimension_leads_back_to_the_drawings(window: Workroom, shop: ShopPage) -> None:
    window.actions_by_id["find"].trigger()
    assert window.pages.shown == "drawings"
    assert window.dimensions.search.hasFocus()


def test_what_a_finding_points_to_is_gone_to_on_the_page_or_in_the_drawings(
    window: Workroom, shop: ShopPage
) -> None:
    window.document.point_at("stocks.2.measured")
    assert line(shop, "s12", "readings").hasFocus()
    window.document.point_at("bit.pocket")
    assert shop.shown == "bits"
    window.document.point_at("finish.coats")
    assert shop.shown == "balls"
    window.document.point_at("lane.length")
    assert window.pages.shown == "drawings"


def test_every_number_that_has_a_home_on_the_page_is_found_there(shop: ShopPage) -> None:
    design = starting()
    lists = ("stocks", "bits", "dowels", "screws")
    wanted = [a for a in edit.addresses(design) if a.split(".", maxsplit=1)[0] in lists]
    wanted += [a for a in edit.addresses(design) if a.startswith(("ball.", "finish.", "shop."))]
    wanted += [c for c in design.choices if c.startswith(("stock.", "bit.", "finish.", "ball."))]
    for address in wanted:
        closed = address.endswith(".angle") and design.bits[int(address.split(".")[1]) - 1].kind != "vee"
        assert shop.point_at(address) or closed, address
    assert not shop.point_at("lane.length")
    assert set(HOMES.values()) <= set(PARTS)


def test_nothing_but_the_window_comes_up_while_the_page_is_made(
    shop: ShopPage, window: Workroom, qapp: QApplication
) -> None:
    for key in PARTS:
        shop.show_part(key)
        qapp.processEvents()
        assert QApplication.focusWindow() is window.front.windowHandle(), key
        assert [w for w in qapp.topLevelWidgets() if w.isVisible()] == [window.front]


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


# --- keys, names, looks


@pytest.mark.parametrize("key", PARTS)
def test_every_part_is_operable_by_keys_and_everything_has_a_name(
    key: str, shop: ShopPage, qapp: QApplication
) -> None:
    shop.show_part(key)
    qapp.processEvents()
    part = shop.part(key)
    kinds = (QLineEdit, QComboBox, QAbstractButton)
    wanted = {
        w
        for kind in kinds
        for w in part.findChildren(kind)
        if w.isVisible() and w.isEnabled() and w.focusPolicy() & Qt.FocusPolicy.TabFocus
    }
    for widget in wanted:
        text = widget.text() if isinstance(widget, QAbstractButton) else ""
        assert widget.accessibleName() or text, widget
    met: set[QWidget] = set()
    shop.tabs[key].setFocus()
    for _ in range(400):
        QTest.keyClick(qapp.focusWidget(), Qt.Key.Key_Tab)
        at = qapp.focusWidget()
        if at is shop.tabs[key]:
            break
        met.add(at)
    assert wanted <= met


def test_tab_goes_through_a_row_from_left_to_right(shop: ShopPage, qapp: QApplication) -> None:
    fields = list(row(shop, "s9").fields.values())
    fields[0].setFocus()
    for field in fields[1:]:
        QTest.keyClick(qapp.focusWidget(), Qt.Key.Key_Tab)
        assert field.hasFocus()
    QTest.keyClick(qapp.focusWidget(), Qt.Key.Key_Tab)
    assert row(shop, "s9").copy.hasFocus()
    QTest.keyClick(qapp.focusWidget(), Qt.Key.Key_Tab)
    QTest.keyClick(qapp.focusWidget(), Qt.Key.Key_Tab)
    assert row(shop, "s12").fields["label"].hasFocus()


def test_the_next_pane_is_one_that_is_seen(window: Workroom, shop: ShopPage) -> None:
    assert shop.tabs["stock"].hasFocus(), "the page takes the keyboard when it is turned to"
    window.next_pane()
    assert window.findings.list.hasFocus()
    window.next_pane()
    assert shop.tabs["stock"].hasFocus()


def test_units_and_looks_are_followed(window: Workroom, shop: ShopPage) -> None:
    for key in PARTS:
        shop.show_part(key)
    window.set_look("dark")
    assert window.document.change("inches", lambda d: edit.set_unit(d, "in"))
    assert line(shop, "s18", "sheet_width").text() == "23.622"
    assert row(shop, "s18").swatch.theme.variant == "dark"
    assert not shop.grab().isNull()


def test_a_page_out_of_sight_is_not_worked_on(
    window: Workroom, shop: ShopPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.show_page("drawings")
    worked: list[str] = []
    monkeypatch.setattr(shop.part("stock"), "refresh", lambda: worked.append("stock"))
    window.document.pull({"lane.length": 290.0}, 1)
    assert worked == []
    window.show_page("shop")
    assert worked == ["stock"]


def test_on_a_real_cabinet_a_thicker_sheet_is_found_out_at_once(
    make_window: Callable[..., Workroom], qtbot: QtBot
) -> None:
    from desk.design.starting import starting_design

    window = make_window(real, starting_design())
    window.show_page("shop")
    assert window.pages.shop is not None
    before: Design = window.document.design
    assert not [f for f in window.document.findings if f.status == "conflict"]
    type_in(line(window.pages.shop, "s18", "readings"), "15.9 16 16.1")
    assert [f for f in window.document.findings if f.status == "conflict"], (
        "a channel of 16 mm holds a ball of 16"
    )
    window.document.undo()
    assert window.document.design == before
    assert not [f for f in window.document.findings if f.status == "conflict"]

"""The shop page in the window: turned to and left, operable by keys alone, followed and left alone out of sight."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.model import Design
from desk.ui.outward import evaluate as real
from desk.ui.shop_page import HOMES, PARTS, ShopPage
from desk.ui.shop_stock import StockPart
from desk.ui.workroom import Workroom

from .fakes import starting
from .shop_hands import line, row, turned_to, type_in


@pytest.fixture
def shop(window: Workroom, qtbot: QtBot) -> ShopPage:
    return turned_to(window, qtbot)


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
        shown = [w for w in QApplication.topLevelWindows() if w.isVisible()]
        assert shown == [window.front.windowHandle()], key


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


def test_nothing_of_the_sheets_scrolls_sideways_in_a_narrow_window(window: Workroom, qtbot: QtBot) -> None:
    shop = turned_to(window, qtbot)
    part = shop.part("stock")
    assert isinstance(part, StockPart)
    bar = shop._areas["stock"].horizontalScrollBar()
    window.front.resize(1700, 900)
    QApplication.processEvents()
    heads = [head.text() for head in part.rows._heads if head.isVisible()]
    assert not part.rows.narrow
    assert {"Length", "Width", "Price"} <= set(heads)
    window.front.resize(1024, 768)
    QApplication.processEvents()
    assert part.rows.narrow
    assert bar.maximum() == 0
    length = line(shop, "s9", "sheet_length")
    assert length.isVisible()
    assert "Length" not in [head.text() for head in part.rows._heads if head.isVisible()]
    assert length.parentWidget() is part.rows.rows["s9"].more
    type_in(length, "1300")
    assert window.document.design.stocks[0].sheet_length == 1300.0
    part.rows.duplicate(part.rows.rows["s9"])
    assert len({id(r.more) for r in part.rows.rows.values()}) == len(window.document.design.stocks)
    assert all(r.more.isVisible() for r in part.rows.rows.values())
    window.front.resize(1700, 900)
    QApplication.processEvents()
    assert not part.rows.narrow
    assert not part.rows.rows["s9"].more.isVisible()
    assert length.isVisible()
    assert bar.maximum() == 0


@pytest.mark.parametrize("key", sorted(PARTS))
def test_no_part_scrolls_sideways_in_a_narrow_window(window: Workroom, qtbot: QtBot, key: str) -> None:
    shop = turned_to(window, qtbot)
    window.front.resize(1024, 768)
    shop.tabs[key].click()
    QApplication.processEvents()
    assert shop._areas[key].horizontalScrollBar().maximum() == 0

"""Hands on the shop page for tests: its tables, rows and fields, and typing with real keys."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.ui.shop_fields import Entry
from desk.ui.shop_page import ShopPage
from desk.ui.shop_rows import Row, Rows
from desk.ui.shop_stock import StockPart
from desk.ui.workroom import Workroom


def turned_to(window: Workroom, qtbot: QtBot) -> ShopPage:
    """The page, turned to, in a window that has the keyboard."""
    window.front.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWindow() is window.front.windowHandle())
    window.actions_by_id["shop"].trigger()
    assert window.pages.shop is not None
    return window.pages.shop


def sheets(shop: ShopPage) -> Rows:
    """The table of sheets."""
    shop.show_part("stock")
    part = shop.part("stock")
    assert isinstance(part, StockPart)
    return part.rows


def row(shop: ShopPage, key: str) -> Row:
    """One row of it."""
    return sheets(shop).rows[key]


def line(shop: ShopPage, key: str, field: str) -> Entry:
    """One line of that row."""
    found = row(shop, key).fields[field]
    assert isinstance(found, Entry)
    return found


def type_in(field: QWidget, text: str, end: Qt.Key = Qt.Key.Key_Return) -> None:
    """Type with real keys and go on with one."""
    field.setFocus()
    assert isinstance(field, QLineEdit)
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, end)

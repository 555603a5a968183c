"""Puts one part of the shop page into a window of its own."""

from __future__ import annotations

from PySide6.QtWidgets import QScrollArea
from pytestqt.qtbot import QtBot

from desk.ui.shop_parts import Part


def framed(qtbot: QtBot, part: Part) -> QScrollArea:
    """A shown window around a part, which follows the part's document; the caller keeps it."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setWidget(part)
    qtbot.addWidget(area)
    part.document.designed.connect(part.refresh)
    area.resize(900, 600)
    area.show()
    part.refresh()
    area.activateWindow()
    qtbot.waitUntil(area.isActiveWindow)
    return area

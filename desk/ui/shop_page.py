"""The shop page: what is in the shop and behind the checks, in parts that are made when they are first looked at.

It stands beside the drawings and takes their place; findings, card and undo stay in view, so that what a change does
is seen at once. The page itself is made when it is first shown, which keeps it out of the start of the program.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from desk.ui.document import Document
from desk.ui.pace import Pace
from desk.ui.shop_balls import BallsPart
from desk.ui.shop_drawer import DrawerPart
from desk.ui.shop_fields import Entry
from desk.ui.shop_parts import Part
from desk.ui.shop_stock import BitsPart, StockPart
from desk.ui.shop_values import ValuesPart
from desk.views.theme import Theme

Maker = Callable[[Document, Theme, Pace], Part]
PARTS: dict[str, tuple[str, Maker]] = {
    "stock": ("Sheets", lambda document, theme, _pace: StockPart(document, theme)),
    "bits": ("Bits", lambda document, theme, _pace: BitsPart(document, theme)),
    "drawer": ("Dowels and screws", DrawerPart),
    "balls": ("Balls and finish", lambda document, theme, _pace: BallsPart(document, theme)),
    "values": ("Values behind the checks", lambda document, theme, _pace: ValuesPart(document, theme)),
}
"""The parts: what their tabs say, and how they are made."""
HOMES: dict[str, str] = {
    "stocks": "stock",
    "stock": "stock",
    "bits": "bits",
    "bit": "bits",
    "shop": "bits",
    "ball": "balls",
    "finish": "balls",
    "dowels": "drawer",
    "screws": "drawer",
    "joint": "drawer",
    "lifter": "drawer",
}
"""Which part an address belongs to, by its first word."""


class ShopPage(QFrame):
    """Tabs over one part at a time."""

    def __init__(self, document: Document, theme: Theme, pace: Pace) -> None:
        super().__init__()
        self.setObjectName("pane")
        self._document, self._theme, self._pace = document, theme, pace
        self.parts: dict[str, Part] = {}
        self.tabs: dict[str, QToolButton] = {}
        self.shown = ""
        self._areas: dict[str, QScrollArea] = {}
        self._stack = QStackedWidget()
        head = QWidget()
        head.setObjectName("head")
        row = QHBoxLayout(head)
        row.setContentsMargins(10, 3, 6, 0)
        row.setSpacing(2)
        title = QLabel("Shop")
        title.setObjectName("heading")
        row.addWidget(title)
        row.addSpacing(8)
        group = QButtonGroup(self)
        for key, (words, _) in PARTS.items():
            row.addWidget(self._tab(key, words, group))
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self._stack, 1)
        document.designed.connect(self._follow)
        document.opened.connect(self._start_over)

    def _tab(self, key: str, words: str, group: QButtonGroup) -> QToolButton:
        tab = QToolButton()
        tab.setText(words)
        tab.setObjectName("tab")
        tab.setCheckable(True)
        tab.setAccessibleName(f"Shop: {words.lower()}")
        tab.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        tab.clicked.connect(lambda: self.show_part(key))
        group.addButton(tab)
        self.tabs[key] = tab
        return tab

    def part(self, key: str) -> Part:
        """One part; made when it is first asked for."""
        if key not in self.parts:
            made = PARTS[key][1](self._document, self._theme, self._pace)
            made.setObjectName("shop")
            area = QScrollArea()
            area.setObjectName("shop")
            area.setWidgetResizable(True)
            area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            area.setWidget(made)
            self._stack.addWidget(area)
            area.viewport().installEventFilter(self)
            self.parts[key], self._areas[key] = made, area
        return self.parts[key]

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The parts suit the room there is for them."""
        if event.type() == QEvent.Type.Resize:
            for key, area in self._areas.items():
                if watched is area.viewport():
                    self._suit(key)
        return super().eventFilter(watched, event)

    def _suit(self, key: str) -> None:
        margins = self.parts[key].column.contentsMargins()
        self.parts[key].suit(self._areas[key].viewport().width() - margins.left() - margins.right())

    def show_part(self, key: str) -> None:
        """Turn to a part."""
        part = self.part(key)
        self.shown = key
        self.tabs[key].setChecked(True)
        self._stack.setCurrentWidget(self._areas[key])
        part.refresh()
        self._suit(key)

    def showEvent(self, event: QShowEvent) -> None:
        """Come in view: what was not followed while hidden is looked at now."""
        super().showEvent(event)
        self.show_part(self.shown or next(iter(PARTS)))

    def go(self) -> None:
        """Take the keyboard."""
        self.tabs[self.shown or next(iter(PARTS))].setFocus(Qt.FocusReason.OtherFocusReason)

    def point_at(self, address: str) -> bool:
        """Put the cursor where this number or choice is; False when it is on no part."""
        key = HOMES.get(address.split(".", maxsplit=1)[0])
        if key is None:
            return False
        self.show_part(key)
        return self.part(key).go_to(address)

    def take(self) -> None:
        """Take what is being typed in a field that has not been left yet."""
        field = QApplication.focusWidget()
        if isinstance(field, Entry) and self.isAncestorOf(field):
            field.take()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        for part in self.parts.values():
            part.set_theme(theme)

    def _start_over(self) -> None:
        """Another design is on the desk: what was unfinished belonged to the one before."""
        for field in self.findChildren(Entry):
            field.give_up()
        self._follow()

    def _follow(self) -> None:
        if self.isVisible() and self.shown:
            self.parts[self.shown].refresh()

"""The two pages of the window, drawings and shop: which is shown, and what changes place with them.

With the shop in view the card of the chosen finding stands under the findings, where the dimensions are otherwise.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from desk.ui.document import Document
from desk.ui.pace import Pace
from desk.views.theme import Theme

if TYPE_CHECKING:  # the page is made, and what it needs imported, when it is first shown
    from desk.ui.shop_page import ShopPage

PageName = Literal["drawings", "shop"]


class Pages(QObject):
    """Switches between the pages. ``middle`` holds them, ``aside`` the dimensions or, beside the shop, the card."""

    turned = Signal(str)

    def __init__(
        self, document: Document, theme: Theme, pace: Pace, sheet: QWidget, dimensions: QWidget
    ) -> None:
        super().__init__()
        self._document, self._theme, self._pace = document, theme, pace
        self.middle, self.aside = QStackedWidget(), QStackedWidget()
        self.middle.addWidget(sheet)
        self.aside.addWidget(dimensions)
        self._guest = QWidget()
        self._room = QVBoxLayout(self._guest)
        self._room.setContentsMargins(0, 0, 0, 0)
        self.aside.addWidget(self._guest)
        self.shop: ShopPage | None = None
        self.shown: PageName = "drawings"
        self._sizes: list[int] = []

    def show(self, name: PageName, card: QWidget, home: QSplitter) -> None:
        """Show a page; the card moves between its home beside the drawings and its place under the findings."""
        if name == self.shown:
            return
        self.shown = name
        if name == "shop":
            self._sizes = home.sizes()
            self._room.addWidget(card)
            shop = self._made()
            self.middle.setCurrentWidget(shop)
            self.aside.setCurrentWidget(self._guest)
            shop.go()
        else:
            self.take()
            home.addWidget(card)
            home.setSizes(self._sizes)
            self.middle.setCurrentIndex(0)
            self.aside.setCurrentIndex(0)
        card.show()
        self.turned.emit(name)

    def _made(self) -> ShopPage:
        if self.shop is None:
            from desk.ui.shop_page import ShopPage

            self.shop = ShopPage(self._document, self._theme, self._pace)
            self.middle.addWidget(self.shop)
        return self.shop

    def take(self) -> None:
        """Take what is being typed on the shop page."""
        if self.shop is not None:
            self.shop.take()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        if self.shop is not None:
            self.shop.set_theme(theme)

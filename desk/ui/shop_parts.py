"""What every part of the shop page is made of: headings, choices, menus of what a table lists."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QMenu, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from desk.design import edit, table
from desk.design.model import Design
from desk.ui.document import Document
from desk.ui.shop_fields import Entry, Link, Note, Pick, chain
from desk.units import format_value, symbol
from desk.views.theme import Theme

Group = tuple[str, tuple[tuple[str, Callable[[], object]], ...]]
"""A heading of a menu and what can be taken under it: words and what happens then."""


CHOICE = 130
"""Least width of a choice, px."""


class Part(QWidget):
    """One part of the page. It follows the design when told to, and only while it is seen."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.document, self.theme = document, theme
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(12, 10, 12, 12)
        self.column.setSpacing(6)

    def refresh(self) -> None:
        """Follow the design."""
        raise NotImplementedError

    def go_to(self, address: str) -> bool:
        """Put the cursor where this number or choice is; False when it is not here."""
        raise NotImplementedError

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self.theme = theme

    def suit(self, width: int) -> None:
        """Be no wider than so many px, if that can be."""

    def heading(self, words: str) -> QLabel:
        """Add a heading."""
        label = QLabel(words)
        label.setObjectName("heading")
        self.column.addSpacing(6)
        self.column.addWidget(label)
        return label


def choice_pick(document: Document, key: str) -> Pick:
    """A field for one choice of the design."""
    label = table.choice(key).label
    link = Link(
        lambda d: d.choice(key),
        lambda d, option: edit.put_choice(d, key, option),
        lambda: f"Set {_small(label)}",
    )
    pick = Pick(document, link, partial(_options, key=key))
    pick.setAccessibleName(label)
    return pick


def _options(design: Design, key: str) -> tuple[tuple[str, str], ...]:
    return tuple((option, design.option_label(key, option)) for option in design.options(key))


def _small(label: str) -> str:
    return label[:1].lower() + label[1:]


def number_entry(document: Document, address: str) -> Entry:
    """A field for one dimension, in the design's unit without naming it."""
    spec = table.spec(address)
    link = Link(
        lambda d: d.typed.get(address) or _bare(d, address),
        lambda d, text: edit.type_in(d, address, text),
        lambda: f"Type {spec.label.lower()}",
    )
    made = Entry(document, link)
    made.setAccessibleName(spec.label)
    made.setToolTip(spec.help)
    made.setAlignment(Qt.AlignmentFlag.AlignRight)
    return made


def _bare(design: Design, address: str) -> str:
    return format_value(edit.get(design, address), table.spec(address).unit, design.unit)


def unit_beside(design: Design, address: str) -> str:
    """The unit that stands beside a field; "" where the text in it names its own."""
    return "" if address in design.typed else symbol(table.spec(address).unit, design.unit)


class Choices(QWidget):
    """Several choices with their captions, in columns, and a line for what is wrong."""

    def __init__(
        self, document: Document, keys: Iterable[str], wide: int, strip: Callable[[str], str]
    ) -> None:
        super().__init__()
        self.picks = {key: choice_pick(document, key) for key in keys}
        self._note = Note()
        self._captions = {key: QLabel(strip(table.choice(key).label)) for key in self.picks}
        self._most, self._wide = wide, 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(5)
        for key, pick in self.picks.items():
            self._captions[key].setBuddy(pick)
            pick.told.connect(self._note.warn)
        self._lay(wide)
        chain(list(self.picks.values()))

    def suit(self, width: int) -> None:
        """Stand in as many columns as there is room for in so many px."""
        caption = max(label.sizeHint().width() for label in self._captions.values())
        fits = width // (caption + CHOICE + 30)
        self._lay(min(self._most, max(fits, 1)))

    def _lay(self, wide: int) -> None:
        if wide == self._wide:
            return
        grid, self._wide = self._grid, wide
        deep = -(-len(self.picks) // wide)
        for k, (key, pick) in enumerate(self.picks.items()):
            at = 3 * (k // deep)
            grid.addWidget(self._captions[key], k % deep, at)
            grid.addWidget(pick, k % deep, at + 1)
        for column in range(self._most):
            used = column < wide
            grid.setColumnStretch(3 * column + 1, int(used))
            grid.setColumnMinimumWidth(3 * column + 2, 14 if used else 0)
        grid.addWidget(self._note, deep, 0, 1, 3 * wide)

    def refresh(self) -> None:
        """Follow the design."""
        for pick in self.picks.values():
            pick.refresh()

    def go_to(self, address: str) -> bool:
        """Put the cursor on a choice."""
        if address in self.picks:
            self.picks[address].setFocus(Qt.FocusReason.OtherFocusReason)
        return address in self.picks


class Numbers(QWidget):
    """Several dimensions with their captions, in columns, and a line for what is wrong."""

    def __init__(self, document: Document, addresses: Iterable[str], wide: int) -> None:
        super().__init__()
        self.entries = {address: number_entry(document, address) for address in addresses}
        self._document = document
        self._units = {address: QLabel() for address in self.entries}
        self._note = Note()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(5)
        deep = -(-len(self.entries) // wide)
        for k, (address, made) in enumerate(self.entries.items()):
            caption = QLabel(table.spec(address).label)
            caption.setBuddy(made)
            made.setFixedWidth(68)
            self._units[address].setObjectName("quiet")
            at = 4 * (k // deep)
            for place, widget in enumerate((caption, made, self._units[address])):
                grid.addWidget(widget, k % deep, at + place)
            grid.setColumnMinimumWidth(at + 3, 14)
            made.told.connect(partial(self._warn, table.spec(address).label))
        grid.addWidget(self._note, deep, 0, 1, 4 * wide)
        grid.setColumnStretch(4 * wide, 1)
        chain(list(self.entries.values()))

    def _warn(self, label: str, fault: str) -> None:
        self._note.warn(f"{label}: {fault}" if fault else "")

    def refresh(self) -> None:
        """Follow the design."""
        for address, made in self.entries.items():
            made.refresh()
            self._units[address].setText(unit_beside(self._document.design, address))

    def go_to(self, address: str) -> bool:
        """Put the cursor into a field."""
        if address in self.entries:
            self.entries[address].setFocus(Qt.FocusReason.OtherFocusReason)
        return address in self.entries


class TableMenu(QToolButton):
    """A button with a menu of what a table lists; the menu is made when it is opened."""

    def __init__(self, words: str, groups: Callable[[], Iterable[Group]]) -> None:
        super().__init__()
        self._groups = groups
        self.setText(f"{words} ▾")
        self.setAccessibleName(words)
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        menu = QMenu(self)
        menu.aboutToShow.connect(self._fill)
        self.setMenu(menu)

    def _fill(self) -> None:
        menu = self.menu()
        menu.clear()
        for heading, lines in self._groups():
            below = menu.addMenu(heading) if heading else menu
            for words, take in lines:
                below.addAction(words).triggered.connect(lambda _on=False, act=take: act())

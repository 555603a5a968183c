"""The part of the shop page for the values behind the checks: all tables in a list, the row turned to beside it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from desk.design.model import Design
from desk.ui.announce import announce
from desk.ui.document import Document
from desk.ui.shop_lines import Line, LineList
from desk.ui.shop_parts import Part
from desk.ui.shop_shelf import Spot, first_value, matching, mine, own_row, row_of, spot, title
from desk.ui.shop_value import OpenRow
from desk.views.theme import Theme

YOURS = "yours"
"""Key of the heading over one's own values; the rows below it have it before their own keys."""
FIRST = "needs"
"""The table that is open at first."""
INVITATION = (
    "Every limit and every property of wood, hardware and hands that the checks reckon with stands here with its "
    "source. Turn to a line to put a value of your own in its place. It is kept with this design, and every finding "
    "that rests on it says so."
)


def value_lines(design: Design, words: str, opened: set[str], unfinished: set[str]) -> list[Line]:
    """The list: one's own values first, then every table; a search opens what it finds."""
    lines: list[Line] = []
    own = mine(design) if not words.strip() else ()
    if own:
        shut = YOURS not in opened
        lines.append(Line(YOURS, "Your own", f"{len(own)}", heading=True, folded=shut))
        lines += [_line(design, at, f"{YOURS}:", unfinished) for at in own] if not shut else []
    for shelf, found in matching(design, words):
        if not found and words.strip():
            continue
        shut = not words.strip() and shelf.id not in opened
        lines.append(Line(shelf.id, shelf.label, f"{len(found)}", heading=True, folded=shut))
        lines += [_line(design, at, "", unfinished) for at in found] if not shut else []
    return lines


def _line(design: Design, at: Spot, before: str, unfinished: set[str]) -> Line:
    row = row_of(design, at)
    assert row is not None
    own = own_row(design, at) is not None
    about = "not taken yet" if at.key in unfinished else "yours" if own else ""
    words = f"{about}  {first_value(design, at)}" if about else first_value(design, at)
    return Line(f"{before}{at.key}", title(row), "", words, tip=title(row), marked=own)


class ValuesPart(Part):
    """Search and list at the left, the row turned to at the right."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme)
        self._opened = {FIRST, YOURS}
        self._rows: dict[str, OpenRow] = {}
        self._areas: dict[str, QScrollArea] = {}
        self.search = QLineEdit()
        self.search.setPlaceholderText("Search values and sources")
        self.search.setAccessibleName("Search the values behind the checks")
        self.search.setClearButtonEnabled(True)
        self.count = QLabel()
        self.count.setObjectName("count")
        self.list = LineList(theme, "Values behind the checks", 0, signs=False)
        self.stack = QStackedWidget()
        self.stack.addWidget(self._invitation())
        self._build()
        self.search.textChanged.connect(self._search)
        self.search.returnPressed.connect(self._first)
        self.list.turned.connect(self.open)
        self.list.taken.connect(self._enter)
        self.list.folded.connect(self._fold)

    def _build(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.search, 1)
        top.addWidget(self.count)
        left = QVBoxLayout()
        left.setSpacing(6)
        left.addLayout(top)
        left.addWidget(self.list, 1)
        self.list.setMinimumWidth(250)
        row = QHBoxLayout()
        row.setSpacing(4)
        row.addLayout(left, 2)
        row.addWidget(self.stack, 3)
        self.column.addLayout(row, 1)
        self.setMinimumHeight(300)

    def _invitation(self) -> QWidget:
        label = QLabel(INVITATION)
        label.setObjectName("quiet")
        label.setWordWrap(True)
        label.setAlignment(Qt.AlignmentFlag.AlignTop)
        label.setContentsMargins(12, 8, 12, 8)
        return label

    # --- following the design

    def refresh(self) -> None:
        """Follow the design."""
        design = self.document.design
        for key in [k for k in self._rows if row_of(design, spot(k)) is None]:
            self._drop(key)
        for opened in self._rows.values():
            opened.refresh()
        self._show()

    def _show(self) -> None:
        unfinished = {key for key, opened in self._rows.items() if opened.unfinished}
        self.list.show_lines(value_lines(self.document.design, self.search.text(), self._opened, unfinished))

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        super().set_theme(theme)
        self.list.set_theme(theme)

    # --- the row turned to

    def open(self, line: str) -> None:
        """Open a row; one with something unfinished in it is kept as it is when left."""
        key = line.removeprefix(f"{YOURS}:")
        for other in [k for k, opened in self._rows.items() if k != key and not opened.unfinished]:
            self._drop(other)
        if key not in self._rows:
            opened = OpenRow(self.document, spot(key))
            opened.wanted.connect(self._go)
            area = QScrollArea()
            area.setObjectName("shop")
            area.setWidgetResizable(True)
            area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            area.setWidget(opened)
            self.stack.addWidget(area)
            self._rows[key], self._areas[key] = opened, area
        self.stack.setCurrentWidget(self._areas[key])
        self._show()

    def _drop(self, key: str) -> None:
        area = self._areas.pop(key)
        self._rows.pop(key)
        self.stack.removeWidget(area)
        area.deleteLater()

    def _go(self, key: str) -> None:
        """Turn to a row wherever it is."""
        self.search.clear()
        self._opened.add(spot(key).table)
        self._show()
        self.list.turn_to(key)
        self.list.scrollTo(self.list.currentIndex())
        self.open(key)
        self._enter(key)

    def _enter(self, line: str) -> None:
        """Put the cursor into the row's first field."""
        opened = self._rows.get(line.removeprefix(f"{YOURS}:"))
        if opened is None:
            return
        first = opened.label if opened.label.isVisible() else opened.lines[0].entry
        first.setFocus(Qt.FocusReason.OtherFocusReason)
        first.selectAll()

    def go_to(self, address: str) -> bool:
        """Turn to a row by its key, "needs/lip_least"."""
        if "/" not in address or row_of(self.document.design, spot(address)) is None:
            return False
        self._go(address)
        return True

    # --- search and folding

    def _search(self, text: str) -> None:
        self._show()
        found = sum(1 for line in self.list.model_.lines if not line.heading)
        self.count.setText(f"{found} found" if text.strip() else "")
        if text.strip():
            announce(self.search, f"{found} values found")

    def _first(self) -> None:
        """Enter in the search field turns to the first row found."""
        line = next((each for each in self.list.model_.lines if not each.heading), None)
        if line is not None:
            self.list.turn_to(line.key)
            self.open(line.key)
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def _fold(self, key: str, folded: bool) -> None:
        (self._opened.discard if folded else self._opened.add)(key)
        self._show()
        self.list.turn_to(key)

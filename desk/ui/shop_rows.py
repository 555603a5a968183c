"""One table of the shop page: a row of fields for each sheet, bit, dowel or screw, with a line of its own beneath.

The line tells what the row is used for, or what is wrong with what was typed in it. Rows belong to their items by id,
so that a field with something unfinished in it stays with its item when rows come and go.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from desk.design import edit
from desk.design.model import Design, Entry, Named
from desk.design.table import ITEM_NOUN, ListName
from desk.ui.announce import announce
from desk.ui.document import Document
from desk.ui.list_items import another
from desk.ui.shop_columns import (
    COLUMNS,
    Column,
    cell_name,
    cell_options,
    entry,
    is_open,
    note_of,
    read_cell,
    remove_row,
    step_words,
    write_cell,
)
from desk.ui.shop_fields import Entry as Line
from desk.ui.shop_fields import Field, Link, Note, Pick, attempt, chain
from desk.ui.shop_texts import listed
from desk.ui.surface import PathStore, QtSurface
from desk.views.theme import Theme
from desk.views.viewport import Viewport

GAP = 6
LINES = 4
"""Grid rows of one row: fields, more fields where there is little room, note, rule."""
TINTS = 6
"""Sheets that have a tint of their own in the drawings."""
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter

Users = Callable[[Design, Entry], tuple[str, ...]]
"""What else takes an item, in words."""


def nobody(_design: Design, _entry: Entry) -> tuple[str, ...]:
    """No further users."""
    return ()


class Swatch(QWidget):
    """The tint a sheet has in the drawings."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme, self.number = theme, 0
        self.setFixedSize(QSize(18, 22))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it; sheets beyond the last tint have none."""
        if 0 < self.number <= TINTS:
            painter = QPainter(self)
            surface = QtSurface(painter, Viewport(), PathStore(), self.theme.colour("sheet"))
            surface.box((1.0, 5.0, 16.0, 18.0), self.theme.stroke(f"stock-{self.number}"))
            painter.end()


class Row:
    """The widgets of one item. ``item`` is its place, from 1."""

    def __init__(self, rows: Rows, key: str, item: int) -> None:
        self.key, self.item = key, item
        self._rows = rows
        self._faults: dict[str, str] = {}
        self.swatch = Swatch(rows.theme)
        self.cells: dict[str, Field | QLabel] = {c.field: self._cell(c) for c in rows.columns}
        self.more = QWidget()
        self._more = QHBoxLayout(self.more)
        self._more.setContentsMargins(0, 3, 0, 0)
        self._more.setSpacing(GAP)
        self._captions = {c.field: QLabel(c.heading) for c in rows.columns if c.second}
        for caption in self._captions.values():
            caption.setObjectName("column")
        self.note = Note(always=not rows.beside)
        self.copy, self.remove = QToolButton(), QToolButton()
        for button, words in ((self.copy, "Duplicate"), (self.remove, "Remove")):
            button.setText(words)
            button.setObjectName("small")
        self.copy.clicked.connect(lambda: rows.duplicate(self))
        self.remove.clicked.connect(lambda: rows.take_out(self))
        self.rule = QFrame()
        self.rule.setObjectName("rule")
        self.foot = QWidget()
        line = QHBoxLayout(self.foot)
        line.setContentsMargins(0, 1, 0, 3)
        line.setSpacing(2)
        line.addWidget(self.note, 1)
        self.buttons = QWidget()
        both = QHBoxLayout(self.buttons)
        both.setContentsMargins(0, 0, 0, 0)
        both.setSpacing(2)
        both.addWidget(self.copy)
        both.addWidget(self.remove)
        if not rows.beside:
            line.addWidget(self.buttons)

    @property
    def fields(self) -> dict[str, Field]:
        """The cells that something can be typed into or picked in."""
        return {key: cell for key, cell in self.cells.items() if isinstance(cell, Line | Pick)}

    @property
    def widgets(self) -> list[QWidget]:
        """All of it, as it lies in the table."""
        swatch = [self.swatch] if self._rows.name == "stocks" else []
        buttons = [self.buttons] if self._rows.beside else []
        return [*swatch, *self.cells.values(), *buttons, self.more, self.foot, self.rule]

    def lay_more(self, fields: list[str]) -> None:
        """Put these cells on a line of their own, each after its heading."""
        if not fields or self._more.count():
            return
        for field in fields:
            self._more.addWidget(self._captions[field])
            self._more.addWidget(self.cells[field])
        self._more.addStretch(1)

    def clear_more(self) -> None:
        """Take all cells off the line of their own."""
        while (item := self._more.takeAt(0)) is not None:
            widget = item.widget()
            if isinstance(widget, QLabel) and widget in self._captions.values():
                widget.setParent(None)

    @property
    def stops(self) -> list[QWidget]:
        """Where Tab goes, in order."""
        return [*self.fields.values(), self.copy, self.remove]

    def _cell(self, column: Column) -> Field | QLabel:
        rows = self._rows
        if column.kind == "told":
            label = QLabel()
            label.setAlignment(RIGHT)
            label.setContentsMargins(0, 0, 6, 0)
            label.setMinimumWidth(column.width)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            return label
        link = Link(
            lambda d: read_cell(d, rows.name, self.item, column),
            lambda d, text: write_cell(d, rows.name, self.item, column, text),
            lambda: step_words(rows.name, column),
        )
        made: Field
        if column.kind == "pick":
            made = Pick(rows.document, link, partial(cell_options, column=column))
        else:
            made = Line(rows.document, link)
            made.setAlignment(LEFT if column.kind in ("text", "readings") else RIGHT)
        made.setMinimumWidth(column.width)
        made.told.connect(lambda fault: self._warn(column, fault))
        return made

    def _warn(self, column: Column, fault: str) -> None:
        self._faults[column.heading] = fault
        self._tell()
        if fault:
            announce(self.cells[column.field], fault)

    def _tell(self) -> None:
        """Tell the first thing that is wrong in the row."""
        told = (f"{heading}: {fault}" for heading, fault in self._faults.items() if fault)
        self.note.warn(next(told, ""))

    def refresh(self) -> None:
        """Follow the design."""
        rows, design = self._rows, self._rows.document.design
        for column in rows.columns:
            cell = self.cells[column.field]
            if isinstance(cell, QLabel):
                cell.setText(read_cell(design, rows.name, self.item, column))
                continue
            cell.refresh()
            cell.setEnabled(is_open(design, rows.name, self.item, column))
            cell.setAccessibleName(cell_name(design, rows.name, self.item, column))
            if column.tip and not isinstance(cell, Pick):
                cell.setToolTip(column.tip)
        item = entry(design, rows.name, self.item)
        label = item.label if isinstance(item, Named) else ""
        self.copy.setAccessibleName(f"Duplicate {label}")
        self.remove.setAccessibleName(f"Remove {label}")
        self._tell()
        self.swatch.number = self.item
        users = rows.users(design, item)
        told = f"For {listed(users)}" if users else "" if rows.beside else "Taken by no joint"
        self.note.say(note_of(design, rows.name, self.item) or told)


class Rows(QWidget):
    """The table of one list. ``users`` tells what takes an item beyond the design's choices."""

    def __init__(
        self, document: Document, theme: Theme, name: ListName, none: str, users: Users = nobody
    ) -> None:
        super().__init__()
        self.document, self.theme, self.name, self.users = document, theme, name, users
        self.columns = COLUMNS[name]
        self.rows: dict[str, Row] = {}
        self.narrow = False
        """Whether there is too little room for all cells of a row in one line."""
        self._wide = 0
        """Width of all cells in one line, px; 0 before it is known."""
        self.beside = name == "bits"
        """Whether the buttons of a row stand beside its cells: there is room where the cells are few."""
        self._first = 1 if name == "stocks" else 0
        """The grid's column of the first cells; sheets have their tint before them."""
        self._heads = [QLabel() for _ in self.columns]
        self._none = Note(none)
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(GAP)
        self._grid.setVerticalSpacing(0)
        self.foot = QHBoxLayout()
        self.foot.setContentsMargins(0, 4, 0, 0)
        self.add = QToolButton()
        self.add.setText(f"+ Add a {_noun(name)}")
        self.add.clicked.connect(lambda: self.duplicate(None))
        self.foot.addWidget(self.add)
        self.foot.addStretch(1)
        self._unit = QLabel()
        self._unit.setObjectName("quiet")
        self.foot.addWidget(self._unit)
        for k, (column, head) in enumerate(zip(self.columns, self._heads, strict=True), self._first):
            head.setObjectName("column")
            head.setToolTip(column.tip)
            head.setAlignment(LEFT if column.kind in ("text", "readings", "pick") else RIGHT)
            self._grid.addWidget(head, 0, k)
            self._grid.setColumnStretch(k, column.stretch)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(self._grid)
        box.addWidget(self._none)
        box.addLayout(self.foot)
        self.setAccessibleName(f"Table of {self.columns[0].heading.lower()}")
        self.refresh()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self.theme = theme
        for row in self.rows.values():
            row.swatch.theme = theme
            row.swatch.update()

    # --- following the design

    def refresh(self) -> None:
        """Show the items there are."""
        design = self.document.design
        keys = tuple(e.id for e in design.entries(self.name) if isinstance(e, Named))
        if keys != tuple(self.rows):
            self._lay(keys)
        for column, head in zip(self.columns, self._heads, strict=True):
            head.setText(column.heading)
            head.setVisible(bool(keys) and not (self.narrow and column.second))
        self._none.setVisible(not keys)
        self._unit.setText("lengths in inches" if design.unit == "in" else "lengths in mm")
        self._unit.setVisible(bool(keys))
        for row in self.rows.values():
            row.refresh()

    def _lay(self, keys: tuple[str, ...]) -> None:
        """Rows for these items in this order; those of items that are still there stay as they are."""
        for key in self.rows.keys() - set(keys):
            for widget in self.rows[key].widgets:
                self._grid.removeWidget(widget)
                widget.hide()
                widget.deleteLater()
        was, self.rows = self.rows, {}
        for item, key in enumerate(keys, 1):
            row = was.get(key) or Row(self, key, item)
            row.item = item
            self.rows[key] = row
            self._place(row)
        chain(self.stops)

    def suit(self, width: int) -> None:
        """Be no wider than so many px, if that can be: cells that may go on a second line do."""
        if not any(column.second for column in self.columns):
            return
        if not self.narrow:
            self._wide = self._grid.minimumSize().width()
        if self.rows and (narrow := width < self._wide) != self.narrow:
            self.narrow = narrow
            for row in self.rows.values():
                row.clear_more()
                self._place(row)
            self.refresh()

    def _place(self, row: Row) -> None:
        line = 1 + (row.item - 1) * LINES
        last = len(self.columns)
        second = [c.field for c in self.columns if c.second and self.narrow]
        if self._first:
            self._grid.addWidget(row.swatch, line, 0)
        for k, column in enumerate(self.columns, self._first):
            if column.field not in second:
                self._grid.addWidget(row.cells[column.field], line, k)
        row.lay_more(second)
        if self.beside:
            self._grid.addWidget(row.buttons, line, last + self._first)
        self._grid.addWidget(row.more, line + 1, self._first, 1, last)
        self._grid.addWidget(row.foot, line + 2, self._first, 1, last)
        self._grid.addWidget(row.rule, line + 3, 0, 1, last + self._first + 1)
        for widget in row.widgets:
            widget.show()  # at once, so that it can take the keyboard
        row.more.setVisible(bool(second))

    @property
    def stops(self) -> list[QWidget]:
        """Where Tab goes, in order."""
        return [stop for row in self.rows.values() for stop in row.stops] + [self.add]

    # --- rows that come and go

    def duplicate(self, row: Row | None) -> None:
        """Add an item like that of a row, or like the last one."""
        made, place = another(self.document.design, self.name, row.item if row else 0)
        self.insert(made, place)

    def insert(self, made: Entry, place: int | None = None) -> None:
        """Add an item and go to its first field."""
        noun = ITEM_NOUN[self.name]
        fault = attempt(self.document, f"Add a {noun}", lambda d: edit.add_item(d, made, place))
        assert isinstance(made, Named)
        self.refresh()
        row = self.rows.get(made.id)
        if fault or row is None:
            self.document.refuse(fault)
            return
        first = next(iter(row.fields.values()))
        first.setFocus(Qt.FocusReason.OtherFocusReason)
        if isinstance(first, Line):
            first.selectAll()

    def take_out(self, row: Row) -> None:
        """Remove a row, unless it is in use."""
        design = self.document.design
        users = self.users(design, entry(design, self.name, row.item))
        noun = ITEM_NOUN[self.name]
        fault = attempt(
            self.document, f"Remove a {noun}", lambda d: remove_row(d, self.name, row.item, users)
        )
        row.note.warn(fault)
        if fault:
            announce(row.remove, fault)
            return
        near = next((r for r in self.rows.values() if r.item == row.item), None) or next(
            reversed(self.rows.values()), None
        )
        stop = near.remove if near else self.add
        stop.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, item: int, field: str) -> bool:
        """Put the cursor into a cell; False when there is none."""
        row = next((r for r in self.rows.values() if r.item == item), None)
        cell = row.fields.get("readings" if field == "measured" else field) if row else None
        if cell is None:
            return False
        cell.setFocus(Qt.FocusReason.OtherFocusReason)
        return True


def _noun(name: ListName) -> str:
    return {"stocks": "sheet"}.get(name, ITEM_NOUN[name])

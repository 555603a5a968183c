"""One row of the values behind the checks, opened: every number with its source, and one's own in its place.

A number of one's own is shown as such, with what the table has beside it and one press back to it.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from desk.design import edit
from desk.design.model import Design
from desk.shop.tables import Field, shelves
from desk.ui.document import Document
from desk.ui.note_card import FLAG_WORDS
from desk.ui.shop_fields import Entry, Link, Note, attempt, chain
from desk.ui.shop_shelf import (
    Cell,
    Spot,
    add_like,
    can_add,
    cells,
    give_back,
    is_fixed,
    is_new,
    own_row,
    read_value,
    row_of,
    title,
    write_label,
    write_note,
    write_value,
)

FIXED = "Set by law for the safety of children. Nobody can change it here."
NUMBER = 100
"""Width of a field, px."""


class ValueLine:
    """One number: caption, field, unit, what the table has, the way back, and a line for source or fault."""

    def __init__(self, opened: OpenRow, field: Field, grid: QGridLayout, line: int) -> None:
        self.field = field
        document, at = opened.document, opened.at
        link = Link(
            lambda d: read_value(d, at, field),
            lambda d, text: write_value(d, at, field, text),
            lambda: f"Set {field.label[:1].lower()}{field.label[1:]}",
        )
        self.caption = QLabel(field.label)
        self.caption.setWordWrap(True)
        self.entry = Entry(document, link)
        self.entry.setFixedWidth(NUMBER + (80 if field.pair or field.many else 0))
        self.entry.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.entry.setEnabled(not is_fixed(at))
        self.caption.setBuddy(self.entry)
        self.unit, self.before = QLabel(), QLabel()
        self.unit.setObjectName("quiet")
        self.before.setObjectName("mine")
        self.back = QToolButton()
        self.back.setObjectName("back")
        self.back.setText("Back to the table's")
        self.back.clicked.connect(lambda: opened.give_back(field))
        self.note = Note()
        self.note.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.entry.told.connect(self.note.warn)
        self.caption.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.note.setContentsMargins(0, 1, 0, 9)
        grid.addWidget(self.caption, line, 0)
        grid.addLayout(_in_a_row(self.entry, self.unit), line, 1)
        grid.addLayout(_in_a_row(self.before, self.back), line + 1, 0, 1, 2)
        grid.addWidget(self.note, line + 2, 0, 1, 2)

    def show(self, cell: Cell, row: str, source: bool) -> None:
        """Follow the design; the source is told once for numbers in a row that share it."""
        self.entry.refresh()
        self.entry.setAccessibleName(f"{cell.label}, {row}" + (", your own value" if cell.own else ""))
        self.unit.setText(cell.unit)
        self.before.setText(
            f"Yours; the table has {cell.before}" if cell.before else "Yours" if cell.own else ""
        )
        self.before.setVisible(cell.own)
        self.back.setVisible(bool(cell.before))
        self.back.setAccessibleName(f"{cell.label}: back to the table's {cell.before}")
        table = "The table's source: " if cell.before else ""
        told = f"{table}{cell.source} ({FLAG_WORDS[cell.flag]})" if source and cell.flag != "own" else ""
        self.note.say(told)


def _in_a_row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(6)
    for widget in widgets:
        row.addWidget(widget)
    row.addStretch(1)
    return row


class OpenRow(QWidget):
    """A row opened. ``wanted`` asks for another row to be opened, by its key."""

    wanted = Signal(str)

    def __init__(self, document: Document, at: Spot) -> None:
        super().__init__()
        self.setObjectName("shop")
        self.document, self.at = document, at
        self._title, self._table = QLabel(), QLabel(shelves()[at.table].label)
        self._title.setObjectName("heading")
        self._title.setWordWrap(True)
        self._table.setObjectName("quiet")
        self._fixed = Note(FIXED if is_fixed(at) else "")
        self.label = self._text("label", "Name", write_label)
        self.note = self._text("note", "Where yours is from", write_note)
        self._texts = Note()
        for line in (self.label, self.note):
            line.told.connect(self._texts.warn)
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(0, 3)
        grid.setColumnStretch(1, 2)
        shelf = shelves()[at.table]
        self.lines = [ValueLine(self, f, grid, 1 + 3 * k) for k, f in enumerate(shelf.fields.values())]
        self.more, self.remove = QToolButton(), QToolButton()
        self.more.setText("Add one like this")
        self.more.clicked.connect(self._add)
        self.remove.setText("Remove")
        self.remove.clicked.connect(self._remove)
        self._lay(grid)
        self.refresh()

    def _lay(self, grid: QGridLayout) -> None:
        last = 1 + 3 * len(self.lines)
        self._captions = []
        for line, place in ((self.label, 0), (self.note, last)):
            caption = QLabel(line.accessibleName())
            caption.setBuddy(line)
            self._captions.append(caption)
            grid.addWidget(caption, place, 0)
            grid.addWidget(line, place, 1)
        grid.addWidget(self._texts, last + 1, 0, 1, 2)
        foot = QHBoxLayout()
        for button in (self.more, self.remove):
            foot.addWidget(button)
        foot.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 12, 8)
        column.setSpacing(6)
        for widget in (self._title, self._table, self._fixed):
            column.addWidget(widget)
        column.addLayout(grid)
        column.addLayout(foot)
        column.addStretch(1)
        stops: list[QWidget] = [self.label] if is_new(self.at) else []
        stops += [stop for line in self.lines for stop in (line.entry, line.back)]
        chain([*stops, self.note, self.more, self.remove])

    def _text(self, what: str, name: str, write: Callable[[Design, Spot, str], Design]) -> Entry:
        def read(design: Design) -> str:
            own = own_row(design, self.at)
            return getattr(own, what) if own is not None else ""

        link = Link(read, lambda d, text: write(d, self.at, text), lambda: f"Set {name.lower()}")
        made = Entry(self.document, link)
        made.setAccessibleName(name)
        return made

    @property
    def unfinished(self) -> bool:
        """Whether something is typed here that could not be taken."""
        return any(line.entry.changed for line in self.lines) or self.label.changed or self.note.changed

    def refresh(self) -> None:
        """Follow the design."""
        design, row = self.document.design, row_of(self.document.design, self.at)
        if row is None:
            return
        self._title.setText(title(row))
        own, new = own_row(design, self.at), is_new(self.at)
        every = cells(design, self.at)
        for k, (line, cell) in enumerate(zip(self.lines, every, strict=True)):
            after = every[k + 1] if k + 1 < len(every) else None
            same = after is not None and (after.source, after.flag) == (cell.source, cell.flag)
            line.show(cell, title(row), source=not same or bool(cell.before))
        shown = (new, own is not None)
        for seen, text, caption in zip(shown, (self.label, self.note), self._captions, strict=True):
            text.refresh()
            text.setVisible(seen)
            caption.setVisible(seen)
        self.more.setVisible(can_add(self.at))
        self.remove.setVisible(new)

    def give_back(self, field: Field) -> None:
        """Take the table's number again."""
        step = f"Take the table's {field.label[:1].lower()}{field.label[1:]}"
        fault = attempt(self.document, step, lambda d: give_back(d, self.at, field))
        line = next(line for line in self.lines if line.field is field)
        line.note.warn(fault)
        if not fault:
            line.entry.give_up()
            line.entry.setFocus(Qt.FocusReason.OtherFocusReason)

    def _add(self) -> None:
        own, there = add_like(self.document.design, self.at)
        if not attempt(self.document, f"Add {own.label}", lambda d: edit.put_own(d, own)):
            self.wanted.emit(there.key)

    def _remove(self) -> None:
        own = own_row(self.document.design, self.at)
        like = Spot(self.at.table, own.like).key if own is not None else ""
        fault = attempt(
            self.document,
            f"Remove {self._title.text()}",
            lambda d: edit.remove_own(d, self.at.table, self.at.row),
        )
        self._texts.warn(fault)
        if not fault:
            self.wanted.emit(like)

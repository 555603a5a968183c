"""The values behind the checks as the shop page lists them: rows of the shop's tables with the person's own over them.

No Qt. Numbers are shown in the design's unit where they are lengths; sources and flags are those of the tables.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from desk.design import edit
from desk.design.model import Design
from desk.design.own import OwnRow
from desk.design.refusals import EditError
from desk.shop.sourced import Flag
from desk.shop.tables import Field, Row, Shelf, shelves
from desk.ui.list_items import free_id
from desk.ui.shop_texts import number_text, parse_number, unit_sign

ORDER = (
    "needs",
    "loads",
    "hands",
    "materials",
    "screws",
    "dowels",
    "nails",
    "balls",
    "bits",
    "films",
    "regions",
)
"""The tables as they are listed; further ones come after these."""


@dataclass(frozen=True)
class Spot:
    """One row of one table."""

    table: str
    row: str

    @property
    def key(self) -> str:
        """As text."""
        return f"{self.table}/{self.row}"


@dataclass(frozen=True)
class Cell:
    """One number of a row as it is shown: its text without the unit, where it is from, and what stands in the table."""

    field: Field
    label: str
    text: str
    unit: str
    source: str
    flag: Flag
    own: bool
    before: str
    """What the table has, with its unit; "" where the number is the table's or the row is the person's own."""


def in_order() -> tuple[Shelf, ...]:
    """Every table, as listed."""
    known = shelves()
    first = [known[key] for key in ORDER if key in known]
    return (*first, *(shelf for key, shelf in known.items() if key not in ORDER))


def spot(key: str) -> Spot:
    """The row with this key."""
    table, _, row = key.partition("/")
    return Spot(table, row)


def row_of(design: Design, at: Spot) -> Row | None:
    """The row, the person's own values over it; None when there is none."""
    return design.tables.rows(at.table).get(at.row)


def title(row: Row) -> str:
    """What a row is called."""
    return row.label[:1].upper() + row.label[1:]


def own_row(design: Design, at: Spot) -> OwnRow | None:
    """The person's own values for a row."""
    return next((own for own in design.own if (own.table, own.id) == (at.table, at.row)), None)


def is_new(at: Spot) -> bool:
    """Whether the row is the person's own and not of the table."""
    return at.row not in shelves()[at.table].rows


def is_fixed(at: Spot) -> bool:
    """Whether nobody may change the row."""
    return at.row in shelves()[at.table].fixed


def can_add(at: Spot) -> bool:
    """Whether rows like this one can be added."""
    return shelves()[at.table].add


def row_unit(row: Row) -> str:
    """The unit a row gives for numbers whose field has none."""
    return row.words.get("unit", "")


def first_value(design: Design, at: Spot) -> str:
    """The first number of a row with its unit, for a list."""
    row = row_of(design, at)
    if row is None:
        return ""
    field = next(iter(shelves()[at.table].fields.values()))
    sign = unit_sign(field, row_unit(row), design.unit)
    return _joined(number_text(field, row.values[field.id], row_unit(row), design.unit), sign)


def _joined(text: str, sign: str) -> str:
    return f"{text}{sign}" if sign == "°" else f"{text} {sign}".strip() if text else ""


def cells(design: Design, at: Spot) -> tuple[Cell, ...]:
    """Every number of a row; none when there is no such row."""
    row, shelf, own = row_of(design, at), shelves()[at.table], own_row(design, at)
    if row is None:
        return ()
    unit = row_unit(row)
    out = []
    for field in shelf.fields.values():
        mine = own is not None and field.id in own.values
        source = row.sources[field.id]
        sign = unit_sign(field, unit, design.unit)
        before = ""
        if mine and not is_new(at):
            shipped = shelf.rows[at.row].values[field.id]
            before = _joined(number_text(field, shipped, unit, design.unit), sign) or "none"
            source = shelf.rows[at.row].sources[field.id]
        text = number_text(field, row.values[field.id], unit, design.unit)
        out.append(Cell(field, field.label, text, sign, source.text, source.flag, mine, before))
    return tuple(out)


def read_value(design: Design, at: Spot, field: Field) -> str:
    """A number as it stands in its field."""
    row = row_of(design, at)
    return number_text(field, row.values[field.id], row_unit(row), design.unit) if row is not None else ""


def write_value(design: Design, at: Spot, field: Field, text: str) -> Design:
    """The design with a number of one's own; nothing given is the table's again. Raises UnitError, EditError."""
    if not text.strip():
        return edit.put_own_value(design, at.table, at.row, field.id, None)
    row = row_of(design, at)
    unit = row_unit(row) if row is not None else ""
    value = parse_number(field, text, unit, design.unit)
    try:
        return edit.put_own_value(design, at.table, at.row, field.id, value)
    except EditError as error:
        raise EditError(str(error).removeprefix(f"{at.table} '{at.row}': ")) from None


def give_back(design: Design, at: Spot, field: Field) -> Design:
    """The design with the table's number again."""
    return edit.put_own_value(design, at.table, at.row, field.id, None)


def add_like(design: Design, at: Spot) -> tuple[OwnRow, Spot]:
    """A row of one's own that starts as this one, and where it will be. Raises EditError where none can be added."""
    row = row_of(design, at)
    if row is None or not can_add(at):
        raise EditError(f"{shelves()[at.table].label}: no rows can be added")
    key = free_id(at.row, design.tables.rows(at.table))
    return OwnRow(at.table, key, label=f"{title(row)}, mine", like=at.row), Spot(at.table, key)


def write_label(design: Design, at: Spot, text: str) -> Design:
    """The design with another name for a row of one's own. Raises EditError."""
    return _changed(design, at, label=text.strip())


def write_note(design: Design, at: Spot, text: str) -> Design:
    """The design with where one's own values are from. Raises EditError."""
    return _changed(design, at, note=text.strip())


def _changed(design: Design, at: Spot, **changes: str) -> Design:
    from msgspec.structs import replace

    own = own_row(design, at)
    if own is None:
        raise EditError("there is no value of your own here yet; type one first")
    if changes.get("label") == "":
        raise EditError("a name is wanted")
    return edit.put_own(design, replace(own, **changes))


def matching(design: Design, words: str) -> Iterator[tuple[Shelf, tuple[Spot, ...]]]:
    """The rows of each table in which all the words occur, in the name, the id, the table's label or a source."""
    wanted = words.casefold().split()
    for shelf in in_order():
        found = []
        for key, row in design.tables.rows(shelf.id).items():
            text = f"{shelf.label} {key} {row.label} {' '.join({s.text for s in row.sources.values()})}".casefold()
            if all(word in text for word in wanted):
                found.append(Spot(shelf.id, key))
        yield shelf, tuple(found)


def mine(design: Design) -> tuple[Spot, ...]:
    """The rows with values of one's own."""
    return tuple(Spot(own.table, own.id) for own in design.own)

"""The columns of the shop page's tables as values: what a cell shows and how what is typed there is taken. No Qt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from desk.design import edit
from desk.design.model import BIT_KINDS, BitEntry, Design, Entry, Named, ScrewEntry, StockEntry
from desk.design.refusals import EditError
from desk.design.table import ITEM_NOUN, ListName, spec
from desk.shop.hardware import wood_screw, wood_screws
from desk.shop.materials import materials
from desk.ui.shop_texts import (
    choosers,
    decimal,
    listed,
    mean_text,
    parse_price,
    parse_readings,
    price_text,
    readings_text,
)
from desk.units import format_value

CellKind = Literal["text", "number", "readings", "told", "pick", "price"]
Options = tuple[tuple[str, str], ...]
GRAIN_WORDS = {"length": "length", "width": "width", "none": "none"}


@dataclass(frozen=True)
class Column:
    """One column: ``field`` of the list's items, least width in px, share of the width left over.

    Where there is little room those that may go on a ``second`` line.
    """

    field: str
    heading: str
    kind: CellKind
    width: int
    stretch: int = 0
    tip: str = ""
    second: bool = False


STOCKS: tuple[Column, ...] = (
    Column("label", "Sheet", "text", 150, 2, "What you call this sheet"),
    Column("material", "Wood or board", "pick", 124, 1, "Sets strength, weight and movement"),
    Column("nominal", "Nominal", "number", 62, 0, "The thickness it is sold as"),
    Column(
        "readings",
        "Calipers",
        "readings",
        118,
        3,
        "Measure at several places and type all readings, for example 11.8 11.9 11.75",
    ),
    Column("measured", "Mean", "told", 102, 0, "Mean of the readings, plus or minus half their range"),
    Column("sheet_length", "Length", "number", 58, 0, "Length of a sheet", True),
    Column("sheet_width", "Width", "number", 58, 0, "Width of a sheet", True),
    Column("grain", "Grain along", "pick", 82, 0, "Which way of the sheet the face grain runs", True),
    Column("price", "Price", "price", 48, 0, "Of one sheet, in your money; may be left empty", True),
)
BITS: tuple[Column, ...] = (
    Column("label", "Bit", "text", 124, 3, "What you call this bit"),
    Column("kind", "Kind", "pick", 86, 1, "What it cuts"),
    Column("diameter", "Diameter", "number", 66, 1),
    Column("cutting_length", "Cutting length", "number", 92, 1, "How deep it can cut"),
    Column("angle", "V angle", "number", 56, 1, "Included angle of a V"),
)
DOWELS: tuple[Column, ...] = (
    Column("label", "Dowels", "text", 128, 3, "What you call these dowels"),
    Column("diameter", "Diameter", "number", 86, 1),
    Column("length", "Length", "number", 80, 1, "Of rod, its whole length"),
)
SCREWS: tuple[Column, ...] = (
    Column("label", "Screws", "text", 128, 3, "What you call these screws"),
    Column("size", "Size", "pick", 84, 1, "Gauge or metric size, from the table of screws"),
    Column("shank", "Shank", "told", 72, 0, "Diameter of the part without thread"),
    Column("length", "Length", "number", 80, 1),
)
COLUMNS: dict[ListName, tuple[Column, ...]] = {
    "stocks": STOCKS,
    "bits": BITS,
    "dowels": DOWELS,
    "screws": SCREWS,
}


def entry(design: Design, name: ListName, item: int) -> Entry:
    """Item ``item``, from 1, of a list."""
    return design.entries(name)[item - 1]


def cell_name(design: Design, name: ListName, item: int, column: Column) -> str:
    """What a cell is called by a screen reader: its column and its row."""
    row = entry(design, name, item)
    label = row.label if isinstance(row, Named) else f"{ITEM_NOUN[name]} {item}"
    return f"{column.heading}, {label}"


def read_cell(design: Design, name: ListName, item: int, column: Column) -> str:
    """What a cell shows; the key of the option for one that is picked."""
    row = entry(design, name, item)
    if column.kind == "told":
        return _told(design, row, column)
    if column.kind == "readings" and isinstance(row, StockEntry):
        if len(row.readings) > 1:
            return readings_text(row.readings, design.unit)
        return _number(design, f"{name}.{item}.measured")
    if column.kind == "price" and isinstance(row, StockEntry):
        return price_text(row.price)
    if column.kind == "number":
        closed = not is_open(design, name, item, column)
        return "" if closed else _number(design, f"{name}.{item}.{column.field}")
    return str(getattr(row, column.field))


def _number(design: Design, address: str) -> str:
    """A number as it was typed, else in the design's unit without naming it."""
    if address in design.typed:
        return design.typed[address]
    return format_value(edit.get(design, address), spec(address).unit, design.unit)


def _told(design: Design, row: Entry, column: Column) -> str:
    if isinstance(row, StockEntry):
        if len(row.readings) > 1:
            return mean_text(row.readings, design.unit)
        return decimal(row.measured, design.unit)
    if isinstance(row, ScrewEntry) and column.field == "shank":
        return decimal(wood_screw(row.size, design.tables).shank, design.unit)
    return ""


def write_cell(design: Design, name: ListName, item: int, column: Column, text: str) -> Design:
    """The design with what was typed or picked in a cell. Raises UnitError, EditError."""
    if column.kind == "readings":
        return _write_readings(design, f"{name}.{item}.measured", text)
    if column.kind == "price":
        return edit.put_price(design, item, parse_price(text))
    if column.kind == "number":
        return edit.type_in(design, f"{name}.{item}.{column.field}", text)
    return edit.put_text(design, f"{name}.{item}.{column.field}", text.strip())


def _write_readings(design: Design, address: str, text: str) -> Design:
    """Several readings as such; a single one as the measured size, with the text it was typed in."""
    found = parse_readings(text, design.unit)
    if len(found) > 1:
        return edit.put_readings(design, address, found)
    made = edit.type_in(design, address, text)
    return edit.put_readings(made, address, ())


def is_open(design: Design, name: ListName, item: int, column: Column) -> bool:
    """Whether a cell can be typed in or picked: the angle belongs to a V bit alone."""
    row = entry(design, name, item)
    return column.kind != "told" and (column.field != "angle" or getattr(row, "kind", "") == "vee")


def cell_options(design: Design, column: Column) -> Options:
    """What can be picked, as (key, words)."""
    if column.field == "material":
        return tuple((key, made.label) for key, made in materials(design.tables).items())
    if column.field == "size":
        return tuple((s.id, s.size) for s in wood_screws(design.tables))
    if column.field == "grain":
        return tuple(GRAIN_WORDS.items())
    return tuple((kind, kind) for kind in BIT_KINDS)


def step_words(name: ListName, column: Column) -> str:
    """What undo calls a change of a cell."""
    return f"Set {column.heading.lower()} of a {ITEM_NOUN[name]}"


def note_of(design: Design, name: ListName, item: int) -> str:
    """What stands under a row: what a sheet or a bit is chosen for."""
    row = entry(design, name, item)
    if not isinstance(row, StockEntry | BitEntry):
        return ""
    used = choosers(design, row)
    if isinstance(row, BitEntry):
        return f"For {'; '.join(used)}" if used else ""
    return f"For {listed(used)}" if used else "Not used"


def remove_row(design: Design, name: ListName, item: int, users: tuple[str, ...] = ()) -> Design:
    """The design without a row. ``users`` are further things that take it. Raises EditError where it is in use."""
    row = entry(design, name, item)
    used = (*choosers(design, row), *users) if isinstance(row, StockEntry | BitEntry) else users
    if used:
        raise EditError(f"In use for {listed(used)}. Choose another there first.")
    return edit.remove_item(design, name, item)

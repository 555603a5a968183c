"""The design: what the person chose, and nothing that can be worked out from it.

Values are frozen. The maps inside are never changed in place; desk.design.edit makes a new design for every
edit. Lengths in mm, angles in degrees, speeds in m/s.
"""

from __future__ import annotations

from typing import Literal, get_args

import msgspec

from desk.design import table
from desk.design.own import OwnRow, tables_of
from desk.shop.tables import Tables
from desk.units import Unit

TargetKind = Literal["ring", "horseshoe", "vee", "plain"]
Origin = Literal["front", "back"]
BitKind = Literal["straight", "drill", "vee", "rounding"]
Grain = Literal["length", "width", "none"]

TARGET_KINDS: tuple[str, ...] = get_args(TargetKind)
ORIGINS: tuple[str, ...] = get_args(Origin)
BIT_KINDS: tuple[str, ...] = get_args(BitKind)
GRAINS: tuple[str, ...] = get_args(Grain)


class TargetEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One target on the board face: hole centre from the middle line and up the slope, mm."""

    kind: TargetKind
    across: float
    up: float
    hole: float
    rail: float
    score: int


class PointEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One corner of the outer panels' top edge, mm. ``x`` counts from the front edge back, or from the back
    edge forward; ``z`` from the table up.
    """

    origin: Origin
    x: float
    z: float
    radius: float


class StockEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One sheet material, mm; ``measured`` is what calipers say, the mean of ``readings`` where there are any.

    ``grain`` tells which way of the sheet the face grain runs; ``price`` is that of one sheet in the person's money,
    0 where it is not given.
    """

    id: str
    label: str
    material: str
    nominal: float
    measured: float
    sheet_length: float
    sheet_width: float
    readings: tuple[float, ...] = ()
    grain: Grain = "length"
    price: float = 0.0


class BitEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One cutter, mm; ``angle`` is the included angle of a V in degrees, 0 for any other."""

    id: str
    label: str
    kind: BitKind
    diameter: float
    cutting_length: float
    angle: float = 0.0


class DowelEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Dowel pins in the drawer, mm."""

    id: str
    label: str
    diameter: float
    length: float


class ScrewEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Wood screws in the drawer: ``size`` is an id of the shop's table of screws, the length in mm."""

    id: str
    label: str
    size: str
    length: float


class Mute(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A finding, by its key, that the person does not want counted, and why.

    It holds for what was found when it was given: ``status`` and number of ``places`` then (0 where it is not known).
    """

    key: str
    reason: str
    status: Literal["tight", "conflict"] = "conflict"
    places: int = 0


Named = StockEntry | BitEntry | DowelEntry | ScrewEntry
"""Entries with an id of their own."""
Entry = TargetEntry | PointEntry | Named
ENTRY_TYPES: dict[table.ListName, type[Entry]] = {
    "targets": TargetEntry,
    "silhouette": PointEntry,
    "stocks": StockEntry,
    "bits": BitEntry,
    "dowels": DowelEntry,
    "screws": ScrewEntry,
}


class Design(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Everything a person chose. Values and choices left out are filled in from the table: both are complete.

    ``typed`` keeps the text a length was given in ("1/2 in") by address; ``locked`` holds the addresses that
    edits must leave alone, sorted. List items have addresses counted from 1. ``dowels`` and ``screws`` are the
    hardware in the drawer; ``ball_readings`` caliper readings that diameter and spread come from; ``own`` values
    laid over the shop's tables.
    """

    name: str
    notes: str = ""
    unit: Unit = "mm"
    values: dict[str, float] = {}
    choices: dict[str, str] = {}
    typed: dict[str, str] = {}
    locked: tuple[str, ...] = ()
    targets: tuple[TargetEntry, ...] = ()
    silhouette: tuple[PointEntry, ...] = ()
    stocks: tuple[StockEntry, ...] = ()
    bits: tuple[BitEntry, ...] = ()
    dowels: tuple[DowelEntry, ...] = ()
    screws: tuple[ScrewEntry, ...] = ()
    ball_readings: tuple[float, ...] = ()
    own: tuple[OwnRow, ...] = ()
    mutes: tuple[Mute, ...] = ()
    header_text: str = ""

    def __post_init__(self) -> None:
        fill = msgspec.structs.force_setattr
        if self.values.keys() != table.defaults().keys():
            fill(self, "values", {**table.defaults(), **self.values})
        if self.choices.keys() != table.choice_defaults().keys():
            fill(self, "choices", {**table.choice_defaults(), **self.choices})

    def value(self, key: str) -> float:
        """Value of a dimension by id. Raises table.UnknownAddress."""
        try:
            return self.values[key]
        except KeyError:
            raise table.UnknownAddress(f"there is no dimension '{key}'") from None

    def choice(self, key: str) -> str:
        """Option chosen, by id. Raises table.UnknownAddress."""
        try:
            return self.choices[key]
        except KeyError:
            raise table.UnknownAddress(f"there is no choice '{key}'") from None

    def options(self, key: str) -> tuple[str, ...]:
        """Options a choice has in this design. Raises table.UnknownAddress."""
        declared = table.choice(key)
        if declared.options_from is None:
            return declared.options
        if declared.options_from in ("stocks", "bits"):
            return tuple(entry.id for entry in getattr(self, declared.options_from))
        return tuple(self.tables.rows(declared.options_from))

    def option_label(self, key: str, option: str) -> str:
        """What an option of a choice is called: the label of a stock, a bit or a row, else the option itself."""
        source = table.choice(key).options_from
        if source in ("stocks", "bits"):
            return next((e.label for e in getattr(self, source) if e.id == option), option)
        row = None if source is None else self.tables.rows(source).get(option)
        return option if row is None else row.label

    @property
    def tables(self) -> Tables:
        """The shop's tables with this person's own values. Raises OwnError where one cannot stand."""
        return tables_of(self.own)

    def entries(self, list_name: table.ListName) -> tuple[Entry, ...]:
        """Items of one list."""
        items: tuple[Entry, ...] = getattr(self, list_name)
        return items

    def stock(self, key: str) -> StockEntry:
        """The stock with this id. Raises table.UnknownAddress."""
        for entry in self.stocks:
            if entry.id == key:
                return entry
        raise table.UnknownAddress(f"there is no stock '{key}'")

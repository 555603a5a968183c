"""The design: what the person chose, and nothing that can be worked out from it.

Values are frozen. The maps inside are never changed in place; desk.design.edit makes a new design for every
edit. Lengths in mm, angles in degrees, speeds in m/s.
"""

from __future__ import annotations

from typing import Literal, get_args

import msgspec

from desk.design import table
from desk.units import Unit

TargetKind = Literal["ring", "horseshoe", "vee", "plain"]
Origin = Literal["front", "back"]
BitKind = Literal["straight", "drill", "vee", "rounding"]

TARGET_KINDS: tuple[str, ...] = get_args(TargetKind)
ORIGINS: tuple[str, ...] = get_args(Origin)
BIT_KINDS: tuple[str, ...] = get_args(BitKind)


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
    """One sheet material, mm; ``measured`` is what calipers say."""

    id: str
    label: str
    material: str
    nominal: float
    measured: float
    sheet_length: float
    sheet_width: float


class BitEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One cutter, mm; ``angle`` is the included angle of a V in degrees, 0 for any other."""

    id: str
    label: str
    kind: BitKind
    diameter: float
    cutting_length: float
    angle: float = 0.0


Entry = TargetEntry | PointEntry | StockEntry | BitEntry
ENTRY_TYPES: dict[table.ListName, type[Entry]] = {
    "targets": TargetEntry,
    "silhouette": PointEntry,
    "stocks": StockEntry,
    "bits": BitEntry,
}


class Design(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Everything a person chose. Values and choices left out are filled in from the table: both are complete.

    ``typed`` keeps the text a length was given in ("1/2 in") by address; ``locked`` holds the addresses that
    edits must leave alone, sorted. List items have addresses counted from 1.
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
        return tuple(entry.id for entry in getattr(self, declared.options_from))

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

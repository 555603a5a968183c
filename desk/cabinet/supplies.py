"""What a cabinet is played with and cut from: balls, sheets, bits, hardware at hand. Lengths in mm."""

from __future__ import annotations

from functools import cached_property
from typing import Literal

from msgspec import Struct


class Balls(Struct, frozen=True):
    """The box of balls: mm and kg."""

    diameter: float
    spread: float
    count: int
    material: str
    density: float
    readings: tuple[float, ...] = ()
    """Caliper readings; the diameter is their mean and the spread half their range."""

    @property
    def largest(self) -> float:
        """Largest diameter in the box."""
        return self.diameter + self.spread

    @property
    def smallest(self) -> float:
        """Smallest diameter in the box."""
        return self.diameter - self.spread


class Stock(Struct, frozen=True):
    """One sheet material in the shop, lengths in mm."""

    id: str
    label: str
    material: str
    nominal: float
    measured: float
    sheet_length: float
    sheet_width: float
    grained: bool = True
    """Whether parts must lie with their grain along the sheet's."""
    readings: tuple[float, ...] = ()
    """Caliper readings of the thickness; ``measured`` is their mean."""
    grain: Literal["length", "width", "none"] = "length"
    """Which way of the sheet the face grain runs."""
    price: float = 0.0
    """Of one sheet, in the person's money; 0 where not given."""

    @property
    def spread(self) -> float:
        """Half the range of the readings, mm; 0 where there are fewer than two."""
        return (max(self.readings) - min(self.readings)) / 2 if self.readings else 0.0

    @property
    def along_grain(self) -> tuple[float, float]:
        """Size of a sheet along its face grain and across it; length and width where it has none."""
        size = (self.sheet_length, self.sheet_width)
        return size[::-1] if self.grain == "width" else size


class Bit(Struct, frozen=True):
    """One cutter, lengths in mm, angle in degrees (0 for a straight bit)."""

    id: str
    label: str
    kind: Literal["straight", "drill", "vee", "rounding"]
    diameter: float
    cutting_length: float
    angle: float = 0.0


class DowelInDrawer(Struct, frozen=True):
    """Dowel pins there are, mm."""

    id: str
    label: str
    diameter: float
    length: float


class ScrewInDrawer(Struct, frozen=True):
    """Wood screws there are: ``size`` is an id of the table of screws, the length in mm."""

    id: str
    label: str
    size: str
    length: float


class Drawer(Struct, frozen=True):
    """Hardware at hand."""

    dowels: tuple[DowelInDrawer, ...] = ()
    screws: tuple[ScrewInDrawer, ...] = ()


class Shop(Struct, frozen=True, dict=True):
    """What the parts are cut from and with."""

    stocks: tuple[Stock, ...]
    bits: tuple[Bit, ...]
    profile_bit: str
    pocket_bit: str
    bed_length: float
    bed_width: float
    sheet_margin: float
    part_gap: float
    film: float
    """Lacquer on one face, mm."""
    film_in_joints: bool
    drawer: Drawer = Drawer()

    @cached_property
    def _hash(self) -> int:
        return hash((self.stocks, self.bits, self.profile_bit, self.pocket_bit, self.film))

    def __hash__(self) -> int:
        return self._hash

    def stock(self, key: str) -> Stock:
        """The stock with this id."""
        return next(s for s in self.stocks if s.id == key)

    def bit(self, key: str) -> Bit:
        """The bit with this id."""
        return next(b for b in self.bits if b.id == key)

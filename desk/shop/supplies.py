"""What else is in a shop or has to be reckoned with: sizes and grades of balls, bits as sold, finishes, hands.

Lengths in mm unless said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Literal, cast

from desk.resources import table
from desk.shop.sourced import INCH, Source
from desk.shop.tables import SHIPPED, Row, Tables


@dataclass(frozen=True)
class BallSize:
    """A diameter that balls are sold in; ``size`` is its name in the trade, ``what`` the balls it is usual for."""

    diameter: float
    size: str
    what: str
    source: Source


@dataclass(frozen=True)
class BallGrade:
    """A grade, mm: how much one ball's diameter varies, how far it is from a sphere, how much a lot varies, and how far
    the size may be from its name.
    """

    id: str
    ball: float
    round: float
    lot: float
    basic: float
    source: Source


@dataclass(frozen=True)
class SoldBit:
    """A bit as it is sold; ``angle`` is the included angle of a V in degrees, 0 for any other."""

    row: Row = field(repr=False)
    id: str
    label: str
    kind: Literal["straight", "drill", "vee", "rounding"]
    diameter: float
    cutting_length: float
    angle: float


@dataclass(frozen=True)
class Film:
    """A finish: dry film of one coat on one face and the range it lies in, and the share of the volume that stays."""

    row: Row = field(repr=False)
    id: str
    label: str
    coat: float
    range: tuple[float, float]
    solids: float

    def source_of(self, name: str) -> Source:
        """Source of a number or of a group: film, solids. Raises KeyError."""
        return self.row.source_of(name)


@dataclass(frozen=True)
class Hand:
    """A size of hands or reach; ``men`` and ``women`` are the 5th, 50th and 95th of a hundred, empty where unknown."""

    id: str
    label: str
    value: float
    men: tuple[float, ...]
    women: tuple[float, ...]
    source: Source


@cache
def ball_sizes() -> tuple[BallSize, ...]:
    """Every size balls are sold in, smallest first."""
    data = table("balls.toml")
    found = [
        BallSize(
            size * (INCH if row["unit"] == "in" else 1.0), _named(size, row["unit"]), row["what"], source
        )
        for row in data["size"]
        for source in (_source(data["source"][row["from"]]),)
        for size in row["sizes"]
    ]
    return tuple(sorted(found, key=lambda s: (s.diameter, s.what)))


def _named(size: float, unit: str) -> str:
    return f"{Fraction(size)} in" if unit == "in" else f"{size:g} {unit}"


def _source(row: dict[str, str]) -> Source:
    return Source(row["text"], cast(Literal["published", "memory"], row["flag"]))


@cache
def ball_grades() -> dict[str, BallGrade]:
    """Every grade by its name, finest first."""
    data = table("balls.toml")
    return {
        row["id"]: BallGrade(
            row["id"],
            row["ball"] / 1000,
            row["round"] / 1000,
            row["lot"] / 1000,
            row["basic"] / 1000,
            _source(data["source"][row["from"]]),
        )
        for row in data["grade"]
    }


def sold_bits(tables: Tables = SHIPPED) -> dict[str, SoldBit]:
    """Bits as they are sold, by id."""
    if "bits" not in tables.made:
        tables.made["bits"] = {key: _bit(row) for key, row in tables.rows("bits").items()}
    return cast(dict[str, SoldBit], tables.made["bits"])


def _bit(row: Row) -> SoldBit:
    kind = cast(Literal["straight", "drill", "vee", "rounding"], row.words["kind"])
    numbers = (row.number("diameter"), row.number("cutting_length"), row.number("angle"))
    return SoldBit(row, row.id, row.label, kind, *numbers)


def films(tables: Tables = SHIPPED) -> dict[str, Film]:
    """Finishes by id."""
    if "films" not in tables.made:
        tables.made["films"] = {key: _film(row) for key, row in tables.rows("films").items()}
    return cast(dict[str, Film], tables.made["films"])


def _film(row: Row) -> Film:
    low, high = row.numbers("range")
    return Film(row, row.id, row.label, row.number("coat"), (low, high), row.number("solids"))


def hands(tables: Tables = SHIPPED) -> dict[str, Hand]:
    """Sizes of hands and reach by id."""
    if "hands" not in tables.made:
        tables.made["hands"] = {key: _hand(row) for key, row in tables.rows("hands").items()}
    return cast(dict[str, Hand], tables.made["hands"])


def _hand(row: Row) -> Hand:
    men, women = (row.numbers(key) if row.values[key] else () for key in ("men", "women"))
    return Hand(row.id, row.label, row.number("value"), men, women, row.source_of("value"))

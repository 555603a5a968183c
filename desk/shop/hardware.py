"""Wood screws, dowel pins, nails and pins as they are sold, in mm, from ``resources/hardware.toml``.

A screw's shank is the diameter of its unthreaded part, the root that at the bottom of the thread, the head
the sharp-edged diameter of its flat head. Sizes keep the name they are sold under.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, cast

from desk.resources import table
from desk.shop.sourced import Source
from desk.shop.tables import SHIPPED, Row, Tables


class UnknownSizeError(KeyError):
    """A screw, dowel or nail was asked for that the table does not list."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class WoodScrew:
    """One size of countersunk wood screw and the lengths it is sold in, mm; ``size`` is its name in the trade.

    ``head_angle`` is in degrees.
    """

    row: Row = field(repr=False)
    id: str
    size: str
    system: Literal["inch", "metric"]
    shank: float
    root: float
    head: float
    head_angle: float
    pitch: float
    lengths: tuple[float, ...]

    @property
    def head_height(self) -> float:
        """Depth of the countersink that takes the whole head: (head - shank) / (2 tan(angle / 2))."""
        return (self.head - self.shank) / (2 * math.tan(math.radians(self.head_angle / 2)))

    def source_of(self, name: str) -> Source:
        """Source of a number, or of a group: shank, root, head, pitch, lengths. Raises KeyError."""
        return self.row.source_of(name)


@dataclass(frozen=True)
class Pin:
    """One size of fluted dowel pin and the lengths it is sold in, mm."""

    row: Row = field(repr=False)
    id: str
    size: str
    diameter: float
    lengths: tuple[float, ...]

    def source_of(self, name: str) -> Source:
        """Source of a number, or of a group: size, lengths. Raises KeyError."""
        return self.row.source_of(name)


def wood_screws(tables: Tables = SHIPPED) -> tuple[WoodScrew, ...]:
    """Every screw in the table, thinnest first."""
    if "screws" not in tables.made:
        found = [_screw(row) for row in tables.rows("screws").values()]
        tables.made["screws"] = tuple(sorted(found, key=lambda s: s.shank))
    return cast(tuple[WoodScrew, ...], tables.made["screws"])


def _screw(row: Row) -> WoodScrew:
    numbers = {key: row.number(key) for key in row.values if key != "lengths"}
    system = cast(Literal["inch", "metric"], row.words["system"])
    return WoodScrew(row, row.id, row.label, system, **numbers, lengths=row.numbers("lengths"))


def wood_screw(key: str, tables: Tables = SHIPPED) -> WoodScrew:
    """The screw with this id. Raises UnknownSizeError, naming those there are."""
    for screw in wood_screws(tables):
        if screw.id == key:
            return screw
    names = ", ".join(s.id for s in wood_screws(tables))
    raise UnknownSizeError(f"no screw {key!r} in hardware.toml; there are {names}")


def nearest_screw(shank: float, tables: Tables = SHIPPED) -> WoodScrew:
    """The screw whose shank is nearest to ``shank`` mm; of two equally near the thinner one."""
    return min(wood_screws(tables), key=lambda s: (abs(s.shank - shank), s.shank))


def thread_length(length: float) -> float:
    """Threaded length, from the point, of a screw ``length`` mm long."""
    return float(table("hardware.toml")["thread"]["share"]) * length


def pins(tables: Tables = SHIPPED) -> tuple[Pin, ...]:
    """Every dowel pin in the table, thinnest first."""
    if "dowels" not in tables.made:
        made = [
            Pin(row, row.id, row.label, row.number("diameter"), row.numbers("lengths"))
            for row in tables.rows("dowels").values()
        ]
        tables.made["dowels"] = tuple(sorted(made, key=lambda p: p.diameter))
    return cast(tuple[Pin, ...], tables.made["dowels"])

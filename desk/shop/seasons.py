"""How moist wood gets indoors over the year, from ``resources/seasons.toml``, and how far that moves it.

Moisture content in % of the oven-dry weight; movement as a share of the size.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import cast

from desk.shop.sourced import Source
from desk.shop.tables import SHIPPED, Row, Tables


class UnknownRegionError(KeyError):
    """A region was asked for that the table does not list."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Region:
    """Moisture content of wood indoors, %: on average, and at the dry and the damp end of the year."""

    row: Row = field(repr=False)
    id: str
    label: str
    average: float
    dry: float
    damp: float

    def source_of(self, name: str) -> Source:
        """Source of a number or of the group moisture. Raises KeyError."""
        return self.row.source_of(name)


def regions(tables: Tables = SHIPPED) -> dict[str, Region]:
    """Every region by id."""
    if "regions" not in tables.made:
        tables.made["regions"] = {
            key: Region(row, row.id, row.label, row.number("average"), row.number("dry"), row.number("damp"))
            for key, row in tables.rows("regions").items()
        }
    return cast(dict[str, Region], tables.made["regions"])


def region(key: str, tables: Tables = SHIPPED) -> Region:
    """The region with this id. Raises UnknownRegionError, naming those there are."""
    found = regions(tables)
    if key not in found:
        raise UnknownRegionError(f"no region {key!r} in seasons.toml; there are {', '.join(found)}")
    return found[key]


def movement(coefficient: float, start: float, end: float) -> float:
    """Share of a size by which wood grows from moisture ``start`` to ``end``, %; below zero where it shrinks.

    Wood Handbook eq. 13-2, which holds from 6 to 14 %: C (M_end - M_start).
    """
    return coefficient * (end - start)


def wide_movement(shrinkage: float, start: float, end: float) -> float:
    """As movement(), for any moisture up to 30 %, from the shrinkage S, %, between green and oven-dry.

    Wood Handbook eq. 13-3: (M_end - M_start) / (30 x 100 / S - 30 + M_start). Raises ValueError above 30 %.
    """
    if max(start, end) > 30:
        raise ValueError(f"wood above 30 % moisture does not move any more; {max(start, end):g} % was given")
    return (end - start) / (30 * 100 / shrinkage - 30 + start)

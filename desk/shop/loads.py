"""Loads a cabinet has to bear and the factors that go with them, from ``resources/loads.toml``.

Every one is a row of the shop's tables, so that a person's own value can stand in its place.
"""

from __future__ import annotations

from dataclasses import dataclass

from desk.shop.sourced import Source
from desk.shop.tables import SHIPPED, Tables


@dataclass(frozen=True)
class Load:
    """One load or factor in the unit it names (N, mm, m/s, GPa, kg/m3, 1)."""

    id: str
    label: str
    value: float
    unit: str
    source: Source


def load(key: str, tables: Tables = SHIPPED) -> Load:
    """The load with this id, the person's own one where there is one. Raises KeyError."""
    row = tables.rows("loads")[key]
    return Load(row.id, row.label, row.number("value"), row.words["unit"], row.source_of("value"))

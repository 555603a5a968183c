"""The limits that checks compare with, each with its source, from ``resources/needs.toml``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, cast, get_args

from desk.checks.finding import Flag, Source
from desk.resources import table
from desk.shop.tables import SHIPPED, Tables

_FIELDS = {"label", "value", "tight", "unit", "source", "flag"}
LONGEST_LABEL = 40
_FLAGS = frozenset(get_args(Flag)) - {"own"}


class NeedsError(ValueError):
    """The table of needs is not as it has to be."""


@dataclass(frozen=True)
class Need:
    """A limit: ``tight`` is the margin beyond it up to which a finding counts as tight, in the same unit."""

    id: str
    value: float
    tight: float
    unit: str
    source: Source

    @property
    def clear(self) -> float:
        """The value from which a lower limit is met with room to spare."""
        return self.value + self.tight


def read_needs(data: Mapping[str, Any]) -> dict[str, Need]:
    """Needs by id from the parsed table. Raises NeedsError naming the entry that is wrong."""
    return {key: _need(key, row) for key, row in data.items()}


def _need(key: str, row: Any) -> Need:
    if not isinstance(row, dict) or set(row) != _FIELDS:
        raise NeedsError(f"needs.toml [{key}]: give exactly {', '.join(sorted(_FIELDS))}")
    if not 0 < len(str(row["label"]).strip()) <= LONGEST_LABEL:
        raise NeedsError(f"needs.toml [{key}] label: 1 to {LONGEST_LABEL} characters are needed")
    for name in ("value", "tight"):
        if isinstance(row[name], bool) or not isinstance(row[name], int | float):
            raise NeedsError(f"needs.toml [{key}] {name}: a number is needed, got {row[name]!r}")
    if row["tight"] < 0:
        raise NeedsError(f"needs.toml [{key}] tight: zero or more is needed, got {row['tight']!r}")
    if row["flag"] not in _FLAGS:
        raise NeedsError(
            f"needs.toml [{key}] flag: one of {', '.join(sorted(_FLAGS))} is needed, got {row['flag']!r}"
        )
    return Need(
        key, float(row["value"]), float(row["tight"]), row["unit"], Source(row["source"], row["flag"])
    )


@cache
def shipped_needs() -> Mapping[str, Need]:
    """The needs that come with the program; callers must not change the map."""
    return read_needs(table("needs.toml"))


def needs_of(tables: Tables) -> Mapping[str, Need]:
    """The needs with a person's own limits over them; callers must not change the map."""
    if tables == SHIPPED:
        return shipped_needs()
    if "needs" not in tables.made:
        made = dict(shipped_needs())
        for own in tables.own:
            if own.table == "needs":
                row = tables.rows("needs")[own.id]
                source = row.source_of("value")
                made[own.id] = replace(
                    made[own.id], value=row.number("value"), tight=row.number("tight"), source=source
                )
        tables.made["needs"] = made
    return cast(Mapping[str, Need], tables.made["needs"])

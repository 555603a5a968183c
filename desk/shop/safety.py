"""Figures that protect people, from ``resources/safety.toml``. No design can change them.

Local codes, makers' sheets and licensed practice go before all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from desk.resources import table
from desk.shop.sourced import Source


@dataclass(frozen=True)
class SafetyLimit:
    """One figure in the unit it names (mm, years, ppm, mg/m3, dBA)."""

    id: str
    label: str
    value: float
    unit: str
    source: Source


@cache
def safety_limits() -> dict[str, SafetyLimit]:
    """Every figure by id; callers must not change the map."""
    data = table("safety.toml")
    sources = {key: Source(row["text"], row["flag"]) for key, row in data["source"].items()}
    return {
        r["id"]: SafetyLimit(r["id"], r["label"], r["value"], r["unit"], sources[r["from"]])
        for r in data["limit"]
    }


@cache
def never_muted() -> frozenset[str]:
    """Ids of the checks whose findings always count."""
    return frozenset(table("safety.toml")["never_muted"])

"""What working with a stock can do to the person who cuts it, from ``resources/exposure.toml``.

Official figures; local codes and the makers' sheets go before all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from desk.resources import table
from desk.shop.sourced import Source
from desk.shop.tables import SHIPPED, Tables


@dataclass(frozen=True)
class Exposure:
    """How the dust of a material is classed ("A1", and what that means); whether its glue gives off formaldehyde."""

    material: str
    dust: str
    means: str
    formaldehyde: bool
    source: Source


@cache
def exposures() -> dict[str, Exposure]:
    """Every material of the table by its id; callers must not change the map."""
    data = table("exposure.toml")
    sources = _sources()
    return {
        row["id"]: Exposure(
            row["id"],
            row["dust"],
            data["class"][row["dust"]],
            row.get("formaldehyde", False),
            sources[row["from"]],
        )
        for row in data["stock"]
    }


@cache
def _sources() -> dict[str, Source]:
    return {key: Source(row["text"], row["flag"]) for key, row in table("exposure.toml")["source"].items()}


@cache
def formaldehyde_limit() -> tuple[float, Source]:
    """Formaldehyde in the air over a working day, ppm, and where that is from."""
    row = table("exposure.toml")["formaldehyde"]
    return float(row["limit"]), _sources()[row["from"]]


def exposure(material: str, tables: Tables = SHIPPED) -> Exposure | None:
    """What is known of a material; of one of a person's own that of the row it starts from. None when nothing is."""
    likes = {own.id: own.like for own in tables.own if own.table == "materials" and own.like}
    seen: set[str] = set()
    while material not in exposures() and material in likes and material not in seen:
        seen.add(material)
        material = likes[material]
    return exposures().get(material)

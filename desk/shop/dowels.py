"""Fluted dowel pins as they are sold, in mm, from ``resources/hardware.toml``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from desk.resources import table
from desk.shop.sourced import INCH


@dataclass(frozen=True)
class Pin:
    """One size of fluted dowel pin and the lengths it is sold in, mm."""

    size: str
    diameter: float
    lengths: tuple[float, ...]


@cache
def pins() -> tuple[Pin, ...]:
    """Every dowel pin in the table, thinnest first."""
    rows = table("hardware.toml")["dowels"]["pin"]
    made = []
    for row in rows:
        scale = INCH if row["unit"] == "in" else 1.0
        made.append(Pin(row["size"], row["diameter"] * scale, tuple(x * scale for x in row["lengths"])))
    return tuple(sorted(made, key=lambda p: p.diameter))


@cache
def nearest_pin(diameter: float) -> Pin:
    """The pin whose diameter is nearest to ``diameter`` mm; of two equally near the thinner one."""
    return min(pins(), key=lambda p: (abs(p.diameter - diameter), p.diameter))

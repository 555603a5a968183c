"""Wood screws and dowel pins as they are sold, in mm, from ``resources/hardware.toml``.

A screw's shank is the diameter of its unthreaded part, the root that at the bottom of the thread, the head
the sharp-edged diameter of its flat head. Sizes keep the name they are sold under.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from desk.resources import table
from desk.shop.sourced import INCH, Flag


@dataclass(frozen=True)
class WoodScrew:
    """One size of countersunk wood screw, lengths in mm, ``head_angle`` in degrees.

    ``flag`` is that of the number in the row that is known worst; ``source`` tells them apart.
    """

    size: str
    system: Literal["inch", "metric"]
    shank: float
    root: float
    head: float
    pitch: float
    head_angle: float
    source: str
    flag: Flag

    @property
    def head_height(self) -> float:
        """Depth of the countersink that takes the whole head: (head - shank) / (2 tan(angle / 2))."""
        return (self.head - self.shank) / (2 * math.tan(math.radians(self.head_angle / 2)))


@dataclass(frozen=True)
class Pin:
    """One size of fluted dowel pin and the lengths it is sold in, mm."""

    size: str
    diameter: float
    lengths: tuple[float, ...]


@cache
def wood_screws() -> tuple[WoodScrew, ...]:
    """Every screw in the table, thinnest first."""
    data = table("hardware.toml")
    found = [
        _screw(data[system], row, system) for system in ("inch", "metric") for row in data[system]["screw"]
    ]
    return tuple(sorted(found, key=lambda s: s.shank))


def _screw(group: dict[str, Any], row: dict[str, Any], system: Literal["inch", "metric"]) -> WoodScrew:
    scale = INCH if group["unit"] == "in" else 1.0
    known = group[row["known"]] if "known" in row else group
    pitch = INCH / row["threads_per_inch"] if "threads_per_inch" in row else row["pitch"] * scale
    return WoodScrew(
        row["size"],
        system,
        row["shank"] * scale,
        row["root"] * scale,
        row["head"] * scale,
        pitch,
        group["head_angle"],
        known["source"],
        known["flag"],
    )


@cache
def nearest_screw(shank: float) -> WoodScrew:
    """The screw whose shank is nearest to ``shank`` mm; of two equally near the thinner one."""
    return min(wood_screws(), key=lambda s: (abs(s.shank - shank), s.shank))


def thread_length(length: float) -> float:
    """Threaded length, from the point, of a screw ``length`` mm long."""
    return float(table("hardware.toml")["thread"]["share"]) * length


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

"""Names of the layers and what they mean, from ``resources/layers.toml``.

A name carries the operation, the face and the sizes, so that a drawing can be cut from its layer list alone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from desk.resources import table

ALLOWED = re.compile(r"[A-Z0-9_]{1,31}")
"""What a layer may be called."""


@dataclass(frozen=True)
class Layer:
    """One layer: its name, DXF colour number, whether the machine follows it, and what it says in words."""

    name: str
    colour: int
    cut: bool
    meaning: str


def length_code(mm: float) -> str:
    """A length to 0.01 mm with P for the point: 6.1 becomes "6P10"."""
    return f"{mm:.2f}".replace(".", "P")


def angle_code(degrees: float) -> str:
    """An angle to 0.1 degree, a whole one without the point: 90 becomes "90", 82.5 becomes "82P5"."""
    return f"{degrees:.1f}".removesuffix(".0").replace(".", "P")


def layer(key: str, face: str = "A", angle: float = 0.0, **lengths: float) -> Layer:
    """The layer of one operation; ``lengths`` are the depth, diameter or size its pattern asks for, in mm.

    Raises KeyError when the pattern asks for a length that is not given.
    """
    row = table("layers.toml")[key]
    codes = {name: length_code(mm) for name, mm in lengths.items()}
    words = {name: f"{mm:.2f}" for name, mm in lengths.items()}
    name = row["pattern"].format(face=face, angle=angle_code(angle), **codes)
    meaning = row["meaning"].format(face=face, angle=angle_code(angle).replace("P", "."), **words)
    colour = row.get("colour_b", row["colour"]) if face == "B" else row["colour"]
    return Layer(name, colour, row["cut"], meaning)

"""Sheet materials and ball materials, from ``resources/materials.toml``.

Specific gravity is oven-dry weight over volume at 12 % moisture, densities are kg/m³. Friction and rolling
resistance are plain numbers, given as a low and a high end because the surface at hand is not known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

from desk.resources import table
from desk.shop.sourced import Flag


class UnknownMaterialError(KeyError):
    """A material was asked for that the table does not list."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Material:
    """A sheet material; ``source`` and ``flag`` are those of gravity and density.

    ``short_grain`` is how much wider a web must be where the grain runs across it, with a source and flag of its own.
    """

    id: str
    label: str
    kind: Literal["solid", "plywood", "board"]
    gravity: float
    density: float
    short_grain: float
    source: str
    flag: Flag
    short_grain_source: str
    short_grain_flag: Flag


@dataclass(frozen=True)
class BallMaterial:
    """What balls are made of, and how they slide and roll on lacquered wood (low, high)."""

    id: str
    label: str
    density: float
    friction: tuple[float, float]
    rolling: tuple[float, float]
    source: str
    flag: Flag


@cache
def materials() -> dict[str, Material]:
    """Every sheet material by id."""
    data = table("materials.toml")
    grain = {f"short_grain_{key}": value for key, value in data["short_grain"].items()}
    return {row["id"]: Material(**row, **grain) for row in data["sheet"]}


@cache
def ball_materials() -> dict[str, BallMaterial]:
    """Every ball material by id."""
    rows = table("materials.toml")["ball"]
    return {
        r["id"]: BallMaterial(**{**r, "friction": tuple(r["friction"]), "rolling": tuple(r["rolling"])})
        for r in rows
    }


def material(key: str) -> Material:
    """The sheet material with this id. Raises UnknownMaterialError, naming those there are."""
    try:
        return materials()[key]
    except KeyError:
        raise UnknownMaterialError(
            f"no material {key!r} in materials.toml; there are {', '.join(materials())}"
        ) from None


def ball_material(key: str) -> BallMaterial:
    """The ball material with this id. Raises UnknownMaterialError, naming those there are."""
    try:
        return ball_materials()[key]
    except KeyError:
        names = ", ".join(ball_materials())
        raise UnknownMaterialError(f"no ball material {key!r} in materials.toml; there are {names}") from None


def ball_mass(diameter: float, density: float) -> float:
    """Mass in kg of a ball ``diameter`` mm across of ``density`` kg/m³: (pi / 6) rho d³."""
    return math.pi / 6 * density * (diameter / 1000) ** 3

"""Sheet materials and ball materials, from ``resources/materials.toml`` and ``resources/balls.toml``.

Strengths of solid woods are means of small clear specimens at 12 % moisture, those of sheets what is usual for their
kind; neither are design values. Friction and rolling
resistance are plain numbers, given as a low and a high end because the surface at hand is not known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeVar, cast

from desk.shop.sourced import Source
from desk.shop.tables import SHIPPED, Row, Tables

Kind = Literal["solid", "plywood", "board"]


class UnknownMaterialError(KeyError):
    """A material was asked for that the table does not list."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Material:
    """A wood or sheet at 12 % moisture: ``gravity`` is oven-dry weight over volume, ``density`` kg/m³.

    ``bending`` and ``stiffness`` are along the face grain, with their ``_across`` beside them; strengths in MPa,
    stiffness in GPa. ``bending_through`` pulls at right angles to the sheet; None for solid wood, which has there
    what it bears across the grain. ``shear`` and ``tension_across`` are along and across the grain of solid wood,
    between the layers and at right angles to the sheet of plywood and board. ``move_flat`` (tangential, or in a sheet),
    ``move_quarter`` (radial, or in the plane) and ``move_thick`` are shares of the size for 1 % of moisture.
    ``short_grain`` is how much wider a web must be where the grain runs across it.
    """

    row: Row = field(repr=False)
    id: str
    label: str
    kind: Kind
    gravity: float
    density: float
    bending: float
    bending_across: float
    bending_through: float | None
    stiffness: float
    stiffness_across: float
    shear: float
    tension_across: float
    compression: float
    compression_across: float
    move_flat: float
    move_quarter: float
    move_thick: float
    short_grain: float

    def source_of(self, name: str) -> Source:
        """Source of a number, or of a group: weight, strength, movement, short_grain. Raises KeyError."""
        return self.row.source_of(name)

    @property
    def shrinkage(self) -> tuple[float, float] | None:
        """Percent from green to oven-dry, flat-sawn and quarter-sawn; None where the table has none."""
        flat, quarter = self.row.values["shrink_flat"], self.row.values["shrink_quarter"]
        return (flat, quarter) if isinstance(flat, float) and isinstance(quarter, float) else None

    @property
    def bending_upright(self) -> float:
        """Bending strength, MPa, at the foot of what stands up from the sheet, such as a rail."""
        return self.bending_across if self.bending_through is None else self.bending_through

    @property
    def upright_source(self) -> Source:
        """Where ``bending_upright`` is from."""
        return self.source_of("bending_across" if self.bending_through is None else "bending_through")

    @property
    def measured_as(self) -> str:
        """What its strengths are, in words, so that nobody takes them for what a piece may be loaded with."""
        if self.kind == "solid":
            return "a mean of small clear specimens, not a design value"
        return "a value for sheets of this kind, not of the maker's sheet"


@dataclass(frozen=True)
class BallMaterial:
    """What balls are made of: kg/m³, and how they slide and roll on lacquered wood (low, high)."""

    row: Row = field(repr=False)
    id: str
    label: str
    density: float
    friction: tuple[float, float]
    rolling: tuple[float, float]

    def source_of(self, name: str) -> Source:
        """Source of a number, or of a group: weight, contact. Raises KeyError."""
        return self.row.source_of(name)


def materials(tables: Tables = SHIPPED) -> dict[str, Material]:
    """Every sheet material by id."""
    if "materials" not in tables.made:
        tables.made["materials"] = {key: _material(row) for key, row in tables.rows("materials").items()}
    return cast(dict[str, Material], tables.made["materials"])


def _material(row: Row) -> Material:
    kind, through = cast(Kind, row.words["kind"]), row.values["bending_through"]
    skipped = ("shrink_flat", "shrink_quarter", "bending_through")
    numbers = {key: row.number(key) for key in row.values if key not in skipped}
    if kind != "solid":
        through = row.number("bending_through")
    upright = through if isinstance(through, float) else None
    return Material(row=row, id=row.id, label=row.label, kind=kind, bending_through=upright, **numbers)


def ball_materials(tables: Tables = SHIPPED) -> dict[str, BallMaterial]:
    """Every ball material by id."""
    if "balls" not in tables.made:
        tables.made["balls"] = {key: _ball(row) for key, row in tables.rows("balls").items()}
    return cast(dict[str, BallMaterial], tables.made["balls"])


def _ball(row: Row) -> BallMaterial:
    friction, rolling = row.numbers("friction"), row.numbers("rolling")
    density = row.number("density")
    return BallMaterial(row, row.id, row.label, density, (friction[0], friction[1]), (rolling[0], rolling[1]))


def material(key: str, tables: Tables = SHIPPED) -> Material:
    """The sheet material with this id. Raises UnknownMaterialError, naming those there are."""
    return _named(materials(tables), key, "material", "materials.toml")


def ball_material(key: str, tables: Tables = SHIPPED) -> BallMaterial:
    """The ball material with this id. Raises UnknownMaterialError, naming those there are."""
    return _named(ball_materials(tables), key, "ball material", "balls.toml")


_KindT = TypeVar("_KindT", Material, BallMaterial)


def _named(rows: dict[str, _KindT], key: str, noun: str, file: str) -> _KindT:
    try:
        return rows[key]
    except KeyError:
        raise UnknownMaterialError(f"no {noun} {key!r} in {file}; there are {', '.join(rows)}") from None


def ball_mass(diameter: float, density: float) -> float:
    """Mass in kg of a ball ``diameter`` mm across of ``density`` kg/m³: (pi / 6) rho d³."""
    return math.pi / 6 * density * (diameter / 1000) ** 3

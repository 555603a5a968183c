"""Styles by name, read from resources/theme.toml. No Qt here: colours are "#rrggbb" strings, sizes plain numbers.

A drawing names styles and never colours. A name the theme does not know gets the loud "unknown" style, so that a
slip is seen instead of lost.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from desk.resources import table

Variant = Literal["light", "dark", "print"]


@dataclass(frozen=True)
class Stroke:
    """How an area or a line is drawn: fill and line colours ("" for none), width and dashes in screen px."""

    fill: str = ""
    line: str = ""
    width: float = 1.0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Letters:
    """How a text is set: size in screen points; ``halo`` is the colour drawn around it, "" for none."""

    colour: str
    families: tuple[str, ...]
    size: float
    weight: int = 400
    italic: bool = False
    halo: str = ""


@dataclass(frozen=True)
class Hatch:
    """Slanting strokes over an area: gap between them and width in px, colour."""

    gap: float
    width: float
    colour: str


@dataclass(frozen=True, eq=False)
class Theme:
    """One variant of the look. Compared by identity: each variant is made once."""

    variant: Variant
    label: str
    colours: dict[str, str]
    strokes: dict[str, Stroke]
    letters: dict[str, Letters]
    hatches: dict[str, Hatch]

    def colour(self, name: str) -> str:
        """The colour of this name; the loud colour when there is none."""
        return self.colours.get(name, self.colours["unknown"])

    def stroke(self, style: str) -> Stroke:
        """The style of an area or a line."""
        return self.strokes.get(style, self.strokes["unknown"])

    def text(self, style: str) -> Letters:
        """The style of a text."""
        return self.letters.get(style, self.letters["unknown"])

    def hatch(self, status: str) -> Hatch:
        """The hatch of a status."""
        return self.hatches[status]


@cache
def theme(variant: Variant) -> Theme:
    """The theme of this variant."""
    data = table("theme.toml")
    colours: dict[str, str] = {**data[data[variant].get("like", variant)], **data[variant]}
    colours.pop("like", None)
    label = colours.pop("label")
    families = {name: tuple(value) for name, value in data["type"].items()}
    return Theme(
        variant,
        label,
        colours,
        {name: _stroke(entry, colours) for name, entry in data["style"].items()},
        {name: _letters(entry, colours, families) for name, entry in data["text"].items()},
        {name: Hatch(e["gap"], e["width"], colours[name]) for name, e in data["hatch"].items()},
    )


def _stroke(entry: dict[str, Any], colours: dict[str, str]) -> Stroke:
    fill, line = entry.get("fill"), entry.get("line")
    return Stroke(
        colours[fill] if fill else "",
        colours[line] if line else "",
        float(entry["width"]),
        tuple(entry.get("dash", ())),
    )


def _letters(entry: dict[str, Any], colours: dict[str, str], families: dict[str, tuple[str, ...]]) -> Letters:
    return Letters(
        colours[entry["colour"]],
        families[entry["family"]],
        float(entry["size"]),
        int(entry["weight"]),
        bool(entry.get("italic", False)),
        colours["sheet"] if entry["halo"] else "",
    )

"""The text that goes with the drawings: what each layer means, what to measure first, and the cautions."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence

from desk.flat.figure import Figure
from desk.flat.layers import Layer
from desk.resources import table

WIDTH = 96


def layers_of(figures: Iterable[Figure]) -> tuple[Layer, ...]:
    """Every layer in use, by name; layers for the machine first."""
    found = {mark.layer.name: mark.layer for figure in figures for mark in figure.marks}
    return tuple(sorted(found.values(), key=lambda each: (not each.cut, each.name)))


def notes_text(
    title: str,
    files: Mapping[str, str],
    layers: Sequence[Layer],
    warnings: Sequence[str],
    muted: Sequence[str] = (),
    sheets: Sequence[str] = (),
) -> str:
    """The text of notes.txt; ``files`` says of each file name what is in it, ``sheets`` what is to be bought."""
    words = table("layers.toml")
    said = words["notes"]
    out = [title, "=" * len(title), ""]
    if warnings:
        out += ["WARNING", "-------", *_items(warnings), ""]
    if muted:
        out += ["Muted findings", "--------------", *_items(muted), ""]
    out += ["Before cutting", "--------------", *_filled(said["scale"]), ""]
    for key in ("size", "face", "labels", "grain"):
        out += [*_filled(said[key]), ""]
    if sheets:
        out += ["Sheets", "------", *_items(sheets), ""]
    out += ["Files", "-----", *_pairs(files), ""]
    out += ["Layers", "------", *_pairs({each.name: each.meaning for each in layers}), ""]
    out += ["Cautions", "--------"]
    for caution in words["caution"]:
        out += _filled(f"{caution['text']} (Source: {caution['source']}.)", first="- ")
    return "\n".join(out) + "\n"


def _filled(text: str, first: str = "") -> list[str]:
    return textwrap.wrap(
        " ".join(text.split()), WIDTH, initial_indent=first, subsequent_indent=" " * len(first)
    )


def _items(texts: Iterable[str]) -> list[str]:
    return [line for text in texts for line in _filled(text, first="- ")]


def _pairs(rows: Mapping[str, str]) -> list[str]:
    return [line for name, text in rows.items() for line in (name, *_filled(text, first="    "))]

"""Lettering as single strokes for a V-bit, from ``resources/letters.toml``."""

from __future__ import annotations

from functools import cache, lru_cache

from desk.resources import table
from desk.shapes.loop import Point, Vertex

Stroke = tuple[Point, ...]


@cache
def _letters() -> dict[str, tuple[Stroke, ...]]:
    found = {}
    for letter, text in table("letters.toml")["letters"].items():
        found[letter] = tuple(
            tuple((float(x), float(y)) for x, y in (pair.split(",") for pair in stroke.split()))
            for stroke in text.split("|")
        )
    return found


@lru_cache(maxsize=64)
def strokes(text: str, height: float) -> tuple[tuple[tuple[Vertex, ...], ...], float]:
    """Strokes of a line of text ``height`` mm high, its left end at x = 0 on the base line, and its width in mm.

    Small letters are cut as capitals; a character that is not in the table is a gap (a design refuses it).
    """
    data = table("letters.toml")
    scale = height / data["height"]
    x, out, widest = 0.0, [], 0.0
    for letter in text.upper():
        glyph = _letters().get(letter, ())
        for stroke in glyph:
            out.append(tuple(((x + px) * scale, py * scale, 0.0) for px, py in stroke))
        span = max((px for stroke in glyph for px, _ in stroke), default=data["space"])
        widest = (x + span) * scale
        x += span + data["gap"]
    return tuple(out), widest

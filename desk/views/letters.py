"""How much room a text takes, worked out from a table of letter widths, for pictures made where no font can be asked.

The table holds the widest of the faces the theme names, so a label has at least the room it needs.
"""

from __future__ import annotations

from functools import cache

from desk.resources import table
from desk.views.theme import Letters

PX_PER_POINT = 96 / 72
LINE = 1.2
"""Height of a line of text as a multiple of its size."""
UNLISTED = 1000
"""Width of a letter that is not in the table, in thousandths of the type size."""
BOLD = 600


def measure(text: str, letters: Letters) -> tuple[float, float]:
    """Width and height of one line of text in px at 96 to the inch."""
    size = letters.size * PX_PER_POINT
    widths = _widths(_face(letters))
    return sum(widths.get(c, UNLISTED) for c in text) * size / 1000, size * LINE


def _face(letters: Letters) -> str:
    kind = "serif" if letters.families[-1] == "serif" else "sans"
    return f"{kind}-bold" if letters.weight >= BOLD else kind


@cache
def _widths(face: str) -> dict[str, int]:
    return {letter: int(width) for width, alike in table("widths.toml")[face].items() for letter in alike}

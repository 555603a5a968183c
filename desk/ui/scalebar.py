"""The ruler in the corner of a view: a round length that fits about a hundred px at the present scale. No Qt."""

from __future__ import annotations

from desk.units import MM_PER_INCH, Unit, format_length
from desk.views.draw import Surface
from desk.views.theme import Theme

WANTED = 90.0
"""Length aimed at, px."""
LETTER = 6.0
"""Room for one letter of the length's name, px."""
MM_STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
INCH_STEPS = tuple(MM_PER_INCH * s for s in (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, 2.0, 4.0, 8.0, 20.0, 40.0))


def round_length(scale: float, unit: Unit, wanted: float = WANTED) -> float:
    """The largest round length, mm, that is no longer than the wanted number of px; the smallest if all are."""
    steps = MM_STEPS if unit == "mm" else INCH_STEPS
    return max((s for s in steps if s * scale <= wanted), default=steps[0])


def scale_bar(
    surface: Surface,
    scale: float,
    unit: Unit,
    size: tuple[float, float],
    theme: Theme,
    wanted: float = WANTED,
    right: bool = False,
) -> float:
    """Draw the ruler at the lower left, or at the lower ``right``; returns where it begins, px."""
    length = round_length(scale, unit, wanted)
    px = length * scale
    text = format_length(length, unit, named=True)
    x, y = 10.0, size[1] - 9.0
    if right:
        x, y = size[0] - px - LETTER * len(text) - 10.0, size[1] - 4.0
    line = theme.stroke("dimension-extension")
    surface.line(((x, y - 5), (x, y), (x + px, y), (x + px, y - 5)), line)
    surface.line(((x + px / 2, y - 3), (x + px / 2, y)), line)
    surface.text((x + px + 6, y - 12, x + px + 80, y + 4), text, theme.text("scale"), left=True)
    return x

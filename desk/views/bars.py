"""The measured and the needed length of a finding as two bars to the same scale, with their words.

The measured one lies at the place in the style of the status, the needed one beside it from the same datum, in ink.
Sizes that have to be readable are given in px and turned into mm for a drawing reckoned at ``PX`` px of width.
"""

from __future__ import annotations

from collections.abc import Iterator

from desk.checks.finding import Finding
from desk.shapes.loop import Point
from desk.units import Unit
from desk.views.drawing import Disc, Item, Path, Text
from desk.views.letters import measure
from desk.views.reading import Reading, box_of
from desk.views.theme import theme
from desk.views.viewport import Box
from desk.views.wording import amount, is_upper

SHAPE = 1.5
"""Width of a detail drawing over its height."""
PX = 260.0
"""The width in px that sizes on the screen are reckoned for."""
APART = 13.0
"""The needed length is drawn this far beside the measured one, px."""
DROP = 16.0
"""A gauge stands this far below its place, px."""
TICK = 5.0
"""Half length of the strokes that end a bar, px."""
ABOVE, BESIDE = 15.0, 9.0
"""How far the words stand off their bar, px: above or below a level one, beside an upright one."""
LYING = 0.75
"""Bars whose direction keeps a cosine above this with the level lie rather than stand."""
WORDS = 104.0
"""Room kept for the words of one length, px; longer ones are pushed in by the layout."""
LINE = 15.0
"""From one line of words to the next, px."""


def level(reading: Reading) -> bool:
    """Whether the bars lie rather than stand."""
    return abs(reading.way[0]) > LYING


def room(reading: Reading, px: float) -> Box:
    """What the bars of a reading and their words take at ``px`` mm to a px."""
    datum, end, goal = reading.ends
    x0, y0, x1, y1 = box_of(reading.ends)
    over, under = (ABOVE + LINE / 2) * px, (APART + ABOVE + LINE / 2) * px
    if reading.gauge:
        return x0, y0 - DROP * px - under, x1, y1
    if level(reading):
        half = WORDS / 2 * px
        x = [(datum[0] + last[0]) / 2 for last in (end, goal)]
        return min(x0, *(at - half for at in x)), y0 - under, max(x1, *(at + half for at in x)), y1 + over
    aside = (WORDS + BESIDE) * px
    half = (y0 + y1) / 2
    low, high = min(y0, half - LINE * px), max(y1, half + LINE * px)
    return x0 - aside, low - TICK * px, x1 + aside + APART * px, high + TICK * px


def words_of(finding: Finding, unit: Unit) -> tuple[str, str]:
    """What was measured and what is needed, in words; "" for what there is not."""
    measured = "" if finding.measured is None else f"measured {amount(finding.measured, finding.unit, unit)}"
    if finding.needed is None:
        return measured, ""
    return (
        measured,
        f"{'at most' if is_upper(finding) else 'needed'} {amount(finding.needed, finding.unit, unit)}",
    )


def told(finding: Finding, points: tuple[Point, ...], window: Box, unit: Unit) -> Iterator[Item]:
    """The numbers of a finding that are no lengths, below its place: in one line, or two where that is too long."""
    px = (window[2] - window[0]) / PX
    said = [words for words in words_of(finding, unit) if words]
    letters = theme("print").text("length")
    if said and measure(", ".join(said), letters)[0] < 0.95 * PX:
        said = [", ".join(said)]
    x0, y0, x1, _ = box_of(points)
    top = max(y0 - ABOVE * px, window[1] + (10 + LINE * (len(said) - 1)) * px)
    for k, words in enumerate(said):
        half = measure(words, letters)[0] / 2 * px
        x = min(max((x0 + x1) / 2, window[0] + half), max(window[2] - half, window[0] + half))
        yield Text(_rounded(x, top - k * LINE * px), words, "length")


def bars(reading: Reading, finding: Finding, px: float, unit: Unit) -> Iterator[Item]:
    """The ball the length is beside, both bars and their words; ``px`` is mm to a px."""
    if reading.ball is not None:
        yield Disc(_rounded(*reading.ball[0]), reading.ball[1], "ball")
    datum, end, goal = reading.ends
    nx, ny = _off(reading)
    drop = -DROP * px if reading.gauge else 0.0
    beside = drop - APART * px

    def off(point: Point, by: float) -> Point:
        return _rounded(point[0] + by * nx, point[1] + by * ny)

    yield Path(((off(datum, drop), off(datum, beside)),), "dimension-extension", closed=False)
    rows = ((end, drop, f"bar-{finding.status}"), (goal, beside, "bar-needed"))
    for last, by, style in rows:
        yield Path(((off(datum, by), off(last, by)),), style, closed=False)
        for point in (datum, last):
            yield Path(((off(point, by - TICK * px), off(point, by + TICK * px)),), "bar-tick", closed=False)
    lines = [(off(datum, by), off(last, by)) for last, by, _ in rows]
    measured, needed = words_of(finding, unit)
    if level(reading):
        for (a, b), text, side in zip(lines, (measured, needed), (ABOVE, -ABOVE), strict=True):
            at = _rounded((a[0] + b[0]) / 2 + side * px * nx, (a[1] + b[1]) / 2 + side * px * ny)
            yield Text(at, text, "length")
        return
    x0, _, x1, _ = box_of([point for line in lines for point in line])
    middle = (min(p[1] for p in reading.ends) + max(p[1] for p in reading.ends)) / 2
    rise = LINE / 2 * px
    yield Text(_rounded(x0 - BESIDE * px, middle + rise), measured, "length", "right")
    yield Text(_rounded(x1 + BESIDE * px, middle - rise), needed, "length", "left")


def _off(reading: Reading) -> Point:
    """The side the measured length's words stand on: above a level bar, to the left of an upright one."""
    x, y = reading.way
    turn = (x < 0) if level(reading) else (y < 0)
    return (y, -x) if turn else (-y, x)


def text_box(text: Text, px: float) -> Box:
    """The box a label takes at the size the drawing is reckoned for, mm."""
    wide, high = (size * px for size in measure(text.text, theme("print").text(text.style)))
    x = text.at[0] - {"left": 0.0, "middle": wide / 2, "right": wide}[text.anchor]
    return x, text.at[1] - high / 2, x + wide, text.at[1] + high / 2


def _rounded(x: float, y: float) -> Point:
    return round(x, 3), round(y, 3)

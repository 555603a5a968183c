"""Two small charts of how a cabinet plays: what each speed of a throw comes to, and how often each end is reached.

Both are painted through the surface of desk.views.draw, in px of a box, so that a test can collect the calls. What is
not known for the design on view is drawn as outline only and said to be so; heights and words carry what colour does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from desk.views.draw import Surface
from desk.views.layout import Measure
from desk.views.theme import Theme
from desk.views.viewport import Box, Px

AXIS = 31.0
"""Height kept under the blocks for edges, scale and the people's range, px."""
CAPTION = 17.0
"""Height kept above the blocks for the captions, px."""
HEAD = 13.0
"""Height kept over the highest block for its label, px."""
APART = 5.0
"""Least gap between two labels side by side, px."""
SIDE = 10.0
"""Room left at either end, px."""
FLAT = 5.0
"""Height of a block that scores nothing, px."""
TICKS = (0.1, 0.2, 0.5, 1.0, 2.0)
"""Steps of the scale, m/s; the smallest that leaves room for its numbers is used."""
NEARLY = 0.9999
"""A share above this, and not all, is only said to be above it."""
GRIP = 5.0
"""Half width of the handle on the scale, px."""
BETWEEN = 16.0
"""Gap between the ends that score and those that do not, px."""
COLUMN = 80.0
"""Widest column of a bar chart, px."""


@dataclass(frozen=True)
class Block:
    """Speeds from ``low`` to ``high`` m/s that come to the same. ``label`` is set over it, ``wrong`` marks balls that
    are lost or stop."""

    low: float
    high: float
    score: float
    label: str
    told: str = ""
    """The end in words."""
    wrong: bool = False


@dataclass(frozen=True)
class SpeedChart:
    """What the speed strip shows. ``people`` is the range of their throws, ``speed`` the one that is set, m/s.

    ``current`` is False while the blocks are of an earlier design or aim.
    """

    low: float
    high: float
    speed: float
    people: tuple[float, float]
    blocks: tuple[Block, ...] = ()
    caption: str = ""
    reading: str = ""
    current: bool = True


def speed_at(chart: SpeedChart, box: Box, x: float) -> float:
    """The speed at a place across the strip, m/s."""
    left, right = box[0] + SIDE, box[2] - SIDE
    share = min(max((x - left) / max(right - left, 1.0), 0.0), 1.0)
    return chart.low + share * (chart.high - chart.low)


def x_of(chart: SpeedChart, box: Box, speed: float) -> float:
    """Where a speed is across the strip, px."""
    left, right = box[0] + SIDE, box[2] - SIDE
    return left + (speed - chart.low) / (chart.high - chart.low) * (right - left)


def paint_speeds(surface: Surface, box: Box, chart: SpeedChart, theme: Theme, measure: Measure) -> None:
    """The speed strip: a block for each run of speeds, as high as its score, over a scale in m/s."""
    foot, top = box[3] - AXIS, box[1] + CAPTION
    caption = (box[0] + SIDE, box[1], box[2] - SIDE, box[1] + CAPTION - 2)
    words = shortened(chart.caption, caption[2] - caption[0], "chart-quiet", measure)
    surface.text(caption, words, theme.text("chart-quiet"), left=True)
    levels = (top + HEAD, foot, max((b.score for b in chart.blocks), default=0.0))
    for block in chart.blocks:
        _block(surface, box, chart, block, levels, theme)
    _hand(surface, box, chart, theme, (top, foot))
    _labels(surface, box, chart, levels, theme, measure)
    _scale(surface, box, chart, theme, measure, foot)
    _people(surface, box, chart, theme, measure)


def shortened(text: str, width: float, style: str, measure: Measure) -> str:
    """A text that is no wider than so many px: what is too long loses words at its end for an ellipsis."""
    words, said = text.split(" "), text
    while words and measure(said, style)[0] > width:
        words.pop()
        said = f"{' '.join(words).rstrip('.,:;')} …"
    return said


def _block_box(
    box: Box, chart: SpeedChart, block: Block, levels: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Left, right and upper edge, px. ``levels`` are the highest and lowest edge, px, and the highest score."""
    top, foot, most = levels
    a, b = x_of(chart, box, block.low), x_of(chart, box, block.high)
    high = (
        foot - top if block.wrong else FLAT + (foot - top - FLAT) * (block.score / most if most > 0 else 0.0)
    )
    return a, max(b, a + 1.0), foot - high


def _block(
    surface: Surface,
    box: Box,
    chart: SpeedChart,
    block: Block,
    levels: tuple[float, float, float],
    theme: Theme,
) -> None:
    a, b, top = _block_box(box, chart, block, levels)
    kind = "block-wrong" if block.wrong else "block" if block.score > 0 else "block-nothing"
    style = kind if chart.current else "block-stale"
    foot = levels[1]
    surface.line(((a, foot), (a, top), (b, top), (b, foot)), theme.stroke(style), closed=True)


def _labels(
    surface: Surface,
    box: Box,
    chart: SpeedChart,
    levels: tuple[float, float, float],
    theme: Theme,
    measure: Measure,
) -> None:
    """Labels over blocks, apart from each other and clear of higher blocks and of the hand. A score
    or a loss that would not be told at all is then told once, over other blocks.
    """
    blocks = _by_need([b for b in chart.blocks if b.label])
    hand = x_of(chart, box, chart.speed)
    walls = [(a, top, b, levels[1]) for a, b, top in (_block_box(box, chart, k, levels) for k in blocks)]
    line = (hand - 1, levels[0] - HEAD, hand + 1, levels[1])
    taken: list[Box] = []
    told: set[str] = set()
    for clear in (True, False):
        for block in blocks:
            place, style = _label_place(box, chart, block, levels, measure)
            if place is None or (not clear and (style == "chart-quiet" or block.label in told)):
                continue
            others = [*taken, *walls] if clear else taken
            if clear and style == "chart-strong":
                others = [*others, line]
            if not any(_meet(place, other) for other in others):
                taken.append((place[0] - APART, place[1], place[2] + APART, place[3]))
                told.add(block.label)
                surface.text(place, block.label, theme.text(style if chart.current else "chart-quiet"))


def _by_need(blocks: list[Block]) -> list[Block]:
    """Blocks in the order they get their labels: the widest of each kind, losses before all; then the others."""
    wide = sorted(blocks, key=lambda b: b.low - b.high)
    first = {b.label: b for b in reversed(wide)}
    return sorted(wide, key=lambda b: (first[b.label] is not b, first[b.label] is b and not b.wrong))


def _label_place(
    box: Box, chart: SpeedChart, block: Block, levels: tuple[float, float, float], measure: Measure
) -> tuple[Box | None, str]:
    """Where the label of a block stands, and its style; nowhere for one that scores nothing and is too narrow."""
    a, b, top = _block_box(box, chart, block, levels)
    counts = block.score > 0 or block.wrong
    style = "chart-strong" if counts else "chart-quiet"
    w, h = measure(block.label, style)
    if b - a < w + 2 and not counts:
        return None, style
    x = min(max((a + b) / 2, box[0] + w / 2), box[2] - w / 2)
    return (x - w / 2, top - h, x + w / 2, top), style


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _scale(
    surface: Surface, box: Box, chart: SpeedChart, theme: Theme, measure: Measure, foot: float
) -> None:
    """A line with ticks; the edges of scoring blocks in numbers where there is room, else the scale's own."""
    rule = theme.stroke("chart-rule")
    surface.line(((box[0] + SIDE, foot), (box[2] - SIDE, foot)), rule)
    at = x_of(chart, box, chart.speed)
    taken: list[tuple[float, float]] = [(at - GRIP, at + GRIP)]
    edges = sorted({e for b in chart.blocks if b.score > 0 for e in (b.low, b.high)}) if chart.current else []
    wide, h = measure("0.00", "chart-edge")
    for edge in edges:
        _number(surface, x_of(chart, box, edge), foot, f"{edge:.2f}", "chart-edge", theme, (wide, h), taken)
    span = x_of(chart, box, chart.high) - x_of(chart, box, chart.low)
    room = (chart.high - chart.low) * (wide + 10) / max(span, 1.0)
    step = next((t for t in TICKS if t >= room), TICKS[-1])
    for k in range(math.ceil(chart.low / step - 1e-9), math.floor(chart.high / step + 1e-9) + 1):
        x = x_of(chart, box, k * step)
        surface.strokes((((x, foot), (x, foot + 3)),), rule)
        _number(surface, x, foot, f"{k * step:g}", "chart-quiet", theme, (wide, h), taken)


def _number(
    surface: Surface,
    x: float,
    foot: float,
    text: str,
    style: str,
    theme: Theme,
    size: tuple[float, float],
    taken: list[tuple[float, float]],
) -> None:
    w, h = size
    if all(x + w / 2 + 2 <= a or b + 2 <= x - w / 2 for a, b in taken):
        taken.append((x - w / 2, x + w / 2))
        surface.text((x - w / 2, foot + 3, x + w / 2, foot + 3 + h), text, theme.text(style))


def _people(surface: Surface, box: Box, chart: SpeedChart, theme: Theme, measure: Measure) -> None:
    """The range of people's throws as a bracket under the scale, with its name."""
    y = box[3] - 6.0
    a, b = (x_of(chart, box, v) for v in chart.people)
    words = "people's throws, m/s"
    w, h = measure(words, "chart-quiet")
    stroke = theme.stroke("chart-people")
    middle = (a + b) / 2
    surface.strokes((((a, y - 4), (a, y + 2)), ((b, y - 4), (b, y + 2))), stroke)
    surface.strokes((((a, y), (middle - w / 2 - 4, y)), ((middle + w / 2 + 4, y), (b, y))), stroke)
    surface.text((middle - w / 2, y - h / 2, middle + w / 2, y + h / 2), words, theme.text("chart-quiet"))


def _hand(surface: Surface, box: Box, chart: SpeedChart, theme: Theme, levels: tuple[float, float]) -> None:
    """The speed that is set: a line through the blocks, and a handle for it on the scale."""
    x = x_of(chart, box, chart.speed)
    top, foot = levels
    if not box[0] <= x <= box[2]:
        return
    surface.strokes((((x, top), (x, foot + 2)),), theme.stroke("chart-hand"))
    tip: tuple[Px, ...] = ((x, foot + 1), (x + GRIP, foot + 7), (x + GRIP, foot + 13), (x - GRIP, foot + 13))
    surface.line((*tip, (x - GRIP, foot + 7)), theme.stroke("handle-active"), closed=True)


# --- how often each end is reached


@dataclass(frozen=True)
class Column:
    """One end a ball may come to: its name in two lines, its share now and before, each with its standard error."""

    name: str
    under: str
    now: float | None = None
    error: float = 0.0
    before: float | None = None
    scores: bool = False
    wrong: bool = False
    brief: str = ""
    """The second line where there is little room."""


@dataclass(frozen=True)
class ChanceChart:
    """What the chart of chances shows; ``current`` is False while no throws have been run with the design on view."""

    columns: tuple[Column, ...] = field(default=())
    current: bool = True


def share_words(share: float) -> str:
    """A share in percent: whole numbers from 10 % on, else with a decimal. What is not quite nothing or all says so;
    near all it has up to two decimals, cut off, so that what is missing of 10,000 is seen.
    """
    percent = 100 * share
    if 0 < percent < 0.05:
        return "< 0.1"
    if percent < 9.95:
        return f"{percent:.1f}"
    if percent <= 99 or share >= 1.0:
        return f"{percent:.0f}"
    if share > NEARLY:
        return f"> {100 * NEARLY:.2f}"
    places = 1 if percent < 99.9 else 2
    cut = math.floor(percent * 10**places + 1e-9) / 10**places
    return f"{cut:.{places}f}"


def paint_chances(surface: Surface, box: Box, chart: ChanceChart, theme: Theme, measure: Measure) -> None:
    """A column for each end, in percent: now filled, before in outline beside it.

    Ends that score and ends that do not stand apart, each group to a scale of its own.
    """
    groups = [[c for c in chart.columns if c.scores], [c for c in chart.columns if not c.scores]]
    groups = [group for group in groups if group]
    if not groups:
        return
    wide = min(COLUMN, (box[2] - box[0] - BETWEEN * (len(groups) - 1)) / len(chart.columns))
    x = box[0]
    for group in groups:
        _group(surface, (x, box[1], x + wide * len(group), box[3]), group, theme, measure)
        x += wide * len(group) + BETWEEN


def _group(surface: Surface, box: Box, group: Sequence[Column], theme: Theme, measure: Measure) -> None:
    names = 2 * measure("0", "chart-quiet")[1]
    numbers = measure("0", "chart-strong")[1]
    foot, top = box[3] - names - 2, box[1] + numbers + 2
    wide = (box[2] - box[0]) / len(group)
    most = max((v for c in group for v in ((c.now or 0.0) + c.error, c.before or 0.0)), default=0.0)
    surface.line(((box[0], foot), (box[2], foot)), theme.stroke("chart-rule"))
    strong = all(measure(c.name, "chart-strong")[0] + APART <= wide for c in group)
    style = "chart-strong" if strong else "chart-quiet"
    for k, column in enumerate(group):
        x = box[0] + k * wide
        _column(surface, (x, top, x + wide, foot), column, most or 1.0, theme, measure)
        half = foot + 1 + names / 2
        surface.text((x, foot + 1, x + wide, half), column.name, theme.text(style))
        under = column.under if measure(column.under, "chart-quiet")[0] <= wide else column.brief
        surface.text((x, half, x + wide, foot + 1 + names), under, theme.text("chart-quiet"))


def _column(surface: Surface, box: Box, column: Column, most: float, theme: Theme, measure: Measure) -> None:
    x0, top, x1, foot = box
    pad = (x1 - x0) * 0.14
    both = column.before is not None
    middle = (x0 + x1) / 2
    if column.before is not None:
        high = (foot - top) * column.before / most
        left = (x0 + pad, foot - high, middle - 1, foot)
        surface.line(_corners(left), theme.stroke("bar-before"), closed=True)
    if column.now is None:
        return
    high = (foot - top) * column.now / most
    a, b = (middle + 1 if both else x0 + pad * 1.6, x1 - pad if both else x1 - pad * 1.6)
    style = "bar-wrong" if column.wrong and column.now > 0 else "bar-now"
    surface.line(_corners((a, foot - high, b, foot)), theme.stroke(style), closed=True)
    if column.error > 0:
        _whisker(surface, (a + b) / 2, (foot - top) / most, column, foot, theme)
    words = share_words(column.now)
    w, h = measure(words, "chart-strong")
    reach = (foot - top) * column.error / most
    y = foot - high - reach - 1
    at = min(max((a + b) / 2, x0 + w / 2), x1 - w / 2)
    surface.text((at - w / 2, y - h, at + w / 2, y), words, theme.text("chart-strong"))


def _whisker(surface: Surface, x: float, scale: float, column: Column, foot: float, theme: Theme) -> None:
    """One standard error up and down."""
    share = column.now or 0.0
    up, down = foot - scale * (share + column.error), foot - scale * max(share - column.error, 0.0)
    if down - up > 2:
        surface.strokes((((x, up), (x, down)),), theme.stroke("chart-rule"))


def _corners(box: Box) -> tuple[Px, ...]:
    x0, y0, x1, y1 = box
    return (x0, y1), (x0, y0), (x1, y0), (x1, y1)


def legend(columns: Sequence[Column]) -> str:
    """The chart in words, for a screen reader."""
    said = []
    for c in columns:
        if c.now is not None:
            before = f", before {share_words(c.before)}" if c.before is not None else ""
            said.append(f"{f'{c.name} {c.under}'.strip()}: {share_words(c.now)} percent{before}")
    return "; ".join(said)

"""The sharing picture: views, leading sizes, sheets and findings of a design on one page.

The page is worked out once, here, and painted on any paper: by Qt for a PNG and the clipboard, by desk.views.svg for a
file. Nothing in it depends on the day or the machine. Places are px at 96 to the inch, y down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from itertools import groupby
from typing import Protocol

from msgspec.structs import replace

from desk.checks.finding import Finding
from desk.design import edit
from desk.design.model import Design
from desk.design.table import spec
from desk.resources import table
from desk.units import MM_PER_INCH, Unit
from desk.views.draw import Surface, badge, draw
from desk.views.drawing import Dimension, Drawing, Item, Path
from desk.views.layout import Layout, Look
from desk.views.theme import Stroke, Theme
from desk.views.viewport import Box, Viewport, fit_scale, placed, reach
from desk.views.wording import (
    counts,
    dimension_words,
    flag_numbers,
    margin_words,
    spaced,
    title_words,
    value_words,
    with_minus,
)

PAGE = (1600.0, 1130.0)
EDGE = 36.0
HEAD = 92.0
GUTTER = 34.0
COLUMN = (PAGE[0] - 2 * EDGE - GUTTER) / 2
FOOT = PAGE[1] - 34.0
FACE = 318.0
"""Width of the board face."""
PAD = 46.0
"""Room around a view for labels that stick out."""
ROW = 23.0
LINE = 17.0
"""From one line of a finding to the next."""
SIZES_ROOM = 180.0
"""Least height kept for the sizes and sheets."""
REAR_ROOM = 330.0
"""Least height the section along the trough is shown at, below the findings."""
MARGIN_ROOM = 70.0
"""Least width kept for a margin or a size beside its name."""
STATUS_WORDS = {"clear": "clear", "tight": "tight", "conflict": "in conflict"}


class Evaluated(Protocol):
    """What the page shows: a design and what was worked out from it."""

    @property
    def design(self) -> Design:
        """The design."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Its findings, worst first."""

    @property
    def drawings(self) -> Mapping[str, Drawing]:
        """Its views by id."""


class Paper(Protocol):
    """What a page is painted on."""

    def area(self, box: Box, view: Viewport) -> AbstractContextManager[Surface]:
        """A surface whose px count from the corner of ``box``, for a drawing seen through ``view``."""

    def measure(self, text: str, style: str) -> tuple[float, float]:
        """Width and height of a line of text, px."""


def still(drawing: Drawing) -> Drawing:
    """The drawing as it is shown where nothing can be pulled: without its bare handles and lesser sizes."""
    items: list[Item] = []
    for item in drawing.items:
        if not isinstance(item, Dimension) or (item.primary and item.shape != "point"):
            items.append(item)
    return replace(drawing, items=tuple(items))


def paint_view(
    paper: Paper,
    drawing: Drawing,
    box: Box,
    theme: Theme,
    unit: Unit,
    scale: float,
    extent: Box | None = None,
) -> None:
    """Paint a still drawing with the middle of its extent in the middle of ``box``, ``scale`` px to the mm."""
    size = (box[2] - box[0], box[3] - box[1])
    view = placed(extent or reach(drawing), scale, *size)
    layout = Layout(paper.measure, lambda item, pointed: dimension_words(item, unit, pointed))
    plots = layout.plots(drawing, view, size, Look())
    with paper.area(box, view) as surface:
        draw(surface, plots, view, theme, grips=False)


def paint_sheet(paper: Paper, evaluation: Evaluated, theme: Theme) -> None:
    """Paint the page of a design, ``PAGE`` px large."""
    width, height = PAGE
    unit = evaluation.design.unit
    with paper.area((0.0, 0.0, width, height), Viewport()) as surface:
        page = _Page(paper, surface, theme, unit)
        _head(page, evaluation)
        left, right = EDGE, EDGE + COLUMN + GUTTER
        below, beside = _views(page, evaluation, left, right)
        _sizes(page, evaluation.design, left, below)
        _view(page, evaluation.drawings["face"], (right, beside, right + FACE, FOOT))
        last = right + FACE + GUTTER
        told = _findings(page, evaluation, last, beside)
        if FOOT - told >= REAR_ROOM:
            _view(page, evaluation.drawings["rear"], (last, told + GUTTER / 2, width - EDGE, FOOT))
        page.rule(EDGE, width - EDGE, height - 26)
        words = "mm" if unit == "mm" else "inches"
        page.text(EDGE, height - 21, f"Drawn with Lanewright. Lengths in {words}", "label-small")


@dataclass(frozen=True)
class _Page:
    """The page being painted."""

    paper: Paper
    surface: Surface
    theme: Theme
    unit: Unit

    def text(self, x: float, y: float, text: str, style: str = "note", right: float | None = None) -> float:
        """A line of text from ``x``, or ending at ``right``, its top at ``y``; returns its width."""
        wide, high = self.paper.measure(text, style)
        left = x if right is None else right - wide
        self.surface.text((left, y, left + wide + 2, y + high), text, self.theme.text(style), left=True)
        return wide

    def rule(self, x0: float, x1: float, y: float) -> None:
        """A thin line across."""
        self.surface.line(((x0, y), (x1, y)), Stroke("", self.theme.colour("rule"), 1.0))

    def heading(self, x0: float, x1: float, y: float, text: str) -> float:
        """A heading with a line under it; returns where the content may start."""
        self.text(x0, y, text, "title")
        self.rule(x0, x1, y + 25)
        return y + 32

    def clipped(self, text: str, width: float, style: str = "note") -> str:
        """The text, shortened at its end to fit a width."""
        if self.paper.measure(text, style)[0] <= width:
            return text
        while text and self.paper.measure(text + "…", style)[0] > width:
            text = text[:-1]
        return text.rstrip() + "…"

    def wrapped(self, text: str, width: float) -> Iterator[str]:
        """The text in lines that fit a width, broken at blanks."""
        line = ""
        for word in text.split():
            longer = f"{line} {word}".strip()
            if line and self.paper.measure(longer, "note")[0] > width:
                yield line
                line = word
            else:
                line = longer
        yield self.clipped(line, width)


def _head(page: _Page, evaluation: Evaluated) -> None:
    """Name, the main facts, and how many findings there are of each kind."""
    x = PAGE[0] - EDGE
    numbers = counts(evaluation.findings)
    for status, word in STATUS_WORDS.items():
        x -= page.text(0, 30, f"{numbers[status]} {word}", "picture-fact", right=x)
        badge(page.surface, (x - 32, 32, x - 8, 47), status, "", page.theme)
        x -= 54
    if muted := sum(1 for f in evaluation.findings if f.muted):
        x -= page.text(0, 30, f"{muted} muted", "picture-fact", right=x) + 22
    page.text(EDGE, 20, page.clipped(evaluation.design.name, x - EDGE, "picture-name"), "picture-name")
    page.text(EDGE, 59, _facts(evaluation), "picture-fact")
    page.rule(EDGE, PAGE[0] - EDGE, HEAD - 6)


def _size_words(design: Design, address: str) -> str:
    """A size as it was typed, else rounded as in the drawings."""
    if address in design.typed:
        return with_minus(spaced(edit.shown(design, address)))
    return value_words(edit.get(design, address), spec(address).unit, design.unit)


def _facts(evaluation: Evaluated) -> str:
    design, unit = evaluation.design, evaluation.design.unit
    count, material = round(design.value("ball.count")), design.choice("ball.material")
    facts = [
        f"for {count} {material} ball{'s' if count != 1 else ''} of {spaced(edit.shown(design, 'ball.diameter'))}"
    ]
    long, high = _span(evaluation.drawings["lane"])
    _, wide = _span(evaluation.drawings["plan"])
    if long and wide and high:
        step = 0.1 if unit == "mm" else MM_PER_INCH / 100
        sizes = (value_words(round(v / step) * step, "length", unit, named=False) for v in (long, wide, high))
        facts.append(f"{' × '.join(sizes)} {unit} (long, wide, high)")
    return "  ·  ".join(facts)


def _span(drawing: Drawing) -> tuple[float, float]:
    """How far the parts in a drawing reach, along x and y, mm."""
    points = [p for i in drawing.items if isinstance(i, Path) and i.part for ring in i.rings for p in ring]
    if not points:
        return 0.0, 0.0
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return max(xs) - min(xs), max(ys) - min(ys)


def _views(page: _Page, evaluation: Evaluated, left: float, right: float) -> tuple[float, float]:
    """Section above plan on one x, the other section beside, all at one scale; where each column goes on."""
    lane, channel, plan = (still(evaluation.drawings[key]) for key in ("lane", "channel", "plan"))
    boxes = {d.id: reach(d) for d in (lane, channel, plan)}
    low, high = min(b[0] for b in boxes.values()), max(b[2] for b in boxes.values())
    tall = {key: b[3] - b[1] for key, b in boxes.items()}
    room = FOOT - HEAD - 4 - 3 * 32 - SIZES_ROOM - 2 * PAD
    upper = max(tall["lane"], tall["channel"])
    scale = min((COLUMN - PAD) / (high - low), room / (upper + tall["plan"]))

    def put(drawing: Drawing, x: float, y: float, height: float) -> float:
        top = page.heading(x, x + COLUMN, y, drawing.title)
        box = boxes[drawing.id]
        area = (x, top, x + COLUMN, top + height)
        paint_view(page.paper, drawing, area, page.theme, page.unit, scale, (low, box[1], high, box[3]))
        return top + height

    first = put(lane, left, HEAD + 4, upper * scale + PAD)
    beside = put(channel, right, HEAD + 4, upper * scale + PAD)
    return put(plan, left, first, tall["plan"] * scale + PAD), beside


def _view(page: _Page, drawing: Drawing, room: Box) -> None:
    """A view as large as its room allows, at the top of it."""
    x0, y0, x1, y1 = room
    shown = still(drawing)
    y0 = page.heading(x0, x1, y0, shown.title)
    box = reach(shown)
    scale = fit_scale(box, x1 - x0, y1 - y0, PAD / 2)
    paint_view(
        page.paper, shown, (x0, y0, x1, y0 + (box[3] - box[1]) * scale + PAD), page.theme, page.unit, scale
    )


def _sizes(page: _Page, design: Design, left: float, y: float) -> None:
    """The sizes that tell most, and the sheets with the tints of their parts."""
    third = (COLUMN - 2 * 26) / 3
    sheets = left + 2 * (third + 26)
    page.heading(sheets, sheets + third, y, "Sheets")
    y = page.heading(left, sheets - 26, y, "Sizes")
    keys: list[str] = table("picture.toml")["sizes"]
    rows = max(1, min((len(keys) + 1) // 2, int((FOOT - y) // ROW)))
    for k, key in enumerate(keys[: 2 * rows]):
        x, at = left + (k // rows) * (third + 26), y + (k % rows) * ROW
        label = spec(key).label.split(",", maxsplit=1)[0]
        page.text(x, at, page.clipped(label, third - MARGIN_ROOM), "note")
        page.text(0, at, _size_words(design, key), "note", right=x + third)
    for k, stock in enumerate(design.stocks[: min(rows, 6)]):
        at = y + k * ROW
        page.surface.box((sheets, at + 2, sheets + 22, at + 14), page.theme.stroke(f"stock-{k + 1}"))
        page.text(sheets + 30, at, page.clipped(stock.label, third - 30 - MARGIN_ROOM), "note")
        thick = value_words(stock.measured, "length", design.unit)
        page.text(0, at, thick, "note", right=sheets + third)


def _findings(page: _Page, evaluation: Evaluated, left: float, y: float) -> float:
    """The findings that are not clear, the same titles counted together, as many as there is room for; the end's y.

    Muted ones stand below with their reasons, and keep up to half of the room.
    """
    y = page.heading(left, PAGE[0] - EDGE, y, "Findings")
    numbers = flag_numbers(evaluation.findings)
    wrong = [f for f in evaluation.findings if f.status != "clear"]
    groups = [list(same) for _, same in groupby(wrong, key=lambda f: (f.status, f.title, f.muted))]
    counting = [_line(page, group, left) for group in groups if not group[0].muted]
    muted = [_line(page, group, left) for group in groups if group[0].muted]
    if not counting:
        some = " but what is muted" if muted else ""
        page.text(left, y, f"Nothing{some} is in conflict and nothing is tight.", "note")
        y += ROW
    kept = min(sum(_height(lines) for _, lines in muted), (FOOT - y) / 2)
    y = _listed(page, counting, numbers, left, y, FOOT - kept)
    return _listed(page, muted, numbers, left, y, FOOT)


Line = tuple[list[Finding], list[str]]
"""Findings alike, and what is said of them in lines that fit."""


def _line(page: _Page, alike: list[Finding], left: float) -> Line:
    margin = page.paper.measure(margin_words(alike[0], page.unit), "note")[0] + 12
    return alike, list(
        page.wrapped(_title(alike, page.unit), PAGE[0] - EDGE - left - 36 - max(MARGIN_ROOM, margin))
    )


def _height(lines: list[str]) -> float:
    return (len(lines) - 1) * LINE + ROW


def _listed(
    page: _Page, rows: list[Line], numbers: Mapping[str, str], left: float, y: float, foot: float
) -> float:
    """The rows down to ``foot``, and how many more there are; the end's y."""
    untold = sum(len(alike) for alike, _ in rows)
    for alike, lines in rows:
        last = y + _height(lines)
        if last > (foot if len(alike) == untold else foot - ROW):
            page.text(left + 36, y, f"and {untold} more{' muted' if alike[0].muted else ''}", "note")
            return foot
        first = alike[0]
        mark = (left, y + 1, left + 26, y + 16)
        badge(page.surface, mark, first.status, numbers[first.key], page.theme, muted=bool(first.muted))
        for k, line in enumerate(lines):
            page.text(left + 36, y + k * LINE, line, "note")
        page.text(0, y, margin_words(first, page.unit), "note", right=PAGE[0] - EDGE)
        y, untold = last, untold - len(alike)
    return y


def _title(alike: list[Finding], unit: Unit) -> str:
    first = alike[0]
    title = title_words(first, unit) + (f" ({len(alike)} places)" if len(alike) > 1 else "")
    return f"{title}: muted, {first.muted}" if first.muted else title

"""The sharing picture: views, key sizes, sheets and findings of a design on one white page.

Needs QtGui only (a QGuiApplication and no window), so the command line makes it too. Nothing in it depends on the
day or the machine. Places are px of a page that is drawn twice as fine as on the screen, so that it can be zoomed
on a phone.
"""

from __future__ import annotations

from itertools import groupby

from PySide6.QtGui import QColor, QImage, QPainter

from desk.design import edit, table
from desk.design.model import Design
from desk.ui.document import Evaluated
from desk.ui.draw import badge, draw
from desk.ui.layout import Layout, Look
from desk.ui.surface import PathStore, QtSurface, metrics
from desk.ui.theme import Stroke, Theme
from desk.ui.viewport import Box, Viewport, fit_scale, placed, reach
from desk.ui.wording import counts, dimension_words, flag_numbers, margin_words, value_words
from desk.units import Unit
from desk.views.drawing import Dimension, Drawing, Path

PAGE = (1600.0, 1130.0)
FINENESS = 2.0
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
SIZES_ROOM = 180.0
"""Least height kept for the sizes and sheets."""
KEY_SIZES = (
    "ball.diameter",
    "ball.count",
    "lane.length",
    "lane.width",
    "lane.rise",
    "kicker.radius",
    "kicker.exit",
    "board.gap",
    "board.tilt",
    "board.length",
    "return.slope",
    "return.headroom",
)


class _Page:
    """The page being painted."""

    def __init__(self, painter: QPainter, theme: Theme, unit: Unit) -> None:
        self.painter, self.theme, self.unit = painter, theme, unit
        self.surface = QtSurface(painter, Viewport(), PathStore(), theme.colour("sheet"))

    def text(self, x: float, y: float, text: str, style: str = "note", right: float | None = None) -> float:
        """A line of text from ``x``, or ending at ``right``, its top at ``y``; returns its width."""
        letters = self.theme.text(style)
        size = metrics(letters)
        wide = size.horizontalAdvance(text)
        left = x if right is None else right - wide
        self.surface.text((left, y, left + wide + 2, y + size.height()), text, letters, left=True)
        return wide

    def rule(self, x0: float, x1: float, y: float) -> None:
        """A thin line across."""
        self.surface.line(((x0, y), (x1, y)), Stroke("", self.theme.colour("rule"), 1.0))

    def heading(self, x0: float, x1: float, y: float, text: str) -> float:
        """A heading with a line under it; returns where the content may start."""
        self.text(x0, y, text, "title")
        self.rule(x0, x1, y + 25)
        return y + 32

    def view(self, drawing: Drawing, box: Box, scale: float | None = None, extent: Box | None = None) -> None:
        """A drawing fitted into a box."""
        x0, y0, x1, y1 = box
        size = (x1 - x0, y1 - y0)
        extent = extent or reach(drawing)
        view = placed(extent, scale or fit_scale(extent, *size, 22.0), *size)
        plots = Layout(self._measure, self._words).plots(drawing, view, size, Look())
        self.painter.save()
        self.painter.translate(x0, y0)
        self.painter.setClipRect(0, 0, round(size[0]), round(size[1]))
        surface = QtSurface(self.painter, view, PathStore(), self.theme.colour("sheet"))
        draw(surface, plots, view, self.theme, grips=False)
        self.painter.restore()

    def _measure(self, text: str, style: str) -> tuple[float, float]:
        size = metrics(self.theme.text(style))
        return size.horizontalAdvance(text), size.height()

    def _words(self, item: Dimension, pointed: bool) -> str:
        return dimension_words(item, self.unit, pointed)


def render_picture(evaluation: Evaluated, theme: Theme) -> QImage:
    """The picture of an evaluated design. Needs a QGuiApplication; ``theme("print")`` gives white paper."""
    width, height = PAGE
    image = QImage(round(width * FINENESS), round(height * FINENESS), QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(FINENESS)
    image.fill(QColor(theme.colour("sheet")))
    painter = QPainter(image)
    page = _Page(painter, theme, evaluation.design.unit)
    _head(page, evaluation)
    left, right = EDGE, EDGE + COLUMN + GUTTER
    below, beside = _views(page, evaluation, left, right)
    _sizes(page, evaluation.design, left, below)
    _face(page, evaluation, right, beside)
    _findings(page, evaluation, right + FACE + GUTTER, beside)
    page.rule(EDGE, width - EDGE, height - 26)
    page.text(EDGE, height - 21, f"Drawn with Lanewright. Lengths in {_unit_name(page.unit)}", "label-small")
    painter.end()
    return image


def _unit_name(unit: Unit) -> str:
    return "mm" if unit == "mm" else "inches"


def _head(page: _Page, evaluation: Evaluated) -> None:
    """Name, the main facts, and how many findings there are of each kind."""
    page.text(EDGE, 20, evaluation.design.name, "picture-name")
    page.text(EDGE, 59, _facts(evaluation), "picture-fact")
    x = PAGE[0] - EDGE
    words = {"clear": "clear", "tight": "tight", "conflict": "in conflict"}
    numbers = counts(evaluation.findings)
    for status, word in words.items():
        x -= page.text(0, 30, f"{numbers[status]} {word}", "picture-fact", right=x)
        badge(page.surface, (x - 32, 32, x - 8, 47), status, "", page.theme)
        x -= 54
    page.rule(EDGE, PAGE[0] - EDGE, HEAD - 6)


def _facts(evaluation: Evaluated) -> str:
    design, unit = evaluation.design, evaluation.design.unit
    ball = value_words(design.value("ball.diameter"), "length", unit)
    material = design.choice("ball.material")
    facts = [f"for {design.value('ball.count'):.0f} {material} balls of {ball}"]
    long, high = _span(evaluation.drawings["lane"])
    _, wide = _span(evaluation.drawings["plan"])
    if long and wide and high:
        sizes = (value_words(round(v, 1), "length", unit, named=False) for v in (long, wide, high))
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
    lane, channel, plan = (evaluation.drawings[key] for key in ("lane", "channel", "plan"))
    boxes = {d.id: reach(d) for d in (lane, channel, plan)}
    low, high = min(b[0] for b in boxes.values()), max(b[2] for b in boxes.values())
    tall = {key: b[3] - b[1] for key, b in boxes.items()}
    room = FOOT - HEAD - 4 - 3 * 32 - SIZES_ROOM - 2 * PAD
    upper = max(tall["lane"], tall["channel"])
    scale = min((COLUMN - PAD) / (high - low), room / (upper + tall["plan"]))

    def put(drawing: Drawing, x: float, y: float, height: float) -> float:
        top = page.heading(x, x + COLUMN, y, drawing.title)
        box = boxes[drawing.id]
        page.view(drawing, (x, top, x + COLUMN, top + height), scale, (low, box[1], high, box[3]))
        return top + height

    first = put(lane, left, HEAD + 4, upper * scale + PAD)
    beside = put(channel, right, HEAD + 4, upper * scale + PAD)
    return put(plan, left, first, tall["plan"] * scale + PAD), beside


def _face(page: _Page, evaluation: Evaluated, left: float, y: float) -> None:
    face = evaluation.drawings["face"]
    y = page.heading(left, left + FACE, y, face.title)
    box = reach(face)
    scale = fit_scale(box, FACE, FOOT - y, PAD / 2)
    page.view(face, (left, y, left + FACE, y + (box[3] - box[1]) * scale + PAD), scale)


def _sizes(page: _Page, design: Design, left: float, y: float) -> None:
    """The sizes that tell most, and the sheets with the tints of their parts."""
    third = (COLUMN - 2 * 26) / 3
    sheets = left + 2 * (third + 26)
    page.heading(sheets, sheets + third, y, "Sheets")
    y = page.heading(left, sheets - 26, y, "Sizes")
    rows = max(1, min((len(KEY_SIZES) + 1) // 2, int((FOOT - y) // ROW)))
    for k, key in enumerate(KEY_SIZES[: 2 * rows]):
        x, at = left + (k // rows) * (third + 26), y + (k % rows) * ROW
        shown = edit.shown(design, key)
        page.text(x, at, _clipped(page, _short(table.spec(key).label), third - 70), "note")
        page.text(0, at, shown, "note", right=x + third)
    for k, stock in enumerate(design.stocks[: min(rows, 6)]):
        at = y + k * ROW
        page.surface.box((sheets, at + 2, sheets + 22, at + 14), page.theme.stroke(f"stock-{k + 1}"))
        page.text(sheets + 30, at, _clipped(page, stock.label, third - 100), "note")
        thick = value_words(stock.measured, "length", design.unit)
        page.text(0, at, thick, "note", right=sheets + third)


def _short(label: str) -> str:
    """A label cut at its comma, to fit a narrow column."""
    return label.split(",", maxsplit=1)[0]


def _findings(page: _Page, evaluation: Evaluated, left: float, y: float) -> None:
    """The findings that are not clear, the same titles counted together, as many as there is room for."""
    wide = PAGE[0] - EDGE - left
    y = page.heading(left, left + wide, y, "Findings")
    numbers = flag_numbers(evaluation.findings)
    open_ones = [f for f in evaluation.findings if f.status != "clear"]
    rows = [list(same) for _, same in groupby(open_ones, key=lambda f: (f.status, f.title))]
    room = max(1, int((FOOT - y) // ROW))
    shown = rows if len(rows) <= room else rows[: room - 1]
    for row in shown:
        first = row[0]
        badge(page.surface, (left, y + 1, left + 26, y + 16), first.status, numbers[first.key], page.theme)
        times = f"  ({len(row)} places)" if len(row) > 1 else ""
        margin = margin_words(first, page.unit)
        page.text(left + 36, y, _clipped(page, first.title + times, wide - 110), "note")
        page.text(0, y, margin, "note", right=left + wide)
        y += ROW
    if len(shown) < len(rows):
        page.text(left + 36, y, f"and {sum(map(len, rows[len(shown) :]))} more", "note")
    elif not rows:
        page.text(left, y, "Nothing is in conflict and nothing is tight.", "note")


def _clipped(page: _Page, text: str, width: float) -> str:
    """The text, shortened at its end to fit a width."""
    size = metrics(page.theme.text("note"))
    if size.horizontalAdvance(text) <= width:
        return text
    while text and size.horizontalAdvance(text + "…") > width:
        text = text[:-1]
    return text.rstrip() + "…"

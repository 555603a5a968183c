"""Drawings as SVG text: width and height in mm, coordinates in mm, y down, every number in the C locale.

Nothing is drawn here that the window does not draw: this is one more surface for desk.views.draw, which works in px at
96 to the inch; the surface writes mm. Colours, line widths and type come from resources/theme.toml.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from xml.sax.saxutils import escape, quoteattr

from desk.units import Unit
from desk.views.drawing import Drawing, Ring
from desk.views.letters import PX_PER_POINT, measure
from desk.views.sheet import PAGE, Evaluated, paint_sheet, paint_view, still
from desk.views.theme import Hatch, Letters, Stroke, Theme, theme
from desk.views.viewport import Box, Px, Viewport, reach

MM_PER_PX = 25.4 / 96
PX_PER_MM = 96 / 25.4
PLATE = 0.8
"""Opacity of the plate of sheet colour behind a label."""
BASELINE = 0.36
"""How far the baseline lies below the middle of a line, as a share of the type size."""
EDGE = 28.0
"""Room for labels around a drawing that stands alone, px."""


class SvgPaper:
    """One page in the making, ``size`` px large; see desk.views.sheet.Paper."""

    def __init__(self, size: Px, theme: Theme, title: str) -> None:
        self._size = size
        self._theme = theme
        self._title = title
        self._body: list[str] = []
        self._hatches: dict[Hatch, str] = {}

    @contextmanager
    def area(self, box: Box, view: Viewport) -> Iterator[SvgSurface]:
        """A surface whose px count from the corner of ``box``, for a drawing seen through ``view``."""
        yield SvgSurface(self._body, self._hatches, view, (box[0], box[1]), self._theme.colour("sheet"))

    def measure(self, text: str, style: str) -> Px:
        """Width and height of a line of text, px."""
        return measure(text, self._theme.text(style))

    def text(self) -> str:
        """The whole file."""
        w, h = (mm(v) for v in self._size)
        head = (
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">',
            f"<title>{escape(self._title)}</title>",
            "<defs>",
            *(_pattern(hatch, key) for hatch, key in self._hatches.items()),
            "</defs>",
            f'<rect width="{w}" height="{h}" fill="{self._theme.colour("sheet")}"/>',
        )
        return "\n".join((*head, *self._body, "</svg>", ""))


class SvgSurface:
    """Writes the calls of desk.views.draw.Surface as SVG elements."""

    def __init__(
        self, body: list[str], hatches: dict[Hatch, str], view: Viewport, origin: Px, plate: str
    ) -> None:
        self._body = body
        self._hatches = hatches
        self._view = view
        self._origin = origin
        self._plate = plate

    def rings(self, rings: tuple[Ring, ...], closed: bool, stroke: Stroke) -> None:
        """Areas or lines in mm of the drawing."""
        shown = stroke if closed else replace(stroke, fill="")
        self._body.append(f'<path d="{self._data(rings, closed)}"{_dress(shown)}/>')

    def hatch(self, rings: tuple[Ring, ...], hatch: Hatch) -> None:
        """Hatching over an area in mm of the drawing."""
        key = self._hatches.setdefault(hatch, f"hatch{len(self._hatches) + 1}")
        self._body.append(f'<path d="{self._data(rings, True)}" fill-rule="evenodd" fill="url(#{key})"/>')

    def disc(self, centre: Px, radius: float, stroke: Stroke) -> None:
        """A circle in px."""
        x, y = self._at(centre)
        self._body.append(f'<circle cx="{x}" cy="{y}" r="{mm(radius)}"{_dress(stroke)}/>')

    def line(self, points: tuple[Px, ...], stroke: Stroke, closed: bool = False) -> None:
        """A line through points in px, or the area they enclose."""
        shown = stroke if closed else replace(stroke, fill="")
        places = " ".join(",".join(self._at(p)) for p in points)
        self._body.append(f'<{"polygon" if closed else "polyline"} points="{places}"{_dress(shown)}/>')

    def strokes(self, ends: tuple[tuple[Px, Px], ...], stroke: Stroke) -> None:
        """Straight lines in px, each from end to end."""
        lines = "".join(f"M{' '.join(self._at(a))}L{' '.join(self._at(b))}" for a, b in ends)
        self._body.append(f'<path d="{lines}"{_dress(replace(stroke, fill=""))}/>')

    def box(self, box: Box, stroke: Stroke) -> None:
        """An upright box in px."""
        self._body.append(f'<rect{self._area(box)} rx="{mm(2.5)}"{_dress(stroke)}/>')

    def text(self, box: Box, text: str, letters: Letters, angle: float = 0.0, left: bool = False) -> None:
        """A text in the middle (or at the left) of a box in px."""
        middle = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        turn = ""
        if abs(angle) > 0.01:
            x, y = self._at(middle)
            turn = f' transform="rotate({-angle:g} {x} {y})"'
            w, h = measure(text, letters)
            box = (middle[0] - w / 2, middle[1] - h / 2, middle[0] + w / 2, middle[1] + h / 2)
        if letters.halo:
            self._body.append(f'<rect{self._area(box)} fill="{self._plate}" fill-opacity="{PLATE}"{turn}/>')
        size = letters.size * PX_PER_POINT
        x, y = self._at((box[0] if left else middle[0], middle[1] + BASELINE * size))
        anchor = "" if left else ' text-anchor="middle"'
        self._body.append(f'<text x="{x}" y="{y}"{_type(letters)}{anchor}{turn}>{escape(text)}</text>')

    def _at(self, at: Px) -> tuple[str, str]:
        return mm(self._origin[0] + at[0]), mm(self._origin[1] + at[1])

    def _area(self, box: Box) -> str:
        x, y = self._at((box[0], box[1]))
        return f' x="{x}" y="{y}" width="{mm(box[2] - box[0])}" height="{mm(box[3] - box[1])}"'

    def _data(self, rings: tuple[Ring, ...], closed: bool) -> str:
        end = "Z" if closed else ""
        to_px, at = self._view.to_px, self._at
        return "".join(f"M{'L'.join(' '.join(at(to_px(p))) for p in ring)}{end}" for ring in rings if ring)


def drawing_svg(drawing: Drawing, unit: Unit = "mm", scale: float = 1.0, look: Theme | None = None) -> str:
    """One view as a file of its own, ``scale`` times true size, with its leading sizes and flags.

    Labels keep the size the theme gives them, whatever the scale; one that finds no room is left out.
    """
    shown = look or theme("print")
    quiet = still(drawing)
    x0, y0, x1, y1 = reach(quiet)
    k = scale * PX_PER_MM
    size = (x1 - x0) * k + 2 * EDGE, (y1 - y0) * k + 2 * EDGE
    paper = SvgPaper(size, shown, drawing.title)
    paint_view(paper, quiet, (0.0, 0.0, *size), shown, unit, k)
    return paper.text()


def sheet_svg(evaluation: Evaluated, look: Theme | None = None) -> str:
    """The sharing picture."""
    shown = look or theme("print")
    paper = SvgPaper(PAGE, shown, evaluation.design.name)
    paint_sheet(paper, evaluation, shown)
    return paper.text()


def mm(px: float) -> str:
    """A length given in px, as text in mm."""
    text = f"{px * MM_PER_PX:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _dress(stroke: Stroke) -> str:
    fill = f' fill="{stroke.fill}" fill-rule="evenodd"' if stroke.fill else ' fill="none"'
    if not stroke.line:
        return fill
    line = f' stroke="{stroke.line}" stroke-width="{mm(stroke.width)}" stroke-linejoin="round"'
    dash = f' stroke-dasharray="{" ".join(mm(d) for d in stroke.dash)}"' if stroke.dash else ""
    return fill + line + dash


def _type(letters: Letters) -> str:
    families = ", ".join(f"'{f}'" if " " in f else f for f in letters.families)
    weight = f' font-weight="{letters.weight}"' if letters.weight != 400 else ""
    lean = ' font-style="italic"' if letters.italic else ""
    size = mm(letters.size * PX_PER_POINT)
    return f' font-family={quoteattr(families)} font-size="{size}"{weight}{lean} fill="{letters.colour}"'


def _pattern(hatch: Hatch, key: str) -> str:
    """Strokes at 45 degrees, ``gap`` apart."""
    gap, half = mm(hatch.gap), mm(hatch.gap / 2)
    return (
        f'<pattern id="{key}" patternUnits="userSpaceOnUse" width="{gap}" height="{gap}" '
        f'patternTransform="rotate(45)"><line x1="{half}" y1="0" x2="{half}" y2="{gap}" '
        f'stroke="{hatch.colour}" stroke-width="{mm(hatch.width)}"/></pattern>'
    )

"""Paints plots through an abstract surface of seven calls, so that a test can collect the calls. No Qt here.

How each status looks is decided here: conflict is a filled flag and dense hatching, tight an open ring and sparse
hatching, clear a tick; colour comes on top of the shape and never stands alone. What is still being checked is faint:
the shape in outline without its colour, and no hatching. What is muted is small, and its outline is broken.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from desk.views.boxes import overlaps
from desk.views.drawing import Dimension, Disc, Marker, Path, Ring, Text
from desk.views.layout import GRIP, Note, Plot
from desk.views.theme import Hatch, Letters, Stroke, Theme
from desk.views.viewport import Box, Px, Viewport

DASHES = (2.5, 2.0)
"""Strokes and gaps of what is muted, px."""
SMALL_GRIP = 3.6
"""Half size of a handle whose line shows only when it is pointed at, px."""


class Surface(Protocol):
    """What a drawing is painted on. All places in px, y down, except ``rings`` which come in mm of the drawing."""

    def rings(self, rings: tuple[Ring, ...], closed: bool, stroke: Stroke) -> None:
        """Areas or lines of the drawing; holes by the even-odd rule."""

    def hatch(self, rings: tuple[Ring, ...], hatch: Hatch) -> None:
        """Hatching over an area of the drawing."""

    def disc(self, centre: Px, radius: float, stroke: Stroke) -> None:
        """A circle."""

    def line(self, points: tuple[Px, ...], stroke: Stroke, closed: bool = False) -> None:
        """A line through points, or the area they enclose."""

    def strokes(self, ends: tuple[tuple[Px, Px], ...], stroke: Stroke) -> None:
        """Straight lines, each from end to end."""

    def box(self, box: Box, stroke: Stroke) -> None:
        """An upright box with slightly rounded corners."""

    def text(self, box: Box, text: str, letters: Letters, angle: float = 0.0, left: bool = False) -> None:
        """A text in the middle (or at the left) of a box, turned counter-clockwise by degrees about the middle."""


def draw(
    surface: Surface,
    plots: Iterable[Plot],
    view: Viewport,
    theme: Theme,
    within: Box | None = None,
    grips: bool = True,
) -> int:
    """Paint the plots that reach into ``within``; returns how many were painted. Without ``grips``, no handles."""
    count = 0
    for plot in plots:
        if within is not None and not overlaps(plot.box, within):
            continue
        count += 1
        item = plot.item
        if plot.faint and isinstance(item, Path):
            surface.rings(item.rings, item.closed, _faint(theme))
        elif isinstance(item, Path):
            surface.rings(item.rings, item.closed, theme.stroke(item.style))
            if item.status is not None and item.closed:
                surface.hatch(item.rings, theme.hatch(item.status))
        elif isinstance(item, Disc):
            surface.disc(view.to_px(item.centre), item.radius * view.scale, theme.stroke(item.style))
        elif isinstance(item, Text):
            if plot.label is not None:
                surface.text(plot.label, item.text, theme.text(item.style), item.angle)
        elif isinstance(item, Dimension):
            _dimension(surface, plot, item, view, theme, grips)
        elif isinstance(item, Marker):
            _marker(surface, plot, item, theme)
        else:
            _note(surface, plot, item, theme)
    return count


def _dimension(
    surface: Surface, plot: Plot, item: Dimension, view: Viewport, theme: Theme, grips: bool
) -> None:
    pointed = plot.mood in ("focus", "hover")
    line = theme.stroke("dimension-active" if pointed else "dimension")
    if item.shape == "line" and len(plot.ends) == 2:
        ticks = (((x - 3.5, y + 3.5), (x + 3.5, y - 3.5)) for x, y in plot.ends)
        surface.strokes(((plot.ends[0], plot.ends[1]), *ticks), line)
        feet = zip((view.to_px(item.start), view.to_px(item.end)), plot.ends, strict=True)
        extensions = tuple(
            (foot, end) for foot, end in feet if abs(foot[0] - end[0]) + abs(foot[1] - end[1]) > 1
        )
        if extensions:
            surface.strokes(extensions, theme.stroke("dimension-extension"))
    elif plot.ends:
        surface.line(plot.ends, line)
        surface.line((view.to_px(item.start), plot.ends[-1]), theme.stroke("dimension-extension"))
    if item.pulls and grips:
        _grip(surface, plot, view.to_px(item.handle), GRIP if item.primary else SMALL_GRIP, theme)
    if plot.label is not None:
        surface.text(plot.label, plot.text, theme.text("dimension-active" if pointed else "dimension"))


def _grip(surface: Surface, plot: Plot, at: Px, size: float, theme: Theme) -> None:
    """A handle is a diamond, filled when pointed at; a locked one is a plain square."""
    x, y = at
    if plot.mood == "locked":
        surface.box((x - 4, y - 4, x + 4, y + 4), theme.stroke("handle-locked"))
        return
    style = "handle-active" if plot.mood in ("focus", "hover") else "handle"
    r = size if style == "handle" else GRIP
    surface.line(((x - r, y), (x, y - r), (x + r, y), (x, y + r)), theme.stroke(style), closed=True)
    if plot.mood == "focus":
        r += 4
        ring = Stroke("", theme.stroke("focus").line, theme.stroke("focus").width)
        surface.line(((x - r, y), (x, y - r), (x + r, y), (x, y + r)), ring, closed=True)


def _marker(surface: Surface, plot: Plot, item: Marker, theme: Theme) -> None:
    if plot.label is None:
        return
    x0, y0, x1, y1 = plot.label
    tip = plot.ends[0]
    colour = theme.colour("soft_ink" if item.muted else "faint_ink" if plot.faint else item.status)
    mirrored = tip[0] > (x0 + x1) / 2
    below = tip[1] > y1
    pole = Stroke("", colour, 1.6 if item.status == "conflict" else 1.1)
    if item.muted:
        pole = Stroke("", colour, 0.8, DASHES)
    if plot.mood == "chosen":
        surface.disc(tip, 12.0, Stroke("", theme.colour("accent"), 2.0))
        surface.box((x0 - 3, y0 - 3, x1 + 3, y1 + 3), Stroke("", theme.colour("accent"), 1.6))
    if item.status == "conflict":
        edge = x1 if mirrored else x0
        surface.line((tip, (edge, y1 if below else y0), (edge, y0 if below else y1)), pole)
        hollow = plot.faint or item.muted
        surface.disc(tip, 2.6, Stroke(theme.colour("sheet") if hollow else colour, colour, 1.0))
    else:
        surface.line((tip, (min(max(tip[0], x0), x1), y1 if below else y0)), pole)
        surface.disc(tip, 2.4, Stroke(theme.colour("sheet"), colour, 1.2))
    badge(surface, plot.label, item.status, plot.text, theme, mirrored, plot.faint, item.muted)


def _faint(theme: Theme) -> Stroke:
    """The outline of a place that is still being checked."""
    return Stroke("", theme.colour("faint_ink"), 0.8, (1.5, 3.0))


def badge(
    surface: Surface,
    box: Box,
    status: str,
    number: str,
    theme: Theme,
    mirrored: bool = False,
    faint: bool = False,
    muted: bool = False,
) -> None:
    """The shape of a status with a number on it: filled flag, open ring or tick, in a box 22 x 14 px or so.

    A ``mirrored`` flag flies to the left, its pole on the right. A ``faint`` one is in outline and without colour,
    a ``muted`` one in broken outline.
    """
    x0, y0, x1, y1 = box
    middle = (y0 + y1) / 2
    faint = faint or muted
    dash = DASHES if muted else ()
    colour = theme.colour("soft_ink" if muted else "faint_ink" if faint else status)
    sheet = theme.colour("sheet")
    quiet = "muted" if muted else "label-small"
    if status == "conflict":
        pole, fly, notch = (x1, x0, x0 + 5) if mirrored else (x0, x1, x1 - 5)
        cloth = ((pole, y0), (fly, y0), (notch, middle), (fly, y1), (pole, y1))
        dye = Stroke(sheet, colour, 1.0, dash) if faint else Stroke(colour, theme.colour("ink"), 0.8)
        surface.line(cloth, dye, closed=True)
        letters = theme.text(quiet if faint else "flag")
        surface.text((min(pole, notch), y0, max(pole, notch), y1), number, letters)
    elif status == "tight":
        wide = max((y1 - y0) / 2, 4.0)
        ring = _lozenge(x0, y0, x1, y1, wide)
        surface.line(ring, Stroke(sheet, colour, 1.0 if faint else 2.2, dash), closed=True)
        surface.text(box, number, theme.text(quiet if faint else "ring"))
    else:
        surface.line(((x0 + 1, middle), (x0 + 4.5, y1 - 2.5), (x0 + 10, y0 + 2)), Stroke("", colour, 2.2))
        if number:
            surface.text((x0 + 9, y0, x1 + 4, y1), number, theme.text("label-small"))


def _lozenge(x0: float, y0: float, x1: float, y1: float, r: float) -> tuple[Px, ...]:
    """A box with half-round ends, as sixteen points."""
    bow = ((0.0, 1.0), (0.5, 0.866), (0.866, 0.5), (1.0, 0.0), (0.866, -0.5), (0.5, -0.866), (0.0, -1.0))
    middle = (y0 + y1) / 2
    right = [(x1 - r + r * c, middle + r * s) for c, s in bow]
    left = [(x0 + r - r * c, middle - r * s) for c, s in bow]
    return (*right, *left)


def _note(surface: Surface, plot: Plot, note: Note, theme: Theme) -> None:
    assert plot.label is not None
    x0, y0, x1, y1 = plot.label
    surface.box(plot.label, theme.stroke("note"))
    step = (y1 - y0 - 12) / len(note.lines)
    for k, (text, status) in enumerate(note.lines):
        top = y0 + 6 + k * step
        left = x0 + 8
        if status:
            middle = top + step / 2
            badge(surface, (left, middle - 5, left + 13, middle + 5), status, "", theme)
            left += 18
        letters = theme.text("note-strong" if k == 0 else "note")
        surface.text((left, top, x1 - 8, top + step), text, letters, left=True)


def pulse(surface: Surface, at: Px, share: float, theme: Theme) -> None:
    """A ring that closes in on a place; ``share`` runs from 0 to 1."""
    surface.disc(at, 8 + 40 * (1 - share), Stroke("", theme.colour("accent"), 1.0 + 2.0 * share))

"""The surface of desk.views.draw on a QPainter, for the screen and for the sharing picture.

Outlines are turned into screen paths once for each scale and kept by the identity of their rings; panning only moves
the painter. Pens, brushes, fonts and hatch tiles are made once for each theme.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QStaticText,
)

from desk.views.theme import Hatch, Letters, Stroke

if TYPE_CHECKING:  # the window makes its fonts and brushes before anything heavy is imported
    from desk.views.drawing import Ring
    from desk.views.viewport import Box, Px, Viewport

PLATE = 205
"""Opacity, of 255, of the plate of sheet colour behind a label."""


class PathStore:
    """Screen paths by the identity of their rings, for one scale."""

    def __init__(self) -> None:
        self._scale = 0.0
        self._paths: dict[int, tuple[tuple[Ring, ...], QPainterPath]] = {}

    def path(self, rings: tuple[Ring, ...], closed: bool, scale: float) -> QPainterPath:
        """The path of rings given in mm, in px about the drawing's origin."""
        if scale != self._scale:
            self._paths.clear()
            self._scale = scale
        found = self._paths.get(id(rings))
        if found is None:
            found = self._paths[id(rings)] = (rings, screen_path(rings, closed, scale))
        return found[1]

    def keep(self, wanted: set[int]) -> None:
        """Forget the paths of rings whose identity is not in ``wanted``."""
        if len(self._paths) > 2 * len(wanted) + 32:
            self._paths = {k: v for k, v in self._paths.items() if k in wanted}


def screen_path(rings: tuple[Ring, ...], closed: bool, scale: float) -> QPainterPath:
    """Rings in mm as a path in px, y turned down; inner rings are holes."""
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for ring in rings:
        points = iter(ring)
        for x, y in points:
            path.moveTo(x * scale, -y * scale)
            break
        line = path.lineTo
        for x, y in points:
            line(x * scale, -y * scale)
        if closed:
            path.closeSubpath()
    return path


@cache
def pen(stroke: Stroke) -> QPen:
    """The pen of a stroke."""
    if not stroke.line:
        return QPen(Qt.PenStyle.NoPen)
    made = QPen(QColor(stroke.line), stroke.width)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if stroke.dash:
        made.setDashPattern([d / stroke.width for d in stroke.dash])
    return made


@cache
def brush(colour: str) -> QBrush:
    """The brush of a fill."""
    return QBrush(QColor(colour)) if colour else QBrush(Qt.BrushStyle.NoBrush)


@cache
def font(letters: Letters) -> QFont:
    """The font of a text style."""
    made = QFont(list(letters.families))
    made.setPointSizeF(letters.size)
    made.setWeight(QFont.Weight(letters.weight))
    made.setItalic(letters.italic)
    return made


@cache
def _text_pen(colour: str) -> QPen:
    return QPen(QColor(colour))


@lru_cache(maxsize=1024)
def _laid(text: str, letters: Letters) -> tuple[QStaticText, float, float]:
    """A text laid out once, with its width and height."""
    laid = QStaticText(text)
    laid.setTextFormat(Qt.TextFormat.PlainText)
    laid.prepare(font=font(letters))
    size = laid.size()
    return laid, size.width(), size.height()


@cache
def metrics(letters: Letters) -> QFontMetricsF:
    """Metrics of a text style on the screen."""
    return QFontMetricsF(font(letters))


@cache
def hatch_tile(hatch: Hatch, ratio: float) -> QImage:
    """A tile that repeats to strokes at 45 degrees, at the screen's pixel ratio."""
    side = max(3, round(hatch.gap * math.sqrt(2)))
    tile = QImage(round(side * ratio), round(side * ratio), QImage.Format.Format_ARGB32_Premultiplied)
    tile.setDevicePixelRatio(ratio)
    tile.fill(Qt.GlobalColor.transparent)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(hatch.colour), hatch.width))
    for shift in (-side, 0, side):
        painter.drawLine(QPointF(shift - 1, side + 1), QPointF(shift + side + 1, -1))
    painter.end()
    return tile


class QtSurface:
    """Paints on an active QPainter; see desk.views.draw.Surface for the calls."""

    def __init__(self, painter: QPainter, view: Viewport, paths: PathStore, plate: str) -> None:
        """``plate`` is the colour put behind labels that ask for it."""
        self._painter = painter
        self._view = view
        self._paths = paths
        self._used: Stroke | None = None
        """The stroke whose pen and brush the painter has."""
        self._plate = QColor(plate)
        self._plate.setAlpha(PLATE)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def _use(self, stroke: Stroke) -> None:
        if stroke is self._used:
            return
        self._used = stroke
        self._painter.setPen(pen(stroke))
        self._painter.setBrush(brush(stroke.fill))

    def rings(self, rings: tuple[Ring, ...], closed: bool, stroke: Stroke) -> None:
        """Areas or lines in mm of the drawing."""
        self._use(stroke)
        if not closed and stroke.fill:
            self._painter.setBrush(Qt.BrushStyle.NoBrush)
            self._used = None
        self._painter.translate(self._view.x0, self._view.y0)
        self._painter.drawPath(self._paths.path(rings, closed, self._view.scale))
        self._painter.translate(-self._view.x0, -self._view.y0)

    def hatch(self, rings: tuple[Ring, ...], hatch: Hatch) -> None:
        """Hatching over an area in mm of the drawing."""
        path = self._paths.path(rings, True, self._view.scale)
        tile = QBrush(hatch_tile(hatch, self._painter.device().devicePixelRatioF()))
        self._painter.translate(self._view.x0, self._view.y0)
        self._painter.fillPath(path, tile)
        self._painter.translate(-self._view.x0, -self._view.y0)

    def disc(self, centre: Px, radius: float, stroke: Stroke) -> None:
        """A circle in px."""
        self._use(stroke)
        self._painter.drawEllipse(QPointF(*centre), radius, radius)

    def line(self, points: tuple[Px, ...], stroke: Stroke, closed: bool = False) -> None:
        """A line through points in px, or the area they enclose."""
        self._use(stroke)
        if len(points) == 2:
            self._painter.drawLine(QPointF(*points[0]), QPointF(*points[1]))
            return
        shape = QPolygonF([QPointF(*p) for p in points])
        if closed:
            self._painter.drawPolygon(shape)
        else:
            self._painter.drawPolyline(shape)

    def strokes(self, ends: tuple[tuple[Px, Px], ...], stroke: Stroke) -> None:
        """Straight lines in px, each from end to end."""
        self._use(stroke)
        self._painter.drawLines([QLineF(a[0], a[1], b[0], b[1]) for a, b in ends])

    def box(self, box: Box, stroke: Stroke) -> None:
        """An upright box in px."""
        self._use(stroke)
        self._painter.drawRoundedRect(QRectF(box[0], box[1], box[2] - box[0], box[3] - box[1]), 2.5, 2.5)

    def text(self, box: Box, text: str, letters: Letters, angle: float = 0.0, left: bool = False) -> None:
        """A text in the middle (or at the left) of a box in px."""
        painter = self._painter
        rect = QRectF(box[0], box[1], box[2] - box[0], box[3] - box[1])
        turned = abs(angle) > 0.01
        if turned:
            painter.save()
            painter.translate(rect.center())
            painter.rotate(-angle)
            size = metrics(letters)
            w, h = size.horizontalAdvance(text), size.height()
            rect = QRectF(-w / 2, -h / 2, w, h)
        if letters.halo:
            painter.fillRect(rect, self._plate)
        self._used = None
        painter.setFont(font(letters))
        painter.setPen(_text_pen(letters.colour))
        laid, wide, high = _laid(text, letters)
        x = rect.left() if left else rect.left() + (rect.width() - wide) / 2
        painter.drawStaticText(QPointF(x, rect.top() + (rect.height() - high) / 2), laid)
        if turned:
            painter.restore()

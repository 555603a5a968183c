"""Where a drawing sits on the screen. Drawing coordinates are mm, x right and y up; the screen's are px, y down."""

from __future__ import annotations

from dataclasses import dataclass, replace

from desk.views.drawing import Dimension, Drawing, Marker

Px = tuple[float, float]
Box = tuple[float, float, float, float]
"""x low, y low, x high, y high."""

SMALLEST, LARGEST = 0.05, 80.0
"""Least and greatest scale in px per mm."""


@dataclass(frozen=True)
class Viewport:
    """``scale`` px per mm; the drawing's origin is at (``x0``, ``y0``) px."""

    scale: float = 1.0
    x0: float = 0.0
    y0: float = 0.0

    def to_px(self, point: tuple[float, float]) -> Px:
        """Screen place of a point of the drawing."""
        return self.x0 + point[0] * self.scale, self.y0 - point[1] * self.scale

    def to_mm(self, at: Px) -> tuple[float, float]:
        """Point of the drawing at a screen place."""
        return (at[0] - self.x0) / self.scale, (self.y0 - at[1]) / self.scale

    def panned(self, dx: float, dy: float) -> Viewport:
        """Moved by screen px."""
        return replace(self, x0=self.x0 + dx, y0=self.y0 + dy)

    def zoomed(self, at: Px, factor: float) -> Viewport:
        """Scaled by ``factor`` with the point under ``at`` held; the scale is kept within its limits."""
        scale = min(LARGEST, max(SMALLEST, self.scale * factor))
        f = scale / self.scale
        return Viewport(scale, at[0] + (self.x0 - at[0]) * f, at[1] + (self.y0 - at[1]) * f)

    def following(self, other: Viewport, middle: float) -> Viewport:
        """The scale and x of ``other``; y turns about the screen height ``middle``."""
        f = other.scale / self.scale
        return Viewport(other.scale, other.x0, middle + (self.y0 - middle) * f)

    def centred(self, point: tuple[float, float], width: float, height: float) -> Viewport:
        """The same scale with ``point`` in the middle of a screen area."""
        return Viewport(self.scale, width / 2 - point[0] * self.scale, height / 2 + point[1] * self.scale)


def reach(drawing: Drawing) -> Box:
    """The drawing's extent together with its dimension lines and flags, mm."""
    x0, y0, x1, y1 = drawing.extent
    for item in drawing.items:
        if isinstance(item, Dimension):
            for x, y in (*line_ends(item), item.handle):
                x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
        elif isinstance(item, Marker):
            x, y = item.at
            x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
    return x0, y0, x1, y1


def line_ends(item: Dimension) -> tuple[Px, Px]:
    """The two ends of a dimension line, set off to the left of start to end, mm."""
    if item.shape != "line":
        return item.start, item.end
    (ax, ay), (bx, by) = item.start, item.end
    length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 or 1.0
    nx, ny = -(by - ay) / length * item.offset, (bx - ax) / length * item.offset
    return (ax + nx, ay + ny), (bx + nx, by + ny)


def fit_scale(box: Box, width: float, height: float, margin: float) -> float:
    """The largest scale at which ``box`` (mm) leaves ``margin`` px free on every side."""
    wide, high = max(box[2] - box[0], 1.0), max(box[3] - box[1], 1.0)
    scale = min((width - 2 * margin) / wide, (height - 2 * margin) / high)
    return min(LARGEST, max(SMALLEST, scale))


def placed(box: Box, scale: float, width: float, height: float) -> Viewport:
    """``box`` in the middle of a screen area at ``scale``."""
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    return Viewport(scale).centred(middle, width, height)

"""Boxes on the screen, and the places tried for a label: beside its handle, then farther away. px, y down."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from desk.views.viewport import Box, Px

STEP = 12.0
"""Between two places tried far from a handle, px."""
REACH = 30
"""So many steps to either side of a handle, and half as many up and down."""
STEPS = sorted(
    itertools.product(range(-REACH, REACH + 1), range(-REACH // 2, REACH // 2 + 1)),
    key=lambda step: math.hypot(*step),
)


def overlaps(a: Box, b: Box) -> bool:
    """Whether two boxes share more than an edge."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def joined(a: Box, b: Box) -> Box:
    """The smallest box around both."""
    return min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])


def padded(box: Box, by: float) -> Box:
    """The box grown by ``by`` on every side."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def around(points: Sequence[Px], pad: float = 0.0) -> Box:
    """The box around points."""
    if len(points) == 1:
        x, y = points[0]
        return x - pad, y - pad, x + pad, y + pad
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs) - pad, min(ys) - pad, max(xs) + pad, max(ys) + pad


def along(a: Px, b: Px) -> list[Px]:
    """Places to try along a line, the middle first."""
    return [
        (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for t in (0.5, 0.3, 0.7, 0.12, 0.88, 1.0, 0.0)
    ]


def free(box: Box, taken: list[Box]) -> bool:
    """Whether the box overlaps none of the others. Asked about a thousand times a layout, so written out."""
    x0, y0, x1, y1 = box
    for a0, b0, a1, b1 in taken:  # noqa: SIM110
        if x0 < a1 and a0 < x1 and y0 < b1 and b0 < y1:
            return False
    return True


def crosses(box: Box, ends: tuple[Px, ...]) -> bool:
    """Whether a straight dimension line runs through the label."""
    if len(ends) != 2 or not overlaps(padded(box, -1.0), around(ends, 0.5)):
        return False
    (ax, ay), (bx, by) = ends
    sides = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x in (box[0], box[2]) for y in (box[1], box[3])]
    return min(sides) < 0 < max(sides)


def inside(box: Box, frame: Box) -> Box:
    """The box pushed into the frame."""
    dx = max(frame[0] - box[0], 0.0) or min(frame[2] - box[2], 0.0)
    dy = max(frame[1] - box[1], 0.0) or min(frame[3] - box[3], 0.0)
    return box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy


def beside(at: Px, size: tuple[float, float], gap: float) -> Iterator[Box]:
    """Places for a label of this size right beside a handle, the best first."""
    (x, y), (w, h) = at, size
    aside = w / 2 + gap
    for dx, dy in (
        (0.0, -h / 2 - 2),
        (0.0, h / 2 + 2),
        (aside, 0.0),
        (-aside, 0.0),
        (aside, -h),
        (-aside, -h),
    ):
        yield x + dx - w / 2, y + dy - h / 2, x + dx + w / 2, y + dy + h / 2


def afar(at: Px, size: tuple[float, float]) -> Iterator[Box]:
    """Places for a label of this size round a handle, the nearest first."""
    (x, y), (w, h) = at, size
    for i, j in STEPS:
        cx, cy = x + i * STEP, y + j * STEP
        yield cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2

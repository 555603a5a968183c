"""Findings drawn at their places: a hatched shape and a numbered flag, in every view that sees the place face on.

A place in a plane that no view sees face on is flagged in the view that its part is cut in.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import Cabinet
from desk.checks.finding import Finding, Place
from desk.shapes.frame import Frame, add, dot
from desk.shapes.loop import Point
from desk.views.drawing import Item, Marker, Path
from desk.views.project import faces, flat, placed, ring

APART = 45.0
"""Places of one finding nearer to each other than this, mm, share one flag."""
_WHOLE = 0.02
"""An area larger than this share of the square of the cabinet's depth is a whole part."""
SLACK = 2.0
"""A place this far, mm, outside the slab of space a section stands for still shows in it."""


def numbered(findings: Sequence[Finding]) -> list[tuple[int, Finding]]:
    """The findings that are flagged, with their numbers: conflicts and tight ones in list order, from 1."""
    return list(enumerate((f for f in findings if f.status != "clear"), 1))


def flag_items(cabinet: Cabinet, findings: Sequence[Finding], view: str, frame: Frame) -> Iterator[Item]:
    """Shapes of all places first, then the flags, so that no flag is covered."""
    marks = cabinet.marks
    flags: list[Item] = []
    for number, finding in numbered(findings):
        planted: list[Point] = []
        for place in finding.places:
            if not seen(cabinet, place, view, frame):
                continue
            coords = placed(frame, place.frame, np.array(place.points, dtype=float))
            yield _shape(place, coords, finding, _WHOLE * marks.lengths["depth"] ** 2)
            at = _on_area(coords) if place.kind == "area" else flat(frame, place.middle)
            if all(math.dist(at, other) > APART for other in planted):
                planted.append(at)
                flags.append(Marker(at, number, finding.status, finding.key, bool(finding.muted)))
    yield from flags


def _shape(place: Place, coords: NDArray[np.float64], finding: Finding, large: float) -> Path:
    """The place as a hatched area or a line; a large area is only outlined, so as not to cover what lies in it.

    The place of a muted finding is a faint outline.
    """
    area = place.kind == "area"
    if finding.muted:
        return Path((ring(coords),), "muted", area, "", None, finding.key)
    if area and shapely.Polygon(coords).area > large:
        coords, area = np.vstack((coords, coords[:1])), False
    return Path((ring(coords),), finding.status, area, "", finding.status, finding.key)


def _on_area(coords: NDArray[np.float64]) -> Point:
    """The middle of an area's corners, or another point of the area where that one lies outside of it."""
    x, y = coords.mean(axis=0).tolist()
    area = shapely.Polygon(coords) if len(coords) > 2 else shapely.Polygon()
    if area.is_empty or not area.is_valid or shapely.contains_xy(area, x, y):
        return x, y
    spot = shapely.point_on_surface(area)
    return spot.x, spot.y


def seen(cabinet: Cabinet, place: Place, view: str, frame: Frame) -> bool:
    """Whether the view shows the place."""
    if not faces(frame, place.frame):
        return False
    depth = _depth(frame, place)
    marks = cabinet.marks
    if view == "lane":
        half = marks.lengths["lane width"] / 2 + cabinet.by_id["inner-wall"].thickness
        return abs(depth) <= half + SLACK
    if view == "channel":
        half = marks.lengths["channel width"] / 2 + cabinet.by_id["inner-wall"].thickness
        return abs(depth) <= max(half, cabinet.by_id["panel-return"].thickness + half) + SLACK
    if view == "face":
        return abs(depth) <= cabinet.by_id["board"].thickness + SLACK
    return True


def _depth(frame: Frame, place: Place) -> float:
    """How far the place lies from the view's plane, mm, along its normal."""
    return dot(add(place.frame.origin, frame.origin, -1.0), frame.normal)

"""The views against the cabinet in space: each part is drawn where it stands, whichever side the return is on."""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce

import pytest
import shapely

from desk.cabinet.layout import LIFTER_SINK
from desk.evaluate import Evaluation
from desk.shapes.frame import Vec
from desk.views.drawing import Dimension, Disc, Path, Text
from desk.views.views import VIEWS

from .designs import DESIGNS, evaluated

SLACK = 0.05
"""mm: rounding, and chords that stand for arcs."""
SEEN: dict[str, Callable[[Vec], tuple[float, float]]] = {
    "lane": lambda p: (p[0], p[2]),
    "channel": lambda p: (p[0], p[2]),
    "plan": lambda p: (p[0], -p[1]),
    "rear": lambda p: (p[1], p[2]),
}
"""Where a world point shows in the views that look along an axis; y counts from the left, z from the table."""
UPRIGHT = [(name, view) for name in DESIGNS for view in SEEN]


def bounds(points: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def parts_drawn(evaluation: Evaluation, view: str) -> dict[str, tuple[float, float, float, float]]:
    """Extent of each part's paths in a view."""
    points: dict[str, list[tuple[float, float]]] = {}
    for item in evaluation.drawings[view].items:
        if isinstance(item, Path) and item.part:
            points.setdefault(item.part, []).extend(p for ring in item.rings for p in ring)
    return {part: bounds(found) for part, found in points.items()}


@pytest.mark.parametrize(("name", "view"), UPRIGHT)
def test_parts_are_drawn_where_they_stand(name: str, view: str) -> None:
    evaluation = evaluated(name)
    astray = []
    drawn = parts_drawn(evaluation, view)
    for key, (x0, y0, x1, y1) in drawn.items():
        low, high = evaluation.cabinet.by_id[key].extent
        a, b, c, d = bounds([SEEN[view](low), SEEN[view](high)])
        if x0 < a - SLACK or y0 < b - SLACK or x1 > c + SLACK or y1 > d + SLACK:
            astray.append(f"{key} stands in {(a, b, c, d)} and is drawn in {(x0, y0, x1, y1)}")
    assert astray == []
    assert len(drawn) >= 5


@pytest.mark.parametrize(("name", "view"), UPRIGHT)
def test_the_plane_of_a_view_is_where_its_coordinates_count_from(name: str, view: str) -> None:
    """So that flags, handles and marks, which go through the plane, meet the parts."""
    frame = evaluated(name).cabinet.planes[VIEWS[view].plane]
    for point in ((0.0, 0.0, 0.0), (10.0, 20.0, 30.0)):
        assert frame.local(point)[:2] == pytest.approx(SEEN[view](point))


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", DESIGNS)
def test_parts_balls_and_labels_lie_within_the_view(name: str, view: str) -> None:
    drawing = evaluated(name).drawings[view]
    x0, y0, x1, y1 = drawing.extent
    outside = []
    for item in drawing.items:
        if isinstance(item, Path) and item.part:
            points = [p for ring in item.rings for p in ring]
        elif isinstance(item, Disc):
            points = [item.centre]
        elif isinstance(item, Text):
            points = [item.at]
        else:
            continue
        a, b, c, d = bounds(points)
        if a < x0 - SLACK or b < y0 - SLACK or c > x1 + SLACK or d > y1 + SLACK:
            outside.append(f"{type(item).__name__} {getattr(item, 'part', '')} {(a, b, c, d)}")
    assert outside == []


@pytest.mark.parametrize("view", ["plan", "rear"])
def test_a_return_on_the_right_gives_the_mirror_image(view: str) -> None:
    """Closed form: y becomes width - y, all else stays."""
    left, right = evaluated("starting"), evaluated("return on the right")
    width = left.cabinet.marks.lengths["width"]
    wanted, found = parts_drawn(left, view), parts_drawn(right, view)
    assert wanted.keys() == found.keys()
    for key, (x0, y0, x1, y1) in wanted.items():
        flipped = (x0, -width - y1, x1, -width - y0) if view == "plan" else (width - x1, y0, width - x0, y1)
        assert found[key] == pytest.approx(flipped, abs=SLACK), key


def test_sections_are_the_same_on_either_side() -> None:
    for view in ("lane", "channel"):
        left = parts_drawn(evaluated("starting"), view)
        right = parts_drawn(evaluated("return on the right"), view)
        assert left.keys() == right.keys()
        for key, box in left.items():
            assert right[key] == pytest.approx(box, abs=SLACK), key


@pytest.mark.parametrize("name", DESIGNS)
def test_balls_rest_on_the_wood(name: str) -> None:
    """A ball at rest is drawn at its own size, on a part that is cut there and reaching into none.

    It lies on the lacquer, which the sections do not show, and in the waiting place beside the lifter's lower pad.
    """
    evaluation = evaluated(name)
    radius = evaluation.cabinet.balls.diameter / 2
    for view in ("lane", "channel", "rear"):
        items = evaluation.drawings[view].items
        wood = shapely.union_all(
            [
                reduce(shapely.symmetric_difference, map(shapely.Polygon, i.rings))
                for i in items
                if isinstance(i, Path) and i.closed and i.part and not i.style.endswith("-far")
            ]
        )
        resting = [i for i in items if isinstance(i, Disc) and i.style in ("ball-resting", "trap")]
        assert resting or view == "rear"
        for ball in resting:
            assert ball.radius == pytest.approx(radius)
            gap = shapely.distance(wood, shapely.Point(ball.centre)) - radius
            assert -SLACK <= gap <= evaluation.cabinet.shop.film + 2 * LIFTER_SINK + SLACK


def test_every_view_has_a_title_and_dimensions() -> None:
    for view, made in VIEWS.items():
        drawing = evaluated("starting").drawings[view]
        assert (drawing.id, drawing.title) == (view, made.title)
        assert any(isinstance(i, Dimension) for i in drawing.items)

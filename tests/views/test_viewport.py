"""Screen and drawing coordinates."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.views.viewport import LARGEST, SMALLEST, Viewport, fit_scale, line_ends, placed, reach

from .pieces import gap_drawing

mm = st.floats(-2000, 2000)
views = st.builds(Viewport, st.floats(SMALLEST, LARGEST), st.floats(-3000, 3000), st.floats(-3000, 3000))


@given(views, mm, mm)
def test_there_and_back(view: Viewport, x: float, y: float) -> None:
    assert view.to_mm(view.to_px((x, y))) == pytest.approx((x, y), abs=1e-6)


def test_y_runs_up_on_paper_and_down_on_the_screen() -> None:
    assert Viewport(2.0, 100.0, 50.0).to_px((10.0, 5.0)) == (120.0, 40.0)


@given(views, mm, mm, st.floats(0.1, 10))
def test_zoom_holds_the_point_under_the_pointer(view: Viewport, x: float, y: float, factor: float) -> None:
    held = view.to_mm((x, y))
    zoomed = view.zoomed((x, y), factor)
    assert zoomed.to_px(held) == pytest.approx((x, y), abs=1e-5)
    assert SMALLEST <= zoomed.scale <= LARGEST


@given(views, views)
def test_following_takes_scale_and_x_and_holds_the_middle(view: Viewport, other: Viewport) -> None:
    middle = 150.0
    y = view.to_mm((0.0, middle))[1]
    followed = view.following(other, middle)
    assert (followed.scale, followed.x0) == (other.scale, other.x0)
    assert followed.to_px((0.0, y))[1] == pytest.approx(middle, abs=1e-5)


def test_a_fitted_box_is_whole_and_in_the_middle() -> None:
    box = (-20.0, -10.0, 380.0, 190.0)
    scale = fit_scale(box, 640.0, 480.0, 20.0)
    view = placed(box, scale, 640.0, 480.0)
    assert scale == pytest.approx(600 / 400)
    (x0, y1), (x1, y0) = view.to_px((box[0], box[1])), view.to_px((box[2], box[3]))
    assert (x0, x1) == pytest.approx((20.0, 620.0))
    assert (y0 + y1) / 2 == pytest.approx(240.0)


def test_an_empty_box_still_gives_a_scale_within_limits() -> None:
    assert fit_scale((0.0, 0.0, 0.0, 0.0), 10.0, 10.0, 20.0) == SMALLEST


def test_a_dimension_line_is_set_off_to_the_left_of_its_way() -> None:
    drawing = gap_drawing(22.0)
    item = next(i for i in drawing.items if getattr(i, "id", "") == "lane.deck_height")
    (ax, _), (bx, _) = line_ends(item)  # type: ignore[arg-type]
    assert ax == bx == pytest.approx(item.start[0] - 24.0)  # type: ignore[union-attr]


def test_reach_takes_in_dimension_lines_and_flags() -> None:
    drawing = gap_drawing(22.0)
    assert reach(drawing)[1] < drawing.extent[1]

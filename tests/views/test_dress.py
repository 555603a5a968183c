"""Dimension lines and handles: every declared size is shown, and what is pulled follows the hand."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest

from desk.cabinet.build import build
from desk.design import edit, table
from desk.design.model import Design
from desk.views.drawing import Dimension, Pull
from desk.views.views import VIEWS, draw

from .designs import DESIGNS, STEEP

STEP = 1.0
"""mm a handle is pulled."""
FOLLOWS = 0.05
"""Share of the pull by which a handle may miss: angles turn their handles on arcs."""


def sizes(design: Design) -> dict[tuple[str, str], Dimension]:
    """Every dimension of every view by (view, id)."""
    cabinet = build(design)
    found: dict[tuple[str, str], Dimension] = {}
    for view in VIEWS:
        for item in draw(view, design, cabinet, (), ()).items:
            if isinstance(item, Dimension):
                assert (view, item.id) not in found, f"{item.id} is twice in {view}"
                found[view, item.id] = item
    return found


SIZES = {name: sizes(design) for name, design in DESIGNS.items()}


def declared(design: Design) -> set[tuple[str, str]]:
    """(view, address) of every number that the table says a view carries a handle for."""
    rail = {f"targets.{k}.rail" for k, t in enumerate(design.targets, 1) if t.kind == "plain"}
    return {
        (view, address)
        for address in edit.addresses(design)
        for view in table.spec(address).views
        if address not in rail
    }


@pytest.mark.parametrize("name", DESIGNS)
def test_views_carry_the_handles_the_table_declares(name: str) -> None:
    shown = {(view, pull.address) for (view, _), item in SIZES[name].items() for pull in item.pulls}
    assert shown == declared(DESIGNS[name])


@pytest.mark.parametrize("name", DESIGNS)
def test_values_labels_and_units_are_the_design_s(name: str) -> None:
    for item in SIZES[name].values():
        spec = table.spec(item.id)
        assert item.value == edit.get(DESIGNS[name], item.id)
        assert (item.label, item.unit) == (spec.label, spec.unit)


@pytest.mark.parametrize("name", DESIGNS)
def test_axes_are_unit_vectors_and_handles_finite(name: str) -> None:
    for item in SIZES[name].values():
        assert all(map(math.isfinite, (*item.handle, *item.start, *item.end)))
        for pull in item.pulls:
            assert math.hypot(*pull.axis) == pytest.approx(1.0)
            assert pull.gain > 0


def pulls(name: str) -> Iterator[tuple[str, Dimension, Pull]]:
    for (view, _), item in SIZES[name].items():
        for pull in item.pulls:
            yield view, item, pull


def moved(design: Design, view: str, item: Dimension, pull: Pull, step: float) -> tuple[float, float] | None:
    """How far the handle moves when it is pulled ``step`` mm along the axis; None at the end of its range."""
    low, high = table.spec(pull.address).hard
    value = edit.get(design, pull.address) + pull.gain * step
    if not low <= value <= high:
        return None
    now = sizes_of_view(edit.put(design, pull.address, value), view)[item.id]
    return now.handle[0] - item.handle[0], now.handle[1] - item.handle[1]


def sizes_of_view(design: Design, view: str) -> dict[str, Dimension]:
    drawing = draw(view, design, build(design), (), ())
    return {item.id: item for item in drawing.items if isinstance(item, Dimension)}


@pytest.mark.parametrize("name", DESIGNS)
def test_a_handle_follows_the_hand(name: str) -> None:
    astray = []
    tried = 0
    for view, item, pull in pulls(name):
        for step in (STEP, -STEP):
            by = moved(DESIGNS[name], view, item, pull, step)
            if by is None:
                continue
            tried += 1
            along = (by[0] * pull.axis[0] + by[1] * pull.axis[1]) / step
            if abs(along - 1) > FOLLOWS:
                astray.append(
                    f"{view}: {item.id}, pulled for {pull.address} by {step}, follows by {along:.3f}"
                )
    assert astray == []
    assert tried > 100


def test_a_slope_turns_by_the_angle_its_handle_rises() -> None:
    """Closed form: the far end of a slope of run L rises by L (tan(a + d) - tan a)."""
    design = DESIGNS["steep"]
    item = SIZES["steep"]["channel", "return.slope"]
    run = item.end[0] - item.start[0]
    by = moved(design, "channel", item, item.pulls[0], STEP)
    assert by is not None
    before, turn = math.radians(STEEP["return.slope"]), math.radians(item.pulls[0].gain * STEP)
    assert by[1] == pytest.approx(run * (math.tan(before + turn) - math.tan(before)), abs=2e-5)


def test_lines_measure_their_value() -> None:
    """The two points of a dimension line lie as far apart as its text says."""
    wrong = []
    for name in DESIGNS:
        for (view, key), item in SIZES[name].items():
            if item.shape == "line" and item.unit == "length":
                length = math.dist(item.start, item.end)
                if abs(length - item.value) > 0.01:
                    wrong.append(f"{name}, {view}: {key} says {item.value:.3f}, measures {length:.3f}")
    assert wrong == []


def test_angles_open_by_their_value() -> None:
    """The arm of an angle leaves the level by as many degrees as its text says."""
    wrong = []
    for name in DESIGNS:
        for (view, key), item in SIZES[name].items():
            if item.shape == "angle":
                dx, dy = item.end[0] - item.start[0], item.end[1] - item.start[1]
                opening = math.degrees(math.atan2(abs(dy), abs(dx)))
                if abs(opening - item.value) > 0.01:
                    wrong.append(f"{name}, {view}: {key} says {item.value:.3f}, opens by {opening:.3f}")
    assert wrong == []


@pytest.mark.parametrize("name", DESIGNS)
def test_lengths_of_the_plan_stand_below_it(name: str) -> None:
    width = build(DESIGNS[name]).marks.lengths["width"]
    for (view, key), item in SIZES[name].items():
        if view == "plan" and item.offset:
            assert item.start[1] == pytest.approx(-width), key
            assert item.handle[1] < -width, key

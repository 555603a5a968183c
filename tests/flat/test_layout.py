"""Sheets: nothing overlaps, the gap and the margin hold, the grain is kept, nothing is dropped or mirrored."""

from __future__ import annotations

import itertools
import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from desk.cabinet.model import Part, Pocket
from desk.flat.layout import Placement, footprint, lay_out
from desk.shapes.loop import circle, rect, rounded

from .samples import LEVEL, MDF, PLY, plain, rich, shop

SIZES = st.tuples(st.floats(5.0, 420.0), st.floats(5.0, 380.0))


def a_part(index: int, stock, size, shape: str, grain, shift) -> Part:
    w, h = size
    x, y = shift
    if shape == "rect":
        outline = rect(x, y, x + w, y + h)
    elif shape == "disc":
        outline = circle(x, y, min(w, h) / 2)
    else:
        r = min(w, h) / 3
        outline = rounded([(x, y, r), (x + w, y, r), (x + w * 0.8, y + h, r), (x, y + h, 0.0)])
    return Part(f"p{index:02}", f"Part {index}", stock.id, stock.measured, outline, LEVEL, grain=grain)


PARTS = st.lists(
    st.tuples(
        st.sampled_from([PLY, MDF]),
        SIZES,
        st.sampled_from(["rect", "rounded", "disc"]),
        st.sampled_from([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]),
        st.tuples(st.floats(-100.0, 100.0), st.floats(-100.0, 100.0)),
    ),
    max_size=25,
)


def as_placed(part: Part, place: Placement) -> shapely.Polygon:
    return place.loop(part.outline).polygon


@given(PARTS, st.floats(1.0, 30.0), st.floats(0.0, 20.0))
@settings(derandomize=True, deadline=None, max_examples=80)
def test_parts_keep_their_distance_and_the_margin(rows, gap, margin):
    parts = [a_part(k, *row) for k, row in enumerate(rows)]
    by_id = {p.id: p for p in parts}
    here = shop(margin=margin, gap=gap)
    found = lay_out(parts, here)
    told = [p.part for plan in found.sheets for p in plan.placements] + [u.part for u in found.unplaced]
    assert sorted(told) == sorted(by_id)
    for plan in found.sheets:
        stock = here.stock(plan.stock)
        assert plan.size == (stock.sheet_length, stock.sheet_width)
        inside = shapely.box(margin - 1e-6, margin - 1e-6, *(s - margin + 1e-6 for s in plan.size))
        shapes = [as_placed(by_id[p.part], p) for p in plan.placements]
        assert all(by_id[p.part].stock == plan.stock and p.sheet == plan.index for p in plan.placements)
        assert all(inside.covers(shape) for shape in shapes)
        for one, other in itertools.combinations(shapes, 2):
            assert one.distance(other) >= gap - 1e-6


@given(PARTS)
@settings(derandomize=True, deadline=None, max_examples=40)
def test_grain_runs_along_the_sheet(rows):
    parts = [a_part(k, *row) for k, row in enumerate(rows)]
    by_id = {p.id: p for p in parts}
    for plan in lay_out(parts, shop()).sheets:
        if plan.stock != PLY.id:
            continue
        for place in plan.placements:
            start, end = place.point((0.0, 0.0)), place.point(by_id[place.part].grain)
            assert abs(end[1] - start[1]) < 1e-9


@given(PARTS, st.randoms(use_true_random=False))
@settings(derandomize=True, deadline=None, max_examples=30)
def test_the_answer_depends_on_the_parts_only(rows, random):
    parts = [a_part(k, *row) for k, row in enumerate(rows)]
    mixed = list(parts)
    random.shuffle(mixed)
    one, other = lay_out(parts, shop()), lay_out(mixed, shop())
    assert one.sheets == other.sheets
    assert set(one.unplaced) == set(other.unplaced)


@pytest.mark.parametrize("turned", [False, True])
def test_a_placement_never_mirrors(turned):
    place = Placement("rich", 1, 12.0, 34.0, turned)
    part = rich()
    moved = place.loop(part.outline)
    assert moved.area == pytest.approx(part.outline.area, abs=1e-9)  # the sign would change in a mirror
    expected = shapely.affinity.rotate(part.outline.polygon, 90 if turned else 0, origin=(0, 0))
    expected = shapely.affinity.translate(expected, 12.0, 34.0)
    assert moved.polygon.symmetric_difference(expected).area < 1e-6
    assert place.path(part.outline.points) == moved.points
    assert place.point((3.0, 5.0)) == ((7.0, 37.0) if turned else (15.0, 39.0))


def test_without_grain_the_longer_side_lies_along_the_sheet():
    (plan,) = lay_out([plain("tall", 40.0, 300.0, MDF)], shop()).sheets
    assert plan.placements[0].turned


def test_without_grain_a_part_is_turned_where_it_fits_one_way_only():
    wide_sheet = [plain("p", 390.0, 370.0, MDF)]
    narrow = shop(MDF.__class__("m6", "MDF", "mdf", 6.0, 6.0, 400.0, 500.0, grained=False), margin=10.0)
    assert not lay_out(wide_sheet, narrow).unplaced


def test_grain_forbids_the_turn_that_would_make_it_fit():
    part = plain("plank", 100.0, 700.0)
    found = lay_out([part], shop())
    assert not found.sheets
    (left,) = found.unplaced
    assert left.part == "plank"
    assert "100.0 x 700.0 mm, its grain along the sheet's length" in left.why
    assert "780.0 x 580.0 mm" in left.why
    assert lay_out([plain("plank", 100.0, 700.0, grain=(0.0, 1.0))], shop()).sheets


@pytest.mark.parametrize("grain", [(1.0, 0.0), (0.0, 1.0), (0.0, -1.0)])
def test_the_grain_of_a_part_lies_along_the_grain_of_its_sheet(grain):
    """Plywood is sold with its face grain along either side; a part's grain is turned into the sheet's."""
    part = plain("plank", 300.0, 200.0, grain=grain)
    for way, along in (("length", (1.0, 0.0)), ("width", (0.0, 1.0))):
        (plan,) = lay_out([part], shop(replace(PLY, grain=way))).sheets
        (place,) = plan.placements
        origin, tip = place.point((0.0, 0.0)), place.point(grain)
        turned = (tip[0] - origin[0], tip[1] - origin[1])
        assert (abs(turned[0]), abs(turned[1])) == along
        moved = place.loop(part.outline).polygon
        assert shapely.box(10, 10, 790, 590).covers(moved)


def test_grain_across_the_sheet_is_told_where_a_part_does_not_fit():
    (left,) = lay_out([plain("plank", 700.0, 100.0)], shop(replace(PLY, grain="width"))).unplaced
    assert "100.0 x 700.0 mm, its grain along the sheet's width" in left.why
    assert not lay_out([plain("plank", 700.0, 100.0)], shop(PLY)).unplaced


def test_exactly_the_room_fits_and_a_hair_more_does_not():
    assert lay_out([plain("fit", 780.0, 580.0)], shop()).sheets
    assert lay_out([plain("over", 780.01, 580.0)], shop()).unplaced


def test_a_stock_the_shop_lacks_is_told():
    part = Part("odd", "Odd", "oak", 10.0, rect(0, 0, 5, 5), LEVEL)
    (left,) = lay_out([part], shop()).unplaced
    assert "'oak'" in left.why


def test_many_parts_take_several_sheets_numbered_from_one():
    found = lay_out([plain(f"p{k}", 390.0, 280.0) for k in range(10)], shop())
    assert [plan.index for plan in found.sheets] == [
        1,
        2,
        3,
        4,
        5,
    ]  # one across and two up: 2 x 390 + gap > 780
    assert all(len(plan.placements) == 2 for plan in found.sheets)


def test_the_footprint_holds_tabs_and_pockets_open_at_the_edge():
    over = Pocket(rect(-8.0, 2.0, 20.0, 10.0), 4.0, "rebate")
    part = plain("p", 100.0, 50.0, pockets=(over,))
    assert footprint(part) == (-8.0, 0.0, 100.0, 50.0)


def test_the_footprint_of_an_arc_is_exact():
    part = Part("disc", "Disc", "s12", 11.8, circle(1.0, 2.0, 30.0).turned(math.radians(31)), LEVEL)
    x0, y0, x1, y1 = footprint(part)
    assert (x1 - x0, y1 - y0) == pytest.approx((60.0, 60.0), abs=1e-9)

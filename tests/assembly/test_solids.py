"""Bars of hand-made plates with known sizes, and of whole cabinets against the volume of their parts."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from desk.assembly.solids import SLACK, AskewError, bars, coarse, common_axis, solids
from desk.cabinet.model import AxisJoint, Cutout, Member, Part, Pocket
from desk.shapes.frame import Frame
from desk.shapes.loop import Loop, circle, polygon_loop, rect, relieved_rect, rounded
from tests.cabinet.designs import FIXED, cabinet
from tests.checks.helpers import on_end, plate

Y = 1


def wood(part: Part, axis: int = Y) -> float:
    """Volume of a part's bars, the slack put back on, mm³."""
    return sum(
        float(shapely.buffer(bar.shape, SLACK, join_style="mitre").area) * (bar.high - bar.low + 2 * SLACK)
        for bar in bars(part, axis)
    )


def test_a_plate_square_to_the_axis_is_one_bar_drawn_in_all_round():
    (bar,) = bars(plate("a", 12.0), Y)
    assert bar.shape.bounds == pytest.approx((SLACK, SLACK, 100 - SLACK, 60 - SLACK))
    assert (bar.low, bar.high) == pytest.approx((SLACK, 12 - SLACK))


def test_a_pocket_is_missing_from_the_layer_it_is_in():
    """60 x 100 x 12 less 20 x 30 x 5."""
    part = plate("a", 12.0, pockets=(Pocket(rect(40, 20, 60, 50), 5.0, "mortise"),))
    assert wood(part) == pytest.approx(60 * 100 * 12 - 20 * 30 * 5)
    deep, shallow = sorted(bars(part, Y), key=lambda b: b.low)
    assert deep.high == pytest.approx(7 - SLACK)  # face A is at y = 12, so the pocket is in the upper layer
    assert len(shallow.shape.interiors) == 1


def test_a_pocket_of_the_other_face_is_in_the_other_layer():
    part = plate("a", 12.0, pockets=(Pocket(rect(40, 20, 60, 50), 5.0, "mortise", face="B"),))
    deep, shallow = sorted(bars(part, Y), key=lambda b: b.low)
    assert [len(b.shape.interiors) for b in (deep, shallow)] == [1, 0]


def test_an_island_stands_and_an_opening_goes_through():
    pocket = Pocket(rect(20, 10, 80, 50), 4.0, "carving", islands=(rect(40, 20, 60, 40),))
    part = plate("a", 12.0, pockets=(pocket,), cutouts=(Cutout(rect(2, 2, 8, 8), "opening"),))
    assert wood(part) == pytest.approx((6000 - 36) * 12 - (60 * 40 - 20 * 20) * 4)


def test_a_plate_on_edge_is_cut_into_slabs():
    """Upper face at z = 50, 12 thick, 60 deep along y, 100 along x."""
    (bar,) = bars(on_end("a", 50.0), Y)
    assert bar.shape.bounds == pytest.approx((SLACK, 38 + SLACK, 100 - SLACK, 50 - SLACK))
    assert (bar.low, bar.high) == pytest.approx((SLACK, 60 - SLACK))


def test_tabs_of_a_plate_on_edge_reach_as_far_as_they_do():
    outline = polygon_loop([(0, 0), (60, 0), (60, 30), (70, 30), (70, 60), (60, 60), (60, 100), (0, 100)])
    part = replace(on_end("a", 50.0), outline=outline)
    tab = max(bars(part, Y), key=lambda b: b.high)
    assert (tab.low, tab.high) == pytest.approx((60 + SLACK, 70 - SLACK))
    assert tab.shape.bounds[0] == pytest.approx(30 + SLACK)
    assert wood(part) == pytest.approx((6000 + 300) * 12)


def test_a_sloping_edge_becomes_steps_with_the_right_volume():
    """A trapezium of 60 by 40 to 52: (40 + 52) / 2 x 60 x 12."""
    outline = polygon_loop([(0, 0), (60, 0), (60, 52), (0, 40)])
    part = replace(on_end("a", 50.0), outline=outline)
    assert len(bars(part, Y)) == 12
    assert wood(part) == pytest.approx(46 * 60 * 12, rel=1e-6)


def test_reliefs_give_their_square_corner_back():
    assert coarse(relieved_rect(0, 0, 30, 12, 3.0)).equals_exact(rect(0, 0, 30, 12).polygon, 1e-9) or (
        coarse(relieved_rect(0, 0, 30, 12, 3.0)).symmetric_difference(rect(0, 0, 30, 12).polygon).area < 1e-9
    )


@pytest.mark.parametrize("radius", [8.0, 40.0, 200.0])
def test_large_arcs_keep_their_area(radius):
    """A chord polygon of sag s loses less than s times the arc's length."""
    loss = math.pi * radius**2 - coarse(circle(0, 0, radius)).area
    assert 0 < loss < 0.1 * 2 * math.pi * radius


@settings(derandomize=True, max_examples=60)
@given(st.lists(st.tuples(st.floats(30, 60), st.floats(0, 25)), min_size=3, max_size=8))
def test_coarse_outlines_stay_near_the_true_ones(spokes):
    n = len(spokes)
    loop = rounded(
        [
            (r * math.cos(2 * math.pi * k / n), r * math.sin(2 * math.pi * k / n), q)
            for k, (r, q) in enumerate(spokes)
        ]
    )
    away = shapely.hausdorff_distance(coarse(loop).exterior, loop.polygon.exterior, densify=0.05)
    assert away < 6.0 * (1 - math.cos(math.pi / 4)) + 0.15


@pytest.mark.parametrize("name", FIXED)
def test_bars_of_a_cabinet_hold_the_wood_of_its_parts(name):
    """Face area by the exact formula for arcs, times thickness, less the pockets; drilled holes do not count.

    Not for the board, whose target holes stay filled and whose rails stand as boxes.
    """
    for part in cabinet(name).parts:
        if part.id == "board":
            continue
        pockets = sum(shapely.intersection(p.loop.polygon, part.polygon).area * p.depth for p in part.pockets)
        assert wood(part) == pytest.approx(part.area * part.thickness - pockets, rel=0.01)


def test_the_axis_is_the_one_all_parts_share():
    flat = Part("c", "C", "ply", 5.0, rect(0, 0, 10, 10), Frame((0, 0, 0), (1, 0, 0), (0, 1, 0)))
    assert common_axis([plate("a", 0.0), on_end("b", 0.0), flat]) == Y
    lean = Frame((0, 0, 0), (0, 0.6, 0.8), (1, 0, 0))
    tilted = Part("t", "Tilted", "ply", 5.0, rect(0, 0, 10, 10), lean)
    assert common_axis([tilted]) == 0
    aslant = replace(tilted, id="s", frame=Frame((0, 0, 0), (0.6, 0.8, 0), (0, 0, 1)))
    with pytest.raises(AskewError, match="Tilted") as caught:
        common_axis([plate("a", 0.0), aslant, tilted])
    assert caught.value.parts == ("s", "t")


@pytest.mark.parametrize(("direction", "ends"), [((0, 1, 0), (-10, 30)), ((0, 0, 1), (6 - 4, 6 + 4))])
def test_a_pin_that_one_part_has_alone_belongs_to_it(direction, ends):
    at = (50.0, -10.0 if direction[1] else 6.0, 30.0)
    pin = AxisJoint("handle", "rod", (Member("a", 8.0, None, "rod"),), at, direction, 8.0, 40.0)
    made = solids((plate("a", 12.0),), (pin,))
    assert made.owner.tolist() == [0, 0]
    assert (made.low[1], made.high[1]) == pytest.approx((ends[0] + SLACK, ends[1] - SLACK))


def test_a_part_thinner_than_the_slack_has_no_bar():
    made = solids((plate("a", 0.1, thickness=0.1), plate("b", 12.0)), ())
    assert made.owner.tolist() == [1]


def test_an_outline_that_crosses_itself_is_read_on_its_clean_piece():
    bow = Loop(((0, 0, 0), (40, 40, 0), (40, 0, 0), (0, 40, 0)))
    assert coarse(bow).is_valid

"""Screw and dowel sizes against the formulas and tables they come from, in inches and in mm."""

from __future__ import annotations

import math

import pytest

from desk.shop.hardware import (
    UnknownSizeError,
    nearest_screw,
    pins,
    thread_length,
    wood_screw,
    wood_screws,
)
from desk.shop.tables import SHIPPED, Own, Tables

BY_SIZE = {s.size: s for s in wood_screws()}
INCH = [(int(s.size.removeprefix("No. ")), s) for s in wood_screws() if s.system == "inch"]


@pytest.mark.parametrize(("number", "screw"), INCH, ids=lambda x: str(x) if isinstance(x, int) else "")
def test_inch_shank_and_head_follow_the_gauge(number, screw):
    """ASME B18.6.1: D = 0.060 + 0.013 N; sharp head maximum about 2.0455 D - 0.0037 (a fit to its table)."""
    shank = 0.060 + 0.013 * number
    assert screw.shank / 25.4 == pytest.approx(shank, abs=5e-4)
    assert screw.head / 25.4 == pytest.approx(2.0455 * shank - 0.0037, abs=1e-3)


@pytest.mark.parametrize(("size", "height"), [("No. 6", 0.08086), ("No. 8", 0.09649), ("No. 10", 0.1121)])
def test_countersink_depth_of_an_82_degree_head(size, height):
    """H = (A - D) / (2 tan 41 deg); values worked by hand from the unrounded head fit."""
    assert BY_SIZE[size].head_height / 25.4 == pytest.approx(height, abs=4e-4)


def test_rolled_roots_are_those_of_nds_table_l3():
    assert BY_SIZE["No. 8"].root == pytest.approx(0.131 * 25.4)
    assert BY_SIZE["No. 10"].root == pytest.approx(0.152 * 25.4)


@pytest.mark.parametrize("screw", [s for s in wood_screws() if s.system == "metric"], ids=lambda s: s.size)
def test_metric_core_is_seven_tenths_of_the_shank(screw):
    """DIN 7998: d3 = 0.7 d, rounded to a tenth; DIN 97: the head is twice the shank at 90 degrees."""
    assert screw.root == pytest.approx(0.7 * screw.shank, abs=0.0501)
    assert screw.head == pytest.approx(2 * screw.shank)
    assert screw.head_height == pytest.approx(screw.shank / 2)


@pytest.mark.parametrize(
    ("number", "group", "flag", "says"),
    [
        (2, "root", "derived", "two thirds of the shank"),
        (5, "root", "derived", "two thirds of the shank"),
        (6, "root", "published", "rolled thread, NDS 2018 Table L3"),
        (14, "root", "published", "rolled thread, NDS 2018 Table L3"),
        (7, "head", "published", "sharp-edge maximum"),
        (8, "head", "memory", "sharp-edge maximum"),
        (8, "pitch", "memory", "threads per inch"),
        (2, "shank", "derived", "0.060 + 0.013 N"),
    ],
)
def test_each_number_of_a_row_tells_where_it_is_from(number, group, flag, says):
    source = BY_SIZE[f"No. {number}"].source_of(group)
    assert source.flag == flag
    assert says in source.text


@pytest.mark.parametrize("number", [2, 3, 4, 5])
def test_small_roots_are_two_thirds_of_the_shank(number):
    """Wood Handbook, cut thread; rounded to a thousandth of an inch."""
    screw = BY_SIZE[f"No. {number}"]
    assert screw.root / 25.4 == pytest.approx(2 / 3 * (0.060 + 0.013 * number), abs=5.1e-4)


def test_pitch_in_both_unit_systems():
    assert BY_SIZE["No. 8"].pitch == pytest.approx(25.4 / 15)
    assert BY_SIZE["3.5"].pitch == 1.6


def test_every_screw_is_sane_and_in_order():
    shanks = [s.shank for s in wood_screws()]
    assert shanks == sorted(shanks)
    for screw in wood_screws():
        assert 0.5 * screw.shank < screw.root < screw.shank < screw.head
        assert screw.pitch < screw.shank


def test_nearest_by_shank():
    assert nearest_screw(3.5).size == "3.5"
    assert nearest_screw(3.51).size == "No. 6"
    assert nearest_screw(0.1).size == "No. 2"
    assert nearest_screw(40.0).size == "No. 14"


def test_thread_is_two_thirds_of_the_length():
    assert thread_length(30.0) == pytest.approx(20.0, abs=0.01)
    assert math.isclose(thread_length(0.0), 0.0)


def test_pins_are_in_order_and_in_mm():
    sizes = [p.diameter for p in pins()]
    assert sizes == sorted(sizes)
    quarter = next(p for p in pins() if p.size == "1/4 in")
    assert quarter.diameter == pytest.approx(6.35)
    assert quarter.lengths == pytest.approx((31.75, 38.1))


def test_a_screw_by_its_id():
    assert wood_screw("no8").size == "No. 8"
    assert wood_screw("m35").shank == 3.5
    with pytest.raises(UnknownSizeError, match=r"no screw 'no99' in hardware.toml; there are "):
        wood_screw("no99")


def test_a_screw_of_ones_own_can_be_the_nearest():
    mine = Tables((Own("screws", "chip35", "Chipboard 3.5", "m35", (("root", 2.1), ("shank", 3.4))),))
    assert nearest_screw(3.4, mine).size == "Chipboard 3.5"
    assert nearest_screw(3.4).size == "3.5"
    assert nearest_screw(3.4, mine).source_of("root").flag == "own"


def test_a_dowel_of_ones_own():
    mine = Tables((Own("dowels", "d12", "12 mm", "d10", (("diameter", 12.0), ("lengths", (50.0,)))),))
    assert pins(mine)[-1].size == "12 mm"
    assert pins(mine)[-1].lengths == (50.0,)
    assert [p.id for p in pins(mine)[:-1]] == [p.id for p in pins()]


STEEL_WIRE = {14: 0.0800, 15: 0.0720, 16: 0.0625, 17: 0.0540, 18: 0.0475, 19: 0.0410, 20: 0.0348}
"""Diameters of the US steel wire gauge, in (Washburn and Moen; from memory)."""


@pytest.mark.parametrize(("gauge", "inch"), STEEL_WIRE.items())
def test_brads_are_drawn_to_the_steel_wire_gauge(gauge, inch):
    brad = SHIPPED.rows("nails")[f"brad{gauge}"]
    assert brad.number("diameter") == pytest.approx(inch * 25.4)
    assert all(9 * brad.number("diameter") < length < 51 for length in brad.numbers("lengths"))


def test_nails_are_thinner_than_any_dowel():
    sizes = [row.number("diameter") for row in SHIPPED.rows("nails").values()]
    assert max(sizes) < pins()[0].diameter

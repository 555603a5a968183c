"""Moisture and movement of wood against the Wood Handbook."""

from __future__ import annotations

import pytest

from desk.shop.seasons import UnknownRegionError, movement, region, regions, wide_movement
from desk.shop.tables import Own, Tables

AT_70_F = {
    0.05: 1.3,
    0.10: 2.5,
    0.20: 4.5,
    0.30: 6.2,
    0.40: 7.7,
    0.50: 9.2,
    0.60: 11.0,
    0.70: 13.1,
    0.80: 16.0,
    0.90: 20.5,
}
"""Wood Handbook Table 4-2, the row for 70 F, by relative humidity (from memory)."""


def test_movement_of_the_handbooks_own_example():
    """Chapter 13: white fir flat-sawn, 232 mm wide, from 8 to 11 %: 1.7 mm; 9.15 in: 0.067 in (C_T from memory)."""
    assert 232 * movement(0.00245, 8, 11) == pytest.approx(1.7, abs=0.05)
    assert 9.15 * movement(0.00245, 8, 11) == pytest.approx(0.067, abs=5e-4)
    assert movement(0.00245, 11, 8) == -movement(0.00245, 8, 11)


def test_wide_movement_of_equation_13_3():
    """300 mm, S 9.9 %, 6 to 18 %: 12 / (3000 / 9.9 - 24) of the size, worked by hand."""
    assert 300 * wide_movement(9.9, 6, 18) == pytest.approx(12.90, abs=0.01)
    assert wide_movement(9.9, 0, 30) == pytest.approx(0.099 / (1 - 0.099), rel=1e-9)
    with pytest.raises(ValueError, match="above 30 %"):
        wide_movement(9.9, 6, 31)


def test_from_oven_dry_to_green_is_the_whole_shrinkage():
    """By definition S is the loss over the green size, so green over dry is 1 / (1 - S)."""
    assert 1 + wide_movement(7.8, 0, 30) == pytest.approx(1 / (1 - 0.078))


def test_regions_are_in_order_and_lie_where_wood_indoors_does():
    for each in regions().values():
        assert 3 <= each.dry < each.average < each.damp <= 14
        assert each.source_of("moisture").flag in ("memory", "derived")


def test_the_averages_are_those_of_the_handbook():
    """Wood Handbook Table 13-2: 8 % for most of the USA, 6 % dry southwest, 11 % damp coast."""
    assert [region(key).average for key in ("most", "dry-southwest", "damp-coast")] == [8.0, 6.0, 11.0]


def test_the_heated_house_is_that_of_air_at_70_f():
    """At 30, 50 and 65 % of relative humidity, as its source says; between the table's rows on a straight line."""
    found = region("heated-winter")
    assert found.dry == pytest.approx(AT_70_F[0.30], abs=0.05)
    assert found.damp == pytest.approx((AT_70_F[0.60] + AT_70_F[0.70]) / 2, abs=0.1)
    assert found.average == pytest.approx(AT_70_F[0.50], abs=0.05)


def test_a_region_of_ones_own():
    mine = Tables((Own("regions", "boat", "A boat", "damp-coast", (("damp", 16.0),)),))
    assert region("boat", mine).damp == 16.0
    assert region("boat", mine).dry == region("damp-coast").dry
    assert region("boat", mine).source_of("damp").flag == "own"
    with pytest.raises(UnknownRegionError, match=r"no region 'boat' in seasons.toml; there are most"):
        region("boat")

"""The table of loads: every row tells where it is from, and a person's own value takes its place."""

from __future__ import annotations

import pytest

from desk.shop.loads import load
from desk.shop.tables import SHIPPED, Own, OwnError, Tables

NDS_IMPACT, NDS_TEN_MINUTES = 2.0, 1.6
"""Load duration factors, NDS 2018 Table 2.3.2 (from memory)."""


def test_every_load_has_a_unit_and_a_source():
    for key in SHIPPED.rows("loads"):
        one = load(key)
        assert one.value > 0
        assert one.unit
        assert one.source.text


def test_strength_for_a_moment_is_the_ratio_of_the_published_factors():
    assert load("short_load").value == pytest.approx(NDS_IMPACT / NDS_TEN_MINUTES)


def test_bending_across_the_grain_is_not_counted_beyond_iso_13910():
    # ISO 13910 as read in the Journal of Wood Science 67 (2021): tension across is a third of the bending stress
    assert load("small_piece").value <= 3.0


def test_a_press_stays_below_what_a_thumb_can_do():
    # means of 31 people, women 100.6 N and men 136.7 N: Choi and others 2020, Applied Sciences 10(1)
    assert load("thumb_press").value < 100.6


def test_a_value_of_ones_own_takes_the_rows_place():
    mine = Tables((Own("loads", "thumb_press", values=(("value", 60.0),), note="weighed on a scale"),))
    one = load("thumb_press", mine)
    assert one.value == 60.0
    assert one.unit == "N"
    assert one.source.flag == "own"
    assert "weighed on a scale" in one.source.text
    assert load("thumb_press").value != 60.0


def test_a_load_that_is_not_there_cannot_be_added():
    with pytest.raises(OwnError):
        Tables((Own("loads", "wind", values=(("value", 60.0),)),)).rows("loads")

"""The table of loads: every row tells where it is from, and a person's own value takes its place."""

from __future__ import annotations

import pytest

from desk.shop.loads import load
from desk.shop.tables import SHIPPED, Own, OwnError, Tables


def test_every_load_has_a_unit_and_a_source():
    for key in SHIPPED.rows("loads"):
        one = load(key)
        assert one.value > 0
        assert one.unit
        assert one.source.text


def test_strength_for_a_moment_is_read_off_the_madison_curve():
    # Wood 1951, FPL R1916: 18.3 + 108.4 / t^0.0464 % with t in seconds (from memory); 100 % in a test of 7.5 minutes
    def level(seconds):
        return (18.3 + 108.4 / seconds**0.0464) / 100

    assert level(450.0) == pytest.approx(1.0, abs=0.005)
    # ten years: NDS takes 1.6 for ten minutes over it
    assert level(450.0) / level(10 * 365.25 * 86400) == pytest.approx(1.6, abs=0.03)
    assert load("short_load").value == pytest.approx(level(0.015), abs=0.01)


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

"""Coefficients of contact: what the table may say, and the middle that motion runs with."""

from __future__ import annotations

import pytest

from desk.ball.contact import contact_of
from desk.shop.materials import UnknownMaterialError, ball_materials
from desk.shop.tables import SHIPPED, Own, Tables

ROWS = SHIPPED.rows("restitution")


@pytest.mark.parametrize("row", ROWS.values(), ids=lambda r: r.id)
def test_restitution_is_within_what_is_known_of_balls_on_wood(row):
    """Steel or glass on solid hardwood 0.4 to 0.7, on panels up to 12 mm 0.3 to 0.6 (from memory); never 0 or 1."""
    for key, low, high in (("board", 0.3, 0.7), ("panel", 0.3, 0.6)):
        assert low <= row.numbers(key)[0] < row.numbers(key)[1] <= high


def test_every_shipped_ball_has_a_row_and_the_middle_is_taken():
    assert set(ROWS) == {*ball_materials(), "other"}
    glass, ball = contact_of("glass"), ball_materials()["glass"]
    assert (glass.board, glass.panel) == (pytest.approx(0.55), pytest.approx(0.45))
    assert glass.friction == pytest.approx(sum(ball.friction) / 2)
    assert glass.rolling == pytest.approx(sum(ball.rolling) / 2)


def test_a_ball_without_a_row_springs_back_as_other_ones():
    cork = Tables((Own("balls", "cork", "Cork", "hardwood"),))
    ends = ROWS["other"].numbers("board")
    assert contact_of("cork", cork).board == pytest.approx(sum(ends) / 2)
    assert contact_of("cork", cork).board != contact_of("hardwood").board


def test_values_of_ones_own_are_what_the_motion_runs_with():
    """The middle of the person's own range, and their own speed below which nothing springs back."""
    mine = Tables(
        (
            Own("restitution", "glass", values=(("board", (0.2, 0.3)),)),
            Own("loads", "stick", values=(("value", 40.0),)),
        )
    )
    assert contact_of("glass", mine).board == pytest.approx(0.25)
    assert contact_of("glass", mine).panel == contact_of("glass").panel
    assert contact_of("glass", mine).stick == 40.0
    assert mine.rows("restitution")["glass"].source_of("board").flag == "own"


def test_a_ball_that_no_table_knows_is_refused():
    with pytest.raises(UnknownMaterialError, match="cork"):
        contact_of("cork")

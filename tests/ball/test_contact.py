"""Coefficients of contact: what the table may say, and the middle that motion runs with."""

from __future__ import annotations

import pytest

from desk.ball.contact import contact_of, restitution_source
from desk.resources import table
from desk.shop.materials import UnknownMaterialError, ball_materials

ROWS = table("contact.toml")["restitution"]


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r["ball"])
def test_restitution_is_within_what_is_known_of_balls_on_wood(row):
    """Steel or glass on solid hardwood 0.4 to 0.7, on panels up to 12 mm 0.3 to 0.6 (from memory); never 0 or 1."""
    for key, low, high in (("board", 0.3, 0.7), ("panel", 0.3, 0.6)):
        assert low <= row[key][0] < row[key][1] <= high
    assert row["source"]
    assert row["flag"] in ("published", "practice", "memory", "derived", "choice")


def test_every_shipped_ball_has_a_row_and_the_middle_is_taken():
    assert {r["ball"] for r in ROWS} == {*ball_materials(), "other"}
    glass, ball = contact_of("glass"), ball_materials()["glass"]
    assert (glass.board, glass.panel) == (pytest.approx(0.55), pytest.approx(0.45))
    assert glass.friction == pytest.approx(sum(ball.friction) / 2)
    assert glass.rolling == pytest.approx(sum(ball.rolling) / 2)


def test_a_ball_without_a_row_springs_back_as_other_ones():
    assert restitution_source("cork").text == next(r["source"] for r in ROWS if r["ball"] == "other")
    assert restitution_source("cork").flag == "choice"


def test_a_ball_that_no_table_knows_is_refused():
    with pytest.raises(UnknownMaterialError, match="cork"):
        contact_of("cork")

"""Balls and finish on the shop page: readings, what comes of them, and the film that is left."""

from __future__ import annotations

import math
import statistics

import pytest

from desk.design import edit
from desk.design.model import Design
from desk.design.starting import starting_design
from desk.evaluate import evaluate
from desk.ui.shop_balls import (
    ball_words,
    film_of,
    film_options,
    film_words,
    notes_of,
    read_balls,
    write_balls,
    write_film,
)
from desk.units import UnitError

READ = [16.02, 15.98, 16.1, 15.7]


@pytest.fixture
def design() -> Design:
    return starting_design()


def test_readings_set_diameter_and_spread_and_a_typed_size_takes_them_out(design: Design) -> None:
    read = write_balls(design, "16.02 15.98 16.1 15.7")
    assert read.value("ball.diameter") == pytest.approx(statistics.fmean(READ), abs=1e-6)
    assert read.value("ball.spread") == pytest.approx((max(READ) - min(READ)) / 2, abs=1e-6)
    assert read_balls(read) == "16.02 15.98 16.1 15.7"
    assert notes_of(read)["readings"] == "4 readings: 15.95 ± 0.2 mm"
    assert "takes them out" in notes_of(read)["ball.spread"]
    typed = edit.type_in(read, "ball.diameter", "5/8 in")
    assert typed.ball_readings == ()
    assert notes_of(typed)["readings"] == ""
    assert write_balls(read, " ").ball_readings == ()
    with pytest.raises(UnitError, match="reading 3"):
        write_balls(design, "16 16.1 x2")


def test_what_the_balls_are_is_told_with_weight_and_size_in_the_trade(design: Design) -> None:
    steel = edit.put_choice(
        edit.put(edit.put(design, "ball.diameter", 15.875), "ball.spread", 0.0), "ball.material", "steel"
    )
    grams = math.pi / 6 * 15.875**3 * 7.83e-3
    assert f"{grams:.3g} g" in ball_words(steel)
    assert "Sold as 5/8 in" in ball_words(steel), "5/8 in is 15.875 mm"
    assert "grade" not in ball_words(steel), "one size alone tells nothing of a lot"
    even = edit.put(steel, "ball.spread", 0.005)
    assert "grade G200" in ball_words(even), "ISO 3290-1: a lot of G200 varies by 0.010 mm"
    odd = edit.put(steel, "ball.diameter", 17.5)
    assert "Sold as" not in ball_words(odd)


def test_the_film_left_is_coats_times_film_and_joints_only_when_lacquered(design: Design) -> None:
    three = edit.put(edit.put(design, "finish.coats", 3), "finish.film", 0.025)
    assert [thick for _, thick in film_words(three)] == ["0.075 mm", "bare"]
    both = edit.put_choice(three, "finish.joints", "lacquered")
    assert [thick for _, thick in film_words(both)] == ["0.075 mm", "0.075 mm"]
    shop = evaluate(both).cabinet.shop
    assert (shop.film, shop.film_in_joints) == (pytest.approx(0.075), True)
    none = edit.put(three, "finish.coats", 0)
    assert [thick for _, thick in film_words(none)] == ["bare", "bare"]
    assert notes_of(none)["finish.coats"] == ""
    assert "0.15 mm" in notes_of(three)["finish.coats"], "two faces of three coats"


def test_a_finish_of_the_table_sets_its_coat_and_another_film_is_ones_own(design: Design) -> None:
    oil = write_film(design, "oil")
    assert film_of(oil) == "oil"
    assert oil.value("finish.film") == 0.005
    own = edit.put(design, "finish.film", 0.033)
    assert film_of(own) == ""
    assert film_options(own)[-1] == ("", "Your own film")
    assert all(key for key, _ in film_options(oil))
    assert write_film(own, "") == own
    assert "No finish of the table" in notes_of(own)["film"]
    assert "0.015 to 0.05 mm" in notes_of(design)["film"]

"""Readings, prices and numbers of the shop's tables as text, in and out."""

from __future__ import annotations

import statistics

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.design.starting import starting_design
from desk.shop.tables import shelves
from desk.ui.shop_texts import (
    choosers,
    decimal,
    listed,
    mean_text,
    number_text,
    parse_number,
    parse_price,
    parse_readings,
    price_text,
    readings_text,
    unit_sign,
)
from desk.units import Unit, UnitError

INCH = 25.4
"""mm; international yard and pound agreement of 1959."""


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("11.8 11.9 11.75", "mm", (11.8, 11.9, 11.75)),
        ("11,8 11,9", "mm", (11.8, 11.9)),
        ("11.8, 11.9, 11.75", "mm", (11.8, 11.9, 11.75)),
        ("11,8;11,9 ; 12", "mm", (11.8, 11.9, 12.0)),
        ("  12  ", "mm", (12.0,)),
        ("11.8mm 11.9 mm", "in", (11.8, 11.9)),
        ("11.8 11.9 mm", "in", (11.8, 11.9)),
        ("0.465 0.47", "in", (0.465 * INCH, 0.47 * INCH)),
        ("15/32 1/2 in", "mm", (15 / 32 * INCH, 0.5 * INCH)),
        ('15/32" 1/2"', "mm", (15 / 32 * INCH, 0.5 * INCH)),
        ("1 1/2; 1 15/32", "in", (1.5 * INCH, (1 + 15 / 32) * INCH)),
        ("1 1/2 1 15/32", "in", (1.5 * INCH, (1 + 15 / 32) * INCH)),
        ("½ in; 12", "mm", (0.5 * INCH, 12.0)),
        ("1.2 cm 11.9 mm", "mm", (12.0, 11.9)),
    ],
)
def test_readings_are_read(text: str, unit: Unit, mm: tuple[float, ...]) -> None:
    assert parse_readings(text, unit) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "unit", "said"),
    [
        ("", "mm", "nothing was given"),
        (" ; ", "mm", "nothing was given"),
        ("11.8 abc 12", "mm", "reading 1"),
        ("11.8 11,x", "mm", "reading 2"),
        ("11.8 1/2", "mm", "reading 2"),
        ("twelve", "mm", "does not start with a number"),
        ("11.8.2", "mm", "group separators"),
    ],
)
def test_what_is_no_reading_is_refused_and_named(text: str, unit: Unit, said: str) -> None:
    with pytest.raises(UnitError, match=said):
        parse_readings(text, unit)


lengths = st.lists(st.integers(100, 60_000).map(lambda n: n / 1000), min_size=1, max_size=12)


@given(lengths)
def test_readings_in_mm_come_back_as_they_were(mm: list[float]) -> None:
    assert parse_readings(readings_text(mm, "mm"), "mm") == tuple(mm)


@given(lengths)
def test_readings_in_inches_come_back_to_within_what_is_written(mm: list[float]) -> None:
    back = parse_readings(readings_text(mm, "in"), "in")
    assert back == pytest.approx(mm, abs=0.0005 * INCH + 1e-9)


@given(st.text(max_size=40))
def test_any_text_gives_readings_or_an_error_of_its_own(text: str) -> None:
    try:
        found = parse_readings(text, "mm")
    except UnitError:
        return
    assert found


@given(st.lists(st.integers(1000, 30_000).map(lambda n: n / 1000), min_size=2, max_size=9))
def test_mean_and_half_range_are_those_of_the_standard_library(mm: list[float]) -> None:
    mean, _, half = mean_text(mm, "mm").split()
    assert float(mean) == pytest.approx(statistics.fmean(mm), abs=0.00051)
    assert float(half) == pytest.approx((max(mm) - min(mm)) / 2, abs=0.00051)


def test_measured_lengths_are_decimals_in_both_units() -> None:
    assert decimal(12.7, "in") == "0.5"
    assert decimal(11.8166, "mm") == "11.817"
    assert mean_text((), "mm") == ""


@pytest.mark.parametrize(
    ("text", "price", "shown"),
    [("48", 48.0, "48"), ("48,5", 48.5, "48.50"), (" ", 0.0, ""), (".5", 0.5, "0.50")],
)
def test_prices(text: str, price: float, shown: str) -> None:
    assert parse_price(text) == price
    assert price_text(price) == shown


@pytest.mark.parametrize("text", ["forty", "1e5", "nan", "4 8", "1.000,5", "$4"])
def test_what_is_no_price_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="not a number"):
        parse_price(text)


ROWS = [
    (shelf, row, field)
    for shelf in shelves().values()
    for row in list(shelf.rows.values())[:6]
    for field in shelf.fields.values()
    if row.values[field.id] is not None
]


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_number_of_the_tables_comes_back_as_it_is_shown(unit: Unit) -> None:
    for _, row, field in ROWS:
        of_row = row.words.get("unit", "")
        shown = number_text(field, row.values[field.id], of_row, unit)
        back = parse_number(field, shown, of_row, unit)
        assert back == pytest.approx(row.values[field.id], rel=1e-5, abs=0.0005 * INCH + 1e-9)
        assert isinstance(back, tuple) == (field.pair or field.many)


def test_numbers_may_name_their_unit_and_lengths_any_unit() -> None:
    density = shelves()["balls"].fields["density"]
    assert parse_number(density, "2500 kg/m3", "", "mm") == 2500.0
    shank = shelves()["screws"].fields["shank"]
    assert parse_number(shank, "5/32 in", "", "mm") == pytest.approx(5 / 32 * INCH)
    friction = shelves()["balls"].fields["friction"]
    assert parse_number(friction, "0,15 0,4", "", "mm") == (0.15, 0.4)
    with pytest.raises(UnitError, match="one number is wanted, not 2"):
        parse_number(density, "2500 2600", "", "mm")
    with pytest.raises(UnitError, match="nothing was given"):
        parse_number(density, " ", "", "mm")
    assert [unit_sign(f, "", "in") for f in (density, shank, friction)] == ["kg/m3", "in", ""]


def test_what_a_sheet_and_a_bit_are_chosen_for() -> None:
    design = starting_design()
    assert "kicker ribs" in choosers(design, design.stock("s18"))
    assert choosers(design, design.bits[0]) == ("outlines", "pockets and mortises")
    unused = msgspec.structs.replace(design.stocks[0], id="other")
    assert choosers(design, unused) == ()


def test_words_in_a_row() -> None:
    assert [listed(words) for words in ((), ("a",), ("a", "b"), ("a", "b", "c"))] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]

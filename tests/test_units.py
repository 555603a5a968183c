"""Lengths and values as text. The inch is 25.4 mm exactly (agreement of 1959, ISO 80000-3)."""

from __future__ import annotations

import contextlib
import math
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.units import (
    LONGEST_TEXT,
    UNITS,
    UnitError,
    format_length,
    format_value,
    is_named,
    parse_length,
    parse_value,
    symbol,
    with_unit,
)

# Each expected value is worked by hand from 1 in = 25.4 mm.
READ = [
    ("9.5", "mm", 9.5),
    ("9,5", "mm", 9.5),
    ("9.5", "in", 241.3),
    ("9.5mm", "in", 9.5),
    ("9,5 MM", "in", 9.5),
    (" 12 ", "mm", 12.0),
    ("+3", "mm", 3.0),
    ("-3", "mm", -3.0),
    ("−3", "mm", -3.0),
    (".5", "mm", 0.5),
    ("5.", "mm", 5.0),
    ("1,234", "mm", 1.234),
    ("1234,5", "mm", 1234.5),
    ("2.5 cm", "mm", 25.0),
    ("3/8in", "mm", 9.525),
    ("3/8", "in", 9.525),
    ("5/8", "in", 15.875),
    ("1 1/2in", "mm", 38.1),
    ("1-1/2", "in", 38.1),
    ('1-1/2"', "mm", 38.1),
    ("1 - 1/2 inch", "mm", 38.1),
    ("-1 1/2", "in", -38.1),
    ("-1-1/2 in", "mm", -38.1),
    ("0.375 in", "mm", 9.525),
    ("0,375 inches", "mm", 9.525),
    ("3 / 8 ″", "mm", 9.525),
    ("3/8''", "mm", 9.525),
    ("1½ in", "mm", 38.1),
    ("½”", "mm", 12.7),
    ("-0", "mm", 0.0),
    ("12\u00a0mm", "mm", 12.0),
]

REFUSED = [
    ("", "nothing was given"),
    ("  \t ", "nothing was given"),
    ("wide", "does not start with a number"),
    ("mm", "does not start with a number"),
    ("٣", "does not start with a number"),
    ("nan", "does not start with a number"),
    ("1,234.5", "group separators"),
    ("1.234,5", "group separators"),
    ("1 234", "group separators"),
    ("12 500,5 mm", "group separators"),
    ("1.2.3", "group separators"),
    ("1'234", "is not a unit of length"),
    ("1e3", "is not a unit of length"),
    ("9.5 m", "is not a unit of length"),
    ("9.5 mm mm", "is not a unit of length"),
    ("3'", "feet are not used"),
    ("3 ft", "feet are not used"),
    ("1/0in", "divides by zero"),
    ("--5", "is not a number"),
    ("5-", "is not a unit of length"),
    ("1/2/3 in", "is not a number"),
    ("1 1 1/2 in", "is not a number"),
    ("1.5/2 in", "is not a number"),
    ("5/8", "write 5/8in, or 0.625mm"),
    ("5/8 mm", "fractions are of an inch"),
    ("1/2 cm", "fractions are of an inch"),
    ("9" * (LONGEST_TEXT + 1), "too long"),
]


@pytest.mark.parametrize(("text", "unit", "mm"), READ)
def test_lengths_are_read(text, unit, mm):
    assert parse_length(text, unit) == pytest.approx(mm, abs=1e-12)
    assert math.copysign(1, parse_length(text, unit)) == (-1 if mm < 0 else 1)


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_refused_lengths_say_why_and_give_an_example(text, reason):
    with pytest.raises(UnitError, match=reason) as caught:
        parse_length(text, "mm")
    assert re.search(r"(?:write|for example).* \d\S*in\b", str(caught.value))


@pytest.mark.parametrize(
    ("mm", "unit", "bare", "named"),
    [
        (12.7, "mm", "12.7", "12.7 mm"),
        (12.0, "mm", "12", "12 mm"),
        (0.025, "mm", "0.025", "0.025 mm"),
        (9.5254, "mm", "9.525", "9.525 mm"),
        (-0.0001, "mm", "0", "0 mm"),
        (12.7, "in", "1/2", "1/2 in"),
        (38.1, "in", "1 1/2", "1 1/2 in"),
        (-38.1, "in", "-1 1/2", "-1 1/2 in"),
        (25.4, "in", "1", "1 in"),
        (0.0, "in", "0", "0 in"),
        (25.4 / 64, "in", "1/64", "1/64 in"),
        (25.4 * 63 / 64, "in", "63/64", "63/64 in"),
        (25.4 * (0.5 + 0.00049), "in", "1/2", "1/2 in"),
        (25.4 * (0.5 + 0.00052), "in", "0.5005", "0.5005 in"),
        (10.0, "in", "0.3937", "0.3937 in"),
        (0.01, "in", "0.0004", "0.0004 in"),
        (-0.001, "in", "0", "0 in"),
    ],
)
def test_lengths_are_written(mm, unit, bare, named):
    assert format_length(mm, unit) == bare
    assert format_length(mm, unit, named=True) == named


@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("2.5", "angle", 2.5),
        ("2,5°", "angle", 2.5),
        ("-2.5 deg", "angle", -2.5),
        ("8", "count", 8.0),
        ("8.0", "count", 8.0),
        ("1.2", "speed", 1.2),
        ("1,2 m/s", "speed", 1.2),
        ("10%", "ratio", 0.1),
        ("12,5 %", "ratio", 0.125),
        ("0.1", "ratio", 0.1),
        ("3/8in", "length", 9.525),
    ],
)
def test_other_values_are_read(text, quantity, value):
    assert parse_value(text, quantity, "mm") == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "quantity", "reason"),
    [
        ("2.5mm", "angle", "is not a unit for this value; write for example 2.5 or 2.5°"),
        ("8.5", "count", "is not a whole number"),
        ("8 pcs", "count", "is not a unit for this value"),
        ("1/2", "ratio", "only lengths are given as fractions"),
        ("3 km/h", "speed", "is not a unit for this value"),
        ("", "angle", "nothing was given"),
    ],
)
def test_refused_values_say_why(text, quantity, reason):
    with pytest.raises(UnitError, match=reason):
        parse_value(text, quantity, "mm")


@pytest.mark.parametrize(
    ("value", "quantity", "bare", "named"),
    [
        (2.5, "angle", "2.5", "2.5°"),
        (8.0, "count", "8", "8"),
        (100000.0, "count", "100000", "100000"),
        (1.2, "speed", "1.2", "1.2 m/s"),
        (0.1, "ratio", "0.1", "10 %"),
        (12.7, "length", "12.7", "12.7 mm"),
    ],
)
def test_other_values_are_written(value, quantity, bare, named):
    assert format_value(value, quantity, "mm") == bare
    assert format_value(value, quantity, "mm", named=True) == named
    assert parse_value(named, quantity, "mm") == value


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_not_written(bad):
    for quantity in ("length", "angle"):
        with pytest.raises(ValueError, match="is not a"):
            format_value(bad, quantity, "mm")


def test_a_text_keeps_its_meaning_once_its_unit_is_added():
    assert with_unit(" 5/8 ", "in") == "5/8 in"
    assert with_unit("9,5", "mm") == "9,5 mm"
    assert with_unit("1  1/2in", "mm") == "1 1/2in"
    assert not is_named("5/8", "in")
    assert is_named('5/8"', "mm")
    with pytest.raises(UnitError):
        with_unit("wide", "mm")


def test_symbols():
    assert [symbol(q, "in") for q in ("length", "angle", "speed", "count", "ratio")] == [
        "in",
        "°",
        "m/s",
        "",
        "",
    ]


@settings(derandomize=True, max_examples=400)
@given(
    st.one_of(st.text(max_size=50), st.text(alphabet="0123456789.,/ -+'\"inmc½%°e", max_size=20)),
    st.sampled_from(UNITS),
)
def test_any_text_is_a_number_or_a_unit_error(text, unit):
    for quantity in ("length", "angle", "count", "speed", "ratio"):
        with contextlib.suppress(UnitError):
            assert math.isfinite(parse_value(text, quantity, unit))


@settings(derandomize=True, max_examples=400)
@given(st.integers(1, 9000), st.floats(-2e-4, 2e-4), st.sampled_from((-1, 1)))
def test_lengths_a_hair_off_a_fraction_read_back(parts, beyond, side):
    """At the edge of what is written as a fraction, where rounding to decimals could cross it."""
    mm = (parts / 64 + side * (0.0005 + beyond)) * 25.4
    text = format_length(mm, "in")
    back = parse_length(text, "in")
    assert abs(back - mm) <= 0.0005 * 25.4 * (1 + 1e-6)
    assert format_length(back, "in") == text


@settings(derandomize=True, max_examples=400)
@given(st.floats(-1e6, 1e6), st.sampled_from(UNITS), st.booleans())
def test_written_lengths_read_back(mm, unit, named):
    back = parse_length(format_length(mm, unit, named), unit)
    reach = 0.0005 if unit == "mm" else 0.0005 * 25.4
    assert abs(back - mm) <= reach * (1 + 1e-6)
    assert format_length(back, unit, named) == format_length(mm, unit, named)


@settings(derandomize=True)
@given(st.integers(-64 * 100, 64 * 100))
def test_every_64th_of_an_inch_survives_exactly(parts):
    exact = Fraction(parts, 64) * Fraction("25.4")
    text = format_length(float(exact), "in")
    assert parse_length(text, "in") == float(exact)
    assert "." not in text


@settings(derandomize=True)
@given(
    st.sampled_from(["angle", "speed", "ratio"]),
    st.integers(-100_000, 100_000).map(lambda n: n / 1000),
    st.booleans(),
)
def test_written_values_read_back(quantity, value, named):
    assert parse_value(format_value(value, quantity, "mm", named), quantity, "mm") == pytest.approx(
        value, abs=5e-5
    )

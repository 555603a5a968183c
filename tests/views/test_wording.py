"""Numbers and findings in words."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from desk.checks.finding import Finding, Place, Remedy
from desk.views.drawing import Dimension, Pull
from desk.views.wording import (
    amount,
    because_words,
    concerning,
    counted,
    counts,
    dimension_words,
    flag_numbers,
    in_unit,
    margin_lines,
    mutes_of,
    spaced,
    title_words,
    value_words,
    warnings_of,
    worst_first,
)

from .pieces import LANE, finding

SPOT = Place(LANE, "point", ((0.0, 0.0),))
FINDINGS = (
    finding(1, "tight", "A", 0.5, SPOT, Remedy("board.gap", None, "Widen")),
    finding(2, "conflict", "B", -0.4, SPOT, Remedy("board.gap", 20.0, "Widen")),
    finding(3, "clear", "C", 9.0, SPOT, Remedy("board.gap", None, "Widen")),
    finding(4, "conflict", "D", -2.0, SPOT, Remedy("board.gap", None, "Widen")),
    finding(5, "conflict", "E", -9.0, SPOT, Remedy("lane.length", None, "Shorten")),
)


@pytest.mark.parametrize(
    ("value", "sign", "unit", "words"),
    [
        (-0.6, "mm", "mm", "−0.6 mm"),
        (1.2345, "mm", "mm", "+1.23 mm"),
        (12.7, "mm", "in", "+1/2 in"),
        (-6.35, "mm", "in", "−1/4 in"),
        (1.5, "deg", "in", "+1.5°"),
        (0.42, "m/s", "mm", "+0.42 m/s"),
        (3.0, "balls", "mm", "+3 balls"),
        (0.123456, "", "mm", "+0.1235"),
        (0.0, "mm", "mm", "0 mm"),
        (0.0004, "mm", "mm", "0 mm"),
        (100.0, "mm", "mm", "+100 mm"),
    ],
)
def test_margins(value: float, sign: str, unit: str, words: str) -> None:
    assert amount(value, sign, unit, signed=True) == words  # type: ignore[arg-type]


def test_rounding_leaves_no_negative_zero() -> None:
    assert value_words(-0.001, "length", "mm") == "0 mm"


def test_dimension_texts() -> None:
    row = Dimension(
        "a",
        "line",
        (0.0, 0.0),
        (22.0, 0.0),
        0.0,
        (22.0, 0.0),
        (Pull("a", (1.0, 0.0), 1.0),),
        "Gap",
        22.0,
        "length",
    )
    assert dimension_words(row, "mm", False) == "22"
    assert dimension_words(row, "mm", True) == "Gap  22 mm"
    assert dimension_words(replace(row, value=25.4), "in", False) == "1 in"
    assert dimension_words(replace(row, pulls=()), "mm", False) == "(22)"
    assert dimension_words(replace(row, shape="point"), "mm", False) == ""
    assert dimension_words(replace(row, unit="angle"), "mm", False) == "22°"


def test_what_concerns_an_address_comes_worst_first() -> None:
    assert [f.title for f in concerning("board.gap", FINDINGS)] == ["D", "B", "A", "C"]
    assert [f.title for f in worst_first(FINDINGS)] == ["E", "D", "B", "A", "C"]


def test_margin_lines_carry_the_numbers_of_the_flags() -> None:
    numbers = flag_numbers(FINDINGS)
    assert numbers == {"check-1": "1", "check-2": "2", "check-4": "3", "check-5": "4"}
    same = {f.key: f.status for f in FINDINGS}
    lines = margin_lines("board.gap", FINDINGS[:4], "mm", numbers, same)
    assert lines == (("3  D  −2 mm", "conflict"), ("2  B  −0.4 mm", "conflict"), ("1  A  +0.5 mm", "tight"))


def test_what_the_move_has_made_worse_comes_first() -> None:
    numbers = flag_numbers(FINDINGS)
    before = {"check-1": "tight", "check-2": "conflict", "check-4": "conflict", "check-5": "clear"}
    lines = margin_lines("board.gap", FINDINGS, "mm", numbers, before)  # type: ignore[arg-type]
    assert [text[:4] for text, _ in lines] == ["4  E", "3  D", "2  B"]


def test_what_is_still_being_checked_is_named_without_a_margin() -> None:
    numbers = flag_numbers(FINDINGS)
    same = {f.key: f.status for f in FINDINGS}
    lines = margin_lines("board.gap", FINDINGS[:4], "mm", numbers, same, {"check-4", "check-1"})
    assert lines == (("2  B  −0.4 mm", "conflict"), ("C  +9 mm", "clear"), ("D  …", ""))


def test_counts_in_words() -> None:
    assert counts(FINDINGS) == {"conflict": 3, "tight": 1, "clear": 1}
    assert counted({"conflict": 1, "tight": 0, "clear": 4}) == "1 conflict, 0 tight, 4 clear"


def test_muted_findings_do_not_count_and_are_told_with_their_reason() -> None:
    quiet = tuple(replace(f, muted="filed by hand") if f.status == "conflict" else f for f in FINDINGS)
    assert counts(quiet) == {"conflict": 0, "tight": 1, "clear": 1}
    assert counted(counts(quiet), 3) == "0 conflicts, 1 tight, 1 clear, 3 muted"
    assert warnings_of(quiet, "mm") == ()
    assert len(warnings_of(FINDINGS, "mm")) == len(mutes_of(quiet, "mm")) == 3
    assert all(line.endswith("Muted because: filed by hand") for line in mutes_of(quiet, "mm"))
    assert mutes_of(FINDINGS, "mm") == ()


def told(because: str, unit: str = "mm", measured: float | None = None, **more: Any) -> Finding:
    return replace(FINDINGS[0], because=because, unit=unit, measured=measured, **more)


def test_plain_lengths_of_a_text_are_told_in_inches() -> None:
    held = told("the largest ball, 12.70 mm: it must rise 3.175 mm to get away")
    assert because_words(held, "in") == "the largest ball, 1/2 in: it must rise 1/8 in to get away"
    assert because_words(held, "mm") == held.because
    assert title_words(replace(held, title="6.35 mm hole in Base"), "in") == "1/4 in hole in Base"
    assert in_unit("Drill 2.54 mm", "in") == "Drill 0.1 in"


def test_names_speeds_and_areas_are_left_as_they_are() -> None:
    for text in ("6 mm straight bit", "birch 12 mm", "67.4 mm/s", "10.0 mm² of glue", "0.62 m/s", "40 N"):
        assert in_unit(text, "in") == text


def test_a_sum_stays_in_mm_says_so_and_tells_what_it_comes_to_in_inches() -> None:
    sum_ = told("12.14 - 12.73 = -0.59 mm; needed 0.60", measured=-0.59, needed=0.6, margin=-1.19)
    assert because_words(sum_, "mm", alone=True) == sum_.because
    assert because_words(sum_, "in") == f"{sum_.because} (worked in mm)"
    alone = because_words(sum_, "in", alone=True)
    assert alone == f"{sum_.because} (worked in mm; that is −0.0232 in, needed 0.0236 in)"
    most = replace(sum_, measured=2.54, needed=1.27, margin=-1.27)
    assert because_words(most, "in", alone=True).endswith("that is 0.1 in, at most 0.05 in)")


def test_what_has_no_length_in_it_is_not_touched() -> None:
    for because, unit in (("1.54 - 1.5 = 0.04 m/s; needed 0", "m/s"), ("no edge crosses another", "loops")):
        assert because_words(told(because, unit, 0.04), "in", alone=True) == because


def test_what_leaves_the_program_is_told_in_the_design_s_unit() -> None:
    finding = told(
        "0.50 mm of wood left", measured=0.5, needed=1.5, margin=-1.0, status="conflict", title="6.35 mm hole"
    )
    assert warnings_of([finding], "in") == ("1/4 in hole: 0.0197 in of wood left",)
    assert mutes_of([replace(finding, muted="tried")], "in") == (
        "1/4 in hole (conflict): 0.0197 in of wood left. Muted because: tried",
    )


@pytest.mark.parametrize(
    ("mm", "words"),
    [
        (10.0, "0.394 in"),
        (28.0, "1.102 in"),
        (4.7625, "3/16 in"),
        (7.9375, "5/16 in"),
        (279.4, "11 in"),
        (-10.0, "−0.394 in"),
        (1.0, "0.0394 in"),
        (-0.03, "−0.0012 in"),
    ],
)
def test_inches_on_view_are_fractions_or_thousandths_and_finer_where_small(mm: float, words: str) -> None:
    """One inch is 25.4 mm exactly (agreement of 1959)."""
    assert value_words(mm, "length", "in") == words


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("11in", "11 in"),
        ("1 1/2in", "1 1/2 in"),
        ("9.5mm", "9.5 mm"),
        ("9.5  mm", "9.5 mm"),
        ('3/8"', '3/8"'),
        ("34°", "34°"),
        ("12", "12"),
        ("within", "within"),
    ],
)
def test_a_typed_number_has_its_unit_apart(typed: str, words: str) -> None:
    assert spaced(typed) == words

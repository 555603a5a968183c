"""The table of needs and what is refused in it."""

from __future__ import annotations

from typing import get_args

import pytest

from desk import report
from desk.checks import finding
from desk.checks.needs import NeedsError, needs_of, read_needs, shipped_needs
from desk.design import edit
from desk.design.starting import starting_design
from desk.evaluate import evaluate
from desk.shop import sourced
from desk.shop.tables import SHIPPED, Own, Tables

GOOD = {
    "label": "Some room",
    "value": 1,
    "tight": 0.5,
    "unit": "mm",
    "source": "somebody",
    "flag": "practice",
}


def test_the_shipped_table_reads_and_every_need_has_a_source():
    for need in shipped_needs().values():
        assert need.source.text.strip()
        assert need.unit.strip()
        assert need.clear >= need.value


def test_every_flag_can_be_said_and_the_shop_has_the_same():
    flags = set(get_args(finding.Flag))
    assert flags == set(get_args(sourced.Flag)) == set(report.SURE)
    assert {need.source.flag for need in shipped_needs().values()} <= flags - {"own"}


@pytest.mark.parametrize("need", ["screw_bite", "web", "headroom", "passage", "lip_reserve", "guard_room"])
def test_limits_that_nothing_outside_supports_say_so(need):
    assert shipped_needs()[need].source.flag == "choice"


def test_factors_have_no_unit():
    assert shipped_needs()["lip_reserve"].unit == shipped_needs()["slope_reserve"].unit == "1"


def test_a_row_becomes_a_need():
    need = read_needs({"some": GOOD})["some"]
    assert (need.id, need.value, need.clear, need.source.flag) == ("some", 1.0, 1.5, "practice")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"value": "1"}, r"\[some\] value: a number is needed, got '1'"),
        ({"value": True}, r"\[some\] value: a number"),
        ({"label": " "}, r"\[some\] label: 1 to 40 characters"),
        ({"label": "x" * 41}, r"\[some\] label: 1 to 40 characters"),
        ({"tight": -0.1}, r"\[some\] tight: zero or more"),
        ({"flag": "rumour"}, r"\[some\] flag: one of choice, derived, memory, practice, published"),
        ({"extra": 1}, r"\[some\]: give exactly flag, label, source, tight, unit, value"),
    ],
)
def test_a_wrong_row_is_named(change, says):
    with pytest.raises(NeedsError, match=says):
        read_needs({"some": {**GOOD, **change}})


@pytest.mark.parametrize("gone", sorted(GOOD))
def test_nothing_may_be_left_out(gone):
    with pytest.raises(NeedsError, match=r"\[some\]: give exactly"):
        read_needs({"some": {k: v for k, v in GOOD.items() if k != gone}})


def test_a_row_that_is_no_table_is_named():
    with pytest.raises(NeedsError, match=r"\[some\]"):
        read_needs({"some": 3})


def test_a_limit_of_ones_own_is_taken_and_told_as_theirs():
    design = edit.put_own_value(starting_design(), "needs", "headroom", "value", 30.0)
    found = [f for f in evaluate(design).findings if f.check == "headroom" and f.status != "clear"]
    assert found
    assert {f.source.flag for f in found} == {"own"}
    assert found[0].needed is not None
    assert found[0].needed == pytest.approx(30.0)
    assert "your own value for limit; the table has 1 mm: room over a rolling ball" in found[0].source.text
    assert not [
        f for f in evaluate(starting_design()).findings if f.check == "headroom" and f.status != "clear"
    ]


def test_only_the_margin_of_ones_own_leaves_the_limits_source():
    own = (Own("needs", "web", values=(("tight", 2.0),)),)
    need = needs_of(Tables(own))["web"]
    assert (need.value, need.tight) == (shipped_needs()["web"].value, 2.0)
    assert need.source == shipped_needs()["web"].source
    assert needs_of(Tables(own)) is not shipped_needs()
    assert needs_of(SHIPPED) is shipped_needs()
    assert needs_of(Tables(own))["web_skin"] == shipped_needs()["web_skin"]


def test_every_need_has_words_of_its_own_for_the_shop_page():
    labels = [row.label for row in SHIPPED.rows("needs").values()]
    assert len(set(labels)) == len(labels)
    assert not [label for label in labels if "_" in label or not label[0].isupper()]

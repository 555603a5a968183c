"""The shop's tables walked row by row, and values of one's own laid over them."""

from __future__ import annotations

import math
from typing import get_args

import pytest

from desk.resources import table as resource_table
from desk.shop.sourced import Flag
from desk.shop.tables import (
    SHIPPED,
    Field,
    Own,
    OwnError,
    TableError,
    Tables,
    _shelf,
    own_faults,
    shelves,
)

ROWS = [(name, row) for name, shelf in shelves().items() for row in shelf.rows.values()]
UNITS = {"", "1", "%", "times", "mm", "deg", "MPa", "GPa", "kg/m3"}
"""Units a declared number may have; empty where each row names its own."""


def test_the_tables_that_were_asked_for_are_there():
    wanted = {"materials", "balls", "screws", "dowels", "nails", "needs", "regions", "hands", "films", "bits"}
    wanted |= {"loads", "restitution", "holding", "gauges"}
    assert wanted <= set(shelves())
    assert all(shelf.rows for shelf in shelves().values())


@pytest.mark.parametrize("name", shelves())
def test_every_number_is_declared_with_unit_range_and_label(name):
    shelf = shelves()[name]
    assert shelf.label
    for field in shelf.fields.values():
        assert field.label
        assert field.group
        assert field.unit in UNITS
        assert field.range[0] < field.range[1]


@pytest.mark.parametrize(("name", "row"), ROWS, ids=lambda x: x if isinstance(x, str) else x.id)
def test_every_number_of_every_row_has_a_source_a_flag_and_a_plausible_value(name, row):
    shelf = shelves()[name]
    assert row.label.strip()
    for key, field in shelf.fields.items():
        value = row.values[key]
        assert value is not None or field.optional
        assert value is None or field.fault(value) is None
        for part in (key, field.group):
            source = row.source_of(part)
            assert len(source.text) > 10
            assert source.flag in set(get_args(Flag)) - {"own"}


def test_no_source_in_a_file_is_left_over():
    for name in (
        "materials.toml",
        "hardware.toml",
        "balls.toml",
        "seasons.toml",
        "hands.toml",
        "finish.toml",
        "bits.toml",
    ):
        data = resource_table(name)
        named: set[str] = set()
        for rows in data.values():
            for row in rows if isinstance(rows, list) else ():
                given = row.get("from", {})
                named |= {given} if isinstance(given, str) else set(given.values())
        assert set(data["source"]) == named, name


# --- values of one's own


def test_single_numbers_of_a_row_are_replaced_and_the_rest_stays():
    own = Own("materials", "hard-maple", values=(("bending", 90.0), ("density", 650.0)), note="test bars")
    row = Tables((own,)).rows("materials")["hard-maple"]
    before = SHIPPED.rows("materials")["hard-maple"]
    assert row.number("bending") == 90.0
    assert row.number("density") == 650.0
    same = set(row.values) - {"bending", "density"}
    assert {k: row.values[k] for k in same} == {k: before.values[k] for k in same}
    assert row.label == "Hard maple"


def test_the_source_of_an_own_value_says_so_and_what_the_table_has():
    own = Own("materials", "hard-maple", values=(("bending", 90.0),), note="test bars")
    row = Tables((own,)).rows("materials")["hard-maple"]
    source = row.source_of("bending")
    assert source.flag == "own"
    assert source.text == (
        "your own value for bending strength along the face grain (test bars); the table has 109 MPa: "
        "Wood Handbook Table 5-3a, mean of small clear specimens at 12 % moisture"
    )
    assert row.source_of("strength").flag == "own"
    assert row.source_of("shear").flag == "published"
    assert row.source_of("weight").flag == "published"


def test_a_new_row_starts_like_another_and_can_be_started_from():
    first = Own("materials", "teak", "Teak", "white-oak", (("density", 650.0),))
    second = Own("materials", "teak-old", "Old teak", "teak", (("bending", 80.0),))
    rows = Tables((first, second)).rows("materials")
    assert list(rows)[-2:] == ["teak", "teak-old"]
    assert rows["teak"].label == "Teak"
    assert rows["teak-old"].number("density") == 650.0
    assert rows["teak-old"].number("bending") == 80.0
    assert rows["teak"].number("bending") == rows["white-oak"].number("bending")
    assert "White oak, which it starts from, has 761.6 kg/m3" in rows["teak"].source_of("density").text
    assert "teak" not in SHIPPED.rows("materials")


def test_pairs_and_lists_are_replaced_as_a_whole():
    rows = Tables(
        (
            Own("balls", "glass", values=(("friction", (0.1, 0.2)),)),
            Own("dowels", "d8", values=(("lengths", (25.0, 45.0)),)),
        )
    )
    assert rows.rows("balls")["glass"].numbers("friction") == (0.1, 0.2)
    assert "the table has 0.15 to 0.4: " in rows.rows("balls")["glass"].source_of("friction").text
    assert rows.rows("dowels")["d8"].numbers("lengths") == (25.0, 45.0)


def test_equal_rows_make_equal_tables():
    own = Own("balls", "glass", values=(("density", 2600.0),))
    assert Tables((own,)) == Tables((own,))
    assert hash(Tables((own,))) == hash(Tables((own,)))
    assert Tables((own,)) != SHIPPED
    assert Tables() == SHIPPED


def one(own: Own) -> tuple[str, str]:
    (fault,) = own_faults(SHIPPED.rows(own.table), own)
    with pytest.raises(OwnError, match=r"."):
        Tables((own,)).rows(own.table)
    return fault.at, str(fault)


@pytest.mark.parametrize(
    ("own", "at", "says"),
    [
        (Own("balls", "glass", values=(("density", math.nan),)), "values.density", "must be a finite number"),
        (Own("balls", "glass", values=(("density", math.inf),)), "values.density", "must be a finite number"),
        (
            Own("balls", "glass", values=(("density", -1.0),)),
            "values.density",
            "Density must lie from 10 to 23000 kg/m3, not -1",
        ),
        (Own("balls", "glass", values=(("density", 0.0),)), "values.density", "must lie from 10"),
        (
            Own("balls", "glass", values=(("weight", 1.0),)),
            "values.weight",
            "What balls are made of has no 'weight'",
        ),
        (
            Own("balls", "glass", values=(("friction", 0.2),)),
            "values.friction",
            "two numbers, low and high wanted",
        ),
        (Own("balls", "glass", values=(("friction", (0.4, 0.2)),)), "values.friction", "the low one first"),
        (Own("balls", "glass", values=(("friction", (0.1, 0.2, 0.3)),)), "values.friction", "two numbers"),
        (Own("balls", "glass", values=(("density", (1.0, 2.0)),)), "values.density", "one number wanted"),
        (Own("dowels", "d8", values=(("lengths", ()),)), "values.lengths", "at least one number"),
        (Own("balls", "glass", like="steel"), "like", "leave 'like' empty"),
        (Own("balls", "agate"), "like", "a new row needs 'like', the row it starts from; there are: glass"),
        (Own("balls", "agate", like="onyx"), "like", "no 'onyx' to start from; there are: glass"),
        (Own("needs", "nothing", like="web"), "id", "Limits of the checks has no 'nothing'"),
        (
            Own("needs", "small_ball", values=(("value", 10.0),)),
            "id",
            "set by law for the safety of children",
        ),
        (Own("needs", "web", values=(("tight", -0.1),)), "values.tight", "must lie from 0"),
        (
            Own("screws", "no6", values=(("root", 4.0),)),
            "values",
            "Root of the thread (4) is above shank (3.5052)",
        ),
        (Own("regions", "most", values=(("dry", 20.0),)), "values", "is above average moisture (8)"),
    ],
    ids=lambda x: f"{x.table}-{x.id}" if isinstance(x, Own) else "",
)
def test_what_cannot_stand_is_told_with_its_place_and_the_way_out(own, at, says):
    where, text = one(own)
    assert where == at
    assert says in text


def test_asking_a_row_for_the_wrong_kind_of_number_is_refused():
    row = SHIPPED.rows("balls")["glass"]
    with pytest.raises(TableError, match="friction is no single number"):
        row.number("friction")
    with pytest.raises(TableError, match="density is no list"):
        row.numbers("density")


# --- a table that is wrong in itself

DECLARED = {
    "id": "made",
    "label": "Made up",
    "rows": "row",
    "add": True,
    "ascending": ["low", "high"],
    "field": [
        {"id": "low", "label": "Low", "unit": "mm", "range": [0.0, 9.0], "group": "size"},
        {"id": "high", "label": "High", "unit": "mm", "range": [0.0, 9.0], "group": "size"},
    ],
}
GOOD = {"id": "a", "label": "A", "low": 1.0, "high": 2.0, "from": {"size": "s"}}
SOURCES = {"s": {"text": "a book", "flag": "memory"}, "odd": {"text": "a book", "flag": "rumour"}}


def test_a_sound_table_is_read():
    assert _shelf(DECLARED, {"row": [GOOD], "source": SOURCES}).rows["a"].number("high") == 2.0
    inch = {**GOOD, "unit": "in", "low": 0.1, "high": 0.25}
    assert _shelf(DECLARED, {"row": [inch], "source": SOURCES}).rows["a"].number("high") == 6.35


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"colour": 3}, "there is no colour"),
        ({"low": 5.0}, "Low .5. is above high .2."),
        ({"low": -1.0}, "Low must lie from 0 to 9 mm"),
        ({"from": {"size": "nowhere"}}, "names no source of the file"),
        ({"from": {"size": "odd"}}, "has the unknown flag rumour"),
    ],
)
def test_a_row_that_is_wrong_is_refused(change, says):
    with pytest.raises(TableError, match=says):
        _shelf(DECLARED, {"row": [{**GOOD, **change}], "source": SOURCES})


def test_a_missing_number_and_a_second_row_are_refused():
    bare = {k: v for k, v in GOOD.items() if k != "low"}
    with pytest.raises(TableError, match="low is missing"):
        _shelf(DECLARED, {"row": [bare], "source": SOURCES})
    with pytest.raises(TableError, match="a stands twice"):
        _shelf(DECLARED, {"row": [GOOD, GOOD], "source": SOURCES})


@pytest.mark.parametrize(("value", "fits"), [(0.0, True), (9.0, True), (9.5, False)])
def test_the_ends_of_a_range_belong_to_it(value, fits):
    field = Field("x", "X", "mm", (0.0, 9.0), "size")
    assert (field.fault(value) is None) is fits

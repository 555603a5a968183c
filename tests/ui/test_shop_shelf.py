"""The values behind the checks as rows: what is shown, one's own over it, and the way back."""

from __future__ import annotations

import pytest

from desk.checks.needs import needs_of
from desk.design import edit
from desk.design.model import Design
from desk.design.refusals import EditError
from desk.design.starting import starting_design
from desk.evaluate import evaluate
from desk.shop.materials import material
from desk.shop.tables import shelves
from desk.ui.shop_shelf import (
    Spot,
    add_like,
    can_add,
    cells,
    first_value,
    give_back,
    in_order,
    is_fixed,
    is_new,
    matching,
    mine,
    own_row,
    read_value,
    spot,
    write_label,
    write_note,
    write_value,
)
from desk.units import UnitError

PLAY = Spot("needs", "dowel_play_high")
MAPLE = Spot("materials", "hard-maple")


@pytest.fixture
def design() -> Design:
    return starting_design()


def test_every_table_and_row_is_listed_once_with_a_number(design: Design) -> None:
    assert in_order()[0].id == "needs"
    assert sorted(s.id for s in in_order()) == sorted(shelves())
    every = [at for _, found in matching(design, "") for at in found]
    assert len({at.key for at in every}) == len(every) == sum(len(s.rows) for s in shelves().values())
    assert all(spot(at.key) == at for at in every)
    for at in every:
        assert first_value(design, at)
        assert all(cell.source and not cell.own and not cell.before for cell in cells(design, at))


def test_an_own_value_is_shown_as_such_with_the_tables_beside_it(design: Design) -> None:
    field = shelves()["needs"].fields["value"]
    own = write_value(design, PLAY, field, "0,25")
    cell = next(c for c in cells(own, PLAY) if c.field is field)
    assert (cell.text, cell.unit, cell.own, cell.before) == ("0.25", "mm", True, "0.3 mm")
    assert cell.flag != "own", "the source told is the table's"
    assert needs_of(own.tables)[PLAY.row].value == 0.25
    assert needs_of(own.tables)[PLAY.row].source.flag == "own"
    assert mine(own) == (PLAY,)
    assert give_back(own, PLAY, field) == design
    assert write_value(own, PLAY, field, " ") == design, "an empty field is the table's value again"


def test_an_own_value_rechecks(design: Design) -> None:
    field = shelves()["needs"].fields["value"]
    strict = write_value(design, PLAY, field, "0.05")
    found = next(f for f in evaluate(strict).findings if f.check == "dowel-play")
    assert found.status == "conflict"
    assert found.source.flag == "own"


def test_lengths_are_typed_and_shown_in_the_designs_unit(design: Design) -> None:
    inches = edit.set_unit(design, "in")
    at, field = Spot("screws", "no6"), shelves()["screws"].fields["shank"]
    assert read_value(inches, at, field) == "0.138"
    own = write_value(inches, at, field, "9/64")
    assert own_row(own, at).values == {"shank": pytest.approx(9 / 64 * 25.4)}  # type: ignore[union-attr]
    assert next(c for c in cells(own, at) if c.own).before == "0.138 in"


def test_what_cannot_be_is_refused(design: Design) -> None:
    density = shelves()["materials"].fields["density"]
    for text, error, said in (
        ("heavy", UnitError, "not a number"),
        ("9000", EditError, "^Density must lie from 50 to 1600"),
        ("700 800", UnitError, "one number is wanted"),
    ):
        with pytest.raises(error, match=said):
            write_value(design, MAPLE, density, text)
    law = Spot("needs", "small_ball")
    assert is_fixed(law)
    with pytest.raises(EditError, match="set by law"):
        write_value(design, law, shelves()["needs"].fields["value"], "1")


def test_a_row_like_another_can_be_added_named_and_removed(design: Design) -> None:
    own, there = add_like(design, MAPLE)
    made = edit.put_own(design, own)
    assert is_new(there)
    assert not is_new(MAPLE)
    made = write_label(made, there, "Maple from the attic")
    made = write_value(made, there, shelves()["materials"].fields["density"], "650")
    made = write_note(made, there, "weighed")
    found = material(there.row, made.tables)
    assert (found.label, found.density) == ("Maple from the attic", 650.0)
    assert "weighed" in found.source_of("density").text
    assert next(c for c in cells(made, there) if c.own).before == "", (
        "a row of one's own has nothing to go back to"
    )
    with pytest.raises(EditError, match="a name is wanted"):
        write_label(made, there, " ")
    assert edit.remove_own(made, there.table, there.row) == design


def test_limits_cannot_be_added(design: Design) -> None:
    assert not can_add(PLAY)
    with pytest.raises(EditError, match="no rows can be added"):
        add_like(design, PLAY)
    with pytest.raises(EditError, match="type one first"):
        write_note(design, PLAY, "measured")


def test_a_search_looks_through_names_and_sources(design: Design) -> None:
    def found(words: str) -> set[str]:
        return {at.key for _, rows in matching(design, words) for at in rows}

    assert PLAY.key in found("dowel play")
    assert "screws/no6" in found("no. 6 screws")
    assert found("DIN 7998") <= {f"screws/{key}" for key in shelves()["screws"].rows}
    assert found("no such thing anywhere") == set()

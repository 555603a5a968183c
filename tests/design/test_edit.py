"""Edits: what they change, what they leave, what they refuse and in which words."""

from __future__ import annotations

import contextlib
import math

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.design import edit, file, rules, table
from desk.design.model import BitEntry, PointEntry, StockEntry, TargetEntry
from desk.design.starting import starting_design
from desk.units import UnitError, parse_length

FIELDS = {"targets": 5, "silhouette": 3, "stocks": 4, "bits": 3, "dowels": 2, "screws": 1}
RING = TargetEntry("ring", 10.0, 100.0, 20.0, 22.0, 25)
OAK = StockEntry("oak6", "Oak 6 mm", "white-oak", 6.0, 5.9, 800.0, 300.0)


@pytest.fixture
def design():
    return starting_design()


def test_every_address_can_be_read_and_written(design):
    found = edit.addresses(design)
    assert (
        len(found)
        == len(set(found))
        == len(table.specs()) + sum(len(design.entries(name)) * FIELDS[name] for name in table.LISTS)
    )
    for address in found:
        spec = table.spec(address)
        low, high = spec.hard
        for value in (low, high):
            changed = edit.put(design, address, value)
            assert edit.get(changed, address) == value
            others = [a for a in found if a != address and edit.get(changed, a) != edit.get(design, a)]
            assert others == []
        for value in (math.nextafter(low, -math.inf) - 1e-3, math.nextafter(high, math.inf) + 1e-3):
            with pytest.raises(edit.ValueOutOfRange):
                edit.put(design, address, value)


def test_an_edit_that_changes_nothing_gives_back_the_same_object(design):
    assert edit.put(design, "ball.diameter", 16.0) is design
    assert edit.put(design, "ball.diameter", 16.0 + 1e-9) is design
    assert edit.put_choice(design, "ball.material", design.choice("ball.material")) is design
    assert edit.put_text(design, "targets.1.kind", "ring") is design
    assert edit.rename(design, design.name) is design
    assert edit.set_unit(design, "mm") is design
    assert edit.set_locked(design, "ball.diameter", False) is design


@pytest.mark.parametrize(
    ("address", "value", "text"),
    [
        ("ball.diameter", 3.0, "Ball diameter must lie from 5 mm to 60 mm, not 3 mm"),
        ("ball.diameter", math.nan, "Ball diameter must be a finite number"),
        ("ball.diameter", math.inf, "Ball diameter must be a finite number"),
        ("ball.count", 2.5, "Balls in the box must be a whole number, not 2.5"),
        ("board.tilt", 80.0, "Board tilt must lie from 5° to 75°, not 80°"),
        ("targets.2.hole", 1.0, "Hole diameter (target 2) must lie from 2 mm to 150 mm, not 1 mm"),
    ],
)
def test_refused_values_name_the_place_and_the_range(design, address, value, text):
    with pytest.raises(edit.ValueOutOfRange) as caught:
        edit.put(design, address, value)
    assert str(caught.value) == text
    assert caught.value.spec.address == address


def test_ranges_are_told_in_the_unit_of_the_design(design):
    with pytest.raises(edit.ValueOutOfRange, match=r"must lie from 0\.1969 in to 2.3622 in, not 1/8 in"):
        edit.put(edit.set_unit(design, "in"), "ball.diameter", 3.175)


@pytest.mark.parametrize(
    ("address", "text"),
    [
        ("targets.99.hole", "there is no target 99; there are 5"),
        ("silhouette.99.x", "there is no point 99; there are 6"),
        ("targets.1.kind", "there is no dimension 'targets.1.kind'"),
        ("lane.colour", "there is no dimension 'lane.colour'"),
    ],
)
def test_unknown_addresses_are_refused(design, address, text):
    for action in (lambda: edit.get(design, address), lambda: edit.put(design, address, 20.0)):
        with pytest.raises(table.UnknownAddress) as caught:
            action()
        assert str(caught.value) == text


def test_a_score_stays_a_whole_number(design):
    assert repr(edit.put(design, "targets.1.score", 75.0).targets[0].score) == "75"


def test_a_locked_address_refuses_until_it_is_unlocked(design):
    locked = edit.set_locked(edit.set_locked(design, "targets.2.hole"), "ball.material")
    assert locked.locked == ("ball.material", "targets.2.hole")
    with pytest.raises(edit.Locked) as caught:
        edit.put(locked, "targets.2.hole", 21.0)
    assert str(caught.value) == "Hole diameter (target 2) is locked; unlock it to change it"
    assert caught.value.address == "targets.2.hole"
    with pytest.raises(edit.Locked, match="Ball material is locked"):
        edit.put_choice(locked, "ball.material", "steel")
    with pytest.raises(edit.Locked):
        edit.remove_target(locked, 2)
    assert edit.put(locked, "targets.2.hole", 25.0) is locked
    free = edit.set_locked(locked, "targets.2.hole", False)
    assert edit.get(edit.put(free, "targets.2.hole", 21.0), "targets.2.hole") == 21.0
    with pytest.raises(table.UnknownAddress):
        edit.set_locked(design, "targets.9.hole")


def test_typed_text_is_kept_until_the_value_changes_otherwise(design):
    typed = edit.type_in(design, "ball.diameter", "5/8in")
    assert edit.get(typed, "ball.diameter") == 15.875
    assert edit.shown(typed, "ball.diameter") == "5/8in"
    assert edit.shown(edit.put(typed, "ball.diameter", 14.0), "ball.diameter") == "14 mm"
    assert edit.put(typed, "ball.diameter", 14.0).typed == {}
    assert edit.shown(edit.put(typed, "lane.width", 140.0), "ball.diameter") == "5/8in"
    assert edit.put(typed, "ball.diameter", 15.875) is typed


def test_only_telling_text_is_kept(design):
    assert edit.type_in(design, "ball.diameter", "15,5").typed == {}
    assert edit.type_in(design, "board.tilt", "30°").typed == {}
    inches = edit.set_unit(design, "in")
    assert edit.type_in(inches, "ball.diameter", "0.6").typed == {}
    assert edit.type_in(inches, "ball.diameter", "5/8").typed == {"ball.diameter": "5/8 in"}


def test_typed_text_keeps_its_meaning_when_the_unit_changes(design):
    inches = edit.type_in(edit.set_unit(design, "in"), "ball.diameter", "1/2")
    metric = edit.set_unit(inches, "mm")
    assert metric.typed == {"ball.diameter": "1/2 in"}
    assert (
        parse_length(edit.shown(metric, "ball.diameter"), "mm") == edit.get(metric, "ball.diameter") == 12.7
    )
    assert rules.problems(metric) == ()
    bare = msgspec.structs.replace(design, typed={"ball.diameter": "16"})
    assert edit.set_unit(bare, "in").typed == {"ball.diameter": "16 mm"}


def test_typed_text_that_says_something_else_is_refused(design):
    with pytest.raises(edit.EditError, match=r"'1/2in' is 12\.7, but the value is 13"):
        edit.put(design, "ball.diameter", 13.0, typed="1/2in")
    with pytest.raises(edit.EditError, match="kept up to 32 characters"):
        edit.put(design, "ball.diameter", 13.0, typed="13." + "0" * 30)
    with pytest.raises(UnitError):
        edit.type_in(design, "ball.diameter", "1/2")


def test_a_typed_third_of_an_inch_is_kept_to_a_millionth(design):
    typed = edit.type_in(design, "ball.diameter", "1/3in")
    assert edit.get(typed, "ball.diameter") == 8.466667
    assert rules.problems(typed) == ()


def test_choices_are_checked_against_the_design(design):
    assert edit.put_choice(design, "stock.wall", "s12").choice("stock.wall") == "s12"
    with pytest.raises(
        edit.EditError, match="Inner wall, stock: there is no option 's10'; there are: s9, s12, s18"
    ):
        edit.put_choice(design, "stock.wall", "s10")
    with pytest.raises(table.UnknownAddress):
        edit.put_choice(design, "stock.roof", "s9")


def test_items_added_and_removed_carry_typed_texts_and_locks_along(design):
    marked = edit.set_locked(edit.type_in(design, "targets.3.hole", "3/4in"), "targets.4.up")
    grown = edit.add_target(marked, RING, at=2)
    assert [t.score for t in grown.targets] == [50, 25, 30, 20, 20, 10]
    assert grown.typed == {"targets.4.hole": "3/4in"}
    assert grown.locked == ("targets.5.up",)
    assert edit.remove_target(grown, 2) == marked
    assert edit.remove_target(marked, 3).typed == {}
    assert edit.remove_target(marked, 3).locked == ("targets.3.up",)
    assert edit.add_target(design, RING).targets[-1] == RING
    with pytest.raises(table.UnknownAddress):
        edit.add_target(design, RING, at=len(design.targets) + 2)
    with pytest.raises(table.UnknownAddress):
        edit.remove_target(design, 0)


def test_entries_that_cannot_stand_are_not_added(design):
    with pytest.raises(edit.EditError, match=r"Hole diameter \(target 6\) must lie from"):
        edit.add_target(design, msgspec.structs.replace(RING, hole=0.0))
    with pytest.raises(edit.EditError, match="id 'S9' is used already, by Birch plywood 9 mm"):
        edit.add_item(design, msgspec.structs.replace(OAK, id="S9"))
    with pytest.raises(edit.EditError, match="id 'oak 6' must be"):
        edit.add_item(design, msgspec.structs.replace(OAK, id="oak 6"))
    with pytest.raises(edit.EditError, match="label is empty"):
        edit.add_item(design, BitEntry("b8", " ", "straight", 8.0, 25.0))


def test_the_silhouette_keeps_two_points(design):
    design = edit.add_point(design, PointEntry("front", 200.0, 130.0, 5.0), at=4)
    while len(design.silhouette) > 2:
        design = edit.remove_point(design, 1)
    with pytest.raises(edit.EditError, match="at least 2 points"):
        edit.remove_point(design, 1)


def test_a_stock_in_use_stays(design):
    with pytest.raises(
        edit.EditError, match="Birch plywood 9 mm is chosen for: Inner wall, stock; Deck, stock"
    ):
        edit.remove_item(design, "stocks", 1)
    assert edit.remove_item(edit.add_item(design, OAK), "stocks", 4) == design


def test_choices_follow_a_stock_that_gets_another_id(design):
    renamed = edit.put_text(design, "stocks.1.id", "ply9")
    assert renamed.choice("stock.wall") == "ply9"
    assert rules.problems(renamed) == ()
    assert edit.put_text(renamed, "stocks.1.id", "s9") == design
    with pytest.raises(edit.EditError, match="used already"):
        edit.put_text(design, "stocks.1.id", "S12")
    assert edit.put_text(design, "stocks.1.id", "S9").choice("stock.wall") == "S9"


@pytest.mark.parametrize(
    ("address", "text"),
    [
        ("name", "Harvest fair"),
        ("notes", "Two\nlines"),
        ("header_text", ""),
        ("targets.1.kind", "plain"),
        ("silhouette.6.origin", "front"),
        ("bits.1.kind", "rounding"),
        ("bits.1.label", "Compression bit"),
        ("stocks.2.material", "white-oak"),
    ],
)
def test_texts_are_put(design, address, text):
    changed = edit.put_text(design, address, text)
    assert rules.problems(changed) == ()
    assert changed != design
    assert text in file.dumps(changed).decode().replace("\\n", "\n")


@pytest.mark.parametrize(
    ("address", "text", "reason"),
    [
        ("name", "  ", "name is empty"),
        ("name", "two\nlines", "cannot be printed"),
        ("header_text", "\ud800", "cannot be printed"),
        ("name", "x" * 201, "at most 200"),
        ("targets.1.kind", "square", "there is no kind 'square'; there are: ring, horseshoe, vee, plain"),
        ("silhouette.1.origin", "top", "there are: front, back"),
        ("stocks.1.id", "../s9", "id '../s9' must be"),
    ],
)
def test_texts_that_cannot_stand_are_refused(design, address, text, reason):
    with pytest.raises(edit.EditError, match=reason):
        edit.put_text(design, address, text)


@pytest.mark.parametrize(
    "address", ["ball.diameter", "targets.1.hole", "targets.1.label", "unit", "stocks.9.id"]
)
def test_what_is_no_text_is_refused(design, address):
    with pytest.raises(table.UnknownAddress):
        edit.put_text(design, address, "x")


_STEPS = st.lists(
    st.tuples(
        st.sampled_from(["put", "type", "choice", "add", "remove", "lock", "unit"]), st.integers(0, 10**6)
    ),
    max_size=25,
)


def _step(design, action, seed):  # noqa: PLR0911
    found = edit.addresses(design)
    address = found[seed % len(found)]
    low, high = table.spec(address).hard
    value = low - 1 + (high - low + 2) * (seed % 1009) / 1009
    match action:
        case "put":
            return edit.put(design, address, value)
        case "type":
            return edit.type_in(design, address, f"{seed % 40}/{seed % 7}in" if seed % 2 else f"{value:.3f}")
        case "choice":
            choice = table.choices()[seed % len(table.choices())]
            return edit.put_choice(design, choice.id, design.options(choice.id)[seed % 2])
        case "add":
            entry = [RING, OAK, PointEntry("front", 10.0, 60.0, 1.0)][seed % 3]
            return edit.add_item(design, entry, at=1 + seed % 4)
        case "remove":
            return edit.remove_item(design, table.LISTS[seed % 4], 1 + seed % 6)
        case "lock":
            return edit.set_locked(design, address, bool(seed % 3))
        case _:
            return edit.set_unit(design, "in" if seed % 2 else "mm")


@settings(derandomize=True, max_examples=120, deadline=None)
@given(_STEPS)
def test_after_any_edits_the_design_can_be_saved_and_opens_again(steps):
    design = starting_design()
    for action, seed in steps:
        with contextlib.suppress(edit.EditError, UnitError, table.UnknownAddress):
            design = _step(design, action, seed)
    assert rules.problems(design) == ()
    assert file.loads(file.dumps(design)) == design

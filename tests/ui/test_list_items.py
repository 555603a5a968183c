"""New items for the lists can always be added."""

from __future__ import annotations

import msgspec
import pytest

from desk.design import edit, rules
from desk.design.table import LISTS, ListName
from desk.shop.materials import materials
from desk.ui.list_items import another, free_id

from .fakes import starting


@pytest.mark.parametrize("name", LISTS)
def test_an_item_like_any_other_can_be_added(name: ListName) -> None:
    design = starting()
    for like in range(len(design.entries(name)) + 1):
        entry, place = another(design, name, like)
        grown = edit.add_item(design, entry, place)
        assert grown.entries(name)[place - 1] == entry
        assert len(grown.entries(name)) == len(design.entries(name)) + 1
        assert rules.problems(grown) == ()


@pytest.mark.parametrize("name", ["targets", "stocks", "bits"])
def test_the_first_item_of_an_empty_list(name: ListName) -> None:
    design = msgspec.structs.replace(starting(), **{name: ()})
    entry, place = another(design, name)
    assert place == 1
    assert not list(rules.entry_faults(name, 1, entry, "mm"))


def test_many_can_be_added_in_a_row() -> None:
    design = starting()
    for _ in range(12):
        for name in LISTS:
            entry, place = another(design, name)
            design = edit.add_item(design, entry, place)
    assert rules.problems(design) == ()


def test_the_first_stock_of_an_empty_list_is_of_a_material_that_exists() -> None:
    entry, place = another(msgspec.structs.replace(starting(), stocks=()), "stocks")
    assert place == 1
    assert entry.material in materials()  # type: ignore[union-attr]


def test_a_new_target_lies_beside_the_old_one() -> None:
    design = starting()
    entry, _ = another(design, "targets", 1)
    old = design.targets[0]
    assert abs(entry.across - old.across) >= old.hole  # type: ignore[union-attr]
    assert entry.up == old.up  # type: ignore[union-attr]


def test_free_ids() -> None:
    assert free_id("s18", ["s18"]) == "s-2"
    assert free_id("s18", ["s18", "S-2"]) == "s-3"
    assert free_id("6", ["6"]) == "6-2"

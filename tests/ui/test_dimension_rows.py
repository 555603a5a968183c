"""The rows of the dimension list."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from desk.design import edit, table
from desk.design.model import TARGET_KINDS
from desk.ui.dimension_rows import (
    Node,
    item_words,
    option_words,
    options,
    search_words,
    shape_of,
    shown,
    text_at,
    touched,
    tree,
)
from desk.ui.list_items import another

from .fakes import starting


def walk(node: Node) -> Iterator[Node]:
    for row in node.rows:
        yield row
        yield from walk(row)


def row(key: str) -> Node:
    return next(n for n in walk(tree(starting())) if n.key == key)


def test_every_address_and_every_choice_has_exactly_one_row() -> None:
    design = starting()
    keys = [n.key for n in walk(tree(design)) if n.kind in ("number", "choice")]
    assert sorted(keys) == sorted([*edit.addresses(design), *(c.id for c in table.choices())])


def test_shown_texts_and_marks() -> None:
    design = edit.set_locked(edit.type_in(starting(), "board.gap", "3/4in"), "lane.length")
    assert shown(row("board.gap"), design, {}).text == "3/4 in"
    assert shown(row("lane.length"), design, {}).locked
    assert shown(row("board.gap"), design, {"board.gap": "tight"}).status == "tight"
    odd = edit.put(starting(), "board.gap", 90.0)
    assert shown(row("board.gap"), odd, {}).unusual == "unusual: usually 10 mm to 60 mm"
    assert shown(row("board.gap"), starting(), {}).unusual == ""


@pytest.mark.parametrize("address", ["board.gap", "targets.2.up", "silhouette.1.z", "ball.count"])
def test_touched_names_the_rows_that_may_differ(address: str) -> None:
    old = starting()
    new = edit.put(old, address, edit.get(old, address) + 1)
    keys = touched(old, new)
    assert keys is not None
    assert address in keys
    differing = {n.key for n in walk(tree(old)) if shown(n, old, {}) != shown(n, new, {})}
    assert differing <= keys
    assert len(keys) <= 3


def test_touched_by_locks_choices_typed_texts_and_words() -> None:
    old = starting()
    for new in (
        edit.set_locked(old, "board.gap"),
        edit.put_choice(old, "ball.material", "steel"),
        edit.type_in(old, "board.gap", "1in"),
        edit.put_text(old, "notes", "x"),
        edit.put_text(old, "targets.1.kind", "plain"),
    ):
        keys = touched(old, new)
        assert keys is not None
        differing = {n.key for n in walk(tree(old)) if shown(n, old, {}) != shown(n, new, {})}
        assert differing
        assert differing <= keys


def test_another_unit_or_stock_touches_everything() -> None:
    assert touched(starting(), edit.set_unit(starting(), "in")) is None
    assert touched(starting(), edit.put(starting(), "stocks.1.measured", 9.0)) is None


def test_the_shape_follows_the_lists() -> None:
    design = starting()
    entry, place = another(design, "targets")
    assert shape_of(edit.add_item(design, entry, place)) != shape_of(design)


def test_options_and_texts() -> None:
    design = starting()
    assert ("steel", "Steel") in options(row("ball.material"), design)
    keys = [key for key, _ in options(row("stock.deck"), design)]
    assert keys == [s.id for s in design.stocks]
    assert option_words(design, "stock.deck", design.stocks[0].id) == design.stocks[0].label
    assert [key for key, _ in options(row("targets.1.kind"), design)] == list(TARGET_KINDS)
    assert text_at(design, "stocks.1.label") == design.stocks[0].label
    assert text_at(design, "header_text") == design.header_text
    assert item_words(design, "targets.2") == "horseshoe, 30 points"
    assert item_words(design, "silhouette.1") == f"from the {design.silhouette[0].origin}"


def test_a_search_finds_by_group_label_help_and_address() -> None:
    words = search_words(row("board.gap"))
    for wanted in ("target board", "gutter gap", "short balls", "board.gap"):
        assert wanted in words

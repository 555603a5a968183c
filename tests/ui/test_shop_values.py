"""The values behind the checks in the window: found, opened, replaced by one's own, given back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from desk.design.starting import starting_design
from desk.ui.document import Document
from desk.ui.outward import complete, evaluate
from desk.ui.pace import Pace
from desk.ui.shop_shelf import Spot
from desk.ui.shop_value import OpenRow
from desk.ui.shop_values import YOURS, ValuesPart
from desk.views.theme import theme

from .framed import framed

PLAY = "needs/dowel_play_high"


@pytest.fixture
def part(qtbot: QtBot) -> Iterator[ValuesPart]:
    pace = Pace(instant=True)
    document = Document(starting_design(), evaluate, pace, complete)
    document.evaluate()
    part = ValuesPart(document, theme("light"))
    area = framed(qtbot, part)
    yield part
    area.close()


def turned(part: ValuesPart, key: str) -> OpenRow:
    """The row, turned to in the list."""
    assert part.go_to(key)
    shown = part.stack.currentWidget().widget()  # type: ignore[attr-defined]
    assert isinstance(shown, OpenRow)
    assert shown.at.key == key
    return shown


def put(row: OpenRow, at: int, text: str) -> str:
    """Type a number; what is wrong with it."""
    line = row.lines[at]
    line.entry.setFocus()
    line.entry.setText(text)
    line.entry.take()
    return line.entry.fault


def headings(part: ValuesPart) -> list[str]:
    return [line.key for line in part.list.model_.lines if line.heading]


def test_an_own_limit_is_marked_told_with_the_tables_and_given_back_with_one_press(part: ValuesPart) -> None:
    document = part.document
    row = turned(part, PLAY)
    before = {f.check: f.status for f in document.findings}["dowel-play"]
    assert before == "clear"
    assert not row.lines[0].back.isVisible()
    assert put(row, 0, "0.05") == ""
    assert {f.check: f.status for f in document.findings}["dowel-play"] == "conflict", "it is checked at once"
    assert row.lines[0].before.text() == "Yours; the table has 0.3 mm"
    assert row.lines[0].note.text().startswith("The table's source: ")
    assert headings(part)[0] == YOURS
    marked = [line for line in part.list.model_.lines if line.marked]
    assert [line.aside for line in marked] == ["yours  0.05 mm"] * 2
    row.lines[0].back.click()
    assert document.design == starting_design()
    assert row.lines[0].entry.text() == "0.3"
    assert {f.check: f.status for f in document.findings}["dowel-play"] == "clear"
    assert headings(part)[0] != YOURS
    document.undo()
    assert row.lines[0].entry.text() == "0.05", "giving back is a step of the history like any other"


def test_every_number_tells_its_source_and_how_sure_it_is(part: ValuesPart) -> None:
    row = turned(part, "materials/birch-plywood")
    told = [line.note.text() for line in row.lines if line.note.text()]
    assert told
    assert all(text.endswith(")") for text in told), "the flag stands behind the source"
    assert any("from memory" in text for text in told)
    assert row.lines[-1].note.text(), "the last number of a group tells the source of all"


def test_what_cannot_be_taken_is_told_and_kept_even_when_another_row_is_opened(part: ValuesPart) -> None:
    row = turned(part, PLAY)
    assert "not start with a number" in put(row, 0, "loose")
    assert "not start with a number" in row.lines[0].note.text()
    turned(part, "needs/dowel_play_low")
    waiting = next(line for line in part.list.model_.lines if line.key == PLAY)
    assert waiting.aside.startswith("not taken yet")
    again = turned(part, PLAY)
    assert again is row
    assert again.lines[0].entry.text() == "loose"
    assert part.document.design == starting_design()


def test_a_row_that_is_left_in_order_is_not_kept(part: ValuesPart) -> None:
    turned(part, PLAY)
    turned(part, "needs/dowel_play_low")
    turned(part, "screws/no6")
    assert part.stack.count() == 2, "the invitation and the row turned to"


def test_what_the_law_sets_cannot_be_changed(part: ValuesPart) -> None:
    row = turned(part, "needs/small_ball")
    assert not any(line.entry.isEnabled() for line in row.lines)
    assert "Nobody can change it" in row._fixed.text()


def test_a_row_is_added_like_another_named_and_removed_unless_in_use(part: ValuesPart) -> None:
    document = part.document
    row = turned(part, "materials/birch-plywood")
    row.more.click()
    made = document.design.own[0]
    new = turned(part, Spot("materials", made.id).key)
    new.label.setText("Door skin")
    assert new.label.take()
    assert document.design.own[0].label == "Door skin"
    assert put(new, 1, "610") == ""
    assert new.lines[1].before.text() == "Yours"
    assert not new.lines[1].back.isVisible()
    new.note.setText("weighed a piece")
    assert new.note.take()
    assert document.change("use", lambda d: _with_material(d, made.id))
    new.remove.click()
    assert [own.id for own in document.design.own] == [made.id]
    assert "is used by" in new._texts.text()
    document.undo()
    new.remove.click()
    assert document.design.own == ()
    assert part.list.current == "materials/birch-plywood"


def _with_material(design, key: str):  # type: ignore[no-untyped-def]
    from desk.design import edit

    return edit.put_text(design, "stocks.1.material", key)


def test_an_entry_that_undo_takes_away_closes_its_row(part: ValuesPart) -> None:
    turned(part, "materials/birch-plywood").more.click()
    assert part.stack.count() == 2
    part.document.undo()
    assert part.stack.count() == 1
    assert part.document.design == starting_design()


def test_a_search_finds_rows_and_opens_them(part: ValuesPart) -> None:
    part.search.setText("dowel play")
    keys = [line.key for line in part.list.model_.lines if not line.heading]
    assert PLAY in keys
    assert part.count.text() == f"{len(keys)} found"
    part.search.returnPressed.emit()
    assert part.list.current == keys[0]
    assert part.list.hasFocus()
    part.search.setText("nothing like this")
    assert part.list.model_.lines == ()
    assert part.count.text() == "0 found"
    part.search.clear()
    assert part.count.text() == ""


def test_tables_fold(part: ValuesPart) -> None:
    many = len(part.list.model_.lines)
    part.list.folded.emit("needs", True)
    assert len(part.list.model_.lines) < many
    part.list.folded.emit("hands", False)
    assert any(line.key.startswith("hands/") for line in part.list.model_.lines)

"""The list of findings, the card and the views together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.design.model import Design
from desk.ui.finding_delegate import LINE, ROW
from desk.ui.findings_model import RowRole
from desk.ui.workroom import Workroom

from .fakes import FakeEvaluation
from .fakes import evaluate as fake
from .hands import press, release


def click(window: Workroom, qtbot: QtBot, title: str) -> None:
    listed = window.findings.list
    for k in range(window.findings.model.rowCount()):
        index = window.findings.model.index(k)
        if index.data(RowRole).title == title:
            listed.scrollTo(index)
            qtbot.mouseClick(
                listed.viewport(), Qt.MouseButton.LeftButton, pos=listed.visualRect(index).center()
            )
            return
    pytest.fail(f"no row {title}")


def current(window: Workroom) -> str:
    row = window.findings.list.currentIndex().data(RowRole)
    return row.title if row else ""


def test_a_click_chooses_explains_and_goes_to_the_place(window: Workroom, qtbot: QtBot) -> None:
    section = window.sheet.section
    section.set_view(section.view.panned(5000.0, 0.0))
    click(window, qtbot, "Clear")
    click(window, qtbot, "Gutter gap passes the ball")
    assert window.document.finding == "check-1"
    assert window.card.title.text() == "Gutter gap passes the ball"
    x, y = section.view.to_px((359.0, 86.0))
    assert section.rect().contains(QPoint(round(x), round(y)))
    assert any(p.mood == "chosen" for p in section.easel.plots)


def test_a_flag_chooses_the_row(window: Workroom) -> None:
    plan = window.sheet.plan
    plot = next(p for p in plan.easel.plots if getattr(p.item, "finding", "") == "check-2" and p.label)
    assert plot.label is not None
    at = ((plot.label[0] + plot.label[2]) / 2, (plot.label[1] + plot.label[3]) / 2)
    press(plan, at)
    release(plan, at)
    assert window.document.finding == "check-2"
    assert current(window) == "Deck length"
    assert window.card.title.text() == "Deck length"


def test_the_choice_follows_its_finding_when_it_changes_status(window: Workroom) -> None:
    window.document.type_in("board.gap", "10")
    window.document.choose("check-1")
    assert current(window) == "Gutter gap passes the ball"
    window.document.type_in("board.gap", "17")
    assert window.document.finding == "check-1"
    assert current(window) == "Gutter gap passes the ball"
    assert window.card.status.text().startswith("Tight")


def test_headings_fold_by_key_and_by_mouse(window: Workroom, qtbot: QtBot) -> None:
    listed = window.findings.list
    rows = window.findings.model.rowCount()
    click(window, qtbot, "Tight")
    assert window.findings.model.rowCount() == rows - 2
    listed.setFocus()
    listed.setCurrentIndex(window.findings.model.index(1))
    qtbot.keyClick(listed, Qt.Key.Key_Right)
    assert window.findings.model.rowCount() == rows
    qtbot.keyClick(listed, Qt.Key.Key_Right)
    assert window.findings.model.rowCount() == rows
    qtbot.keyClick(listed, Qt.Key.Key_Down)
    assert current(window) == "ball"
    qtbot.keyClick(listed, Qt.Key.Key_Space)
    assert window.findings.model.rowCount() == rows - 1


def test_left_goes_from_a_finding_to_its_headings(window: Workroom, qtbot: QtBot) -> None:
    window.document.choose("check-2")
    listed = window.findings.list
    assert current(window) == "Deck length"
    qtbot.keyClick(listed, Qt.Key.Key_Left)
    assert current(window) == "ball"
    assert window.document.finding == "check-2"


def test_a_place_only_another_section_shows_switches_the_section(window: Workroom) -> None:
    window.sheet.show_section("rear")
    window.document.choose("check-1")
    assert window.sheet.section_id == "lane"


def test_the_card_tells_numbers_formula_source_parts_and_remedies(
    window: Workroom, qapp: QApplication
) -> None:
    window.document.type_in("board.gap", "10")
    window.document.choose("check-1")
    qapp.processEvents()
    card = window.card
    assert [card.values[k].text() for k in ("Measured", "Needed", "Margin")] == ["4 mm", "10 mm", "−6 mm"]
    assert "10 mm are needed" in card.formula.text()
    assert card.flag.text() == "worked out here"
    assert "largest diameter" in card.source.text()
    assert card.parts.names == ["deck; board"]
    assert card.rows[0].link.text() == "Gutter gap, kicker to board foot"
    assert card.rows[0].value.text() == "10 mm"
    assert card.rows[0].text.text() == "Widen the gap"
    assert card.rows[0].button.text() == "Apply 20 mm"


def test_apply_mends_and_can_be_undone(window: Workroom, qtbot: QtBot) -> None:
    window.document.type_in("board.gap", "10")
    window.document.choose("check-1")
    button = window.card.rows[0].button
    assert button.isVisible()
    button.click()
    assert window.document.value("board.gap") == 20.0
    assert window.strip.counts["conflict"].number == 0
    window.document.undo()
    assert window.document.value("board.gap") == 10.0


def test_a_remedy_without_a_value_only_shows_its_dimension(window: Workroom) -> None:
    window.document.choose("check-2")
    row = window.card.rows[0]
    assert not row.button.isVisible()
    row.link.click()
    assert window.document.address == "lane.length"
    assert window.sheet.section.easel.focus == "lane.length"


def test_a_remedy_at_a_locked_number_cannot_be_applied(window: Workroom) -> None:
    window.document.choose("check-1")
    window.document.change(
        "Lock", lambda d: __import__("desk.design.edit", fromlist=["x"]).set_locked(d, "board.gap")
    )
    assert not window.card.rows[0].button.isEnabled()


def test_nothing_chosen_shows_the_invitation(window: Workroom) -> None:
    window.document.choose("check-1")
    window.document.choose("")
    assert not window.card.title.isVisible()
    assert not window.card.rows[0].isVisible()


def test_a_long_title_takes_two_lines_in_a_narrow_list_and_one_in_a_wide_one(
    make_window: Callable[..., Workroom], qtbot: QtBot
) -> None:
    def wordy(design: Design, last: object = None) -> FakeEvaluation:
        made = fake(design, last)
        long = msgspec.structs.replace(
            made.findings[1], title="A title of many words that goes on for a while"
        )
        return replace(made, findings=(made.findings[0], long, made.findings[2]))

    window = make_window(wordy)
    listed = window.findings.list
    at = window.findings.model.row_of("check-2", unfold=True)

    def high() -> int:
        return listed.visualRect(window.findings.model.index(at)).height()

    listed.setFixedWidth(240)
    qtbot.waitUntil(lambda: high() == ROW + LINE)
    listed.setFixedWidth(600)
    qtbot.waitUntil(lambda: high() == ROW)

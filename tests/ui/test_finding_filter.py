"""The list of findings sifted in the real window: by words, status, family and part, by mouse and by keys."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox, QToolButton
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.starting import starting_design
from desk.ui.findings_model import RowRole
from desk.ui.outward import complete, evaluate
from desk.ui.workroom import Workroom


@pytest.fixture
def room(qapp: QApplication, make_window: Callable[..., Workroom]) -> Workroom:
    """A window over a cabinet with conflicts in several families."""
    design = starting_design()
    for address, value in (("joint.dowel_fit", -0.2), ("board.gap", 12.0), ("bits.1.cutting_length", 15.0)):
        design = edit.put(design, address, value)
    return make_window(evaluate, design, complete)


def titles(room: Workroom) -> list[str]:
    model = room.findings.model
    found = (model.index(k).data(RowRole) for k in range(model.rowCount()))
    return [row.title for row in found if not row.heading]


def pick(room: Workroom, name: str, words: str) -> None:
    """Choose an option as a hand does."""
    box: QComboBox = room.findings.filter.boxes[name]
    at = box.findText(words)
    assert at > 0, [box.itemText(k) for k in range(box.count())]
    box.setCurrentIndex(at)
    box.activated.emit(at)


def test_words_are_looked_for_in_titles_and_parts(room: Workroom, qtbot: QtBot) -> None:
    panel = room.findings
    qtbot.keyClicks(panel.filter.search, "gutter")
    assert panel.shown()
    assert len(panel.shown()) < len(room.document.findings)
    for finding in panel.shown():
        said = f"{finding.title} {finding.because} {finding.parts}".casefold()
        assert "gutter" in said
    assert titles(room) == [f.title for f in sorted(panel.shown(), key=lambda f: titles(room).index(f.title))]


def test_how_much_is_shown_is_told_and_one_press_clears_it(room: Workroom, qtbot: QtBot) -> None:
    asked = room.findings.filter
    every = len(room.document.findings)
    assert not asked.foot.isVisible()
    qtbot.mouseClick(asked.switch, Qt.MouseButton.LeftButton)
    assert asked.row.isVisible()
    pick(room, "status", "In conflict")
    pick(room, "family", "Joints")
    wanted = [f for f in room.document.findings if (f.status, f.family) == ("conflict", "Joints")]
    assert wanted
    assert asked.told.text() == f"{len(wanted)} of {every} shown: In conflict, Joints"
    assert room.findings.shown() == tuple(wanted)
    asked.switch.click()
    assert not asked.row.isVisible()
    assert asked.foot.isVisible()
    qtbot.mouseClick(asked.clear_button, Qt.MouseButton.LeftButton)
    assert not asked.foot.isVisible()
    assert len(room.findings.shown()) == every
    assert {box.currentIndex() for box in asked.boxes.values()} == {0}


def test_parts_are_offered_by_label_and_only_those_with_findings(room: Workroom) -> None:
    box = room.findings.filter.boxes["part"]
    evaluation = room.document.evaluation
    assert evaluation is not None
    offered = {box.itemData(k): box.itemText(k) for k in range(1, box.count())}
    concerned = {key for f in room.document.findings for key in f.parts}
    assert set(offered) == concerned
    assert all(evaluation.cabinet.by_id[key].label == words for key, words in offered.items())
    pick(room, "part", "Lip block")
    assert room.findings.shown()
    assert all("lip-block-1" in f.parts for f in room.findings.shown())


def test_what_is_chosen_stays_on_offer_when_its_findings_go(room: Workroom) -> None:
    pick(room, "status", "In conflict")
    pick(room, "family", "Joints")
    assert room.findings.shown()
    room.document.type_in("joint.dowel_fit", "0.1")
    assert room.findings.filter.boxes["family"].currentText() == "Joints"
    assert all(f.family == "Joints" and f.status == "conflict" for f in room.findings.shown())
    assert room.findings.filter.told.text().startswith(f"{len(room.findings.shown())} of ")


def test_a_finding_chosen_by_its_flag_is_said_to_be_astray_when_it_is_sifted_out(room: Workroom) -> None:
    pick(room, "family", "Joints")
    other = next(f for f in room.document.findings if f.status == "conflict" and f.family != "Joints")
    room.document.choose(other.key)
    assert "not among them" in room.findings.filter.told.text()
    assert room.card.title.text() == other.title
    room.document.choose(room.findings.shown()[0].key)
    assert "not among them" not in room.findings.filter.told.text()


def test_the_next_finding_is_one_of_those_shown(room: Workroom) -> None:
    pick(room, "family", "Cutting")
    seen = set()
    for _ in range(4):
        room.actions_by_id["next_finding"].trigger()
        finding = room.document.finding_of(room.document.finding)
        assert finding is not None
        seen.add((finding.family, finding.status != "clear"))
    assert seen == {("Cutting", True)}


def test_the_search_is_reached_and_left_by_keys(room: Workroom, qtbot: QtBot) -> None:
    room.front.activateWindow()
    room.actions_by_id["find_finding"].trigger()
    search = room.findings.filter.search
    assert room.front.focusWidget() is search
    qtbot.keyClicks(search, "zzz")
    assert titles(room) == []
    qtbot.keyClick(search, Qt.Key.Key_Escape)
    assert search.text() == ""
    assert len(room.findings.shown()) == len(room.document.findings)
    qtbot.keyClick(search, Qt.Key.Key_Down)
    assert room.front.focusWidget() is room.findings.list


def test_everything_has_a_name_for_a_screen_reader(room: Workroom) -> None:
    asked = room.findings.filter
    named = (asked.search, asked.switch, asked.clear_button, *asked.boxes.values())
    assert all(widget.accessibleName() for widget in named)
    assert all(widget.focusPolicy() & Qt.FocusPolicy.TabFocus for widget in named)


def test_sifting_goes_on_through_a_change_of_the_design(room: Workroom) -> None:
    pick(room, "status", "In conflict")
    before = len(room.findings.shown())
    room.document.type_in("board.gap", "22")
    assert 0 < len(room.findings.shown()) < before
    assert {f.status for f in room.findings.shown()} == {"conflict"}
    headings = [room.findings.model.index(k).data(RowRole) for k in range(room.findings.model.rowCount())]
    first = headings[0]
    assert first.aside == f"{len(room.findings.shown())} of {len(room.findings.shown())}"


def test_a_cleared_search_takes_its_own_clear_button_away(room: Workroom, qtbot: QtBot) -> None:
    asked = room.findings.filter
    button = asked.search.findChild(QToolButton)
    assert button is not None
    qtbot.keyClicks(asked.search, "bit")
    qtbot.waitUntil(button.isVisible)
    asked.clear()
    assert asked.search.text() == ""
    qtbot.waitUntil(lambda: not button.isVisible())
    assert len(room.findings.shown()) == len(room.document.findings)

"""Muting in the real window: with a reason, undoable, listed apart, drawn faint; but never the small-ball caution."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.model import Design
from desk.design.starting import starting_design
from desk.ui.findings_model import RowRole
from desk.ui.mute import ALWAYS, State
from desk.ui.outward import complete, evaluate
from desk.ui.workroom import Workroom
from desk.views.drawing import Marker

REASON = "the rod is sanded to fit"


def loose() -> Design:
    return edit.put(starting_design(), "joint.dowel_fit", -0.2)


@pytest.fixture
def room(qapp: QApplication, make_window: Callable[..., Workroom]) -> Workroom:
    window = make_window(evaluate, loose(), complete)
    window.front.activateWindow()
    finding = next(f for f in window.document.findings if f.check == "dowel-play" and f.status == "conflict")
    window.document.choose(finding.key)
    return window


def conflicts(room: Workroom) -> int:
    return room.strip.counts["conflict"].number


def groups(room: Workroom) -> dict[str, str]:
    model = room.findings.model
    rows = [model.index(k).data(RowRole) for k in range(model.rowCount())]
    return {row.group: row.aside for row in rows if row.heading and "/" not in row.group}


def mute(room: Workroom, qtbot: QtBot, reason: str = REASON) -> None:
    """By mouse, then keys."""
    qtbot.mouseClick(room.card.mute.button, Qt.MouseButton.LeftButton)
    assert room.front.focusWidget() is room.card.mute.line
    qtbot.keyClicks(room.card.mute.line, reason)
    qtbot.keyClick(room.card.mute.line, Qt.Key.Key_Return)


def test_muting_takes_a_finding_out_of_the_counts_and_tells_why(room: Workroom, qtbot: QtBot) -> None:
    key, before = room.document.finding, conflicts(room)
    mute(room, qtbot)
    assert room.document.mute_of(key) == REASON
    assert conflicts(room) == before - 1
    card = room.card
    assert card.status.text().startswith("Muted conflict")
    assert card.mute.said.text() == f"Muted: {REASON}"
    assert card.badge.muted
    assert groups(room)["muted"] == "1"
    room.findings._fold("muted", False)
    model = room.findings.model
    rows = [model.index(k).data(RowRole) for k in range(model.rowCount())]
    assert [(r.target, r.reason) for r in rows if r.reason] == [(key, REASON)]


def test_its_flags_are_marked_as_muted_in_every_view(room: Workroom, qtbot: QtBot) -> None:
    key = room.document.finding
    mute(room, qtbot)
    evaluation = room.document.evaluation
    assert evaluation is not None
    flags = [i for d in evaluation.drawings.values() for i in d.items if isinstance(i, Marker)]
    assert any(flag.finding == key for flag in flags)
    assert all(flag.muted == (flag.finding == key) for flag in flags)


def test_it_is_one_step_of_the_history(room: Workroom, qtbot: QtBot) -> None:
    before, key = room.document.design, room.document.finding
    mute(room, qtbot)
    assert room.document.session.undo_label.startswith("Mute ")
    room.document.undo()
    assert room.document.design == before
    assert "muted" not in groups(room)
    assert room.card.mute.state is State.OFFER
    room.document.redo()
    assert room.document.mute_of(key) == REASON


def test_what_has_grown_since_it_was_muted_counts_and_can_be_muted_anew(room: Workroom, qtbot: QtBot) -> None:
    document, key, before = room.document, room.document.finding, conflicts(room)
    found = document.finding_of(key)
    assert found is not None
    document.change("Mute", lambda d: edit.mute(d, key, "an earlier one", "conflict", len(found.places) - 1))
    assert conflicts(room) == before
    part = room.card.mute
    assert part.state is State.GROWN
    assert part.said.text().startswith("It has grown since it was muted")
    mute(room, qtbot)
    assert part.state is State.MUTED
    assert document.mute_of(key) == REASON
    assert conflicts(room) == before - 1


def test_it_can_be_made_to_count_again(room: Workroom, qtbot: QtBot) -> None:
    before = conflicts(room)
    mute(room, qtbot)
    qtbot.mouseClick(room.card.mute.back, Qt.MouseButton.LeftButton)
    assert room.document.design.mutes == ()
    assert conflicts(room) == before
    assert room.card.mute.state is State.OFFER
    assert room.front.focusWidget() is room.card.mute.button


def test_a_reason_is_asked_for(room: Workroom, qtbot: QtBot) -> None:
    box = room.card.mute
    mute(room, qtbot, "   ")
    assert "reason" in box.fault.text()
    assert box.line.isVisible()
    assert room.document.design.mutes == ()
    qtbot.keyClicks(box.line, "so")
    assert not box.fault.isVisible()


def test_escape_gives_it_up_and_leaves_the_design_alone(room: Workroom, qtbot: QtBot) -> None:
    box, before = room.card.mute, room.document.design
    qtbot.mouseClick(box.button, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(box.line, REASON)
    qtbot.keyClick(box.line, Qt.Key.Key_Escape)
    assert not box.line.isVisible()
    assert room.document.design == before
    assert room.front.focusWidget() is box.button
    qtbot.mouseClick(box.button, Qt.MouseButton.LeftButton)
    assert box.line.text() == ""


def test_turning_to_another_finding_closes_the_line(room: Workroom, qtbot: QtBot) -> None:
    qtbot.mouseClick(room.card.mute.button, Qt.MouseButton.LeftButton)
    other = next(
        f for f in room.document.findings if f.status == "conflict" and f.key != room.document.finding
    )
    room.document.choose(other.key)
    assert not room.card.mute.line.isVisible()


def test_a_drag_of_something_else_does_not_close_the_line(room: Workroom, qtbot: QtBot) -> None:
    qtbot.mouseClick(room.card.mute.button, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(room.card.mute.line, "half")
    room.document.pull({"lane.length": 281.0}, 7)
    room.document.settle()
    assert room.card.mute.line.isVisible()
    assert room.card.mute.line.text() == "half"


def test_the_caution_about_small_balls_cannot_be_muted_and_says_why(room: Workroom, qtbot: QtBot) -> None:
    caution = next(f for f in room.document.findings if f.check == "small-ball")
    assert caution.status != "clear"
    room.document.choose(caution.key)
    box = room.card.mute
    assert box.state is State.NEVER
    assert box.button.isVisible()
    assert not box.button.isEnabled()
    assert box.hint.text() == ALWAYS
    assert box.hint.isVisible()
    qtbot.mouseClick(box.button, Qt.MouseButton.LeftButton)
    assert not box.line.isVisible()


def test_what_is_clear_has_nothing_to_mute(room: Workroom) -> None:
    clear = next(f for f in room.document.findings if f.status == "clear")
    room.document.choose(clear.key)
    assert room.card.mute.state is State.NOTHING
    assert not room.card.mute.isVisible()
    assert not room.card.mute.button.isVisible()


def test_a_mute_of_what_is_gone_is_told_and_can_be_taken_out(room: Workroom, qtbot: QtBot) -> None:
    key = room.document.finding
    mute(room, qtbot)
    room.document.type_in("joint.dowel_fit", "0.1")
    assert not any(f.muted for f in room.document.findings)
    assert groups(room)["muted"] == "1"
    room.findings._fold("muted", False)
    room.document.choose(key)
    box = room.card.mute
    assert box.state is State.IDLE
    assert REASON in box.said.text()
    qtbot.mouseClick(box.back, Qt.MouseButton.LeftButton)
    assert room.document.design.mutes == ()
    assert "muted" not in groups(room)


def test_a_muted_finding_is_passed_over_by_the_next(room: Workroom, qtbot: QtBot) -> None:
    key = room.document.finding
    mute(room, qtbot)
    room.document.choose("")
    seen = set()
    for _ in range(conflicts(room) + 3):
        room.go_to_next("", 1)
        seen.add(room.document.finding)
    assert key not in seen

"""The keyboard stays where hands were when a pressed button hides or greys out; it never ends in the design's name."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.design.starting import starting_design
from desk.ui.outward import complete, evaluate
from desk.ui.workroom import Workroom

KEYS = Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier


def press(qtbot: QtBot, button: QAbstractButton) -> QWidget:
    """Press a button as the keyboard does; where the focus is afterwards."""
    button.setFocus(Qt.FocusReason.TabFocusReason)
    QApplication.processEvents()
    assert QApplication.focusWidget() is button
    qtbot.keyClick(button, KEYS.Key_Space)
    QApplication.processEvents()
    now = QApplication.focusWidget()
    assert isinstance(now, QWidget)
    return now


@pytest.fixture
def bad(window: Workroom) -> Workroom:
    """The gap is too narrow, and the card explains it."""
    window.front.activateWindow()
    window.document.type_in("board.gap", "10")
    window.document.choose("check-1")
    QApplication.processEvents()
    return window


@pytest.fixture
def real(make_window: Callable[..., Workroom]) -> Workroom:
    """The same over the real checks, whose remedies go once they are taken."""
    room = make_window(evaluate, edit.put(starting_design(), "joint.dowel_fit", -0.2), complete)
    room.front.activateWindow()
    room.document.choose(next(f.key for f in room.document.findings if f.check == "dowel-play"))
    QApplication.processEvents()
    return room


def _apply(room: Workroom) -> QAbstractButton:
    return next(row.button for row in room.card.rows if row.button.isVisible() and row.button.isEnabled())


@pytest.mark.parametrize("by_mouse", [False, True])
def test_after_apply_the_focus_stays_on_the_card_and_undo_works(
    real: Workroom, qtbot: QtBot, by_mouse: bool
) -> None:
    before, button = real.document.design, _apply(real)
    if by_mouse:
        button.setFocus(Qt.FocusReason.MouseFocusReason)
        qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
        QApplication.processEvents()
    else:
        press(qtbot, button)
    at = QApplication.focusWidget()
    assert real.document.design != before
    assert isinstance(at, QWidget)
    assert real.card.isAncestorOf(at)
    for key in (KEYS.Key_R, KEYS.Key_Return):
        qtbot.keyClick(at, key)
    assert real.document.design.name == before.name
    qtbot.keyClick(at, KEYS.Key_Z, CTRL)
    assert real.document.design == before


def test_undo_at_its_end_gives_the_focus_to_a_view(bad: Workroom, qtbot: QtBot) -> None:
    button = bad.strip.buttons["undo"]
    assert press(qtbot, button) is bad.sheet.section
    assert not button.isEnabled()


def _mute(room: Workroom, qtbot: QtBot) -> QWidget:
    line = press(qtbot, room.card.mute.button)
    qtbot.keyClicks(line, "cut by hand")
    return press(qtbot, room.card.mute.confirm)


def _give_up(room: Workroom, qtbot: QtBot) -> QWidget:
    press(qtbot, room.card.mute.button)
    return press(qtbot, room.card.mute.cancel)


def _unmute(room: Workroom, qtbot: QtBot) -> QWidget:
    _mute(room, qtbot)
    return press(qtbot, room.card.mute.back)


@pytest.mark.parametrize("act", [_mute, _give_up, _unmute])
def test_muting_and_what_follows_keeps_the_focus_on_the_card(
    bad: Workroom, qtbot: QtBot, act: Callable[[Workroom, QtBot], QWidget]
) -> None:
    assert bad.card.isAncestorOf(act(bad, qtbot))


def test_a_removed_list_item_leaves_the_focus_in_the_list(bad: Workroom, qtbot: QtBot) -> None:
    bad.document.point_at("targets.1.hole")
    button = bad.dimensions.remove
    assert button.isVisible()
    at = press(qtbot, button)
    assert len(bad.document.design.targets) == 2
    assert at is not bad.strip.name


def test_a_handle_is_let_go_when_all_is_undone_or_something_else_is(bad: Workroom, qtbot: QtBot) -> None:
    face = bad.sheet.canvases["face"]
    undo = bad.actions_by_id["undo"]
    bad.document.type_in("targets.3.up", "30")
    bad.document.type_in("targets.3.up", "32")
    bad.document.point_at("targets.3.up")
    undo.trigger()
    assert face.easel.focus == "targets.3"
    bad.document.type_in("lane.length", "290")
    undo.trigger()
    assert (face.easel.focus, bad.document.address) == ("", "")
    bad.document.point_at("targets.3.up")
    for _ in range(9):
        undo.trigger()
    assert (face.easel.focus, bad.document.address) == ("", "")


def test_a_throw_and_another_finding_let_go_of_a_handle(real: Workroom) -> None:
    face = real.sheet.canvases["face"]
    other = next(f.key for f in real.document.findings if f.check == "small-ball")
    for turn in (real.actions_by_id["throw"].trigger, lambda: real.document.choose(other)):
        real.document.point_at("targets.1.across")
        assert face.easel.focus == "targets.1.up"
        turn()
        assert face.easel.focus == ""

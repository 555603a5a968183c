"""A view in the real window: dragging, typing, panning, keys, repainting."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QLocale, QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QHelpEvent, QImage, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QToolTip
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.ui.canvas import Canvas
from desk.ui.canvas_view import MANY, clusters
from desk.ui.value_edit import ValueEdit
from desk.ui.workroom import Workroom
from desk.views.viewport import Box

from .hands import MIDDLE, NONE, drag, grip, move, pixels, press, release


@pytest.fixture
def section(window: Workroom) -> Canvas:
    window.sheet.section.setFocus()
    return window.sheet.section


def entry(canvas: Canvas) -> ValueEdit:
    line = canvas.findChild(QLineEdit)
    assert isinstance(line, ValueEdit)
    return line


def on_screen(canvas: Canvas) -> QImage:
    """What has been painted, without painting anything again."""
    window = canvas.window()
    place = canvas.mapTo(window, QPoint(0, 0))
    whole = window.screen().grabWindow(window.winId()).toImage()
    return whole.copy(QRect(place, canvas.size()))


def test_a_drag_changes_the_design_the_findings_and_the_pixels_at_the_place(
    window: Workroom, section: Canvas
) -> None:
    at = section.view.to_px((68.0 + 280.0 + 11.0, 86.0))
    before = pixels(section, at)
    assert window.strip.counts["conflict"].number == 0
    scale = section.view.scale
    drag(section, "board.gap", (-12 * scale, 0.0))
    assert window.document.value("board.gap") == pytest.approx(10.0, abs=0.26)
    assert window.strip.counts["conflict"].number == 1
    assert window.document.findings[0].status == "conflict"
    after = pixels(section, at)
    assert after != before
    vermillion = sum(
        after.pixelColor(x, y).name() == "#d55e00"
        for x in range(after.width())
        for y in range(after.height())
    )
    assert vermillion > 20
    window.document.undo()
    assert window.document.value("board.gap") == 22.0
    assert pixels(section, at) == before


def test_the_live_note_names_value_and_margin_and_goes_away(window: Workroom, section: Canvas) -> None:
    x, y = grip(section, "board.gap")
    press(section, (x, y))
    move(section, (x - 12 * section.view.scale, y))
    note = section.easel.plots[-1].item
    lines = [text for text, _ in note.lines]  # type: ignore[union-attr]
    assert lines[0].startswith("Gutter gap")
    assert lines[0].endswith("10 mm")
    assert "−6 mm" in lines[1]
    release(section, (x - 12 * section.view.scale, y))
    assert not hasattr(section.easel.plots[-1].item, "lines")


def test_a_handle_pulled_two_ways_names_both_numbers(window: Workroom) -> None:
    face = window.sheet.face
    window.document.point_at("targets.2.up")
    (named,) = [p.text for p in face.easel.plots if p.mood == "focus"]
    assert named == "Target 2: 0 across, 88 up"


def test_escape_during_a_drag_restores_everything(window: Workroom, section: Canvas, qtbot: QtBot) -> None:
    before = window.document.design
    x, y = grip(section, "board.gap")
    press(section, (x, y))
    move(section, (x - 30, y))
    assert window.document.design != before
    qtbot.keyClick(section, Qt.Key.Key_Escape)
    release(section, (x - 30, y))
    assert window.document.design == before
    assert not window.front.isWindowModified()
    assert not window.document.session.can_undo


@pytest.mark.parametrize("locale", ["de_DE", "en_US"])
@pytest.mark.parametrize("text", ["18.5", "18,5"])
def test_typed_point_and_comma_are_the_same(
    window: Workroom, section: Canvas, qtbot: QtBot, locale: str, text: str
) -> None:
    before = QLocale()
    QLocale.setDefault(QLocale(locale))
    try:
        window.document.point_at("board.gap")
        qtbot.keyClick(section, Qt.Key.Key_Return)
        assert entry(section).isVisible()
        qtbot.keyClicks(entry(section), text)
        qtbot.keyClick(entry(section), Qt.Key.Key_Return)
    finally:
        QLocale.setDefault(before)
    assert window.document.value("board.gap") == 18.5
    assert not entry(section).isVisible()


def test_a_digit_begins_typing(window: Workroom, section: Canvas, qtbot: QtBot) -> None:
    window.document.point_at("board.gap")
    qtbot.keyClick(section, Qt.Key.Key_3)
    qtbot.keyClick(entry(section), Qt.Key.Key_1)
    qtbot.keyClick(entry(section), Qt.Key.Key_Return)
    assert window.document.value("board.gap") == 31.0


def test_a_wrong_text_stays_open_and_says_why(window: Workroom, section: Canvas, qtbot: QtBot) -> None:
    window.document.point_at("board.gap")
    qtbot.keyClick(section, Qt.Key.Key_Return)
    qtbot.keyClicks(entry(section), "900")
    qtbot.keyClick(entry(section), Qt.Key.Key_Return)
    assert entry(section).isVisible()
    assert "200 mm" in entry(section).toolTip()
    qtbot.keyClick(entry(section), Qt.Key.Key_Escape)
    assert not entry(section).isVisible()
    assert window.document.value("board.gap") == 22.0
    assert section.easel.state == "idle"


def test_the_entry_stays_inside_the_canvas_and_follows_the_handle(
    window: Workroom, section: Canvas, qtbot: QtBot
) -> None:
    window.document.point_at("board.gap")
    section.set_view(section.view.panned(section.width() - grip(section, "board.gap")[0] - 5, 0.0))
    qtbot.keyClick(section, Qt.Key.Key_Return)
    assert section.rect().contains(entry(section).geometry())


def test_a_press_beside_the_entry_drops_it(window: Workroom, section: Canvas, qtbot: QtBot) -> None:
    window.document.point_at("board.gap")
    qtbot.keyClick(section, Qt.Key.Key_Return)
    press(section, (8.0, 8.0))
    release(section, (8.0, 8.0))
    assert not entry(section).isVisible()
    assert section.easel.state == "idle"


def test_arrow_keys_nudge(window: Workroom, section: Canvas, qtbot: QtBot) -> None:
    window.document.point_at("board.gap")
    qtbot.keyClick(section, Qt.Key.Key_Right)
    qtbot.keyClick(section, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(section, Qt.Key.Key_Left, Qt.KeyboardModifier.ControlModifier)
    assert window.document.value("board.gap") == pytest.approx(24.725)
    assert len(window.document.session.labels) == 3


def test_tab_goes_through_the_handles_and_out(window: Workroom, section: Canvas, qtbot: QtBot) -> None:
    keys = [d.id for d in section.easel.dimensions()]
    for key in keys:
        qtbot.keyClick(section, Qt.Key.Key_Tab)
        assert section.easel.focus == key
        assert section.hasFocus()
    qtbot.keyClick(section, Qt.Key.Key_Tab)
    assert not section.hasFocus()


def test_the_middle_button_pans_and_the_plan_follows_in_x(window: Workroom, section: Canvas) -> None:
    plan = window.sheet.plan
    y0 = plan.view.y0
    press(section, (50.0, 50.0), MIDDLE)
    move(section, (80.0, 90.0), MIDDLE)
    release(section, (80.0, 90.0), MIDDLE)
    assert plan.view.x0 == pytest.approx(section.view.x0)
    assert plan.view.y0 == pytest.approx(y0)
    assert not section.fitted


def test_the_wheel_zooms_about_the_pointer(window: Workroom, section: Canvas) -> None:
    at = QPointF(200.0, 120.0)
    held = section.view.to_mm((200.0, 120.0))
    turn = QWheelEvent(
        at, section.mapToGlobal(at), QPoint(), QPoint(0, 120), NONE, Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    scale = section.view.scale
    QApplication.sendEvent(section, turn)
    assert section.view.scale > scale
    assert section.view.to_px(held) == pytest.approx((200.0, 120.0), abs=1e-6)
    assert window.sheet.plan.view.scale == section.view.scale


def test_space_and_drag_pans(window: Workroom, section: Canvas) -> None:
    x0 = section.view.x0
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        QApplication.sendEvent(
            section, QKeyEvent(kind, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ")
        )
        if kind == QEvent.Type.KeyPress:
            drag(section, "board.gap", (40.0, 0.0))
    assert section.view.x0 == pytest.approx(x0 + 40.0)
    assert window.document.value("board.gap") == 22.0


def test_a_double_click_types(window: Workroom, section: Canvas, qtbot: QtBot) -> None:
    x, y = grip(section, "lane.length")
    qtbot.mouseDClick(section, Qt.MouseButton.LeftButton, pos=QPoint(round(x), round(y)))
    assert entry(section).isVisible()
    assert entry(section).text() == "280 mm"


def test_only_the_damage_is_painted(window: Workroom, section: Canvas, qapp: QApplication) -> None:
    section.repaint()
    whole = section.painted
    section.choose("check-1")
    qapp.processEvents()
    assert 0 < section.painted < whole


def test_partial_painting_gives_the_same_picture_as_painting_all(
    window: Workroom, section: Canvas, qapp: QApplication
) -> None:
    for address, value in (("board.gap", 14.0), ("lane.front", 90.0), ("lane.deck_height", 70.0)):
        window.document.change("x", lambda d, a=address, v=value: edit.put(d, a, v))  # type: ignore[misc]
        qapp.processEvents()
        part = on_screen(section)
        section.update()
        qapp.processEvents()
        assert on_screen(section) == part


def test_a_flag_tells_what_it_stands_for(
    window: Workroom, section: Canvas, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(QToolTip, "showText", lambda _at, text, _widget: told.append(text))
    plot = next(p for p in section.easel.plots if getattr(p.item, "finding", "") == "check-1" and p.ends)
    place = QPoint(round(plot.ends[0][0]), round(plot.ends[0][1]))
    QApplication.sendEvent(section, QHelpEvent(QEvent.Type.ToolTip, place, section.mapToGlobal(place)))
    assert told == ["Gutter gap passes the ball\nmargin +6 mm"]


def test_a_canvas_has_a_name_for_screen_readers(section: Canvas) -> None:
    assert section.accessibleName() == "Through the lane"


def test_true_size_follows_the_screen(window: Workroom, section: Canvas) -> None:
    window.sheet.true_size()
    # a screen tells its fineness in dots per inch; an inch is 25.4 mm
    assert section.view.scale == pytest.approx(section.logicalDpiX() / 25.4)


def test_damage_near_each_other_is_painted_as_one_and_damage_far_apart_is_not() -> None:
    near: list[Box] = [(0.0, 0.0, 10.0, 10.0), (20.0, 0.0, 30.0, 10.0)]
    far: Box = (500.0, 400.0, 510.0, 410.0)
    assert sorted(clusters([*near, far])) == [(0.0, 0.0, 30.0, 10.0), far]
    assert clusters([]) == []
    many: list[Box] = [(200.0 * k, 0.0, 200.0 * k + 5.0, 5.0) for k in range(MANY + 1)]
    assert clusters(many) == [(0.0, 0.0, 200.0 * MANY + 5.0, 5.0)]


def test_every_damaged_box_lies_in_one_that_is_painted() -> None:
    boxes: list[Box] = [
        (37.0 * k % 400, 53.0 * k % 300, 37.0 * k % 400 + 30, 53.0 * k % 300 + 9) for k in range(25)
    ]
    found = clusters(boxes)
    for x0, y0, x1, y1 in boxes:
        assert any(a <= x0 and b <= y0 and x1 <= c and y1 <= d for a, b, c, d in found)

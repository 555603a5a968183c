"""The card of a finding over the real cabinet: its small drawing, its parts, what governs it, where it is from."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path as File

import msgspec
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.checks.finding import Remedy
from desk.design import edit
from desk.design.model import Design
from desk.design.starting import starting_design
from desk.shop.sourced import Flag
from desk.ui.detail_view import FOOT, DetailView
from desk.ui.lookup import ranged, stock_rows
from desk.ui.note_card import FLAG_WORDS
from desk.ui.outward import complete, evaluate
from desk.ui.setting_row import others_words
from desk.ui.workroom import Workroom
from desk.views.bars import SHAPE
from desk.views.theme import theme
from desk.views.wording import BEING_CHECKED, value_words

from .fakes import FakeEvaluation
from .fakes import evaluate as fake

FEW_MS = 0.5
"""What the small drawing may take of a drag step, ms."""


@pytest.fixture
def room(qapp: QApplication, make_window: Callable[..., Workroom]) -> Workroom:
    design = edit.put(starting_design(), "joint.dowel_fit", -0.2)
    return make_window(evaluate, edit.put(design, "board.gap", 12.0), complete)


def choose(room: Workroom, check: str) -> None:
    room.document.choose(next(f.key for f in room.document.findings if f.check == check and f.places))
    QApplication.processEvents()


def pixels_of(view: DetailView, colour: str) -> int:
    """How many pixels of the drawing, without its foot, have a colour of the light theme."""
    image = view.grab().toImage()
    wanted = QColor(theme("light").colour(colour)).rgb()
    high = round((view.height() - FOOT) * image.devicePixelRatio())
    return sum(image.pixel(x, y) == wanted for x in range(image.width()) for y in range(high))


@pytest.mark.parametrize(
    "check", ["gutter-gap", "dowel-play", "hole-edge", "screw-point", "channel-width", "web"]
)
def test_the_place_is_drawn_in_the_style_of_its_status(room: Workroom, check: str) -> None:
    choose(room, check)
    view = room.card.detail
    finding = room.document.finding_of(room.document.finding)
    assert finding is not None
    assert view.isVisible()
    assert view.drawing is not None
    assert view.drawing.id == f"detail {finding.key}"
    assert pixels_of(view, finding.status) > 10
    assert view.width() / (view.height() - FOOT) == pytest.approx(SHAPE, abs=0.02)
    assert "measured" in view.accessibleName()
    assert view.drawing.title in view.accessibleName()


def test_a_finding_without_a_place_has_no_drawing(room: Workroom) -> None:
    caution = next(f for f in room.document.findings if f.check == "small-ball")
    room.document.choose(caution.key)
    assert not room.card.detail.isVisible()
    assert room.card.title.text() == caution.title
    choose(room, "gutter-gap")
    assert room.card.detail.isVisible()


def test_the_drawing_takes_one_to_the_place_in_the_views(room: Workroom, qtbot: QtBot) -> None:
    choose(room, "gutter-gap")
    section = room.sheet.section
    for act in (
        lambda: qtbot.mouseClick(room.card.detail, Qt.MouseButton.LeftButton),
        lambda: qtbot.keyClick(room.card.detail, Qt.Key.Key_Return),
    ):
        section.set_view(section.view.panned(9000.0, 0.0))
        act()
        tip = next(p.ends[0] for p in section.easel.plots if p.mood == "chosen")
        assert 0 < tip[0] < section.width()


def test_parts_are_told_by_label_with_sheet_and_thickness(room: Workroom) -> None:
    choose(room, "dowel-play")
    evaluation = room.document.evaluation
    finding = room.document.finding_of(room.document.finding)
    assert evaluation is not None
    assert finding is not None
    said = ", ".join(room.card.parts.names)
    for key in finding.parts:
        assert key not in said
        part = evaluation.cabinet.by_id[key]
        assert part.label in said or part.label.rstrip("0123456789").strip() in said
    rows = stock_rows(evaluation, finding.parts)
    thick = {s.label: s.measured for s in evaluation.cabinet.shop.stocks}
    assert all(row.thickness == thick[row.label] for row in rows)
    shown = [widget.text() for _, _, widget in room.card.parts._labels[: len(rows)]]
    assert shown == [f"{row.label}, {value_words(thick[row.label], 'length', 'mm')} thick" for row in rows]


def test_labels_with_numbers_are_told_as_a_range() -> None:
    assert ranged(["Deck", "Rib 1", "Rib 2", "Rib 3", "Lip", "Rib 5", "Rib 6"]) == [
        "Deck",
        "Rib 1 to 3",
        "Lip",
        "Rib 5",
        "Rib 6",
    ]
    assert ranged(["Deck", "Deck", "Rib 9", "Rib 10", "Rib 11"]) == ["Deck", "Rib 9 to 11"]
    assert ranged([]) == []


def test_each_setting_tells_its_value_now_and_leads_to_its_handle(room: Workroom, qtbot: QtBot) -> None:
    choose(room, "gutter-gap")
    rows = {row.link.text(): row for row in room.card.rows if row.isVisible()}
    gap = rows["Gutter gap, kicker to board foot"]
    assert gap.value.text() == "12 mm"
    gap.link.setFocus()
    qtbot.keyClick(gap.link, Qt.Key.Key_Return)
    assert room.document.address == "board.gap"
    assert room.sheet.section.easel.focus == "board.gap"
    assert "12 mm" in gap.link.accessibleName()
    room.document.change("Inches", lambda d: edit.set_unit(d, "in"))
    assert gap.value.text().endswith("in")


def test_a_choice_that_governs_is_told_by_its_option(room: Workroom) -> None:
    key = next(iter(room.document.design.choices))
    told = room.document.present(key)
    assert told == room.document.design.option_label(key, room.document.design.choice(key))
    assert room.document.present("no.such") == ""


def test_every_flag_of_a_source_has_words_and_ones_own_value_is_told_as_such(room: Workroom) -> None:
    flags: tuple[Flag, ...] = ("published", "practice", "memory", "derived", "choice", "own")
    assert set(FLAG_WORDS) == set(flags)
    room.document.change("Own limit", lambda d: edit.put_own_value(d, "needs", "passage", "value", 5.0))
    choose(room, "gutter-gap")
    assert room.card.flag.text() == "your own value"
    room.document.undo()
    assert room.card.flag.text() != "your own value"


class Slow:
    """Pulls one number step by step and keeps the small drawing from following at once."""

    def __init__(self, room: Workroom) -> None:
        self.room = room
        room.pace.instant = False

    def step(self, value: float) -> None:
        self.room.document.pull({"board.gap": value}, 3)
        self.room.pace.flush("evaluate")

    def end(self) -> None:
        self.room.document.settle()
        self.room.pace.flush("detail")
        self.room.pace.instant = True


def test_while_a_hand_pulls_the_drawing_is_faint_and_tells_nothing(room: Workroom) -> None:
    choose(room, "gutter-gap")
    view, hand = room.card.detail, Slow(room)
    before, known = view.drawing, pixels_of(view, "conflict")
    assert known > 10
    hand.step(14.0)
    assert view.stale
    assert pixels_of(view, "conflict") == 0
    assert BEING_CHECKED in view.accessibleName()
    hand.step(30.0)
    assert view.drawing is before
    assert room.card.status.text().startswith("Clear")
    room.pace.flush("detail")
    assert not view.stale
    assert view.drawing is not before
    assert pixels_of(view, "conflict") == 0
    assert pixels_of(view, "clear") > 10
    hand.end()
    assert not view.stale


def test_a_finding_that_waits_shows_no_verdict_of_an_earlier_design(room: Workroom) -> None:
    """The check runs behind: till it has run the drawing is faint, also when it is only then turned to."""
    hand = Slow(room)
    hand.step(14.0)
    late = next(
        f
        for f in room.document.findings
        if room.document.waits(f) and f.places and f.status == "conflict" and f.family == "Joints"
    )
    room.document.choose(late.key)
    view = room.card.detail
    assert view.stale
    assert pixels_of(view, "conflict") == 0
    while room.pace.waiting("complete"):
        room.pace.flush("complete")
    room.pace.flush("detail")
    assert not view.stale
    assert pixels_of(view, "conflict") > 0
    hand.end()


def test_within_a_drag_step_the_drawing_costs_next_to_nothing(
    room: Workroom, monkeypatch: pytest.MonkeyPatch
) -> None:
    choose(room, "gutter-gap")
    hand, spent = Slow(room), []
    follow = room.card._fill_place

    def timed(finding: object) -> None:
        start = time.perf_counter()
        follow(finding)  # type: ignore[arg-type]
        spent.append(1000 * (time.perf_counter() - start))

    monkeypatch.setattr(room.card, "_fill_place", timed)
    for k in range(20):
        hand.step(14.0 + 0.5 * k)
    assert len(spent) >= 20
    assert sorted(spent)[len(spent) // 2] < FEW_MS
    monkeypatch.undo()
    hand.end()


def test_another_finding_chosen_starts_at_the_top_of_the_card(room: Workroom) -> None:
    choose(room, "gutter-gap")
    bar = room.card.area.verticalScrollBar()
    bar.setValue(bar.maximum())
    assert bar.value() > 0
    choose(room, "dowel-play")
    assert bar.value() == 0


def test_both_looks_paint_it(room: Workroom) -> None:
    choose(room, "gutter-gap")
    view = room.card.detail
    light = view.grab().toImage()
    room.set_look("dark")
    QApplication.processEvents()
    dark = view.grab().toImage()
    assert light.pixelColor(3, 3).lightness() > 200
    assert dark.pixelColor(3, 3).lightness() < 80
    room.set_look("light")


def test_the_examples_open_every_finding(make_window: Callable[..., Workroom], qapp: QApplication) -> None:
    """Turned to in turn, each has its title and formula, and a drawing where it has a place."""
    window = make_window(evaluate, starting_design(), complete)
    broken = File(__file__).resolve().parents[2] / "examples" / "broken.lane"
    assert window.files.read(broken)
    for finding in window.document.findings:
        window.document.choose(finding.key)
        assert window.card.title.text() == finding.title
        assert (window.card.detail.drawing is not None) == bool(finding.places)
        assert window.card.formula.text() == finding.because
        assert not window.card.detail.stale


def test_a_setting_names_the_other_findings_that_it_governs(make_window: Callable[..., Workroom]) -> None:
    def shared(design: Design, last: object = None) -> FakeEvaluation:
        """Every finding but the clear one is governed by the gap; the gap is too narrow."""
        made = fake(design, last)
        first, second, clear = made.findings
        gap = Remedy("board.gap", None, "Widen the gap")
        more = [
            msgspec.structs.replace(
                second, key=f"check-{k}", number=k, remedies=(gap,), muted="so" if k == 14 else ""
            )
            for k in range(10, 15)
        ]
        return replace(made, findings=(first, msgspec.structs.replace(second, remedies=(gap,)), *more, clear))

    window = make_window(shared)
    window.document.change("Narrow", lambda d: edit.put(d, "board.gap", 10.0))
    window.document.choose("check-1")
    assert window.card.rows[0].text.text() == "Widen the gap. Also governs findings 2, 3, 4, 5 and 1 more"
    assert others_words("lane.length", window.document) == ""

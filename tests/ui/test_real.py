"""The window over the real cabinet: break it by hand, see it at the place, mend it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import shapely
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from desk.design import edit
from desk.design.starting import starting_design
from desk.design.table import LISTS
from desk.ui.canvas import Canvas
from desk.ui.easel import Event
from desk.ui.findings_model import RowRole
from desk.ui.outward import complete, evaluate
from desk.ui.workroom import Workroom
from desk.views.drawing import Dimension
from desk.views.theme import theme

from .hands import drag, grip, move, pixels, press, release


@pytest.fixture
def room(qapp: QApplication, make_window: Callable[..., Workroom]) -> Workroom:
    window = make_window(evaluate, starting_design(), complete)
    assert [f for f in window.document.findings if f.status == "conflict"] == []
    return window


def vermillion(canvas: Canvas, at: tuple[float, float]) -> int:
    image = pixels(canvas, at, 24)
    wanted = QColor(theme("light").colour("conflict")).rgb()
    return sum(image.pixel(x, y) == wanted for x in range(image.width()) for y in range(image.height()))


PASSAGES = [
    ("lane", "board.gap", (-10.0, 0.0), "gutter-gap", "lip", "foot"),
    ("channel", "behind.inlet_width", (8.0, 0.0), "inlet", "inlet high", "channel back"),
    ("channel", "return.headroom", (0.0, -9.0), "headroom", "mouth floor", "mouth"),
]
"""Section, number, pull in mm, the check that finds it, and the landmarks of the cabinet it lies between."""
NEAR = 15.0
"""mm a flag may stand off the line between the two landmarks: less than a ball's diameter."""


@pytest.mark.parametrize(("section", "address", "mm", "check", "low", "high"), PASSAGES)
def test_breaking_a_passage_shows_the_conflict_at_its_place_and_undo_mends_it(
    room: Workroom, section: str, address: str, mm: tuple[float, float], check: str, low: str, high: str
) -> None:
    room.show_section(section)
    canvas = room.sheet.section
    before = room.document.value(address)
    drag(canvas, address, (mm[0] * canvas.view.scale, -mm[1] * canvas.view.scale))
    assert room.document.value(address) != before
    conflicts = [f for f in room.document.findings if f.status == "conflict"]
    assert room.strip.counts["conflict"].number == len(conflicts)
    room.document.choose(next(f.key for f in conflicts if f.check == check))
    evaluation, drawing = room.document.evaluation, canvas.easel.drawing
    assert evaluation is not None
    assert drawing is not None
    a, b = (drawing.frame.local(evaluation.cabinet.marks.points[name])[:2] for name in (low, high))
    tip = next(p.ends[0] for p in canvas.easel.plots if p.mood == "chosen" and p.ends)
    stands = canvas.view.to_mm(tip)
    passage = shapely.LineString([a, b])
    assert passage.distance(shapely.Point(stands)) < NEAR
    assert vermillion(canvas, tip) > 20
    room.document.undo()
    assert room.strip.counts["conflict"].number == 0


def test_applying_a_remedy_mends_the_gap(room: Workroom) -> None:
    room.document.type_in("board.gap", "12")
    finding = next(f for f in room.document.findings if f.status == "conflict")
    room.document.choose(finding.key)
    row = next(r for r in room.card.rows if r.isVisible() and r.button.isVisible())
    row.button.click()
    now = room.document.finding_of(finding.key)
    assert now is None or now.status != "conflict"


def test_the_note_shows_margins_of_what_the_number_concerns(room: Workroom) -> None:
    section = room.sheet.section
    x, y = grip(section, "board.gap")
    press(section, (x, y))
    move(section, (x - 10 * section.view.scale, y))
    note = section.easel.plots[-1].item
    lines = note.lines  # type: ignore[union-attr]
    assert any(status == "conflict" and "−" in text for text, status in lines[1:])
    release(section, (x, y))


def test_every_handle_of_every_view_moves_its_number_the_way_it_is_pulled(room: Workroom) -> None:
    """The handle follows the hand: pulled along its axis by a step or more, the value changes by the move.

    As a hand pulls it, with nothing worked out but the steps.
    """
    room.pace.instant = False
    checked = set()
    for section in ("lane", "channel", "rear"):
        room.show_section(section)
        for canvas in room.sheet.canvases.values():
            assert canvas.easel.drawing is not None
            for item in [i for i in canvas.easel.drawing.items if isinstance(i, Dimension) and i.pulls]:
                if (canvas.name, item.id) in checked:
                    continue
                checked.add((canvas.name, item.id))
                pull = item.pulls[0]
                before = room.document.value(pull.address)
                by = 3.0
                x, y = canvas.view.to_px(item.handle)
                taken = canvas.easel.dimension(item.id)
                assert taken is not None
                canvas.feed(Event("press_handle", (x, y), name=item.id))
                s = canvas.view.scale
                move(canvas, (x + by * s * pull.axis[0], y - by * s * pull.axis[1]))
                moved = room.document.value(pull.address) - before
                release(canvas, (x, y))
                room.document.undo()
                room.pace.flush("evaluate")
                assert room.document.value(pull.address) == before
                low, high = edit.table.spec(pull.address).hard
                if low < before + by * pull.gain < high:
                    step = edit.table.spec(pull.address).step
                    assert moved == pytest.approx(by * pull.gain, abs=step), item.id
    room.pace.stop()
    room.pace.instant = True
    assert len(checked) > 60


def test_switching_to_inches_changes_no_size_and_every_text(room: Workroom) -> None:
    values = dict(room.document.design.values)
    room.strip.units["in"].click()
    assert dict(room.document.design.values) == values
    texts = [p.text for p in room.sheet.section.easel.plots if isinstance(p.item, Dimension) and p.text]
    assert texts
    assert all("in" in t or "°" in t for t in texts)


def test_everything_in_the_lists_can_be_added_and_removed(room: Workroom) -> None:
    for name in LISTS:
        items = len(room.document.design.entries(name))
        node = next(n for n in room.dimensions.model.nodes() if n.key == name)
        assert room.dimensions.model.add(node)
        assert len(room.document.design.entries(name)) == items + 1
        room.document.undo()
        assert len(room.document.design.entries(name)) == items


def held(room: Workroom, canvas: Canvas, address: str, value: float) -> None:
    """Pull a number to a value in five steps and keep hold of it; what is put off stays put off."""
    room.pace.instant = False
    item = canvas.easel.by_address(address)
    assert item is not None
    pull = next(p for p in item.pulls if p.address == address)
    x, y = canvas.view.to_px(item.handle)
    by = (value - room.document.value(address)) / pull.gain * canvas.view.scale
    press(canvas, (x, y))
    for k in range(1, 6):
        move(canvas, (x + by * pull.axis[0] * k / 5, y - by * pull.axis[1] * k / 5))
        room.pace.flush("evaluate")
    assert room.document.value(address) == pytest.approx(value, abs=0.1)


def test_a_stack_that_no_longer_fits_is_told_while_the_hand_moves(
    qapp: QApplication, make_window: Callable[..., Workroom]
) -> None:
    """Eight layers of 17.85 mm are 142.8 mm: they fill 143.2 mm and leave more than 7 mm of 150 mm empty."""
    room = make_window(evaluate, edit.put(starting_design(), "lane.width", 143.2), complete)
    stack = next(f for f in room.document.findings if f.check == "stack" and "Kicker rib 8" in f.title)
    assert stack.status == "clear"
    canvas = room.sheet.plan
    held(room, canvas, "lane.width", 150.0)
    assert room.document.evaluation is not None
    assert room.document.evaluation.pending
    now = [f for f in room.document.findings if f.check == "stack" and not room.document.waits(f)]
    assert any(f.status == "conflict" for f in now)
    note = canvas.easel.plots[-1].item
    lines = note.lines[1:]  # type: ignore[union-attr]
    assert any("Stack" in text and status == "conflict" for text, status in lines)
    assert not any("Stack" in text and status == "clear" for text, status in lines)
    assert room.strip.checking.isVisible()
    release(canvas, grip(canvas, "lane.width"))
    assert not room.strip.checking.isVisible()


def test_what_is_put_off_is_shown_as_being_checked_until_it_has_been(
    qapp: QApplication, make_window: Callable[..., Workroom]
) -> None:
    """An arm of the lifter of 9 mm is weak: its flag stands. Pulling the headroom does not look at it again at once."""
    room = make_window(evaluate, edit.put(starting_design(), "lifter.arm", 9.0), complete)
    weak = next(f for f in room.document.findings if f.check == "web" and f.status != "clear")
    room.show_section("channel")
    canvas = room.sheet.section
    room.findings.model.fold("clear", False)
    flags = [
        p
        for c in room.sheet.canvases.values()
        for p in c.easel.plots
        if getattr(p.item, "finding", "") == weak.key
    ]
    assert flags
    assert not any(p.faint for p in flags)
    total = {s: room.strip.counts[s].number for s in room.strip.counts}
    held(room, canvas, "return.headroom", room.document.value("return.headroom") + 4.0)
    assert room.document.waits(weak)
    flags = [
        p
        for c in room.sheet.canvases.values()
        for p in c.easel.plots
        if getattr(p.item, "finding", "") == weak.key
    ]
    assert flags
    assert all(p.faint for p in flags)
    model = room.findings.model
    rows = [model.index(k).data(RowRole) for k in range(model.rowCount())]
    waiting = [r for r in rows if r.finding is not None and r.waits]
    assert {r.finding.check for r in waiting} == room.document.evaluation.pending & {  # type: ignore[union-attr]
        f.check for f in room.document.findings
    }
    assert {r.aside for r in waiting} == {"…"}
    assert sum(room.strip.counts[s].number for s in total) == len(room.document.findings)
    assert sum(room.strip.counts[s].waiting for s in total) == len(waiting)
    assert room.strip.counts["tight"].number >= 1, "the caution about small balls stands all along"
    assert "being checked" in room.strip.counts["clear"].accessibleName()
    release(canvas, grip(canvas, "return.headroom"))
    room.document.undo()
    assert {s: room.strip.counts[s].number for s in total} == total
    assert not any(room.strip.counts[s].waiting for s in total)
    assert not any(p.faint for c in room.sheet.canvases.values() for p in c.easel.plots)

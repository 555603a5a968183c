"""Choosing hardware on the shop page: what fits is listed, the rest with its reason; nothing stale can be taken."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QScrollArea
from pytestqt.qtbot import QtBot

from desk.choosing import ROLES, candidates, taken
from desk.design import edit
from desk.design.model import Design, DowelEntry
from desk.design.starting import starting_design
from desk.ui.document import Document
from desk.ui.outward import complete, evaluate
from desk.ui.pace import Pace
from desk.ui.shop_choose import Chooser, item_key, item_words
from desk.ui.shop_drawer import DrawerPart
from desk.ui.shop_parts import TableMenu
from desk.views.theme import theme

from .framed import framed

DOWELS = ROLES[0]


@pytest.fixture(scope="module")
def filled() -> Design:
    """The starting design with dowels of which one kind fits."""
    return msgspec.structs.replace(
        starting_design(),
        dowels=(DowelEntry("d1", "Short", 6.0, 30.0), DowelEntry("d2", "Thick", 10.0, 40.0)),
    )


class Clock:
    """A clock that is set by hand."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def part(qtbot: QtBot, filled: Design) -> Iterator[DrawerPart]:
    """The part for dowels and screws, shown, on a pace that does everything at once."""
    part, area = shown(qtbot, filled, Pace(instant=True))
    yield part
    area.close()


def shown(qtbot: QtBot, design: Design, pace: Pace) -> tuple[DrawerPart, QScrollArea]:
    document = Document(design, evaluate, pace, complete)
    document.evaluate()
    part = DrawerPart(document, theme("light"), pace)
    return part, framed(qtbot, part)


def texts(chooser: Chooser) -> list[str]:
    return [line.text for line in chooser.list.model_.lines]


def test_what_fits_is_listed_and_the_rest_stands_folded_with_its_reasons(
    part: DrawerPart, filled: Design
) -> None:
    chooser = part.chooser
    fitting, rest = candidates(filled, DOWELS)
    lines = chooser.list.model_.lines
    assert lines[0].text == f"Fits  ({len(fitting)})"
    assert lines[-1].text == f"Does not fit  ({len(rest)})"
    assert {line.key for line in lines[1:-1]} == {item_key(c.item) for c in fitting}
    assert [line.marked for line in lines[1:-1]] == [True] + [False] * (len(fitting) - 1), (
        "what is taken comes first"
    )
    assert lines[2].about.startswith("in the drawer")
    chooser.list.folded.emit("not", False)
    below = {line.key: line for line in chooser.list.model_.lines[len(fitting) + 2 :]}
    assert len(below) == len(rest)
    for found in rest:
        line = below[item_key(found.item)]
        assert line.status == "conflict"
        assert found.finding is not None
        assert line.about == found.finding.title
        assert found.finding.because in line.tip
        assert line.aside.endswith("mm")


def test_a_choice_is_one_step_for_all_its_numbers(part: DrawerPart) -> None:
    chooser, document = part.chooser, part.document
    line = next(ln for ln in chooser.list.model_.lines if ln.text == "1/4 in × 1 1/4 in")
    chooser.list.turn_to(line.key)
    chooser.list.turned.emit(line.key)
    assert chooser.button.isEnabled()
    chooser.button.click()
    assert document.value("joint.dowel") == 6.35
    assert document.value("joint.dowel_length") == 31.75
    assert document.session.labels == ("Take 1/4 in × 1 1/4 in for the return dowels",)
    assert item_words(taken(document.design, DOWELS)) == "1/4 in × 1 1/4 in"
    assert chooser.roles.model_.lines[0].aside == "1/4 in × 1 1/4 in"
    document.undo()
    assert document.value("joint.dowel") == 6.0


def test_what_does_not_fit_or_is_taken_already_cannot_be_taken(part: DrawerPart) -> None:
    chooser = part.chooser
    chooser.list.folded.emit("not", False)
    before = part.document.design
    for line in chooser.list.model_.lines:
        if line.heading or (line.status != "conflict" and not line.marked):
            continue
        chooser.list.turn_to(line.key)
        chooser.list.turned.emit(line.key)
        assert not chooser.button.isEnabled(), line.text
        chooser.list.taken.emit(line.key)
    assert part.document.design == before


def test_keys_choose_a_role_and_an_item(part: DrawerPart) -> None:
    chooser = part.chooser
    chooser.roles.setFocus()
    QTest.keyClick(chooser.roles, Qt.Key.Key_Down)
    assert chooser.role.id == "rods"
    QTest.keyClick(chooser.roles, Qt.Key.Key_Up)
    assert chooser.role.id == "dowels"
    chooser.list.setFocus()
    chooser.list.turn_to("fit")
    QTest.keyClick(chooser.list, Qt.Key.Key_Left)
    assert texts(chooser)[1].startswith("Does not fit")
    QTest.keyClick(chooser.list, Qt.Key.Key_Space)
    QTest.keyClick(chooser.list, Qt.Key.Key_Down)
    QTest.keyClick(chooser.list, Qt.Key.Key_Down)
    QTest.keyClick(chooser.list, Qt.Key.Key_Return)
    assert part.document.value("joint.dowel_length") == 30.0, "the drawer's short ones"


def test_lines_are_read_out_with_their_status_and_reason(part: DrawerPart) -> None:
    model = part.chooser.list.model_
    for k, line in enumerate(model.lines):
        spoken = model.data(model.index(k), Qt.ItemDataRole.AccessibleTextRole)
        assert line.text in spoken
        assert line.status in spoken


def test_items_are_tried_little_by_little_and_a_change_makes_them_stale(qtbot: QtBot, filled: Design) -> None:
    clock = Clock()
    pace = Pace(clock=clock)
    part, area = shown(qtbot, filled, pace)
    chooser, document = part.chooser, part.document
    assert chooser.list.model_.lines[0].text == "Fits  (0)"

    def work(seconds: float) -> None:
        clock.now += seconds
        pace.run_due()

    work(1.0)
    seen = []
    while chooser.progress.text().startswith("trying"):
        work(1.0)
        seen.append(chooser.progress.text())
        assert len(seen) < 100
    whole = [line.text for line in chooser.list.model_.lines]
    assert not any(line.faint for line in chooser.list.model_.lines)
    fit = next(line for line in chooser.list.model_.lines if line.text == "6 mm × 30 mm")
    chooser.list.turn_to(fit.key)
    chooser.list.turned.emit(fit.key)
    assert chooser.button.isEnabled()
    document.session.apply("Set", edit.put(document.design, "stocks.2.measured", 12.2))
    assert all(line.faint for line in chooser.list.model_.lines if not line.heading)
    assert not chooser.button.isEnabled(), "what was tried on another design is not offered"
    for _ in range(100):
        work(1.0)
    assert not any(line.faint for line in chooser.list.model_.lines)
    assert [line.text for line in chooser.list.model_.lines] == whole, "12.2 mm changes no verdict"
    pace.stop()
    area.close()


def test_nothing_is_tried_out_of_sight(qtbot: QtBot, filled: Design) -> None:
    clock = Clock()
    pace = Pace(clock=clock)
    part, area = shown(qtbot, filled, pace)
    part.hide()
    assert not pace.waiting("fit")
    part.show()
    part.refresh()
    assert pace.waiting("fit")
    pace.stop()
    area.close()


def test_the_drawer_says_who_takes_what_and_keeps_it(part: DrawerPart) -> None:
    document = part.document
    assert document.change("short", lambda d: edit.put(d, "joint.dowel_length", 30.0))
    row = part.dowels.rows["d1"]
    assert row.note.text() == "For return dowels"
    row.remove.click()
    assert [d.id for d in document.design.dowels] == ["d1", "d2"]
    assert row.note.text() == "In use for return dowels. Choose another there first."
    assert part.dowels.rows["d2"].note.text() == "Taken by no joint"
    part.dowels.rows["d2"].remove.click()
    assert [d.id for d in document.design.dowels] == ["d1"]


def test_what_is_sold_goes_into_the_drawer(part: DrawerPart) -> None:
    menus = part.findChildren(TableMenu)
    for menu in menus:
        menu.menu().aboutToShow.emit()
    dowels, screws = ({a.text(): a.menu() for a in m.menu().actions()} for m in menus)
    assert [a.text() for a in dowels["8 mm"].actions()] == ["30 mm", "35 mm", "40 mm", "Rod, 1000 mm"]
    dowels["8 mm"].actions()[1].trigger()
    dowels["6 mm"].actions()[-1].trigger()
    made = part.document.design.dowels[-2:]
    assert [(d.diameter, d.length) for d in made] == [(8.0, 35.0), (6.0, 1000.0)]
    assert screws["No. 6"].actions()[0].text() == "1/2 in"
    screws["No. 6"].actions()[0].trigger()
    screw = part.document.design.screws[-1]
    assert (screw.size, screw.length) == ("no6", 12.7)
    assert part.screws.rows[screw.id].cells["shank"].text() == "3.505"  # type: ignore[union-attr]


def test_a_joints_number_leads_to_its_role(part: DrawerPart) -> None:
    assert part.go_to("joint.screw_cover")
    assert part.chooser.role.id == "screws-cover"
    assert part.go_to("lifter.pin")
    assert part.chooser.role.id == "pin"
    assert not part.go_to("joint.edge")

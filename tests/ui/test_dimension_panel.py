"""The list of dimensions: search, typing, locks, choices, list items."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from desk.design import edit
from desk.ui.dimension_model import LABEL, LOCK, VALUE, NodeRole, ShownRole
from desk.ui.dimension_panel import DimensionPanel
from desk.ui.workroom import Workroom

from .hands import drag


@pytest.fixture
def panel(window: Workroom) -> DimensionPanel:
    return window.dimensions


def at(panel: DimensionPanel, key: str, column: int = VALUE) -> QModelIndex:
    return panel.proxy.mapFromSource(panel.model.index_at(key, column))


def go(panel: DimensionPanel, key: str, column: int = VALUE) -> QModelIndex:
    index = at(panel, key, column)
    panel.tree.scrollTo(index)
    panel.tree.setCurrentIndex(index)
    panel.tree.setFocus()
    return index


def editor(panel: DimensionPanel) -> QLineEdit:
    found = [w for w in panel.tree.viewport().findChildren(QLineEdit) if w.isVisible()]
    assert len(found) == 1
    return found[0]


def enter(panel: DimensionPanel, qtbot: QtBot) -> None:
    """Press Enter; Qt hands the value over with the next turn of its loop."""
    qtbot.keyClick(editor(panel), Qt.Key.Key_Return)
    QApplication.processEvents()


def click(panel: DimensionPanel, qtbot: QtBot, index: QModelIndex) -> None:
    panel.tree.scrollTo(index)
    place = panel.tree.visualRect(index).center()
    qtbot.mouseClick(panel.tree.viewport(), Qt.MouseButton.LeftButton, pos=place)


def shown_rows(panel: DimensionPanel) -> list[str]:
    return [i.data(NodeRole).key for i in panel._all_rows() if i.data(NodeRole).kind in ("number", "choice")]


def test_the_model_keeps_qts_rules(panel: DimensionPanel, qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(panel.model)
    qtmodeltester.check(panel.proxy)
    panel.search.setText("gap")


def test_searching_changes_neither_what_is_typed_nor_what_is_chosen(
    panel: DimensionPanel, window: Workroom, qtbot: QtBot
) -> None:
    """The row that is chosen is not among those found from the second letter on."""
    click(panel, qtbot, go(panel, "lane.length", LABEL))
    chosen = window.document.address
    assert chosen == "lane.length"
    qtbot.mouseClick(panel.search, Qt.MouseButton.LeftButton)
    typed = ""
    for letter in "Lip height":
        qtbot.keyClick(panel.search, letter)
        QApplication.processEvents()
        typed += letter
        assert panel.search.text() == typed
        assert window.document.address == chosen
        assert panel.search.hasFocus()
    assert shown_rows(panel) == ["return.lip_height"]
    for _ in typed:
        qtbot.keyClick(panel.search, Qt.Key.Key_Backspace)
    assert (panel.search.text(), window.document.address) == ("", chosen)
    assert panel.tree.currentIndex().data(NodeRole).key == chosen


def test_search_by_words_and_clearing_it_again(panel: DimensionPanel, qtbot: QtBot) -> None:
    everything = shown_rows(panel)
    qtbot.keyClicks(panel.search, "gutter")
    found = shown_rows(panel)
    assert "board.gap" in found
    assert "behind.gutter_slope" in found
    assert len(found) < len(everything) / 4
    assert panel.count.text() == f"{len(found)} found"
    panel.search.clear()
    assert shown_rows(panel) == everything
    assert panel.count.text() == ""
    assert not panel.tree.isExpanded(panel.proxy.index(0, LABEL))


def test_enter_in_the_search_types_into_the_first_row_found(
    window: Workroom, panel: DimensionPanel, qtbot: QtBot
) -> None:
    qtbot.keyClicks(panel.search, "gutter gap")
    qtbot.keyClick(panel.search, Qt.Key.Key_Return)
    qtbot.keyClicks(editor(panel), "25")
    enter(panel, qtbot)
    assert window.document.value("board.gap") == 25.0


@pytest.mark.parametrize("text", ["18.5", "18,5"])
def test_a_click_on_a_value_types_it(
    window: Workroom, panel: DimensionPanel, qtbot: QtBot, text: str
) -> None:
    panel.point_at("board.gap")
    click(panel, qtbot, at(panel, "board.gap"))
    line = editor(panel)
    assert line.selectedText() == "22 mm"
    qtbot.keyClicks(line, text)
    enter(panel, qtbot)
    assert window.document.value("board.gap") == 18.5
    assert at(panel, "board.gap").data() == "18.5 mm"


def test_a_wrong_value_is_not_taken_and_the_editor_stays(
    window: Workroom, panel: DimensionPanel, qtbot: QtBot
) -> None:
    panel.tree.edit(go(panel, "board.gap"))
    qtbot.keyClicks(editor(panel), "900")
    enter(panel, qtbot)
    assert editor(panel).toolTip()
    assert window.document.value("board.gap") == 22.0
    qtbot.keyClick(editor(panel), Qt.Key.Key_Escape)
    assert window.document.value("board.gap") == 22.0


def test_a_digit_on_a_row_begins_typing(window: Workroom, panel: DimensionPanel, qtbot: QtBot) -> None:
    go(panel, "board.gap")
    qtbot.keyClick(panel.tree, Qt.Key.Key_4)
    qtbot.keyClick(editor(panel), Qt.Key.Key_2)
    enter(panel, qtbot)
    assert window.document.value("board.gap") == 42.0


def test_locks_by_mouse_and_by_key(window: Workroom, panel: DimensionPanel, qtbot: QtBot) -> None:
    panel.point_at("board.gap")
    click(panel, qtbot, at(panel, "board.gap", LOCK))
    assert window.document.locked("board.gap")
    assert not at(panel, "board.gap").flags() & Qt.ItemFlag.ItemIsEditable
    go(panel, "board.gap")
    qtbot.keyClick(panel.tree, Qt.Key.Key_Space)
    assert not window.document.locked("board.gap")
    window.actions_by_id["lock"].trigger()
    assert window.document.locked("board.gap")
    window.document.undo()
    assert not window.document.locked("board.gap")


def test_a_locked_number_does_not_move_in_the_views(window: Workroom) -> None:
    window.document.change("Lock", lambda d: edit.set_locked(d, "board.gap"))
    drag(window.sheet.section, "board.gap", (-20.0, 0.0))
    assert window.document.value("board.gap") == 22.0
    assert "locked" in window.front.statusBar().currentMessage()


def test_choices_are_chosen_from_a_list(window: Workroom, panel: DimensionPanel, qtbot: QtBot) -> None:
    panel.tree.edit(go(panel, "ball.material"))
    box = panel.tree.viewport().findChild(QComboBox)
    assert isinstance(box, QComboBox)
    box.setCurrentIndex(box.findText("Steel"))
    box.activated.emit(box.currentIndex())
    assert window.document.design.choice("ball.material") == "steel"


def test_a_handle_and_its_row_go_together(window: Workroom, panel: DimensionPanel) -> None:
    go(panel, "lane.length")
    assert window.sheet.section.easel.focus == "lane.length"
    assert window.sheet.plan.easel.focus == "lane.length"
    window.sheet.section.easel.host.point_at("board.gap")
    assert panel.tree.currentIndex().data(NodeRole).key == "board.gap"
    assert window.sheet.plan.easel.focus == ""


def test_pointing_at_a_row_hidden_by_the_search_clears_the_search(
    window: Workroom, panel: DimensionPanel
) -> None:
    panel.search.setText("ball")
    window.document.point_at("header.letter")
    assert panel.search.text() == ""
    assert panel.tree.currentIndex().data(NodeRole).key == "header.letter"


def test_rows_that_could_mend_a_finding_are_marked(window: Workroom, panel: DimensionPanel) -> None:
    window.document.type_in("board.gap", "10")
    assert at(panel, "board.gap").data(ShownRole).status == "conflict"
    assert "in conflict" in at(panel, "board.gap").data(Qt.ItemDataRole.AccessibleTextRole)
    window.document.type_in("board.gap", "40")
    assert at(panel, "board.gap").data(ShownRole).status == ""


def test_unusual_values_are_marked_in_words(window: Workroom, panel: DimensionPanel) -> None:
    window.document.type_in("board.gap", "90")
    assert "unusual" in at(panel, "board.gap").data(Qt.ItemDataRole.AccessibleTextRole)
    assert "usually 10 mm to 60 mm" in at(panel, "board.gap").data(Qt.ItemDataRole.ToolTipRole)


def test_adding_and_removing_targets(window: Workroom, panel: DimensionPanel, qtbot: QtBot) -> None:
    go(panel, "targets.2.up")
    assert panel.add.isVisible()
    assert panel.add.text() == "+ Add a target"
    panel.add.click()
    assert len(window.document.design.targets) == 4
    assert window.document.address.startswith("targets.3.")
    assert panel.remove.text() == "− Remove target 3"
    panel.remove.click()
    assert len(window.document.design.targets) == 3
    window.document.undo()
    assert len(window.document.design.targets) == 4


def test_insert_and_delete_keys(window: Workroom, panel: DimensionPanel, qtbot: QtBot) -> None:
    points = len(window.document.design.silhouette)
    go(panel, "silhouette.2.z")
    qtbot.keyClick(panel.tree, Qt.Key.Key_Insert)
    assert len(window.document.design.silhouette) == points + 1
    go(panel, "silhouette.3.z")
    qtbot.keyClick(panel.tree, Qt.Key.Key_Delete)
    assert len(window.document.design.silhouette) == points


def test_a_stock_in_use_is_not_removed_and_the_reason_told(window: Workroom, panel: DimensionPanel) -> None:
    stocks = window.document.design.stocks
    used = next(k for k, s in enumerate(stocks, 1) if s.id == window.document.design.choice("stock.deck"))
    go(panel, f"stocks.{used}.measured")
    panel.remove.click()
    assert window.document.design.stocks == stocks
    assert "chosen for" in window.front.statusBar().currentMessage()


def test_buttons_for_list_items_show_only_in_a_list(panel: DimensionPanel) -> None:
    go(panel, "board.gap")
    assert not panel.add.isVisible()
    assert not panel.remove.isVisible()


def test_folding_is_remembered_across_a_rebuilt_list(window: Workroom, panel: DimensionPanel) -> None:
    group = next(i for i in panel._all_rows() if i.data(NodeRole).key == "kicker")
    assert not panel.tree.isExpanded(group)
    panel.tree.expand(group)
    go(panel, "targets.1.up")
    panel.add.click()
    again = next(i for i in panel._all_rows() if i.data(NodeRole).key == "kicker")
    assert panel.tree.isExpanded(again)


def test_a_heading_opens_with_one_click(panel: DimensionPanel, qtbot: QtBot) -> None:
    group = next(i for i in panel._all_rows() if i.data(NodeRole).key == "overall")
    click(panel, qtbot, group)
    assert panel.tree.isExpanded(group)


def test_the_list_scrolls_to_what_is_pointed_at(
    window: Workroom, panel: DimensionPanel, qapp: QApplication
) -> None:
    window.document.point_at("people.fast")
    qapp.processEvents()
    place = panel.tree.visualRect(at(panel, "people.fast")).center()
    assert panel.tree.viewport().rect().contains(QPoint(place))


def test_texts_are_typed_too(window: Workroom, panel: DimensionPanel, qtbot: QtBot) -> None:
    index = go(panel, "header_text")
    qtbot.keyClick(panel.tree, Qt.Key.Key_Return)
    editor(panel).selectAll()
    qtbot.keyClicks(editor(panel), "OAK 12")
    enter(panel, qtbot)
    assert window.document.design.header_text == "OAK 12"
    assert index.data(NodeRole).key == "header_text"


def test_what_cannot_be_entered_is_told_in_the_bar_at_the_foot(
    panel: DimensionPanel, window: Workroom, qtbot: QtBot
) -> None:
    """While it is typed, at Enter, and once more with what is kept when the line is left."""
    bar = window.front.statusBar()
    click(panel, qtbot, go(panel, "lane.length"))
    line = editor(panel)
    qtbot.keyClicks(line, "wide")
    assert bar.currentMessage().startswith("'wide' does not start with a number")
    bar.clearMessage()
    enter(panel, qtbot)
    assert bar.currentMessage().startswith("'wide' does not start with a number")
    for _ in "wide":
        qtbot.keyClick(line, Qt.Key.Key_Backspace)
    qtbot.keyClicks(line, "280")
    assert bar.currentMessage() == ""
    qtbot.keyClicks(line, "0")
    panel.search.setFocus()
    QApplication.processEvents()
    assert "1500" in bar.currentMessage()
    assert bar.currentMessage().endswith("280 mm is kept.")
    assert window.document.value("lane.length") == 280.0


def test_escape_gives_up_what_is_wrong_without_words(
    panel: DimensionPanel, window: Workroom, qtbot: QtBot
) -> None:
    click(panel, qtbot, go(panel, "lane.length"))
    qtbot.keyClicks(editor(panel), "wide")
    qtbot.keyClick(editor(panel), Qt.Key.Key_Escape)
    QApplication.processEvents()
    assert window.front.statusBar().currentMessage() == ""
    assert panel.tree.hasFocus()

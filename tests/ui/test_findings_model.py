"""Findings as rows."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.modeltest import ModelTester

from desk.checks.finding import Place
from desk.ui.findings_model import FindingsModel, RowRole
from desk.views.wording import flag_numbers

from .fakes import LANE, finding

SPOT = Place(LANE, "point", ((0.0, 0.0),))
FINDINGS = (
    finding(1, "conflict", "A", -0.5, SPOT, None),
    finding(2, "clear", "B", 3.0, SPOT, None),
    finding(3, "conflict", "C", -1.0, SPOT, None),
)


def model(findings: tuple[object, ...] = FINDINGS) -> FindingsModel:
    made = FindingsModel()
    made.show(findings, "mm", flag_numbers(findings).get)  # type: ignore[arg-type]
    return made


def rows(made: FindingsModel) -> list[tuple[str, str]]:
    found = [made.index(k).data(RowRole) for k in range(made.rowCount())]
    return [(r.title, (r.number or "") if r.finding else r.aside) for r in found]


def test_headings_with_counts_and_the_clear_ones_folded(qapp: QApplication) -> None:
    assert rows(model()) == [("In conflict", "2"), ("A", "1"), ("C", "2"), ("Tight", "0"), ("Clear", "1")]


def test_unfolding(qapp: QApplication) -> None:
    made = model()
    made.fold("clear", False)
    made.fold("conflict", True)
    assert rows(made) == [("In conflict", "2"), ("Tight", "0"), ("Clear", "1"), ("B", "")]


def test_asking_for_a_folded_finding_unfolds_it_only_when_told(qapp: QApplication) -> None:
    made = model()
    assert made.row_of("check-2", unfold=False) == -1
    assert made.row_of("check-2", unfold=True) == 5
    assert made.row_of("gone", unfold=True) == -1


def test_a_changed_margin_changes_one_row_and_resets_nothing(qapp: QApplication) -> None:
    made = model()
    changed: list[int] = []
    resets: list[int] = []
    made.dataChanged.connect(lambda top, _bottom: changed.append(top.row()))
    made.modelReset.connect(lambda: resets.append(1))
    made.show((replace(FINDINGS[0], margin=-0.6), *FINDINGS[1:]), "mm", flag_numbers(FINDINGS).get)  # type: ignore[arg-type]
    assert (changed, resets) == ([1], [])
    made.show(FINDINGS[:2], "mm", flag_numbers(FINDINGS).get)  # type: ignore[arg-type]
    assert resets == [1]


def test_rows_are_spoken_with_status_and_margin(qapp: QApplication) -> None:
    made = model()
    spoken = [made.index(k).data(Qt.ItemDataRole.AccessibleTextRole) for k in (0, 1, 4)]
    assert spoken == ["In conflict, 2, unfolded", "1 conflict, A, margin −0.5 mm", "Clear, 1, folded"]


def test_the_model_keeps_qts_rules(qapp: QApplication, qtmodeltester: ModelTester) -> None:
    made = model()
    qtmodeltester.check(made)
    made.fold("clear", False)


def test_what_is_being_checked_has_no_margin(qapp: QApplication) -> None:
    made = FindingsModel()
    made.show(FINDINGS, "mm", flag_numbers(FINDINGS).get, frozenset({"c03"}))  # type: ignore[arg-type]
    assert rows(made)[0] == ("In conflict", "1, 1 being checked")
    sure, waits = (made.index(k).data(RowRole) for k in (1, 2))
    assert (sure.aside, sure.waits) == ("−0.5 mm", False)
    assert (waits.aside, waits.waits) == ("…", True)
    assert made.index(2).data(Qt.ItemDataRole.AccessibleTextRole) == "2 C, being checked"
    assert "being checked" in made.index(2).data(Qt.ItemDataRole.ToolTipRole)
    made.show(FINDINGS, "mm", flag_numbers(FINDINGS).get)  # type: ignore[arg-type]
    assert made.index(2).data(RowRole).aside == "−1 mm"

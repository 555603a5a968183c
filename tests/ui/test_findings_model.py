"""Findings as rows."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.modeltest import ModelTester

from desk.checks.finding import Finding, Place
from desk.design.model import Mute
from desk.ui.findings_model import IDLE, FindingsModel, Row, RowRole
from desk.ui.sift import Sift
from desk.views.wording import flag_numbers

from .fakes import LANE, finding

SPOT = Place(LANE, "point", ((0.0, 0.0),))
FINDINGS = (
    finding(1, "conflict", "A", -0.5, SPOT, None),
    replace(finding(3, "conflict", "C", -1.0, SPOT, None), family="joints"),
    finding(2, "clear", "B", 3.0, SPOT, None),
)
QUIET = replace(finding(4, "tight", "D", 0.2, SPOT, None), muted="filed by hand")


def model(findings: tuple[Finding, ...] = FINDINGS, mutes: tuple[Mute, ...] = ()) -> FindingsModel:
    made = FindingsModel()
    made.show(findings, "mm", lambda key: flag_numbers(findings).get(key, ""), mutes=mutes)
    return made


def every(made: FindingsModel) -> list[Row]:
    return [made.index(k).data(RowRole) for k in range(made.rowCount())]


def rows(made: FindingsModel) -> list[tuple[str, str]]:
    return [(r.title, r.aside if r.heading else r.number) for r in every(made)]


def test_headings_of_statuses_and_families_with_counts_and_the_clear_ones_folded(qapp: QApplication) -> None:
    assert rows(model()) == [
        ("In conflict", "2"),
        ("ball", "1"),
        ("A", "1"),
        ("joints", "1"),
        ("C", "2"),
        ("Tight", "0"),
        ("Clear", "1"),
    ]


def test_statuses_and_families_fold(qapp: QApplication) -> None:
    made = model()
    made.fold("clear", False)
    made.fold("conflict", True)
    assert rows(made) == [("In conflict", "2"), ("Tight", "0"), ("Clear", "1"), ("ball", "1"), ("B", "")]
    made.fold("conflict", False)
    made.fold("conflict/ball", True)
    assert rows(made)[:3] == [("In conflict", "2"), ("ball", "1"), ("joints", "1")]


def test_asking_for_a_folded_finding_unfolds_it_only_when_told(qapp: QApplication) -> None:
    made = model()
    made.fold("clear/ball", True)
    assert made.row_of("check-2", unfold=False) == -1
    assert made.row_of("check-2", unfold=True) == 8
    assert made.row_of("gone", unfold=True) == -1


def test_a_changed_margin_changes_one_row_and_resets_nothing(qapp: QApplication) -> None:
    made = model()
    changed: list[int] = []
    resets: list[int] = []
    made.dataChanged.connect(lambda top, _bottom: changed.append(top.row()))
    made.modelReset.connect(lambda: resets.append(1))
    made.show(
        (replace(FINDINGS[0], margin=-0.6), *FINDINGS[1:]), "mm", lambda k: flag_numbers(FINDINGS).get(k, "")
    )
    assert (changed, resets) == ([2], [])
    made.show(FINDINGS[1:], "mm", lambda k: flag_numbers(FINDINGS).get(k, ""))
    assert resets == [1]


def test_rows_are_spoken_with_status_and_margin(qapp: QApplication) -> None:
    made = model((*FINDINGS, QUIET), (Mute(QUIET.key, QUIET.muted), Mute("a/b", "so")))
    made.fold("muted", False)
    spoken = [made.index(k).data(Qt.ItemDataRole.AccessibleTextRole) for k in range(made.rowCount())]
    assert spoken == [
        "In conflict, 2, unfolded",
        "ball, 1, unfolded",
        "1 conflict, A, margin −0.5 mm",
        "joints, 1, unfolded",
        "2 conflict, C, margin −1 mm",
        "Tight, 0, unfolded",
        "Muted, 2, unfolded",
        "ball, 1, unfolded",
        "3 muted tight, D, margin +0.2 mm, because filed by hand",
        f"mute of a/b, {IDLE}, because so",
        "Clear, 1, folded",
    ]


def test_the_model_keeps_qts_rules(qapp: QApplication, qtmodeltester: ModelTester) -> None:
    made = model()
    qtmodeltester.check(made)
    made.fold("clear", False)
    made.ask_for(Sift(text="a"))
    made.ask_for(Sift())


def test_what_is_being_checked_has_no_margin(qapp: QApplication) -> None:
    made = FindingsModel()
    made.show(FINDINGS, "mm", lambda k: flag_numbers(FINDINGS).get(k, ""), frozenset({"c03"}))
    assert rows(made)[0] == ("In conflict", "1, 1 being checked")
    sure, waits = (made.index(k).data(RowRole) for k in (2, 4))
    assert (sure.aside, sure.waits) == ("−0.5 mm", False)
    assert (waits.aside, waits.waits) == ("…", True)
    assert made.index(4).data(Qt.ItemDataRole.AccessibleTextRole) == "2 C, being checked"
    assert "being checked" in made.index(4).data(Qt.ItemDataRole.ToolTipRole)
    made.show(FINDINGS, "mm", lambda k: flag_numbers(FINDINGS).get(k, ""))
    assert made.index(4).data(RowRole).aside == "−1 mm"


def test_the_muted_are_folded_in_a_group_of_their_own_with_their_reasons(qapp: QApplication) -> None:
    made = model((*FINDINGS, QUIET), (Mute(QUIET.key, QUIET.muted), Mute("lip/nowhere", "an old fault")))
    assert ("Muted", "2") in rows(made)
    assert ("Tight", "0") in rows(made)
    assert "D" not in [r.title for r in every(made)]
    made.fold("muted", False)
    quiet = next(r for r in every(made) if r.title == "D")
    assert (quiet.reason, quiet.number, quiet.target) == ("filed by hand", "3", QUIET.key)
    idle = next(r for r in every(made) if r.mute)
    assert (idle.title, idle.aside, idle.reason, idle.target) == (
        "lip/nowhere",
        IDLE,
        "an old fault",
        "lip/nowhere",
    )
    tips = [made.index(k).data(Qt.ItemDataRole.ToolTipRole) for k, r in enumerate(every(made)) if r.reason]
    assert "filed by hand" in tips[0]
    assert "an old fault" in tips[1]


def test_a_mute_whose_check_is_still_running_is_not_said_to_be_idle(qapp: QApplication) -> None:
    made = FindingsModel()
    waiting = replace(FINDINGS[1], muted="")
    made.show((waiting,), "mm", lambda _k: "1", frozenset({waiting.check}), {}, (Mute(waiting.key, "so"),))
    made.fold("muted", False)
    assert not [r for r in every(made) if r.mute]


def test_sifted_headings_tell_how_many_of_how_many_and_fold_apart(qapp: QApplication) -> None:
    made = model((*FINDINGS, QUIET))
    made.ask_for(Sift(family="ball"))
    assert rows(made) == [
        ("In conflict", "1 of 2"),
        ("ball", "1 of 1"),
        ("A", "1"),
        ("Tight", "0 of 0"),
        ("Muted", "1 of 1"),
        ("ball", "1 of 1"),
        ("D", "3"),
        ("Clear", "1 of 1"),
        ("ball", "1 of 1"),
        ("B", ""),
    ]
    assert [f.title for f in made.wanted] == ["A", "B", "D"]
    made.fold("conflict", True)
    made.ask_for(Sift())
    assert rows(made)[2] == ("A", "1")
    assert rows(made)[-1] == ("Clear", "1")


HOLES = tuple(
    replace(finding(k + 10, "conflict", f"Hole {k}", margin, SPOT, None), check="holes")
    for k, margin in ((1, -0.5), (2, -2.0), (3, -1.0))
)
"""Three findings of one check; the second is the worst."""


def test_many_of_one_check_are_told_by_the_worst_over_a_heading_that_folds_the_others(
    qapp: QApplication,
) -> None:
    made = model((*HOLES, *FINDINGS[1:]))
    assert rows(made)[:4] == [
        ("In conflict", "4"),
        ("ball", "3"),
        ("Hole 2", "2"),
        ("and 2 more like it", ""),
    ]
    more = every(made)[3]
    assert (more.heading, more.folded, more.level) == (True, True, 2)
    assert made.index(3).data(Qt.ItemDataRole.AccessibleTextRole) == "and 2 more like it, folded"
    made.fold(more.group, False)
    assert rows(made)[2:6] == [("Hole 2", "2"), ("and 2 more like it", ""), ("Hole 1", "1"), ("Hole 3", "3")]
    assert [r.inner for r in every(made)[2:6]] == [False, False, True, True]
    made.fold(more.group, True)
    assert len(made.wanted) == 5


def test_two_of_one_check_are_both_listed(qapp: QApplication) -> None:
    assert rows(model(HOLES[:2]))[1:4] == [("ball", "2"), ("Hole 1", "1"), ("Hole 2", "2")]


def test_one_told_by_another_is_listed_as_soon_as_it_is_chosen(qapp: QApplication) -> None:
    made = model(HOLES)
    assert "Hole 3" not in [r.title for r in every(made)]
    at = made.row_of(HOLES[2].key, unfold=False)
    assert every(made)[at].title == "Hole 3"


def test_every_one_that_is_asked_for_is_listed(qapp: QApplication) -> None:
    made = model(HOLES)
    made.ask_for(Sift(text="hole"))
    assert [r.title for r in every(made) if not r.heading] == ["Hole 1", "Hole 2", "Hole 3"]


def test_the_muted_are_listed_one_by_one_with_their_reasons(qapp: QApplication) -> None:
    made = model(tuple(replace(f, muted="tried") for f in HOLES))
    made.fold("muted", False)
    assert [r.reason for r in every(made) if not r.heading] == ["tried"] * 3


def test_titles_and_tips_are_in_the_unit_of_the_design(qapp: QApplication) -> None:
    long = replace(HOLES[0], title="6.35 mm hole", because="0.50 mm of wood left")
    made = FindingsModel()
    made.show((long,), "in", lambda _key: "1")
    assert every(made)[2].title == "1/4 in hole"
    assert made.index(2).data(Qt.ItemDataRole.ToolTipRole) == "1/4 in hole\n0.0197 in of wood left"
    made.ask_for(Sift(text="1/4 in"))
    assert len(made.wanted) == 1

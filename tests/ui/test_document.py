"""The open design: pulls, typed values, refusals, working out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from desk.design import edit
from desk.design.model import Design
from desk.shapes.loop import ShapeError
from desk.ui.document import Document, Evaluated
from desk.ui.pace import Pace

from .fakes import FakeEvaluation, evaluate, starting


class Counted:
    """An evaluator that counts, and refuses a gap below 5 mm."""

    def __init__(self) -> None:
        self.gaps: list[float] = []

    def __call__(self, design: Design, last: object = None) -> FakeEvaluation:
        gap = design.value("board.gap")
        if gap < 5:
            raise ShapeError("no cabinet")
        self.gaps.append(gap)
        return evaluate(design)


@pytest.fixture
def worked() -> Counted:
    return Counted()


@pytest.fixture
def document(qapp: QApplication, worked: Counted) -> Document:
    return Document(starting(), worked, Pace(instant=True))


def test_a_gesture_is_one_step(document: Document, worked: Counted) -> None:
    for value in (23.0, 24.0, 25.0):
        document.pull({"board.gap": value}, 1)
    document.settle()
    document.pull({"board.gap": 26.0}, 2)
    document.settle()
    assert len(document.session.labels) == 2
    assert document.session.labels[0].startswith("Pull gutter gap")
    assert worked.gaps == [23.0, 24.0, 25.0, 26.0]


def test_a_gesture_given_back_leaves_no_trace(document: Document) -> None:
    before = document.design
    document.pull({"board.gap": 30.0}, 7)
    document.pull({"board.gap": 35.0}, 7)
    document.give_back(7)
    assert document.design == before
    assert not document.session.can_undo
    document.give_back(99)
    assert document.design == before


def test_a_pull_that_is_refused_is_told(document: Document) -> None:
    told: list[str] = []
    document.refused.connect(told.append)
    document.change("Lock", lambda d: edit.set_locked(d, "board.gap"))
    document.pull({"board.gap": 30.0}, 1)
    assert document.value("board.gap") == 22.0
    assert "locked" in told[0]


@pytest.mark.parametrize("text", ["18.5", "18,5", "18.5mm", "1,85 cm"])
def test_typing(document: Document, text: str) -> None:
    assert document.type_in("board.gap", text) == ""
    assert document.value("board.gap") == 18.5


@pytest.mark.parametrize(("text", "word"), [("abc", "number"), ("900", "200"), ("", "nothing")])
def test_typing_nonsense_says_why(document: Document, text: str, word: str) -> None:
    assert word in document.type_in("board.gap", text)
    assert document.value("board.gap") == 22.0


def test_a_typed_fraction_is_shown_as_typed(document: Document) -> None:
    document.type_in("board.gap", "7/8in")
    assert document.shown("board.gap") == "7/8in"
    assert document.value("board.gap") == pytest.approx(22.225)


def test_what_cannot_be_worked_out_keeps_the_last_evaluation(document: Document) -> None:
    told: list[str] = []
    document.failed.connect(told.append)
    document.evaluate()
    good = document.evaluation
    document.type_in("board.gap", "2")
    assert told == ["no cabinet"]
    assert document.evaluation is good
    document.undo()
    assert document.evaluation is not good


def test_undo_and_redo_work_everything_out(document: Document, worked: Counted) -> None:
    document.type_in("board.gap", "30")
    document.undo()
    document.redo()
    assert worked.gaps == [30.0, 22.0, 30.0]


def test_opening_starts_over(document: Document) -> None:
    document.type_in("board.gap", "30")
    document.choose("check-1")
    document.open(starting(), Path("x.lane"))
    assert not document.session.dirty
    assert not document.session.can_undo
    assert (document.finding, document.address, document.path) == ("", "", Path("x.lane"))


def test_turning_to_a_number_is_told_once(document: Document) -> None:
    told: list[str] = []
    document.pointed.connect(told.append)
    document.point_at("board.gap")
    document.point_at("board.gap")
    document.point_at("")
    assert told == ["board.gap", ""]


def test_titles(document: Document) -> None:
    assert document.title_of("targets.2.up") == "Up the face (target 2)"
    assert document.title_of("ball.material") == "Ball material"
    assert document.title_of("targets.40.up") == document.title_of("no.such") == ""


def test_between_two_free_moments_only_the_last_change_is_worked_out(
    qapp: QApplication, worked: Counted
) -> None:
    now = [0.0]
    document = Document(starting(), worked, Pace(clock=lambda: now[0]))
    for value in (23.0, 24.0, 25.0, 26.0):
        document.pull({"board.gap": value}, 1)
    assert worked.gaps == [23.0]
    document.settle()
    assert worked.gaps == [23.0, 26.0]


def test_within_a_gesture_the_last_evaluation_is_passed_on_and_what_was_put_off_follows(
    qapp: QApplication,
) -> None:
    asked: list[bool] = []
    now = [0.0]

    def evaluator(design: Design, last: object = None) -> FakeEvaluation:
        asked.append(last is not None)
        return replace(evaluate(design), pending=frozenset({"c02"}) if last is not None else frozenset())

    completed: list[float] = []

    def completer(made: Evaluated) -> Evaluated:
        completed.append(made.design.value("board.gap"))
        return evaluate(made.design)

    pace = Pace(clock=lambda: now[0])
    document = Document(starting(), evaluator, pace, completer)
    document.evaluate()
    for value in (23.0, 24.0):
        now[0] += 0.01
        document.pull({"board.gap": value}, 1)
        now[0] += 0.01
        pace.run_due()
    assert asked == [False, True, True]
    assert completed == []
    now[0] += 0.2
    pace.run_due()
    assert completed == [24.0]
    now[0] += 0.2
    document.pull({"board.gap": 25.0}, 1)
    document.settle()
    assert completed == [24.0, 25.0]
    assert document.evaluation is not None
    assert not document.evaluation.pending


def test_what_was_put_off_is_done_in_slices_between_which_the_window_lives(qapp: QApplication) -> None:
    now = [0.0]
    steps: list[float] = []
    completed: list[float] = []

    def evaluator(design: Design, last: object = None) -> FakeEvaluation:
        return replace(evaluate(design), pending=frozenset({"c02"}) if last is not None else frozenset())

    def advance(made: Evaluated) -> Iterator[None]:
        for _ in range(5):
            now[0] += 0.004
            steps.append(made.design.value("board.gap"))
            yield

    def completer(made: Evaluated) -> Evaluated:
        completed.append(made.design.value("board.gap"))
        return evaluate(made.design)

    pace = Pace(clock=lambda: now[0])
    document = Document(starting(), evaluator, pace, completer, advance)
    document.evaluate()
    document.pull({"board.gap": 23.0}, 1)
    now[0] += 0.2
    pace.run_due()
    assert (len(steps), completed) == (2, [])
    document.pull({"board.gap": 24.0}, 1)
    now[0] += 0.2
    pace.run_due()
    assert steps == [23.0, 23.0, 24.0, 24.0]
    for _ in range(3):
        pace.run_due()
    assert (steps, completed) == ([23.0] * 2 + [24.0] * 5, [24.0])
    document.pull({"board.gap": 25.0}, 1)
    document.finish()
    assert completed == [24.0, 25.0]
    assert not pace.waiting("complete")


def test_a_fault_in_what_was_put_off_is_told_once(qapp: QApplication) -> None:
    now = [0.0]
    told: list[str] = []

    def evaluator(design: Design, last: object = None) -> FakeEvaluation:
        return replace(evaluate(design), pending=frozenset({"c02"}) if last is not None else frozenset())

    def advance(made: Evaluated) -> Iterator[None]:
        yield
        raise ZeroDivisionError("made up")

    pace = Pace(clock=lambda: now[0])
    document = Document(starting(), evaluator, pace, lambda made: made, advance)
    document.broke.connect(told.append)
    document.evaluate()
    document.pull({"board.gap": 23.0}, 1)
    now[0] += 0.2
    pace.run_due()
    pace.run_due()
    assert told == ["ZeroDivisionError: made up"]


def test_who_turns_to_a_finding_turns_away_from_a_number(document: Document) -> None:
    pointed: list[str] = []
    document.pointed.connect(pointed.append)
    document.point_at("board.gap")
    document.choose("check-1")
    document.choose("")
    document.point_at("board.gap")
    document.choose("")
    assert pointed == ["board.gap", "", "board.gap"]
    assert (document.address, document.finding) == ("board.gap", "")

"""Runs of many throws as the window shows them, with answers made by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.design import edit
from desk.design.file import load
from desk.playwork import Ask, AskRun, Cancel, Stray
from desk.ui.play_run import (
    NOT_YET,
    PlayRun,
    astray_words,
    chart_of,
    landings_of,
    round_words,
    stray_words,
)
from desk.views.drawing import Disc

from .play_room import tally

DESIGN = load(Path(__file__).resolve().parent.parent.parent / "examples" / "marble-16mm.lane")
TEXT = b"the text of the design"


class FakeWorker(QObject):
    """Takes asks and answers when it is told to."""

    answered = Signal(object)
    failed = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.asks: list[Ask] = []

    def ask(self, message: Ask) -> None:
        self.asks.append(message)


@pytest.fixture(scope="module")
def first() -> Cabinet:
    return build(DESIGN)


@pytest.fixture(scope="module")
def second() -> Cabinet:
    return build(edit.put(DESIGN, "board.tilt", DESIGN.value("board.tilt") + 2.0))


@pytest.fixture
def worker(qapp: QApplication) -> FakeWorker:
    return FakeWorker()


@pytest.fixture
def run(worker: FakeWorker) -> PlayRun:
    return PlayRun(worker)  # type: ignore[arg-type]


def test_numbers_appear_as_they_firm_up_and_stay(run: PlayRun, worker: FakeWorker, first: Cabinet) -> None:
    changes: list[int] = []
    run.changed.connect(lambda: changes.append(1))
    run.start(first, TEXT, 1000)
    assert isinstance(worker.asks[0], AskRun)
    assert (worker.asks[0].throws, worker.asks[0].design) == (1000, TEXT)
    assert (run.running, run.progress, run.now(first)) == (True, 0.0, None)
    worker.answered.emit(tally(1, 250))
    assert (run.running, run.progress) == (True, 0.25)
    assert run.now(first) == tally(1, 250)
    worker.answered.emit(tally(1, 1000))
    assert (run.running, run.now(first)) == (False, tally(1, 1000))
    assert len(changes) == 3


def test_a_cancelled_run_leaves_nothing_behind(run: PlayRun, worker: FakeWorker, first: Cabinet) -> None:
    run.start(first, TEXT, 1000)
    worker.answered.emit(tally(1, 500))
    run.cancel()
    assert worker.asks[-1] == Cancel()
    assert (run.running, run.now(first)) == (False, None)
    worker.answered.emit(tally(1, 1000))
    assert run.now(first) is None
    run.cancel()
    assert len(worker.asks) == 2


def test_a_run_that_is_stopped_keeps_what_is_counted(
    run: PlayRun, worker: FakeWorker, first: Cabinet
) -> None:
    run.start(first, TEXT, 1000)
    run.stop()
    assert run.now(first) is None
    run.start(first, TEXT, 1000)
    worker.answered.emit(tally(2, 500))
    run.stop()
    assert worker.asks[-1] == Cancel()
    assert (run.running, run.now(first)) == (False, tally(2, 500))
    assert "95 % of 500 back after 4.2 s" in round_words(first, run.now(first), None)
    run.start(first, TEXT, 1000)
    worker.answered.emit(tally(3, 250))
    run.stop()
    assert run.now(first) == tally(2, 500), "the better known of two"


def test_after_a_change_what_was_now_is_before(
    run: PlayRun, worker: FakeWorker, first: Cabinet, second: Cabinet
) -> None:
    run.start(first, TEXT, 1000)
    worker.answered.emit(tally(1, 1000, 60.0))
    run.altered(second)
    assert (run.now(second), run.before(second)) == (None, tally(1, 1000, 60.0))
    run.start(second, TEXT, 1000)
    worker.answered.emit(tally(2, 1000, 72.0))
    now, before = run.now(second), run.before(second)
    assert now is not None
    assert before is not None
    assert (now.round, before.round) == (72.0, 60.0)
    now, before = run.now(first), run.before(first)
    assert now is not None
    assert before is not None
    assert (now.round, before.round) == (60.0, 72.0)


def test_a_change_during_a_run_gives_it_up(
    run: PlayRun, worker: FakeWorker, first: Cabinet, second: Cabinet
) -> None:
    run.start(first, TEXT, 1000)
    run.altered(first)
    assert run.running
    run.altered(second)
    assert not run.running
    assert worker.asks[-1] == Cancel()


def test_answers_to_an_earlier_run_are_not_taken(run: PlayRun, worker: FakeWorker, first: Cabinet) -> None:
    run.start(first, TEXT, 1000)
    run.start(first, TEXT, 1000)
    worker.answered.emit(tally(1, 1000, 1.0))
    assert run.running
    assert run.now(first) is None


def test_another_design_forgets_all_runs(
    run: PlayRun, worker: FakeWorker, first: Cabinet, second: Cabinet
) -> None:
    run.start(first, TEXT, 1000)
    worker.answered.emit(tally(1, 1000))
    run.forget()
    assert (run.now(first), run.before(second)) == (None, None)


def test_a_lost_process_ends_the_run(run: PlayRun, worker: FakeWorker, first: Cabinet) -> None:
    run.start(first, TEXT, 1000)
    worker.failed.emit("it ended with code 1")
    assert not run.running


def test_every_target_and_every_other_end_has_a_column(first: Cabinet) -> None:
    chart = chart_of(first, tally(1, 1000), None)
    assert [c.under for c in chart.columns[:5]] == [f"target {k}" for k in range(1, 6)]
    assert [c.name for c in chart.columns] == [
        *(f"{t.score:g}" for t in first.targets),
        *("gutter", "rolls", "lost", "stops"),
    ]
    assert [c.scores for c in chart.columns] == [True] * 5 + [False] * 4
    shares = {c.name: c.now for c in chart.columns}
    assert (shares["50"], shares["gutter"], shares["stops"], shares["lost"]) == (0.25, 0.7, 0.05, 0.0)
    assert [c.wrong for c in chart.columns[-4:]] == [False, False, True, True]
    assert all(c.before is None for c in chart.columns)


def test_without_a_run_only_what_was_before_is_charted(first: Cabinet) -> None:
    assert chart_of(first, None, None).columns == ()
    chart = chart_of(first, None, tally(1, 1000))
    assert not chart.current
    assert {c.now for c in chart.columns} == {None}
    assert chart.columns[0].before == 0.25


def test_a_round_is_told_with_its_error_and_what_comes_back(first: Cabinet) -> None:
    assert round_words(first, None, None) == (NOT_YET,)
    stray = Stray(7, 1.234, -0.44, -3, "catch", (120.0, 60.0))
    lines = round_words(first, tally(2, 1000, 72.04, (stray,)), tally(1, 1000, 60.0))
    assert lines == (
        f"72.0 ± 0.4 a round of {first.balls.count}",
        "before 60.0 ± 0.4",
        "95 % back after 4.2 s",
    )
    assert stray_words(first, [stray, Stray(7, 2.0, 0.0, -2, "flight", (120.0, 60.0))]) == (
        f"Stops: 1.23 m/s, aim −0.4°, {first.leg_by_id['catch'].label}",
        f"Lost: 2.00 m/s, aim 0°, {first.leg_by_id['flight'].label}",
    )


def test_balls_that_do_not_come_back_are_named_a_conflict_where_they_are_one(first: Cabinet) -> None:
    """One stop is; of those that fly out two in a hundred are let pass (resources/needs.toml)."""
    stops, flies = (Stray(7, 1.234, -0.44, k, "catch", (700.0, 60.0)) for k in (-3, -2))
    assert astray_words(first, None) == ("", "")
    assert astray_words(first, tally(1, 1000, strays=(flies,))) == ("1 does not come back", "")
    short, why = astray_words(first, tally(1, 1000, strays=(stops, flies)))
    assert short == "Conflict: 2 do not come back"
    assert why.startswith("Balls that stop on the way: 1 of 1000 throws stop on the way = 0.10 %")


def test_landings_are_drawn_where_they_were_counted() -> None:
    (dot,) = landings_of(tally(1, 1000))
    assert isinstance(dot, Disc)
    assert dot.centre == (2.5, 17.5)
    assert landings_of(None) == ()

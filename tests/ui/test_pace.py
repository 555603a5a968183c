"""Throttling and debouncing against a clock in the test's hand."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.ui.pace import Pace


@dataclass
class Clock:
    """A clock that is set by hand."""

    now: float = 100.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def pace(qapp: QApplication, clock: Clock) -> Pace:
    return Pace(clock=clock)


def test_the_first_call_runs_at_once(pace: Pace) -> None:
    ran: list[int] = []
    pace.throttle("step", 0.01, lambda: ran.append(1))
    assert ran == [1]
    assert not pace.waiting("step")


def test_later_calls_merge_and_the_last_is_delivered(pace: Pace, clock: Clock) -> None:
    ran: list[int] = []
    for n in range(1, 6):
        pace.throttle("step", 0.01, lambda n=n: ran.append(n))  # type: ignore[misc]
        clock.now += 0.001
    assert ran == [1]
    pace.run_due()
    assert ran == [1]
    clock.now = 100.02
    pace.run_due()
    assert ran == [1, 5]
    pace.run_due()
    assert ran == [1, 5]


def test_a_steady_stream_runs_once_an_interval(pace: Pace, clock: Clock) -> None:
    ran: list[float] = []
    for _ in range(100):
        pace.throttle("step", 0.0105, lambda: ran.append(clock.now))
        clock.now += 0.001
        pace.run_due()
    assert 9 <= len(ran) <= 10
    assert all(b - a >= 0.0103 for a, b in itertools.pairwise(ran))


def test_the_rest_begins_when_the_job_ends(pace: Pace, clock: Clock) -> None:
    ran: list[float] = []

    def slow() -> None:
        ran.append(clock.now)
        clock.now += 0.05

    pace.throttle("step", 0.01, slow)
    pace.throttle("step", 0.01, slow)
    assert ran == [100.0]
    clock.now += 0.011
    pace.run_due()
    assert ran == [100.0, pytest.approx(100.061)]


def test_debounce_waits_for_quiet(pace: Pace, clock: Clock) -> None:
    ran: list[int] = []
    for n in range(3):
        pace.debounce("save", 5.0, lambda n=n: ran.append(n))  # type: ignore[misc]
        clock.now += 4.0
        pace.run_due()
    assert ran == []
    clock.now += 1.0
    pace.run_due()
    assert ran == [2]


def test_flush_delivers_now_and_cancel_never(pace: Pace, clock: Clock) -> None:
    ran: list[str] = []
    pace.debounce("a", 5.0, lambda: ran.append("a"))
    pace.debounce("b", 5.0, lambda: ran.append("b"))
    pace.flush("a")
    pace.cancel("b")
    clock.now += 10
    pace.run_due()
    assert ran == ["a"]


def test_a_job_may_plan_itself_again(pace: Pace, clock: Clock) -> None:
    ran: list[float] = []

    def again() -> None:
        ran.append(clock.now)
        if len(ran) < 3:
            pace.debounce("tick", 1.0, again)

    pace.debounce("tick", 1.0, again)
    for _ in range(5):
        clock.now += 1.0
        pace.run_due()
    assert len(ran) == 3


def test_an_animation_ends_with_a_whole_share(pace: Pace, clock: Clock) -> None:
    shares: list[float] = []
    pace.animate("pulse", 0.5, shares.append)
    for _ in range(40):
        clock.now += 0.034
        pace.run_due()
    assert shares[0] == 0.0
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert shares.count(1.0) == 1


def test_a_beat_tells_the_time_gone_by_until_it_has_had_enough(pace: Pace, clock: Clock) -> None:
    gone: list[float] = []

    def frame(seconds: float) -> bool:
        gone.append(seconds)
        return len(gone) < 3

    pace.beat("ball", 0.02, frame)
    assert gone == []
    for step in (0.01, 0.01, 0.05, 0.03, 0.5):
        clock.now += step
        pace.run_due()
    assert gone == pytest.approx([0.02, 0.05, 0.03])
    assert not pace.waiting("ball")


def test_a_cancelled_beat_is_still(pace: Pace, clock: Clock) -> None:
    ran: list[float] = []
    pace.beat("ball", 0.02, lambda gone: ran.append(gone) is None)
    clock.now += 0.02
    pace.run_due()
    pace.cancel("ball")
    clock.now += 1.0
    pace.run_due()
    assert ran == pytest.approx([0.02])


def test_an_instant_beat_runs_to_its_end_in_the_call(qapp: QApplication) -> None:
    gone: list[float] = []
    Pace(instant=True).beat("ball", 0.02, lambda seconds: gone.append(seconds) is None and len(gone) < 4)
    assert gone == [0.02] * 4


def test_instant_runs_everything_inside_the_call(qapp: QApplication) -> None:
    ran: list[object] = []
    pace = Pace(instant=True)
    for n in range(3):
        pace.throttle("step", 9.0, lambda n=n: ran.append(n))  # type: ignore[misc]
    pace.debounce("save", 9.0, lambda: ran.append("saved"))
    pace.animate("pulse", 9.0, ran.append)
    assert ran == [0, 1, 2, "saved", 1.0]


def test_the_timer_really_runs(qtbot: QtBot) -> None:
    ran: list[int] = []
    pace = Pace()
    pace.debounce("soon", 0.01, lambda: ran.append(1))
    qtbot.waitUntil(lambda: ran == [1], timeout=2000)


def test_stop_drops_everything(pace: Pace, clock: Clock) -> None:
    ran: list[int] = []
    pace.debounce("a", 1.0, lambda: ran.append(1))
    pace.stop()
    clock.now += 5
    pace.run_due()
    assert ran == []

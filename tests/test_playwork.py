"""The process that plays by itself: its messages, its order of work, and the real process over its pipes."""

from __future__ import annotations

import queue
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest

from desk.ball.course import course
from desk.ball.play import Stray as CoreStray
from desk.ball.play import play
from desk.ball.throw import LOST, STOPPED
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.design.file import load, loads
from desk.playing import sweep
from desk.playwork import (
    COARSE,
    FINE,
    LISTED,
    Answer,
    Ask,
    AskRun,
    AskSweep,
    Cancel,
    Counted,
    Failed,
    Frames,
    Swept,
    Works,
    framed,
    judged,
    serve,
)
from desk.playwork import told as message

HERE = Path(__file__).resolve().parent.parent
DESIGN = (HERE / "examples" / "marble-16mm.lane").read_bytes()
SWEEP = AskSweep(7, DESIGN, 0.5, 2.5, 0.0)


def test_messages_survive_any_cutting_of_the_pipe() -> None:
    sent = framed(SWEEP) + framed(Cancel()) + framed(AskSweep(8, b"", 0.1, 0.2, -1.5))
    for size in (1, 3, 4, 5, 64, len(sent)):
        frames = Frames()
        bodies = [b for k in range(0, len(sent), size) for b in frames.feed(sent[k : k + size])]
        asks = [msgspec.msgpack.decode(b, type=AskSweep | Cancel) for b in bodies]
        assert asks == [SWEEP, Cancel(), AskSweep(8, b"", 0.1, 0.2, -1.5)]


def answers_to(*asks: Ask) -> list[Answer]:
    """Everything that is answered to asks that all wait when the work begins."""
    waiting: queue.Queue[Ask | None] = queue.Queue()
    for ask in asks:
        waiting.put(ask)
    sent: list[Answer] = []
    works = Works(sent.append)
    while not waiting.empty():
        ask = waiting.get()
        assert ask is not None
        works.take(ask)
    while not works.idle:
        works.step()
    return sent


def test_a_sweep_is_answered_quickly_at_first_and_then_finely() -> None:
    coarse, fine = answers_to(SWEEP)
    assert isinstance(coarse, Swept)
    assert isinstance(fine, Swept)
    assert (coarse.id, coarse.done, fine.id, fine.done) == (7, False, 7, True)
    assert coarse.step == pytest.approx(2.0 / (COARSE - 1))
    of = course(build(load(HERE / "examples" / "marble-16mm.lane")))
    known = sweep(of, 0.5, 2.5, 0.0, FINE)
    assert [(w.low, w.high, w.result, w.score) for w in fine.windows] == [
        (w.low, w.high, w.result, w.score) for w in known.windows
    ]


def test_of_several_sweeps_only_the_latest_is_worked_out() -> None:
    later = AskSweep(8, DESIGN, 0.5, 1.0, 0.0)
    assert [(a.id, a.high) for a in answers_to(SWEEP, later) if isinstance(a, Swept)] == [(8, 1.0)] * 2


@pytest.mark.parametrize("text", [b"", b"{}", b"not a design"])
def test_a_design_that_cannot_be_read_is_told(text: bytes) -> None:
    (told,) = answers_to(AskSweep(9, text, 0.5, 1.0, 0.0))
    assert isinstance(told, Failed)
    assert told.id == 9
    assert told.text


def test_a_run_is_answered_piece_by_piece_with_what_the_core_counts() -> None:
    cabinet = build(load(HERE / "examples" / "marble-16mm.lane"))
    told = answers_to(AskRun(5, DESIGN, 900, 1))
    known = list(play(course(cabinet), cabinet.people, cabinet.balls.count, 900, 1))
    assert [a.done for a in told if isinstance(a, Counted)] == [k.done for k in known] == [500, 900]
    last, core = told[-1], known[-1]
    assert isinstance(last, Counted)
    assert last.finished
    assert not told[0].finished  # type: ignore[union-attr]
    assert (last.id, last.round, last.round_error) == (5, core.round, core.round_error)
    assert [(e.result, e.share, e.error) for e in last.ends] == [
        (e.result, e.share, e.error) for e in core.ends
    ]
    assert sum(n for _, _, n in last.landings) == len(core.landings)
    assert last.strayed == len(core.strays)


def test_a_sweep_comes_before_the_next_piece_of_a_run() -> None:
    told = answers_to(AskRun(5, DESIGN, 900, 1), SWEEP)
    assert [type(a) for a in told] == [Swept, Swept, Counted, Counted]


def test_a_cancelled_run_is_not_answered_any_more() -> None:
    sent: list[Answer] = []
    works = Works(sent.append)
    works.take(AskRun(5, DESIGN, 900, 1))
    works.step()
    works.take(Cancel())
    assert works.idle
    assert len(sent) == 1


def test_a_run_that_cannot_be_is_told_as_such() -> None:
    (told,) = answers_to(AskRun(6, b"{}", 100, 1))
    assert isinstance(told, Failed)
    assert (told.id, told.run) == (6, True)


def wrong(cabinet: Cabinet, run: Counted) -> list[str]:
    """Titles of the conflicts that the check of balls' ends finds in a run."""
    return [f.title for f in judged(cabinet, run) if f.status == "conflict"]


def test_a_broken_design_tells_the_balls_that_do_not_come_back_but_not_all_of_them() -> None:
    text = (HERE / "examples" / "broken.lane").read_bytes()
    (told,) = answers_to(AskRun(7, text, 100, 1))
    assert isinstance(told, Counted)
    assert len(told.strays) == LISTED < told.strayed
    assert told.lost == pytest.approx(told.strayed / 100)
    assert {s.result for s in told.strays} == {STOPPED}
    assert told.stopped == told.strayed
    assert wrong(build(loads(text)), told) == ["Balls that stop on the way"]


def test_balls_that_stop_are_listed_before_those_that_are_lost_and_a_few_lost_are_no_conflict() -> None:
    cabinet = build(load(HERE / "examples" / "marble-16mm.lane"))
    core = list(play(course(cabinet), cabinet.people, cabinet.balls.count, 20, 1))[-1]
    lost = [CoreStray(k, 2.4, 0.0, LOST, "face", (0.0, 200.0)) for k in range(30)]
    stop = CoreStray(30, 1.2, 0.0, STOPPED, "under", (480.0, 110.0))
    some = message(1, replace(core, done=10_000, strays=(*lost, stop)), cabinet)
    assert [s.result for s in some.strays[:2]] == [STOPPED, LOST]
    assert len(some.strays) == LISTED < some.strayed == 31
    assert some.stopped == 1
    assert wrong(cabinet, some) == ["Balls that stop on the way"]
    assert any("1 of 10000 throws stop on the way" in f.because for f in judged(cabinet, some))
    assert wrong(cabinet, message(1, replace(core, done=10_000, strays=tuple(lost)), cabinet)) == []


def test_serving_ends_with_none_and_takes_what_waits_before_it_works() -> None:
    asks: queue.Queue[Ask | None] = queue.Queue()
    for ask in (SWEEP, AskSweep(8, DESIGN, 0.5, 1.0, 0.0), None):
        asks.put(ask)
    sent: list[Answer] = []
    serve(asks, Works(sent.append))
    assert sent == []


def test_the_process_answers_over_its_pipes_and_ends_when_nobody_asks_any_more() -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "desk.playwork"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=HERE
    )
    assert process.stdin is not None
    assert process.stdout is not None
    with process.stdin as asks, process.stdout as out:
        asks.write(framed(SWEEP))
        asks.flush()
        frames, got = Frames(), []
        while len(got) < 2:
            data = out.read1(65536)  # type: ignore[attr-defined]
            assert data, "the process ended before it answered"
            got.extend(msgspec.msgpack.decode(b, type=Answer) for b in frames.feed(data))
        asks.close()
        assert process.wait(timeout=20) == 0
    assert [a.id for a in got] == [7, 7]

"""Runs of many throws: asks the process beside the window, and puts what comes back into charts and words.

What is shown as "now" is always of the cabinet on view; what was run before a change stands beside it as "before".
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from desk.cabinet.model import Cabinet
from desk.playing import Runs, same_play
from desk.playwork import AskRun, Cancel, Counted, End, Failed, Stray, judged
from desk.ui.play_worker import PlayWorker
from desk.views.drawing import Item
from desk.views.played import ChanceChart, Column, share_words
from desk.views.playing import landing_items
from desk.views.wording import value_words

SEED = 1
"""The same throws every time, so that a change of the numbers is a change of the cabinet."""
NAMES = {0: ("gutter", ""), -1: ("rolls", "back"), -2: ("lost", ""), -3: ("stops", "")}
NOT_YET = "Not run yet with this cabinet."


class PlayRun(QObject):
    """Runs throws with the cabinet on view."""

    changed = Signal()
    """There is something else to show."""
    told = Signal(str)
    """Why there is nothing to show."""

    def __init__(self, worker: PlayWorker) -> None:
        super().__init__()
        self._worker = worker
        self._runs: Runs[Counted] = Runs()
        self._asked = 0
        self._with: Cabinet | None = None
        """The cabinet of the run under way."""
        self._so_far: Counted | None = None
        self.total = 0
        worker.answered.connect(self._take)
        worker.failed.connect(lambda _why: self._end())

    @property
    def running(self) -> bool:
        """Whether a run is under way."""
        return self._with is not None

    @property
    def progress(self) -> float:
        """How far the run under way is, from 0 to 1; 0 when there is none."""
        return self._so_far.done / max(self._so_far.total, 1) if self._so_far is not None else 0.0

    def start(self, cabinet: Cabinet, design: bytes, throws: int) -> None:
        """Run throws with a design; a run under way is given up."""
        self._asked += 1
        self._with, self._so_far, self.total = cabinet, None, throws
        self._worker.ask(AskRun(self._asked, design, throws, SEED))
        self.changed.emit()

    def cancel(self) -> None:
        """Give up the run under way."""
        if self.running:
            self._worker.ask(Cancel())
            self._end()

    def stop(self) -> None:
        """End the run under way; what is counted so far stays, unless more is known already."""
        if self._with is not None and self._so_far is not None:
            known = self._runs.of(self._with)
            if known is None or known.done < self._so_far.done:
                self._runs.keep(self._with, self._so_far)
        self.cancel()

    def altered(self, cabinet: Cabinet | None) -> None:
        """Another cabinet is on view: a run with the one before is given up."""
        if self._with is not None and (cabinet is None or not same_play(cabinet, self._with)):
            self.cancel()
        self.changed.emit()

    def forget(self) -> None:
        """Another design is on the desk: nothing of the one before is shown."""
        self.cancel()
        self._runs.clear()
        self.changed.emit()

    def now(self, cabinet: Cabinet) -> Counted | None:
        """What is known of a cabinet: the run under way, else one that was finished."""
        if self._so_far is not None and self._with is not None and same_play(self._with, cabinet):
            return self._so_far
        return self._runs.of(cabinet)

    def whole(self, cabinet: Cabinet) -> Counted | None:
        """What was counted in a run with a cabinet that was not given up early; None when there was none."""
        known = self._runs.of(cabinet)
        return known if known is not None and known.finished else None

    def before(self, cabinet: Cabinet) -> Counted | None:
        """The last run before this cabinet was made what it is."""
        return self._runs.before(cabinet)

    def _take(self, answer: object) -> None:
        if isinstance(answer, Failed) and answer.run and answer.id == self._asked:
            self.told.emit(answer.text)
            self._end()
        if not isinstance(answer, Counted) or answer.id != self._asked or self._with is None:
            return
        self._so_far = answer
        if answer.finished:
            self._runs.keep(self._with, answer)
            self._end()
        else:
            self.changed.emit()

    def _end(self) -> None:
        self._with = self._so_far = None
        self.changed.emit()


# --- charts and words


def chart_of(cabinet: Cabinet, now: Counted | None, before: Counted | None) -> ChanceChart:
    """A column for each target, then for the gutter, the front stop, lost balls and stops."""
    results = [*(t.number for t in cabinet.targets), 0, -1, -2, -3]
    names = {t.number: (f"{t.score:g}", f"target {t.number}") for t in cabinet.targets} | NAMES
    ends, old = _by_result(now), _by_result(before)
    if now is None and before is None:
        return ChanceChart()
    columns = []
    for result in results:
        end, was = ends.get(result), old.get(result)
        share = (end.share if end is not None else 0.0) if now is not None else None
        past = (was.share if was is not None else 0.0) if before is not None else None
        error = end.error if end is not None else 0.0
        brief = f"no. {result}" if result > 0 else names[result][1]
        columns.append(Column(*names[result], share, error, past, result > 0, result < -1, brief))
    return ChanceChart(tuple(columns), now is not None)


def _by_result(run: Counted | None) -> dict[int, End]:
    return {end.result: end for end in run.ends} if run is not None else {}


def round_words(cabinet: Cabinet, now: Counted | None, before: Counted | None) -> tuple[str, ...]:
    """What a round is worth and what comes back, a line each; the first is the one that matters most."""
    past = (f"before {_amount(before)}",) if before is not None else ()
    if now is None:
        return (NOT_YET, *past)
    mean = f" after {now.time:.1f} s" if now.time is not None else ""
    first = f"{_amount(now)} a round of {cabinet.balls.count}"
    count = "" if now.finished else f" of {now.done:,}"
    return (first, *past, f"{share_words(now.back)} %{count} back{mean}")


def _amount(run: Counted) -> str:
    return f"{run.round:.1f} ± {run.round_error:.1f}"


def astray_words(cabinet: Cabinet, run: Counted | None) -> tuple[str, str]:
    """How many balls did not come back, named a conflict where the check of balls' ends makes one of it, and why."""
    if run is None:
        return "", ""
    wrong = [f"{f.title}: {f.because}" for f in judged(cabinet, run) if f.status == "conflict"]
    said = f"{run.strayed} do not come back" if run.strayed != 1 else "1 does not come back"
    return (f"Conflict: {said}" if wrong else said), "\n".join(wrong)


def stray_words(cabinet: Cabinet, strays: Sequence[Stray]) -> tuple[str, ...]:
    """One line for each ball that did not come back."""
    ends = {-3: "Stops", -2: "Lost"}
    aims = [value_words(round(s.aim, 1), "angle", "mm") for s in strays]
    return tuple(
        f"{ends[s.result]}: {s.speed:.2f} m/s, aim {aim}, {cabinet.leg_by_id[s.leg].label}"
        for s, aim in zip(strays, aims, strict=True)
    )


def landings_of(run: Counted | None) -> tuple[Item, ...]:
    """Where the balls of a run first touched the face."""
    return landing_items({(i, j): n for i, j, n in run.landings}, run.side) if run is not None else ()

"""All of the window's timing in one object: nothing else in desk/ui owns a timer.

A *throttled* job runs at once, then at most once in its interval; calls in between are merged, the latest wins, and
the last is always delivered. A *debounced* job runs once things have been quiet for its interval. Both are known by
name, so a later call replaces an earlier one that has not run yet.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt, QTimer

Job = Callable[[], None]
FRAME = 1 / 30
"""Seconds between two pictures of an animation."""


@dataclass
class _Due:
    at: float
    job: Job
    rest: float = 0.0


class Pace(QObject):
    """Runs named jobs. With ``instant`` every job runs inside the call that asks for it (for tests)."""

    def __init__(
        self,
        parent: QObject | None = None,
        instant: bool = False,
        clock: Callable[[], float] = time.perf_counter,
    ) -> None:
        super().__init__(parent)
        self.instant = instant
        self._clock = clock
        self._due: dict[str, _Due] = {}
        self._free_at: dict[str, float] = {}
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self.run_due)

    def now(self) -> float:
        """The clock, s."""
        return self._clock()

    def throttle(self, name: str, seconds: float, job: Job) -> None:
        """Run ``job`` now if ``name`` has rested for ``seconds`` since it last ended, else when it has."""
        now = self._clock()
        free_at = self._free_at.get(name, now)
        if self.instant or (free_at <= now and name not in self._due):
            self._due.pop(name, None)
            job()
            self._free_at[name] = self._clock() + seconds
            return
        self._plan(name, _Due(max(free_at, now), job, seconds))

    def debounce(self, name: str, seconds: float, job: Job) -> None:
        """Run ``job`` when ``name`` has not been asked for during ``seconds``."""
        if self.instant:
            job()
        else:
            self._plan(name, _Due(self._clock() + seconds, job))

    def animate(self, name: str, seconds: float, frame: Callable[[float], None]) -> None:
        """Call ``frame`` with a share from 0 to 1 about thirty times a second; the last call is always 1.0."""
        start = self._clock()

        def tick() -> None:
            share = min(1.0, (self._clock() - start) / seconds)
            frame(share)
            if share < 1.0:
                self._plan(name, _Due(self._clock() + FRAME, tick))

        if self.instant:
            frame(1.0)
        else:
            tick()

    def beat(self, name: str, seconds: float, frame: Callable[[float], bool]) -> None:
        """Call ``frame`` every ``seconds`` with the seconds gone since the call before, until it returns False."""
        last = self._clock()

        def tick() -> None:
            nonlocal last
            now = self._clock()
            gone, last = now - last, now
            if frame(gone):
                self._plan(name, _Due(max(now + seconds, self._clock()), tick))

        if self.instant:
            while frame(seconds):
                pass
        else:
            self._plan(name, _Due(last + seconds, tick))

    def cancel(self, name: str) -> None:
        """Drop what is planned under this name."""
        self._due.pop(name, None)

    def flush(self, name: str) -> None:
        """Run what is planned under this name now."""
        self._run(name)

    def stop(self) -> None:
        """Drop all that is planned."""
        self._due.clear()
        self._timer.stop()

    def waiting(self, name: str) -> bool:
        """Whether something is planned under this name."""
        return name in self._due

    def run_due(self) -> None:
        """Run every job whose time has come. Called by the timer."""
        now = self._clock()
        for name in [n for n, d in self._due.items() if d.at <= now + 1e-4]:
            self._run(name)
        self._wind()

    def _run(self, name: str) -> None:
        due = self._due.pop(name, None)
        if due is not None:
            due.job()
            if due.rest:
                self._free_at[name] = self._clock() + due.rest

    def _plan(self, name: str, due: _Due) -> None:
        before = self._due.get(name)
        self._due[name] = due
        if before is None or before.at != due.at:
            self._wind()

    def _wind(self) -> None:
        if self._due:
            wait = min(d.at for d in self._due.values()) - self._clock()
            self._timer.start(max(0, round(wait * 1000)))
        else:
            self._timer.stop()

"""The window while 10,000 throws run: how far apart its pictures are.

A ball rolls in all views and the mouse moves over the section all the while. Prints one JSON line: median, 99th
percentile and worst gap in ms between two beats of the moving ball and the longest hold-up of the event loop, with the
run and, for comparison, without it; and how long the run took.

Run: python -m tests.bench.bench_play_window
"""

from __future__ import annotations

import json
import os
import statistics
import sys
import tempfile
import time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from desk.ui.canvas import Canvas
from desk.ui.workroom import Workroom
from tests.bench.window import opened

GOALS = {"p99_ms": 33.0}
PATIENCE = 60.0
"""Seconds a run is waited for."""


class Watched:
    """Turns the event loop by hand and notes when the ball was moved and how long each turn took."""

    def __init__(self, room: Workroom, app: QApplication) -> None:
        self.room, self._app = room, app
        self.beats: list[float] = []
        self.turns: list[float] = []
        room.play.stage.moved.connect(lambda: self.beats.append(time.perf_counter()))

    def turn(self) -> None:
        """One turn of the event loop with the mouse on the move; the ball starts again when it is at its end."""
        start = time.perf_counter()
        hover(self.room.sheet.section, start)
        self._app.processEvents()
        self.turns.append(1000 * (time.perf_counter() - start))
        stage = self.room.play.stage
        if stage.scene.play is not None and stage.scene.play.over:
            stage.again()
        time.sleep(0.0005)

    def result(self) -> dict[str, float]:
        """Gaps between beats, those of a ball that starts anew left out, and the longest turn, ms."""
        gaps = sorted(1000 * (b - a) for a, b in zip(self.beats, self.beats[1:], strict=False))
        return {
            "median_ms": round(statistics.median(gaps), 1),
            "p99_ms": round(gaps[int(len(gaps) * 0.99)], 1),
            "worst_ms": round(gaps[-1], 1),
            "longest_turn_ms": round(max(self.turns), 1),
            "beats": len(gaps),
        }

    def start(self) -> None:
        """Begin anew."""
        self.beats, self.turns = [], []


def hover(canvas: Canvas, now: float) -> None:
    """The mouse wanders over a view."""
    place = QPointF(200 + 150 * ((now * 0.7) % 1.0), 180)
    none, keys = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    kind = QEvent.Type.MouseMove
    QApplication.sendEvent(canvas, QMouseEvent(kind, place, canvas.mapToGlobal(place), none, none, keys))


def main() -> None:
    """Watch the window without a run and with one, and print one line."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    with tempfile.TemporaryDirectory() as folder:
        room = opened(folder)
        room.play.show(True)
        desk = room.play.desk
        assert desk is not None
        watched = Watched(room, app)
        until = time.perf_counter() + PATIENCE
        while not desk.current and time.perf_counter() < until:
            watched.turn()
        room.play.throw()
        quiet_until = time.perf_counter() + 3.0
        watched.start()
        while time.perf_counter() < quiet_until:
            watched.turn()
        quiet = watched.result()
        watched.start()
        began = time.perf_counter()
        room.play.run()
        while desk.runs.running and time.perf_counter() < until:
            watched.turn()
        took = time.perf_counter() - began
        busy = watched.result()
        room.document.session.mark_saved()
        room.front.close()
    told = {"bench": "play window", "throws": 10_000, "run_s": round(took, 1)}
    sys.stdout.write(json.dumps({**told, "quiet": quiet, "running": busy, "goals": GOALS}) + "\n")


if __name__ == "__main__":
    main()

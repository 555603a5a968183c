"""One step of a drag in the real window: rebuild, all checks, redraw of every open view.

Prints one JSON line: median and 99th percentile of a step in ms, the medians of the part of it that works the design
out and of the window's own part, and the step as a multiple of the bare shapely calls it makes, recorded in the run and
made again by themselves.

Run: python -m tests.bench.bench_drag
"""

from __future__ import annotations

import json
import os
import statistics
import sys
import tempfile
import time
import types
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import shapely

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from desk.design.model import Design
from desk.ui.canvas import Canvas
from desk.ui.document import Evaluated
from desk.ui.outward import evaluate
from desk.ui.workroom import Workroom
from desk.views.drawing import Dimension
from tests.bench.window import opened

STEPS = 10
SECTIONS = ("lane", "channel")
WHOLE = ("board.gap", "lane.length")
"""Handles that move nearly every part of the cabinet; given on their own as well."""
GOALS = {"median_ms": 8.0, "p99_ms": 16.0, "over_shapely": 3.0}

Call = tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]]


class Worked:
    """The evaluator, with the time of its last call."""

    def __init__(self) -> None:
        self.ms = 0.0

    def __call__(self, design: Design, last: Evaluated | None = None) -> Evaluated:
        start = time.perf_counter()
        made = evaluate(design, last)
        self.ms = 1000 * (time.perf_counter() - start)
        return made


@contextmanager
def recorded(calls: list[Call]) -> Iterator[None]:
    """Note every call of a function of shapely's while the block runs."""
    kept: dict[str, Any] = {}

    def noting(function: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **named: Any) -> Any:
            calls.append((function, args, named))
            return function(*args, **named)

        return call

    for name, thing in vars(shapely).items():
        if isinstance(thing, types.FunctionType) and not name.startswith("_"):
            kept[name] = thing
    for name, thing in kept.items():
        setattr(shapely, name, noting(thing))
    try:
        yield
    finally:
        for name, thing in kept.items():
            setattr(shapely, name, thing)


def send(canvas: Canvas, kind: QEvent.Type, at: tuple[float, float], button: Qt.MouseButton) -> None:
    """One mouse event."""
    place = QPointF(*at)
    held = Qt.MouseButton.LeftButton
    keys = Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(canvas, QMouseEvent(kind, place, canvas.mapToGlobal(place), button, held, keys))


def drag(
    room: Workroom, worked: Worked, canvas: Canvas, address: str, fresh: float
) -> list[tuple[float, float]]:
    """(whole step, working out) in ms for every step of one drag; ``fresh`` keeps its values from any before."""
    item = canvas.easel.by_address(address)
    assert item is not None
    x, y = canvas.view.to_px(item.handle)
    axis = item.pulls[-1].axis
    times = []
    send(canvas, QEvent.Type.MouseButtonPress, (x, y), Qt.MouseButton.LeftButton)
    for k in range(STEPS):
        by = (3.0 + 0.5 * k + fresh) * canvas.view.scale
        start = time.perf_counter()
        at = (x + by * axis[0], y - by * axis[1])
        send(canvas, QEvent.Type.MouseMove, at, Qt.MouseButton.NoButton)
        room.pace.flush("evaluate")
        QApplication.processEvents()
        times.append((1000 * (time.perf_counter() - start), worked.ms))
    send(canvas, QEvent.Type.MouseButtonRelease, (x, y), Qt.MouseButton.LeftButton)
    room.document.undo()
    QApplication.processEvents()
    return times


def handles(room: Workroom) -> Iterator[tuple[Canvas, str]]:
    """Every handle of every view, the section shown in turn through the lane and through the return."""
    canvases = room.sheet.canvases
    for section in SECTIONS:
        room.sheet.show_section(section)
        QApplication.processEvents()
        for address in _addresses(canvases["section"]):
            yield canvases["section"], address
    for view in ("plan", "face"):
        for address in _addresses(canvases[view]):
            yield canvases[view], address


def _addresses(canvas: Canvas) -> list[str]:
    items = canvas.easel.drawing.items if canvas.easel.drawing is not None else ()
    found = [item.id for item in items if isinstance(item, Dimension) and item.pulls]
    return [a for a in dict.fromkeys(found) if canvas.easel.by_address(a) is not None]


def drag_all(
    room: Workroom, worked: Worked, fresh: float
) -> dict[tuple[str, str], list[tuple[float, float]]]:
    """Times of a drag of every handle, by view and address."""
    return {(c.name, a): drag(room, worked, c, a, fresh) for c, a in handles(room)}


def main() -> None:
    """Drag every handle twice, the second time with shapely's calls noted, and print one line."""
    app = QApplication.instance() or QApplication([])
    worked = Worked()
    with tempfile.TemporaryDirectory() as folder:
        room = opened(folder, worked)
        app.processEvents()
        drag(room, worked, room.sheet.canvases["section"], WHOLE[0], 0.1)
        times = drag_all(room, worked, 0.2)
        calls: list[Call] = []
        with recorded(calls):
            drag_all(room, worked, 0.3)
        start = time.perf_counter()
        for function, args, named in calls:
            function(*args, **named)
        bare = 1000 * (time.perf_counter() - start) / sum(len(t) for t in times.values())
        room.document.session.mark_saved()
        room.front.close()
    sys.stdout.write(json.dumps(result(times, bare)) + "\n")


def result(times: dict[tuple[str, str], list[tuple[float, float]]], bare: float) -> dict[str, object]:
    """Medians and ratios of all steps in ms."""
    every = [t for found in times.values() for t in found]
    steps = sorted(t[0] for t in every)
    whole = [t[0] for (_, address), found in times.items() if address in WHOLE for t in found]
    return {
        "bench": "drag",
        "handles": len(times),
        "median_ms": round(statistics.median(steps), 2),
        "p99_ms": round(steps[int(len(steps) * 0.99)], 2),
        "median_moving_nearly_all_ms": round(statistics.median(whole), 2),
        "working_out_ms": round(statistics.median(t[1] for t in every), 2),
        "window_ms": round(statistics.median(t[0] - t[1] for t in every), 2),
        "shapely_ms": round(bare, 2),
        "over_shapely": round(statistics.fmean(steps) / bare, 2),
        "goals": GOALS,
    }


if __name__ == "__main__":
    main()

"""A window on a real design whose clock is in the test's hand, so that a ball can be stopped on its way."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtWidgets import QApplication

from desk.design.file import load
from desk.playwork import Counted, End, Stray
from desk.ui.canvas import Canvas
from desk.ui.document import Document
from desk.ui.front import Front
from desk.ui.outward import complete, evaluate
from desk.ui.pace import Pace
from desk.ui.recovery import Recovery
from desk.ui.store import Store
from desk.ui.workroom import Workroom
from desk.views.drawing import Disc
from desk.views.theme import theme

EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"
Px = tuple[float, float]


@dataclass
class Clock:
    """A clock that is set by hand."""

    now: float = 100.0

    def __call__(self) -> float:
        return self.now


@dataclass
class PlayRoom:
    """The window and its clock."""

    room: Workroom
    clock: Clock

    def wait(self, seconds: float, step: float = 1 / 60) -> None:
        """Let time go by, a beat at a time."""
        for _ in range(math.ceil(seconds / step - 1e-9)):
            self.clock.now += step
            self.room.pace.run_due()
            QApplication.processEvents()

    def close(self) -> None:
        """Throw the window away without questions."""
        self.room.document.session.mark_saved()
        self.room.front.close()
        self.room.front.deleteLater()


def open_room(folder: Path, store: Store, example: str = "marble-16mm") -> PlayRoom:
    """A shown window on an example."""
    store.set_look("light")
    front = Front(theme("light"))
    front.resize(1280, 800)
    front.show()
    clock = Clock()
    pace = Pace(clock=clock)
    document = Document(load(EXAMPLES / f"{example}.lane"), evaluate, pace, complete)
    room = Workroom(front, document, store, Recovery(folder / "state"), pace)
    room.begin(None)
    QApplication.processEvents()
    return PlayRoom(room, clock)


def ball(canvas: Canvas, style: str = "ball-resting") -> Disc:
    """The first ball of a style that is drawn in a view or lies loose on it."""
    drawing = canvas.easel.drawing
    assert drawing is not None
    items = (*drawing.items, *canvas.lying)
    return next(i for i in items if isinstance(i, Disc) and i.style == style)


def styles(canvas: Canvas) -> set[str]:
    """Styles of all that lies loose on a view."""
    return {getattr(item, "style", "") for item in canvas.lying}


Opener = Callable[..., PlayRoom]


def tally(key: int, done: int, score: float = 60.0, strays: tuple[Stray, ...] = ()) -> Counted:
    """What an answer tells of a run of 1000 throws after so many of them."""
    stopped = sum(s.result == -3 for s in strays)
    ends = [End(1, 50.0, 0.25, 0.01), End(0, 0.0, 0.7, 0.01), End(-3, 0.0, 0.05, 0.002)]
    return Counted(
        key,
        done,
        1000,
        ends,
        score,
        0.4,
        0.95,
        0.05,
        4.2,
        list(strays),
        len(strays),
        stopped,
        5.0,
        [(0, 3, 7)],
    )

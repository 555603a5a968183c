"""Fills the window. Imported once the bare window is on the screen, for this is where the program's weight hangs."""

from __future__ import annotations

import gc
from pathlib import Path

from PySide6.QtCore import QStandardPaths

from desk.design.starting import starting_design
from desk.ui.document import Document
from desk.ui.front import Front
from desk.ui.outward import advance, complete, evaluate
from desk.ui.pace import Pace
from desk.ui.recovery import Recovery
from desk.ui.store import Store
from desk.ui.workroom import Workroom

COLLECT_AFTER = 100_000
"""New objects after which the collector runs even during a drag."""
REST = 2.0
"""Seconds without a change after which it runs."""


def _collect() -> None:
    gc.collect()


def state_folder() -> Path:
    """Where snapshots of unsaved work lie."""
    return Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.StateLocation))


def furnish(front: Front, store: Store, pace: Pace, design_path: Path | None) -> Workroom:
    """Everything in the window, on the file asked for or on the starting design."""
    document = Document(starting_design(), evaluate, pace, complete, advance)
    room = Workroom(front, document, store, Recovery(state_folder()), pace)
    room.begin(design_path)
    calm_collector(room)
    return room


def calm_collector(room: Workroom) -> None:
    """Keep the garbage collector from stopping a drag.

    What is there at the start stays and need not be looked through; a drag step leaves next to no cycles behind; so
    the collector runs when the hands have rested.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(COLLECT_AFTER)
    room.document.evaluated.connect(lambda _made: room.pace.debounce("collect", REST, _collect))

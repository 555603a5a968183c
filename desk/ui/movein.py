"""Fills the window. Imported once the bare window is on the screen, for this is where the program's weight hangs."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QStandardPaths

from desk.design.starting import starting_design
from desk.ui.front import Front
from desk.ui.outward import evaluate
from desk.ui.pace import Pace
from desk.ui.recovery import Recovery
from desk.ui.store import Store
from desk.ui.workroom import Workroom


def state_folder() -> Path:
    """Where snapshots of unsaved work lie."""
    return Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.StateLocation))


def furnish(front: Front, store: Store, pace: Pace, design_path: Path | None) -> Workroom:
    """Everything in the window, on the file asked for or on the starting design."""
    room = Workroom(front, starting_design(), evaluate, store, Recovery(state_folder()), pace)
    room.begin(design_path)
    return room

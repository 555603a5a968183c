"""The window the benchmarks watch: 1280 x 800, light, on the starting design, in a folder of its own."""

from __future__ import annotations

import os
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings

from desk.design.starting import starting_design
from desk.ui.document import Document, Evaluator
from desk.ui.front import Front
from desk.ui.movein import calm_collector
from desk.ui.outward import advance, complete, evaluate
from desk.ui.pace import Pace
from desk.ui.recovery import Recovery
from desk.ui.store import Store
from desk.ui.workroom import Workroom
from desk.views.theme import theme


def opened(folder: str, evaluator: Evaluator = evaluate) -> Workroom:
    """The window, shown and furnished; its settings and what it recovers lie in ``folder``."""
    store = Store(QSettings(os.path.join(folder, "settings.ini"), QSettings.Format.IniFormat))
    front = Front(theme("light"))
    front.resize(1280, 800)
    front.show()
    pace = Pace()
    document = Document(starting_design(), evaluator, pace, complete, advance)
    room = Workroom(front, document, store, Recovery(Path(folder)), pace)
    room.begin(None)
    calm_collector(room)
    return room

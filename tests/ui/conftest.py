"""Workroom tests run without a screen, with settings and snapshots in a folder of the test's own."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QSettings
from PySide6.QtWidgets import QApplication

from desk.design.model import Design
from desk.ui.document import Completer, Document, Evaluator
from desk.ui.front import Front
from desk.ui.pace import Pace
from desk.ui.recovery import Recovery
from desk.ui.store import Store
from desk.ui.workroom import Workroom
from desk.views.theme import theme

from .fakes import evaluate as fake_evaluate
from .fakes import starting

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """Settings in a file of the test's own."""
    return Store(QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat))


@pytest.fixture
def make_window(qapp: QApplication, tmp_path: Path, store: Store) -> Iterator[Callable[..., Workroom]]:
    """Makes shown windows on the starting design; they are thrown away without questions."""
    made: list[Workroom] = []

    def make(
        evaluator: Evaluator = fake_evaluate,
        design: Design | None = None,
        completer: Completer = lambda made: made,
    ) -> Workroom:
        store.set_look("light")
        front = Front(theme("light"))
        front.resize(1280, 800)
        front.show()
        recovery = Recovery(tmp_path / "state")
        pace = Pace(instant=True)
        window = Workroom(
            front, Document(design or starting(), evaluator, pace, completer), store, recovery, pace
        )
        made.append(window)
        window.begin(None)
        qapp.processEvents()
        return window

    yield make
    for window in made:
        window.document.session.mark_saved()
        window.front.close()
        window.front.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def window(make_window: Callable[[], Workroom]) -> Workroom:
    """A window over hand-made drawings."""
    return make_window()

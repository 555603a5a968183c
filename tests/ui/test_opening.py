"""Another design on the desk: its views are shown whole, whatever was seen before."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication

from desk.design.starting import proportioned, starting_design
from desk.ui.document import Evaluator
from desk.ui.outward import evaluate
from desk.ui.workroom import Workroom


@pytest.mark.parametrize("zoomed", [1.0, 2.5])
def test_a_larger_design_is_shown_whole(
    make_window: Callable[[Evaluator], Workroom], qapp: QApplication, zoomed: float
) -> None:
    window = make_window(evaluate)
    section = window.sheet.section
    window.sheet.zoom_by(zoomed)
    window.document.open(proportioned(starting_design(), 25.0), None)
    qapp.processEvents()
    drawing = section.easel.drawing
    assert drawing is not None
    x0, y0, x1, y1 = drawing.extent
    for corner in ((x0, y0), (x1, y1)):
        x, y = section.view.to_px(corner)
        assert -1 <= x <= section.width() + 1
        assert -1 <= y <= section.height() + 1

"""The sharing picture."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from desk.design import edit
from desk.ui.picture import PAGE, render_picture
from desk.views.theme import theme

from .fakes import evaluate, starting

ALONE = """
import sys
from PySide6.QtGui import QGuiApplication
app = QGuiApplication([])
from desk.design.starting import starting_design
from desk.evaluate import evaluate
from desk.ui.picture import render_picture
from desk.views.theme import theme
image = render_picture(evaluate(starting_design()), theme("print"))
assert image.save(sys.argv[1])
assert "PySide6.QtWidgets" not in sys.modules or "desk.ui.window" not in sys.modules
"""


def ink(image: QImage, box: tuple[float, float, float, float]) -> float:
    """Share of pixels that are not white in a part of the page given in shares of it."""
    w, h = image.width(), image.height()
    x0, y0, x1, y1 = (round(b * s) for b, s in zip(box, (w, h, w, h), strict=True))
    part = image.copy(x0, y0, x1 - x0, y1 - y0).scaled(160, 120)
    dark = sum(part.pixelColor(x, y).lightness() < 250 for x in range(160) for y in range(120))
    return dark / (160 * 120)


@pytest.fixture
def image(qapp: QApplication) -> QImage:
    return render_picture(evaluate(edit.put(starting(), "board.gap", 10.0)), theme("print"))


def test_it_is_large_enough_to_be_zoomed_and_white(image: QImage) -> None:
    assert (image.width(), image.height()) == (PAGE[0] * 2, PAGE[1] * 2)
    assert image.pixelColor(2, 2).name() == "#ffffff"


def test_all_four_views_the_sizes_and_the_findings_are_on_it(image: QImage) -> None:
    quarters = {
        "head": (0.0, 0.0, 1.0, 0.08),
        "lane": (0.0, 0.12, 0.49, 0.45),
        "channel": (0.51, 0.12, 1.0, 0.45),
        "plan": (0.0, 0.45, 0.49, 0.65),
        "sizes": (0.0, 0.7, 0.49, 0.84),
        "face": (0.51, 0.45, 0.71, 0.78),
        "findings": (0.73, 0.43, 1.0, 0.48),
    }
    assert {name for name, box in quarters.items() if ink(image, box) < 0.01} == set()


def test_nothing_runs_off_the_page(image: QImage) -> None:
    for box in ((0.0, 0.0, 0.02, 1.0), (0.98, 0.0, 1.0, 1.0), (0.0, 0.0, 1.0, 0.01), (0.0, 0.995, 1.0, 1.0)):
        assert ink(image, box) == 0.0


def test_it_shows_the_conflict_in_its_colour(image: QImage) -> None:
    part = image.copy(round(image.width() * 0.72), round(image.height() * 0.4), 200, 400)
    found = {part.pixelColor(x, y).name() for x in range(part.width()) for y in range(part.height())}
    assert "#d55e00" in found


def test_the_same_design_gives_the_same_picture(qapp: QApplication, image: QImage) -> None:
    again = render_picture(evaluate(edit.put(starting(), "board.gap", 10.0)), theme("print"))
    assert again == image


def test_it_is_made_without_a_window(tmp_path: object) -> None:
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    path = os.path.join(str(tmp_path), "alone.png")
    done = subprocess.run(
        [sys.executable, "-c", ALONE, path], env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert os.path.getsize(path) > 20_000

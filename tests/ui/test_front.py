"""The bare window before anything fills it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.ui.front import Blank, Front, heights, widths
from desk.ui.workroom import Workroom
from desk.views.theme import theme

LIGHT = """
import sys
import desk.ui.app
heavy = {"numpy", "shapely", "ezdxf", "scipy", "msgspec", "desk.cabinet.model", "desk.ui.workroom", "desk.design.table"}
print(sorted(heavy & set(sys.modules)))
"""


def test_nothing_heavy_is_imported_for_the_first_picture() -> None:
    done = subprocess.run([sys.executable, "-c", LIGHT], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_first_picture_is_told_once(qtbot: QtBot, qapp: QApplication) -> None:
    front = Front(theme("light"))
    qtbot.addWidget(front)
    told: list[int] = []
    front.blank.painted.connect(lambda: told.append(1))
    front.show()
    qtbot.waitUntil(lambda: told == [1], timeout=2000)
    front.blank.repaint()
    assert told == [1]


def test_without_a_guest_it_closes_without_a_word(qtbot: QtBot) -> None:
    front = Front(theme("light"))
    qtbot.addWidget(front)
    front.show()
    assert front.close()


@pytest.mark.parametrize("width", [900, 1268, 1908, 3000])
def test_the_panes_fill_the_width(width: int) -> None:
    section, face, lists = widths(width)
    assert section + face + lists + 12 == width
    assert section > face
    assert section >= 240
    (a, b), (c, d) = heights(700)
    assert a + b == c + d == 700


def test_the_paper_lies_where_the_panes_will_be(window: Workroom, qtbot: QtBot) -> None:
    blank = Blank(theme("light"))
    qtbot.addWidget(blank)
    blank.resize(window.front.centralWidget().size())
    sheets = {name: rect for name, rect, _ in blank._sheets()}
    panes = {
        "Section": window.sheet.section_pane,
        "Board face": window.sheet.face_pane,
        "Findings": window.findings,
        "Dimensions": window.dimensions,
    }
    for name, pane in panes.items():
        corner = pane.mapTo(window.front.centralWidget(), pane.rect().topLeft())
        assert abs(corner.x() - sheets[name].x()) <= 4
        assert abs(corner.y() - sheets[name].y()) <= 6
        assert abs(pane.width() - sheets[name].width()) <= 8


def test_a_look_is_put_on_the_whole_program(qtbot: QtBot, qapp: QApplication, tmp_path: Path) -> None:
    front = Front(theme("dark"))
    qtbot.addWidget(front)
    assert qapp.palette().window().color().name().upper() == theme("dark").colour("window")
    front.set_theme(theme("light"))
    assert qapp.palette().window().color().name().upper() == theme("light").colour("window")

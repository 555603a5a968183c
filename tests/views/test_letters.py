"""Room for texts, against Qt's own metrics of the face the table was read from."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFont, QFontDatabase, QFontMetricsF
from PySide6.QtWidgets import QApplication

from desk.views.letters import PX_PER_POINT, measure
from desk.views.theme import Letters

SANS, SERIF = ("DejaVu Sans", "sans-serif"), ("DejaVu Serif", "serif")
TEXTS = (
    "Section through the lane",
    "142.8",
    "1 1/2 in, 34°, −0.5 mm × 2",
    "Wigley's JAR {0} [1] ~|^",
    "½ ¾ ⅝",
)


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize(("families", "weight"), [(SANS, 400), (SANS, 700), (SERIF, 400), (SERIF, 700)])
def test_widths_are_those_of_the_face(
    families: tuple[str, ...], weight: int, text: str, qapp: QApplication
) -> None:
    if not QFontDatabase.hasFamily(families[0]):
        pytest.skip(f"{families[0]} is not installed")
    size = 96.0
    font = QFont(families[0])
    font.setPixelSize(int(size))
    font.setWeight(QFont.Weight(weight))
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setKerning(False)
    wide = measure(text, Letters("", families, size / PX_PER_POINT, weight))[0]
    assert wide == pytest.approx(QFontMetricsF(font).horizontalAdvance(text), rel=0.01)


def test_height_grows_with_the_size() -> None:
    small, large = (measure("a", Letters("", SANS, size))[1] for size in (8.0, 16.0))
    assert large == pytest.approx(2 * small)


def test_a_letter_the_table_lacks_takes_a_full_square() -> None:
    assert measure("木", Letters("", SANS, 7.5))[0] == pytest.approx(10.0)
    assert measure("", Letters("", SANS, 7.5))[0] == 0.0

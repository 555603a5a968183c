"""The legend follows the design's sheets and is painted with their tints."""

from __future__ import annotations

from desk.design import edit
from desk.ui.workroom import Workroom
from desk.views.theme import theme


def test_it_shows_the_tints_and_the_signs(window: Workroom) -> None:
    legend = window.card.legend
    assert legend.isVisible()
    image = legend.grab().toImage()
    colours = {image.pixelColor(12, y).name().upper() for y in range(image.height())}
    look = theme("light")
    stocks = len(window.document.design.stocks)
    assert {look.stroke(f"stock-{k}").fill for k in range(1, stocks + 1)} <= colours
    assert look.colour("conflict") in colours


def test_it_follows_measured_thickness_and_unit(window: Workroom) -> None:
    window.document.change("Set", lambda d: edit.put(d, "stocks.1.measured", 8.7))
    assert "8.7 mm" in window.card.legend.accessibleName()
    window.document.change("Unit", lambda d: edit.set_unit(d, "in"))
    assert "0.343 in" in window.card.legend.accessibleName()


def test_it_gives_way_to_the_explanation(window: Workroom) -> None:
    window.document.choose("check-1")
    assert not window.card.legend.isVisible()
    window.document.choose("")
    assert window.card.legend.isVisible()

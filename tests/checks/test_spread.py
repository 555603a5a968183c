"""Sheets measured several times: what they have to fit is judged at the thickest and at the thinnest reading."""

from __future__ import annotations

import pytest

from desk.cabinet.build import build
from desk.checks.finding import Finding
from desk.checks.run import run
from desk.design.edit import put_readings
from desk.design.model import Design
from tests.checks.helpers import changed

PLACES = {stock.id: n for n, stock in enumerate(changed().stocks, 1)}


def read(spread: float, *stocks: str, **values: float) -> Design:
    """The starting design with some stocks measured three times, their mean as it was, half their range ``spread``."""
    design = changed(**values)
    for key in stocks:
        place = PLACES[key]
        mean = design.stocks[place - 1].measured
        readings = [mean - spread, mean, mean + spread]
        design = put_readings(design, f"stocks.{place}.measured", readings)
    return design


def look(design: Design, check: str) -> Finding:
    return run(build(design), [check])[0]


@pytest.mark.parametrize(
    ("spread", "status"), [(0.0, "clear"), (0.02, "clear"), (0.04, "tight"), (0.1, "conflict")]
)
def test_a_stack_takes_the_spread_of_every_layer(spread, status):
    """Eight ribs of 17.85 in 143.2: 0.4 mm to spare; eight times the spread goes off it, 0.2 is kept clear."""
    found = look(read(spread, "s18"), "stack")
    assert found.status == status
    assert found.measured == pytest.approx(0.4 - 8 * spread, abs=1e-6)
    assert ("readings differ" in found.because) == (spread > 0)


def test_the_thinnest_reading_counts_where_a_stack_is_loose():
    """1.2 mm to spare and 8 x 0.05 more: 1.6, above the 1.5 that is too wide; the mean alone would be tight."""
    plain, differs = (look(read(s, "s18", lane__width=144.0), "stack") for s in (0.0, 0.05))
    assert (plain.status, differs.status) == ("clear", "conflict")
    assert differs.measured == pytest.approx(1.6, abs=1e-6)
    assert "+ 0.40 as their readings differ" in differs.because


def test_a_tab_is_judged_thick_and_thin():
    """0.25 mm of play: 0.22 thicker leaves 0.03, less than the 0.05 needed; 0.40 thinner leaves 0.65 of 0.6 at most."""
    thick = look(read(0.22, "s9", "s12", "s18"), "tab-seat")
    assert thick.status == "conflict"
    assert thick.measured == pytest.approx(0.03, abs=2e-3)
    assert "- 0.22 as the stock's readings differ" in thick.because
    wide = look(read(0.3, "s9", "s12", "s18", joint__mortise_fit=0.5), "tab-seat")
    assert wide.status == "conflict"
    assert wide.measured == pytest.approx(0.8, abs=2e-3)
    assert "+ 0.30 as the stock's readings differ" in wide.because


def test_the_skin_over_a_point_loses_what_every_layer_may_lack():
    """Screws through a 9 mm cover into a 12 mm cleat: 8.90 + 11.80 - 19.00 = 1.70 mm on average."""
    found = look(read(0.1, "s9", "s12"), "screw-point")
    plain = look(changed(), "screw-point")
    assert plain.measured is not None
    assert found.measured == pytest.approx(plain.measured - 0.2, abs=1e-6)
    assert "- 0.20 as its readings differ" in found.because


def test_the_bite_loses_what_is_in_front_of_it_or_the_holding_part():
    """Of 20 mm, 11.80 in front: 8.20 bite, all thread; 0.1 thicker in front leaves 8.10, a thinner holder the same."""
    design = changed(joint__screw_header=20.0)
    plain, found = look(design, "screw-bite"), look(read(0.1, "s12"), "screw-bite")
    assert plain.measured is not None
    assert found.measured == pytest.approx(plain.measured - 0.1, abs=1e-6)
    assert "- 0.10 as its readings differ" in found.because


def test_the_channel_is_as_narrow_as_its_thinnest_spacer():
    plain, found = look(changed(), "channel-width"), look(read(0.2, "s18"), "channel-width")
    assert plain.measured is not None
    assert found.measured == pytest.approx(plain.measured - 0.2, abs=1e-6)


@pytest.mark.parametrize("check", ["stack", "tab-seat", "screw-point", "screw-bite", "channel-width"])
def test_equal_readings_change_nothing(check):
    plain, found = look(changed(), check), look(read(0.0, "s9", "s12", "s18"), check)
    assert (plain.measured, plain.because) == (found.measured, found.because)

"""Cutting length, bed and sheet."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Bit, Groove, Pocket
from desk.checks.cutting import bit_for_hole
from desk.checks.run import run
from desk.shapes.loop import polygon_loop, rect
from tests.checks.helpers import BITS, STOCKS, cabinet, changed, findings, hole, only, plate


@pytest.mark.parametrize(
    ("thick", "status", "spare"), [(20.0, "clear", 2.0), (20.8, "tight", 1.2), (21.5, "conflict", 0.5)]
)
def test_an_outline_needs_a_millimetre_more_than_the_thickness(thick, status, spare):
    found = only(cabinet([plate("a", thick, thickness=thick)]), "cut-depth")
    assert (found.status, found.measured, found.needed) == (status, pytest.approx(spare), 1.0)
    assert (
        found.because
        == f"6 mm straight: cutting length 22.00 - {thick:.2f} deep = {spare:.2f} mm; needed 1.00"
    )


def test_a_pocket_needs_its_depth_alone():
    deep = plate("a", 30.0, thickness=30.0, pockets=(Pocket(rect(20, 20, 60, 40), 21.8, "mortise"),))
    shown = {f.key.split("/")[1]: f for f in findings(cabinet([deep]), "cut-depth")}
    assert shown["pocket"].status == "tight"
    assert shown["pocket"].measured == pytest.approx(0.2)
    assert shown["profile"].status == "conflict"


@pytest.mark.parametrize(
    ("diameter", "made_with"),
    [(8.0, "d8"), (8.1, "d8"), (7.9, "d8"), (8.2, "b6"), (6.0, "b6"), (5.0, "b3"), (2.9, None)],
)
def test_which_bit_makes_a_hole(diameter, made_with):
    """A drill of about its size, else the longest straight bit that goes into it."""
    bit = bit_for_hole(BITS, diameter)
    assert (bit.id if bit else None) == made_with


def test_a_hole_too_deep_for_the_bit_that_fits_it():
    """5 mm through 12 mm: the 3 mm bit cuts 12 mm, and 1 mm more is needed."""
    found = only(cabinet([plate("a", 12.0, drills=(hole(30, 30, 5.0),))]), "cut-depth")
    assert (found.status, found.measured) == ("conflict", pytest.approx(0.0))
    blind = only(cabinet([plate("a", 12.0, drills=(hole(30, 30, 5.0, 8.0),))]), "cut-depth")
    assert blind.status == "clear"


def test_a_hole_no_bit_makes_is_a_conflict_unless_it_is_drilled_by_hand():
    found = only(cabinet([plate("a", 12.0, drills=(hole(30, 30, 2.0),))]), "cut-depth")
    assert (found.status, found.measured) == ("conflict", None)
    assert found.because == "the list of bits holds neither a 2.00 mm drill nor a thinner straight bit"
    by_hand = plate("a", 12.0, drills=(hole(30, 30, 2.0, by_hand=True),))
    assert only(cabinet([by_hand]), "cut-depth").status == "clear"


def test_lettering_needs_a_v_bit_of_its_angle():
    groove = Groove((((10, 10, 0), (40, 10, 0)),), 90.0, 2.0, "lettering")
    lettered = plate("a", 12.0, grooves=(groove,))
    assert "90 degree V-bit" in only(cabinet([lettered]), "cut-depth").because
    bits = (*BITS, Bit("v", "V", "vee", 12.0, 1.5, 90.0))
    assert only(cabinet([lettered], bits=bits), "cut-depth").measured == pytest.approx(-0.5)


def test_parts_of_one_thickness_are_read_once():
    found = only(cabinet([plate("a", 21.5, thickness=21.5), plate("b", 60.0, thickness=21.5)]), "cut-depth")
    assert found.parts == ("a", "b")
    assert len(found.places) == 2


@pytest.mark.parametrize(
    ("size", "status", "spare"),
    [
        ((500, 300), "clear", 88.0),
        ((585, 300), "tight", 3.0),
        ((590, 300), "conflict", -2.0),
        ((300, 585), "tight", 3.0),
    ],
)
def test_the_bed_holds_the_part_either_way_with_the_bit_round_it(size, status, spare):
    """Bed 600 x 400, 6 mm bit: 12 mm more than the part in each direction."""
    large = replace(STOCKS[2], sheet_length=2000.0, sheet_width=2000.0)
    of = cabinet([plate("a", 12.0, rect(0, 0, *size), stock="board")], stocks=(*STOCKS[:2], large))
    found = only(of, "part-fits")
    assert (found.status, found.margin) == (status, pytest.approx(spare))
    assert "on the bed" in found.title


def test_grain_keeps_a_part_from_being_turned_on_its_sheet():
    """Sheet 600 along the grain x 400: 300 x 500 fits board either way round, plywood only with its grain along 500."""
    tall = rect(0, 0, 300, 500)
    assert only(cabinet([plate("a", 12.0, tall, stock="board")]), "part-fits").status == "clear"
    found = only(cabinet([plate("a", 12.0, tall)]), "part-fits")
    assert (found.status, found.margin) == ("conflict", pytest.approx(400 - 500 - 20))
    assert "on its sheet" in found.title
    assert only(cabinet([plate("a", 12.0, tall, grain=(0.0, 1.0))]), "part-fits").status == "clear"


def test_a_slanting_grain_measures_along_itself():
    """A square on its corner, grain along its side: 100 x 100, not 141 x 141."""
    s = 100 / 2**0.5
    tilted = polygon_loop([(0, -s), (s, 0), (0, s), (-s, 0)])
    stocks = (replace(STOCKS[0], sheet_length=121.0, sheet_width=130.0), *STOCKS[1:])
    of = cabinet([plate("a", 12.0, tilted, grain=(0.5**0.5, 0.5**0.5))], stocks=stocks)
    found = only(of, "part-fits")
    assert found.margin == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize(
    ("gap", "status"), [(1.0, "conflict"), (5.99, "conflict"), (6.3, "tight"), (6.6, "clear")]
)
def test_parts_lie_at_least_the_bits_diameter_apart(gap, status):
    """The profile bit is 6 mm: what is left between two outlines is taken by its path."""
    found = [f for f in run(build(changed(shop__part_gap=gap)), ["part-fits"]) if "between parts" in f.title]
    assert [f.status for f in found] == ([] if status == "clear" else [status])
    for finding in found:
        assert finding.measured == pytest.approx(gap - 6.0)
        assert finding.remedies[0].address == "shop.part_gap"

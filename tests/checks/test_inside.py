"""Cuts in their wood, against plane geometry: the lens two circles share, and edges a cut may come up to."""

from __future__ import annotations

import math

import pytest

from desk.cabinet.model import Cutout, Groove, Part, Pocket
from desk.checks.inside import faults
from desk.shapes.frame import Frame
from desk.shapes.loop import circle, rect

FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def plate(**features) -> Part:
    return Part("plate", "Plate", "s9", 9.0, rect(0, 0, 100, 60), FRAME, **features)


def holes(*places: tuple[float, float, float]) -> Part:
    return plate(cutouts=tuple(Cutout(circle(*place), f"hole {n}") for n, place in enumerate(places, 1)))


def lens(radius: float, apart: float) -> float:
    """Area two equal circles share: 2 r^2 acos(d / 2r) - d / 2 sqrt(4 r^2 - d^2) (plane geometry)."""
    return 2 * radius**2 * math.acos(apart / (2 * radius)) - apart / 2 * math.sqrt(4 * radius**2 - apart**2)


@pytest.mark.parametrize("apart", [2.0, 8.0, 15.0, 19.0])
def test_holes_that_overlap_share_a_lens(apart):
    found = faults(holes((40, 30, 10), (40 + apart, 30, 10)))
    assert [f.cuts for f in found] == [("hole 1", "hole 2")]
    assert found[0].area == pytest.approx(lens(10, apart), rel=5e-3, abs=0.2)


def test_holes_apart_and_inside_are_no_fault():
    assert faults(holes((30, 30, 10), (50.1, 30, 10), (80, 30, 19.9))) == ()


@pytest.mark.parametrize(
    ("x", "bad"), [(11.0, False), (10.02, False), (9.9, True), (0.0, True), (-50.0, True), (200.0, True)]
)
def test_a_hole_must_not_reach_the_edge(x, bad):
    assert bool(faults(holes((x, 30, 10)))) is bad


def test_a_groove_counts_with_its_width():
    """A 90 degree groove 2 mm deep is 2 mm wide to each side of its middle line."""
    inside = Groove((((2.1, 30.0, 0.0), (97.9, 30.0, 0.0)),), 90.0, 2.0, "lettering")
    beyond = Groove((((1.9, 30.0, 0.0), (97.9, 30.0, 0.0)),), 90.0, 2.0, "lettering")
    assert faults(plate(grooves=(inside,))) == ()
    assert [f.cuts for f in faults(plate(grooves=(beyond,)))] == [("lettering",)]


def test_a_hole_in_a_rail_is_a_fault_and_one_inside_its_ring_is_not():
    field = rect(0, -5, 100, 65)
    ring = (
        Pocket(field, 5.0, "carving", islands=(circle(50, 30, 20),)),
        Pocket(circle(50, 30, 15), 5.0, "carving"),
    )
    assert faults(plate(pockets=ring, cutouts=(Cutout(circle(50, 26, 10), "hole 1"),))) == ()
    found = faults(plate(pockets=ring, cutouts=(Cutout(circle(50, 18, 10), "hole 1"),)))
    assert [f.cuts for f in found] == [("hole 1", "rail 1")]


def test_rebates_and_carving_may_run_out_but_mortises_may_not():
    assert faults(plate(pockets=(Pocket(rect(-5, 10, 10, 20), 3.0, "rebate"),))) == ()
    assert faults(plate(pockets=(Pocket(rect(-5, 10, 10, 20), 3.0, "mortise", "tab-1"),)))

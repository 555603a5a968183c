"""Slices of long thin figures whose widths and directions are known."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from desk.checks.slices import STEP, slices


def ring(inner, width):
    return (
        shapely.Point(0, 0)
        .buffer(inner + width, quad_segs=64)
        .difference(shapely.Point(0, 0).buffer(inner, quad_segs=64))
    )


def test_a_ring_is_as_wide_everywhere_and_has_no_end():
    cut = slices(ring(15.0, 5.0))
    assert cut.width == pytest.approx(5.0, abs=0.02)
    assert np.isinf(cut.on).all()
    # it runs every way
    assert len(np.unique(np.round(np.degrees(cut.way) % 180 / 10))) >= 18


@pytest.mark.parametrize("turn", [0.0, 35.0, 90.0])
def test_a_bar_is_sliced_across_and_knows_how_far_its_ends_are(turn):
    bar = shapely.affinity.rotate(shapely.box(-30.0, -2.5, 30.0, 2.5), turn, origin=(0, 0))
    cut = slices(bar)
    assert cut.width == pytest.approx(5.0)
    assert np.abs(np.sin(cut.way - math.radians(turn))) == pytest.approx(0.0, abs=1e-9)
    # a slice on one rim has the whole bar before and behind it, and half the width for each end
    assert cut.on.sum(axis=1) == pytest.approx(60.0 + 5.0, abs=1e-9)
    assert cut.on.min() == pytest.approx(2.5 + STEP / 2, abs=STEP / 2)


def test_round_ends_do_not_count_as_rail():
    bar = shapely.LineString([(0.0, 0.0), (40.0, 0.0)]).buffer(3.0, quad_segs=32)
    cut = slices(bar)
    middle = cut.ends.mean(axis=1)
    assert middle[:, 0].min() > -0.5
    assert middle[:, 0].max() < 40.5
    assert cut.width == pytest.approx(6.0, abs=0.1)


def test_a_horseshoe_is_a_ring_with_two_ends():
    shoe = ring(14.0, 5.0).difference(shapely.Polygon([(0, 0), (-60, 50), (60, 50)]))
    cut = slices(shoe)
    assert cut.width == pytest.approx(5.0, abs=0.05)
    assert np.isfinite(cut.on).all()
    # all round but for the 100.4 degrees cut out of it
    outside = 19.0 * math.radians(360 - 2 * math.degrees(math.atan(60 / 50)))
    assert cut.on.sum(axis=1).max() == pytest.approx(outside + 5.0, rel=0.05)


def test_the_narrow_part_of_a_wedge_is_found():
    wedge = shapely.Polygon([(0, 0), (60, 0), (60, 4), (0, 6)])
    cut = slices(wedge)
    assert cut.width.min() == pytest.approx(4.0, abs=0.1)
    assert cut.width.max() == pytest.approx(6.0, abs=0.1)


def test_nothing_gives_no_slices():
    assert len(slices(shapely.Polygon()).width) == 0

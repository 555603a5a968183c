"""Parts between the walls: the catch ramp with its tongue, the base, cleats and cover, asked for in space."""

from __future__ import annotations

import math

import numpy as np
import pytest

from desk.cabinet.build import build
from desk.cabinet.crossparts import LEAST_LENGTH
from desk.design import edit
from desk.design.starting import starting_design

from .designs import FIXED, cabinet, fixed
from .space import drawn


def world_of(part) -> np.ndarray:
    return np.array([part.frame.world(x, y) for x, y in part.outline.coords])


@pytest.mark.parametrize("name", FIXED)
def test_the_ramp_falls_to_the_channel_at_its_slope(name):
    """Its top edge climbs from the sill at the channel to the far panel by the tangent of the slope."""
    cab, d = cabinet(name), fixed(name)
    low, high = cab.marks.points["ramp low"], cab.marks.points["ramp high"]
    slope = math.tan(math.radians(d.value("behind.catch_slope")))
    points = world_of(cab.by_id["catch-ramp-1"])
    run = np.abs(points[:, 1] - low[1])
    top = points[:, 2].max()
    wall = next(p.thickness for p in cab.parts if p.id == "inner-wall")
    assert top == pytest.approx(high[2], abs=slope * (2 * d.value("joint.side_gap") + 0.5))
    edge = low[2] + slope * run
    assert (points[:, 2] <= edge + slope * 0.5 + 1e-6).all()
    assert abs(points[:, 1] - low[1]).min() < 0.5
    assert run.max() > wall


@pytest.mark.parametrize("name", FIXED)
def test_the_tongue_reaches_through_the_inlet_to_the_channel(name):
    """Its tip ends just short of the channel, above the channel floor by the step down, within the inlet's opening."""
    cab, d = cabinet(name), fixed(name)
    ramp, wall = cab.by_id["catch-ramp-1"], cab.by_id["inner-wall"]
    channel = cab.marks.points["spacer"][1]
    points = world_of(ramp)
    tip = points[np.abs(points[:, 1] - channel) < 0.5]
    assert len(tip) >= 2
    floor = cab.marks.points["channel back"][2]
    assert tip[:, 2].max() == pytest.approx(floor + d.value("behind.inlet_drop"), abs=1e-6)
    low, high = drawn(ramp).box()
    assert high[0] - low[0] <= d.value("behind.inlet_width")
    middle = (low[0] + high[0]) / 2
    across = (channel + cab.marks.points["lane"][1]) / 2
    inside = np.array([[middle, across, z] for z in (tip[:, 2].min() + 0.2, tip[:, 2].max() + 2.0)])
    assert not drawn(wall).holds(inside).any()
    assert drawn(ramp).holds(inside)[0]


def test_only_layers_beside_the_inlet_get_a_tongue():
    design = starting_design()
    for address, value in (("behind.ramp_layers", 2), ("behind.trough", 40.0), ("behind.depth", 50.0)):
        design = edit.put(design, address, value)
    cab = build(design)
    spans = {}
    for key in ("catch-ramp-1", "catch-ramp-2"):
        low, high = drawn(cab.by_id[key]).box()
        spans[key] = high[1] - low[1]
    lane = cab.marks.lengths["lane width"]
    assert spans["catch-ramp-1"] > lane
    assert spans["catch-ramp-2"] < lane
    narrow = build(edit.put(starting_design(), "behind.inlet_width", 17.0))
    low, high = drawn(narrow.by_id["catch-ramp-1"]).box()
    assert high[1] - low[1] < lane


@pytest.mark.parametrize("name", FIXED)
def test_the_cover_closes_the_whole_back(name):
    cab, d = cabinet(name), fixed(name)
    low, high = drawn(cab.by_id["back-cover"]).box()
    assert (low[1], high[1]) == pytest.approx((0.0, cab.marks.lengths["width"]), abs=1e-9)
    assert low[0] == pytest.approx(cab.marks.points["back"][0])
    assert low[2] == pytest.approx(d.value("lane.base_height"))
    rear = world_of(cab.by_id["panel-return"])
    assert high[2] == pytest.approx(rear[rear[:, 0] > rear[:, 0].max() - 1e-6, 2].max(), abs=1e-9)


@pytest.mark.parametrize("name", FIXED)
def test_cross_parts_leave_the_side_gap_to_both_walls(name):
    """Bodies, tabs aside, end a side gap short of the walls: at mid-length between tabs."""
    cab, d = cabinet(name), fixed(name)
    lane, far = sorted((cab.marks.points["lane"][1], cab.marks.points["far"][1]))
    gap = d.value("joint.side_gap")
    for key in ("base", "deck", "front-stop", "gutter-floor", "board", "header"):
        part = cab.by_id[key]
        first = part.outline.bounds[1] + 0.25
        ends = sorted(part.frame.world(x, first)[1] for x in part.outline.crossings(1, first))
        assert (ends[0], ends[-1]) == pytest.approx((lane + gap, far - gap), abs=1e-9), key


def test_a_part_without_room_keeps_an_outline():
    """A base above the deck leaves nothing for the front stop."""
    cab = build(edit.put(edit.put(starting_design(), "lane.base_height", 60.0), "lane.deck_height", 20.0))
    stop = cab.by_id["front-stop"]
    assert stop.outline.simple
    assert stop.outline.bounds[3] == pytest.approx(LEAST_LENGTH)

"""Room behind a screw's head, worked out by hand: plates at known distances, blades and handles of known sizes."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.assembly.driver import Drivers, Tool
from desk.assembly.solids import SLACK, solids
from desk.cabinet.model import AxisJoint, Member, Part
from desk.shapes.frame import Frame
from desk.shapes.loop import rect
from tests.checks.helpers import plate, screw
from tests.checks.pairs.assembly import fork_outline

LONG = Tool("long", 200.0, 100.0, 12.0, 32.0)
SHORT = Tool("short", 90.0, 25.0, 12.0, 32.0)
MEMBERS = (Member("front", 4.5, None, "clearance", head=8.0), Member("back", 2.5, 10.0, "pilot"))
"""A screw along +y from the face y = 0 of a plate 12 mm thick into the next, 20 mm long: 8 mm of it in the second."""


def room(*others: Part, tools: tuple[Tool, ...] = (LONG, SHORT), joint: AxisJoint | None = None):
    parts = (plate("front", 12.0), plate("back", 24.0), *others)
    one = screw(MEMBERS, 20.0) if joint is None else joint
    return Drivers(solids(parts, (one,)), tools).best(one, (1 << len(parts)) - 1)


def test_nothing_behind_the_head():
    found = room()
    assert (found.free, found.part, found.tool) == (math.inf, None, LONG)
    assert found.proud == pytest.approx(8.0)


@pytest.mark.parametrize(
    ("gap", "label"), [(250.0, "long"), (208.0, "long"), (207.0, "short"), (98.0, "short")]
)
def test_a_plate_across_ends_the_room(gap, label):
    """Needed: the tool's length and the 8 mm by which the screw stands out before its thread bites."""
    found = room(plate("wall", -gap + SLACK))
    assert found.tool.label == label
    assert found.free == pytest.approx(gap)
    assert found.spare == pytest.approx(gap - found.tool.length - 8.0)


def test_where_no_tool_fits_the_one_that_fails_by_least_is_told():
    found = room(plate("wall", -60.0))
    assert found.tool is SHORT
    assert found.spare == pytest.approx(60 + SLACK - 98)
    assert found.part == 2


@pytest.mark.parametrize(("away", "free"), [(5.9, 0.0), (6.2, 100.0), (15.7, 100.0), (16.2, math.inf)])
def test_a_wall_beside_the_axis_stops_a_blade_a_handle_or_nothing(away, free):
    """The axis runs at x = 50: a wall up to x = 50 - away lies within the blade's 6, the handle's 16, or neither."""
    wall = plate("wall", 0.0, rect(0, 0, 50 - away + SLACK, 60), thickness=150.0)
    drivers = Drivers(solids((plate("front", 12.0), plate("back", 24.0), wall), ()), (LONG,))
    found = drivers.best(screw(MEMBERS, 20.0), 7)
    assert found.free == pytest.approx(max(free, SLACK if free == 0 else 0.0), abs=0.02)


def test_a_wall_no_longer_than_the_blade_troubles_no_handle():
    wall = plate("wall", 0.0, rect(0, 0, 40, 60), thickness=99.0)
    assert room(wall, tools=(LONG,)).free == math.inf


def test_parts_that_are_not_there_yet_are_in_nobodys_way():
    parts = (plate("front", 12.0), plate("back", 24.0), plate("wall", -20.0))
    drivers = Drivers(solids(parts, ()), (LONG, SHORT))
    assert drivers.level(screw(MEMBERS, 20.0), 0b011) == 0
    assert drivers.level(screw(MEMBERS, 20.0), 0b111) == 2


def across(gap: float, offset: float = 0.0, tools: tuple[Tool, ...] = (LONG, SHORT)) -> Drivers:
    """A screw along -x in a plate with a notch ``gap`` wide behind its head at x = 10; a wall ``offset`` off in y."""
    parts = [plate("fork", 12.0, fork_outline(gap)), plate("block", 12.0, rect(-30, 0, 0, 60))]
    if offset:
        parts.append(plate("side", 6.0 - offset, rect(10, 0, 500, 60), thickness=5.0))
    return Drivers(solids(tuple(parts), ()), tools)


SIDEWAYS = AxisJoint(
    "screw-1",
    "screw",
    (Member("fork", 4.5, None, "clearance", head=8.0), Member("block", 2.5, 20.0, "pilot", by_hand=True)),
    (10.0, 6.0, 40.0),
    (-1.0, 0.0, 0.0),
    4.0,
    30.0,
)


def test_a_screw_square_to_the_axis():
    found = across(150.0).best(SIDEWAYS, 3)
    assert found.free == pytest.approx(150.0 + SLACK)
    assert found.proud == pytest.approx(20.0)
    assert found.tool is SHORT


@pytest.mark.parametrize(("offset", "free"), [(5.5, 0.0), (10.0, 100.0), (15.5, 100.0), (16.5, math.inf)])
def test_a_wall_beside_a_screw_square_to_the_axis(offset, free):
    """The axis at y = 6: a plate whose face lies ``offset`` before it, drawn in by the slack."""
    found = across(1000.0, offset, (LONG,)).best(SIDEWAYS, 7)
    if math.isinf(free):
        assert found.free > 900
    else:
        assert found.free == pytest.approx(free, abs=2 * SLACK)


def test_the_head_of_an_upright_screw():
    """Down through a level plate of 12 mm into an upright one; a shelf 100 mm above it."""
    flat = Frame((0.0, 0.0, 72.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    lid = Part("lid", "Lid", "ply", 12.0, rect(0, 0, 60, 100), flat)
    shelf = replace(lid, id="shelf", frame=Frame((0.0, 0.0, 184.0), flat.u, flat.v))
    joint = AxisJoint(
        "screw-1",
        "screw",
        (Member("lid", 4.5, None, "clearance"), Member("post", 2.5, 18.0, "pilot")),
        (50.0, 6.0, 72.0),
        (0.0, 0.0, -1.0),
        4.0,
        30.0,
    )
    drivers = Drivers(solids((lid, plate("post", 12.0), shelf), ()), (LONG, SHORT))
    found = drivers.best(joint, 7)
    assert (found.tool, found.part) == (SHORT, 2)
    assert found.free == pytest.approx(100.0 + SLACK)
    assert found.proud == pytest.approx(18.0)

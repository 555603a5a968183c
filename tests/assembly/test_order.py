"""The order of assembly: arrangements whose order, or impossibility, is plain to see; every step pushed for real."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from msgspec.structs import replace

from desk.assembly.driver import Drivers, Tool
from desk.assembly.order import Order, order_of, stacks
from desk.assembly.solids import Solids, solids
from desk.cabinet.build import build
from desk.cabinet.model import AxisJoint, Cabinet, Cutout, Member, Part, Pocket
from desk.shapes.frame import Frame
from desk.shapes.loop import polygon_loop, rect
from tests.cabinet.designs import FIXED, usual
from tests.cabinet.designs import cabinet as fixed
from tests.checks.helpers import cabinet, pin, plate, screw

TOOLS = (
    Tool("cordless driver", 260.0, 60.0, 12.0, 70.0),
    Tool("screwdriver", 200.0, 100.0, 12.0, 32.0),
    Tool("stubby screwdriver", 90.0, 25.0, 12.0, 32.0),
    Tool("right-angle driver", 40.0, 25.0, 12.0, 32.0),
)
STEPS = (1.0, 3.0, 10.0, 20.0, 30.0, 50.0, 80.0, 120.0, 200.0, 400.0, 900.0)


def collide(s: Solids, moved: list[int], rest: list[int], shift: np.ndarray) -> bool:
    """Whether bars of the moved parts, shifted, overlap bars of the rest: looked at, not swept."""
    flat = np.delete(shift, s.axis)
    a, b = np.isin(s.owner, moved), np.isin(s.owner, rest)
    shapes = [shapely.transform(shape, lambda c: c + flat) for shape in s.shapes[a]]
    low, high = s.low[a] + shift[s.axis], s.high[a] + shift[s.axis]
    for shape, start, end in zip(shapes, low, high, strict=True):
        beside = (s.low[b] < end) & (s.high[b] > start)
        if shapely.intersects(s.shapes[b][beside], shape).any():
            return True
    return False


def push_all(of: Cabinet, order: Order) -> None:
    """Every step drawn back along its way in small and large moves, its parts against those they go onto."""
    s = solids(of.parts, of.axis_joints)
    place = {p.id: k for k, p in enumerate(of.parts)}
    for step in order.steps:
        moved, rest = [place[k] for k in step.parts], [place[k] for k in step.onto]
        for far in (0.0, *STEPS):
            assert not collide(s, moved, rest, -far * np.array(step.direction)), step


def put_together(of: Cabinet, order: Order) -> None:
    """Steps build on what was built before, end with the whole, and make every joint once, along pins and tabs."""
    built = {frozenset([p.id]) for p in of.parts}
    for step in order.steps:
        if step.stack:
            assert {frozenset([k]) for k in step.present} <= built
            built -= {frozenset([k]) for k in step.present}
        else:
            built.remove(frozenset(step.parts))
            built.remove(frozenset(step.onto))
        built.add(frozenset(step.present))
    assert built == {frozenset(p.id for p in of.parts)}
    screws = [k for step in order.steps for k in step.screws]
    assert sorted(screws) == sorted(j.id for j in of.axis_joints if j.kind == "screw")
    pins = [k for step in order.steps for k in step.pins]
    assert sorted(pins) == sorted(j.id for j in of.axis_joints if j.kind != "screw")
    joints = {j.id: j for j in of.axis_joints}
    for step in order.steps:
        for key in step.joints:
            if key in joints:
                assert abs(np.dot(joints[key].direction, step.direction)) == pytest.approx(1.0)
    tabs = [k for step in order.steps for k in step.joints if k not in joints]
    assert sorted(tabs) == sorted(t.id for t in of.tab_joints)


@pytest.mark.parametrize("name", FIXED)
def test_cabinets_go_together(name):
    of = fixed(name)
    order = order_of(of, TOOLS)
    assert order.locked == order.together == ()
    put_together(of, order)
    push_all(of, order)


@pytest.mark.parametrize("name", FIXED)
def test_a_driver_reaches_every_screw_in_its_step(name):
    of = fixed(name)
    order = order_of(of, TOOLS)
    drivers = Drivers(solids(of.parts, of.axis_joints), TOOLS)
    place = {p.id: k for k, p in enumerate(of.parts)}
    for screw_joint in (j for j in of.axis_joints if j.kind == "screw"):
        step = order.step_of(screw_joint.id)
        assert step is not None
        assert {m.part for m in screw_joint.members} <= set(step.present)
        assert drivers.level(screw_joint, sum(1 << place[k] for k in step.present)) == 0


def test_the_starting_cabinet_is_built_up_from_its_return_side():
    order = order_of(fixed("left"), TOOLS)
    first = order.steps[0]
    assert first.stack
    assert {*first.onto, *first.parts} == {f"rib-{k}" for k in range(1, 9)}
    where = {key: n for n, step in enumerate(order.steps) for key in step.parts if not step.stack}
    assert order.steps[1].onto == ("panel-return",)
    for key in ("spacer-lower-1", "spacer-upper-1", "lip-block-1", "lifter"):
        assert where[key] < where["inner-wall"]
    for key in ("base", "deck", "front-stop", "gutter-floor", "board", "rib-1"):
        assert where["inner-wall"] < where[key] < where["panel-far"]
    assert where["header"] < where["back-cover"]
    assert order.steps[-1].parts == ("back-cover", "catch-ramp-1")
    assert order.steps[-1].direction == (-1, 0, 0)
    assert "rod-handle" in order.steps[where["lifter"]].pins


def test_the_other_side_is_its_mirror_image():
    left, right = order_of(fixed("left"), TOOLS), order_of(fixed("right"), TOOLS)
    for a, b in zip(left.steps, right.steps, strict=True):
        assert (a.parts, a.onto, a.screws) == (b.parts, b.onto, b.screws)
        assert a.direction == pytest.approx((b.direction[0], -b.direction[1], b.direction[2]))


@settings(derandomize=True, max_examples=25, deadline=None)
@given(usual())
def test_whatever_goes_together_goes_together_for_real(design):
    of = build(design)
    order = order_of(of, TOOLS)
    if not order.locked:
        put_together(of, order)
        push_all(of, order)
    assert all(len(group) > 1 for group in order.locked)


def h_shape(flange: float) -> Part:
    """An upright plate square to x: a web 30 mm high through a ring's plane, flanges to both sides of it."""
    f = flange / 2
    corners = [(-20, -f), (-2, -f), (-2, -15), (14, -15), (14, -f), (32, -f)]
    outline = polygon_loop([*corners, *((x, -z) for x, z in reversed(corners))])
    return Part("h", "H", "ply", 8.0, outline, Frame((54.0, 0.0, 30.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))


RING = plate("ring", 12.0, rect(0, -40, 100, 100), cutouts=(Cutout(rect(40, 10, 65, 50), "opening"),))


def test_a_plate_with_flanges_on_both_sides_of_a_ring_cannot_be_got_in():
    """The flanges are 60 mm high, the opening 40: whatever way it is pushed, one flange or the web is stopped."""
    order = order_of(cabinet([RING, h_shape(60.0)]), TOOLS)
    assert order.steps == ()
    assert order.locked == (("ring", "h"),)
    assert order.together == ()


def test_with_flanges_that_pass_the_opening_it_goes_in_along_the_axis():
    (step,) = order_of(cabinet([RING, h_shape(36.0)]), TOOLS).steps
    assert (step.parts, step.onto) == (("h",), ("ring",))
    assert abs(step.direction[1]) == 1


def test_what_lies_between_two_plates_goes_in_before_the_second():
    rod = pin([Member(k, 8.2, None, "rod") for k in ("bottom", "middle", "top")], 0.0, 36.0, kind="rod")
    parts = [plate("bottom", 12.0), plate("middle", 24.0, rect(20, 10, 80, 50)), plate("top", 36.0)]
    order = order_of(cabinet(parts, [rod]), TOOLS)
    assert [s.parts for s in order.steps] == [("middle",), ("bottom",)] or [s.parts for s in order.steps] == [
        ("middle",),
        ("top",),
    ]
    assert order.steps[0].pins == ("rod-1",)
    assert order.steps[1].pins == ()
    assert order.steps[1].joints == ("rod-1",)


def test_pins_across_each_other_lock_two_parts():
    """One pin along y and one along x through the same two plates: they can leave each other neither way."""
    a, b = plate("a", 12.0), plate("b", 24.0)
    along = pin([Member("a", 8.2, None, "dowel"), Member("b", 8.2, None, "dowel")], 0.0, 24.0)
    crossing = AxisJoint("x", "dowel", along.members, (0.0, 12.0, 30.0), (1.0, 0.0, 0.0), 8.0, 100.0)
    assert order_of(cabinet([a, b], [along]), TOOLS).locked == ()
    assert order_of(cabinet([a, b], [along, crossing]), TOOLS).locked == (("a", "b"),)


def test_parts_that_stand_in_each_other_are_a_locked_pair_and_the_rest_goes_on():
    order = order_of(cabinet([plate("a", 12.0), plate("b", 20.0), plate("c", 32.0)]), TOOLS)
    assert order.together == (("a", "b"),)
    assert order.locked == (("a", "b"),)
    assert [s.parts for s in order.steps] == [("c",)]


def test_a_part_goes_with_the_one_part_that_holds_it():
    """A block hangs on a cover by a screw and would fall into the box that the cover closes: it goes on with it."""
    room = Pocket(rect(10, 10, 90, 50), 60.0, "carving", face="B")
    tub, cover = plate("tub", 12.0, thickness=72.0, pockets=(room,)), plate("cover", -60.0)
    block = plate("block", -20.0, rect(40, 20, 60, 40), thickness=40.0)
    ways = ("inner", "block", 50.0), ("outer", "tub", 5.0)
    screws = [
        replace(
            screw([Member("cover", 4.5, None, "clearance"), Member(part, 2.5, 10.0, "pilot")], 22.0, -72.0),
            id=key,
            at=(x, -72.0, 30.0),
        )
        for key, part, x in ways
    ]
    order = order_of(cabinet([tub, block, cover], screws), TOOLS)
    assert order.locked == ()
    step = order.step_of("outer")
    assert {"block", "cover"} in ({*step.parts}, {*step.onto})
    assert {*order.step_of("inner").present} == {"block", "cover"}


def test_stacks_are_parts_of_one_name_face_to_face():
    parts = [plate("rib-1", 12.0), plate("rib-2", 24.0), plate("wall", 36.0), plate("rib-3", 60.0)]
    assert stacks(parts) == [0b0011, 0b0100, 0b1000]
    turned_round = replace(parts[1], frame=Frame((100.0, 12.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    assert stacks([parts[0], turned_round]) == [0b11]


def test_equal_parts_and_joints_are_worked_out_once():
    of = fixed("left")
    assert order_of(of, TOOLS) is order_of(replace(of, name="another"), TOOLS)

"""Joints in space: what was cut into the parts is looked up there, by joint, and set against the other part.

The joint records say only which hole belongs to which; where holes, tabs and mortises lie is read from the parts.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings

from desk.cabinet.ascut import outline_as_cut, pocket_as_cut
from desk.cabinet.build import build
from desk.cabinet.joinery import tabbed_outline
from desk.cabinet.layout import TAB_BOTTOM_GAP
from desk.cabinet.model import AxisJoint, Cabinet, Drill, Part, Pocket, TabJoint
from desk.design.starting import STACK_PLAY
from desk.shapes.loop import CHORD_TOLERANCE

from .designs import FINE, FIXED, cabinet, usual
from .space import local

SAME_PLACE = 1e-9
RANDOM = settings(derandomize=True, deadline=None, max_examples=20)


def holes_of(cab: Cabinet, joint: str) -> list[tuple[Part, Drill]]:
    return [(p, d) for p in cab.parts for d in p.drills if d.joint == joint]


def run_of(part: Part, hole: Drill) -> tuple[np.ndarray, np.ndarray]:
    """World points where a hole is opened and where it ends."""
    depth = part.thickness if hole.depth is None else hole.depth
    ends = (0.0, depth) if hole.face == "A" else (part.thickness, part.thickness - depth)
    opened, bottom = (np.array(part.frame.world(*hole.at, d)) for d in ends)
    return opened, bottom


def spans(cab: Cabinet, joint: AxisJoint) -> list[tuple[float, float, str]]:
    """Every hole of a joint as (from, to, part) along the joint's direction from where its pin starts."""
    out = []
    for part, hole in holes_of(cab, joint.id):
        along = [float((p - np.array(joint.at)) @ np.array(joint.direction)) for p in run_of(part, hole)]
        out.append((min(along), max(along), part.id))
    return sorted(out)


def assert_holes_line_up(cab: Cabinet) -> None:
    for joint in cab.axis_joints:
        holes = holes_of(cab, joint.id)
        assert sorted(p.id for p, _ in holes) == sorted(m.part for m in joint.members)
        first = run_of(*holes[0])
        axis = np.array(holes[0][0].frame.normal)
        for part, hole in holes:
            for point in run_of(part, hole):
                off = np.cross(point - first[0], axis)
                assert float(np.linalg.norm(off)) < SAME_PLACE, (joint.id, part.id)
        assert abs(abs(float(axis @ np.array(joint.direction))) - 1) < SAME_PLACE, joint.id


def assert_holes_are_the_members(cab: Cabinet) -> None:
    for joint in cab.axis_joints:
        by_part = {p.id: d for p, d in holes_of(cab, joint.id)}
        for m in joint.members:
            d = by_part[m.part]
            assert (d.diameter, d.depth, d.use, d.face, d.head, d.by_hand) == (
                m.diameter,
                m.depth,
                m.use,
                m.face,
                m.head,
                m.by_hand,
            )


def test_every_hole_belongs_to_a_joint():
    cab = cabinet("left")
    known = {j.id for j in cab.axis_joints}
    assert {d.joint for p in cab.parts for d in p.drills} == known
    assert len(known) == len(cab.axis_joints)


@RANDOM
@given(usual())
def test_mating_holes_pierce_one_line_in_the_world(design):
    cab = build(design)
    assert_holes_line_up(cab)
    assert_holes_are_the_members(cab)


@pytest.mark.parametrize("name", FIXED)
def test_mating_holes_pierce_one_line_in_the_fixed_designs(name):
    assert_holes_line_up(cabinet(name))
    assert_holes_are_the_members(cabinet(name))


@RANDOM
@given(usual())
def test_members_come_in_order_and_blind_holes_open_towards_their_neighbour(design):
    """Along the axis: head or first end first, and a blind hole's bottom on the far side from its neighbour."""
    cab = build(design)
    for joint in cab.axis_joints:
        if joint.id.startswith(("rod-kicker", "pin-lifter")):
            continue  # ribs or a lifter too thick for their space are a finding, not a fault of the joint
        found = spans(cab, joint)
        assert [part for _, _, part in found] == [m.part for m in joint.members], joint.id
        for one, other in pairwise(found):
            assert other[0] - one[1] > -SAME_PLACE, (joint.id, one, other)


@pytest.mark.parametrize("name", FIXED)
def test_holes_touch_face_to_face(name):
    """No gap along the axis, but for the lifter, which moves, and the stack of ribs, which slides in with some play."""
    cab = cabinet(name)
    for joint in cab.axis_joints:
        for one, other in pairwise(spans(cab, joint)):
            gap = other[0] - one[1]
            if joint.id == "pin-lifter":
                assert gap > 0.2
            elif joint.id.startswith("rod-kicker") and {one[2], other[2]} & {"inner-wall", "panel-far"}:
                assert gap == pytest.approx(STACK_PLAY / 2, abs=SAME_PLACE), (joint.id, one[2], other[2])
            else:
                assert gap == pytest.approx(0.0, abs=SAME_PLACE), (joint.id, one[2], other[2])


@pytest.mark.parametrize("name", FIXED)
def test_pins_and_rods_fit_between_the_ends_of_their_holes(name):
    cab = cabinet(name)
    for joint in cab.axis_joints:
        if joint.kind == "screw" or joint.id == "rod-handle":
            continue
        found = spans(cab, joint)
        assert found[0][0] < 0.0, joint.id
        assert joint.length < found[-1][1], joint.id


@pytest.mark.parametrize("name", FIXED)
def test_screws_start_at_the_first_face_and_end_in_the_last_part(name):
    """The head at the outside of its member, the pilot as deep as the point goes, wood left beyond it."""
    cab = cabinet(name)
    screws = [j for j in cab.axis_joints if j.kind == "screw"]
    assert len(screws) >= 10
    for joint in screws:
        found = spans(cab, joint)
        assert found[0][0] == pytest.approx(0.0, abs=SAME_PLACE), joint.id
        holes = {p.id: d for p, d in holes_of(cab, joint.id)}
        first, last = joint.members[0].part, joint.members[-1].part
        assert holes[first].head > holes[first].diameter > holes[last].diameter, joint.id
        assert [d.use for d in holes.values()].count("pilot") == 1
        assert holes[last].use == "pilot"
        last_part = cab.by_id[last]
        assert joint.length < found[-1][0] + last_part.thickness, joint.id
        assert found[-1][1] == pytest.approx(max(joint.length, found[-1][0] + 1.0), abs=SAME_PLACE), joint.id


@pytest.mark.parametrize("name", FIXED)
def test_holes_are_drilled_in_wood(name):
    """Every hole lies in its part with wood all round, and no deeper than the part is thick."""
    cab = cabinet(name)
    for joint in cab.axis_joints:
        for part, hole in holes_of(cab, joint.id):
            disc = shapely.Point(hole.at).buffer(hole.diameter / 2)
            assert part.polygon.covers(disc), (part.id, joint.id)
            assert hole.depth is None or 0 < hole.depth < part.thickness, (part.id, joint.id)


def tab_pieces(part: Part, wall: Part, outline: shapely.Geometry) -> list[shapely.Polygon]:
    """What of a cross part's face reaches into a wall, in the cross part's coordinates: one polygon a tab."""
    far = 10_000.0
    # depth in the wall is linear in the cross part's x and does not change along it
    d0, d1 = (local(wall, np.array([part.frame.world(x, 0.0)]))[0][2] for x in (0.0, 1.0))
    x = -d0 / (d1 - d0)
    inside = shapely.box(x, -far, far, far) if d1 > d0 else shapely.box(-far, -far, x, far)
    met = outline.intersection(inside)
    return [p for p in getattr(met, "geoms", [met]) if p.area > 1e-9]


def in_wall(part: Part, wall: Part, piece: shapely.Polygon, depths: tuple[float, ...]) -> np.ndarray:
    """Corners of a tab, both of its faces, in the wall's coordinates (x, y, depth)."""
    corners = shapely.get_coordinates(piece)
    return local(wall, np.array([part.frame.world(x, y, d) for x, y in corners for d in depths]))


def pocket_of(cab: Cabinet, joint: TabJoint) -> tuple[Part, Pocket]:
    found = [(p, k) for p in cab.parts for k in p.pockets if k.joint == joint.id]
    assert len(found) == 1
    assert found[0][0].id == joint.wall
    return found[0]


def tab_of(cab: Cabinet, joint: TabJoint) -> shapely.Polygon:
    """The tab of a joint, found in the part by where it lies in the wall's mortise."""
    part, (wall, pocket) = cab.by_id[joint.part], pocket_of(cab, joint)
    pieces = tab_pieces(part, wall, shapely.Polygon(part.outline.coords))
    others = [t for t in cab.tab_joints if (t.part, t.wall) == (joint.part, joint.wall)]
    assert len(pieces) == len(others), joint.id
    middle = pocket.loop.polygon.centroid

    def away(piece: shapely.Polygon) -> float:
        return float(
            middle.distance(shapely.MultiPoint(in_wall(part, wall, piece, (0.0, part.thickness))[:, :2]))
        )

    return min(pieces, key=away)


def assert_tabs_sit_in_their_mortises(cab: Cabinet) -> None:
    for joint in cab.tab_joints:
        part, (wall, pocket) = cab.by_id[joint.part], pocket_of(cab, joint)
        points = in_wall(part, wall, tab_of(cab, joint), (0.0, part.thickness))
        hollow = pocket.loop.polygon.buffer(CHORD_TOLERANCE)
        assert shapely.contains_xy(hollow, points[:, 0], points[:, 1]).all(), joint.id
        assert points[:, 2].max() <= pocket.depth - min(TAB_BOTTOM_GAP, pocket.depth - 0.2) + 1e-9, joint.id
        assert points[:, 2].max() > 0.1, joint.id
        assert pocket.face == "A"


@RANDOM
@given(usual())
def test_tabs_lie_in_their_mortises_in_the_world(design):
    assert_tabs_sit_in_their_mortises(build(design))


@pytest.mark.parametrize("name", FIXED)
def test_tabs_lie_in_their_mortises_in_the_fixed_designs(name):
    cab = cabinet(name)
    assert_tabs_sit_in_their_mortises(cab)
    assert {t.part for t in cab.tab_joints} >= {"base", "deck", "front-stop", "gutter-floor", "board"}
    for part in {t.part for t in cab.tab_joints}:
        assert {t.wall for t in cab.tab_joints if t.part == part} == {"inner-wall", "panel-far"}


@RANDOM
@given(usual())
def test_mortises_are_larger_than_their_tabs_by_the_fit_all_round(design):
    """Half the fit from every straight side: distances from the tab's flanks to the pocket's walls."""
    cab = build(design)
    fit = design.value("joint.mortise_fit")
    for joint in cab.tab_joints:
        part, (wall, pocket) = cab.by_id[joint.part], pocket_of(cab, joint)
        if any(joint.over_run):
            continue
        flat = in_wall(part, wall, tab_of(cab, joint), (0.0, part.thickness))[:, :2]
        tab = shapely.MultiPoint(flat).minimum_rotated_rectangle
        walls = [
            shapely.LineString([a[:2], b[:2]])
            for a, b in pocket.loop.edges()
            if not a[2] and math.dist(a[:2], b[:2]) > 0.5
        ]
        assert len(walls) >= 2
        for side in walls:
            assert side.distance(tab) == pytest.approx(fit / 2, abs=1e-6), joint.id


@pytest.mark.parametrize("name", [*FIXED, *FINE])
def test_tabs_as_cut_go_into_mortises_as_cut(name):
    """With the wood that round bits leave on both sides, shoulders and tips still clear each other."""
    cab = cabinet(name)
    shop = cab.shop
    profile, radius = (shop.bit(key).diameter / 2 for key in (shop.profile_bit, shop.pocket_bit))
    for joint in cab.tab_joints:
        part, (wall, pocket) = cab.by_id[joint.part], pocket_of(cab, joint)
        pieces = tab_pieces(part, wall, outline_as_cut(part.outline, profile))
        near = shapely.Polygon(shapely.get_coordinates(tab_of(cab, joint))).centroid
        tab = min(pieces, key=lambda p: p.distance(near))
        points = in_wall(part, wall, tab, (0.0, part.thickness))
        hollow = pocket_as_cut(pocket, radius).buffer(0.02)
        assert shapely.contains_xy(hollow, points[:, 0], points[:, 1]).all(), joint.id


@pytest.mark.parametrize("name", FIXED)
def test_mortises_lie_in_the_wall_clear_of_each_other_and_of_holes(name):
    cab = cabinet(name)
    for key in ("inner-wall", "panel-far"):
        wall = cab.by_id[key]
        closed = [p for p in wall.pockets if p.use == "mortise"]
        for pocket in closed:
            assert wall.polygon.covers(pocket.loop.polygon), (key, pocket.joint)
        for i, one in enumerate(wall.pockets):
            for other in wall.pockets[i + 1 :]:
                assert one.loop.polygon.distance(other.loop.polygon) > 1.0, (one.joint, other.joint)
            for hole in wall.drills:
                disc = shapely.Point(hole.at).buffer(hole.diameter / 2)
                assert one.loop.polygon.distance(disc) > 1.0, (one.joint, hole.joint)


def test_nothing_has_to_be_cut_into_an_edge():
    """Machine holes run along the part's normal; what does not is drilled by hand."""
    cab = cabinet("left")
    for joint in cab.axis_joints:
        for member in joint.members:
            lean = abs(float(np.dot(cab.by_id[member.part].frame.normal, joint.direction)))
            assert member.by_hand or lean == pytest.approx(1.0, abs=1e-12)


def plain_tab(side: str, start: float, end: float, relief: float, reach: float = 5.5) -> TabJoint:
    return TabJoint(f"{side}{start}", "part", "wall", side, start, end, reach, 6.0, 0.25, relief)  # type: ignore[arg-type]


def test_a_tabbed_outline_has_the_area_of_body_and_tabs_less_reliefs():
    """Each relief is a half circle through the corner: (pi / 2 - 1) r² more than the corner left open anyway."""
    relief, gap, reach = 3.0, 0.2, 5.5
    tabs = [plain_tab("low", 30, 60, relief), plain_tab("high", 20, 80, relief)]
    loop = tabbed_outline(100.0, 120.0, tabs, gap)
    assert loop.simple
    wood = 100 * 120 + (30 + 60) * (gap + reach) - 4 * (math.pi / 2 - 1) * relief**2
    assert loop.area == pytest.approx(wood, rel=1e-12)
    assert loop.bounds == pytest.approx((-5.7, 0.0, 105.7, 120.0))


@pytest.mark.parametrize("start", [0.0, 0.001, 1.0, 3.0])
def test_a_tab_near_the_end_keeps_the_outline_clear_of_itself(start):
    tabs = [plain_tab("low", start, 40, 3.0), plain_tab("low", 44, 80 - start, 3.0)]
    loop = tabbed_outline(50.0, 80.0, tabs, 0.2)
    assert loop.simple
    assert loop.bounds == pytest.approx((-5.7, 0.0, 50.0, 80.0))

"""Parts to operations: every feature once, on its face, at its depth, on its layer."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from desk.cabinet.model import AxisJoint, Drill, EdgeBreak, Member
from desk.flat.operations import counted, edge_holes, has_face_b, operations
from desk.shapes.frame import Frame
from desk.shapes.loop import rect

from .samples import cabinet, dowel, plain, rich


def test_one_of_everything():
    found = {(o.kind, o.layer.name): o.count for o in operations(rich())}
    assert found == {
        ("profile outside", "A_PROFILE_OUT"): 1,
        ("profile inside", "A_PROFILE_IN"): 3,
        ("pocket", "A_POCKET_D4P00"): 1,
        ("pocket", "A_POCKET_D6P00"): 1,
        ("pocket", "B_POCKET_D3P00"): 1,
        ("drill", "A_DRILL_6P10_D8P00"): 2,
        ("drill", "A_DRILL_3P80_THRU"): 2,
        ("drill", "B_DRILL_2P20_D5P00"): 1,
        ("v-groove", "A_VGROOVE_90_D2P00"): 1,
        ("by hand", "HAND_A_DRILL_2P00_D4P00"): 1,
        ("by hand", "HAND_A_SINK_7P00"): 1,
        ("by hand", "HAND_B_SINK_7P00"): 1,
        ("edge by hand", "HAND_A_CHAMFER_1P00"): 1,
        ("edge by hand", "HAND_B_ROUND_3P00"): 1,
    }


def test_what_the_machine_cuts_and_what_not():
    for operation in operations(rich()):
        assert operation.layer.cut == (not operation.kind.endswith("by hand"))


def test_a_through_hole_is_drilled_from_face_a_and_sunk_on_its_own_face():
    part = plain("p", 50, 50, drills=(Drill((9, 9), 3.8, None, "clearance", "s", face="B", head=7.0),))
    drilled, sunk = operations(part)[1:]
    assert (drilled.face, drilled.depth, drilled.points) == ("A", None, ((9, 9),))
    assert (sunk.face, sunk.diameter, sunk.points) == ("B", 7.0, ((9, 9),))
    assert not has_face_b(part)


def test_depth_face_and_diameter_keep_holes_apart():
    drills = tuple(
        Drill((float(k), 5.0), diameter, depth, "dowel", "j", face=face)
        for k, (diameter, depth, face) in enumerate(
            [(6.1, 8.0, "A"), (6.1, 8.0, "B"), (6.1, 9.0, "A"), (6.2, 8.0, "A"), (6.1, 8.0, "A")]
        )
    )
    found = [o for o in operations(plain("p", 50, 50, drills=drills)) if o.kind == "drill"]
    assert Counter(o.layer.name for o in found) == Counter(
        ["A_DRILL_6P10_D8P00", "B_DRILL_6P10_D8P00", "A_DRILL_6P10_D9P00", "A_DRILL_6P20_D8P00"]
    )
    assert next(o.points for o in found) == ((0.0, 5.0), (4.0, 5.0))


def test_islands_stay_with_their_pocket():
    pocket = next(o for o in operations(rich()) if o.islands)
    assert pocket.layer.name == "A_POCKET_D4P00"
    assert len(pocket.loops) == len(pocket.islands) == 1


def test_closed_edges_run_counter_clockwise_whichever_way_they_are_given():
    edge = EdgeBreak(rect(5, 5, 20, 20).reversed().points, True, "chamfer", 1.0, "rim")
    (found,) = operations(plain("p", 50, 50, breaks=(edge,)))[1:]
    assert found.loops[0].area == 225.0


def test_face_b_work():
    assert has_face_b(rich())
    assert not has_face_b(plain("p", 10, 10))
    by_hand = Drill((5, 5), 2.0, 4.0, "pilot", "j", face="B", by_hand=True)
    assert not has_face_b(plain("p", 10, 10, drills=(by_hand,)))


def test_holes_into_an_edge_are_told_in_words_only():
    part = plain("p", 50, 50)
    joints = (
        dowel("d1", "p", (1.0, 0.0, 0.0)),
        dowel("d2", "p", (0.0, -1.0, 0.0)),
        dowel("d3", "p", (0.0, 0.0, 1.0)),
    )
    found = edge_holes(cabinet([part], joints=joints), part)
    assert found == ("2 x hole 6.10 mm across into the edge, 12.00 mm deep, for a dowel",)


@pytest.mark.parametrize(("lean", "into_edge"), [(0.0, True), (25.0, True), (40.0, False), (90.0, False)])
def test_leaning_holes(lean, into_edge):
    a = math.radians(lean)
    part = plain("p", 50, 50)
    assert (
        bool(edge_holes(cabinet([part], joints=[dowel("d", "p", (math.cos(a), 0.0, math.sin(a)))]), part))
        == into_edge
    )


def test_edge_holes_follow_the_part_and_not_the_world():
    upright = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    part = plain("p", 50, 50)
    stood = type(part)(
        **{
            **{f: getattr(part, f) for f in ("id", "label", "stock", "thickness", "outline")},
            "frame": upright,
        }
    )
    joint = AxisJoint(
        "s", "screw", (Member("p", 2.2, None, "pilot"),), (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 3.5, 30.0
    )
    assert edge_holes(cabinet([stood], joints=[joint]), stood) == (
        "hole 2.20 mm across into the edge, right through, for a screw",
    )


def test_counted():
    assert counted(1, "opening") == "opening"
    assert counted(3, "opening") == "3 x opening"

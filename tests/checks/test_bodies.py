"""What is cut into parts, as bodies in space: sizes and places of holes, countersinks, grooves and pockets."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.cabinet.joinery import drilled
from desk.cabinet.model import AxisJoint, Cutout, Groove, Member, Pocket
from desk.checks.bodies import (
    HARDWARE,
    Bodies,
    Prism,
    Round,
    countersink_depth,
    half_width,
    prism_gap,
    prisms,
    together,
)
from desk.checks.context import Context
from desk.shapes.loop import circle, rect
from desk.shop.hardware import wood_screw
from tests.checks.helpers import ALONG_Y, cabinet, hole, on_end, pin, plate, screw


def bodies(parts, joints=()) -> Bodies:
    return Bodies(Context(cabinet(parts, joints)))


def named(found: Bodies, part: str) -> list[Round]:
    return [r for r in found.rounds if r.part == part]


@pytest.mark.parametrize(
    ("size", "inches"), [("no4", 0.065), ("no6", 0.081), ("no8", 0.096), ("no10", 0.112), ("no12", 0.128)]
)
def test_countersinks_are_as_deep_as_the_table_of_flat_heads_says(size, inches):
    """ASME B18.6.1, 82 degree heads of sharp-edge maximum over their shank; depths worked by (A - D) / (2 tan 41)."""
    s = wood_screw(size)
    joint = AxisJoint(
        "s", "screw", (), (0, 0, 0), ALONG_Y, s.shank, 25.0, head=s.head, head_height=s.head_height
    )
    assert countersink_depth(s.head, s.shank, joint) / 25.4 == pytest.approx(inches, abs=1e-3)


def test_a_countersink_without_a_screw_is_cut_at_90_degrees():
    assert countersink_depth(8.0, 4.0, None) == pytest.approx(2.0)


def test_half_the_width_of_a_groove():
    """tan 45 = 1, tan 30 = 0.57735."""
    path = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0))
    assert half_width(Groove((path,), 90.0, 2.0, "x")) == pytest.approx(2.0)
    assert half_width(Groove((path,), 60.0, 2.0, "x")) == pytest.approx(1.1547, abs=1e-4)


def test_a_blind_hole_stands_at_its_face():
    """The plate fills y = 0 to 12, its face A at 12."""
    found = bodies([plate("p", 12.0, drills=(hole(30, 20, depth=8.0), hole(70, 20, depth=8.0, face="B")))])
    from_a, from_b = named(found, "p")
    assert [c[1] for c, _ in from_a.discs] == pytest.approx([12.0, 4.0])
    assert [c[1] for c, _ in from_b.discs] == pytest.approx([0.0, 8.0])
    assert from_a.kind == "hole"
    assert {r for _, r in from_a.discs} == {4.0}


def test_a_screw_has_its_holes_its_countersink_and_itself():
    members = [Member("cover", 4.5, None, "clearance", head=8.0), Member("hold", 2.8, 9.0, "pilot")]
    joint = screw(members, 18.0)
    made = drilled([plate("cover", 9.0, thickness=9.0), plate("hold", 21.0)], [joint])
    facing = [replace(p, drills=tuple(replace(d, face="B") for d in p.drills)) for p in made]
    found = bodies(facing, [joint])
    assert [(r.what, r.part, r.kind) for r in found.rounds] == [
        ("4.00 mm screw", HARDWARE, "driven"),
        ("4.50 mm hole for a screw", "cover", "hole"),
        ("8.00 mm countersink", "cover", "countersink"),
        ("2.80 mm hole for a screw", "hold", "hole"),
    ]
    shank, through, sunk, pilot = found.rounds
    assert [c[1] for c, _ in shank.discs] == pytest.approx([0.0, 18.0])
    assert [c[1] for c, _ in through.discs] == pytest.approx([0.0, 9.0])
    assert [(c[1], r) for c, r in sunk.discs] == [pytest.approx((0.0, 4.0)), pytest.approx((1.75, 2.25))]
    assert [c[1] for c, _ in pilot.discs] == pytest.approx([9.0, 18.0])


def test_a_hole_in_an_edge_starts_at_the_edge():
    """A level plate whose edge lies at y = 0, 60 deep; the joint comes from in front of it."""
    members = [Member("front", 4.5, None, "clearance"), Member("shelf", 2.8, 20.0, "pilot")]
    found = bodies([plate("front", 0.0), on_end("shelf", 36.0)], [screw(members, 30.0, start=-12.0)])
    (edge,) = named(found, "shelf")
    assert [c[1] for c, _ in edge.discs] == pytest.approx([0.0, 20.0])
    assert edge.kind == "edge hole"


def test_a_pocket_ends_where_its_part_does():
    over = Pocket(rect(-8.0, -8.0, 40.0, 68.0), 5.0, "carving")
    gone = Pocket(rect(200.0, 0.0, 210.0, 10.0), 5.0, "carving")
    found = prisms(plate("p", 12.0, pockets=(over, gone)))
    assert [p.bounds for p in found] == [(0.0, 0.0, 40.0, 60.0)]


def test_depths_count_from_face_a():
    pockets = (
        Pocket(rect(10, 10, 20, 20), 5.0, "mortise"),
        Pocket(rect(30, 10, 40, 20), 5.0, "mortise", face="B"),
    )
    cutouts = (Cutout(circle(70, 30, 8), "target hole 1"),)
    found = prisms(plate("p", 12.0, pockets=pockets, cutouts=cutouts))
    assert [p.depths for p in found] == [(0.0, 12.0), (0.0, 5.0), (7.0, 12.0)]


def test_islands_are_no_part_of_a_pocket():
    carving = Pocket(rect(0, 0, 100, 60), 5.0, "carving", islands=(rect(40, 20, 60, 40),))
    (found,) = prisms(plate("p", 12.0, pockets=(carving,)))
    assert found.shape.area == pytest.approx(6000 - 400)
    assert not found.plain


def _pocket(face: str = "A") -> Prism:
    (found,) = prisms(plate("p", 12.0, pockets=(Pocket(rect(40, 20, 60, 40), 5.0, "mortise", face=face),)))
    return found


@pytest.mark.parametrize(
    ("at", "depth", "face", "gap"),
    [
        ((30.0, 30.0), 8.0, "A", 6.0),
        ((50.0, 30.0), 4.0, "B", 3.0),
        ((50.0, 30.0), 8.0, "B", -1.0),
        ((31.0, 30.0), 3.0, "B", math.hypot(5.0, 4.0)),
        ((50.0, 30.0), 5.0, "A", -5.0),
    ],
)
def test_gap_of_a_hole_and_a_pocket(at, depth, face, gap):
    """Pocket 40 to 60 by 20 to 40, 5 of 12 mm deep from face A; hole of 8 mm. Beside it the plan counts, under it the
    depth, past its edge both by Pythagoras; within it the hole reaches in by the pocket's whole depth.
    """
    found = bodies([plate("p", 12.0, drills=(hole(*at, depth=depth, face=face),))])
    assert prism_gap(found.rounds[0], _pocket()) == pytest.approx(gap)


def test_gap_of_a_screw_across_a_pocket():
    """A 4 mm screw along x through z = 46, 6 mm past the pocket's edge: 6 - 2; through its middle it meets it."""
    across = pin([Member("p", 4.0, None, "dowel")], 0.0, 100.0, diameter=4.0)
    beside = replace(across, at=(0.0, 10.0, 46.0), direction=(1.0, 0.0, 0.0))
    under = replace(beside, at=(0.0, 3.0, 30.0))
    into = replace(beside, at=(0.0, 9.5, 30.0))
    part = plate("p", 12.0)
    measured = [prism_gap(bodies([part], [j]).rounds[0], _pocket()) for j in (beside, under, into)]
    assert measured == pytest.approx([4.0, 2.0, -2.0])


def test_gaps_in_two_ways_together():
    assert together(3.0, 4.0) == 5.0
    assert together(3.0, -1.0) == 3.0
    assert together(-2.0, 1.5) == 1.5
    assert together(-2.0, -1.0) == -1.0

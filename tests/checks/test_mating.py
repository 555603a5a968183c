"""Holes of one joint against Pythagoras and plain sums, on cabinets whose drilling is changed."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.model import Cabinet, Drill, Member
from tests.cabinet.designs import FIXED
from tests.cabinet.designs import cabinet as fixed
from tests.checks.helpers import cabinet, findings, hole, only, pin, plate

BOTH = [Member("a", 8.2, 8.0, "dowel"), Member("b", 8.2, None, "dowel")]


def pair(first: Drill, second: Drill) -> Cabinet:
    """Two plates on a dowel that runs along y at (50, 30), 8 mm deep in the first, right through the second."""
    parts = [plate("a", 12.0, drills=(first,)), plate("b", 24.0, drills=(second,))]
    return cabinet(parts, [pin(BOTH, 4.0, 20.0)])


def drilled(
    x: float = 50.0, z: float = 30.0, diameter: float = 8.2, depth: float | None = None, **more: object
) -> Drill:
    return hole(x, z, diameter, depth, joint="dowel-1", **more)


BLIND = drilled(depth=8.0)


def test_holes_on_one_axis_meet():
    found = only(pair(BLIND, drilled()), "mating-holes")
    assert found.status == "clear"
    assert "meet" in found.title


@pytest.mark.parametrize(
    ("x", "z", "off", "status"),
    [
        (0.3, 0.4, 0.5, "conflict"),
        (0.06, 0.08, 0.1, "tight"),
        (0.048, 0.036, 0.06, "tight"),
        (0.03, 0.0, 0.03, "clear"),
    ],
)
def test_how_far_apart_two_axes_lie(x, z, off, status):
    """3-4-5 triangles; at most 0.10 mm, tight from 0.05 on."""
    found = only(pair(BLIND, drilled(50 + x, 30 + z)), "mating-holes")
    assert found.status == status
    assert found.measured == pytest.approx(off)
    assert set(found.parts) == {"a", "b"}
    if status == "conflict":
        assert "a at (50.00, 30.00)".lower() in found.because.lower()


def test_a_hole_on_the_wrong_face_leaves_wood_between():
    """8 mm deep from face B of a plate of 12 whose face A meets the other: 4 mm of wood."""
    found = only(pair(drilled(depth=8.0, face="B"), drilled()), "mating-holes")
    assert found.status == "conflict"
    assert found.measured == pytest.approx(4.0)
    assert "4.00 mm of wood left in A" in found.because


@pytest.mark.parametrize(
    ("first", "says", "off"),
    [
        (drilled(depth=7.0), "drilled 7.00 deep, the joint has 8.00", 1.0),
        (drilled(), "drilled 12.00 deep, the joint has 8.00", 4.0),
        (drilled(diameter=7.0, depth=8.0), "drilled 7.00 wide, the joint has 8.20", 1.2),
    ],
)
def test_depth_and_width_are_those_of_the_joint(first, says, off):
    found = only(pair(first, drilled()), "mating-holes")
    assert found.status == "conflict"
    assert found.measured == pytest.approx(off)
    assert says in found.because


def test_a_missing_hole_is_told():
    parts = [plate("a", 12.0), plate("b", 24.0, drills=(drilled(),))]
    (found,) = [
        f for f in findings(cabinet(parts, [pin(BOTH, 4.0, 20.0)]), "mating-holes") if f.status == "conflict"
    ]
    assert "A has no hole for its dowel" in found.because


def test_a_hole_drilled_by_hand_follows_the_other():
    by_hand = [BOTH[0], replace(BOTH[1], by_hand=True)]
    parts = [plate("a", 12.0, drills=(BLIND,)), plate("b", 24.0)]
    assert only(cabinet(parts, [pin(by_hand, 4.0, 20.0)]), "mating-holes").status == "clear"


def test_a_part_that_was_moved_takes_its_holes_along():
    of = pair(BLIND, drilled())
    a, b = of.parts
    frame = replace(b.frame, origin=(0.4, 24.0, 0.3))
    found = only(replace(of, parts=(a, replace(b, frame=frame))), "mating-holes")
    assert (found.status, found.measured) == ("conflict", pytest.approx(0.5))


@pytest.mark.parametrize("name", FIXED)
def test_every_hole_of_a_cabinet_meets_its_mates(name):
    found = only(fixed(name), "mating-holes")
    assert found.status == "clear"
    assert found.measured == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", FIXED)
def test_any_one_hole_that_is_moved_is_found(name):
    """Each machined hole of a pin or screw with another machined one, moved by half a millimetre."""
    of = fixed(name)
    joints = {j.id: j for j in of.axis_joints}
    for part in of.parts:
        for k, drill in enumerate(part.drills):
            mates = [m for m in joints[drill.joint].members if not m.by_hand]
            if drill.by_hand or len(mates) < 2:
                continue
            moved = replace(drill, at=(drill.at[0] + 0.3, drill.at[1] - 0.4))
            changed = replace(part, drills=(*part.drills[:k], moved, *part.drills[k + 1 :]))
            found = findings(
                replace(of, parts=tuple(changed if p.id == part.id else p for p in of.parts)), "mating-holes"
            )
            assert [f.measured for f in found if f.status == "conflict"] == [pytest.approx(0.5)]
            assert part.id in found[0].parts

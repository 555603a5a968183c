"""Holes, screws, pockets and grooves that meet in depth, in hand-made stacks and in designs."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.joinery import drilled
from desk.cabinet.model import AxisJoint, Cabinet, Groove, Member, Part, Pocket
from desk.shapes.loop import rect
from tests.checks.helpers import ALONG_Y, built, cabinet, findings, hole, on_end, only, plate, screw

FROM_ABOVE = (0.0, 0.0, -1.0)
ALONG_X = (1.0, 0.0, 0.0)


def screwed(length: float, at=(50.0, 0.0, 30.0), key="screw-1", direction=ALONG_Y, into="hold") -> AxisJoint:
    """A 4 mm screw with its head at ``at``; its last member is 9 mm behind."""
    members = [Member("cover", 4.5, None, "clearance", head=8.0), Member(into, 2.8, length - 9.0, "pilot")]
    return replace(screw(members, length), id=key, at=at, direction=direction)


def dowel(at, direction, length, members, diameter=6.0, key="dowel-1") -> AxisJoint:
    return AxisJoint(key, "dowel", tuple(members), at, direction, diameter, length)


def stack(joints, *more: Part, thick: float = 24.0, **changes: object) -> Cabinet:
    """A cover y 0 to 9 before a plate y 9 to 33, drilled for the joints that run through faces."""
    parts = [
        plate("cover", 9.0, thickness=9.0),
        plate("hold", 9.0 + thick, thickness=thick, **changes),
        *more,
    ]
    facing = [
        replace(p, drills=(*p.drills, *added)) for p, added in zip(parts, _drills(parts, joints), strict=True)
    ]
    return cabinet(facing, joints)


def _drills(parts, joints):
    """The drills the joints make, with holes of the screws started at face B, which they come from."""
    bare = [replace(p, drills=()) for p in parts]
    through = [j for j in joints if j.direction == ALONG_Y]
    for part in drilled(bare, through):
        yield tuple(replace(d, face="B") for d in part.drills)


@pytest.mark.parametrize(
    ("length", "status", "gap"),
    [(15.0, "clear", None), (17.2, "tight", 1.8), (18.0, "conflict", 1.0), (20.0, "conflict", -1.0)],
)
def test_a_screw_that_comes_on_to_a_dowel_in_the_next_part(length, status, gap):
    """The dowel of 6 mm lies along x at y = 22, so its flank is at 19."""
    across = dowel((20.0, 22.0, 30.0), ALONG_X, 60.0, [Member("hold", 6.0, None, "dowel")])
    found = findings(stack([screwed(length), across]), "depth")[0]
    assert found.status == status
    if gap is not None:
        assert found.measured == pytest.approx(gap, abs=1e-5)
        assert found.needed == 1.5
        assert set(found.parts) == {"cover", "hold"}
        assert "screw through Cover" in found.title
        assert len(found.places) == 2


def test_two_screws_that_cross_in_a_cleat():
    """One along y at x = 50, one from above at y = 20, 3 mm beside it: axes 3 apart, each 4 mm thick."""
    above = screwed(60.0, at=(53.0, 20.0, 69.0), key="screw-2", direction=FROM_ABOVE)
    top = replace(on_end("cover-2", 69.0, 9.0, 33.0))
    members = (Member("cover-2", 4.5, None, "clearance", head=8.0), Member("hold", 2.8, 45.0, "pilot"))
    joint = replace(above, members=members)
    found = findings(stack([screwed(30.0), joint], top), "depth")[0]
    assert found.status == "conflict"
    assert found.measured == pytest.approx(-1.0)
    assert found.because.startswith("axes 3.00 apart - 2.00 - 2.00 = -1.00 mm; needed 1.50")


def test_a_blind_hole_that_reaches_a_pocket_from_the_other_face():
    pocket = Pocket(rect(30, 10, 70, 50), 5.0, "mortise", "tab-1", face="B")
    met = cabinet([plate("p", 12.0, drills=(hole(50, 30, depth=8.0),), pockets=(pocket,))])
    found = only(met, "depth")
    assert (found.status, found.measured) == ("conflict", pytest.approx(-1.0))
    assert "meets the mortise" in found.title
    apart = cabinet([plate("p", 12.0, drills=(hole(50, 30, depth=6.5),), pockets=(pocket,))])
    assert only(apart, "depth").status == "clear"
    assert findings(apart, "web")[0].status == "conflict"


def test_a_hole_under_a_carved_floor_is_no_web_and_is_read_here():
    carving = Pocket(rect(0, 0, 100, 60), 5.0, "carving", islands=(rect(10, 10, 20, 20),))
    found = only(
        cabinet([plate("p", 12.0, drills=(hole(50, 30, depth=6.0, face="B"),), pockets=(carving,))]), "depth"
    )
    assert (found.status, found.measured) == ("conflict", pytest.approx(1.0))


def test_a_hole_in_a_rail_left_standing_is_no_conflict():
    carving = Pocket(rect(0, 0, 100, 60), 5.0, "carving", islands=(rect(30, 10, 70, 50),))
    of = cabinet([plate("p", 12.0, drills=(hole(50, 30, depth=10.0),), pockets=(carving,))])
    assert only(of, "depth").status == "clear"


@pytest.mark.parametrize(
    ("depth", "status"), [(6.0, "clear"), (8.2, "tight"), (8.8, "conflict"), (11.0, "conflict")]
)
def test_a_v_groove_over_a_dowel_hole(depth, status):
    """The groove is 2 mm deep in face A of 12 mm; the hole comes from face B right under it."""
    groove = Groove((((20.0, 30.0, 0.0), (80.0, 30.0, 0.0)),), 90.0, 2.0, "lettering")
    of = cabinet([plate("p", 12.0, drills=(hole(50, 30, depth=depth, face="B"),), grooves=(groove,))])
    found = only(of, "depth")
    assert found.status == status
    if status != "clear":
        assert found.measured == pytest.approx(10.0 - depth, abs=1e-6)


def test_a_groove_beside_a_through_hole_counts_with_its_width():
    """2 mm deep at 90 degrees it is 2 mm wide to either side: 7.5 - 2 - 4 = 1.5 mm of wood at the face."""
    groove = Groove((((20.0, 37.5, 0.0), (80.0, 37.5, 0.0)),), 90.0, 2.0, "lettering")
    found = only(cabinet([plate("p", 12.0, drills=(hole(50, 30),), grooves=(groove,))]), "depth")
    assert (found.status, found.measured) == ("tight", pytest.approx(1.5))


def test_a_groove_that_runs_into_a_pocket():
    groove = Groove((((20.0, 37.0, 0.0), (80.0, 37.0, 0.0)),), 90.0, 2.0, "lettering")
    pocket = Pocket(rect(40, 10, 60, 36), 5.0, "mortise", "tab-1")
    found = only(cabinet([plate("p", 12.0, pockets=(pocket,), grooves=(groove,))]), "depth")
    assert (found.status, found.measured) == ("conflict", pytest.approx(-1.0))


def test_pockets_from_both_faces_that_meet():
    pockets = (
        Pocket(rect(20, 10, 50, 50), 7.0, "mortise", "tab-1"),
        Pocket(rect(45, 10, 80, 50), 6.0, "mortise", "tab-2", face="B"),
    )
    found = only(cabinet([plate("p", 12.0, pockets=pockets)]), "depth")
    assert (found.status, found.measured) == ("conflict", pytest.approx(-1.0))


def test_the_holes_of_one_joint_are_no_collision():
    assert only(stack([screwed(25.0)]), "depth").status == "clear"


def test_holes_side_by_side_are_left_to_the_web_until_nothing_is_left():
    near = cabinet([plate("p", 12.0, drills=(hole(40, 30), hole(49, 30)))])
    assert only(near, "depth").status == "clear"
    assert findings(near, "web")[0].measured == pytest.approx(1.0)
    met = cabinet([plate("p", 12.0, drills=(hole(40, 30), hole(47, 30)))])
    found = only(met, "depth")
    assert (found.status, found.measured) == ("conflict", pytest.approx(-1.0))
    assert only(met, "web").status == "clear"


def test_a_countersink_near_a_dowel_hole_is_read_though_both_holes_are_plain():
    """Countersink of 8 mm, hole of 8 mm, 9 mm apart: 1 mm at the face, where the web between the holes is 2.75 mm."""
    beside = hole(59, 30, face="B", joint="other")
    of = stack([screwed(25.0)])
    cover = replace(of.by_id["cover"], drills=(*of.by_id["cover"].drills, beside))
    found = findings(replace(of, parts=(cover, of.by_id["hold"])), "depth")[0]
    assert (found.status, found.measured) == ("conflict", pytest.approx(1.0))
    assert "countersink" in found.title


def test_the_skin_over_a_screws_point_is_left_to_its_own_check_until_it_is_gone():
    groove = Groove((((20.0, 30.0, 0.0), (80.0, 30.0, 0.0)),), 90.0, 2.0, "lettering")
    thin = stack([screwed(30.0)], grooves=(groove,))
    assert only(thin, "depth").status == "clear"
    assert findings(thin, "screw-point")[0].measured == pytest.approx(1.0)
    gone = findings(stack([screwed(32.0)], grooves=(groove,)), "depth")[0]
    assert gone.status == "conflict"
    assert "lettering" in gone.title


@pytest.mark.parametrize(("at", "left"), [((110.0, 30.0), -14.0), ((103.0, 30.0), -7.0)])
def test_a_hole_beside_its_part(at, left):
    found = findings(cabinet([plate("p", 12.0, drills=(hole(*at),))]), "depth")[0]
    assert (found.status, found.measured) == ("conflict", pytest.approx(left))
    assert found.title == "Hole beside P, not in it"


@pytest.mark.parametrize(("x", "status"), [(94.0, "clear"), (94.3, "tight"), (95.0, "conflict")])
def test_a_countersink_at_the_edge(x, status):
    """A countersink of 8 mm, 100 mm wide plate."""
    of = cabinet([plate("p", 12.0, drills=(hole(x, 30, 4.0, head=8.0),))])
    found = findings(of, "depth")[0]
    assert found.status == status
    if status != "clear":
        assert found.measured == pytest.approx(100 - x - 4)


def test_screws_that_miss_the_back_cover_are_found_in_a_design():
    """A cleat higher than the cover and the header, so that its screws stand above the cover."""
    wrong = [
        f
        for f in findings(built(header__cleat=150.0, header__height=140.0), "depth")
        if f.status == "conflict"
    ]
    assert wrong[0].title.startswith("Hole beside Back cover")
    assert [r.address for r in wrong[0].remedies] == ["header.cleat", "header.height"]


def test_a_dowel_through_the_lifters_pin_is_found_in_a_design():
    wrong = findings(built(joint__edge=30.0, lifter__pin_x=28.0), "depth")
    met = [f for f in wrong if {"lifter", "lip-block-1"} <= set(f.parts)]
    assert met
    assert met[0].status == "conflict"


def test_remedies_take_the_length_back_by_what_lacks():
    across = dowel((20.0, 22.0, 30.0), ALONG_X, 60.0, [Member("hold", 6.0, None, "dowel")])
    of = stack([screwed(18.0, key="screw-cover-1"), across])
    (found,) = findings(of, "depth")
    assert found.remedies[0].address == "joint.screw_cover"
    assert found.remedies[0].text == "Take a shorter screw"

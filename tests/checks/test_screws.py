"""Screw points and bite in hand-made stacks; head at y = 0, cover y 0 to 9, holding plate y 9 to 21."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.cabinet.model import Groove, Member, Pocket
from desk.shapes.loop import rect
from tests.checks.helpers import cabinet, findings, only, plate, screw

COVER = plate("cover", 9.0, thickness=9.0)


def held(length: float, depth: float | None = None, show=(), thread: float | None = None, **more: object):
    """A screw through the cover into a 12 mm plate, pilot as deep as the point unless told."""
    pilot = length - 9.0 if depth is None else depth
    members = [Member("cover", 4.5, None, "clearance", head=8.0), Member("hold", 2.8, pilot, "pilot")]
    return cabinet([COVER, plate("hold", 21.0, show=show, **more)], [screw(members, length, thread=thread)])


@pytest.mark.parametrize(
    ("length", "show", "status", "skin"),
    [
        (16.0, ("A",), "clear", 5.0),
        (18.5, ("A",), "tight", 2.5),
        (19.5, ("A",), "conflict", 1.5),
        (19.5, ("B",), "clear", 1.5),
        (19.5, (), "clear", 1.5),
        (20.2, (), "tight", 0.8),
        (21.5, (), "conflict", -0.5),
    ],
)
def test_skin_is_all_layers_less_the_screw(length, show, status, skin):
    found = only(held(length, show=show), "screw-point")
    assert (found.status, found.measured) == (status, pytest.approx(skin))
    assert found.because.startswith(f"9.00 + 12.00 - {length:.2f} screw = {skin:.2f} mm")
    assert found.needed == (2.0 if show == ("A",) else 0.5)


def test_a_pilot_deeper_than_the_screw_counts():
    found = only(held(16.0, depth=11.0, show=("A",)), "screw-point")
    assert (found.status, found.measured) == ("conflict", pytest.approx(1.0))
    assert "20.00 pilot hole" in found.because


def test_a_pilot_right_through_a_show_face_is_a_conflict():
    members = [Member("cover", 4.5, None, "clearance"), Member("hold", 2.8, None, "pilot")]
    of = cabinet([COVER, plate("hold", 21.0, show=("A",))], [screw(members, 16.0)])
    assert only(of, "screw-point").measured == pytest.approx(0.0)
    assert only(of, "screw-point").status == "conflict"


def test_lettering_over_the_point_takes_its_depth_off():
    """A 90 degree groove 3 mm deep, 1 mm beside the axis of a 4 mm screw: full 3 mm; 4 mm beside: 3 - (4 - 2) = 1."""
    for off, cut in ((1.0, 3.0), (4.0, 1.0), (6.0, 0.0)):
        path = ((20.0, 30.0 + off, 0.0), (80.0, 30.0 + off, 0.0))
        groove = Groove((path,), 90.0, 3.0, "lettering")
        found = only(held(16.0, show=("A",), grooves=(groove,)), "screw-point")
        assert found.measured == pytest.approx(5.0 - cut)


def test_a_pocket_in_the_far_face_takes_its_depth_off_unless_an_island_stands_there():
    field = rect(30.0, 10.0, 70.0, 50.0)
    open_pocket = Pocket(field, 4.0, "carving")
    with_island = Pocket(field, 4.0, "carving", islands=(rect(40.0, 20.0, 60.0, 40.0),))
    assert only(held(16.0, pockets=(open_pocket,)), "screw-point").measured == pytest.approx(1.0)
    assert only(held(16.0, pockets=(with_island,)), "screw-point").measured == pytest.approx(5.0)
    near_side = Pocket(field, 4.0, "carving", face="B")
    assert only(held(16.0, pockets=(near_side,)), "screw-point").measured == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("length", "thread", "status", "bite"),
    [
        (18.0, None, "clear", 9.0),
        (17.5, None, "tight", 8.5),
        (16.0, None, "conflict", 7.0),
        (20.0, 6.0, "conflict", 6.0),
        (40.0, None, "clear", 12.0),
    ],
)
def test_bite_is_thread_in_the_holding_part(length, thread, status, bite):
    """Two diameters of a 4 mm screw; thread two thirds of the length unless told; no more than the part is thick."""
    found = only(held(length, thread=thread), "screw-bite")
    assert (found.status, found.measured) == (status, pytest.approx(bite))
    assert found.needed == pytest.approx(8.0)


def test_remedies_are_the_length_and_the_stocks():
    members = [Member("cover", 4.5, None, "clearance"), Member("hold", 2.8, 6.0, "pilot")]
    joint = screw(members, 15.0)
    of = cabinet([COVER, plate("hold", 21.0)], [replace(joint, id="screw-cover-1")])
    (found,) = findings(of, "screw-bite")
    assert [r.address for r in found.remedies] == ["joint.screw_cover", "stocks.1.measured"]
    assert found.remedies[0].text == "Take a longer screw"


def test_the_place_is_the_stretch_of_the_axis_in_the_holding_part():
    (place,) = only(held(18.0), "screw-bite").places
    world = [place.frame.world(*p) for p in place.points]
    assert [p[1] for p in world] == pytest.approx([9.0, 18.0])
    assert all(math.isclose(p[0], 50.0) and math.isclose(p[2], 30.0) for p in world)

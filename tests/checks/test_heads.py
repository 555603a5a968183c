"""Countersunk heads against the table of flat heads and in hand-made joints."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.cabinet.model import AxisJoint, Cabinet, Member
from desk.checks.heads import head_of
from desk.shop.hardware import wood_screw
from tests.checks.helpers import ALONG_Y, cabinet, findings, only, plate, screw


def held(sunk: float = 8.0, cover: float = 9.0, clearance: float = 4.5) -> Cabinet:
    """A 4 mm screw with an 8 mm head of 90 degrees, 2 mm high, through a cover."""
    members = [Member("cover", clearance, None, "clearance", head=sunk), Member("hold", 2.52, 9.0, "pilot")]
    parts = [plate("cover", cover, thickness=cover), plate("hold", cover + 12.0)]
    return cabinet(parts, [screw(members, cover + 9.0)])


@pytest.mark.parametrize(("size", "inches"), [("no6", 0.081), ("no8", 0.096), ("no10", 0.112)])
def test_a_head_in_its_own_countersink_goes_as_deep_as_the_table_says(size, inches):
    """Countersink depths of 82 degree heads from sharp-edge maximum and shank, ASME B18.6.1."""
    s = wood_screw(size)
    first = Member("cover", s.shank + 0.5, None, "clearance", head=s.head)
    joint = AxisJoint(
        "s", "screw", (first,), (0, 0, 0), ALONG_Y, s.shank, 25.0, head=s.head, head_height=s.head_height
    )
    sits = head_of(joint)
    assert sits.deep / 25.4 == pytest.approx(inches, abs=1e-3)
    assert sits.proud == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("sunk", "proud", "deep"), [(8.0, 0.0, 2.0), (7.0, 0.5, 1.5), (10.0, -1.0, 3.0), (0.0, 1.75, 0.25)]
)
def test_how_a_head_of_90_degrees_sits(sunk, proud, deep):
    """tan 45 = 1: half of what the countersink is wider or narrower; without one it sinks into the 4.5 mm hole."""
    (joint,) = held(sunk).axis_joints
    found = head_of(joint)
    assert (found.proud, found.deep) == (pytest.approx(proud), pytest.approx(deep))


def test_the_angle_is_that_of_the_screw():
    """82 degrees: 1 mm narrower stands 0.5 / tan 41 = 0.575 mm proud."""
    (joint,) = held(7.0).axis_joints
    inch = replace(joint, head_height=2.0 / math.tan(math.radians(41.0)))
    assert head_of(inch).proud == pytest.approx(0.5752, abs=1e-4)


@pytest.mark.parametrize(
    ("sunk", "status"), [(8.0, "clear"), (7.7, "tight"), (7.2, "conflict"), (0.0, "conflict")]
)
def test_a_head_stands_proud_of_too_small_a_countersink(sunk, status):
    found = findings(held(sunk), "head")[0]
    assert found.status == status
    if status != "clear":
        assert found.title == "Screw heads in the face of Cover"
        assert found.parts == ("cover",)


@pytest.mark.parametrize(("cover", "status"), [(9.0, "clear"), (5.5, "tight"), (4.5, "conflict")])
def test_wood_under_the_head(cover, status):
    """Three quarters of 4 mm are needed under a head 2 mm deep: 5 mm of cover."""
    found = findings(held(cover=cover), "head")[0]
    assert found.status == status
    if status != "clear":
        assert found.measured == pytest.approx(cover - 2.0)
        assert found.because.startswith(f"{cover:.2f} - head 2.00 deep = {cover - 2:.2f} mm; needed 3.00")
        assert [r.address for r in found.remedies] == ["joint.screw", "stocks.1.measured"]


@pytest.mark.parametrize(("clearance", "status"), [(4.5, "clear"), (5.8, "tight"), (6.5, "conflict")])
def test_ring_the_head_bears_on(clearance, status):
    """A quarter of 4 mm all round the hole under an 8 mm head."""
    found = findings(held(clearance=clearance), "head")[0]
    assert found.status == status
    if status != "clear":
        assert found.measured == pytest.approx((8.0 - clearance) / 2)


def test_the_place_is_the_head():
    (place,) = findings(held(7.2), "head")[0].places
    assert [place.frame.world(*p)[1] for p in place.points] == pytest.approx([0.0, 1.6])


def test_a_screw_without_a_flat_head_is_not_read():
    of = held()
    flat = replace(of, axis_joints=tuple(replace(j, head=0.0) for j in of.axis_joints))
    assert only(flat, "head").because == "There is no screw with a countersunk head in this cabinet."

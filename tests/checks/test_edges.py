"""Edge and end distances of holes in plates, and of a screw in an edge."""

from __future__ import annotations

import math

import pytest

from desk.cabinet.model import AxisJoint, Cutout, Member
from desk.shapes.loop import circle, polygon_loop, rect
from tests.checks.helpers import ALONG_Y, cabinet, findings, hole, on_end, only, plate


@pytest.mark.parametrize(("x", "status"), [(10.0, "clear"), (8.5, "tight"), (7.9, "conflict")])
def test_a_dowel_keeps_a_diameter_to_the_edge(x, status):
    found = only(cabinet([plate("a", 12.0, drills=(hole(x, 30.0),))]), "hole-edge")
    assert (found.status, found.measured, found.needed) == (status, pytest.approx(x), pytest.approx(8.0))
    (place,) = found.places
    assert math.dist(*place.points) == pytest.approx(x)


def test_a_screw_keeps_the_edge_distance_of_nds():
    """NDS Commentary Table C12.1.5.7: 2.5 D. No. 8, D = 0.164 in: 0.41 in = 10.41 mm."""
    number_8 = 0.164 * 25.4
    pilot = hole(10.3, 30.0, 2.8, 6.0, use="pilot", joint="screw-1")
    joint = AxisJoint("screw-1", "screw", (), (10.3, 0.0, 30.0), ALONG_Y, number_8, 16.0)
    found = only(cabinet([plate("a", 12.0, drills=(pilot,))], [joint]), "hole-edge")
    assert found.needed == pytest.approx(0.41 * 25.4)
    assert found.status == "conflict"
    assert found.source.flag == "published"


def test_openings_are_edges_and_inside_corners_keep_the_bits_fillet():
    """A hole 9 mm from an opening; and one beside a notch's corner, which the 6 mm bit leaves nearer to the hole."""
    drill = hole(50.0, 30.0)
    opening = Cutout(circle(75.0, 30.0, 16.0), "window")
    assert only(
        cabinet([plate("a", 12.0, drills=(drill,), cutouts=(opening,))]), "hole-edge"
    ).measured == pytest.approx(9.0, abs=0.01)
    notched = polygon_loop([(0, 0), (100, 0), (100, 60), (60, 60), (60, 40), (40, 40), (40, 60), (0, 60)])
    sharp = math.dist((34.0, 34.0), (40.0, 40.0))
    found = only(cabinet([plate("a", 12.0, notched, drills=(hole(34.0, 34.0),))]), "hole-edge")
    # the outline is cut from outside, so the notch's own corners (inside corners) are filled, its mouth stays
    assert found.measured == pytest.approx(sharp + 3 * (math.sqrt(2) - 1), abs=0.01)


@pytest.mark.parametrize(("stock", "count"), [("oak", 1), ("ply", 0), ("board", 0)])
def test_the_end_distance_counts_along_the_grain_of_solid_wood_alone(stock, count):
    """5 D of a 4 mm screw is 20 mm; the hole stands 15 from the end of the grain and 30 from the sides."""
    pilot = hole(15.0, 30.0, 2.8, 6.0, use="pilot", joint="screw-1")
    joint = AxisJoint("screw-1", "screw", (), (15.0, 0.0, 30.0), ALONG_Y, 4.0, 16.0)
    shown = findings(cabinet([plate("a", 12.0, stock=stock, drills=(pilot,))], [joint]), "hole-edge")
    ends = [f for f in shown if "end grain" in f.title]
    assert len(ends) == count
    if ends:
        assert (ends[0].status, ends[0].measured, ends[0].needed) == ("conflict", pytest.approx(15.0), 20.0)
        turned = plate("a", 12.0, stock=stock, drills=(pilot,), grain=(0.0, 1.0))
        assert not [f for f in findings(cabinet([turned], [joint]), "hole-edge") if f.status == "conflict"]


@pytest.mark.parametrize(
    ("thick", "x", "status", "wall"),
    [
        (13.0, 50.0, "clear", 6.5),
        (11.0, 50.0, "conflict", 5.5),
        (30.0, 5.0, "conflict", 5.0),
        (12.4, 50.0, "tight", 6.2),
    ],
)
def test_a_screw_into_an_edge_keeps_wood_on_all_sides(thick, x, status, wall):
    """1.5 D of a 4 mm screw is 6 mm to either face and to the side of the part."""
    edge = on_end("edge", 30.0 + thick / 2, thick)
    members = (Member("edge", 2.8, 20.0, "pilot", by_hand=True),)
    joint = AxisJoint("screw-1", "screw", members, (x, -9.0, 30.0), ALONG_Y, 4.0, 30.0)
    found = [f for f in findings(cabinet([edge], [joint]), "hole-edge") if "in the edge" in f.title]
    assert [(f.status, f.measured) for f in found] == [(status, pytest.approx(wall))]


def test_the_nearest_of_many_is_the_clear_one():
    plates = [
        plate("a", 12.0, drills=(hole(20.0, 30.0), hole(80.0, 29.0))),
        plate("b", 30.0, rect(0, 0, 200, 200)),
    ]
    found = only(cabinet(plates), "hole-edge")
    assert (found.status, found.measured) == ("clear", pytest.approx(20.0))

"""Edges and ends under the hand: corners of outlines with known radii, pins of known length, parts above the sides."""

from __future__ import annotations

import math

import pytest

from desk.cabinet.build import build
from desk.cabinet.model import EdgeBreak, Member
from desk.checks import handled
from desk.checks.context import Context
from desk.checks.run import run
from desk.design.edit import get, put, put_choice
from desk.shapes.loop import polygon_loop, rect, rounded
from tests.checks.helpers import built, cabinet, changed, findings, on_end, pin, plate


def readings(of):
    return {d.key: d for d in handled.handled(Context(of))}


def test_a_square_has_four_sharp_right_angles():
    found = handled.corners(rect(0.0, 0.0, 40.0, 30.0))
    assert [(round(math.degrees(c.turn)), c.radius) for c in found] == [(90, 0.0)] * 4


def test_rounded_corners_are_arcs_of_their_radius():
    loop = rounded([(0.0, 0.0, 5.0), (80.0, 0.0, 7.0), (80.0, 60.0, 0.0), (0.0, 60.0, 9.0)])
    assert sorted(round(c.radius, 6) for c in handled.corners(loop)) == [0.0, 5.0, 7.0, 9.0]


def test_corners_that_go_in_do_not_count():
    # an L: five corners out, one in
    found = handled.corners(polygon_loop([(0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60)]))
    assert len(found) == 5
    assert (20.0, 20.0) not in [c.at for c in found]


@pytest.mark.parametrize("angle", [30.0, 60.0, 120.0])
def test_a_pointed_corner_turns_farther_and_wants_a_larger_radius(angle):
    tip = (0.0, 50.0)
    half = math.radians(angle / 2)
    loop = polygon_loop([(-50 * math.tan(half), 0.0), (50 * math.tan(half), 0.0), tip])
    at_tip = next(c for c in handled.corners(loop) if math.dist(c.at, tip) < 1e-9)
    assert math.degrees(at_tip.turn) == pytest.approx(180.0 - angle)
    (wrong,) = [
        d
        for k, d in readings(cabinet([plate("side", 12.0, loop)])).items()
        if d.rating.needed and "corner" in k
    ]
    assert wrong.rating.needed == pytest.approx(2.0 * (180.0 - angle) / 90.0)
    assert wrong.rating.status == "conflict"


def test_corners_on_the_table_are_left_alone():
    found = [k for k in readings(cabinet([plate("side", 12.0)])) if "corner" in k]
    assert len(found) == 2


def test_an_edge_counts_as_broken_by_a_rounding_or_a_chamfer_on_the_outside():
    outline = rect(0.0, 0.0, 100.0, 60.0)
    for face, status in (("B", "clear"), ("A", "conflict")):
        broken = EdgeBreak(outline.points, True, "chamfer", 2.0, "outside edge", face)
        both = [plate("low", 12.0, breaks=(broken,)), plate("high", 62.0)]
        assert readings(cabinet(both))["low/edge"].rating.status == status
    assert readings(built(shop__edge_round=0.0))["panel-far/edge"].rating.status == "conflict"


@pytest.mark.parametrize(("length", "status"), [(23.0, "clear"), (24.0, "tight"), (24.5, "conflict")])
def test_a_pin_through_two_plates_ends_at_the_face(length, status):
    plates = [plate("one", 12.0), plate("two", 24.0)]
    members = [Member("one", 8.1, None, "dowel"), Member("two", 8.1, None, "dowel")]
    found = readings(cabinet(plates, [pin(members, 0.0, length)]))["dowel-1/end"].rating
    assert found.measured == pytest.approx(length - 24.0)
    assert found.status == status


def test_a_pin_that_starts_outside_stands_out_too():
    plates = [plate("one", 12.0), plate("two", 24.0)]
    members = [Member("one", 8.1, None, "dowel"), Member("two", 8.1, None, "dowel")]
    found = readings(cabinet(plates, [pin(members, -1.5, 20.0)]))
    assert found["dowel-1/start"].rating.measured == pytest.approx(1.5)
    assert found["dowel-1/start"].rating.status == "conflict"


def test_blind_holes_and_handles_have_no_end_to_feel():
    plates = [plate("one", 12.0), plate("two", 24.0)]
    blind = [Member("one", 8.1, 8.0, "dowel"), Member("two", 8.1, 8.0, "dowel")]
    assert not [k for k in readings(cabinet(plates, [pin(blind, 4.0, 15.0)])) if k.startswith("dowel")]
    handle = [Member("one", 8.1, None, "dowel")]
    assert not [
        k for k in readings(cabinet(plates, [pin(handle, -20.0, 60.0, "rod")])) if k.startswith("rod")
    ]


def test_what_stands_above_the_sides_is_told_with_its_height():
    low, high = on_end("deck", 50.0), on_end("shelf", 66.0)
    found = readings(cabinet([plate("side", 0.0), low, high]))
    assert found["deck/above"].rating.measured == pytest.approx(10.0)
    assert found["shelf/above"].rating.measured == pytest.approx(-6.0)
    assert found["shelf/above"].rating.status == "conflict"


@pytest.mark.parametrize(
    ("values", "title"),
    [
        ({"header__height": 140.0}, "Header above the sides"),
        ({"lane__stop_height": 90.0}, "Front stop above the sides"),
    ],
)
def test_absurd_heights_are_found_and_the_remedy_mends_them(values, title):
    design = changed(**values)
    (wrong,) = [
        f
        for f in run(build(design), ["handled"], value_of=lambda a: get(design, a))
        if f.status == "conflict" and f.title == title
    ]
    remedy = wrong.remedies[0]
    mended = run(build(put(design, remedy.address, remedy.value)), ["handled"])
    assert not [f for f in mended if f.status == "conflict" and f.title == title]


def test_the_mirror_image_reads_the_same():
    right = readings(build(put_choice(changed(), "return.side", "right")))
    left = readings(built())
    assert sorted(round(d.rating.measured, 2) for d in left.values()) == pytest.approx(
        sorted(round(d.rating.measured, 2) for d in right.values()), abs=0.011
    )


def test_a_cabinet_without_sides_cannot_be_judged():
    (found,) = findings(cabinet([on_end("deck", 50.0)]), "handled")
    assert found.status == "conflict"
    assert "cannot be checked" in found.title

"""Dowels, rods and pins in hand-made stacks, every number worked by hand.

Near plate: y 0 to 12, middle plate: y 12 to 30, far plate: y 30 to 42. Faces A look to +y.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Member
from desk.checks.run import run
from desk.design.edit import get
from tests.checks.helpers import cabinet, changed, findings, on_end, only, pin, plate

NEAR, MIDDLE, FAR = plate("near", 12.0), plate("middle", 30.0, thickness=18.0), plate("far", 42.0)


def blind(part: str, depth: float | None, diameter: float = 8.0, face: str = "A") -> Member:
    return Member(part, diameter, depth, "dowel", face=face)  # type: ignore[arg-type]


def stack(first: float | None, last: float | None, length: float, hole: float = 8.1, **shop: object):
    """A dowel through the middle plate, its ends ``first`` mm deep in the near and ``last`` in the far plate."""
    members = [blind("near", first, hole), blind("middle", None, hole), blind("far", last, hole, "B")]
    return cabinet([NEAR, MIDDLE, FAR], [pin(members, 2.0, length)], **shop)


@pytest.mark.parametrize(
    ("hole", "film", "in_joints", "status", "margin"),
    [
        (8.1, 0.075, False, "clear", 0.10),
        (8.0, 0.075, False, "tight", 0.0),
        (7.9, 0.075, False, "conflict", -0.1),
        (8.1, 0.075, True, "conflict", -0.05),
        (8.3, 0.075, True, "clear", 0.15),
        (8.28, 0.0, False, "tight", 0.02),
        (8.5, 0.0, False, "conflict", -0.2),
    ],
)
def test_play_is_hole_less_two_films_less_pin(hole, film, in_joints, status, margin):
    found = only(stack(9.0, 9.0, 34.0, hole, film=film, film_in_joints=in_joints), "dowel-play")
    assert found.status == status
    assert found.margin == pytest.approx(margin)
    assert f"hole {hole:.2f} - 2 x {film if in_joints else 0:.3f} film - pin 8.00" in found.because
    assert found.parts == ("near", "middle", "far")


def test_play_in_inches():
    """3/8 in pin in a 25/64 in hole: 1/64 in = 0.396 875 mm of play, above the 0.30 mm allowed."""
    members = [blind("near", 9.0, 25 / 64 * 25.4), blind("middle", None, 25 / 64 * 25.4)]
    found = only(cabinet([NEAR, MIDDLE], [pin(members, 3.0, 25.0, diameter=3 / 8 * 25.4)]), "dowel-play")
    assert found.status == "conflict"
    assert found.measured == pytest.approx(0.396875)


def test_a_part_that_turns_on_a_pin_wants_more_play():
    members = [blind("near", 8.0, 8.05), blind("middle", None, 8.05), blind("far", 8.0, 8.05, "B")]
    shown = findings(cabinet([NEAR, MIDDLE, FAR], [pin(members, 4.0, 33.0, "pin")]), "dowel-play")
    (turning,) = [f for f in shown if f.status == "conflict"]
    assert turning.parts == ("middle",)
    assert turning.title.startswith("Pin it turns on")
    assert turning.remedies[0].address == "lifter.play"


def test_remedies_name_the_value_that_clears():
    design = changed(joint__dowel_fit=-0.2)
    found = run(build(design), ["dowel-play"], value_of=lambda address: get(design, address))
    remedy = next(
        r for f in found if f.status == "conflict" for r in f.remedies if r.address == "joint.dowel_fit"
    )
    assert remedy.text == "Give the dowel hole more room over the pin"
    mended = build(changed(joint__dowel_fit=remedy.value))
    assert {f.status for f in run(mended, ["dowel-play"])} == {"clear"}


@pytest.mark.parametrize(
    ("first", "last", "length", "room", "status"),
    [
        (9.0, 9.0, 34.0, 2.0, "tight"),
        (9.0, 9.0, 34.1, 1.9, "conflict"),
        (9.0, 9.0, 33.4, 2.6, "clear"),
        (9.0, None, 38.0, 1.0, "tight"),
        (9.0, None, 38.1, 0.9, "conflict"),
        (None, None, 42.0, 0.0, "clear"),
        (None, None, 42.1, -0.1, "conflict"),
    ],
)
def test_room_for_glue_is_the_holes_less_the_pin(first, last, length, room, status):
    """1 mm for each closed end; a pin open at both ends must not stand proud."""
    found = [f for f in findings(stack(first, last, length), "dowel-depth") if "glue" in f.title]
    if status == "clear":
        assert not [f for f in found if f.status != "clear"]
    else:
        assert (found[0].status, found[0].measured) == (status, pytest.approx(room))


@pytest.mark.parametrize(("depth", "status"), [(10.1, "conflict"), (9.9, "tight"), (9.0, "clear")])
def test_skin_left_under_a_closed_hole(depth, status):
    found = findings(stack(depth, depth, 18 + 2 * depth - 3), "dowel-depth")
    assert {f.status for f in found} == {status}
    if status != "clear":
        assert {f.title for f in found} == {
            "Skin under the dowel holes in Near",
            "Skin under the dowel holes in Far",
        }
        assert found[0].measured == pytest.approx(12 - depth)
        assert found[0].because.startswith(f"12.00 - {depth:.2f} deep = {12 - depth:.2f} mm")


def test_a_pin_driven_home_leaves_its_room_at_the_open_end():
    """Holes 9 + 18 + 12 = 39, pin 30: 9 too short, so only 3 mm of 12 sit in the open plate; a third is 4."""
    found = [f for f in findings(stack(9.0, None, 30.0), "dowel-depth") if "hold" in f.title]
    assert [(f.parts, f.status) for f in found] == [(("far",), "conflict")]
    assert found[0].measured == pytest.approx(3.0)


def test_a_pin_between_two_closed_ends_shares_its_room():
    """Holes 6 + 18 + 6 = 30, pin 24: each end holds 6 - 3 = 3 mm; a third of 12 is 4."""
    found = [f for f in findings(stack(6.0, 6.0, 24.0), "dowel-depth") if "hold" in f.title]
    assert sorted(f.parts for f in found) == [("far",), ("near",)]
    assert found[0].measured == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("thick", "status"), [(18.0, "clear"), (16.5, "tight"), (12.0, "conflict"), (26.0, "conflict")]
)
def test_a_dowel_in_an_edge_is_a_third_to_a_half_of_the_thickness(thick, status):
    """8 mm: 0.44 of 18, 0.48 of 16.5, 0.67 of 12, 0.31 of 26 (a third to a half, common practice)."""
    edge = on_end("edge", 30.0 + thick / 2, thick)
    members = [blind("near", 8.0), blind("edge", 20.0)]
    moved = replace(edge, frame=replace(edge.frame, origin=(0.0, 12.0, 30.0 + thick / 2)))
    found = findings(cabinet([NEAR, moved], [pin(members, 4.5, 26.0)]), "dowel-depth")
    shares = [f for f in found if "edge of Edge" in f.title]
    assert [f.status for f in shares] == ([] if status == "clear" else [status])


def test_a_handle_through_one_part_alone_needs_no_room():
    found = findings(cabinet([NEAR], [pin([blind("near", None)], -20.0, 60.0, "rod")]), "dowel-depth")
    assert {f.status for f in found} == {"clear"}

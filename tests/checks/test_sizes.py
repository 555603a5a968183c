"""Sizes that the bits make of holes, grooves and lettering."""

from __future__ import annotations

import math

import pytest
import shapely
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Bit, Cabinet, Groove, Member
from desk.checks.run import run
from desk.checks.sizes import maker, strokes_apart
from desk.design.edit import get, put
from tests.checks.helpers import BITS, built, cabinet, changed, findings, hole, on_end, only, plate, screw

VEE = Bit("v90", "90 degree V", "vee", 12.0, 10.0, 90.0)


def holed(size: float, bits=BITS, **more: object) -> Cabinet:
    return cabinet([plate("p", 12.0, drills=(hole(50, 30, size, **more),))], bits=bits)


@pytest.mark.parametrize(
    ("size", "depth", "by_hand", "bit", "made"),
    [
        (8.1, 10.0, False, "b6", 8.1),
        (8.1, 30.0, False, "d8", 8.0),
        (8.1, 10.0, True, "d8", 8.0),
        (4.0, 10.0, False, "b3", 4.0),
        (4.0, 10.0, True, "d8", 8.0),
    ],
)
def test_what_makes_a_hole(size, depth, by_hand, bit, made):
    """6 and 3 mm straight bits, 22 and 12 mm long, and an 8 mm drill."""
    found = maker(BITS, size, depth, by_hand)
    assert found is not None
    assert (found[0].id, found[1]) == (bit, made)


def test_the_machine_has_nothing_for_a_hole_thinner_than_every_bit():
    assert maker(BITS, 2.0, 10.0, False) is None
    assert only(holed(2.0), "bit-sizes").status == "clear"
    assert findings(holed(2.0), "cut-depth")[0].status == "conflict"


@pytest.mark.parametrize(("size", "status"), [(8.05, "clear"), (8.11, "tight"), (8.14, "conflict")])
def test_a_drill_makes_its_own_size(size, status):
    found = only(holed(size, bits=BITS[2:]), "bit-sizes")
    assert (found.status, found.measured) == (status, pytest.approx(size - 8.0))
    assert found.because.startswith(f"8 mm drill makes 8.00 mm, wanted {size:.2f}")
    assert [r.address for r in found.remedies] == ["bits.1.diameter", "joint.dowel_fit"]


def test_a_straight_bit_runs_round_to_any_size():
    assert only(holed(8.14), "bit-sizes").measured == pytest.approx(0.0)


def test_holes_by_hand_need_a_drill():
    wrong = findings(holed(4.0, by_hand=True, depth=6.0), "bit-sizes")[0]
    assert (wrong.status, wrong.measured) == ("conflict", pytest.approx(4.0))
    assert wrong.title == "4.00 mm hole, drilled by hand: P"
    none = findings(holed(4.0, bits=BITS[:2], by_hand=True, depth=6.0), "bit-sizes")[0]
    assert (none.status, none.because) == ("conflict", "there is no drill in the list of bits")


def test_holes_in_edges_are_drilled_by_hand():
    members = [Member("front", 8.0, None, "clearance"), Member("shelf", 2.8, 20.0, "pilot")]
    of = cabinet([plate("front", 0.0), on_end("shelf", 36.0)], [screw(members, 30.0, start=-12.0)])
    found = findings(of, "bit-sizes")[0]
    assert (found.status, found.parts, found.measured) == ("conflict", ("shelf",), pytest.approx(5.2))


def test_a_pilot_that_no_drill_makes_is_found_in_a_design():
    found = findings(built(joint__pilot=2.6), "bit-sizes")[0]
    assert (found.status, found.parts) == ("conflict", ("header",))
    assert [r.address for r in found.remedies] == ["bits.6.diameter", "joint.pilot"]


def grooved(*paths, depth: float = 2.0, bit: Bit = VEE) -> Cabinet:
    groove = Groove(paths, bit.angle, depth, "lettering")
    return cabinet([plate("p", 12.0, grooves=(groove,))], bits=(*BITS, bit))


STROKE = ((20.0, 10.0, 0.0), (20.0, 50.0, 0.0))


@pytest.mark.parametrize(("depth", "status"), [(5.5, "clear"), (5.9, "tight"), (6.2, "conflict")])
def test_a_v_bit_cuts_no_wider_than_itself(depth, status):
    """12 mm across at 90 degrees: 6 mm deep."""
    found = findings(grooved(STROKE, depth=depth), "bit-sizes")[0]
    assert found.status == status
    assert found.measured == pytest.approx(12.0 - 2 * depth)


def test_a_narrow_v_bit_cuts_narrower_grooves():
    """60 degrees, 3 mm deep: 2 x 3 x tan 30 = 3.46 mm."""
    found = findings(grooved(STROKE, depth=3.0, bit=replace(VEE, angle=60.0, diameter=6.0)), "bit-sizes")[0]
    assert found.measured == pytest.approx(6.0 - 6 * math.tan(math.radians(30.0)))


def shifted(dx: float):
    return tuple((x + dx, y, b) for x, y, b in STROKE)


@pytest.mark.parametrize(("apart", "status"), [(4.5, "clear"), (2.1, "tight"), (1.9, "conflict")])
def test_letters_whose_grooves_run_together(apart, status):
    """Grooves 4 mm wide whose middles are s apart leave a ridge of s / 4 of their depth."""
    found = findings(grooved(STROKE, shifted(apart)), "bit-sizes")[0]
    assert found.status == status
    if status != "clear":
        assert (found.measured, found.needed) == (pytest.approx(apart), pytest.approx(2.0))
        assert [r.address for r in found.remedies] == ["header.groove", "header.letter"]


def test_the_ridge_between_two_grooves():
    """The section of two V-grooves of 90 degrees drawn with shapely: what stands between them is as high as said."""
    wood = shapely.box(-10, -12, 20, 0)
    for middle in (0.0, 3.0):
        wood = wood.difference(shapely.Polygon([(middle - 2, 0), (middle, -2), (middle + 2, 0)]))
    between = wood.intersection(shapely.box(0, -12, 3, 0))
    assert 2.0 + between.bounds[3] == pytest.approx(2.0 * 3.0 / 4.0)


def test_strokes_that_touch_are_one_letter():
    """An upright and two arms that start on it; the next letter is 9 mm off."""
    arm = ((20.0, 50.0, 0.0), (30.0, 50.0, 0.0))
    foot = ((20.0, 10.0, 0.0), (30.0, 10.0, 0.0))
    groove = Groove((STROKE, arm, foot), 90.0, 2.0, "lettering")
    assert strokes_apart(groove) is None
    two = strokes_apart(replace(groove, paths=(*groove.paths, shifted(19.0))))
    assert two is not None
    assert two[0] == pytest.approx(9.0)


def test_the_remedies_for_lettering_end_the_conflict():
    design = changed(header__letter=6.5, header__groove=2.0)
    (found,) = [
        f
        for f in run(build(design), ["bit-sizes"], value_of=lambda a: get(design, a))
        if f.status == "conflict"
    ]
    for remedy in found.remedies:
        assert remedy.value is not None
        mended = put(design, remedy.address, remedy.value)
        assert not [f for f in run(build(mended), ["bit-sizes"]) if f.status == "conflict"]

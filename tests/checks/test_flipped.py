"""Parts the wrong way round: plates whose symmetries are known, and what setting a pin aside does to them."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.model import Cabinet, Cutout, EdgeBreak, Groove, Member, Pocket
from desk.shapes.loop import circle, polygon_loop, rect
from tests.cabinet.designs import FIXED
from tests.cabinet.designs import cabinet as fixed
from tests.checks.helpers import cabinet, findings, hole, only, pin, plate
from tests.checks.pairs.assembly import two_pins

EVEN = ((15.0, 30.0), (85.0, 30.0))


def on_pins(*spots: tuple[float, float], blind: float | None = None, **more: object) -> Cabinet:
    """A plate of 100 x 60 on a larger one, by pins at these spots, with whatever else it has."""
    sizes = Member("base", 8.2, 8.0, "dowel"), Member("part", 8.2, blind, "dowel")
    joints = [replace(pin(sizes, 4.0, 14.0), id=f"p{k}", at=(x, 4.0, z)) for k, (x, z) in enumerate(spots)]
    below = tuple(hole(x, z, 8.2, 8.0, joint=f"p{k}") for k, (x, z) in enumerate(spots))
    face = {} if blind is None else {"face": "B"}
    through = tuple(hole(x, z, 8.2, blind, joint=f"p{k}", **face) for k, (x, z) in enumerate(spots))
    base = plate("base", 12.0, polygon_loop([(-30, -20), (160, -20), (130, 95), (-30, 80)]), drills=below)
    return cabinet([base, plate("part", 24.0, drills=through, **more)], joints)


OFF_MIDDLE = {"cutouts": (Cutout(circle(30.0, 30.0, 6.0), "finger hole"),)}


def test_a_part_without_marks_may_go_in_any_way():
    assert only(on_pins(*EVEN), "wrong-way").status == "clear"


def test_marks_that_are_alike_all_ways_are_right_all_ways():
    middle = {"cutouts": (Cutout(circle(50.0, 30.0, 6.0), "finger hole"),)}
    assert only(on_pins(*EVEN, **middle), "wrong-way").status == "clear"


def test_an_opening_off_the_middle_ends_up_on_the_other_side():
    """At x = 30 of 100: turned, its middle lies at 70, 40 mm off."""
    found = only(on_pins(*EVEN, **OFF_MIDDLE), "wrong-way")
    assert found.status == "conflict"
    assert found.parts == ("part",)
    assert found.margin == pytest.approx(-2.0)
    assert "40.0 mm off" in found.because
    assert "Setting the dowel to Base 3.0 mm aside forbids it" in found.because


@pytest.mark.parametrize(
    ("aside", "status"),
    [(0.5, "conflict"), (1.9, "conflict"), (2.1, "tight"), (2.9, "tight"), (3.1, "clear")],
)
def test_setting_one_pin_aside_forbids_it(aside, status):
    """One of two pins moved along by so much misses its hole by so much when the part is turned."""
    found = only(two_pins(aside)()[0], "wrong-way")
    assert found.status == status
    if found.measured is not None:
        assert found.measured == pytest.approx(aside)


def test_the_proposed_offset_is_enough():
    """What the finding says to set aside makes it clear."""
    found = only(two_pins(0.0)()[0], "wrong-way")
    said = float(found.because.split("Setting the dowel to A ")[1].split(" mm")[0])
    assert only(two_pins(said)()[0], "wrong-way").status == "clear"


def test_a_pin_on_the_middle_line_needs_half_the_offset():
    spots = ((50.0, 30.0),)
    found = only(on_pins(*spots, **OFF_MIDDLE), "wrong-way")
    assert "1.5 mm aside" in found.because
    moved = on_pins((51.5, 31.5), **OFF_MIDDLE)
    assert only(moved, "wrong-way").status == "clear"


def test_blind_holes_do_not_let_a_part_be_turned_over():
    """An opening above the middle: turned over, the part would still fit its pins, were they through."""
    high = {"cutouts": (Cutout(circle(50.0, 45.0, 6.0), "finger hole"),)}
    spots = ((15.0, 20.0), (85.0, 20.0), (15.0, 40.0), (85.0, 40.0))
    assert only(on_pins(*spots, **high), "wrong-way").status == "conflict"
    three = ((15.0, 20.0), (85.0, 20.0), (50.0, 10.0))
    left = {"cutouts": (Cutout(circle(30.0, 45.0, 6.0), "finger hole"),)}
    assert only(on_pins(*three, **left), "wrong-way").status == "conflict"
    assert only(on_pins(*three, blind=8.0, **left), "wrong-way").status == "clear"


@pytest.mark.parametrize(
    "told",
    [
        {"grooves": (Groove((((20, 20, 0), (40, 20, 0)),), 90.0, 1.5, "lettering"),)},
        {"breaks": (EdgeBreak(((0, 60, 0), (100, 60, 0)), False, "rounding", 3.0, "outside edge"),)},
        {"pockets": (Pocket(rect(10, 10, 30, 20), 3.0, "carving"),)},
    ],
    ids=["lettering", "rounding", "carving"],
)
def test_what_one_sees_tells_the_face(told):
    """Three pins that fit turned over, not turned round."""
    three = ((15.0, 20.0), (85.0, 20.0), (50.0, 10.0))
    assert only(on_pins(*three, **told), "wrong-way").status == "clear"


def test_carving_does_not_tell_which_end_is_up():
    carved = {"pockets": (Pocket(rect(10, 10, 30, 20), 3.0, "carving"),)}
    assert only(on_pins(*EVEN, **carved), "wrong-way").status == "conflict"


def test_parts_that_look_alike_and_are_not_can_be_swapped():
    """Two equal plates beside each other on equal pins, one with a finger hole."""
    whole = rect(-30, -20, 260, 80)
    spots = {"left": (15.0, 85.0), "right": (135.0, 205.0)}
    joints, below, parts = [], [], []
    for key, xs in spots.items():
        mine = []
        for k, x in enumerate(xs):
            name = f"{key}-{k}"
            sizes = Member("base", 8.2, 8.0, "dowel"), Member(key, 8.2, None, "dowel")
            joints.append(replace(pin(sizes, 4.0, 14.0), id=name, at=(x, 4.0, 20.0)))
            below.append(hole(x, 20.0, 8.2, 8.0, joint=name))
            mine.append(hole(x, 20.0, 8.2, joint=name))
        x0 = xs[0] - 15
        cut = (Cutout(circle(x0 + 50.0, 40.0, 6.0), "finger hole"),) if key == "left" else ()
        parts.append(plate(key, 24.0, rect(x0, 0, x0 + 100, 60), drills=tuple(mine), cutouts=cut))
    of = cabinet([plate("base", 12.0, whole, drills=tuple(below)), *parts], joints)
    (found,) = [f for f in findings(of, "wrong-way") if f.status == "conflict" and len(f.parts) == 2]
    assert set(found.parts) == {"left", "right"}
    assert "swapped with" in found.because


@pytest.mark.parametrize("name", FIXED)
def test_cabinets_have_no_part_that_goes_in_wrong(name):
    assert only(fixed(name), "wrong-way").status == "clear"


def test_a_cleat_with_even_screws_would_go_in_upside_down():
    """Its holes for the header, which are followed by hand, would then sit 24 mm higher: to be watched, no more."""
    of = fixed("left")
    cleat = of.by_id["cleat-upper"]
    (middle,) = [d for d in cleat.drills if d.joint == "screw-cover-upper-2"]
    x0, _, x1, _ = cleat.outline.bounds
    evened = replace(middle, at=((x0 + x1) / 2, middle.at[1]))
    changed = replace(cleat, drills=tuple(evened if d is middle else d for d in cleat.drills))
    found = only(replace(of, parts=(*(p for p in of.parts if p.id != cleat.id), changed)), "wrong-way")
    assert (found.status, found.parts) == ("tight", ("cleat-upper",))
    assert "24.0 mm off" in found.because
    assert "mark the edge" in found.because


def test_ribs_and_layers_are_alike_and_may_change_places():
    of = fixed("two layers")
    ids = {p.id for p in of.parts if p.id.startswith(("rib-", "spacer-", "lip-block-"))}
    assert len(ids) > 10
    assert not [f for f in findings(of, "wrong-way") if ids & set(f.parts) and f.status != "clear"]


def test_a_board_whose_tabs_were_even_could_stand_on_its_head():
    """Its tabs stand 0.2 and 0.76 up its length; were they at 0.2 and 0.8 it would go in either end up."""
    of = fixed("left")
    board = of.by_id["board"]
    even = replace(board, outline=rect(0.0, 0.0, 142.8, 202.0))
    changed = replace(of, parts=tuple(even if p.id == "board" else p for p in of.parts), tab_joints=())
    (found,) = [f for f in findings(changed, "wrong-way") if f.status == "conflict"]
    assert found.parts == ("board",)
    assert "Setting one of its tabs 3.0 mm along forbids it" in found.because

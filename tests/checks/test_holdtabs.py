"""Where holding tabs find a place: straight edges that mate with nothing and carry no ball."""

from __future__ import annotations

import pytest
import shapely

from desk.cabinet.model import Cabinet, Part
from desk.checks.holdtabs import free_stretches, narrow_side
from desk.shapes.loop import Loop, circle, rect
from tests.checks.helpers import built, cabinet, findings, on_end, only, plate

ROOM = 12.0
"""A tab of 6 mm and the bit of 6 mm."""


def lengths(of: Cabinet, part: str) -> list[float]:
    return sorted(round(s.length, 3) for s in free_stretches(of, ROOM)[part])


def test_all_edges_of_a_plate_alone_are_free():
    assert lengths(cabinet([plate("p", 12.0)]), "p") == [60.0, 60.0, 100.0, 100.0]


def test_curves_and_short_edges_are_not_taken():
    """A slot: two straight sides of 60 mm between half circles; and a corner cut off by 8 x 8 mm."""
    slot = Loop(((20.0, 0.0, 0.0), (80.0, 0.0, 1.0), (80.0, 40.0, 0.0), (20.0, 40.0, 1.0)))
    assert lengths(cabinet([plate("p", 12.0, outline=slot)]), "p") == [60.0, 60.0]
    cut = Loop(((8.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 60.0, 0.0), (0.0, 60.0, 0.0), (0.0, 8.0, 0.0)))
    assert lengths(cabinet([plate("p", 12.0, outline=cut)]), "p") == [52.0, 60.0, 92.0, 100.0]


def test_an_edge_against_another_part_mates():
    """A level plate stands with its edge at y = 0 against the back of an upright one at y = 0, so that edge is taken;
    the upright plate's own edges stay free.
    """
    of = cabinet([plate("front", 0.0), on_end("shelf", 36.0)])
    assert lengths(of, "shelf") == [60.0, 60.0, 100.0]
    assert lengths(of, "front") == [60.0, 60.0, 100.0, 100.0]


def test_an_edge_a_gap_away_does_not_mate():
    """0.5 mm off; a stub pared flush does not touch it."""
    assert lengths(cabinet([plate("front", -0.5), on_end("shelf", 36.0)]), "shelf") == [
        60.0,
        60.0,
        100.0,
        100.0,
    ]


def test_part_of_an_edge_can_mate():
    """The shelf runs 100 mm along the front, which is 40 mm wide there: 60 mm are left."""
    narrow = plate("front", 0.0, outline=rect(0.0, 0.0, 40.0, 60.0))
    (left,) = [
        s.length
        for s in free_stretches(cabinet([narrow, on_end("shelf", 36.0)]), ROOM)["shelf"]
        if s.start[0] == pytest.approx(0.0) and s.end[0] == pytest.approx(0.0)
    ]
    assert left == pytest.approx(60.0, abs=6.0)


@pytest.mark.parametrize(
    ("outline", "status"),
    [
        (rect(0.0, 0.0, 100.0, 60.0), "clear"),
        (circle(50.0, 30.0, 28.0), "conflict"),
        (Loop(((0.0, 0.0, 0.0), (51.0, 0.0, 0.5), (51.0, 40.0, 0.0), (0.0, 40.0, 0.5))), "tight"),
        (Loop(((0.0, 0.0, 0.0), (30.0, 0.0, 1.0))), "conflict"),
    ],
)
def test_how_many_tabs_find_a_place(outline, status):
    """Two or three are wanted: a half moon has one straight edge, a barrel two of 51 mm with a tab each."""
    found = findings(cabinet([plate("p", 12.0, outline=outline)]), "holding-tabs")[0]
    assert found.status == status
    if status == "conflict":
        assert found.title == "Holding tabs of P"
        assert "double-sided tape" in found.because


def test_long_edges_take_a_tab_every_pitch():
    """A round plate with one flat of 100 mm: 1 + (100 - 12) // 40 = 3 tabs."""
    flat = Loop(((0.0, 0.0, 0.0), (100.0, 0.0, 1.0)))
    assert only(cabinet([plate("p", 12.0, outline=flat)]), "holding-tabs").measured == 3.0


@pytest.mark.parametrize(("wide", "status"), [(30.0, "clear"), (17.0, "tight"), (13.0, "conflict")])
def test_narrow_parts(wide, status):
    found = findings(cabinet([plate("p", 12.0, outline=rect(0.0, 0.0, 300.0, wide))]), "holding-tabs")[0]
    assert found.status == status
    if status != "clear":
        assert found.title == "P is small to be held"
        assert found.measured == pytest.approx(wide)


def test_the_narrow_side_does_not_go_by_how_a_part_lies():
    """A strip of 100 x 14 mm turned by 30 degrees."""
    turned = shapely.affinity.rotate(shapely.box(0, 0, 100, 14), 30)
    loop = Loop(tuple((x, y, 0.0) for x, y in shapely.get_coordinates(turned.normalize())[:-1][::-1]))
    assert narrow_side(loop) == pytest.approx(14.0)


def test_edges_a_ball_rolls_along_are_not_taken():
    """The floor of the channel is the upper edge of the lower spacer; its underside, on the table, is free."""
    of = built()
    free = free_stretches(of, ROOM)["spacer-lower-1"]
    spacer: Part = of.by_id["spacer-lower-1"]
    low = min(y for _, y, _ in spacer.outline.points)
    assert any(s.start[1] == pytest.approx(low) and s.end[1] == pytest.approx(low) for s in free)
    top = [s for s in free if s.start[1] > low + 20 and s.end[1] > low + 20]
    assert not top


def test_a_stretch_lies_on_its_edge():
    (bottom, *_) = free_stretches(cabinet([plate("p", 12.0)]), ROOM)["p"]
    assert (bottom.start, bottom.end) == (pytest.approx((0.0, 0.0)), pytest.approx((100.0, 0.0)))

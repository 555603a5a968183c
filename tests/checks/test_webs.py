"""Webs between features of hand-made plates, 100 x 60 x 12 mm, distances worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from desk.cabinet.model import Cutout, Pocket
from desk.checks.home import home
from desk.checks.spacing import close_features
from desk.shapes.loop import Loop, circle, polygon_loop, rect
from tests.checks.helpers import cabinet, findings, hole, only, plate


def webs(part, limit: float = 8.0, factor: float = 1.0):
    return close_features(home(part)[0], 3.0, limit, factor)


def sizes(part, limit: float = 8.0) -> list[float]:
    return [round(w.size, 4) for w in webs(part, limit)]


def test_holes_to_one_another_and_to_the_edge():
    part = plate("a", 12.0, drills=(hole(20, 30, 8), hole(32, 30, 6), hole(50, 6, 6)))
    assert sizes(part) == [3.0, 5.0]
    hole_to_edge, between = webs(part)
    assert hole_to_edge.ids == ("hole-50-6", "edge")
    assert between.names == ("the 8.00 mm hole", "the 6.00 mm hole")


def test_a_hole_that_breaks_the_edge_is_below_zero():
    assert sizes(plate("a", 12.0, drills=(hole(50, 3, 8),))) == [-1.0]
    found = only(cabinet([plate("a", 12.0, drills=(hole(50, 3, 8),))]), "web")
    assert (found.status, found.measured) == ("conflict", pytest.approx(-1.0))


def test_openings_and_pockets():
    part = plate(
        "a",
        12.0,
        cutouts=(Cutout(circle(30, 30, 10), "target hole 1"), Cutout(circle(54, 30, 10), "target hole 2")),
        pockets=(Pocket(rect(20, 44, 60, 54), 6.0, "mortise", "tab-1"),),
    )
    assert sizes(part) == pytest.approx([4.0, 4.0, 4.0, 6.0], abs=0.01)
    found = findings(cabinet([part]), "web")
    assert [r.address for r in found[0].remedies][:1] in (["targets.1.across"], ["joint.edge"])


def test_features_on_opposite_faces_are_apart_in_depth_too():
    """Blind holes 5 deep from either face of 12 mm, middles 9 apart: hypot(9 - 8, 2) = sqrt 5."""
    part = plate("a", 12.0, drills=(hole(40, 30, 8, 5.0), hole(49, 30, 8, 5.0, face="B")))
    assert sizes(part) == pytest.approx([math.sqrt(5)], abs=1e-4)
    over = plate("a", 12.0, drills=(hole(40, 30, 8, 5.0), hole(42, 30, 8, 5.0, face="B")))
    assert sizes(over) == [2.0]


def test_what_runs_into_one_another_is_one_hole():
    part = plate(
        "a", 12.0, drills=(hole(40, 30, 8), hole(43, 30, 8)), cutouts=(Cutout(circle(40, 30, 9), "hole"),)
    )
    assert sizes(part) == []


def test_a_pocket_open_at_an_edge_has_no_web_there_but_one_beside():
    """A rebate over the upper edge, its end 4 mm from the right edge."""
    part = plate("a", 12.0, pockets=(Pocket(rect(60, 40, 96, 70), 6.0, "rebate"),))
    assert sizes(part) == [4.0]
    assert webs(part)[0].names == ("the rebate", "the edge")


def test_an_edge_of_chords_counts_as_one_edge_for_the_pocket_that_opens_at_it():
    disc = circle(0, 0, 40)
    part = plate("a", 12.0, disc, pockets=(Pocket(rect(-5, 30, 5, 50), 6.0, "rebate"),))
    assert sizes(part) == []


def test_a_wall_no_higher_than_thick_is_stout_enough():
    """A 2.2 mm wall beside a pocket 2 mm deep; beside one 6 mm deep it is a conflict."""
    for depth, status in ((2.0, "tight"), (6.0, "conflict"), (1.0, "clear")):
        part = plate("a", 12.0, pockets=(Pocket(rect(20, 2.2, 60, 20), depth, "carving"),))
        found = only(cabinet([part]), "web")
        assert (found.status, found.measured) == (status, pytest.approx(2.2))
        assert found.needed == pytest.approx(min(3.0, depth))


@pytest.mark.parametrize(
    ("grain", "needed"), [((1.0, 0.0), 3.0), ((0.0, 1.0), 6.0), ((0.8, 0.6), 3 * (1 + 0.36))]
)
def test_short_grain_asks_for_more_in_solid_wood(grain, needed):
    """Two holes one above the other: the web runs along x; oak with its grain along y needs twice the width."""
    part = plate("a", 12.0, stock="oak", grain=grain, drills=(hole(50, 24, 8), hole(50, 36, 8)))
    found = only(cabinet([part]), "web")
    assert found.measured == pytest.approx(4.0)
    assert found.needed == pytest.approx(needed)
    assert (found.status == "conflict") == (needed > 4.0)


@pytest.mark.parametrize(("stock", "factor"), [("ply", 1.25), ("board", math.sqrt(42.9 / 20))])
def test_sheet_goods_feel_the_grain_less(stock, factor):
    """Plywood by its short-grain factor; MDF has no grain and half the strength (EN 622-5: 20 MPa)."""
    part = plate("a", 12.0, stock=stock, grain=(0.0, 1.0), drills=(hole(50, 24, 8), hole(50, 36, 8)))
    assert only(cabinet([part]), "web").needed == pytest.approx(3.0 * factor)


def of_wood(material, *parts):
    """A cabinet of plates whose oak is another wood."""
    whole = cabinet(parts)
    stocks = tuple(replace(s, material=material) if s.id == "oak" else s for s in whole.shop.stocks)
    return replace(whole, shop=replace(whole.shop, stocks=stocks))


@pytest.mark.parametrize(
    ("wood", "bending", "tension"),
    [("beech", 103.0, 7.0), ("pine", 59.0, 2.1), ("basswood", 60.0, 2.4), ("poplar", 70.0, 3.7)],
)
def test_weak_woods_want_wider_webs(wood, bending, tension):
    """Wood Handbook Table 5-3a: bending strength along, tension across the grain. A strip bears F = s w² / 6, so that
    it takes a width of sqrt(42.9 / s) for that of birch plywood; across the grain s is three times the tension.
    """
    for grain, strength in (((1.0, 0.0), bending), ((0.0, 1.0), 3 * tension)):
        part = plate("a", 12.0, stock="oak", grain=grain, drills=(hole(50, 24, 8), hole(50, 36, 8)))
        least = 1.0 if grain[0] else 2.0
        found = only(of_wood(wood, part), "web")
        assert found.needed == pytest.approx(3.0 * max(least, math.sqrt(42.9 / strength)))


def test_a_neck_across_the_grain_is_wider_than_one_along_it():
    waisted = polygon_loop([(0, 0), (100, 0), (100, 60), (70, 60), (70, 4.6), (30, 4.6), (30, 60), (0, 60)])
    along, across = (
        findings(of_wood("pine", plate("a", 12.0, waisted, stock="oak", grain=g)), "web")[0]
        for g in ((1.0, 0.0), (0.0, 1.0))
    )
    assert along.status == "clear"
    assert (across.status, across.measured) == ("conflict", pytest.approx(4.6, abs=0.05))
    assert across.needed == pytest.approx(3.0 * math.sqrt(42.9 / 6.3), rel=0.02)
    assert "for the grain" in across.because


def test_the_floor_of_a_weak_sheet_is_thicker():
    part = plate("a", 12.0, stock="board", pockets=(Pocket(rect(20, 20, 60, 40), 9.5, "carving"),))
    found = only(cabinet([part]), "web")
    assert (found.status, found.measured) == ("conflict", pytest.approx(2.5))
    assert found.needed == pytest.approx(2.0 * math.sqrt(42.9 / 20))


def test_the_floor_under_a_pocket():
    part = plate("a", 12.0, pockets=(Pocket(rect(20, 20, 60, 40), 10.5, "carving"),))
    found = only(cabinet([part]), "web")
    assert (found.status, found.measured) == ("conflict", pytest.approx(1.5))
    assert found.because == "12.00 - 10.50 deep = 1.50 mm; needed 2.00"


def test_rails_in_a_carving():
    """A ring rail 2.5 mm wide, and a bar 2 mm wide, left standing 6 mm high."""
    field, ring = rect(-5, -5, 105, 65), circle(30, 30, 15)
    bar = polygon_loop([(60, 20), (90, 20), (90, 22), (60, 22)])
    pockets = (
        Pocket(field, 6.0, "carving", islands=(ring, bar)),
        Pocket(circle(30, 30, 12.5), 6.0, "carving"),
    )
    found = findings(cabinet([plate("a", 12.0, pockets=pockets)]), "web")
    measured = {f.title: f.measured for f in found if f.status == "conflict"}
    assert measured["Web in A"] == pytest.approx(2.5, abs=0.01)
    assert measured["Rail of A"] == pytest.approx(2.0, abs=0.02)
    rail = next(f for f in found if f.title == "Rail of A")
    xs = [p[0] for p in rail.places[0].points]
    assert 59 < min(xs) < max(xs) < 91
    assert {r.address for f in found for r in f.remedies} == {"board.rail_width"}


def test_a_neck_of_the_outline_is_told_where_it_is():
    waisted = polygon_loop([(0, 0), (100, 0), (100, 60), (60, 60), (60, 2.4), (40, 2.4), (40, 60), (0, 60)])
    found = only(cabinet([plate("a", 12.0, waisted.moved(200, 0))]), "web")
    assert (found.status, found.measured) == ("conflict", pytest.approx(2.4, abs=0.02))
    xs, ys = zip(*found.places[0].points, strict=True)
    assert 238 < min(xs) < max(xs) < 262
    assert max(ys) < 6


def test_equal_parts_are_one_finding():
    ribs = [plate(f"rib-{n}", 12.0 * n, drills=(hole(50, 6, 8),)) for n in range(1, 9)]
    found = only(cabinet(ribs), "web")
    assert found.title.endswith("(8 alike)")
    assert len(found.parts) == 8
    assert len(found.places) == 6


def test_nothing_near_the_need_is_said():
    found = only(cabinet([plate("a", 12.0)]), "web")
    assert found.because == "No web in this cabinet comes near the need."


@given(
    st.lists(st.tuples(st.floats(12, 88), st.floats(12, 48), st.floats(2, 10)), min_size=2, max_size=8),
    st.tuples(st.floats(20, 70), st.floats(15, 40), st.floats(3, 12)),
)
def test_distances_are_those_of_shapely(drills, opening):
    """Random holes and one round opening: the thinnest web found is shapely's least distance between discs, opening
    and edge, overlapping pairs left out.
    """
    part = plate(
        "a",
        12.0,
        drills=tuple(hole(*d) for d in drills),
        cutouts=(Cutout(circle(*opening), "target hole 1"),),
    )
    discs = [shapely.Point(x, y).buffer(d / 2, quad_segs=256) for x, y, d in drills]
    shapes = [*discs, shapely.Point(opening[:2]).buffer(opening[2], quad_segs=256)]
    edge = shapely.box(0, 0, 100, 60).exterior
    apart = [a.distance(b) for k, a in enumerate(shapes) for b in shapes[k + 1 :]]
    apart = [x for x in apart if x > 0.02] + [s.distance(edge) for s in shapes]
    expected = sorted(x for x in apart if x < 5.9)
    got = np.array(sorted(x for x in sizes(part, 6.0) if x > 0.02 or len(expected) == 0))
    assert got[: len(expected)] == pytest.approx(expected, abs=0.02)


def test_round_a_hole_in_a_rounded_end_the_grain_decides():
    """A 6 mm hole on the middle of a half-round end of 7.5 mm: 4.5 mm all round, weakest where the grain runs out."""
    arm = Loop(((0, 0, 0), (40, 0, 1), (40, 15, 0), (0, 15, 0)))
    for grain, angle in (((1.0, 0.0), 0.0), ((0.6, 0.8), math.atan2(0.8, 0.6))):
        part = plate("a", 12.0, arm, stock="oak", grain=grain, drills=(hole(40, 7.5, 6),))
        worst = webs(part, 12.0, 2.0)[0]
        assert worst.size == pytest.approx(4.5, abs=0.02)
        assert worst.share == pytest.approx(2.0, abs=0.02)
        (x0, y0), (x1, y1) = worst.ends
        assert math.atan2(y1 - y0, x1 - x0) == pytest.approx(angle, abs=0.1)

"""The linter: a sound drawing passes, and each rule is broken once on purpose."""

from __future__ import annotations

import math

import pytest

from desk.flat.figure import Figure, Piece, Ring, Round, Track, Words, closed_mark, piece
from desk.flat.layers import Layer, layer
from desk.flat.layout import Placement, lay_out
from desk.flat.lint import ExportError, check, defects, summary
from desk.shapes.loop import Loop, circle, polygon_loop, rect

from .samples import cabinet, plain, rich, shop

OUT, IN, POCKET = layer("profile_out"), layer("profile_in"), layer("pocket", depth=4.0)
DRILL, GROOVE = layer("drill", diameter=6.0, depth=8.0), layer("vgroove", angle=90.0, depth=2.0)
ROOM = (0.0, 0.0, 200.0, 100.0)
BORDER = Ring(OUT, rect(10, 10, 90, 90), "outer")


def figure(*marks, border=BORDER, more=(), notes=()) -> Figure:
    own = Piece("p", "Cleat", ROOM, (border, *marks) if border else marks)
    return Figure((200.0, 100.0), (own, *more), tuple(notes))


def opening(loop: Loop) -> Ring:
    return Ring(IN, loop.reversed(), "inner")


BOW_TIE = polygon_loop([(20, 20), (60, 60), (60, 20), (20, 60)])
TOUCHING = polygon_loop([(20, 20), (40, 40), (60, 20), (60, 60), (40, 40), (20, 60)])
OTHER = Piece("q", "Base", ROOM, (Ring(OUT, rect(80, 20, 150, 60), "outer"),))
BESIDE = Piece("q", "Base", ROOM, (Ring(OUT, rect(90, 10, 150, 90), "outer"),))

BROKEN = {
    "layer name, small letters": ("layer name", figure(Round(Layer("a_drill", 1, True, ""), (30, 30), 3.0))),
    "layer name, too long": ("layer name", figure(Round(Layer("A" * 32, 1, True, ""), (30, 30), 3.0))),
    "layer name, space": (
        "layer name",
        figure(notes=[Words(Layer("NOTE X", 1, False, ""), (1, 1), 3.0, "x")]),
    ),
    "nan in a circle": ("not finite", figure(Round(DRILL, (math.nan, 30), 3.0))),
    "infinite vertex": (
        "not finite",
        figure(Ring(POCKET, polygon_loop([(20, 20), (math.inf, 20), (30, 30)]), "outer")),
    ),
    "nan in a text": ("not finite", figure(notes=[Words(layer("label"), (math.nan, 1), 3.0, "x")])),
    "open line on a pocket's layer": ("open", figure(Track(POCKET, ((20, 20, 0), (40, 20, 0), (40, 40, 0))))),
    "one point": ("open", figure(Track(GROOVE, ((20.0, 20.0, 0.0),)))),
    "out and back": ("open", figure(Ring(POCKET, polygon_loop([(20, 20), (40, 20)]), "outer"))),
    "wide arc": ("bulge", figure(Ring(POCKET, Loop(((20, 20, 1.5), (40, 20, 0.5))), "outer"))),
    "repeated vertex": (
        "repeated vertex",
        figure(Ring(POCKET, polygon_loop([(20, 20), (40, 20), (40, 20), (40, 40)]), "outer")),
    ),
    "first vertex again at the end": (
        "repeated vertex",
        figure(Ring(POCKET, polygon_loop([(20, 20), (40, 20), (40, 40), (20, 20)]), "outer")),
    ),
    "short edge": (
        "short edge",
        figure(Ring(POCKET, polygon_loop([(20, 20), (40, 20), (40, 20.009), (20, 40)]), "outer")),
    ),
    "short edge of a groove": (
        "short edge",
        figure(Track(GROOVE, ((20, 20, 0), (20.005, 20, 0), (40, 40, 0)))),
    ),
    "circle of no size": ("short edge", figure(Round(DRILL, (30, 30), 0.0))),
    "bow tie": ("crosses itself", figure(Ring(POCKET, BOW_TIE, "outer"))),
    "touches itself": ("crosses itself", figure(Ring(POCKET, TOUCHING, "outer"))),
    "outer line clockwise": ("direction", figure(border=Ring(OUT, rect(10, 10, 90, 90).reversed(), "outer"))),
    "inner line counter-clockwise": ("direction", figure(Ring(IN, rect(20, 20, 40, 40), "inner"))),
    "hole drilled twice": ("duplicate", figure(Round(DRILL, (30, 30), 3.0), Round(DRILL, (30, 30), 3.0))),
    "opening cut twice": (
        "duplicate",
        figure(
            opening(rect(20, 20, 40, 40)), opening(polygon_loop([(40, 20), (40, 40), (20, 40), (20, 20)]))
        ),
    ),
}
DOUBTFUL = {
    "openings cross": ("overlap", figure(opening(rect(20, 20, 40, 40)), opening(rect(30, 30, 50, 50)))),
    "openings share an edge": (
        "overlap",
        figure(opening(rect(20, 20, 40, 40)), opening(rect(40, 20, 60, 40))),
    ),
    "opening in an opening": (
        "overlap",
        figure(opening(rect(20, 20, 60, 60)), opening(rect(30, 30, 40, 40))),
    ),
    "holes meet": ("overlap", figure(Round(DRILL, (30, 30), 3.0), Round(DRILL, (34, 30), 3.0))),
    "pocket in a pocket": (
        "overlap",
        figure(Ring(POCKET, rect(20, 20, 60, 60), "outer"), Ring(POCKET, rect(30, 30, 40, 40), "outer")),
    ),
    "island in no pocket": ("overlap", figure(Ring(POCKET, rect(20, 20, 60, 60).reversed(), "inner"))),
    "parts overlap": ("overlap", figure(more=[OTHER])),
    "parts share an edge": ("overlap", figure(more=[BESIDE])),
    "hole through the edge": ("outside the part", figure(Round(DRILL, (90, 30), 3.0))),
    "hole beside the part": ("outside the part", figure(Round(DRILL, (150, 30), 3.0))),
    "opening at the edge": ("outside the part", figure(opening(rect(10, 20, 40, 40)))),
    "groove past the edge": ("outside the part", figure(Track(GROOVE, ((20, 20, 0), (95, 20, 0))))),
    "part past the sheet": ("outside the sheet", figure(border=Ring(OUT, rect(150, 10, 200.5, 90), "outer"))),
    "arc past the sheet": (
        "outside the sheet",
        figure(border=Ring(OUT, Loop(((10, 0, 0.2), (90, 0, 0.0), (90, 50, 0.0), (10, 50, 0.0))), "outer")),
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_broken_drawings_are_never_written(name):
    rule, drawing = BROKEN[name]
    found = defects(drawing)
    assert [d.rule for d in found] == [rule]
    assert not found[0].doubtful
    for doubtful_too in (True, False):
        with pytest.raises(
            ExportError, match=r"^x\.dxf was not written: .*near \(-?[0-9.]+, -?[0-9.]+\) mm: "
        ):
            check(drawing, "x.dxf", doubtful_too)


@pytest.mark.parametrize("name", DOUBTFUL)
def test_doubtful_drawings_are_refused_unless_told_otherwise(name):
    rule, drawing = DOUBTFUL[name]
    found = defects(drawing)
    assert {d.rule for d in found} == {rule}
    assert all(d.doubtful for d in found)
    with pytest.raises(ExportError, match="Cleat"):
        check(drawing, "x.dxf")
    assert check(drawing, "x.dxf", doubtful_too=False) == found


def test_every_rule_is_broken_once():
    from typing import get_args

    from desk.flat.lint import Rule

    assert {rule for rule, _ in (*BROKEN.values(), *DOUBTFUL.values())} == set(get_args(Rule))


def test_the_place_is_where_it_is():
    (bow,) = defects(BROKEN["bow tie"][1])
    assert bow.at == pytest.approx((40.0, 40.0), abs=1e-9)
    (pinch,) = defects(BROKEN["touches itself"][1])
    assert pinch.at == pytest.approx((40.0, 40.0), abs=1e-9)
    (short,) = defects(BROKEN["short edge"][1])
    assert short.at == pytest.approx((40.0, 20.0), abs=1e-9)


def test_two_parts_are_both_named():
    found = defects(DOUBTFUL["parts overlap"][1])
    assert found[0].part == "Cleat and Base"


@pytest.mark.parametrize(
    "marks",
    [
        # a pocket with an island, and a pocket of the same depth in that island: a ring left standing
        (
            Ring(POCKET, rect(15, 15, 85, 85), "outer"),
            closed_mark(POCKET, circle(50, 50, 20), "inner"),
            closed_mark(POCKET, circle(50, 50, 12), "outer"),
        ),
        # a pocket open at the part's edge, and one of another depth over the same place
        (
            Ring(POCKET, rect(0, 15, 30, 85), "outer"),
            Ring(layer("pocket", depth=1.0), rect(0, 15, 30, 85), "outer"),
        ),
        # a stepped hole: two diameters about one centre
        (Round(DRILL, (30, 30), 3.0), Round(layer("drill", diameter=8.0, depth=2.0), (30, 30), 4.0)),
        # by hand, on the outline itself
        (Ring(layer("rounding", size=3.0), rect(10, 10, 90, 90), "outer"),),
        # half a turn exactly
        (Ring(POCKET, Loop(((20, 20, 1.0), (40, 20, 0.0))), "outer"),),
    ],
)
def test_what_is_sound(marks):
    assert defects(figure(*marks)) == ()


def test_a_part_with_everything_is_sound_on_its_sheet():
    parts = [rich("a"), rich("b"), plain("c", 100, 50)]
    made = cabinet(parts)
    for plan in lay_out(parts, shop()).sheets:
        pieces = tuple(piece(made.by_id[p.part], p, (0.0, 0.0, *plan.size)) for p in plan.placements)
        assert defects(Figure(plan.size, pieces, ())) == ()


def test_a_part_laid_past_its_sheet_is_caught():
    made = piece(plain("c", 100, 50), Placement("c", 1, -1.0, 0.0, turned=False), (0.0, 0.0, 200.0, 100.0))
    (found,) = defects(Figure((200.0, 100.0), (made,), ()))
    assert found.rule == "outside the sheet"
    assert "1.00 mm" in found.text


def test_summary_tells_each_part_and_rule_once_from_its_first_file():
    one = figure(Round(DRILL, (90, 30), 3.0), Round(DRILL, (90, 50), 3.0))
    said = summary({"s.dxf": check(one, "s.dxf", False), "p.dxf": check(one, "p.dxf", False)})
    assert len(said) == 1
    assert "Cleat" in said[0]
    assert said[0].endswith("in s.dxf; 2 places like it")
    assert summary({"s.dxf": ()}) == ()

"""Composed figures: what stands on a plate, where, and that nothing leaves the first quadrant."""

from __future__ import annotations

from itertools import pairwise

import pytest

from desk.cabinet.model import Part
from desk.flat.figure import Ring, Track, Words, mark_bounds
from desk.flat.groups import Group, groups
from desk.flat.labels import width_of
from desk.flat.layout import lay_out
from desk.flat.plates import behind_figure, part_figure, sheets_figure

from .samples import MDF, PLY, cabinet, plain, rich

WARNINGS = ("Gap at the foot of the board: 14.2 mm where 16.8 mm are needed. " * 4, "Second.")


def sheets(parts, warnings=()):
    made = cabinet(parts)
    plans = lay_out(made.parts, made.shop).sheets
    return sheets_figure(made, PLY, [p for p in plans if p.stock == PLY.id], warnings)


def alone(part: Part, warnings=(), by_hand=()):
    made = cabinet([part])
    (group,) = groups([part])
    return part_figure(made, group, by_hand, warnings)


FIGURES = {
    "sheets": sheets([rich(f"r{k}") for k in range(20)]),
    "sheets, warned": sheets([rich()], WARNINGS),
    "part": alone(rich()),
    "part, warned": alone(plain("chip", 4.0, 4.0), WARNINGS, ("hole into the edge",)),
    "grain up": alone(plain("stick", 40.0, 30.0, grain=(0.0, 1.0))),
    "grain down and left": alone(plain("stick", 40.0, 30.0, grain=(-0.6, -0.8))),
    "no grain": alone(plain("chip", 40.0, 30.0, MDF)),
    "behind": behind_figure(cabinet([rich()]), groups([rich()])[0], WARNINGS),
}


@pytest.mark.parametrize("name", FIGURES)
def test_first_quadrant_and_inside_the_figure(name):
    figure = FIGURES[name]
    wide, high = figure.size
    for mark in figure.marks:
        x0, y0, x1, y1 = mark_bounds(mark)
        assert min(x0, y0) >= -1e-9
        assert x1 <= wide + 1e-6
        assert y1 <= high + 1e-6


@pytest.mark.parametrize("name", FIGURES)
def test_notes_cover_neither_pieces_nor_each_other(name):
    figure = FIGURES[name]
    boxes = []
    for words in (m for m in figure.notes if isinstance(m, Words) and not m.upright):
        x, y = words.at
        boxes.append((x, y, x + width_of(words.text, words.height), y + words.height))
    for k, a in enumerate(boxes):
        assert not any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for b in boxes[:k])
    if not name.startswith("sheets"):
        assert min(box[1] for box in boxes) > figure.pieces[0].room[3]


def test_sheets_stand_side_by_side_with_their_borders():
    figure = FIGURES["sheets"]
    borders = [m for m in figure.notes if m.layer.name == "SHEET_EDGE"]
    assert len(borders) >= 2
    assert len(figure.pieces) == 20
    boxes = [mark_bounds(b) for b in borders]
    assert all(b[2] - b[0] == PLY.sheet_length and b[3] - b[1] == PLY.sheet_width for b in boxes)
    assert all(left[2] < right[0] for left, right in pairwise(boxes))
    for piece in figure.pieces:
        inside = [b for b in boxes if b == piece.room]
        assert len(inside) == 1
        x0, y0, x1, y1 = mark_bounds(piece.marks[0])
        assert inside[0][0] < x0 < x1 < inside[0][2]
        assert inside[0][1] < y0 < y1 < inside[0][3]


def test_every_sheet_drawing_has_the_scale_square():
    squares = [
        m for m in FIGURES["sheets"].notes if isinstance(m, Ring) and m.layer.name == "NOTE_SCALE_100MM"
    ]
    assert len(squares) == 1
    assert squares[0].loop.area == pytest.approx(10_000.0, abs=1e-9)


def test_each_part_is_labelled_by_name():
    texts = [m.text for m in FIGURES["sheets"].notes if isinstance(m, Words)]
    assert {f"R{k}" for k in range(20)} <= set(texts)


def text_of(figure, name="NOTE_LABEL"):
    return " ".join(m.text for m in figure.notes if isinstance(m, Words) and m.layer.name == name)


def test_a_part_alone_says_what_it_is():
    parts = (plain("rib1", 40.0, 30.0), plain("rib2", 40.0, 30.0))
    figure = part_figure(cabinet(parts), Group("Rib", parts), ("hole into the edge",), ())
    said = text_of(figure)
    for part in (
        "Rib, 2 off",
        "12 mm birch plywood, measured 11.80 mm",
        "40.00 x 30.00 mm",
        "hole into the edge",
    ):
        assert part in said
    assert not text_of(figure, "NOTE_WARNING")


@pytest.mark.parametrize("name", ["sheets, warned", "part, warned", "behind"])
def test_warnings_stand_in_the_drawing_in_full(name):
    said = text_of(FIGURES[name], "NOTE_WARNING")
    assert said.startswith("WARNING")
    for warning in WARNINGS:
        assert " ".join(warning.split()) in said


@pytest.mark.parametrize(
    ("grain", "slope"),
    [((1.0, 0.0), (1, 0)), ((0.0, 1.0), (0, 1)), ((-0.6, -0.8), (3, 4)), ((0.6, -0.8), (3, -4))],
)
def test_the_grain_arrow_lies_along_the_grain(grain, slope):
    figure = alone(plain("p", 40.0, 30.0, grain=grain))
    shaft = next(m for m in figure.notes if isinstance(m, Track))
    (x0, y0, _), (x1, y1, _) = shaft.path
    assert (x1 - x0) * slope[1] == pytest.approx((y1 - y0) * slope[0], abs=1e-2)


def test_the_grain_arrow_is_mirrored_behind():
    part = rich(grain=(0.6, 0.8))
    shaft = next(
        m for m in behind_figure(cabinet([part]), groups([part])[0], ()).notes if isinstance(m, Track)
    )
    (x0, y0, _), (x1, y1, _) = shaft.path
    assert (x1 - x0) * 4 == pytest.approx((y1 - y0) * -3, abs=1e-2)


def test_no_arrow_without_grain():
    assert not any(isinstance(m, Track) for m in FIGURES["no grain"].notes)


def test_behind_says_so():
    assert "FACE B" in text_of(FIGURES["behind"])

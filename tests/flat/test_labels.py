"""Labels: clear of every line where there is room, one line each, nothing a reader takes for a code."""

from __future__ import annotations

import pytest
import shapely

from desk.cabinet.model import Cutout, Groove
from desk.flat.figure import Ring, Round, Track, piece
from desk.flat.labels import block, label_for, plain, width_of, wrapped
from desk.flat.layers import layer
from desk.flat.layout import Placement
from desk.shapes.loop import circle, rect

from .samples import plain as plain_part
from .samples import rich


def placed(part, turned=False):
    return piece(part, Placement(part.id, 1, 300.0, 300.0, turned), (0.0, 0.0, 900.0, 900.0))


def box_of(words):
    w, h = width_of(words.text, words.height), words.height
    x, y = words.at
    return shapely.box(x - h, y, x, y + w) if words.upright else shapely.box(x, y, x + w, y + h)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    "part",
    [
        rich(),
        plain_part("frame", 200, 200, cutouts=(Cutout(rect(20, 20, 180, 180), "window"),)),
        plain_part(
            "lettered", 100, 40, grooves=(Groove((((30, 20, 0), (70, 20, 0)),), 90.0, 2.0, "lettering"),)
        ),
        plain_part("stick", 15, 300),
        plain_part("small", 40, 12),
    ],
    ids=lambda p: p.id,
)
def test_a_label_is_inside_the_part_and_covers_no_line(part, turned):
    made = placed(part, turned)
    words = label_for(made, part.label)
    box = box_of(words)
    loops = [
        circle(*m.at, m.radius) if isinstance(m, Round) else m.loop
        for m in made.marks
        if isinstance(m, Ring | Round)
    ]
    assert loops[0].polygon.covers(box)
    strokes = [shapely.LineString([v[:2] for v in m.path]) for m in made.marks if isinstance(m, Track)]
    assert not any(stroke.intersects(box) for stroke in strokes)
    assert not any(shapely.LinearRing(loop.coords).intersects(box) for loop in loops)
    for mark in made.marks:
        if mark.layer.name == "A_PROFILE_IN":
            hole = circle(*mark.at, mark.radius) if isinstance(mark, Round) else mark.loop
            assert not hole.polygon.intersects(box)


def test_a_large_part_gets_large_letters_near_its_middle():
    words = label_for(placed(plain_part("base", 400, 300)), "Base")
    assert words.height == 8.0
    assert box_of(words).centroid.distance(shapely.Point(500.0, 450.0)) < 0.1


def test_a_tall_narrow_part_is_read_upward():
    assert label_for(placed(plain_part("stick", 15, 300)), "Long stick").upright


def test_where_nothing_fits_the_label_is_still_there():
    words = label_for(placed(plain_part("chip", 4, 4)), "A rather long name")
    assert words.text == "A rather long name"
    assert words.height == 2.0


def test_plain_text():
    assert plain("two\nlines\tand  more") == "two lines and more"
    assert "%%" not in plain("50%%d")
    assert "^" not in plain("a^J")


def test_long_sentences_are_broken_at_words():
    lines = wrapped("word " * 40, 4.0, 180.0)
    assert len(lines) > 1
    assert all(width_of(line, 4.0) <= 180.0 for line in lines)
    assert " ".join(lines) == ("word " * 40).strip()


def test_a_block_reads_downward():
    marks, top = block(layer("label"), ["first", "second"], 5.0, 20.0, 4.0)
    assert [m.text for m in marks] == ["first", "second"]
    assert marks[0].at[1] > marks[1].at[1] == 20.0
    assert top > marks[0].at[1] + 4.0

"""Where the lengths of a finding lie at its place: on made-up places whose answer is known."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from desk.checks.finding import Finding, Source
from desk.shapes.loop import Point
from desk.views.reading import LONGEST, Line, Reading, Surroundings, has_lengths, read
from desk.views.wording import is_upper

PLATE = shapely.box(0.0, 0.0, 40.0, 20.0).difference(shapely.Point(10.0, 10.0).buffer(3.0, quad_segs=64))
WOOD = Surroundings(PLATE.boundary, (16.4, 15.6), 0.025)
NOTHING = Surroundings(shapely.LineString())


def made(
    measured: float | None, needed: float | None, margin: float | None = None, unit: str = "mm"
) -> Finding:
    if margin is None and measured is not None and needed is not None:
        margin = measured - needed
    source = Source("made up", "derived")
    return Finding("a/b", 1, "a", "f", "conflict", "T", (), measured, needed, margin, unit, "why", source, ())


def near(reading: Reading | None, *ends: Point) -> None:
    assert reading is not None
    for got, wanted in zip(reading.ends, ends, strict=True):
        assert math.dist(got, wanted) < 0.03


def test_a_line_as_long_as_what_was_measured_is_it() -> None:
    reading = read(made(7.0, 9.0), "line", ((10.0, 10.0), (10.0, 17.0)), NOTHING)
    near(reading, (10.0, 10.0), (10.0, 17.0), (10.0, 19.0))
    assert reading is not None
    assert not reading.gauge


def test_a_ball_and_what_is_left_beside_it() -> None:
    reading = read(made(5.6, 0.6), "line", ((0.0, 0.0), (22.0, 0.0)), WOOD)
    near(reading, (16.4, 0.0), (22.0, 0.0), (17.0, 0.0))
    assert reading is not None
    assert reading.ball == ((8.2, 0.0), 8.2)


def test_a_gap_that_is_too_small_for_the_ball_is_read_backwards() -> None:
    reading = read(made(-2.4, 0.6), "line", ((0.0, 0.0), (0.0, 14.0)), WOOD)
    near(reading, (0.0, 16.4), (0.0, 14.0), (0.0, 17.0))


def test_lacquer_that_a_place_leaves_out_is_allowed_for() -> None:
    reading = read(made(3.55, 0.6), "line", ((0.0, 0.0), (20.0, 0.0)), WOOD)
    assert reading is not None
    assert reading.ball is not None
    bare = replace(WOOD, film=0.0)
    other = read(made(3.55, 0.6), "line", ((0.0, 0.0), (20.0, 0.0)), bare)
    assert other is None or other.ball is None


def test_an_area_is_read_across_its_shorter_way() -> None:
    corners = ((0.0, 0.0), (30.0, 0.0), (30.0, 18.0), (0.0, 18.0))
    near(read(made(1.6, 0.6), "area", corners, WOOD), (15.0, 16.4), (15.0, 18.0), (15.0, 17.0))


def test_the_wood_between_a_hole_and_the_edge() -> None:
    """A line from a hole's middle to the edge; measured is what of it is wood: from the rim on."""
    reading = read(made(7.0, 3.0), "line", ((10.0, 10.0), (10.0, 20.0)), WOOD)
    assert reading is not None
    assert {(round(p[0], 1), round(p[1], 1)) for p in reading.ends[:2]} == {(10.0, 13.0), (10.0, 20.0)}


def test_a_point_that_stands_out_of_the_wood_is_read_from_the_face_against_what_is_needed() -> None:
    """The needed skin runs from the face into the wood, the point stands out the other way."""
    reading = read(made(-1.5, 2.0), "line", ((20.0, 10.0), (41.5, 10.0)), WOOD)
    near(reading, (40.0, 10.0), (41.5, 10.0), (38.0, 10.0))


def test_a_point_that_stops_short_of_the_face_is_read_from_the_face() -> None:
    reading = read(made(1.5, 2.0), "line", ((20.0, 10.0), (38.5, 10.0)), WOOD)
    near(reading, (40.0, 10.0), (38.5, 10.0), (38.0, 10.0))


def test_a_line_that_is_told_is_taken() -> None:
    told = Line((5.0, 5.0), (5.0, 4.0))
    near(read(made(2.0, 3.0), "point", ((0.0, 0.0),), WOOD, told), (5.0, 5.0), (5.0, 3.0), (5.0, 2.0))


def test_what_fits_nowhere_is_a_gauge_under_the_place() -> None:
    reading = read(made(4.0, 2.0), "point", ((10.0, 7.0),), NOTHING)
    near(reading, (8.0, 7.0), (12.0, 7.0), (10.0, 7.0))
    assert reading is not None
    assert reading.gauge


@pytest.mark.parametrize(
    ("measured", "needed", "margin", "upper"),
    [
        (4.0, 6.0, 2.0, True),
        (4.0, 6.0, -2.0, False),
        (6.0, 6.0, 0.0, False),
        (0.84, 0.25, -0.59, True),
        (4.0, None, 2.0, False),
    ],
)
def test_an_upper_limit_is_known_by_its_margin(
    measured: float, needed: float | None, margin: float, upper: bool
) -> None:
    assert is_upper(made(measured, needed, margin)) is upper


def test_a_slanting_line_is_read_level_or_upright_where_that_is_what_was_measured() -> None:
    ends = ((100.0, 50.0), (86.0, 47.0))
    near(read(made(14.0, 1.5), "line", ends, NOTHING), (100.0, 50.0), (86.0, 50.0), (98.5, 50.0))
    near(read(made(3.0, 1.5), "line", ends, NOTHING), (100.0, 50.0), (100.0, 47.0), (100.0, 48.5))


def test_a_negative_length_runs_the_other_way_from_what_is_needed() -> None:
    """From the edge its line ends on, or else from its start."""
    table = Surroundings(shapely.LineString([(-500.0, 0.0), (500.0, 0.0)]))
    near(
        read(made(-10.0, 2.0), "line", ((5.0, -10.0), (5.0, 0.0)), table),
        (5.0, 0.0),
        (5.0, -10.0),
        (5.0, 2.0),
    )
    near(
        read(made(-14.0, 1.5), "line", ((100.0, 50.0), (86.0, 50.0)), table),
        (100.0, 50.0),
        (86.0, 50.0),
        (101.5, 50.0),
    )


@pytest.mark.parametrize(
    "finding", [made(1.0, 2.0, unit="N"), made(None, 2.0), made(1.0, None), made(LONGEST + 1, 2.0)]
)
def test_what_is_no_pair_of_lengths_is_not_read(finding: Finding) -> None:
    assert not has_lengths(finding)
    assert read(finding, "line", ((0.0, 0.0), (1.0, 0.0)), NOTHING) is None


def test_a_line_without_length_runs_to_the_right() -> None:
    assert Line((1.0, 2.0), (1.0, 2.0)).way == (1.0, 0.0)
    near(read(made(0.5, 1.0), "line", ((1.0, 2.0), (1.0, 2.0)), WOOD), (0.5, 2.0), (1.0, 2.0), (1.5, 2.0))

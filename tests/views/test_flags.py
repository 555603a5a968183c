"""Findings in the drawings: each that is not clear is flagged where a view shows its place, and nothing else is."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from desk.checks.finding import Finding, Place, Source
from desk.shapes.frame import Frame
from desk.views.drawing import Marker, Path
from desk.views.flags import flag_items, numbered
from desk.views.views import VIEWS

from .designs import evaluated, faulty

UPRIGHT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
LEVEL = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))


def marks(view: str) -> list[Marker]:
    return [i for i in faulty().drawings[view].items if isinstance(i, Marker)]


def made(place: Place, status: str = "conflict") -> Finding:
    source = Source("made up", "derived")
    return Finding("a/b", 1, "a", "f", status, "Title", (), 1.0, 2.0, -1.0, "mm", "why", source, (place,))  # type: ignore[arg-type]


def test_every_finding_with_a_place_is_flagged_in_a_view() -> None:
    flagged = {m.finding for view in VIEWS for m in marks(view)}
    wanted = {f.key for f in faulty().findings if f.status != "clear" and f.places}
    assert sum(f.status == "conflict" for f in faulty().findings) >= 3
    assert flagged == wanted


def test_flags_carry_the_number_and_status_of_their_finding() -> None:
    by_key = {f.key: (number, f.status) for number, f in numbered(faulty().findings)}
    assert [n for n, _ in by_key.values()] == list(range(1, len(by_key) + 1))
    for view in VIEWS:
        for mark in marks(view):
            assert (mark.number, mark.status) == by_key[mark.finding]


def test_flags_come_last_and_with_a_shape() -> None:
    for view in VIEWS:
        items = faulty().drawings[view].items
        first = next((k for k, i in enumerate(items) if isinstance(i, Marker)), len(items))
        assert all(isinstance(i, Marker) for i in items[first:])
        shaped = {i.finding for i in items if isinstance(i, Path) and i.finding}
        assert shaped == {i.finding for i in items[first:] if isinstance(i, Marker)}


def test_a_clear_finding_has_no_flag() -> None:
    place = Place(UPRIGHT, "area", ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0)))
    cabinet = evaluated("starting").cabinet
    frame = cabinet.planes["lane"]
    assert list(flag_items(cabinet, [made(place, "clear")], "rear", frame)) == []


def test_a_place_seen_edge_on_is_left_to_another_view() -> None:
    cabinet = evaluated("starting").cabinet
    place = Place(LEVEL, "point", ((100.0, -90.0),))
    views = [v for v in VIEWS if list(flag_items(cabinet, [made(place)], v, cabinet.planes[VIEWS[v].plane]))]
    assert views == ["plan"]


@pytest.mark.parametrize(
    "corners",
    [
        ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)),
        ((0.0, 0.0), (100.0, 0.0), (100.0, 5.0), (5.0, 5.0), (5.0, 100.0), (0.0, 100.0)),
        (
            (0.0, 0.0),
            (90.0, 0.0),
            (90.0, 60.0),
            (80.0, 60.0),
            (80.0, 10.0),
            (10.0, 10.0),
            (10.0, 60.0),
            (0.0, 60.0),
        ),
    ],
    ids=["square", "L", "U"],
)
def test_a_flag_stands_on_its_area(corners: tuple[tuple[float, float], ...]) -> None:
    """Also where the mean of the corners lies outside, as in an L and a U. Checked with shapely."""
    cabinet = evaluated("starting").cabinet
    frame = cabinet.planes["lane"]
    place = Place(frame, "area", corners)
    items = list(flag_items(cabinet, [made(place)], "lane", frame))
    shape = next(i for i in items if isinstance(i, Path))
    mark = next(i for i in items if isinstance(i, Marker))
    area = shapely.Polygon(np.array(shape.rings[0]))
    assert area.area == pytest.approx(shapely.Polygon(corners).area)
    assert area.contains(shapely.Point(mark.at))


def test_a_muted_finding_keeps_its_flag_but_is_not_hatched() -> None:
    cabinet = evaluated("starting").cabinet
    frame = cabinet.planes["lane"]
    place = Place(frame, "area", ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)))
    quiet = replace(made(place), muted="filed by hand")
    shape, flag = flag_items(cabinet, [quiet], "lane", frame)
    assert isinstance(shape, Path)
    assert isinstance(flag, Marker)
    assert (shape.style, shape.status, shape.finding) == ("muted", None, quiet.key)
    assert (flag.number, flag.muted) == (1, True)
    loud = [i for i in flag_items(cabinet, [made(place)], "lane", frame) if isinstance(i, Marker)]
    assert [i.muted for i in loud] == [False]

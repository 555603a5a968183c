"""Sizes, footprint and guard against sums of the design's own numbers, and what the remedies do."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Landmarks
from desk.checks.finding import Finding
from desk.checks.run import behind, run
from desk.design.edit import get, put
from desk.design.model import Design
from tests.checks.helpers import built, changed, only

WIDTH = 2 * 11.8 + 17.85 + 8.9 + 143.2
"""Two panels, the stack of spacers, the inner wall and the lane of the starting design, mm."""


def look(design: Design) -> tuple[Finding, ...]:
    return run(build(design), ["within-limits"], value_of=lambda a: get(design, a))


@pytest.mark.parametrize(
    ("limit", "status"),
    [(WIDTH - 0.01, "conflict"), (WIDTH, "tight"), (WIDTH + 4.99, "tight"), (WIDTH + 5.01, "clear")],
)
def test_the_width_against_its_limit(limit, status):
    (found,) = look(changed(overall__width_limit=limit))
    assert found.status == status
    if status != "clear":
        assert found.title == "Width of the cabinet"
        assert found.margin == pytest.approx(limit - WIDTH, abs=1e-6)
        assert set(found.parts) >= {"panel-return", "panel-far"}


@pytest.mark.parametrize(
    ("values", "title", "measured"),
    [
        ({"overall__height_limit": 300.0}, "Height of the cabinet", 300.0 - 322.0),
        ({"overall__table_depth": 600.0}, "Footprint on the table", 600.0 - 633.757),
        ({"overall__length_limit": 630.0}, "Length of the cabinet", 630.0 - (633.757 + 8.9 + 16.0)),
    ],
)
def test_the_other_sizes(values, title, measured):
    """The panels are 633.757 long and 322 high, the cover is 8.9 thick, the handle stands out 16 in front."""
    (found,) = look(changed(**values))
    assert (found.status, found.title) == ("conflict", title)
    assert found.measured == pytest.approx(measured, abs=1e-3)
    assert found.places


def level(**values: float) -> Design:
    """The starting design with sides that are level at 152 mm from before the deck to behind it."""
    corners = {"silhouette__3__radius": 0.0, "silhouette__4__radius": 0.0, "silhouette__4__x": 370.0}
    return changed(silhouette__3__z=152.0, **corners, **values)


def test_the_guard_is_least_where_the_deck_is_highest():
    design = level(lane__guard=60.0)
    (found,) = look(design)
    v = design.value
    deck = v("lane.deck_height") + v("lane.length") * math.tan(math.radians(v("lane.rise")))
    film = v("finish.coats") * v("finish.film")
    assert found.status == "conflict"
    assert found.title == "Walls above the deck (2 alike)"
    assert found.measured == pytest.approx(152.0 - deck - film - 60.0, abs=0.02)
    assert set(found.parts) == {"inner-wall", "panel-far", "deck"}


def test_a_dip_of_the_sides_between_the_decks_ends_is_found():
    """A corner without a radius lies on the outline: 110 mm at x 200."""
    dip = {
        "silhouette__4__x": 200.0,
        "silhouette__4__z": 110.0,
        "silhouette__4__radius": 0.0,
        "lane__guard": 40.0,
    }
    (found,) = look(changed(**dip))
    ((x, floor), (same, top)) = found.places[0].points
    assert x == same == pytest.approx(200.0, abs=1e-3)
    assert top == pytest.approx(110.0, abs=1e-3)
    assert found.measured == pytest.approx(top - floor - 40.0)
    assert {"silhouette.4.z", "silhouette.5.z"} <= {r.address for r in found.remedies}


@pytest.mark.parametrize(
    ("values", "address"),
    [
        ({"overall__length_limit": 600.0}, "lane.length"),
        ({"overall__length_limit": 600.0}, "overall.length_limit"),
        ({"overall__width_limit": 190.0}, "lane.width"),
        ({"overall__height_limit": 300.0}, "overall.height_limit"),
        ({"overall__table_depth": 600.0}, "overall.table_depth"),
        ({"lane__guard": 40.0}, "lane.guard"),
        ({"lane__guard": 40.0}, "lane.deck_height"),
    ],
)
def test_the_value_a_remedy_names_is_clear(values, address):
    design = changed(**values)
    (found,) = look(design)
    (named,) = [r.value for r in found.remedies if r.address == address]
    assert found.status == "conflict"
    assert named is not None
    assert [f.status for f in look(put(design, address, named))] == ["clear"]


def test_both_highest_corners_are_named_and_lowering_both_is_clear():
    design = changed(overall__height_limit=316.0)
    (found,) = look(design)
    lower = [(r.address, r.value) for r in found.remedies if r.address.startswith("silhouette")]
    assert lower == [("silhouette.5.z", 311.0), ("silhouette.6.z", 311.0)]
    for address, value in lower:
        design = put(design, address, value)
    assert [f.status for f in look(design)] == ["clear"]


def test_without_limits_or_a_deck_the_check_cannot_be_made():
    cabinet = built()
    for bare in (replace(cabinet, marks=Landmarks(cabinet.marks.points)), replace(cabinet, legs=())):
        found = only(bare, "within-limits")
        assert (found.status, found.key) == ("conflict", "within-limits/not-evaluated")


def test_it_follows_a_drag_step():
    assert "within-limits" in behind()


def test_a_silhouette_that_crosses_itself_is_read_on_its_clean_piece():
    """From (300, 56) back to (74, 126) and on to (200, 20): the last stretch crosses the first, which is at 56."""
    corners = {"silhouette__2__x": 300.0, "silhouette__4__x": 200.0, "silhouette__4__z": 20.0}
    sharp = {f"silhouette__{k}__radius": 0.0 for k in (2, 3, 4)}
    cabinet = build(changed(**corners, **sharp))
    assert not cabinet.by_id["panel-far"].outline.simple
    found = run(cabinet, ["within-limits"])
    assert not [f for f in found if f.key.endswith("not-evaluated")]

"""The gutter gap and the depth behind the board, in hand-made sections and on the real cabinet."""

from __future__ import annotations

import math

import pytest
import shapely

from desk.cabinet.model import Leg, Part, Solid
from desk.checks.drop import free_depth
from desk.checks.run import run
from desk.shapes.frame import Frame
from desk.shapes.loop import rect
from tests.checks.helpers import built

SECTION = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def board(tilt: float, thick: float = 18.0) -> Part:
    """A board whose face climbs to the back at ``tilt`` degrees from the origin; local y runs up the slope."""
    a = math.radians(tilt)
    frame = Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (math.cos(a), 0.0, math.sin(a)))
    return Part("board", "Board", "ply", thick, rect(-50, 0, 50, 200), frame)


def section(*solids: tuple[str, shapely.Geometry]) -> Leg:
    room = shapely.box(-500, -500, 500, 500)
    return Leg("under", "Under", SECTION, room, tuple(Solid(*s) for s in solids), (0.0, -1.0), 1.0, (), ())


@pytest.mark.parametrize(("tilt", "up"), [(0.0, 100.0), (30.0, 100.0), (45.0, 60.0), (60.0, 120.0)])
def test_depth_to_a_level_floor(tilt, up):
    """From the back of the board at a hole, straight out: (height of that point - floor) / cos(tilt), less what the
    lower side of the ball is nearer, d / 2 tan(tilt).
    """
    a, ball, floor = math.radians(tilt), 16.0, -80.0
    leg = section(("gutter-floor", shapely.box(-400, floor - 20, 400, floor)))
    depth, met = free_depth(leg, board(tilt), (0.0, up), ball)
    height = up * math.sin(a) - 18.0 * math.cos(a) - floor
    assert depth == pytest.approx(height / math.cos(a) - ball / 2 * math.tan(a), abs=1e-6)
    assert met == "gutter-floor"


def test_the_nearest_part_counts_and_the_board_itself_does_not():
    floor = ("gutter-floor", shapely.box(-400, -100, 400, -80))
    cleat = ("cleat-lower", shapely.box(95, -60, 120, -50))
    own = ("board", shapely.box(-10, -18, 200, 0))
    assert free_depth(section(floor, cleat, own), board(0.0), (0.0, 100.0), 16.0) == (
        pytest.approx(32.0),
        "cleat-lower",
    )
    assert free_depth(section(floor, cleat, own), board(0.0), (0.0, 50.0), 16.0) == (
        pytest.approx(62.0),
        "gutter-floor",
    )
    assert free_depth(section(own), board(0.0), (0.0, 50.0), 16.0)[1] == ""


@pytest.mark.parametrize(
    ("gap", "status"), [(22.0, "clear"), (17.2, "tight"), (16.5, "conflict"), (8.0, "conflict")]
)
def test_the_gutter_gap_passes_the_largest_ball(gap, status):
    (found,) = run(built(board__gap=gap), ["gutter-gap"])
    assert found.status == status
    assert found.needed == 0.6
    (place,) = found.places
    ends = [place.frame.world(*p) for p in place.points]
    assert math.dist(*ends) == pytest.approx(found.measured + 16.4, abs=1e-6)


def test_a_gutter_floor_too_close_to_the_board_keeps_the_ball_in_its_hole():
    found = [f for f in run(built(behind__gutter_drop=30.0), ["depth-behind"]) if f.status == "conflict"]
    assert found
    assert all("gutter-floor" in f.parts for f in found)
    assert {r.address for f in found for r in f.remedies} >= {"behind.gutter_drop", "behind.depth"}

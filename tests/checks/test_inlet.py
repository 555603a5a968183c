"""The inlet of the return: its round corner against hand-worked and shapely geometry, and the ramp's height in it."""

from __future__ import annotations

import math
import re

import pytest
import shapely

from desk.checks.inlet import corner_room
from tests.checks.helpers import built, findings


def opening(width: float, height: float, radius: float) -> shapely.Polygon:
    """A rectangle from (0, 0) whose upper corner at x = 0 is round."""
    centre = (radius, height - radius)
    arc = [
        (
            centre[0] + radius * math.cos(math.radians(a / 10)),
            centre[1] + radius * math.sin(math.radians(a / 10)),
        )
        for a in range(900, 1801)
    ]
    return shapely.Polygon([(0, 0), (width, 0), (width, height), *arc])


@pytest.mark.parametrize(
    ("width", "height", "radius", "ball"),
    [(18.0, 18.0, 15.0, 8.2), (17.0, 20.0, 16.0, 8.0), (20.0, 17.0, 16.0, 8.0), (17.0, 17.0, 9.5, 8.0)],
)
def test_room_at_the_corner_is_what_a_ball_in_the_opposite_corner_leaves(width, height, radius, ball):
    """Least distance from the ball's middle to the opening's rim away from the two sides it touches."""
    spot = shapely.Point(width - ball, ball)
    rim = opening(width, height, radius).exterior.intersection(
        shapely.box(-1, height - radius, radius, height + 1)
    )
    assert corner_room(width, height, radius, ball) == pytest.approx(spot.distance(rim) - ball, abs=1e-3)


def test_a_square_opening_worked_by_hand():
    """18 x 18, corner 14, ball 8: middles 4 and 4 apart, 14 - 4 sqrt 2 - 8 = 0.3431; the ball has 2 mm to the sides."""
    assert corner_room(18.0, 18.0, 14.0, 8.0) == pytest.approx(0.3431, abs=5e-5)


@pytest.mark.parametrize(
    ("width", "height", "radius"),
    [(18.0, 18.0, 8.0), (30.0, 17.0, 12.0), (17.0, 30.0, 12.0), (15.9, 18.0, 12.0)],
)
def test_straight_sides_tell_where_the_corner_is_not_nearest(width, height, radius):
    assert corner_room(width, height, radius, 8.0) is None


def test_the_corner_passes_into_the_room_at_the_sides_without_a_step():
    """As the corner's middle comes level with the ball's, what is left is the room in the width."""
    assert corner_room(17.0, 20.0 - 1e-9, 12.0, 8.0) == pytest.approx(17.0 - 16.0, abs=1e-6)


def test_a_thick_bit_leaves_a_corner_in_the_way_of_a_ball_that_fits_between_the_sides():
    values = {"behind__inlet_width": 18.2, "behind__inlet_height": 19.6}
    assert not [f for f in findings(built(**values), "inlet") if "corner" in f.key]
    thick = built(bits__1__diameter=30.0, **values)
    (found,) = [f for f in findings(thick, "inlet") if "corner" in f.key]
    assert found.status == "conflict"
    assert found.title == "Ball beside the inlet's round corner"
    assert {"behind.inlet_height", "behind.inlet_width", "bits.1.diameter"} <= {
        r.address for r in found.remedies
    }
    assert not [
        f for f in findings(thick, "inlet") if f.status == "conflict" and f is not found and "/width" in f.key
    ]


def test_the_sums_of_the_inlet_start_at_its_size_as_it_is_set_and_tell_where_the_rest_goes():
    """15.7 high and 16 wide, film 0.075 on both sides; the ramp stands higher at the wall than the sill."""
    values = {"behind__inlet_height": 15.7, "behind__inlet_width": 16.0}
    found = {f.key: f for f in findings(built(**values), "inlet") if f.unit == "mm"}
    wide, tall = found["inlet/width"], found["inlet/height"]
    assert wide.because.startswith("16.00 - 2 x 0.075 film - 16.40 ball = -0.55 mm")
    ramp = re.match(
        r"15\.70 - (\d\.\d\d) for the ramp at the wall - 2 x 0\.075 film - 16\.40 ball = ", tall.because
    )
    assert ramp is not None
    assert tall.measured == pytest.approx(15.7 - float(ramp[1]) - 0.15 - 16.4, abs=0.006)

"""Sizes that the cabinet takes less of than was asked, and rails against a ball within them."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely

from desk.cabinet.build import build
from desk.checks.asked import arcs, rail_hold
from desk.checks.context import Context
from desk.checks.finding import Finding
from desk.checks.run import run
from desk.design.edit import get, put
from desk.design.file import load
from desk.design.model import Design
from desk.shapes.loop import Loop, rounded
from tests.checks.helpers import changed

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def look(design: Design, check: str = "as-asked") -> tuple[Finding, ...]:
    return run(build(design), [check], value_of=lambda address: get(design, address))


@pytest.mark.parametrize(
    ("values", "address"),
    [
        ({"kicker__lip_round": 10.0}, "kicker.lip_round"),
        ({"board__tab": 300.0}, "board.tab"),
        ({"board__rail_height": 40.0}, "board.rail_height"),
        ({"silhouette__1__radius": 400.0}, "silhouette.1.radius"),
    ],
)
def test_what_there_is_no_room_for_is_told_and_what_there_is_room_for_is_clear(values, address):
    design = changed(**values)
    wrong = [f for f in look(design) if f.status == "conflict"]
    named = {r.address: r.value for f in wrong for r in f.remedies}
    assert "less than asked for" in wrong[0].title
    assert address in named
    for key, value in named.items():
        assert value is not None
        design = put(design, key, value)
    assert [f.status for f in look(design)] == ["clear"]


def test_the_lip_is_rounded_by_what_its_straight_has_room_for():
    """A corner of angle a takes a radius whose tangents, r / tan(a / 2) long, lie on the straight."""
    design = changed(kicker__lip_round=10.0)
    (found,) = look(design)
    corner = math.radians(90.0 - design.value("kicker.exit"))
    room = design.value("kicker.straight") * math.tan(corner / 2)
    assert found.measured == pytest.approx(10.0 - room, abs=0.01)


def test_arcs_are_found_with_their_corners_and_radii():
    """A rectangle with rounded corners, and a dent, whose arc turns the other way."""
    loop = rounded([(0, 0, 5), (60, 0, 8), (60, 40, 0), (40, 20, 6), (0, 40, 0)])
    found = {(round(a.corner[0], 6), round(a.corner[1], 6)): a.radius for a in arcs(loop)}
    assert found == pytest.approx({(0.0, 0.0): 5.0, (60.0, 0.0): 8.0, (40.0, 20.0): 6.0})
    quarter = next(a for a in arcs(loop) if a.radius == pytest.approx(5.0))
    assert math.dist(quarter.middle, (5.0, 5.0)) == pytest.approx(5.0)
    assert arcs(Loop(((0, 0, 0), (10, 0, 0), (10, 10, 0)))) == ()


@pytest.mark.parametrize(
    ("height", "status"), [(0.5, "conflict"), (3.0, "conflict"), (4.6, "tight"), (8.0, "clear")]
)
def test_a_ball_within_a_rail_does_not_hop_over_it(height, status):
    assert look(changed(board__rail_height=height), "rail-hold")[0].status == status


def test_the_speeds_are_those_of_energy_and_of_momentum_about_the_rails_edge():
    """Rolling down a slope gives (10/7) g h; a step h is climbed when what the knock leaves of it, 1 - 5 h / 7 r,
    lifts the ball by h (a sphere about a fixed edge, I = 7/5 m r²; any text on rigid bodies).
    """
    design = changed(board__rail_height=3.0)
    found = look(design, "rail-hold")[0]
    cabinet = build(design)
    target, r = cabinet.targets[0], cabinet.balls.largest / 2
    drop = (2 * target.rail - 2 * r) * math.sin(math.radians(design.value("board.tilt"))) / 1000
    comes = math.sqrt(10 / 7 * 9.80665 * drop)
    left = math.sqrt(10 / 7 * 9.80665 * 0.003)
    assert found.needed == pytest.approx(1.1 * comes, rel=1e-6)
    assert found.measured == pytest.approx(left / (1 - 5 * 3.0 / (7 * r)), rel=1e-6)


def test_a_ball_rolls_down_a_vee_from_its_end_to_its_corner():
    """Where a ball can lie is found from the rails grown by its radius: on the end of a rail and in the corner.
    That the end is rounded takes a little off the way.
    """
    cabinet = build(load(EXAMPLES / "steel-half-inch.lane"))
    ball, leg = cabinet.balls.largest, cabinet.leg_by_id["face"]
    found = {d.key: d for d in rail_hold(Context(cabinet))}
    rails = shapely.union_all([s.shape for s in leg.solids if s.part == "board"])
    for target in (t for t in cabinet.targets if t.kind == "vee"):
        x, y = target.at
        middles = rails.buffer(ball / 2, quad_segs=256)
        low = middles.intersection(shapely.LineString(((x, 0.0), (x, y + target.rail)))).bounds[3]
        fall = math.radians(35.0)
        end = x - target.rail + ball / 2 * math.sin(fall)
        high = middles.intersection(shapely.LineString(((end, 0.0), (end, y + target.rail)))).bounds[3]
        rounded_off = found[f"rail {target.number}"].like - (high - low)
        assert 0 <= rounded_off < 0.5


def test_the_height_a_remedy_names_holds_the_ball():
    design = changed(board__rail_height=2.0)
    named = [
        r.value for f in look(design, "rail-hold") for r in f.remedies if r.address == "board.rail_height"
    ]
    assert None not in named
    assert look(put(design, "board.rail_height", max(named)), "rail-hold")[0].status == "clear"


def test_targets_without_rails_have_nothing_to_hold():
    design = changed(**{f"targets__{n}__rail": 0.0 for n in range(1, 6)})
    (found,) = look(design, "rail-hold")
    assert found.status == "clear"
    assert "No target has a rail" in found.because

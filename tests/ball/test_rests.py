"""Resting places against closed forms of a circle on lines, and against a height field rolled over by numpy."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from shapely import affinity

from desk.ball.rests import Rest, blocked, centre_region, contact_radius, reachable, survey
from desk.cabinet.model import Leg, Solid, Zone
from desk.shapes.frame import Frame
from desk.shapes.offset import QUAD_SEGMENTS

FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
LEAST = 0.01
ROOM = shapely.box(-100.0, -20.0, 100.0, 200.0)


def chord(radius: float) -> float:
    """How far the chords of a grown corner stand off its circle, mm."""
    return radius * (1 - math.cos(math.pi / 4 / QUAD_SEGMENTS)) + 1e-6


def leg(*solids, source=None, sinks=(), rests=(), room=ROOM, pull=(0.0, -1.0), rail=None, part="wall") -> Leg:
    return Leg(
        id="leg",
        label="Leg",
        frame=FRAME,
        room=room,
        solids=tuple(Solid(part, s) for s in solids),
        pull=pull,
        pull_share=1.0,
        sources=(Zone("source", room if source is None else source),),
        sinks=tuple(Zone(f"sink {k}", s) for k, s in enumerate(sinks)),
        rests=tuple(Zone(name, shape) for name, shape in rests),
        rail_height=rail,
    )


def ground(*points: tuple[float, float]) -> shapely.Polygon:
    """Everything below a line of points, its first and last stretch run on far past the room."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = (*points[:2], *points[-2:])
    first = y0 + (-400 - x0) * (y1 - y0) / (x1 - x0)
    last = y3 + (400 - x3) * (y3 - y2) / (x3 - x2)
    return shapely.Polygon([(-400, -4000), (-400, first), *points, (400, last), (400, -4000)])


def rests_of(figure: Leg, diameter: float, least: float = LEAST) -> tuple[Rest, ...]:
    return survey(figure, diameter, least).rests


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.floats(0.15, 1.2), st.floats(0.15, 1.2), st.floats(2.0, 12.0))
def test_a_ball_in_a_v_touches_both_walls(left, right, radius):
    """Walls through the origin climbing at two angles: the centre is where both lie a radius away."""
    wide = 90.0
    figure = leg(ground((-wide, wide * math.tan(left)), (0, 0), (wide, wide * math.tan(right))),
                 room=shapely.box(-80, -20, 80, 60))  # fmt: skip
    (rest,) = rests_of(figure, 2 * radius)
    # normals (sin left, cos left) and (-sin right, cos right): n . c = radius for both
    normals = np.array([(math.sin(left), math.cos(left)), (-math.sin(right), math.cos(right))])
    wanted = np.linalg.solve(normals, (radius, radius))
    assert rest.at == pytest.approx(tuple(wanted), abs=1e-6)
    assert rest.kind == "notch"


@pytest.mark.parametrize("lean", [5.0, 40.0, 70.0])
def test_a_ball_under_a_leaning_wall_lies_in_the_wedge(lean):
    """A floor falling 3 degrees to a wall that leans over it: the centre is a radius from both, however flat."""
    a, b, radius = math.radians(3.0), math.radians(lean), 8.0
    far = 90.0
    wall = [(0.0, 0.0), (far * math.sin(b), far * math.cos(b)), (-90.0, far), (-90.0, -40.0), (far, -40.0)]
    figure = leg(
        shapely.Polygon([*wall, (far, far * math.tan(a))]), room=shapely.box(-30.0, -10.0, 80.0, 60.0)
    )
    normals = np.array([(-math.sin(a), math.cos(a)), (math.cos(b), -math.sin(b))])
    wanted = np.linalg.solve(normals, (radius, radius))
    assert any(
        r.at == pytest.approx(tuple(wanted), abs=1e-6) and r.kind == "notch" for r in rests_of(figure, 16.0)
    )


@pytest.mark.parametrize("degrees", [20.0, 60.0, 90.0, 140.0])
def test_a_ball_in_an_even_v_stands_r_over_the_sine_of_half_the_angle_high(degrees):
    half, radius = math.radians(degrees) / 2, 8.0
    figure = leg(ground((-90, 90 / math.tan(half)), (0, 0), (90, 90 / math.tan(half))))
    (rest,) = rests_of(figure, 2 * radius)
    assert rest.at == pytest.approx((0.0, radius / math.sin(half)), abs=1e-6)


@pytest.mark.parametrize("height", [0.05, 0.5, 3.0, 7.9, 12.0])
def test_a_step_up_has_to_be_climbed_by_its_own_height(height):
    """On a level floor the centre goes from R to R + h, over the step's edge, for h below R and above it."""
    figure = leg(ground((-90, 60), (-60, 0), (0, 0), (0, height), (90, height - 4)))
    found = rests_of(figure, 16.0)
    assert len(found) == 1
    assert found[0].escape == pytest.approx(height, abs=chord(8.0))
    assert found[0].at[1] == pytest.approx(8.0, abs=1e-6)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.floats(0.02, 0.2), st.floats(0.1, 5.0), st.floats(6.0, 12.0))
def test_a_slope_into_a_step(slope, height, radius):
    """Floor falling to a step: the centre lies R from the floor and R from the edge, and has to get above the edge.

    Where that centre would lie past the edge the ball just rolls over the step.
    """
    angle = math.atan(slope)
    figure = leg(ground((-90, 120), (-60, 60 * slope), (0, 0), (0, height), (95, height - 6)))
    square = height * math.cos(angle)  # the edge above the floor, square to it
    along = math.sqrt(radius**2 - (radius - square) ** 2)
    down = np.array((math.cos(angle), -math.sin(angle)))
    up = np.array((math.sin(angle), math.cos(angle)))
    centre = np.array((0.0, height)) - along * down + (radius - square) * up
    assume(abs(centre[0]) > 0.5)
    found = rests_of(figure, 2 * radius)
    assert len(found) == (centre[0] < 0)
    for rest in found:
        assert rest.at == pytest.approx(tuple(centre), abs=2 * chord(radius) * radius / along + 0.02)
        assert rest.escape == pytest.approx(height + radius - rest.at[1], abs=chord(radius))


@pytest.mark.parametrize(("share", "holds"), [(0.5, True), (0.98, True), (1.02, False), (3.0, False)])
@pytest.mark.parametrize("least", [0.005, 0.02])
def test_a_slope_holds_a_ball_only_below_the_least_slope(share, holds, least):
    fall = 150 * least * share
    figure = leg(ground((-95, fall), (55, 0), (60, -10)), sinks=(shapely.box(58, -20, 100, 60),))
    found = rests_of(figure, 16.0, least)
    assert bool(found) is holds
    for rest in found:
        assert rest.kind == "flat"
        assert rest.escape == pytest.approx(0.0, abs=1e-3)


def test_a_short_flat_holds_nothing():
    """Shorter than a share of the ball: a landing of 0.5 mm on a slope is run over, one of 5 mm is not."""

    def landing(size: float) -> Leg:
        return leg(ground((-95, 30), (0, 10), (size, 10), (80, -8)), sinks=(shapely.box(75, -20, 100, 60),))

    assert rests_of(landing(0.5), 16.0) == ()
    (rest,) = rests_of(landing(5.0), 16.0)
    assert rest.kind == "flat"
    assert rest.at[1] == pytest.approx(18.0, abs=1e-6)


@pytest.mark.parametrize("pipe", [12.0, 30.0, 60.0])
def test_a_ball_in_a_half_pipe_lies_at_the_bottom(pipe):
    """A circle of radius R in one of radius rho: centre rho - R above the pipe's own bottom less the chords."""
    trough = shapely.box(-80, 0, 80, pipe).difference(shapely.Point(0, pipe).buffer(pipe, quad_segs=256))
    figure = leg(
        trough,
        shapely.box(-80, -40, 80, 0),
        source=shapely.Point(0, pipe).buffer(1),
        room=shapely.box(-pipe, -5, pipe, pipe - 1e-3),
    )
    found = rests_of(figure, 10.0)
    assert len(found) == 1
    assert found[0].at == pytest.approx((0.0, 5.0), abs=0.3 + chord(5.0))
    assert found[0].at[1] == pytest.approx(5.0, abs=2 * chord(5.0))


@pytest.mark.parametrize(
    ("radius", "height", "reach"),
    [
        (8.0, 8.0, 8.0),
        (8.0, 12.0, 8.0),
        (8.0, 3.0, math.sqrt(39.0)),
        (12.7, 1.0, math.sqrt(24.4)),
        (8.0, 0.0, 0.0),
    ],
)
def test_a_low_rail_meets_the_ball_on_a_smaller_circle(radius, height, reach):
    """Half-chord of a circle of radius r at height h: sqrt(2 r h - h²)."""
    assert contact_radius(radius, height) == pytest.approx(reach, rel=1e-12)


@pytest.mark.parametrize(("gap", "shut"), [(-0.01, True), (0.01, False)])
@pytest.mark.parametrize("height", [None, 3.0, 20.0])
def test_a_gap_between_rails_counts_at_the_rails_height(gap, shut, height):
    """Rails 3 mm high let a 16 mm ball through 2 sqrt(39) mm; full rails let it through 16 mm."""
    width = 2 * (8.0 if height is None or height > 8 else math.sqrt(39.0)) + gap
    rails = (shapely.box(-100, 50, -width / 2, 58), shapely.box(width / 2, 50, 100, 58))
    figure = leg(*rails, source=shapely.box(-50, 100, 50, 150), sinks=(shapely.box(-100, -20, 100, 20),),
                 rail=height, part="board")  # fmt: skip
    region = centre_region(figure, 16.0)
    assert bool(blocked(figure, region)) is shut
    if shut:
        assert [z.name for z in blocked(figure, region)] == ["source"]
        assert len(reachable(figure, region)) >= 1


@pytest.mark.parametrize("height", [None, 3.0])
def test_walls_beside_rails_stand_full_height(height):
    """Only solids of the board are rails; a wall on the same leg keeps the whole radius."""
    wall, rail = (
        Solid("inner-wall", shapely.box(-100, -20, -40, 200)),
        Solid("board", shapely.box(40, -20, 100, 200)),
    )
    figure = leg(rail=height)
    figure = replace(figure, solids=(wall, rail))
    low, high = (centre_region(figure, 16.0).bounds[k] for k in (0, 2))
    assert low == pytest.approx(-32.0)
    assert high == pytest.approx(40 - (8.0 if height is None else math.sqrt(39.0)))


@pytest.mark.parametrize(("gap", "shut"), [(-0.01, True), (0.01, False)])
@pytest.mark.parametrize("turn", [0.0, 0.3, 1.1])
def test_a_slot_stops_a_ball_a_hundredth_larger_and_no_smaller_one(gap, shut, turn):
    width = 16.0 + gap

    def turned(*box: float) -> shapely.Polygon:
        return affinity.rotate(shapely.box(*box), turn, origin=(0, 70), use_radians=True)

    figure = leg(
        turned(-400, 50, -width / 2, 90),
        turned(width / 2, 50, 400, 90),
        source=turned(-5, 105, 5, 115),
        sinks=(turned(-5, 20, 5, 30),),
    )
    assert bool(survey(figure, 16.0, LEAST).blocked) is shut


def test_a_leg_without_sinks_has_to_let_the_ball_to_its_rests():
    walls = (shapely.box(-10, -20, 10, 200),)
    rests = (("waiting", shapely.box(50, -20, 100, 200)),)
    figure = leg(*walls, source=shapely.box(-90, 50, -50, 60), rests=rests)
    assert [z.name for z in survey(figure, 16.0, LEAST).blocked] == ["source"]
    figure = leg(source=shapely.box(-90, 50, -50, 60), rests=rests)
    assert survey(figure, 16.0, LEAST).blocked == ()


def test_a_pit_without_a_way_out_is_never_left():
    pit = shapely.box(-60, -10, 60, 150).difference(shapely.box(-40, 10, 40, 100))
    figure = leg(pit, source=shapely.box(-1, 40, 1, 50))
    found = rests_of(figure, 16.0)
    assert found
    assert all(math.isinf(r.escape) for r in found)


def test_rests_are_named_and_those_in_a_sink_are_none():
    floor = ground((-95, 40), (-50, 0), (-40, 0), (0, 20), (40, 0), (50, 0), (95, 40))
    zone = ("waiting", shapely.box(-60, 0, -30, 20))
    both = rests_of(leg(floor, rests=(zone,)), 16.0)
    assert sorted(r.meant for r in both) == ["", "waiting"]
    one = rests_of(leg(floor, rests=(zone,), sinks=(shapely.box(30, 0, 60, 20),)), 16.0)
    assert [r.meant for r in one] == ["waiting"]


def test_places_no_source_opens_into_are_not_looked_at():
    floor = ground((-95, 40), (-50, 0), (-10, 40), (-10, 300), (10, 300), (10, 40), (50, 0), (95, 40))
    figure = leg(floor, source=shapely.box(-60, 50, -40, 60))
    (rest,) = rests_of(figure, 16.0)
    assert rest.at[0] < 0


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.floats(-3.1, 3.1), st.floats(0.5, 6.0))
def test_turning_figure_and_pull_together_changes_nothing(angle, height):
    floor = ground((-95, 40), (-50, 0), (0, -3), (0, -3 + height), (60, -9), (95, 40))
    level = leg(floor, room=shapely.box(-80, -30, 80, 60))

    def turn(shape):
        return affinity.rotate(shape, angle, origin=(0, 0), use_radians=True)

    turned = leg(turn(floor), room=turn(level.room), pull=(math.sin(angle), -math.cos(angle)))
    a, b = rests_of(level, 14.0), rests_of(turned, 14.0)
    assert [r.kind for r in a] == [r.kind for r in b]
    for mine, theirs in zip(a, b, strict=True):
        assert theirs.escape == pytest.approx(mine.escape, abs=2 * chord(7.0))
        x, y = mine.at
        c, s = math.cos(angle), math.sin(angle)
        assert theirs.at == pytest.approx((c * x - s * y, s * x + c * y), abs=0.05)


def rolled(points: list[tuple[float, float]], radius: float, low: float, high: float):
    """Height of the centre of a ball on a height field, by dilation on a fine grid: (x, height)."""
    step = 0.02
    x = np.arange(low, high + step / 2, step)
    far = math.ceil(radius / step)
    wide = np.arange(low - far * step, high + far * step + step / 2, step)
    field = np.interp(wide, [p[0] for p in points], [p[1] for p in points])
    best = np.full(len(x), -np.inf)
    for k in range(-far, far + 1):
        lift = math.sqrt(max(radius**2 - (k * step) ** 2, 0.0))
        np.maximum(best, field[far + k : far + k + len(x)] + lift, out=best)
    return x, best


def hollows(height: np.ndarray) -> list[tuple[int, float]]:
    """Every hollow a ball lies in deeper than 0.05 mm: (index of its lowest point, climb to somewhere lower or out)."""
    found = []
    n = len(height)
    for k in range(1, n - 1):
        if not (height[k] <= height[k - 1] and height[k] < height[k + 1]):
            continue
        climbs = []
        for side in (height[k::-1], height[k:]):
            lower = np.nonzero(side < height[k] - 1e-9)[0]
            climbs.append(side[: lower[0] + 1].max() if len(lower) else side.max())
        climb = min(climbs) - height[k]
        if climb > 0.05:
            found.append((k, float(climb)))
    return found


@st.composite
def terrains(draw) -> list[tuple[float, float]]:
    xs = np.cumsum([draw(st.floats(4.0, 30.0)) for _ in range(8)])
    scale = 140 / xs[-1]
    points = [(-70.0, draw(st.floats(0, 40)))]
    for x in xs:
        before = points[-1]
        run = -70 + x * scale - before[0]
        slope = draw(st.sampled_from([-1, 1])) * draw(st.floats(0.05, 1.5))
        points.append((before[0] + run, before[1] + run * slope))
    return points


@settings(derandomize=True, deadline=None, max_examples=25)
@given(terrains(), st.sampled_from([3.0, 6.0, 8.0]))
def test_random_ground_holds_the_ball_where_a_rolled_height_field_does(points, radius):
    """Ground without overhangs: hollows of the dilated field are the rests, and as deep."""
    heights = [p[1] for p in points]
    top, bottom = max(heights) + 30, min(heights) - 30
    ends = [(-400.0, points[0][1]), *points, (400.0, points[-1][1])]
    solid = shapely.Polygon([(-400, bottom - 50), *ends, (400, bottom - 50)])
    figure = leg(solid, room=shapely.box(-60, bottom, 60, top))
    found = [r for r in rests_of(figure, 2 * radius, 1e-6) if r.escape > 0.05]
    x, height = rolled(ends, radius, -60.0, 60.0)
    wanted = hollows(height)
    off = 0.05 + chord(radius)
    for k, climb in wanted:
        near = [r for r in found if abs(r.at[1] - height[k]) < off and abs(r.at[0] - x[k]) < 1.0]
        assert near, (x[k], height[k], climb)
        assert min(abs(r.escape - climb) for r in near) < 2 * off
    for rest in found:
        near_by = [k for k, climb in wanted if abs(rest.at[0] - x[k]) < 1.0]
        assert near_by or rest.escape < 0.05 + 2 * off, rest


@settings(derandomize=True, deadline=None, max_examples=25)
@given(terrains(), st.floats(2.0, 9.0))
def test_every_rest_touches_the_wood_and_stays_out_of_it(points, radius):
    ends = [(-400.0, points[0][1]), *points, (400.0, points[-1][1])]
    bottom = min(p[1] for p in points) - 30
    solid = shapely.Polygon([(-400, bottom - 50), *ends, (400, bottom - 50)])
    figure = leg(solid, room=shapely.box(-60, bottom, 60, bottom + 300))
    for rest in rests_of(figure, 2 * radius):
        assert solid.distance(shapely.Point(rest.at)) == pytest.approx(radius, abs=2 * chord(radius))


def test_a_survey_follows_the_figure_and_not_its_place():
    """The same figure standing elsewhere gives the same answer; another figure does not."""
    floor = ground((-95, 40), (0, 0), (95, 40))
    one = leg(floor)
    moved = replace(one, frame=Frame((5.0, 9.0, 2.0), FRAME.u, FRAME.v))
    assert survey(one, 16.0, LEAST) == survey(moved, 16.0, LEAST)
    other = leg(affinity.translate(floor, 0.0, 1.0))
    assert survey(other, 16.0, LEAST).rests[0].at[1] == pytest.approx(
        survey(one, 16.0, LEAST).rests[0].at[1] + 1
    )
    larger = survey(one, 18.0, LEAST).rests[0]
    assert larger.at[1] > survey(one, 16.0, LEAST).rests[0].at[1]

"""Steps along the way: heights beside a joint, what play adds, and the speed that climbs, against plain mechanics."""

from __future__ import annotations

import math

import pytest
import shapely

from desk.cabinet.build import build
from desk.checks import steps
from desk.checks.context import Context
from desk.checks.mechanics import climb_speed
from desk.checks.registry import CannotEvaluate
from desk.checks.run import run
from desk.design.edit import get, put, put_choice
from tests.checks.helpers import built, changed

G = 9.80665


def ramp(x0, x1, z0, slope):
    """A floor from x0 to x1 whose top is z0 high at x 0 and rises by ``slope``."""
    return shapely.Polygon([(x0, -50), (x1, -50), (x1, z0 + slope * x1), (x0, z0 + slope * x0)])


@pytest.mark.parametrize("way", [1.0, -1.0])
@pytest.mark.parametrize("slope", [-0.05, 0.0, 0.03])
def test_a_step_is_read_along_the_slope_of_the_floor_before_it(way, slope):
    first, second = ramp(-100, 0, 10.0, slope), ramp(0, 100, 10.4, slope)
    if way < 0:
        first, second = second, first
    assert steps.step_up(first, second, 0.0, way) == pytest.approx(0.4 * way)


def test_a_gap_between_the_two_makes_no_step():
    first, second = ramp(-100, 0, 10.0, 0.04), ramp(2, 100, 10.0, 0.04)
    assert steps.step_up(first, second, 0.0, 1.0, gap=2.0) == pytest.approx(0.0, abs=1e-9)


def test_a_floor_that_is_not_there_cannot_be_read():
    with pytest.raises(CannotEvaluate):
        steps.top_at(ramp(0, 10, 5.0, 0.0), 20.0)
    with pytest.raises(CannotEvaluate):
        steps.top_at(shapely.Polygon(), 0.0)


def test_the_deck_meets_the_kicker_flush_in_the_drawing():
    of = {s.key: s for s in every(built())}
    assert of["kicker"].drawn == pytest.approx(0.0, abs=0.01)
    assert of["back"].drawn == pytest.approx(-of["kicker"].drawn)
    # the lifter's pad lies 0.2 mm low so that it makes no ledge
    assert of["pad"].drawn == pytest.approx(-0.2, abs=0.02)


def every(cabinet):
    ctx = Context(cabinet)
    legs = cabinet.leg_by_id
    return [
        *steps._kicker(ctx, legs["lane"]),
        *steps._ramp(ctx, legs["catch"]),
        *steps._layers(ctx, legs["catch"]),
        *steps._pad(ctx, legs["channel"]),
    ]


def test_play_is_half_of_what_holes_and_mortises_are_larger():
    ctx = Context(built(joint__dowel_fit=0.3, joint__mortise_fit=0.4))
    assert steps.axis_play(ctx, "rod-kicker", "rib-1") == pytest.approx(0.15)
    assert steps.axis_play(ctx, "rod-kicker", "rib-1", "inner-wall") == pytest.approx(0.30)
    assert steps.axis_play(ctx, "rod-kicker", "deck") == 0.0
    assert steps.tab_play(ctx, "deck") == pytest.approx(0.2)
    assert steps.tab_play(ctx, "no such part") == 0.0


def test_ribs_are_told_apart_by_their_whole_name():
    many = Context(built(kicker__ribs=12.0))
    assert steps.axis_play(many, "rod-kicker", "rib-1") == pytest.approx(0.05)


def test_the_speed_at_the_kicker_is_what_takes_a_ball_over_the_lip():
    # energy of a rolling sphere: 7/10 m v² = m g h (Kleppner and Kolenkow, rigid body rotation; from memory)
    (kicker,) = [s for s in every(built()) if s.key == "kicker"]
    lane = built().leg_by_id["lane"]
    lip = max(s.shape.bounds[3] for s in lane.solids if s.part.startswith("rib-"))
    high = lip - built().marks.points["deck end"][2]
    assert kicker.speed == pytest.approx(math.sqrt(10 / 7 * G * high / 1000), rel=0.01)


def test_a_returning_ball_loses_what_rolling_takes():
    (pad,) = [s for s in every(built()) if s.key == "pad"]
    d = built().balls.smallest
    # v² = 10/7 g d (sin a - c cos a), slope 1.8 degrees, glass at its worst c 0.010; d along the level
    fall = math.tan(math.radians(1.8)) - 0.010
    assert pad.speed == pytest.approx(math.sqrt(10 / 7 * G * d * fall / 1000), rel=0.01)


def test_no_step_up_asks_for_no_speed():
    (ramp_end,) = [s for s in every(built()) if s.key == "ramp"]
    assert ramp_end.worst == 0.0
    assert climb_speed(ramp_end.worst, 8.0) == 0.0


def test_layers_of_the_floor_are_steps_for_a_ball_that_crosses_them():
    assert not [s for s in every(built()) if s.key.startswith("layer")]
    twice = [
        s for s in every(built(return__layers=2.0, behind__inlet_width=40.0)) if s.key.startswith("layer")
    ]
    assert len(twice) == 1
    assert twice[0].parts == ("spacer-lower-2", "spacer-lower-1")


def test_a_front_stop_of_no_height_lets_the_ball_go():
    found = run(built(lane__stop_height=0.0), ["steps"])
    assert [f.title for f in found if f.status == "conflict"] == [
        "Front stop against the ball that comes back"
    ]
    (wrong,) = [f for f in found if f.status == "conflict"]
    assert [r.address for r in wrong.remedies] == ["lane.stop_height"]
    assert wrong.places


def test_a_front_stop_in_the_way_of_the_hand_is_told_and_the_remedy_mends_it():
    design = changed(lane__stop_height=60.0)
    (wrong,) = [
        f for f in run(build(design), ["steps"], value_of=lambda a: get(design, a)) if f.status == "conflict"
    ]
    assert wrong.title == "Front stop under the hand that throws"
    (remedy,) = wrong.remedies
    mended = build(put(design, remedy.address, remedy.value))
    assert run(mended, ["steps"])[0].status == "clear"


def test_the_same_step_in_a_cabinet_with_the_return_on_the_right():
    right = build(put_choice(changed(), "return.side", "right"))
    left = {s.key: s.drawn for s in every(built())}
    assert {s.key: s.drawn for s in every(right)} == pytest.approx(left, abs=1e-3)

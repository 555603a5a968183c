"""The lifter's swing, against plain trigonometry and statics and against what a woodworker would call absurd."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.checks import lifting
from desk.checks.context import Context
from desk.checks.run import run
from desk.design.edit import get, put, put_choice
from desk.shop.tables import Own, Tables
from tests.checks.helpers import built, changed


def readings(cabinet):
    """Every reading of the check by its key."""
    return {d.key: d for d in lifting.lifter(Context(cabinet))}


def test_the_lift_is_what_turning_about_the_pin_gives():
    cabinet = built()
    pin, slot = cabinet.marks.points["pin"], cabinet.marks.points["lip rear"]
    # the pad's front corner lies 0.6 mm behind the lip's foot, seen from the pin, and 0.2 mm below the floor
    x, z = slot[0] + 0.6 - pin[0], slot[2] - 0.2 - pin[2]
    a = math.radians(14.5)
    raised = pin[2] + x * math.sin(a) + z * math.cos(a)
    lip = cabinet.marks.points["lip top"][2]
    assert readings(cabinet)["lift"].rating.measured == pytest.approx(raised - lip, abs=0.15)


def test_a_degree_more_lifts_by_the_lever_times_a_degree():
    low, high = (readings(built(lifter__travel=t))["lift"].rating.measured for t in (15.0, 16.0))
    pin, foot = built().marks.points["pin"], built().marks.points["lip rear"]
    x, z, a = foot[0] + 0.6 - pin[0], foot[2] - 0.2 - pin[2], math.radians(15.5)
    assert high - low == pytest.approx((x * math.cos(a) - z * math.sin(a)) * math.radians(1.0), rel=0.02)


def test_a_handle_far_out_meets_the_table_and_weighs_the_lifter_down():
    wrong = {f.title for f in run(built(lifter__reach=80.0), ["lifter"]) if f.status == "conflict"}
    assert wrong == {"Lifter above the table", "Lifter falls back by itself"}


def test_height_above_the_table_is_that_of_the_round_tip():
    cabinet = built()
    pin, handle = cabinet.marks.points["pin"], cabinet.marks.points["handle"]
    tip = pin[2] - (pin[0] - handle[0]) * math.sin(math.radians(14.5))
    # half the arm and the film below the middle of the tip
    assert readings(cabinet)["table"].rating.measured == pytest.approx(tip - 7.5 - 0.075, abs=0.02)


def test_a_handle_inside_the_front_rubs_on_the_walls():
    found = readings(built(lifter__reach=16.0))
    assert found["handle"].rating.status == "conflict"
    assert found["handle"].parts[1] in ("panel-return", "inner-wall", "lip-block-1")
    assert found["out"].rating.status == "tight" or found["out"].rating.measured < 8


def test_room_over_the_swing_is_the_play_less_the_film_on_both():
    assert readings(built())["room"].rating.measured == pytest.approx(0.6 - 2 * 0.075, abs=0.02)
    more = readings(built(lifter__play=1.0))["room"].rating.measured
    assert more == pytest.approx(1.0 - 2 * 0.075, abs=0.03)


def test_a_handle_shorter_than_a_finger_is_broad_is_told_with_the_survey_behind_it():
    short = readings(built(lifter__handle_length=20.0))["finger"].rating
    assert short.status == "conflict"
    # FAA Human Factors Design Standard, Appendix B: 23 mm, 95th of a hundred men
    assert short.needed == 23.0
    assert short.source.flag == "published"


def test_a_hand_of_ones_own_replaces_the_survey():
    slender = Tables((Own("hands", "finger-breadth", values=(("value", 14.0),)),))
    short = readings(replace(built(lifter__handle_length=20.0), tables=slender))["finger"].rating
    assert short.status == "tight"
    assert short.source.flag == "own"


def test_the_fall_back_is_a_lever_against_friction():
    rating = readings(built())["back"].rating
    # friction 0.5 on a pin of 6 mm holds a weight up to 1.5 mm behind its middle
    assert rating.needed == pytest.approx(0.5 * 3.0)
    assert rating.measured > 0
    far = readings(built(lifter__reach=90.0))["back"].rating
    assert far.measured < 0
    assert far.status == "conflict"


def test_a_lifter_that_swings_too_far_lets_balls_under_it():
    far = readings(built(lifter__travel=26.0))
    assert far["heel"].rating.measured < readings(built())["heel"].rating.measured
    angles = np.radians([15.0, 26.0])
    pin = built().marks.points["pin"]
    slot = built().marks.points["slot"]
    reach = math.hypot(slot[0] - pin[0], slot[2] - pin[2]) - 0.6
    start = -math.asin((7.5 + 0.075) / reach)
    heights = pin[2] + reach * np.sin(start + angles)
    told = [readings(built(lifter__travel=t))["heel"].rating.measured for t in (15.0, 26.0)]
    assert told[0] - told[1] == pytest.approx(heights[1] - heights[0], rel=0.02)


@pytest.mark.parametrize(
    ("values", "address"),
    [
        ({"lifter__travel": 12.0}, "lifter.travel"),
        ({"return__lip_height": 12.5}, "return.lip_height"),
        ({"lifter__pin_z": 9.0}, "lifter.pin_z"),
        ({"lifter__handle_length": 15.0}, "lifter.handle_length"),
    ],
)
def test_the_value_a_remedy_names_ends_the_conflict(values, address):
    design = changed(**values)
    wrong = [
        f for f in run(build(design), ["lifter"], value_of=lambda a: get(design, a)) if f.status == "conflict"
    ]
    named = [r.value for f in wrong for r in f.remedies if r.address == address and r.value is not None]
    assert named
    mended = build(put(design, address, max(named, key=lambda v: abs(v - get(design, address)))))
    titles = {f.title for f in wrong if any(r.address == address for r in f.remedies)}
    assert not [f for f in run(mended, ["lifter"]) if f.status == "conflict" and f.title in titles]


def test_the_mirror_image_reads_the_same():
    right = build(put_choice(changed(), "return.side", "right"))
    left = {k: d.rating.measured for k, d in readings(built()).items()}
    assert {k: d.rating.measured for k, d in readings(right).items()} == pytest.approx(left, abs=1e-3)


def test_every_reading_has_a_place_in_the_channel_and_a_remedy():
    for draft in readings(built()).values():
        told = draft.tell()
        assert told.places
        assert told.remedies
        assert told.because


def test_a_lifter_as_thick_as_its_channel_does_not_turn():
    """Spacers and lifter of one sheet, 17.85: less film on both walls and both faces nothing is left."""
    thick = build(put_choice(changed(), "stock.lifter", "s18"))
    found = next(f for f in run(thick, ["lifter"]) if f.key == "lifter/beside")
    assert found.status == "conflict"
    assert found.measured == pytest.approx(17.85 - 17.85 - 4 * 0.075, abs=1e-6)

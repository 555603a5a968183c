"""Sizes and grades of balls, bits, finishes and hands against what others publish."""

from __future__ import annotations

import pytest

from desk.shop.safety import never_muted, safety_limits
from desk.shop.supplies import ball_grades, ball_sizes, films, hands, sold_bits
from desk.shop.tables import Own, Tables


def test_ball_sizes_in_inches_carry_their_names():
    named = {s.size: s.diameter for s in ball_sizes() if s.size.endswith(" in")}
    assert named["1/2 in"] == pytest.approx(12.7)
    assert named["9/16 in"] == pytest.approx(14.2875)
    assert named["1 in"] == pytest.approx(25.4)
    assert named["7/8 in"] == pytest.approx(22.225)


def test_ball_sizes_are_in_order():
    sizes = [s.diameter for s in ball_sizes()]
    assert sizes == sorted(sizes)
    assert all(5 < size < 30 for size in sizes)
    assert {s.diameter for s in ball_sizes() if s.what == "marbles"} == {14.0, 16.0, 25.0}


@pytest.mark.parametrize(
    ("grade", "ball", "round_", "lot"),
    [("G10", 0.25, 0.25, 0.5), ("G40", 1.0, 1.0, 2.0), ("G100", 2.5, 2.5, 5.0), ("G200", 5.0, 5.0, 10.0)],
)
def test_grades_are_those_of_iso_3290_1(grade, ball, round_, lot):
    found = ball_grades()[grade]
    assert (found.ball, found.round, found.lot) == pytest.approx((ball / 1000, round_ / 1000, lot / 1000))


def test_a_grade_number_is_the_roundness_in_millionths_of_an_inch():
    """ABMA: a ball of grade N is round to N millionths of an inch, here rounded to the table's step."""
    for key, grade in ball_grades().items():
        assert grade.round == pytest.approx(int(key[1:]) * 25.4e-6, rel=0.06)
        assert grade.lot == pytest.approx(2 * grade.ball, rel=0.05)


def test_grades_of_iso_and_of_makers_are_told_apart():
    assert "ISO 3290-1" in ball_grades()["G200"].source.text
    assert "not one of ISO 3290-1" in ball_grades()["G500"].source.text


def test_bits_cut_deeper_the_thicker_they_are_and_their_angles_fit():
    for kind in ("straight", "drill"):
        metric = sorted(
            (b.diameter, b.cutting_length)
            for b in sold_bits().values()
            if b.kind == kind and b.label.split()[1] == "mm"
        )
        depths = [depth for _, depth in metric]
        assert len(depths) > 5
        assert depths == sorted(depths)
    for bit in sold_bits().values():
        assert (bit.angle > 0) is (bit.kind == "vee")
        assert bit.cutting_length >= bit.diameter * 0.8


def test_an_eighth_and_a_quarter_inch_bit():
    """Practice: 1/8 in cuts 12 to 13 mm, 1/4 in 22 to 25 mm."""
    assert 12.0 <= sold_bits()["straight-18in"].cutting_length <= 13.0
    assert 22.0 <= sold_bits()["straight-14in"].cutting_length <= 25.0


def test_a_coat_lies_in_its_range_and_follows_from_a_usual_wet_film():
    """Coating trade: the dry film is the wet one, 3 to 5 mil for a full coat of lacquer, times the volume solids."""
    for film in films().values():
        assert film.range[0] <= film.coat <= film.range[1]
    lacquer = films()["lacquer"]
    assert 0.075 * lacquer.solids <= lacquer.coat <= 0.125 * lacquer.solids


def test_hands_are_those_of_the_survey_and_the_value_is_one_of_them():
    """FAA Human Factors Design Standard, Appendix B: finger breadth, men 19/21/23, women 16/18/21."""
    finger = hands()["finger-breadth"]
    assert (finger.men, finger.women) == ((19.0, 21.0, 23.0), (16.0, 18.0, 21.0))
    for hand in hands().values():
        assert list(hand.men) == sorted(hand.men)
        assert list(hand.women) == sorted(hand.women)
        if hand.men:
            assert hand.value in (max(hand.men), min(hand.women))


def test_a_hand_of_ones_own():
    mine = Tables((Own("hands", "finger-breadth", values=(("value", 25.0),)),))
    assert hands(mine)["finger-breadth"].value == 25.0
    assert hands(mine)["finger-breadth"].source.flag == "own"


def test_gauges_are_inches_and_the_caution_is_never_muted():
    """16 CFR 1500.18(a)(17): 1.75 in; 16 CFR 1501.4: 1.25 in; the inch governs."""
    assert safety_limits()["small-ball"].value == pytest.approx(1.75 * 25.4)
    assert safety_limits()["small-part"].value == pytest.approx(1.25 * 25.4)
    assert safety_limits()["banned-under"].value == 3.0
    assert safety_limits()["label-under"].value == 8.0
    assert never_muted() == {"small-ball"}


def test_dust_and_noise_are_the_published_limits():
    """29 CFR 1910.1000: 15 and 5 mg/m3; NIOSH 1 mg/m3; 29 CFR 1910.95: 90 dBA, action level 85."""
    limits = safety_limits()
    assert [limits[k].value for k in ("dust-total", "dust-fine", "dust-advised")] == [15.0, 5.0, 1.0]
    assert [limits[k].value for k in ("noise-limit", "noise-watched")] == [90.0, 85.0]
    for limit in limits.values():
        assert limit.unit
        assert limit.source.flag in ("published", "memory")

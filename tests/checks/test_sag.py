"""Sag of deck, board and gutter floor against handbook forms worked by hand and beams integrated numerically."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.checks import sag
from desk.checks.context import Context
from desk.checks.run import run
from desk.design.edit import get, put
from tests.checks.helpers import built, cabinet, changed, plate


def of_wood(material, part="deck"):
    """The starting cabinet with the stock of one part of another wood."""
    whole = built()
    stocks = tuple(
        replace(s, material=material) if s.id == whole.by_id[part].stock else s for s in whole.shop.stocks
    )
    return replace(whole, shop=replace(whole.shop, stocks=stocks))


def readings(of):
    return {d.key: d for d in sag.sag(Context(of))}


def integrated(out, between, ei, force, points=200_001):
    """Tip of an overhanging beam: curvature integrated twice, the slope set so that both supports stay put."""
    x = np.linspace(0.0, between + out, points)
    step = x[1] - x[0]
    moment = np.where(x < between, -force * out * x / between, -force * (between + out - x))
    slope = np.concatenate(([0.0], np.cumsum((moment[1:] + moment[:-1]) / 2) * step)) / ei
    sag_ = np.concatenate(([0.0], np.cumsum((slope[1:] + slope[:-1]) / 2) * step))
    at = round(between / step)
    sag_ -= sag_[at] * x / x[at]
    return -float(sag_[-1])


def test_a_beam_past_its_last_support():
    # AISC Manual Table 3-23, overhanging beam with a load at its end (from memory), against integration
    assert sag.over_tab(100.0, 42.0, 157.0, 10_700.0, 8400.0) == pytest.approx(
        integrated(42.0, 157.0, 10_700.0 * 8400.0, 100.0), rel=1e-3
    )


def test_the_deck_is_stiff_across_its_grain():
    # the deck's grain runs fore and aft, so the lane is spanned across it: 6.8 GPa for birch plywood of 12 mm
    plate_ = sag.plate_of(Context(built()), "deck")
    assert plate_.across == pytest.approx(6800.0)
    assert plate_.along == pytest.approx(10_700.0)
    assert plate_.span == pytest.approx(143.2)
    assert plate_.thickness == pytest.approx(8.9)
    board = sag.plate_of(Context(built()), "board")
    assert board.across == pytest.approx(10_700.0)
    assert board.thickness == pytest.approx(9.0)  # what the carving leaves


def test_the_deck_under_a_hand_by_hand():
    # 100 N over a hand of 96 mm and half the span beside it: F L³ / (48 E I), Wood Handbook Table 9-1
    breadth = 96.0 + 143.2 / 2
    across = 100 * 143.2**3 / (48 * 6800 * breadth * 8.9**3 / 12)
    told = readings(built())["deck/press"].rating.measured
    plate_ = sag.plate_of(Context(built()), "deck")
    assert told == pytest.approx(across + sag._bends(plate_, 100.0, 96.0)[1])
    assert readings(built())["deck/bend"].rating.measured == pytest.approx(
        1.5 * 100 * 143.2 / (breadth * 8.9**2)
    )


def test_a_deck_of_solid_wood_across_its_grain_gives_much_more():
    # E_T / E_L of sugar maple 0.065 (Wood Handbook Table 5-1): some eight times the sag of plywood
    ply, maple = (readings(of)["deck/press"].rating.measured for of in (built(), of_wood("hard-maple")))
    assert maple > 3 * ply


def test_own_weight_makes_a_ledge_that_grows_with_time():
    own = 680 * 9.80665 * 8.9 * 1e-9
    at_once = 5 * own * 143.2**4 / (384 * 6800 * 8.9**3 / 12)
    rating = readings(built())["deck/ledge"].rating
    assert 2 * at_once < rating.measured < 3 * at_once
    assert rating.needed == 0.2


def test_a_wide_lane_of_thin_stock_sags():
    thin = readings(built(lane__width=500.0, stocks__1__measured=5.0))
    assert thin["deck/ledge"].rating.status == "conflict"
    assert thin["deck/press"].rating.status == "conflict"


def test_thicker_stock_as_the_remedy_says_ends_the_conflict():
    design = changed(stocks__1__measured=4.0)
    wrong = [
        f for f in run(build(design), ["sag"], value_of=lambda a: get(design, a)) if f.status == "conflict"
    ]
    named = [r.value for f in wrong if f.unit == "mm" for r in f.remedies if r.value is not None]
    assert named
    mended = build(put(design, "stocks.1.measured", max(named)))
    assert not [f for f in run(mended, ["sag"]) if f.status == "conflict" and f.unit == "mm"]


def test_inch_stock_reads_as_the_same_millimetres():
    # 0.35 in of deck is 8.89 mm: the sag follows the cube of the thickness
    one, two = (readings(built(stocks__1__measured=t))["deck/press"].rating.measured for t in (8.89, 8.9))
    assert one / two == pytest.approx((8.9 / 8.89) ** 3, rel=1e-3)


def test_holes_in_the_board_carry_nothing():
    few, many = (sag.plate_of(Context(built(targets__1__hole=h)), "board") for h in (20.0, 30.0))
    assert sag._bends(few, 40.0, 15.0)[0] < sag._bends(many, 40.0, 15.0)[0]


def test_a_cabinet_without_a_deck_cannot_be_judged():
    (found,) = run(cabinet([plate("one", 12.0)]), ["sag"])
    assert found.status == "conflict"
    assert "cannot be checked" in found.title

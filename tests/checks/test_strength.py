"""Rails under loads: by hand on a rail of known size, by wood, by grain, and with loads of one's own."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.checks import strength
from desk.checks.context import Context
from desk.checks.registry import CannotEvaluate
from desk.checks.run import run
from desk.design.edit import get, put, put_choice
from desk.shop.tables import Own, Tables
from tests.checks.helpers import built, changed


def of_wood(material, cabinet=None):
    """The starting cabinet with its board of another wood."""
    cabinet = built() if cabinet is None else cabinet
    stocks = tuple(
        replace(s, material=material) if s.id == cabinet.by_id["board"].stock else s
        for s in cabinet.shop.stocks
    )
    return replace(cabinet, shop=replace(cabinet.shop, stocks=stocks))


def loaded(cabinet, **values):
    own = tuple(Own("loads", key, values=(("value", value),)) for key, value in values.items())
    return replace(cabinet, tables=Tables(own))


def readings(cabinet):
    return {d.key: d for d in strength.rails(Context(cabinet))}


def rail(cabinet, target):
    return next(r for r in strength.rails_of(Context(cabinet)) if r.target == target)


def test_rails_are_read_as_they_are_cut():
    ring = rail(built(), "1")
    assert ring.cut.width == pytest.approx(5.0, abs=0.05)
    assert ring.height == pytest.approx(8.0)
    # the whole way round, 2 pi (15 + 5) outside and 2 pi 15 inside
    assert len(ring.cut.width) > 100


def test_the_grain_of_the_board_runs_across_the_face():
    ring = rail(of_wood("hard-maple"), "1")
    level = np.abs(np.sin(ring.cut.way)) < 0.05
    steep = np.abs(np.cos(ring.cut.way)) < 0.05
    # Wood Handbook Table 5-3a, sugar maple: 12.6 GPa along the grain
    assert ring.along[level] == pytest.approx(12_600, rel=0.05)
    assert ring.along[steep] == pytest.approx(ring.wood.stiffness_across * 1000, rel=0.05)


def test_a_press_on_a_rail_by_hand():
    # MDF bends alike every way: b = 15 + 1.96 x 8 x (2.2/0.15)^(1/4); 6 F a / (b w²) with 40 N on 8 x 5 mm
    cabinet = of_wood("mdf")
    breadth = 15.0 + 1.96 * 8.0 * (2.2 / 0.15) ** 0.25
    expected = 6 * 40 * 8 / (breadth * 25)
    (press,) = [d for k, d in readings(cabinet).items() if k == "rail 1/press"]
    assert press.rating.measured == pytest.approx(expected, rel=0.01)
    # internal bond 0.55 MPa (EN 622-5), three times that in bending (ISO 13910)
    assert press.rating.needed == pytest.approx(0.55 * 3)


def test_in_inch_pounds_it_is_the_same_stress():
    inch, pound = 25.4, 4.4482216
    breadth = (15.0 + 1.96 * 8.0 * (2.2 / 0.15) ** 0.25) / inch
    psi = 6 * (40 / pound) * (8 / inch) / (breadth * (5 / inch) ** 2)
    (press,) = [d for k, d in readings(of_wood("mdf")).items() if k == "rail 1/press"]
    assert press.rating.measured == pytest.approx(psi * pound / inch**2, rel=0.01)


def test_a_ring_of_solid_wood_is_weakest_where_the_grain_runs_across_it():
    cabinet = of_wood("hard-maple")
    ring, ctx = rail(cabinet, "1"), Context(cabinet)
    worst = strength._pressed(ctx, ring).slice
    assert ring.along[worst] == pytest.approx(ring.along.min(), rel=0.05)
    stress = strength._pressed(ctx, ring).stress
    straight = replace_along(ring, float(ring.along.max()))
    assert strength._pressed(ctx, straight).stress < stress / 1.2


def replace_along(ring, stiffness):
    return ring._replace(along=np.full_like(ring.along, stiffness))


@pytest.mark.parametrize("target", ["2", "3"])
def test_the_end_of_a_horseshoe_bears_less_than_its_middle(target):
    shoe, ctx = rail(built(), target), Context(built())
    worst = strength._pressed(ctx, shoe).slice
    assert shoe.cut.on[worst].min() < 4.0


def test_weak_woods_want_wider_rails():
    # tension across the grain, Wood Handbook Table 5-3a: eastern white pine 2.1, beech 7.0 MPa
    margins = {
        wood: min(d.rating.margin / d.rating.needed for d in readings(of_wood(wood)).values())
        for wood in ("beech", "pine", "mdf")
    }
    assert margins["beech"] > margins["pine"] > margins["mdf"]
    assert run(of_wood("mdf"), ["rails"])[0].status == "conflict"
    assert run(of_wood("beech"), ["rails"])[0].status == "clear"


def test_a_heavier_and_a_faster_ball_knock_harder():
    plain = readings(built())["rail 3/knock"].rating.measured
    steel = replace(built(), balls=replace(built().balls, density=7830.0, material="steel"))
    assert readings(steel)["rail 3/knock"].rating.measured > 1.5 * plain
    slow = readings(loaded(built(), rail_speed=0.45))["rail 3/knock"].rating.measured
    # a spring's force goes with the speed; the contact softens it a little
    assert 0.45 * plain < slow < 0.55 * plain


def test_the_ball_is_as_fast_as_rolling_down_the_face_makes_it():
    ring, ctx = rail(built(), "3"), Context(built())
    low = int(ring.cut.ends[:, :, 1].mean(axis=1).argmin())
    height = (208.0 - ring.cut.ends[low, :, 1].mean()) * math.sin(math.radians(34.0)) / 1000
    assert strength._speed(ctx, ring)[low] == pytest.approx(
        0.9 * math.sqrt(10 / 7 * 9.80665 * height), rel=0.01
    )


def test_a_load_of_ones_own_is_used():
    hard = loaded(built(), thumb_press=100.0)
    assert readings(hard)["rail 2/press"].rating.status == "conflict"
    assert "100 N" in readings(hard)["rail 2/press"].tell().because


def test_the_width_a_remedy_names_ends_the_conflict():
    design = changed(board__rail_width=3.0)
    wrong = [
        f for f in run(build(design), ["rails"], value_of=lambda a: get(design, a)) if f.status == "conflict"
    ]
    named = [r.value for f in wrong for r in f.remedies if r.address == "board.rail_width"]
    assert None not in named
    mended = build(put(design, "board.rail_width", max(named)))
    assert run(mended, ["rails"])[0].status == "clear"


def test_the_strength_told_is_that_of_the_wood_with_its_source():
    (finding,) = run(of_wood("beech"), ["rails"])
    assert "ISO 13910" in finding.source.text
    assert finding.source.flag == "derived"
    assert "across the grain" in finding.because
    assert "small clear specimens" in finding.because
    (sheet,) = run(built(), ["rails"])
    assert "through the sheet" in sheet.because
    assert "clear specimens" not in sheet.because


def test_the_mirror_image_reads_the_same():
    right = readings(build(put_choice(changed(), "return.side", "right")))
    left = readings(built())
    assert sorted(round(d.rating.measured, 1) for d in left.values()) == sorted(
        round(d.rating.measured, 1) for d in right.values()
    )


def test_a_board_without_rails_has_nothing_to_break():
    plain = built()
    face = plain.leg_by_id["face"]
    bare = replace(face, solids=tuple(s for s in face.solids if s.part != "board"))
    legs = tuple(bare if leg.id == "face" else leg for leg in plain.legs)
    (finding,) = run(replace(plain, legs=legs), ["rails"])
    assert finding.status == "clear"
    assert finding.because == "No rail stands on the board."


def test_a_cabinet_without_a_board_cannot_be_judged():
    with pytest.raises(CannotEvaluate):
        list(strength.rails_of(Context(replace(built(), legs=()))))

"""Movement over the year: Wood Handbook worked figures, directions of the grain, and clearances that close."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.checks import moving, season
from desk.checks.context import Context
from desk.checks.run import run
from desk.design.edit import get, put, put_choice, put_readings
from desk.shop.materials import materials
from desk.shop.tables import Own, Tables
from tests.checks.helpers import built, cabinet, changed, plate


def of_wood(material, *parts, region="most"):
    """The starting cabinet with the stock of some parts of another wood, in a region."""
    whole = built()
    ids = {whole.by_id[p].stock for p in parts}
    stocks = tuple(replace(s, material=material) if s.id in ids else s for s in whole.shop.stocks)
    return replace(whole, shop=replace(whole.shop, stocks=stocks), region=region)


def readings(of):
    return {d.key: d for d in season.season(Context(of))}


def of_region(low, average, high):
    values = (("dry", low), ("average", average), ("damp", high))
    return Tables((Own("regions", "most", values=values),))


def test_a_worked_example_of_the_wood_handbook():
    # chapter 13: white fir flooring 232 mm wide, C_T 0.00245, from 8 to 11 %: 1.7 mm (9.15 in and 0.067 in)
    fir = Own("materials", "fir", "White fir", "pine", (("move_flat", 0.00245),))
    whole = replace(built(), tables=Tables((fir, *of_region(6.0, 8.0, 11.0).own)))
    ctx = Context(whole)
    damp = moving.year(ctx, materials(whole.tables)["fir"], 1.0).damp
    assert damp * 232.0 == pytest.approx(1.7, abs=0.01)
    assert damp * 9.15 == pytest.approx(0.067, abs=0.0005)


def test_beyond_14_percent_the_shrinkage_takes_over():
    # eq. 13-3 with sugar maple's 9.9 % tangential, 300 mm from 6 to 18 %: 12.90 mm worked by hand
    whole = replace(built(), tables=of_region(5.0, 6.0, 18.0))
    damp = moving.year(Context(whole), materials()["hard-maple"], 1.0).damp
    assert damp * 300.0 == pytest.approx(300 * 12 / (3000 / 9.9 - 30 + 6), rel=1e-6)
    assert damp * 300.0 == pytest.approx(12.90, abs=0.01)


@pytest.mark.parametrize("angle", [0.0, 30.0, 60.0, 90.0])
def test_solid_wood_moves_by_the_share_across_its_grain(angle):
    board = plate("board", 12.0, stock="oak")
    ctx = Context(cabinet([board]))
    way = (math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    across = math.sin(math.radians(angle)) ** 2
    # the plate's grain runs along x; white oak 0.00365 a percent, Wood Handbook Table 13-5, 2 % from 8 to 10
    assert moving.in_plane(ctx, board, way).damp == pytest.approx(2 * 0.00365 * across, abs=1e-12)
    assert moving.through(ctx, board).damp == pytest.approx(2 * 0.0018)


def test_sheets_move_alike_in_their_plane_and_more_in_thickness():
    ply = plate("ply", 12.0)
    ctx = Context(cabinet([ply]))
    assert moving.in_plane(ctx, ply, (1.0, 0.0)) == moving.in_plane(ctx, ply, (0.0, 1.0))
    assert moving.through(ctx, ply).damp > 5 * moving.in_plane(ctx, ply, (1.0, 0.0)).damp


def test_a_stack_of_ribs_swells_out_of_its_lane():
    rating = readings(built())["rod-kicker-1/damp"].rating
    spare = 143.2 - 8 * 17.85
    # 0.3 % and in the plane 0.015 % a percent, two percent from average to damp
    swelling = 8 * 17.85 * 0.003 * 2 - 143.2 * 0.00015 * 2
    assert rating.measured == pytest.approx(spare - swelling, abs=0.001)
    # squeezed beyond 4 MPa of 600 MPa it is crushed
    assert rating.needed == pytest.approx(-8 * 17.85 * 4.0 / 600.0)
    assert rating.status == "clear"
    assert readings(built(lane__width=142.4))["rod-kicker-1/damp"].rating.status == "conflict"


def test_the_same_stack_shrinks_away_from_the_walls():
    dry = readings(built())["rod-kicker-1/dry"].rating
    spare = 143.2 - 8 * 17.85
    assert dry.measured == pytest.approx(spare + 8 * 17.85 * 0.006 - 143.2 * 0.0003, abs=0.001)
    assert readings(built(lane__width=145.0))["rod-kicker-1/dry"].rating.status == "conflict"


def test_a_damper_year_is_worse():
    order = [
        readings(of_wood("birch-plywood", region=r))["rod-kicker-1/damp"].rating.margin
        for r in ("most", "heated-winter")
    ]
    assert order[1] < order[0]


def test_the_channel_is_narrowest_when_dry_and_widest_when_damp():
    leg = built().leg_by_id["channel"]
    found = readings(built())
    shrunk = 17.85 * 0.003 * 2
    assert found["channel/dry"].rating.measured == pytest.approx(leg.depth - shrunk - 16.4)
    abreast = found["channel/damp"].rating.measured
    assert abreast == pytest.approx(2 * 15.6 / (1 + 0.4**2) - leg.depth - shrunk)


def test_tabs_of_solid_wood_outgrow_their_mortises():
    beech = readings(of_wood("beech", "board"))
    # 40 mm of tab up the slope, across the board's grain, beech 0.00431: 0.345 mm in 0.25 mm of play
    length = beech["tab-board-1-wall/length"].rating
    assert length.measured == pytest.approx(0.25 - 40 * (0.00431 - 0.00015) * 2, abs=1e-4)
    assert length.status == "conflict"
    assert readings(built())["tab-board-1-wall/length"].rating.status == "clear"


def test_larger_mortises_as_the_remedy_says_end_the_conflict():
    design = changed(joint__mortise_fit=-0.02)
    wrong = [
        f for f in run(build(design), ["season"], value_of=lambda a: get(design, a)) if f.status == "conflict"
    ]
    named = [r.value for f in wrong for r in f.remedies if r.address == "joint.mortise_fit"]
    assert named
    assert None not in named
    mended = build(put(design, "joint.mortise_fit", max(named)))
    assert not [f for f in run(mended, ["season"]) if f.status == "conflict"]


def test_wood_glued_across_its_grain_is_pulled_when_it_dries():
    far = replace(of_wood("beech", "board"), tables=of_region(2.0, 12.0, 13.0))
    found = readings(far)["board/pulled"].rating
    # (12 - 2) x about 0.43 % and plywood that stays: more than 7 MPa / 830 MPa twice over
    assert found.status == "conflict"
    assert found.measured > 0.03
    assert found.needed == pytest.approx(2 * 7.0 / 830.0, rel=1e-6)
    assert "board/pulled" not in readings(built())


def test_a_lifter_of_solid_wood_grows_into_its_room():
    ply, oak = (readings(of)["lifter"].rating for of in (built(), of_wood("red-oak", "lifter")))
    assert oak.measured < ply.measured
    # its pad lies some 27 mm above the pin, across the grain: 27 x 0.00369 x 2
    assert ply.measured - oak.measured == pytest.approx(27.4 * 0.00738 - 54.8 * 0.0003, abs=0.02)


def test_a_header_without_room_at_its_sides_pushes_the_walls():
    assert readings(built(joint__side_gap=0.0))["header"].rating.status == "conflict"
    assert readings(built())["header"].rating.status == "clear"


def test_the_region_is_told_and_can_be_changed():
    told = readings(built())["rod-kicker-1/damp"].tell()
    assert "8 to 10 % moisture (Most of the USA)" in told.because
    assert "overall.region" in [r.address for r in told.remedies]


def test_a_region_the_tables_do_not_have_cannot_be_judged():
    (found,) = run(replace(built(), region="the moon"), ["season"])
    assert found.status == "conflict"
    assert "no region 'the moon'" in found.because


def test_the_mirror_image_reads_the_same():
    right = build(put_choice(changed(), "return.side", "right"))
    left = {k: d.rating.measured for k, d in readings(built()).items()}
    assert {k: d.rating.measured for k, d in readings(right).items()} == pytest.approx(left, abs=1e-3)


def test_the_spread_of_the_readings_counts_at_both_ends():
    """Eight ribs, each of them 0.05 mm thicker, or thinner, than the mean of 17.85."""
    design = changed()
    place = next(n for n, stock in enumerate(design.stocks, 1) if stock.id == "s18")
    read = put_readings(design, f"stocks.{place}.measured", [17.80, 17.85, 17.90])
    plain, spread = readings(built()), readings(build(read))
    for end, sign in (("damp", -1), ("dry", 1)):
        before, after = (r[f"rod-kicker-1/{end}"].rating.measured for r in (plain, spread))
        assert after - before == pytest.approx(sign * 8 * 0.05, abs=1e-6)


def test_walls_bow_so_far_before_the_wood_of_a_wide_stack_is_crushed():
    """Crushed at 4 MPa / 600 MPa of its width, which beyond 180 mm is more than the 1.2 mm that walls may bow."""
    wide = readings(built(lane__width=250.0, kicker__ribs=14.0))["rod-kicker-1/damp"].rating
    assert wide.needed == pytest.approx(-1.2)
    narrow = readings(built())["rod-kicker-1/damp"].rating
    assert narrow.needed > -1.2


def test_a_tab_is_loosest_when_it_has_dried():
    """Plywood 0.3 % and in its plane 0.015 % a percent, two percent drier: 17.85 mm of board in 0.25 mm of play."""
    dry = readings(built())["tab-board-1-wall/dry"].rating
    assert dry.measured == pytest.approx(0.25 + 17.85 * (0.003 - 0.00015) * 2, abs=1e-3)
    assert dry.needed == 0.6
    assert readings(built(joint__mortise_fit=0.55))["tab-board-1-wall/dry"].rating.status == "conflict"


def test_every_part_across_the_lane_keeps_off_the_walls_the_year_round():
    """A deck of beech with its grain fore and aft: 0.431 % a percent of 142.8 mm, two percent up, less the walls."""
    found = readings(of_wood("beech", "deck"))
    swells = 142.8 * (0.00431 - 0.00015) * 2
    assert found["deck"].rating.measured == pytest.approx(0.4 - 0.3 - swells, abs=2e-3)
    assert found["deck"].rating.status == "conflict"
    assert readings(built())["deck"].rating.status == "clear"
    loose = readings(built(joint__side_gap=1.7))["deck/dry"].rating
    assert (loose.status, loose.needed) == ("conflict", 3.0)


def test_the_lifter_keeps_room_across_the_channel():
    """Channel of 17.85 less film, lifter 11.80 less film; both move 0.6 % in thickness."""
    rating = readings(built())["lifter/beside"].rating
    assert rating.measured == pytest.approx(17.85 - 0.15 - 11.80 - 0.15 - (17.85 - 11.80) * 0.006, abs=1e-3)
    thick = build(put_choice(changed(), "stock.lifter", "s18"))
    assert readings(thick)["lifter/beside"].rating.status == "conflict"


def test_a_pin_swells_in_the_hole_that_turns_on_it():
    """Beech 0.431 % a percent, 6 mm, two percent: 0.052 mm of 0.5 play; a hole in solid wood closes when it dries."""
    found = {k: r for k, r in readings(built()).items() if k.startswith("pin-lifter")}
    (rating,) = (d.rating for d in found.values())
    play = built().by_id["lifter"]
    hole = next(d.diameter for d in play.drills if d.use == "pin")
    assert rating.measured == pytest.approx(hole - 6.0 - 6.0 * 0.00431 * 2, abs=1e-4)
    (tight,) = (d.rating for k, d in readings(built(lifter__play=0.12)).items() if k.startswith("pin-lifter"))
    assert tight.status == "conflict"

"""How a cabinet stands, against statics and textbook exercises."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.model import AxisJoint, Balls, Member
from desk.checks import standing
from desk.checks.run import run
from desk.shapes.loop import rect
from desk.shop.tables import Own, Tables
from tests.checks.helpers import built, cabinet, findings, plate


def test_a_plank_over_the_edge_tips_where_the_moments_are_equal():
    # a plank of 200 N whose middle lies 1 m inside an edge: 100 N at 2 m outside lift it (moments about the edge)
    assert standing.tipping_force(200.0, 1000.0, 2000.0) == pytest.approx(100.0)


def test_a_body_slides_until_friction_has_taken_its_energy():
    # 10 N s on 5 kg: 2 m/s, mu 0.4: v² / (2 mu g) = 0.5099 m
    assert standing.slid(10.0, 5.0, 0.4) == pytest.approx(509.9, abs=0.1)


def test_a_post_tips_at_the_speed_that_lifts_its_middle_over_the_edge():
    # a point mass R from the edge needs v = sqrt(2 g (R - z)); a push there at its own height gives v = J h / (M R)
    reach, rise, mass = 500.0, 400.0, 2.0
    run_out = (reach**2 - rise**2) ** 0.5
    speed = (2 * 9.80665 * (reach - rise) / 1000) ** 0.5
    impulse = speed * mass * (reach / 1000) / (rise / 1000)
    assert standing.tip_share(impulse, rise, mass, run_out, rise) == pytest.approx(1.0)


def upright_pair(**more):
    """Two plates on edge, 100 mm long and 60 high, 100 mm apart; a rod of 80 mm through the first at its front."""
    rod = AxisJoint(
        "rod-handle",
        "rod",
        (Member("front", 6.1, None, "dowel"),),
        (-30.0, -40.0, 20.0),
        (0.0, 1.0, 0.0),
        6.0,
        80.0,
    )
    plates = [
        plate("front", 12.0, rect(-35.0, 0.0, 100.0, 60.0)),
        plate("back", 112.0, rect(0.0, 0.0, 100.0, 60.0)),
    ]
    return cabinet(plates, [rod], **more)


def test_what_stands_is_the_outline_of_the_lowest_parts():
    base, table = standing.feet(built().parts)
    assert table == 0.0
    x0, y0, x1, y1 = base.bounds
    assert (x0, y0) == (0.0, 0.0)
    assert x1 == pytest.approx(built().marks.points["back"][0])
    assert y1 == pytest.approx(built().marks.points["right"][1])


def test_a_rod_that_is_pressed_outside_the_feet_is_weighed_against_the_cabinet():
    light = replace(
        upright_pair(), tables=Tables((Own("loads", "handle_press", values=(("value", 500.0),)),))
    )
    (press,) = [f for f in run(light, ["stands"]) if f.title.startswith("Press")]
    assert press.status == "conflict"
    # moments about the outside of the front plate, 28 mm from the rod's end; both plates of 12 mm birch plywood
    one, two = 135 * 60 * 12 * 680e-9, 100 * 60 * 12 * 680e-9
    rod = 9 * 3.14159265 * 80 * 717e-9
    inside = (one * 6 + two * 106 + rod * 0) / (one + two + rod)
    assert press.measured == pytest.approx((one + two + rod) * 9.80665 * inside / 40.0, rel=0.01)
    assert press.parts == ("front",)


def test_heavy_balls_push_a_light_cabinet():
    light = replace(upright_pair(), balls=Balls(60.0, 0.0, 1, "steel", 7830.0))
    wrong = {f.title for f in findings(light, "stands") if f.status == "conflict"}
    assert {"Cabinet pushed by a throw", "Cabinet tipped by a throw"} <= wrong


def test_weight_names_the_heaviest_parts_and_tells_the_sum():
    (found,) = run(built(), ["weight"])
    assert found.status == "clear"
    assert found.unit == "kg"
    assert "Outer panel" in found.because
    assert 5.0 < found.measured < 7.0


def test_a_cabinet_without_parts_cannot_be_weighed():
    for check in ("weight", "stands"):
        (found,) = findings(cabinet([]), check)
        assert found.status == "conflict"
        assert "cannot be checked" in found.title

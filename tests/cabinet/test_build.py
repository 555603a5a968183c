"""Building: whole, pure, and never at a loss for a cabinet, whatever numbers the document takes."""

from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings

from desk.ball.rests import survey
from desk.cabinet.build import ROLES, build
from desk.cabinet.model import Cabinet
from desk.design import edit
from desk.design.starting import starting_design
from desk.evaluate import evaluate

from .designs import FIXED, cabinet, fixed, possible, usual

WANTED = {
    "panel-return", "panel-far", "inner-wall", "lip-block-1", "spacer-lower-1", "spacer-upper-1", "lifter", "rib-1",
    "base", "deck", "front-stop", "gutter-floor", "cleat-lower", "cleat-upper", "board", "header", "back-cover",
    "catch-ramp-1",
}  # fmt: skip
LEGS = ["lane", "flight", "face", "under", "catch", "channel", "lift"]


def numbers_of(cab: Cabinet) -> np.ndarray:
    """Every coordinate of every part and leg."""
    found = [np.ravel(p.outline.coords) for p in cab.parts]
    found += [np.ravel(p.frame.world(0.0, 0.0)) for p in cab.parts]
    found += [np.ravel(d.at) for p in cab.parts for d in p.drills]
    found += [np.ravel(k.loop.coords) for p in cab.parts for k in p.pockets]
    found += [shapely.get_coordinates(s.shape).ravel() for leg in cab.legs for s in leg.solids]
    return np.concatenate(found)


@pytest.mark.parametrize("name", FIXED)
def test_a_cabinet_is_whole(name):
    cab = cabinet(name)
    ids = [p.id for p in cab.parts]
    assert set(ids) >= WANTED
    assert len(ids) == len(set(ids))
    assert [leg.id for leg in cab.legs] == LEGS
    assert set(cab.planes) == {"lane", "channel", "plan", "face", "rear"}
    stocks = {s.id: s for s in cab.shop.stocks}
    for part in cab.parts:
        assert part.thickness == stocks[part.stock].measured
        assert part.outline.simple, part.id
        assert all(c.loop.simple and part.outline.polygon.covers(c.loop.polygon) for c in part.cutouts), (
            part.id
        )
        assert all(p.loop.simple and 0 < p.depth < part.thickness for p in part.pockets), part.id
        assert all(i.simple for p in part.pockets for i in p.islands), part.id
        assert math.hypot(*part.grain) == pytest.approx(1.0)


@pytest.mark.parametrize("name", [name for name in FIXED if name != "12.7 mm"])
def test_every_source_leaves_its_leg(name):
    """Largest and smallest ball. Sheets do not shrink with the ball: made for 12.7 mm the board blocks its own gap."""
    cab = cabinet(name)
    for leg in cab.legs:
        for diameter in (cab.balls.largest, cab.balls.smallest):
            assert survey(leg, diameter, 0.01).blocked == (), (leg.id, diameter)


@pytest.mark.parametrize("role", ROLES)
def test_each_role_is_cut_from_its_own_stock(role):
    """With one stock given another thickness under a new name, just the parts of the role change theirs."""
    design = starting_design()
    other = msgspec.structs.replace(design.stocks[0], id="x", label="X", measured=7.3)
    design = msgspec.structs.replace(design, stocks=(*design.stocks, other))
    cab = build(edit.put_choice(design, f"stock.{role}", "x"))
    changed = {p.id for p in cab.parts if p.stock == "x"}
    assert changed
    assert {p.id for p in cab.parts if p.thickness == 7.3} == changed


def test_building_is_a_function_of_the_design_alone():
    """A, then B, then A again: the same A, though unchanged parts are kept from step to step."""
    a, b = fixed("left"), fixed("25 mm right")
    first = build(a)
    before = numbers_of(first)
    build(b)
    again = build(a)
    assert numbers_of(again) == pytest.approx(before, abs=0.0)
    assert again.parts == first.parts
    assert again.axis_joints == first.axis_joints
    assert again.marks == first.marks


def test_unchanged_parts_stay_the_same_object():
    design = fixed("left")
    first = build(design)
    second = build(edit.put(design, "header.height", design.value("header.height") + 1.0))
    same = {p.id for p in second.parts if p is first.by_id[p.id]}
    assert {"deck", "rib-1", "lifter", "base"} <= same
    assert "header" not in same


@settings(derandomize=True, deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(usual())
def test_usual_designs_give_finite_cabinets(design):
    assert np.isfinite(numbers_of(build(design))).all()


@settings(derandomize=True, deadline=None, max_examples=36, suppress_health_check=[HealthCheck.too_slow])
@given(possible())
def test_no_design_breaks_the_evaluation_or_a_drawing(design):
    """Hard ranges, any stock and bit for any use: findings and pictures, never an error."""
    found = evaluate(design)
    assert np.isfinite(numbers_of(found.cabinet)).all()
    assert found.findings
    assert all(found.drawings[view].items for view in found.drawings)


@pytest.mark.parametrize(
    ("address", "value"),
    [
        ("stocks.1.measured", 53.9),  # base and deck thicker than the deck is high
        ("board.foot_rise", -91.7),  # board foot below the gutter
        ("lane.deck_height", 20.0),
        ("lifter.pin_z", 100.0),
        ("lifter.pin_x", 200.0),
        ("return.mouth", 300.0),
        ("behind.inlet_width", 150.0),
        ("behind.catch_slope", -5.0),
        ("kicker.exit", 5.0),
        ("board.rail_width", 30.0),
        ("silhouette.3.z", 0.0),
        ("silhouette.5.x", 2500.0),
        ("joint.mortise", 40.0),
        ("joint.mortise_fit", -1.0),
        ("bits.1.diameter", 60.0),
        ("return.layers", 8.0),
        ("kicker.ribs", 60.0),
    ],
)
def test_known_extremes_are_built_and_judged(address, value):
    assert evaluate(edit.put(starting_design(), address, value)).findings


def test_a_bit_that_is_no_vee_may_be_chosen_for_lettering():
    assert evaluate(edit.put_choice(starting_design(), "bit.vee", "d6")).findings

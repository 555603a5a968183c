"""Legs of the ball's way: cut from the finished parts, and true to the places the parts have in space."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from msgspec.structs import replace
from shapely import affinity

from desk.ball.rests import survey
from desk.cabinet.build import build
from desk.design import edit

from .designs import FIXED, cabinet, fixed, usual
from .space import cut


@pytest.mark.parametrize("name", FIXED)
def test_solids_stand_where_their_parts_are(name):
    """Points inside a solid, put into space by the leg's frame, lie in the part's wood or its film."""
    cab = cabinet(name)
    random = np.random.default_rng(11)
    for leg in cab.legs:
        if leg.id == "face":
            continue  # the face leg lies in the carved floor, where walls stand for infinite ones
        for solid in leg.solids:
            if leg.id == "lift" and solid.part == "lifter":
                continue  # turned about its pin
            x0, y0, x1, y1 = solid.shape.bounds
            flat = np.column_stack((x0 + random.random(400) * (x1 - x0), y0 + random.random(400) * (y1 - y0)))
            inside = flat[
                shapely.contains_xy(solid.shape.buffer(-cab.shop.film - 0.03), flat[:, 0], flat[:, 1])
            ]
            world = np.array([leg.frame.world(x, y) for x, y in inside]).reshape(-1, 3)
            part = cab.by_id[solid.part]
            if leg.id == "catch":
                part = replace(part, pockets=())  # filled by the tabs that are glued in them
            if leg.id in ("channel", "lift") or (leg.id == "lane" and solid.part.startswith("rib")):
                middle = np.mean([b[1] for b in cut(part, cab.shop).box()])
                world[:, 1] = middle
            assert cut(part, cab.shop).holds(world, -0.05).all(), (leg.id, solid.part)


@pytest.mark.parametrize("name", FIXED)
def test_rails_stand_where_the_board_was_not_carved(name):
    cab = cabinet(name)
    leg, board = cab.leg_by_id["face"], cab.by_id["board"]
    block = cut(board, cab.shop)
    rails = [s for s in leg.solids if s.part == "board"]
    assert len(rails) >= sum(t.kind != "plain" for t in cab.targets)
    for rail in rails:
        spot = rail.shape.buffer(-0.5).representative_point()
        above = np.array([leg.frame.world(spot.x, spot.y, -1.0)])
        assert block.holds(above).all()
    middles = [(t.at[0], t.at[1] - t.hole / 2 - 0.4) for t in cab.targets]
    for x, y in middles:
        assert not block.holds(np.array([leg.frame.world(x, y, -1.0)])).any()


@pytest.mark.parametrize("name", FIXED)
def test_pull_and_planes(name):
    cab = cabinet(name)
    for leg in cab.legs:
        assert math.hypot(*leg.pull) == pytest.approx(1.0)
        down = tuple(np.subtract(leg.frame.world(*leg.pull), leg.frame.world(0.0, 0.0)))
        if leg.id == "face":
            assert leg.pull_share == pytest.approx(math.sin(math.radians(fixed(name).value("board.tilt"))))
            assert -down[2] == pytest.approx(leg.pull_share)
        else:
            assert down == pytest.approx((0.0, 0.0, -1.0))
            assert leg.pull_share == 1.0


@pytest.mark.parametrize("name", FIXED)
def test_depths_are_the_space_between_walls_less_film(name):
    cab, d = cabinet(name), fixed(name)
    film = 2 * cab.shop.film
    channel = cab.marks.lengths["channel width"]
    assert channel == pytest.approx(sum(p.thickness for p in cab.parts if p.id.startswith("spacer-lower")))
    assert cab.leg_by_id["channel"].depth == pytest.approx(channel - film)
    assert cab.leg_by_id["lane"].depth == pytest.approx(d.value("lane.width") - film)


@pytest.mark.parametrize("name", FIXED)
def test_the_ball_waits_at_the_lip_touching_floor_and_lip(name):
    """The meant rest of the channel: a radius from the lip's top corner or face and a radius over the floor or pad."""
    cab = cabinet(name)
    leg = cab.leg_by_id["channel"]
    rests = [r for r in survey(leg, cab.balls.diameter, 0.01).rests if r.meant == "waiting place"]
    assert len(rests) == 1
    spot = shapely.Point(rests[0].at)
    touched = {s.part for s in leg.solids if s.shape.distance(spot) < cab.balls.diameter / 2 + 0.03}
    assert any(k.startswith("lip-block") for k in touched)
    assert touched & {"lifter", "spacer-lower-1"}
    assert 0.5 < rests[0].escape < cab.balls.diameter


@settings(derandomize=True, deadline=None, max_examples=20)
@given(usual())
def test_figures_are_sound_for_usual_designs(design):
    for leg in build(design).legs:
        assert leg.room.is_valid, leg.id
        assert all(s.shape.is_valid for s in leg.solids), leg.id
        assert all(z.shape.is_valid for z in (*leg.sources, *leg.sinks, *leg.rests)), leg.id


@pytest.mark.parametrize(
    ("address", "value", "leg"),
    [
        ("behind.inlet_width", 15.0, "catch"),
        ("behind.inlet_height", 15.0, "catch"),
        ("return.headroom", -2.0, "channel"),
    ],
)
def test_an_opening_below_the_ball_shuts_its_leg_or_squeezes_it(address, value, leg):
    """A 16.4 mm ball: a block, or a depth below it where the opening lies across the plane."""
    cab = build(edit.put(fixed("left"), address, value))
    figure = cab.leg_by_id[leg]
    found = survey(figure, cab.balls.largest, 0.01)
    held = [r for r in found.rests if not r.meant]
    assert found.blocked or held or (figure.depth is not None and figure.depth < cab.balls.largest)


@pytest.mark.parametrize("name", FIXED)
def test_the_lifted_lifter_is_the_one_at_rest_turned_about_its_pin(name):
    cab, d = cabinet(name), fixed(name)
    rest, lifted = (
        next(s.shape for s in cab.leg_by_id[leg].solids if s.part == "lifter") for leg in ("channel", "lift")
    )
    pin = (d.value("lifter.pin_x"), d.value("lifter.pin_z"))
    turned = affinity.rotate(rest, d.value("lifter.travel"), origin=pin)
    assert turned.symmetric_difference(lifted).area < 0.05 * lifted.length
    assert lifted.bounds[3] > rest.bounds[3]

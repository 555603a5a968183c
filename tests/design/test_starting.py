"""Starting points. Expected sizes are worked from the ratio of the balls and the measured thicknesses."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.design import edit, rules, table
from desk.design.starting import (
    CHANNEL_ROOM,
    GROW_ONLY,
    RAMP_PLAY,
    STACK_PLAY,
    grid,
    proportioned,
    starting_design,
)

FITTED = {
    "lane.width",
    "kicker.ribs",
    "return.layers",
    "behind.ramp_layers",
    "behind.trough",
    "board.rail_height",
    "board.rail_width",
    "joint.dowel_length",
    "joint.screw_return",
    "joint.screw_ramp",
    "joint.screw_cover",
    "joint.screw_header",
    "people.slow",
    "people.fast",
}


def test_the_starting_design_keeps_every_rule_and_is_usual():
    design = starting_design()
    assert rules.problems(design) == ()
    assert design.value("ball.diameter") == 16.0
    for address in edit.addresses(design):
        low, high = table.spec(address).soft
        assert low <= edit.get(design, address) <= high, address


def test_its_silhouette_runs_from_front_to_back():
    design = starting_design()
    front = [p.x for p in design.silhouette if p.origin == "front"]
    back = [p.x for p in design.silhouette if p.origin == "back"]
    assert front == sorted(front)
    assert back == sorted(back, reverse=True)
    assert [p.origin for p in design.silhouette] == ["front"] * len(front) + ["back"] * len(back)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(5.0, 60.0), st.integers(1, 40), st.sampled_from(["mm", "in"]))
def test_any_ball_gives_a_design_that_keeps_every_rule(ball, balls, unit):
    design = edit.set_unit(starting_design(), unit)
    made = proportioned(design, ball, balls)
    assert rules.problems(made) == ()
    assert made.value("ball.diameter") == pytest.approx(ball, abs=1e-6)
    assert made.value("ball.count") == balls
    assert made.stocks == design.stocks
    ratio = ball / design.value("ball.diameter")
    for address in edit.addresses(design):
        spec = table.spec(address)
        before, after = edit.get(design, address), edit.get(made, address)
        if address in FITTED or address in ("ball.diameter", "ball.count"):
            continue
        if not spec.scales or (ratio < 1 and address.startswith(GROW_ONLY)):
            assert after == before, address
        else:
            wanted = min(max(before * ratio, spec.hard[0]), spec.hard[1])
            assert abs(after - wanted) <= grid(spec, unit) / 2 + 1e-6, address


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(8.0, 40.0))
def test_throws_get_faster_by_the_root_of_the_size(ball):
    """Froude: v² / (g l) stays, so that balls fly and climb alike on a board as much larger."""
    made, before = proportioned(starting_design(), ball), starting_design()
    for address in ("people.slow", "people.fast"):
        wanted = before.value(address) * (ball / before.value("ball.diameter")) ** 0.5
        assert abs(made.value(address) - wanted) <= table.spec(address).step / 2 + 1e-9


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(5.0, 60.0))
def test_stacks_are_whole_sheets(ball):
    made = proportioned(starting_design(), ball)
    rib = made.stock(made.choice("stock.ribs")).measured
    assert made.value("lane.width") == pytest.approx(made.value("kicker.ribs") * rib + STACK_PLAY, abs=1e-6)
    spacer = made.stock(made.choice("stock.spacer")).measured
    layers = made.value("return.layers")
    need = made.value("ball.diameter") * (1 + CHANNEL_ROOM) + made.value("ball.spread")
    assert layers * spacer >= need - 1e-6
    assert (layers - 1) * spacer < need
    ramp = made.value("behind.ramp_layers") * made.stock(made.choice("stock.ramp")).measured
    thinnest = min(s.measured for s in made.stocks)
    room = min(made.value("behind.trough"), made.value("behind.inlet_width"))
    assert ramp <= room - RAMP_PLAY + 1e-6 or ramp == thinnest
    board = made.stock(made.choice("stock.board")).measured
    assert made.value("board.floor") + made.value("board.rail_height") <= board + 1e-9


@pytest.mark.parametrize(
    ("ball", "ribs", "stack", "spacer", "layers"),
    [
        (16.0, 8, 142.8, "s18", 1),
        # 142.8 x 12.7 / 16 = 113.35, 6.35 ribs of 17.85 mm: 7 make a lane no narrower
        (12.7, 7, 124.95, "s18", 1),
        # 142.8 x 25 / 16 = 223.1, 12.5 ribs
        (25.0, 13, 232.05, "s18", 2),
        # 5 mm balls pass a single 9 mm sheet
        (5.0, 3, 53.55, "s9", 1),
    ],
)
def test_known_proportions(ball, ribs, stack, spacer, layers):
    values = {"lane.width": 142.8, "ball.diameter": 16.0, "ball.spread": 0.4}
    start = starting_design()
    for address, value in values.items():
        start = edit.put(start, address, value)
    made = proportioned(start, ball)
    assert made.value("kicker.ribs") == ribs
    assert made.value("lane.width") == pytest.approx(stack + STACK_PLAY)
    assert (made.choice("stock.spacer"), made.value("return.layers")) == (spacer, layers)


def test_locked_numbers_and_choices_stay():
    design = starting_design()
    for address in ("lane.length", "targets.1.up", "stock.spacer", "kicker.ribs", "board.rail_height"):
        design = edit.set_locked(design, address)
    made = proportioned(design, 25.0)
    for address in ("lane.length", "targets.1.up", "kicker.ribs", "board.rail_height"):
        assert edit.get(made, address) == edit.get(design, address)
    assert made.choice("stock.spacer") == design.choice("stock.spacer")
    assert made.locked == design.locked


def test_locked_layers_stay():
    design = edit.set_locked(starting_design(), "return.layers")
    assert proportioned(design, 40.0).value("return.layers") == design.value("return.layers")


def test_a_ball_outside_its_range_is_refused():
    for ball in (4.9, 61.0, math.nan, math.inf, 0.0, -16.0):
        with pytest.raises(edit.ValueOutOfRange, match="Ball diameter must"):
            proportioned(starting_design(), ball)
    with pytest.raises(edit.ValueOutOfRange, match="Balls in the box must lie from 1 to 40, not 0"):
        proportioned(starting_design(), 16.0, 0)


def test_a_design_without_rails_or_targets_is_proportioned_too():
    design = msgspec.structs.replace(starting_design(), targets=())
    assert proportioned(design, 20.0).targets == ()


def test_inch_designs_get_fractions():
    made = proportioned(edit.set_unit(starting_design(), "in"), 12.7)
    for address in ("lane.length", "targets.1.hole", "board.gap", "kicker.radius"):
        assert "." not in edit.shown(made, address), address


@pytest.mark.parametrize(
    ("address", "unit", "inches"),
    [("overall.length_limit", "in", 1 / 8), ("behind.trough", "in", 1 / 64), ("lane.length", "in", 1 / 64)],
)
def test_the_inch_grid_is_a_binary_fraction_no_coarser_than_the_step(address, unit, inches):
    assert grid(table.spec(address), unit) == pytest.approx(inches * 25.4)
    assert grid(table.spec(address), "mm") == table.spec(address).step

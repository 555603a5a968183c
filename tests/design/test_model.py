"""The design as a value."""

from __future__ import annotations

import msgspec
import pytest

from desk.design import rules, table
from desk.design.model import Design
from desk.design.starting import starting_design


def test_what_is_left_out_comes_from_the_table():
    design = Design(name="Bare", values={"ball.diameter": 14.0}, choices={"return.side": "right"})
    assert design.value("ball.diameter") == 14.0
    assert design.value("lane.width") == table.spec("lane.width").default
    assert set(design.values) == set(table.defaults())
    assert design.choice("return.side") == "right"
    assert design.choice("ball.material") == "glass"
    assert design == Design(name="Bare", values=design.values, choices=design.choices)


def test_unknown_keys_are_not_answered():
    design = starting_design()
    for action in (lambda: design.value("ball.width"), lambda: design.choice("x"), lambda: design.stock("x")):
        with pytest.raises(table.UnknownAddress, match=r"'(ball\.width|x)'"):
            action()


def test_options_come_from_the_table_or_from_the_design():
    design = starting_design()
    assert design.options("return.side") == ("left", "right")
    assert design.options("stock.wall") == tuple(s.id for s in design.stocks)
    assert design.options("bit.profile") == tuple(b.id for b in design.bits)
    assert design.stock("s9").measured == 8.9


def test_a_design_cannot_be_changed_in_place():
    with pytest.raises(AttributeError):
        starting_design().name = "Other"


def test_the_table_is_not_reached_through_a_design():
    design = msgspec.structs.replace(starting_design(), values={})
    design.values["ball.diameter"] = 1.0
    assert table.defaults()["ball.diameter"] == table.spec("ball.diameter").default
    assert rules.problems(starting_design()) == ()

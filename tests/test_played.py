"""A run of many throws stands in for the few that the check of balls' ends makes by itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from desk.design import edit
from desk.design.file import load
from desk.evaluate import evaluate

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"


def test_a_broken_design_is_judged_by_ten_thousand_throws() -> None:
    made = evaluate(load(EXAMPLES / "broken.lane"))
    few = next(f for f in made.findings if f.key == "ends/stops")
    many = next(f for f in made.played().findings if f.key == "ends/stops")
    assert " of 400 throws" in few.because
    assert " of 10000 throws" in many.because
    assert many.ball == few.ball, "the few are the first of the many"
    others = [[f for f in e.findings if f.check != "ends"] for e in (made, made.played())]
    assert others[0] == others[1]


@pytest.mark.parametrize("name", ["marble-16mm", "steel-half-inch", "wood-25mm"])
def test_the_clean_examples_stay_clean_after_a_whole_run(name: str) -> None:
    made = evaluate(load(EXAMPLES / f"{name}.lane")).played()
    assert made.count("conflict") == 0
    assert [f.status for f in made.findings if f.check == "ends"] == ["clear"]


def test_where_no_ball_can_be_thrown_nothing_is_changed() -> None:
    tight = edit.put(load(EXAMPLES / "marble-16mm.lane"), "ball.diameter", 60.0)
    made = evaluate(edit.put(tight, "lane.width", 20.0))
    assert made.played() is made

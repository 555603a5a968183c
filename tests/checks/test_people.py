"""The small-ball gauge of 16 CFR 1500.18(a)(17), 1.75 in, and the small-parts cylinder of 16 CFR 1501.4, 1.25 in."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Landmarks
from desk.checks.needs import shipped_needs
from desk.checks.run import run
from desk.design.edit import get, put
from tests.checks.helpers import built, cabinet, changed, only, plate


def look(ball: float, age: float = 8.0):
    return only(cabinet([plate("a", 12.0)], ball=ball, youngest=age), "small-ball")


def test_the_gauges_are_the_rules_inches():
    """1.75 in = 44.45 mm, 1.25 in = 31.75 mm: where the rule also gives rounded mm, its inches govern."""
    assert shipped_needs()["small_ball"].value == pytest.approx(1.75 * 25.4)
    assert shipped_needs()["small_part"].value == pytest.approx(1.25 * 25.4)


@pytest.mark.parametrize(
    ("ball", "age", "status", "says"),
    [
        (16.0, 8.0, "tight", "a small part and small ball"),
        (40.0, 8.0, "tight", "a small ball"),
        (44.5, 8.0, "clear", "does not pass"),
        (16.0, 2.9, "conflict", "not for children under 3"),
        (16.0, 2.9, "conflict", "Youngest player 2.9 years: banned"),
        (50.0, 2.0, "clear", "does not pass"),
        (25.4, 3.0, "tight", "small part"),
        (16.0, 7.9, "tight", "Youngest player 7.9 years: label needed"),
        (16.0, 30.0, "tight", "Youngest player 30 years"),
        (31.75, 8.0, "tight", "a small part and small ball"),
        (31.76, 8.0, "tight", ": a small ball"),
    ],
)
def test_cautions(ball, age, status, says):
    found = look(ball, age)
    assert found.status == status
    assert says in found.because
    assert found.margin == pytest.approx(ball - 44.45)
    assert found.source.flag == "published"


def test_a_label_is_asked_for_from_three_to_under_eight():
    """16 CFR 1500.19."""
    asked = {age: "label needed" in look(16.0, age).because for age in (2.0, 3.0, 7.99, 8.0, 12.0)}
    assert asked == {2.0: False, 3.0: True, 7.99: True, 8.0: False, 12.0: False}


def test_the_age_comes_from_the_design_and_the_remedy_ends_the_conflict():
    design = changed(people__youngest=2.0)
    (found,) = run(build(design), ["small-ball"], value_of=lambda a: get(design, a))
    assert found.status == "conflict"
    (older,) = [r for r in found.remedies if r.address == "people.youngest"]
    assert older.value == 3.0
    assert only(build(put(design, older.address, older.value)), "small-ball").status == "tight"


@pytest.mark.parametrize("age", [2.0, 8.0])
def test_larger_balls_are_a_direction_and_no_value_to_set(age):
    """The cabinet is drawn round the ball: its diameter alone set to the gauge's makes dozens of conflicts."""
    design = changed(people__youngest=age)
    (found,) = run(build(design), ["small-ball"], value_of=lambda a: get(design, a))
    assert [r.value for r in found.remedies if r.address.startswith("ball.")] == [None, None]


def test_without_an_age_the_check_cannot_be_made():
    found = only(replace(built(), marks=Landmarks()), "small-ball")
    assert (found.status, found.key) == ("conflict", "small-ball/not-evaluated")

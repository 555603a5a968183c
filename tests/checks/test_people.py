"""The small-ball gauge of 16 CFR 1500.18(a)(17), 1.75 in, and the small-parts cylinder of 16 CFR 1501.4, 1.25 in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.checks.needs import shipped_needs
from tests.checks.helpers import cabinet, findings, plate


def look(ball: float, age: float = 8.0):
    needs = dict(shipped_needs())
    needs["youngest_player"] = replace(needs["youngest_player"], value=age)
    (found,) = findings(cabinet([plate("a", 12.0)], ball=ball), "small-ball", needs)
    return found


def test_the_gauges_are_the_rules_inches():
    """1.75 in = 44.45 mm; the rule gives 31.7 mm beside its 1.25 in."""
    assert shipped_needs()["small_ball"].value == pytest.approx(1.75 * 25.4)
    assert shipped_needs()["small_part"].value == pytest.approx(1.25 * 25.4, abs=0.06)


@pytest.mark.parametrize(
    ("ball", "age", "status", "says"),
    [
        (16.0, 8.0, "tight", "a small part and small ball"),
        (40.0, 8.0, "tight", "a small ball"),
        (44.5, 8.0, "clear", "does not pass"),
        (16.0, 2.9, "conflict", "not for children under 3"),
        (50.0, 2.0, "clear", "does not pass"),
        (25.4, 3.0, "tight", "small part"),
    ],
)
def test_cautions(ball, age, status, says):
    found = look(ball, age)
    assert found.status == status
    assert says in found.because
    assert found.margin == pytest.approx(ball - 44.45)
    assert found.source.flag == "published"

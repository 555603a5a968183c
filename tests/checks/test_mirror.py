"""A cabinet with its return on the other side has the same findings; only the face, seen as before, changes sides."""

from __future__ import annotations

import pytest

from desk.cabinet.build import build
from desk.checks.run import run
from desk.design.edit import put_choice
from desk.design.model import Design
from tests.checks.helpers import changed

FACE = {"face-gaps", "face-traps"}
PLAY = "Play"
"""A difference in the last digit grows from bounce to bounce: single throws need not end alike."""


def readings(design: Design) -> list[tuple[object, ...]]:
    found = run(build(design))
    return sorted(
        (f.check, f.status, f.title, *(shown(x) for x in (f.measured, f.needed, f.margin)))
        for f in found
        if f.check not in FACE and f.family != PLAY
    )


def shown(number: float | None) -> str:
    return "" if number is None else f"{round(number, 3) + 0.0:.3f}"


@pytest.mark.parametrize(
    "values",
    [
        {},
        {"joint__dowel_fit": -0.2, "lifter__arm": 9.0, "return__headroom": 0.5},
        {"bits__1__diameter": 10.0, "behind__gutter_drop": 40.0, "behind__catch_slope": -2.0},
        {"joint__screw_return": 37.5, "lane__width": 142.0, "return__slope": 0.4},
        {"behind__inlet_height": 17.2},
        {"behind__inlet_height": 9.0},
    ],
)
def test_findings_of_a_mirrored_cabinet(values):
    left = changed(**values)
    assert readings(left) == readings(put_choice(left, "return.side", "right"))

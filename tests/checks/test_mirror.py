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


def readings(design: Design) -> tuple[list[tuple[str, ...]], list[float]]:
    """Words of the findings, and their numbers in the same order (as many for each, 0 for none)."""
    found = [f for f in run(build(design)) if f.check not in FACE and f.family != PLAY]
    rows = sorted(
        ((f.check, f.status, f.title), *(x or 0.0 for x in (f.measured, f.needed, f.margin))) for f in found
    )
    return [row[0] for row in rows], [x for row in rows for x in row[1:]]


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
    words, numbers = readings(left)
    other_words, other_numbers = readings(put_choice(left, "return.side", "right"))
    assert words == other_words
    assert numbers == pytest.approx(other_numbers, abs=1e-4)

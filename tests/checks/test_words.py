"""What findings say is in words of the trade: no id of a part, a joint or a leg in any title, sum or remedy."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.checks.finding import Finding
from desk.checks.run import run
from tests.checks.helpers import changed
from tests.checks.pairs import PAIRS

NUMBERED = re.compile(r"\b[a-z]+(?:-[a-z]+)*-\d+\b")
"""Such as tab-deck-2: how ids are numbered."""
WILD: tuple[dict[str, float], ...] = (
    {"joint__mortise_fit": 3.0},
    {"silhouette__1__z": 20.0},
    {"silhouette__2__z": 30.0},
    {"header__letter": 200.0},
    {"lane__base_height": 120.0},
    {"behind__gutter_drop": 80.0},
    {"return__floor_height": 200.0},
    {"joint__edge": 80.0},
    {"board__tilt": 5.0},
    {"lane__width": 20.0},
    {"ball__diameter": 60.0},
)
"""The starting design pulled so far that much goes wrong at once."""


def internal(cabinet: Cabinet, found: tuple[Finding, ...]) -> list[str]:
    """Texts that hold an id."""
    things = (*cabinet.parts, *cabinet.axis_joints, *cabinet.tab_joints, *cabinet.legs)
    ids = {one.id for one in things if "-" in one.id or "_" in one.id}
    texts = (t for f in found for t in (f.title, f.because, *(r.text for r in f.remedies)))
    return [t for t in texts if NUMBERED.search(t) or any(key in t for key in ids)]


@pytest.mark.parametrize("check", sorted(PAIRS))
def test_the_findings_of_every_pair_speak_of_things_by_their_names(check):
    pair = PAIRS[check]
    for given in (pair.conflict, pair.tight, pair.clear):
        if given is not None:
            cabinet, needs = given()
            assert not internal(cabinet, run(cabinet, [check], needs=needs))


@pytest.mark.parametrize("values", WILD, ids=lambda v: next(iter(v)))
def test_so_do_those_of_a_cabinet_that_is_far_off(values):
    cabinet = build(changed(**values))
    found = run(cabinet)
    assert [f for f in found if f.status == "conflict"]
    assert not internal(cabinet, found)


def test_an_id_would_be_found():
    cabinet = build(changed())
    (one, *_) = run(cabinet, ["dowel-play"])
    assert internal(cabinet, (replace(one, title=f"Mortise of {cabinet.tab_joints[0].id}"),))
    assert internal(cabinet, (replace(one, because="hole of dowel-1 is missing"),))

"""Remedies with an amount: each can be made, and when it is made the reading it was told for moves the right way."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from desk.cabinet.build import build
from desk.checks.context import Context
from desk.checks.finding import NO_REMEDY, RANK, Finding, Remedy
from desk.checks.run import run
from desk.design.edit import get, put
from desk.design.model import Design
from desk.design.table import spec
from tests.checks.helpers import changed
from tests.checks.pairs import PAIRS
from tests.checks.pairs.base import Starting

FAR_OFF: tuple[dict[str, float], ...] = (
    {"lane__rise": 0.0},
    {"lane__length": 700.0},
    {"lane__deck_height": 40.0},
    {"kicker__ribs": 20.0},
    {"board__floor": 1.0},
    {"board__chamfer": 6.0},
    {"board__rail_width": 1.0},
    {"behind__gutter_slope": 0.0},
    {"behind__catch_slope": 0.0},
    {"return__slope": 0.0},
    {"return__lip_height": 20.0},
    {"lifter__arm": 9.0},
    {"lifter__travel": 3.0},
    {"lifter__play": 0.05},
    {"lifter__reach": 8.0},
    {"header__groove": 6.0},
    {"joint__dowel_blind": 4.0},
    {"joint__dowel_length": 36.0},
    {"joint__dowel_fit": 1.0},
    {"joint__mortise": 20.0},
    {"joint__mortise_fit": -0.2},
    {"joint__screw_cover": 13.0},
    {"joint__pilot": 4.0},
    {"shop__edge_round": 0.0},
    {"overall__height_limit": 80.0},
    {"ball__diameter": 24.0},
    {"header__cleat": 75.0},
    {"joint__side_gap": 3.0},
    {"lifter__handle_length": 120.0},
    {"bits__1__diameter": 1.5},
    {"board__rail_height": 2.0},
    {"board__rail_width": 3.0},
    {"board__floor": 20.0},
    {"behind__trough": 150.0},
)
"""The starting design pulled off in one number, so that many checks have something to propose."""
PLAYED = {"speed-window", "flight", "hand-speed", "hole-speed", "ends"}
"""Checks that look at throws: what they propose they tell as a direction, and they take long."""


def found(design: Design, only: list[str] | None = None) -> tuple[Finding, ...]:
    return run(build(design), only, value_of=lambda address: get(design, address))


def proposals(design: Design, findings: tuple[Finding, ...]) -> Iterator[tuple[Finding, Remedy]]:
    """Every remedy with an amount of what is not clear."""
    for finding in findings:
        if finding.status != "clear" and finding.check not in PLAYED:
            yield from ((finding, r) for r in finding.remedies if r.value is not None)


def made(design: Design, finding: Finding, remedy: Remedy) -> Design:
    """The design with what is proposed; several places of which the words name "the others" are changed together."""
    together = (
        [r for r in finding.remedies if r.text == remedy.text] if "the others" in remedy.text else [remedy]
    )
    for one in together:
        low, high = spec(one.address).hard
        assert one.value is not None
        assert low <= one.value <= high, one
        design = put(design, one.address, one.value)
    return design


def worse_or_same(design: Design, finding: Finding, remedy: Remedy) -> str:
    """What is wrong with a proposal; "" where it does good, so that the finding goes or moves towards its need."""
    if remedy.value == get(design, remedy.address):
        return f"{finding.title}: {remedy} changes nothing"
    after = next(
        (f for f in found(made(design, finding, remedy), [finding.check]) if f.key == finding.key), None
    )
    if after is None or RANK[after.status] > RANK[finding.status]:
        return ""
    if finding.margin is not None and after.margin is not None and after.margin > finding.margin + 1e-9:
        return ""
    return f"{finding.title}: {remedy} leaves {finding.margin} at {after.margin}"


@pytest.mark.parametrize("check", sorted(set(PAIRS) - PLAYED))
def test_what_a_pair_proposes_does_good(check):
    for given in (PAIRS[check].conflict, PAIRS[check].tight):
        if isinstance(given, Starting):
            design = changed(**dict(given.values))
            wrong = [worse_or_same(design, *p) for p in proposals(design, found(design, [check]))]
            assert not [text for text in wrong if text]


@pytest.mark.parametrize("values", FAR_OFF, ids=lambda v: next(iter(v)))
def test_what_is_proposed_for_a_cabinet_that_is_off_does_good(values):
    design = changed(**values)
    only = sorted(set(PAIRS) - PLAYED)
    wrong = [worse_or_same(design, *p) for p in proposals(design, found(design, only))]
    assert not [text for text in wrong if text]


def context(design: Design) -> Context:
    return Context(build(design), value_of=lambda address: get(design, address))


def test_a_change_out_of_the_range_stops_at_its_end_and_says_so():
    """The lip's height lies from 0 to 60 mm."""
    design = changed(return__lip_height=7.5)
    remedy = context(design).remedy("return.lip_height", -20.0, "Make the lip lower")
    assert remedy.value == 0.0
    assert "as far as it goes" in remedy.text
    within = context(design).remedy("return.lip_height", -2.0, "Make the lip lower")
    assert (within.value, within.text) == (5.5, "Make the lip lower")


def test_at_the_end_of_the_range_there_is_no_such_remedy():
    design = changed(return__lip_height=0.0)
    assert context(design).remedy("return.lip_height", -2.0, "Make the lip lower") is NO_REMEDY
    every = [r for f in found(design) for r in f.remedies]
    assert every
    assert NO_REMEDY not in every


def test_an_amount_is_told_only_where_the_number_is_what_was_measured():
    design = changed(lane__rise=1.5)
    assert context(design).remedy("lane.rise", 1.0, "Steeper", reads=1.5).value == 2.5
    assert context(design).remedy("lane.rise", 1.0, "Steeper", reads=0.0).value is None

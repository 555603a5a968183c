"""A conflicting, a tight and a clear cabinet for each check, and one test that goes through the register for all.

Most are the starting design with a number or two changed, so that the finding has come all the way from the design.
"""

from __future__ import annotations

import pytest

from desk.cabinet.build import build
from desk.checks.finding import Finding
from desk.checks.run import checks, run
from desk.design.edit import get, put
from tests.checks.helpers import changed
from tests.checks.pairs import PAIRS
from tests.checks.pairs.base import Given, built

CAUTIONS = {"small-ball"}
"""Checks whose tight finding is a caution that stands however far the reading is beyond the gauge."""


def found(given: Given, check: str) -> tuple[Finding, ...]:
    cabinet, needs = given()
    return run(cabinet, [check], needs=needs)


def test_every_registered_check_has_its_pair():
    assert set(PAIRS) == {c.id for c in checks()}


@pytest.mark.parametrize("check", sorted(PAIRS))
def test_there_is_a_cabinet_in_which_it_conflicts(check):
    wrong = [f for f in found(PAIRS[check].conflict, check) if f.status == "conflict"]
    assert wrong
    assert set(PAIRS[check].parts) <= {p for f in wrong for p in f.parts}
    for finding in wrong:
        assert finding.margin is None or finding.margin < 0
        assert not finding.key.endswith("not-evaluated")
        assert finding.title
        assert finding.because
        assert finding.source.text


@pytest.mark.parametrize("check", sorted(k for k, pair in PAIRS.items() if pair.tight is not None))
def test_there_is_a_cabinet_in_which_it_is_tight(check):
    tight = PAIRS[check].tight
    assert tight is not None
    worst = found(tight, check)[0]
    assert worst.status == "tight"
    assert worst.margin is None or worst.margin >= 0 or check in CAUTIONS
    assert worst.because


@pytest.mark.parametrize("check", sorted(PAIRS))
def test_there_is_a_cabinet_in_which_it_is_clear(check):
    (finding,) = found(PAIRS[check].clear, check)
    assert finding.status == "clear"
    assert finding.margin is None or finding.margin >= 0
    assert finding.because


@pytest.mark.parametrize("check", sorted(PAIRS))
def test_a_finding_keeps_its_key_when_sizes_change_a_little(check):
    def keys(**values: float) -> set[str]:
        cabinet = build(changed(**values))
        return {f.key for f in run(cabinet, [check])}

    assert keys() == keys(lane__length=281.0)


def test_the_starting_design_has_no_conflict():
    assert not [f for f in run(built(())) if f.status == "conflict"]


@pytest.mark.parametrize(
    ("check", "values", "address"),
    [
        ("dowel-play", {"joint__dowel_fit": -0.2}, "joint.dowel_fit"),
        ("dowel-depth", {"joint__dowel_length": 36.0}, "joint.dowel_length"),
        ("screw-bite", {"joint__screw_cover": 13.0}, "joint.screw_cover"),
        ("screw-point", {"joint__screw_return": 37.5}, "joint.screw_return"),
        ("hole-edge", {"lifter__arm": 9.0}, "lifter.arm"),
        ("stack", {"lane__width": 142.0}, "lane.width"),
        ("cut-depth", {"bits__1__cutting_length": 15.0}, "bits.1.cutting_length"),
    ],
)
def test_the_value_a_remedy_names_ends_the_conflict(check, values, address):
    design = changed(**values)
    wrong = run(build(design), [check], value_of=lambda a: get(design, a))
    named = [r.value for f in wrong if f.status == "conflict" for r in f.remedies if r.address == address]
    assert named
    assert None not in named
    worst = max(named, key=lambda v: abs(v - get(design, address)))
    mended = build(put(design, address, worst))
    assert not [f for f in run(mended, [check]) if f.status == "conflict"]

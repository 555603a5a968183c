"""Random designs: no check raises, none is left out without a word, and no number it gives is not a number.

``LANEWRIGHT_LONG=1`` tries 1,000 designs instead of 24. The designs are the same in every run.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator

from hypothesis import HealthCheck, given, settings

from desk.cabinet.build import build
from desk.checks.finding import RANK, Finding
from desk.checks.run import checks, run
from desk.design import edit
from desk.design.model import Design
from tests.cabinet.designs import possible, usual

MANY = 1000 if os.environ.get("LANEWRIGHT_LONG") else 24
RANDOM = settings(
    derandomize=True,
    deadline=None,
    max_examples=MANY // 2,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.large_base_example],
)


def numbers(finding: Finding) -> Iterator[float]:
    yield from (x for x in (finding.measured, finding.needed, finding.margin) if x is not None)
    yield from (r.value for r in finding.remedies if r.value is not None)
    for place in finding.places:
        for point in place.points:
            yield from point
        yield from place.middle


def assert_sound(design: Design) -> None:
    found = run(build(design), value_of=lambda address: edit.get(design, address))
    assert {f.check for f in found} == {c.id for c in checks()}
    for finding in found:
        assert finding.status in RANK
        assert not [x for x in numbers(finding) if not math.isfinite(x)], finding
        assert "nan" not in finding.because.split(), finding
        assert finding.title
        assert finding.because
        assert finding.source.text
    assert len({f.key for f in found}) == len(found)


@RANDOM
@given(usual())
def test_usual_designs_are_checked_whole(design):
    assert_sound(design)


@RANDOM
@given(possible())
def test_any_design_the_document_takes_is_checked_whole(design):
    assert_sound(design)

"""Whatever may be typed is worked out: designs all over their allowed ranges are built, checked, drawn and told."""

from __future__ import annotations

import json
import random

import pytest

from desk import report
from desk.design import edit, table
from desk.design.model import Design
from desk.design.starting import starting_design
from desk.evaluate import evaluate
from desk.views.svg import sheet_svg

SEED = 20250611
FEW = 6


def wild(number: int, reach: str) -> Design:
    """All numbers anywhere in their hard ranges, or a few of them, or a few in their usual ranges."""
    rng = random.Random(SEED + number)
    design = starting_design()
    addresses = edit.addresses(design)
    for address in addresses if reach == "all" else rng.sample(addresses, FEW):
        spec = table.spec(address)
        low, high = spec.soft if reach == "a few, usual" else spec.hard
        value = rng.choice((low, high)) if rng.random() < 0.2 else rng.uniform(low, high)
        design = edit.put(design, address, round(value) if spec.unit == "count" else value)
    return design


@pytest.mark.parametrize("reach", ["all", "a few", "a few, usual"])
@pytest.mark.parametrize("number", range(12))
def test_a_design_in_its_ranges_is_worked_out(number: int, reach: str) -> None:
    evaluation = evaluate(wild(number, reach))
    plain = report.findings_plain(evaluation)
    assert json.loads(json.dumps(plain, allow_nan=False)) == plain
    assert len(list(report.findings_text(evaluation, 100))) >= len(evaluation.findings)
    text = sheet_svg(evaluation)
    assert "nan" not in text
    assert evaluation.design.name in text

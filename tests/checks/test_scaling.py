"""A cabinet and its balls made twice as large keep every status that is a matter of geometry.

Every length is doubled: dimensions, targets, silhouette, sheets, bits, room for glue and the land of a rail, and the
limits given in mm. What does not double, and why, is listed in ``OTHER``; every finding that is not listed there has
to keep its status, and what is listed there has to be needed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import msgspec
import pytest

from desk.cabinet import board, joints
from desk.cabinet.build import build
from desk.checks.finding import Finding
from desk.checks.needs import shipped_needs
from desk.checks.run import run
from desk.design import table
from desk.design.file import load
from desk.design.model import Design

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.lane"))
SOLD = "screws and dowels come in the sizes of the trade, and holes for screws follow them"
CUT = "rods are cut to whole millimetres, whatever their size"
FORCES = "a knock does not grow as the strength of a rail does"
OTHER = {
    "dowel-depth/.*/sold": SOLD,
    "dowel-depth/pin-lifter/room": CUT,
    "cut-depth/hole/.*/through": SOLD,
    "pilot/.*/pilot": SOLD,
    "screw-hold/.*/pair": SOLD,
    "rails/.*/knock": FORCES,
}
"""Keys of findings that may differ, with the reason."""
BUILT_IN = ((board, "RAIL_LAND"), (joints, "TAB_BOTTOM_GAP"), (joints, "ROD_ROOM"), (joints, "PIN_ROOM"))
"""Lengths that no number of a design tells."""
GROWTH = {
    "mm": 2.0,
    "mm for each right angle": 2.0,
    "mm2": 4.0,
    "kg": 8.0,
    "m/s": math.sqrt(2.0),
    "s": math.sqrt(2.0),
}
"""How limits grow, by their units; times and speeds as those of a fall."""


def scaled(design: Design, by: float) -> Design:
    """The design with every length multiplied, and speeds by its root: then gravity does the same to every ball."""

    def entries(name: table.ListName) -> tuple[object, ...]:
        lengths = [s.address.rsplit(".", 1)[-1] for s in table.list_fields(name) if s.unit == "length"]
        return tuple(
            msgspec.structs.replace(e, **{f: getattr(e, f) * by for f in lengths})
            for e in design.entries(name)
        )

    share = {"length": by, "speed": math.sqrt(by)}
    values = {k: v * share.get(table.spec(k).unit, 1.0) for k, v in design.values.items()}
    lists = {name: entries(name) for name in table.LISTS}
    return msgspec.structs.replace(design, values=values, **lists)


Worst = dict[str, set[str]]


@cache
def pair(path: Path) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Findings of a design and of the same made twice as large, those that are clear left out."""
    design, needs = load(path), dict(shipped_needs())
    doubled = {}
    for key, need in needs.items():
        by = GROWTH.get(need.unit, 1.0)
        doubled[key] = replace(need, value=by * need.value, tight=by * need.tight)
    small = run(build(design), needs=needs)
    with pytest.MonkeyPatch.context() as patch:
        for module, name in BUILT_IN:
            patch.setattr(module, name, 2.0 * getattr(module, name))
        large = run(build(scaled(design, 2.0)), needs=doubled)
    return tuple(f for f in small if f.status != "clear"), tuple(f for f in large if f.status != "clear")


def statuses(findings: Iterator[Finding]) -> Worst:
    """Statuses by check."""
    out: Worst = {}
    for finding in findings:
        out.setdefault(finding.check, set()).add(finding.status)
    return out


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_twice_the_size_keeps_every_geometric_status(path):
    excused = re.compile("|".join(OTHER))
    small, large = (statuses(f for f in side if not excused.fullmatch(f.key)) for side in pair(path))
    assert large == small


@pytest.mark.parametrize("key", OTHER)
def test_what_is_excused_differs_in_one_of_the_designs(key):
    """An excuse that nothing needs any more is taken out of the list."""

    def of(side: tuple[Finding, ...]) -> Worst:
        return statuses(f for f in side if re.fullmatch(key, f.key))

    assert any(of(small) != of(large) for small, large in map(pair, EXAMPLES))

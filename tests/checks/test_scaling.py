"""A cabinet and its balls made twice as large keep every status that is a matter of geometry.

Every length is doubled: dimensions, targets, silhouette, sheets, bits, and the limits given in mm. What does not
double, and why, is listed in ``OTHER``; every check that is not listed there has to keep its statuses.
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.checks.needs import Need, shipped_needs
from desk.checks.run import checks, run
from desk.design import table
from desk.design.file import load
from desk.design.model import Design

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.lane"))
GLUE = "dowels stand off their holes by room for glue that is the same for every size"
SOLD = "screws come in the sizes of the trade, and their holes follow them"
FORCES = "weights and loads do not go with lengths"
BOUNCES = "a ball stops to spring back at the same speed for every size, and much hangs on little after some bounces"
LAND = "the wood between a hole and the rail it lies against is the same for every size"
OTHER = {
    "dowel-depth": GLUE,
    "hole-edge": GLUE,
    "web": GLUE,
    "tab-seat": GLUE,
    "cut-depth": SOLD,
    "weight": FORCES,
    "rails": FORCES,
    "sag": FORCES,
    "stands": FORCES,
    "pilot": SOLD,
    "screw-hold": FORCES,
    "broken-edge": LAND,
    "speed-window": BOUNCES,
    "hole-speed": BOUNCES,
}
"""Checks that may differ, with the reason."""


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


def statuses(cabinet: Cabinet, needs: dict[str, Need]) -> dict[str, set[str]]:
    out: dict[str, set[str]] = {}
    for finding in run(cabinet, needs=needs):
        out.setdefault(finding.check, set()).add(finding.status)
    return out


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_twice_the_size_keeps_every_geometric_status(path):
    design, needs = load(path), dict(shipped_needs())
    share = {"mm": 2.0, "m/s": math.sqrt(2.0)}
    doubled = {
        k: replace(n, value=share.get(n.unit, 1.0) * n.value, tight=share.get(n.unit, 1.0) * n.tight)
        for k, n in needs.items()
    }
    small, large = statuses(build(design), needs), statuses(build(scaled(design, 2.0)), doubled)
    differing = {k: (small[k], large[k]) for k in small if k not in OTHER and small[k] != large[k]}
    assert not differing


def test_what_is_left_out_is_registered():
    assert set(OTHER) <= {c.id for c in checks()}

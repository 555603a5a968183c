"""What the card and the list of findings ask of an evaluation beyond its findings: parts, and the small drawing.

An evaluation that has no cabinet to look into answers with what the findings say themselves.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from desk.checks.finding import Finding
from desk.evaluate import Evaluation
from desk.ui.document import Evaluated
from desk.units import Unit
from desk.views.detail import detail
from desk.views.drawing import Drawing
from desk.views.sections import tint

FEW = 3
"""So many parts of one name with numbers on end are told as a range."""
_NUMBERED = re.compile(r"^(.*\D)(\d+)$")


@dataclass(frozen=True)
class StockRow:
    """Parts cut from one sheet: its label and measured thickness in mm, the style of its tint, names of the parts."""

    label: str
    thickness: float | None
    tint: str
    parts: tuple[str, ...]


def drawing_of(evaluated: Evaluated, finding: Finding, unit: Unit) -> Drawing | None:
    """The small drawing of a finding's place, if it has one."""
    return detail(evaluated.cabinet, finding, unit) if isinstance(evaluated, Evaluation) else None


def part_labels(evaluated: Evaluated) -> dict[str, str]:
    """Labels of the parts that findings name, by id."""
    if isinstance(evaluated, Evaluation):
        return {part.id: part.label for part in evaluated.cabinet.parts}
    return {key: key for finding in evaluated.findings for key in finding.parts}


def stock_rows(evaluated: Evaluated, keys: Collection[str]) -> tuple[StockRow, ...]:
    """The parts with these ids by the sheet they are cut from, as the design lists its sheets."""
    if not isinstance(evaluated, Evaluation):
        return (StockRow("", None, "", tuple(keys)),) if keys else ()
    cabinet = evaluated.cabinet
    parts = [cabinet.by_id[key] for key in keys if key in cabinet.by_id]
    rows = []
    for stock in cabinet.shop.stocks:
        cut = [part for part in parts if part.stock == stock.id]
        if cut:
            labels = tuple(ranged(part.label for part in cut))
            rows.append(StockRow(stock.label, stock.measured, tint(cabinet, cut[0]), labels))
    return tuple(rows)


def ranged(labels: Iterable[str]) -> list[str]:
    """Labels without repeats, runs of one name with numbers on end as "Kicker rib 1 to 8"."""
    runs: list[list[str]] = []
    for label in dict.fromkeys(labels):
        if runs and _follows(runs[-1][-1], label):
            runs[-1].append(label)
        else:
            runs.append([label])
    out: list[str] = []
    for run in runs:
        out += run if len(run) < FEW else [f"{run[0]} to {_number(run[-1])}"]
    return out


def _follows(before: str, after: str) -> bool:
    one, other = _NUMBERED.match(before), _NUMBERED.match(after)
    return bool(one and other and one[1] == other[1] and int(other[2]) == int(one[2]) + 1)


def _number(label: str) -> str:
    found = _NUMBERED.match(label)
    return found[2] if found else label

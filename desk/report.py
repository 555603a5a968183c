"""What the command line says of a design, as text for people and as plain values for other programs.

Plain values are ready for JSON: numbers in mm, degrees, newtons, seconds and m/s, rounded to a millionth; None where
there is no number.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from desk.design import edit, table
from desk.design.model import Design
from desk.units import Quantity, Unit, format_value

if TYPE_CHECKING:
    from desk.checks.finding import Finding, Place, Remedy
    from desk.evaluate import Evaluation

PLACES = 6
PLAIN_UNIT: dict[Quantity, str] = {"length": "mm", "angle": "deg", "count": "", "speed": "m/s", "ratio": ""}
SIGN = {"conflict": "⚑", "tight": "○", "clear": "✓"}
MUTED = "–"
"""Sign of a finding that the person has muted."""
SURE = {
    "published": "published",
    "practice": "common practice",
    "memory": "from memory",
    "derived": "worked out",
    "choice": "the project's own choice",
    "own": "your own value",
}
INDENT = " " * 5


def findings_plain(evaluation: Evaluation) -> dict[str, Any]:
    """The findings of a design, clear ones too, worst first, with how many there are of each status."""
    return {
        "design": evaluation.design.name,
        "summary": {status: evaluation.count(status) for status in (*SIGN, "muted")},
        "findings": [_finding_plain(f) for f in evaluation.findings],
        "idle_mutes": [{"key": mute.key, "reason": mute.reason} for mute in evaluation.idle_mutes],
    }


def _finding_plain(finding: Finding) -> dict[str, Any]:
    return {
        "check": finding.check,
        "key": finding.key,
        "status": finding.status,
        "muted": finding.muted,
        "title": finding.title,
        "parts": list(finding.parts),
        "measured": _number(finding.measured),
        "needed": _number(finding.needed),
        "margin": _number(finding.margin),
        "unit": finding.unit,
        "because": finding.because,
        "source": {"text": finding.source.text, "flag": finding.source.flag},
        "place": [_place_plain(place) for place in finding.places],
        "remedies": [
            {"address": r.address, "value": _number(r.value), "text": r.text} for r in finding.remedies
        ],
    }


def _place_plain(place: Place) -> dict[str, Any]:
    """Kind and world points, mm: x from the player to the back, y from left to right, z up."""
    return {
        "kind": place.kind,
        "points": [[_number(c) for c in place.frame.world(x, y)] for x, y in place.points],
    }


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, PLACES) + 0.0


def dimensions_plain(design: Design) -> dict[str, Any]:
    """Every number of a design with what it may be, list items too."""
    rows = []
    for address in edit.addresses(design):
        spec = table.spec(address)
        rows.append(
            {
                "id": address,
                "label": spec.title,
                "value": _number(edit.get(design, address)),
                "unit": PLAIN_UNIT[spec.unit],
                "low": _number(spec.hard[0]),
                "high": _number(spec.hard[1]),
                "step": _number(spec.step),
                "group": spec.group,
                "views": list(spec.views),
            }
        )
    return {"design": design.name, "dimensions": rows}


def dimensions_text(design: Design) -> Iterator[str]:
    """The lines of a table of all numbers, in the design's unit, under their groups."""
    labels = {group.id: group.label for group in table.groups()}
    group = ""
    for address in edit.addresses(design):
        spec = table.spec(address)
        if spec.group != group:
            yield from ([""] if group else [])
            group = spec.group
            yield labels.get(group, group.capitalize())
        low, high = (format_value(end, spec.unit, design.unit) for end in spec.hard)
        locked = "  locked" if address in design.locked else ""
        yield f"  {address:<26} {edit.shown(design, address):>12}   {low} to {high}{locked}   {spec.title}"


def findings_text(evaluation: Evaluation, width: int) -> Iterator[str]:
    """The lines of a report that a woodworker reads: what does not work, then what is clear."""
    from desk.views.wording import counted, counts, flag_numbers, title_words

    unit = evaluation.design.unit
    numbers = flag_numbers(evaluation.findings)
    yield f"{evaluation.design.name}: {counted(counts(evaluation.findings), evaluation.count('muted'))}"
    for finding in evaluation.findings:
        if finding.status != "clear":
            yield ""
            yield from _finding_text(finding, numbers, unit, width)
    for mute in evaluation.idle_mutes:
        yield ""
        told = f"mute of {mute.key}, which mutes nothing here and is kept: {mute.reason}"
        yield from _filled("", told, width, f"{MUTED}    ")
    clear = [f for f in evaluation.findings if f.status == "clear"]
    if clear:
        yield ""
    for finding in clear:
        yield from _filled(
            "", f"{title_words(finding, unit)}{_margin(finding, unit)}", width, f"{SIGN['clear']}    "
        )


def _margin(finding: Finding, unit: Unit) -> str:
    from desk.views.wording import margin_words

    words = margin_words(finding, unit)
    return f", margin {words}" if words else ""


def _finding_text(finding: Finding, numbers: Mapping[str, str], unit: Unit, width: int) -> Iterator[str]:
    from desk.views.wording import because_words, title_words

    sign, word = (
        (MUTED, f"muted {finding.status}") if finding.muted else (SIGN[finding.status], finding.status)
    )
    yield f"{sign} {numbers[finding.key]:<2} {word}: {title_words(finding, unit)}"
    if finding.muted:
        yield from _filled("muted because: ", finding.muted, width)
    if sizes := sizes_text(finding, unit):
        yield INDENT + sizes
    yield from _filled("why: ", because_words(finding, unit), width)
    for remedy in finding.remedies:
        yield from _filled("change: ", remedy_text(remedy, unit), width)
    source = f"{finding.source.text} ({SURE[finding.source.flag]})"
    yield from _filled("source: ", f"{source}, check {finding.number} {finding.check}", width)


def sizes_text(finding: Finding, unit: Unit) -> str:
    """What was measured and needed and the margin, in the design's unit."""
    from desk.views.wording import amount

    said = [
        f"{word} {amount(value, finding.unit, unit)}"
        for word, value in (("measured", finding.measured), ("needed", finding.needed))
        if value is not None
    ]
    return ", ".join(said) + _margin(finding, unit)


def remedy_text(remedy: Remedy, unit: Unit) -> str:
    """What to change, to what, and its address."""
    from desk.views.wording import in_unit

    words = in_unit(remedy.text, unit)
    if remedy.value is None:
        return f"{words} ({remedy.address})"
    quantity = table.spec(remedy.address).unit
    return f"{words}: {format_value(remedy.value, quantity, unit, named=True)} ({remedy.address})"


def _filled(head: str, text: str, width: int, start: str = INDENT) -> list[str]:
    start += head
    return textwrap.wrap(text, width, initial_indent=start, subsequent_indent=" " * len(start))

"""How numbers and findings are put into words on the screen. No Qt."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, cast

from desk.checks.finding import RANK, Finding
from desk.units import MM_PER_INCH, Quantity, Unit, format_value
from desk.views.drawing import Dimension

if TYPE_CHECKING:  # words are needed before anything heavy is imported
    from desk.cabinet.model import Status

QUANTITY: dict[str, Quantity] = {"mm": "length", "deg": "angle", "°": "angle", "m/s": "speed"}
"""Quantities by the unit a finding names; any other unit is written as it is."""
PLACES: dict[Unit, int] = {"mm": 2, "in": 4}
"""Decimals of mm that are shown, by the unit they are shown in."""
SMALL = 2.54
"""Lengths from this on, mm, are shown to a thousandth of an inch where they are no fraction; smaller ones to a tenth of
that."""
PLAIN = 4
"""Decimals of a number without a quantity; what is smaller is shown as 0."""
MARGINS_SHOWN = 3
BEING_CHECKED = "being checked"
FITS = 0.02
"""A margin this near to what a reading leaves of its limit is that difference."""
_LENGTH = re.compile(r"(?<![\w.])-?\d+\.\d+ mm\b(?![/²³])")
"""A length as checks write it: with decimals, and with its unit. Names such as "6 mm straight" are none."""
_UNIT = re.compile(r"(?<=[0-9.,/])\s*(?=(?:mm|cm|in|inch|inches)$)")
"""Where a number as typed ends and its unit begins."""
_FINE = re.compile(r"-?\d+\.\d{4}")
"""Inches with four decimals."""
_BARE = re.compile(r"(?<![\w.])\d+\.\d+(?![\d.])(?! (?:mm|m/s|deg|kg|g|N|MPa|%)(?![\w/²³]))")
"""A number with decimals and no unit, as in a sum."""


def value_words(value: float, quantity: Quantity, unit: Unit, named: bool = True) -> str:
    """A value as it is shown in a drawing or a list, rounded."""
    places = PLACES[unit] if quantity == "length" else 2
    words = format_value(round(value, places), quantity, unit, named)
    if quantity == "length" and unit == "in" and abs(value) >= SMALL and _FINE.match(words):
        words = f"{value / MM_PER_INCH:.3f}".rstrip("0").rstrip(".") + " in" * named
    return words.replace("-", "−")


def spaced(text: str) -> str:
    """A number as it was typed, with its unit apart from it as in every drawing."""
    return _UNIT.sub(" ", text)


def with_minus(text: str) -> str:
    """A number's text with the sign that numbers on view have."""
    return f"−{text[1:]}" if text.startswith("-") else text


def amount(value: float, sign: str, unit: Unit, signed: bool = False) -> str:
    """A finding's number with its unit ``sign``; lengths are shown in ``unit``."""
    quantity = QUANTITY.get(sign)
    if quantity is not None:
        words = value_words(value, quantity, unit)
    else:
        words = f"{round(value, PLAIN):.4g} {'' if sign == '1' else sign}".strip().replace("-", "−")
    positive = signed and value > 0 and words.strip(f"0. {sign}") != ""
    return f"+{words}" if positive else words


def dimension_words(item: Dimension, unit: Unit, pointed: bool) -> str:
    """The text at a dimension: its value, in brackets when it follows from others; its name when pointed at.

    A bare handle has no text until it is pointed at. Plain mm carry no unit, as on a drawing.
    """
    quantity = cast(Quantity, item.unit)
    if pointed:
        return f"{item.label}  {value_words(item.value, quantity, unit)}"
    if item.shape == "point":
        return ""
    value = value_words(item.value, quantity, unit, named=quantity != "length" or unit != "mm")
    return value if item.pulls else f"({value})"


def in_unit(text: str, unit: Unit) -> str:
    """A text of a check with its lengths in the unit they are shown in."""
    if unit == "mm" or " mm" not in text:
        return text
    return _LENGTH.sub(lambda found: value_words(float(found[0].split()[0]), "length", unit), text)


def title_words(finding: Finding, unit: Unit) -> str:
    """A finding's title, its lengths in the unit they are shown in."""
    return in_unit(finding.title, unit)


def is_upper(finding: Finding) -> bool:
    """Whether what is needed is the most there may be: the margin is then what the measured leaves of it."""
    measured, needed, margin = finding.measured, finding.needed, finding.margin
    if measured is None or needed is None or margin is None:
        return False
    left = abs(needed - measured - margin)
    return left < FITS and left < abs(measured - needed - margin)


def because_words(finding: Finding, unit: Unit, alone: bool = False) -> str:
    """Why a finding is what it is. Plain lengths are told in the unit they are shown in; a sum stays in mm, the unit it
    was worked in, and says so. ``alone`` adds what it comes to, where the numbers do not stand beside it.
    """
    text = finding.because
    if unit == "mm" or not (_LENGTH.search(text) or (finding.unit == "mm" and _BARE.search(text))):
        return text
    if not _BARE.search(text):
        return in_unit(text, unit)
    if not alone or finding.unit != "mm" or finding.measured is None:
        return f"{text} (worked in mm)"
    said = [f"that is {amount(finding.measured, finding.unit, unit)}"]
    if finding.needed is not None:
        limit = "at most" if is_upper(finding) else "needed"
        said.append(f"{limit} {amount(finding.needed, finding.unit, unit)}")
    return f"{text} (worked in mm; {', '.join(said)})"


def margin_words(finding: Finding, unit: Unit) -> str:
    """A finding's margin, signed; "" when it has none."""
    return "" if finding.margin is None else amount(finding.margin, finding.unit, unit, signed=True)


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """By status, then by margin, then by number."""
    return sorted(
        findings, key=lambda f: (RANK[f.status], f.margin if f.margin is not None else 0.0, f.number)
    )


def concerning(address: str, findings: Iterable[Finding]) -> list[Finding]:
    """The findings that can be mended at this address, worst first."""
    return worst_first(f for f in findings if any(r.address == address for r in f.remedies))


def flag_numbers(findings: Sequence[Finding]) -> dict[str, str]:
    """The numbers on the flags by the findings' keys, as the views number them."""
    from desk.views.flags import numbered

    return {finding.key: str(number) for number, finding in numbered(findings)}


def margin_lines(
    address: str,
    findings: Sequence[Finding],
    unit: Unit,
    numbers: Mapping[str, str],
    before: Mapping[str, Status],
    waiting: Collection[str] = (),
) -> tuple[tuple[str, str], ...]:
    """What is shown beside a moving handle, as (text, status): first what the move has made worse, then what
    concerns its number. ``before`` gives the statuses by key from before the move; worst first in both. Of the
    findings with keys in ``waiting``, which are still being checked, the title is shown and nothing measured.
    """
    now = [f for f in findings if f.key not in waiting]
    worse = [f for f in now if RANK[f.status] < RANK[before.get(f.key, "clear")]]
    near = worst_first(worse)[:MARGINS_SHOWN]
    near += [f for f in concerning(address, now) if f not in near][: MARGINS_SHOWN - len(near)]
    lines = [
        (f"{numbers.get(f.key, '')}  {title_words(f, unit)}  {margin_words(f, unit)}".strip(), f.status)
        for f in near
    ]
    late = [f for f in concerning(address, findings) if f.key in waiting] if waiting else []
    return (*lines, *((f"{title_words(f, unit)}  …", "") for f in late[: MARGINS_SHOWN - len(near)]))


def counts(findings: Iterable[Finding]) -> dict[str, int]:
    """How many findings there are of each status; muted ones do not count."""
    out = {"conflict": 0, "tight": 0, "clear": 0}
    for finding in findings:
        if not finding.muted:
            out[finding.status] += 1
    return out


def counted(numbers: dict[str, int], muted: int = 0) -> str:
    """The counts as a sentence for a screen reader."""
    plural = "s" if numbers["conflict"] != 1 else ""
    rest = f", {muted} muted" if muted else ""
    return f"{numbers['conflict']} conflict{plural}, {numbers['tight']} tight, {numbers['clear']} clear{rest}"


def warnings_of(findings: Iterable[Finding], unit: Unit) -> tuple[str, ...]:
    """The conflicts that count as lines that are written into exported files."""
    return tuple(_whole(f, unit) for f in findings if f.status == "conflict" and not f.muted)


def mutes_of(findings: Iterable[Finding], unit: Unit) -> tuple[str, ...]:
    """The muted findings with their reasons as lines that are written into exported files."""
    return tuple(
        f"{_whole(f, unit, f' ({f.status})')}. Muted because: {f.muted}" for f in findings if f.muted
    )


def _whole(finding: Finding, unit: Unit, after: str = "") -> str:
    return f"{title_words(finding, unit)}{after}: {because_words(finding, unit, alone=True)}"

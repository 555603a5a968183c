"""Lengths and other quantities as text, in and out.

Inside the program every length is in mm; text is the only place where inches exist. Rules: a decimal comma
and a decimal point mean the same, so one mark is always the decimal mark and group separators are refused; a
number without a unit is in the default unit; a fraction is one of an inch. Every refusal is a UnitError.
The inch is 25.4 mm exactly (international yard and pound agreement of 1959; ISO 80000-3).
"""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction
from typing import Literal

Unit = Literal["mm", "in"]
Quantity = Literal["length", "angle", "count", "speed", "ratio"]

UNITS: tuple[Unit, ...] = ("mm", "in")
MM_PER_INCH = 25.4
FINEST_FRACTION = 64
"""Inches are written as fractions down to one part in this."""
FRACTION_REACH = 0.0005
"""Inches: how near a length must be to a fraction to be written as one."""
LONGEST_TEXT = 40

_MM_PER: dict[str, float] = {
    "mm": 1.0,
    "cm": 10.0,
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "''": MM_PER_INCH,
}
_INCH_MARKS = str.maketrans({"″": '"', "”": '"', "“": '"', "−": "-", "⁄": "/", "\u00a0": " ", "\u202f": " "})
_SHAPE = re.compile(r"(?P<number>[-+]?[0-9.,/ +-]*[0-9.,/])\s*(?P<unit>[^0-9.,/\s].*)?", re.DOTALL)
_DECIMAL = re.compile(r"[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+")
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]+)(?:\s*-\s*|\s+))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)")

LENGTH_EXAMPLE = "write for example 9.5, 9.5mm, 3/8in or 1 1/2in"
_EXAMPLES: dict[Quantity, str] = {
    "length": LENGTH_EXAMPLE,
    "angle": "write for example 2.5 or 2.5°",
    "count": "write a whole number, for example 8",
    "speed": "write for example 1.2 or 1.2 m/s",
    "ratio": "write for example 0.1 or 10%",
}
_SCALES: dict[Quantity, dict[str, float]] = {
    "angle": {"°": 1.0, "deg": 1.0, "degree": 1.0, "degrees": 1.0},
    "count": {},
    "speed": {"m/s": 1.0},
    "ratio": {"%": 0.01},
}


class UnitError(ValueError):
    """The text is no quantity of the kind asked for; says what was wrong and gives an example."""


def _tidy(text: str, example: str) -> str:
    """Plain marks for typographic ones, vulgar fractions written out, blanks at the ends gone."""
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"text of {len(text)} characters is too long for a number; {example}")
    spelled = "".join(
        f" {unicodedata.normalize('NFKC', c)}" if unicodedata.decomposition(c).startswith("<fraction>") else c
        for c in text
    )
    tidy = spelled.translate(_INCH_MARKS).strip()
    if not tidy:
        raise UnitError(f"nothing was given; {example}")
    return tidy


def _split(text: str, example: str) -> tuple[str, str]:
    """Number and unit of a tidy text, the unit in lower case and perhaps empty."""
    match = _SHAPE.fullmatch(text)
    if match is None:
        raise UnitError(f"'{text}' does not start with a number; {example}")
    return match["number"].strip(), (match["unit"] or "").strip().casefold()


def _number(text: str, example: str) -> tuple[Fraction, bool]:
    """Exact value of a number without its unit, and whether it was written as a fraction."""
    sign = -1 if text.startswith("-") else 1
    body = text[1:].strip() if text[0] in "+-" else text
    if _DECIMAL.fullmatch(body):
        return sign * Fraction(body.replace(",", ".")), False
    if match := _FRACTION.fullmatch(body):
        if not int(match["bottom"]):
            raise UnitError(f"'{text}' divides by zero; {example}")
        return sign * (int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))), True
    if len(re.findall(r"[.,]", body)) > 1 or re.fullmatch(r"[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]*)?", body):
        raise UnitError(f"'{text}' has group separators; leave them out, {example}")
    raise UnitError(f"'{text}' is not a number; {example}")


def _float(value: Fraction) -> float:
    """Nearest float, never a negative zero."""
    return float(value) + 0.0


def _parse_length(text: str, default_unit: Unit) -> tuple[Fraction, bool]:
    """Exact length in mm and whether the text names its unit."""
    tidy = _tidy(text, LENGTH_EXAMPLE)
    number, unit = _split(tidy, LENGTH_EXAMPLE)
    if unit in ("'", "ft", "foot", "feet"):
        raise UnitError(f"feet are not used here ('{tidy}'); give inches, for example 18in")
    if unit and unit not in _MM_PER:
        raise UnitError(f"'{unit}' is not a unit of length; use mm, cm or in, {LENGTH_EXAMPLE}")
    value, is_fraction = _number(number, LENGTH_EXAMPLE)
    if is_fraction and _MM_PER[unit or default_unit] != MM_PER_INCH:
        raise UnitError(
            f"'{tidy}' is a fraction, and fractions are of an inch; "
            f"write {number}in, or {float(value):.6g}mm if mm are meant"
        )
    return value * Fraction(str(_MM_PER[unit or default_unit])), bool(unit)


def parse_length(text: str, default_unit: Unit) -> float:
    """Length in mm from text such as ``9.5``, ``9,5mm``, ``3/8in``, ``1 1/2"``, ``1-1/2 in`` or ``2.5 cm``.

    Raises UnitError. A fraction needs inches, by its own unit or by ``default_unit``: in mm a bare ``1/2``
    could mean either, so it is refused.
    """
    return _float(_parse_length(text, default_unit)[0])


def is_named(text: str, default_unit: Unit) -> bool:
    """Whether a length's text names its unit. Raises UnitError where parse_length does."""
    return _parse_length(text, default_unit)[1]


def with_unit(text: str, default_unit: Unit) -> str:
    """The same length with its unit written out, so that it keeps its meaning when the default changes.

    Raises UnitError where parse_length does.
    """
    spaced = " ".join(text.split())
    return spaced if is_named(text, default_unit) else f"{spaced} {default_unit}"


def parse_value(text: str, quantity: Quantity, unit: Unit) -> float:
    """Value of any quantity from text: mm, degrees, a whole number, m/s, or a plain ratio (``10%`` is 0.1).

    Raises UnitError.
    """
    if quantity == "length":
        return parse_length(text, unit)
    example = _EXAMPLES[quantity]
    tidy = _tidy(text, example)
    number, suffix = _split(tidy, example)
    if suffix and suffix not in _SCALES[quantity]:
        raise UnitError(f"'{suffix}' is not a unit for this value; {example}")
    value, is_fraction = _number(number, example)
    if is_fraction:
        raise UnitError(f"'{tidy}' is a fraction, and only lengths are given as fractions; {example}")
    if quantity == "count" and value.denominator != 1:
        raise UnitError(f"'{tidy}' is not a whole number; {example}")
    return _float(value * Fraction(str(_SCALES[quantity].get(suffix, 1.0))))


def _trim(value: float, places: int) -> str:
    """Decimals without the zeros at the end and without a negative zero."""
    text = f"{value:.{places}f}"
    if places:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _inches(inches: float) -> str:
    """Inches as a fraction where one other than zero lies within FRACTION_REACH, else to four decimals."""
    size = abs(inches)
    parts = round(size * FINEST_FRACTION)
    near = parts / FINEST_FRACTION
    if parts == 0:
        return _trim(inches, 4)
    if abs(size - near) > FRACTION_REACH:
        decimal = round(size, 4)
        back = _float(Fraction(_trim(decimal, 4)) * Fraction(str(MM_PER_INCH))) / MM_PER_INCH
        if abs(back - near) <= FRACTION_REACH:
            # Rounded towards the fraction, the text would be taken for it when it is read back.
            decimal += math.copysign(0.0001, size - near)
        return _trim(math.copysign(decimal, inches), 4)
    whole, rest = divmod(Fraction(parts, FINEST_FRACTION), 1)
    pieces = [str(whole)] if whole else []
    if rest:
        pieces.append(f"{rest.numerator}/{rest.denominator}")
    return ("-" if inches < 0 else "") + " ".join(pieces)


def format_length(mm: float, unit: Unit, named: bool = False) -> str:
    """A length for people: mm to three decimals, or inches as a fraction to 1/64 or to four decimals.

    ``named`` adds the unit. Reading it back with the same default gives the length to within half of the last
    decimal (mm) or to within FRACTION_REACH (inches). Raises ValueError when ``mm`` is not finite.
    """
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is not a length")
    text = _trim(mm, 3) if unit == "mm" else _inches(mm / MM_PER_INCH)
    return f"{text} {unit}" if named else text


def format_value(value: float, quantity: Quantity, unit: Unit, named: bool = False) -> str:
    """Any quantity for people; ``named`` adds the unit. Raises ValueError when ``value`` is not finite."""
    if quantity == "length":
        return format_length(value, unit, named)
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a quantity")
    if quantity == "ratio" and named:
        return f"{_trim(value * 100, 2)} %"
    text = _trim(value, 0 if quantity == "count" else 4)
    return {"angle": f"{text}°", "speed": f"{text} m/s"}.get(quantity, text) if named else text


def symbol(quantity: Quantity, unit: Unit) -> str:
    """The unit's sign beside a bare number; empty for counts and ratios."""
    return {"length": unit, "angle": "°", "speed": "m/s"}.get(quantity, "")

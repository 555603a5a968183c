"""The shop page's texts, in and out: caliper readings, prices, numbers of the shop's tables, who uses what. No Qt."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from desk.design import table
from desk.design.model import BitEntry, Design, StockEntry
from desk.design.rules_shop import mean_and_half_range
from desk.shop.tables import Field, Number
from desk.units import MM_PER_INCH, Unit, UnitError, format_length, parse_length

READINGS_EXAMPLE = "write for example 11.8 11.9 11.75"
PLAIN_EXAMPLE = "write for example 48 or 48.50"
_SEPARATOR = re.compile(r"\s*;\s*|,\s+|\n")
_WHOLE, _FRACTION = re.compile(r"[0-9]+"), re.compile(r"[0-9]+/[0-9]+\D*")
_PLAIN = re.compile(r"[-−]?[0-9]+(?:[.,][0-9]*)?|[-−]?[.,][0-9]+")


def parse_readings(text: str, unit: Unit) -> tuple[float, ...]:
    """Several lengths, mm, from text such as ``11.8 11.9 11.75``, ``11,8; 11,9`` or ``15/32 1/2 in``.

    Blanks, semicolons, and commas before a blank stand between readings; a whole number before a fraction belongs to
    it. A unit after the last one counts for all when no other has one. Raises UnitError, naming the reading.
    """
    words = _words(text)
    if not words:
        raise UnitError(f"nothing was given; {READINGS_EXAMPLE}")
    last = _unit_of(words[-1])
    if last and _is_length(words[-1], unit) and not any(_unit_of(word) for word in words[:-1]):
        words = [*(f"{word} {last}" for word in words[:-1]), words[-1]]
    found = []
    for place, word in enumerate(words, 1):
        try:
            found.append(parse_length(word, unit))
        except UnitError as error:
            raise UnitError(f"reading {place}: {error}" if len(words) > 1 else str(error)) from None
    return tuple(found)


def _is_length(word: str, unit: Unit) -> bool:
    try:
        parse_length(word, unit)
    except UnitError:
        return False
    return True


def _unit_of(word: str) -> str:
    """The letters or marks behind a number."""
    return re.sub(r"^[-+0-9.,/\s]+", "", word)


def _words(text: str) -> list[str]:
    """The readings of a text, each with its unit."""
    pieces = [piece for piece in _SEPARATOR.split(text.strip()) if piece]
    words: list[str] = []
    for piece in pieces:
        inner: list[str] = []
        for word in piece.split():
            if inner and (not any(c.isdigit() for c in word) or _completes(inner[-1], word)):
                inner[-1] = f"{inner[-1]} {word}"
            else:
                inner.append(word)
        words += inner
    return words


def _completes(before: str, word: str) -> bool:
    """Whether a fraction belongs to the whole number before it."""
    return bool(_WHOLE.fullmatch(before) and _FRACTION.fullmatch(word))


def readings_text(readings: Sequence[float], unit: Unit) -> str:
    """Readings as they are typed in; inches may hold blanks, so semicolons stand between them."""
    return (" " if unit == "mm" else "; ").join(format_length(each, unit) for each in readings)


def decimal(mm: float, unit: Unit) -> str:
    """A measured length without its unit: mm to three decimals, inches to four, never a fraction."""
    text = f"{mm:.3f}" if unit == "mm" else f"{mm / MM_PER_INCH:.4f}"
    return text.rstrip("0").rstrip(".")


def mean_text(readings: Sequence[float], unit: Unit) -> str:
    """Mean and half the range of readings; "" where there are none."""
    if not readings:
        return ""
    mean, half = mean_and_half_range(readings)
    return f"{decimal(mean, unit)} ± {decimal(half, unit)}"


def parse_plain(text: str, what: str) -> float:
    """A number without a unit. Raises UnitError."""
    tidy = text.strip()
    if not _PLAIN.fullmatch(tidy):
        raise UnitError(f"{what}: '{tidy}' is not a number; {PLAIN_EXAMPLE}")
    return float(tidy.replace(",", ".").replace("−", "-")) + 0.0


def parse_price(text: str) -> float:
    """A price in the person's money; nothing given is 0. Raises UnitError."""
    return parse_plain(text, "the price") if text.strip() else 0.0


def price_text(price: float) -> str:
    """A price as it is typed; "" for none given."""
    if not price:
        return ""
    return f"{price:.0f}" if price == round(price) else f"{price:.2f}"


def is_length(field: Field, unit: str) -> bool:
    """Whether a number of a shop table is a length; ``unit`` is that of its row where the field has none."""
    return (field.unit or unit) == "mm"


def number_text(field: Field, value: Number | None, row_unit: str, unit: Unit) -> str:
    """A number of a shop table as it is shown and typed, without its unit; "" where the table has none."""
    if value is None:
        return ""
    numbers = value if isinstance(value, tuple) else (value,)
    if is_length(field, row_unit):
        return readings_text(numbers, unit)
    return " ".join(f"{number:.6g}" for number in numbers)


def parse_number(field: Field, text: str, row_unit: str, unit: Unit) -> Number:
    """A number of a shop table from text, in the table's unit. Raises UnitError."""
    if is_length(field, row_unit):
        found = parse_readings(text, unit)
    else:
        sign = (field.unit or row_unit).strip()
        bare = text.strip().removesuffix(sign) if sign not in ("", "1") else text
        words = [word for piece in _SEPARATOR.split(bare.strip()) for word in piece.split()]
        if not words:
            raise UnitError(f"nothing was given; {PLAIN_EXAMPLE}")
        found = tuple(parse_plain(word, field.label) for word in words)
    if field.pair or field.many:
        return found
    if len(found) != 1:
        raise UnitError(f"{field.label}: one number is wanted, not {len(found)}")
    return found[0]


def unit_sign(field: Field, row_unit: str, unit: Unit) -> str:
    """The unit beside a number of a shop table."""
    sign = field.unit or row_unit
    return unit if sign == "mm" else "" if sign == "1" else "°" if sign == "deg" else sign


def listed(words: Iterable[str]) -> str:
    """Words in a row: "a, b and c"."""
    every = list(words)
    return every[0] if len(every) == 1 else f"{', '.join(every[:-1])} and {every[-1]}" if every else ""


def choosers(design: Design, entry: StockEntry | BitEntry) -> tuple[str, ...]:
    """What a sheet or a bit is chosen for, in words: parts for a sheet, work for a bit."""
    source = "stocks" if isinstance(entry, StockEntry) else "bits"
    labels = [
        c.label for c in table.choices() if c.options_from == source and design.choice(c.id) == entry.id
    ]
    cut = [label.removesuffix(", stock").removeprefix("Bit for ") for label in labels]
    return tuple(word[:1].lower() + word[1:] for word in cut)

"""What a design must keep to where it tells of the shop: readings, prices, own values, names of rows, mutes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from desk.design import own, table, texts
from desk.design.model import Entry, Mute, ScrewEntry, StockEntry
from desk.design.own import OwnRow
from desk.shop.safety import never_muted
from desk.shop.tables import OwnError, shelves
from desk.units import Unit, format_value

MOST_READINGS = 100
HIGHEST_PRICE = 1e6
LONGEST_REASON = 500
READ_REACH = 1e-6
"""mm: how far a size may be from what its readings say; values are kept to this."""
Told = tuple[str, str]
"""Place below the item ("readings[2]") and what is wrong there."""
Known = Mapping[str, tuple[str, ...]]
"""Ids of the rows of each shop table."""


def shipped_ids(name: str) -> tuple[str, ...]:
    """Ids of a shop table's rows as shipped; none for an unknown table."""
    return tuple(shelves()[name].rows) if name in shelves() else ()


def row_ids(name: str, rows: Sequence[OwnRow]) -> tuple[str, ...]:
    """Ids of a shop table's rows, the person's own ones last."""
    return tuple(dict.fromkeys((*shipped_ids(name), *(row.id for row in rows if row.table == name))))


def known_rows(rows: Sequence[OwnRow]) -> Known:
    """Ids of every table's rows, the person's own among them."""
    return {name: row_ids(name, rows) for name in shelves()}


def mean_and_half_range(readings: Sequence[float]) -> tuple[float, float]:
    """Mean and half the range of readings, mm, rounded as values of a design are."""
    mean = math.fsum(readings) / len(readings)
    return round(mean, 6) + 0.0, round((max(readings) - min(readings)) / 2, 6) + 0.0


def readings_faults(readings: Sequence[float], address: str, unit: Unit) -> Iterator[Told]:
    """What is wrong with caliper readings of the number at an address; places are "[0]" on."""
    low, high = table.spec(address).hard
    if len(readings) > MOST_READINGS:
        yield "", f"{len(readings)} readings; at most {MOST_READINGS} are kept"
    for place, reading in enumerate(readings):
        if not math.isfinite(reading):
            yield f"[{place}]", "a reading must be a finite number"
        elif not low <= reading <= high:
            ends = [format_value(v, "length", unit, named=True) for v in (low, high, reading)]
            yield f"[{place}]", f"a reading must lie from {ends[0]} to {ends[1]}, not {ends[2]}"


def stock_faults(entry: StockEntry, address: str, unit: Unit, known: Known | None) -> Iterator[Told]:
    """What is wrong with a stock beyond its plain numbers; ``address`` is that of its measured thickness."""
    wrong = False
    for place, text in readings_faults(entry.readings, address, unit):
        wrong = True
        yield f"readings{place}", text
    if entry.readings and not wrong:
        mean, _ = mean_and_half_range(entry.readings)
        if abs(mean - entry.measured) > READ_REACH:
            told = f"{entry.measured:.6g} is not the mean of the readings, {mean:.6g}"
            yield "measured", f"{told}; correct it or take the readings out"
    if not math.isfinite(entry.price) or not 0 <= entry.price <= HIGHEST_PRICE:
        yield "price", f"a price must lie from 0 to {HIGHEST_PRICE:.0f}, not {entry.price:g}"
    if known is not None and entry.material.strip() and entry.material not in known["materials"]:
        yield "material", _no_row("material", entry.material, "materials", known)


def screw_faults(entry: ScrewEntry, known: Known | None) -> Iterator[Told]:
    """What is wrong with a screw in the drawer beyond its length."""
    if known is not None and entry.size not in known["screws"]:
        yield "size", _no_row("screw", entry.size, "screws", known)


def shop_faults(entry: Entry, address: str, unit: Unit, known: Known | None) -> Iterator[Told]:
    """What is wrong with a list item where it tells of the shop; ``address`` is "stocks.1"."""
    if isinstance(entry, StockEntry):
        yield from stock_faults(entry, f"{address}.measured", unit, known)
    elif isinstance(entry, ScrewEntry):
        yield from screw_faults(entry, known)


def _no_row(noun: str, key: str, name: str, known: Known) -> str:
    return f"there is no {noun} '{key}'; there are: {', '.join(known[name])}"


def ball_faults(readings: Sequence[float], values: Mapping[str, float], unit: Unit) -> Iterator[Told]:
    """What is wrong with the readings of the balls against diameter and spread; places below "ball_readings"."""
    wrong = False
    for place, text in readings_faults(readings, "ball.diameter", unit):
        wrong = True
        yield place, text
    if not readings or wrong:
        return
    for address, said in zip(("ball.diameter", "ball.spread"), mean_and_half_range(readings), strict=True):
        value = values.get(address)
        if value is not None and abs(value - said) > READ_REACH:
            label = table.spec(address).label
            yield (
                "",
                f"{label} is {value:.6g}, but the readings say {said:.6g}; correct it or take the readings out",
            )


def own_faults(rows: Sequence[OwnRow]) -> Iterator[tuple[int, OwnError]]:
    """What is wrong with rows of one's own, each with its place from 0."""
    for place, row in enumerate(rows):
        for field, text in (("label", row.label), ("note", row.note)):
            if text and (fault := texts.text_fault(field, text)):
                yield place, OwnError(field, fault)
        if row.id not in shipped_ids(row.table) and (fault := texts.text_fault("id", row.id)):
            yield place, OwnError("id", fault)
    yield from own.faults(tuple(rows))


def mute_fault(mute: Mute) -> Told | None:
    """What is wrong with a mute, and in which field, or None."""
    key, reason = mute.key, mute.reason
    check = key.split("/", maxsplit=1)[0]
    if check in never_muted():
        return "key", f"'{check}' warns of what children can choke on and cannot be muted; take the mute out"
    if not key.strip() or not key.isprintable():
        return "key", "the key names no finding"
    if not reason.strip():
        return "reason", "a mute needs a reason; write why this finding does not count"
    if not reason.isprintable():
        return "reason", "the reason holds a character that cannot be printed"
    if len(reason) > LONGEST_REASON:
        return "reason", f"the reason has {len(reason)} characters; at most {LONGEST_REASON} are kept"
    return None


def mutes_faults(mutes: Sequence[Mute]) -> Iterator[Told]:
    """What is wrong with mutes; places are "[0].reason"."""
    seen: set[str] = set()
    for place, mute in enumerate(mutes):
        if fault := mute_fault(mute):
            yield f"[{place}].{fault[0]}", fault[1]
        if mute.places < 0:
            yield (
                f"[{place}].places",
                f"{mute.places} places; write 0 where it is not known how many there were",
            )
        if mute.key in seen:
            yield f"[{place}].key", f"'{mute.key}' is muted twice"
        seen.add(mute.key)

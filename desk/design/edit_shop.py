"""Edits of what the document tells of the shop: caliper readings, prices, values of one's own, muted findings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

from desk.design import rules, rules_shop, table
from desk.design.edit_lists import entry_at, with_entry
from desk.design.model import Design, Mute, StockEntry
from desk.design.own import OwnRow
from desk.design.refusals import EditError, refuse, refuse_locked

BALL = ("ball.diameter", "ball.spread")
"""Addresses that readings of the balls set."""


def put_readings(design: Design, address: str, readings: Sequence[float]) -> Design:
    """The design with several caliper readings, mm, of a stock ("stocks.2.measured") or of the balls ("ball.diameter").

    A stock's measured thickness becomes their mean; the balls' diameter becomes the mean and the spread half their
    range. No readings take those there are away and leave the sizes. Raises table.UnknownAddress for any other
    address, Locked, EditError for a reading that cannot be.
    """
    taken = tuple(round(float(reading), 6) + 0.0 for reading in readings)
    parts = table.split(address)
    stock = parts is not None and parts[0] == "stocks" and parts[2] == "measured"
    if not stock and address not in BALL:
        raise table.UnknownAddress(
            f"'{address}' is measured once; readings are of ball.diameter or stocks.1.measured"
        )
    measured = address if stock else BALL[0]
    for _, fault in rules_shop.readings_faults(taken, measured, design.unit):
        raise EditError(fault)
    if stock and parts is not None:
        return _stock_read(design, parts[1], taken)
    if taken == design.ball_readings:
        return design
    sizes = dict(zip(BALL, rules_shop.mean_and_half_range(taken), strict=True)) if taken else {}
    for key, size in sizes.items():
        refuse(rules.number_fault(table.spec(key), size, design.unit))
    changed = _sized(design, {key: size for key, size in sizes.items() if design.value(key) != size})
    values = {**changed.values, **sizes}
    return msgspec.structs.replace(changed, values=values, ball_readings=taken)


def _stock_read(design: Design, item: int, taken: tuple[float, ...]) -> Design:
    entry = entry_at(design, "stocks", item)
    if not isinstance(entry, StockEntry) or entry.readings == taken:
        return design
    mean = rules_shop.mean_and_half_range(taken)[0] if taken else entry.measured
    changed = _sized(design, {f"stocks.{item}.measured": mean} if mean != entry.measured else {})
    return with_entry(changed, "stocks", item, msgspec.structs.replace(entry, readings=taken, measured=mean))


def _sized(design: Design, sizes: dict[str, float]) -> Design:
    """The design without the texts typed for these sizes. Raises Locked when one of them is."""
    for key in sizes:
        refuse_locked(design, key)
    if not sizes.keys() & design.typed.keys():
        return design
    texts = {key: text for key, text in design.typed.items() if key not in sizes}
    return msgspec.structs.replace(design, typed=texts)


def without_readings(design: Design, address: str) -> Design:
    """The design without the readings that the number at this address was worked out from."""
    if address in BALL:
        return msgspec.structs.replace(design, ball_readings=()) if design.ball_readings else design
    parts = table.split(address)
    if parts is None or parts[0] != "stocks" or parts[2] != "measured":
        return design
    entry = entry_at(design, "stocks", parts[1])
    if not isinstance(entry, StockEntry) or not entry.readings:
        return design
    return with_entry(design, "stocks", parts[1], msgspec.structs.replace(entry, readings=()))


def put_price(design: Design, item: int, price: float) -> Design:
    """The design with the price of one sheet of stock ``item`` (from 1), 0 for none given. Raises EditError."""
    entry = entry_at(design, "stocks", item)
    if not isinstance(entry, StockEntry) or entry.price == price:
        return design
    priced = msgspec.structs.replace(entry, price=round(float(price), 6) + 0.0)
    for place, fault in rules_shop.stock_faults(priced, f"stocks.{item}.measured", design.unit, None):
        if place == "price":
            raise EditError(fault)
    return with_entry(design, "stocks", item, priced)


def put_own(design: Design, row: OwnRow) -> Design:
    """The design with a row of one's own, in place of the one with its table and id where there is one.

    Raises EditError when it cannot stand, or when a row that starts from it then could not.
    """
    places = [k for k, each in enumerate(design.own) if (each.table, each.id) == (row.table, row.id)]
    if places and design.own[places[0]] == row:
        return design
    kept = design.own
    rows = (*kept[: places[0]], row, *kept[places[0] + 1 :]) if places else (*kept, row)
    return _with_own(design, rows)


def put_own_value(
    design: Design, name: str, key: str, field: str, value: float | Sequence[float] | None
) -> Design:
    """The design with one number of one's own in row ``key`` of table ``name``; None gives the table's back.

    A row without numbers of its own that the table has itself goes away. Raises EditError.
    """
    row = next((each for each in design.own if (each.table, each.id) == (name, key)), OwnRow(name, key))
    values = {each: number for each, number in row.values.items() if each != field}
    if value is not None:
        values[field] = float(value) if isinstance(value, int | float) else tuple(float(n) for n in value)
    changed = msgspec.structs.replace(row, values=values)
    bare = not values and not row.label and key in rules_shop.shipped_ids(name)
    return remove_own(design, name, key) if bare else put_own(design, changed)


def remove_own(design: Design, name: str, key: str) -> Design:
    """The design without the row of one's own; what it changed is again as the table has it.

    Raises EditError when something in the design uses a row that then is gone.
    """
    rows = tuple(each for each in design.own if (each.table, each.id) != (name, key))
    if len(rows) == len(design.own):
        return design
    if key not in rules_shop.shipped_ids(name) and (used := _users(design, name, key)):
        raise EditError(f"'{key}' is used by: {'; '.join(used)}. Choose another there first")
    return _with_own(design, rows)


def _with_own(design: Design, rows: tuple[OwnRow, ...]) -> Design:
    """The design with these rows. Raises EditError for the first that cannot stand."""
    for place, fault in rules_shop.own_faults(rows):
        raise EditError(f"{rows[place].table} '{rows[place].id}': {fault}")
    return msgspec.structs.replace(design, own=rows)


def _users(design: Design, name: str, key: str) -> list[str]:
    """What in the design names this row of a table, in words."""
    used = [c.label for c in table.choices() if c.options_from == name and design.choice(c.id) == key]
    if name == "materials":
        used += [stock.label for stock in design.stocks if stock.material == key]
    if name == "screws":
        used += [f"{each.label} in the drawer" for each in design.screws if each.size == key]
    used += [f"your own {each.id}" for each in design.own if each.table == name and each.like == key]
    return used


def mute(
    design: Design,
    key: str,
    reason: str,
    status: Literal["tight", "conflict"] = "conflict",
    places: int = 0,
) -> Design:
    """The design with the finding of this key not counted, for a reason that every output tells.

    ``status`` and the number of ``places`` are what was found: a finding that is worse, or at more places, counts
    again. Raises EditError without a reason, and for findings that always count.
    """
    now = Mute(key, reason.strip(), status, places)
    if fault := rules_shop.mute_fault(now):
        raise EditError(fault[1])
    if now in design.mutes:
        return design
    rest = tuple(each for each in design.mutes if each.key != key)
    return msgspec.structs.replace(design, mutes=(*rest, now))


def unmute(design: Design, key: str) -> Design:
    """The design with the finding of this key counted again."""
    rest = tuple(each for each in design.mutes if each.key != key)
    return design if len(rest) == len(design.mutes) else msgspec.structs.replace(design, mutes=rest)

"""Edits: each takes a design and gives a new one, or refuses with an EditError that says why and what to do.

An edit that changes nothing gives back the same object. Values are kept to 1e-6. A design that keeps to
desk.design.rules keeps to them after any edit here, so it can always be saved.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

import msgspec

from desk.design import rules, table
from desk.design.model import (
    ENTRY_TYPES,
    BitEntry,
    BitKind,
    Design,
    Entry,
    Origin,
    PointEntry,
    StockEntry,
    TargetEntry,
    TargetKind,
)
from desk.units import Unit, format_value, is_named, parse_value, with_unit

PLACES = 6
_WORDS: dict[str, tuple[str, ...]] = {
    "kind.targets": get_args(TargetKind),
    "kind.bits": get_args(BitKind),
    "origin.silhouette": get_args(Origin),
}


class EditError(ValueError):
    """The edit cannot be made; the design is as it was."""


class ValueOutOfRange(EditError):  # noqa: N818
    """The number cannot stand at its address: outside the hard range, not finite, or a count not whole."""

    def __init__(self, spec: table.Spec, value: float, text: str) -> None:
        super().__init__(text)
        self.spec = spec
        self.value = value


class Locked(EditError):  # noqa: N818
    """The address is locked."""

    def __init__(self, address: str, title: str) -> None:
        super().__init__(f"{title} is locked; unlock it to change it")
        self.address = address


def addresses(design: Design) -> tuple[str, ...]:
    """Every number's address in this design: the dimensions, then the fields of the list items."""
    items = (
        f"{list_name}.{item}.{field.address.split('.')[1]}"
        for list_name in table.LISTS
        for item in range(1, len(design.entries(list_name)) + 1)
        for field in table.list_fields(list_name)
    )
    return (*table.defaults(), *items)


def get(design: Design, address: str) -> float:
    """Number at an address. Raises table.UnknownAddress."""
    parts = table.split(address)
    if parts is None:
        return design.value(address)
    table.spec(address)
    value: float = getattr(_entry(design, parts[0], parts[1]), parts[2])
    return float(value)


def shown(design: Design, address: str) -> str:
    """Number at an address as text: as it was typed, else in the design's unit, with its unit."""
    if address in design.typed:
        return design.typed[address]
    return format_value(get(design, address), table.spec(address).unit, design.unit, named=True)


def put(design: Design, address: str, value: float, typed: str | None = None) -> Design:
    """The design with this number (mm, degrees, ...) at this address.

    ``typed`` is the text it was given in; a length's unit is added to it where it was left out. Raises
    table.UnknownAddress, Locked, ValueOutOfRange, or EditError when ``typed`` says another value.
    """
    spec = table.spec(address)
    now = get(design, address)
    value = round(float(value), PLACES) + 0.0
    if fault := rules.number_fault(spec, value, design.unit):
        raise ValueOutOfRange(spec, value, fault)
    texts = {key: text for key, text in design.typed.items() if key != address}
    if typed is not None:
        text = with_unit(typed, design.unit) if spec.unit == "length" else typed.strip()
        _refuse(rules.typed_fault(address, text, value, design.unit))
        texts[address] = text
    if value == now and (typed is None or texts == design.typed):
        return design
    _refuse_locked(design, address)
    parts = table.split(address)
    if parts is None:
        return msgspec.structs.replace(design, values={**design.values, address: value}, typed=texts)
    number = int(value) if spec.unit == "count" else value
    entry = msgspec.structs.replace(_entry(design, *parts[:2]), **{parts[2]: number})
    return msgspec.structs.replace(_with_entry(design, parts[0], parts[1], entry), typed=texts)


def type_in(design: Design, address: str, text: str) -> Design:
    """The design with a number given as text; a length typed with a unit or a fraction keeps its text.

    Raises units.UnitError and what put() raises.
    """
    spec = table.spec(address)
    value = parse_value(text, spec.unit, design.unit)
    telling = spec.unit == "length" and ("/" in text or is_named(text, design.unit))
    return put(design, address, value, typed=text if telling else None)


def put_choice(design: Design, key: str, option: str) -> Design:
    """The design with this option chosen. Raises table.UnknownAddress, Locked, EditError."""
    declared = table.choice(key)
    options = design.options(key)
    if option not in options:
        raise EditError(f"{declared.label}: there is no option '{option}'; there are: {', '.join(options)}")
    if design.choice(key) == option:
        return design
    _refuse_locked(design, key)
    return msgspec.structs.replace(design, choices={**design.choices, key: option})


def put_text(design: Design, address: str, text: str) -> Design:
    """The design with another text at ``name``, ``notes``, ``header_text`` or a list item's text or kind.

    Item addresses look like ``stocks.1.label``, ``targets.2.kind``, ``silhouette.1.origin``. Choices follow a
    stock or bit whose id changes. Raises table.UnknownAddress, EditError.
    """
    if address in ("name", "notes", "header_text"):
        _refuse(rules.text_fault(address, text))
        return design if getattr(design, address) == text else _replace(design, {address: text})
    parts = table.split(address)
    if parts is None or not _is_text(parts[0], parts[2]):
        raise table.UnknownAddress(f"there is no text '{address}'")
    list_name, item, field = parts
    entry = _entry(design, list_name, item)
    before = getattr(entry, field)
    if before == text:
        return design
    words = _WORDS.get(f"{field}.{list_name}")
    if words is None:
        _refuse(rules.text_fault(field, text))
    elif text not in words:
        raise EditError(f"there is no {field} '{text}'; there are: {', '.join(words)}")
    changed = _with_entry(design, list_name, item, msgspec.structs.replace(entry, **{field: text}))
    if field == "id":
        _refuse_twice(design, list_name, text, item)
        moved = dict.fromkeys(_choosers(design, list_name, before), text)
        changed = msgspec.structs.replace(changed, choices={**design.choices, **moved})
    return changed


def rename(design: Design, name: str) -> Design:
    """The design under another name. Raises EditError for an empty or unprintable one."""
    return put_text(design, "name", name)


def set_unit(design: Design, unit: Unit) -> Design:
    """The design shown and typed in another unit; no length changes, and typed texts keep their meaning."""
    if unit == design.unit:
        return design
    typed = {
        address: with_unit(text, design.unit) if table.spec(address).unit == "length" else text
        for address, text in design.typed.items()
    }
    kept = {key: t for key, t in typed.items() if not rules.typed_fault(key, t, get(design, key), unit)}
    return msgspec.structs.replace(design, unit=unit, typed=kept)


def set_locked(design: Design, address: str, locked: bool = True) -> Design:
    """The design with a number or choice locked or unlocked. Raises table.UnknownAddress."""
    if address not in design.choices:
        get(design, address)
    now = set(design.locked)
    after = now | {address} if locked else now - {address}
    return design if after == now else msgspec.structs.replace(design, locked=tuple(sorted(after)))


def add_item(design: Design, entry: Entry, at: int | None = None) -> Design:
    """The design with an entry put into its list, at the end or so that it becomes item ``at`` (from 1).

    Raises EditError when a number, text or id of the entry cannot stand, table.UnknownAddress for a place
    beyond the end.
    """
    list_name = next(name for name, kind in ENTRY_TYPES.items() if isinstance(entry, kind))
    entries = design.entries(list_name)
    item = len(entries) + 1 if at is None else at
    if not 1 <= item <= len(entries) + 1:
        raise table.UnknownAddress(f"{list_name} has {len(entries)} items, so none can become number {item}")
    for problem in rules.entry_faults(list_name, item, entry, design.unit):
        raise EditError(problem.text)
    if isinstance(entry, StockEntry | BitEntry):
        _refuse_twice(design, list_name, entry.id, 0)
    moved = _renumber(design, list_name, lambda number: number + 1 if number >= item else number)
    return _replace(moved, {list_name: (*entries[: item - 1], entry, *entries[item - 1 :])})


def remove_item(design: Design, list_name: table.ListName, item: int) -> Design:
    """The design without one list item; the addresses of later ones move up.

    Raises table.UnknownAddress, Locked when one of its numbers is locked, and EditError when it is a stock or
    bit that is chosen for something, or one of the last two silhouette points.
    """
    entry = _entry(design, list_name, item)
    entries = design.entries(list_name)
    for address in design.locked:
        if address.startswith(f"{list_name}.{item}."):
            raise Locked(address, table.spec(address).title)
    if isinstance(entry, StockEntry | BitEntry) and (used := _choosers(design, list_name, entry.id)):
        labels = "; ".join(table.choice(key).label for key in used)
        raise EditError(f"{entry.label} is chosen for: {labels}. Choose another there first")
    if list_name == "silhouette" and len(entries) <= rules.LEAST_POINTS:
        raise EditError(f"a silhouette needs at least {rules.LEAST_POINTS} points")
    moved = _renumber(design, list_name, lambda number: _closed_up(number, item))
    return _replace(moved, {list_name: entries[: item - 1] + entries[item:]})


def add_target(design: Design, entry: TargetEntry, at: int | None = None) -> Design:
    """add_item() for a target."""
    return add_item(design, entry, at)


def remove_target(design: Design, item: int) -> Design:
    """remove_item() for a target."""
    return remove_item(design, "targets", item)


def add_point(design: Design, entry: PointEntry, at: int | None = None) -> Design:
    """add_item() for a silhouette point."""
    return add_item(design, entry, at)


def remove_point(design: Design, item: int) -> Design:
    """remove_item() for a silhouette point."""
    return remove_item(design, "silhouette", item)


def _replace(design: Design, changes: dict[str, Any]) -> Design:
    return msgspec.structs.replace(design, **changes)


def _entry(design: Design, list_name: table.ListName, item: int) -> Entry:
    entries = design.entries(list_name)
    if not 1 <= item <= len(entries):
        raise table.UnknownAddress(
            f"there is no {table.ITEM_NOUN[list_name]} {item}; there are {len(entries)}"
        )
    return entries[item - 1]


def _with_entry(design: Design, list_name: table.ListName, item: int, entry: Entry) -> Design:
    entries = design.entries(list_name)
    return _replace(design, {list_name: (*entries[: item - 1], entry, *entries[item:])})


def _is_text(list_name: table.ListName, field: str) -> bool:
    return f"{field}.{list_name}" in _WORDS or (
        list_name in ("stocks", "bits") and _has_text(list_name, field)
    )


def _has_text(list_name: table.ListName, field: str) -> bool:
    return field in rules.TEXT_FIELDS and field in ENTRY_TYPES[list_name].__struct_fields__


def _refuse(fault: str | None) -> None:
    if fault:
        raise EditError(fault)


def _refuse_locked(design: Design, address: str) -> None:
    if address in design.locked:
        label = table.choice(address).label if address in design.choices else table.spec(address).title
        raise Locked(address, label)


def _refuse_twice(design: Design, list_name: table.ListName, key: str, but: int) -> None:
    for number, entry in enumerate(design.entries(list_name), 1):
        if (
            number != but
            and isinstance(entry, StockEntry | BitEntry)
            and entry.id.casefold() == key.casefold()
        ):
            raise EditError(f"id '{key}' is used already, by {entry.label}; choose another")


def _choosers(design: Design, list_name: table.ListName, key: str) -> list[str]:
    """Choices that name this stock or bit."""
    return [c.id for c in table.choices() if c.options_from == list_name and design.choice(c.id) == key]


def _closed_up(number: int, gone: int) -> int | None:
    """Number of an item once item ``gone`` is taken out; None for that one."""
    if number == gone:
        return None
    return number - 1 if number > gone else number


def _renumber(design: Design, list_name: table.ListName, to: Callable[[int], int | None]) -> Design:
    """Typed texts and locks under the new numbers of their list items."""

    def moved(address: str) -> str | None:
        parts = table.split(address)
        if parts is None or parts[0] != list_name:
            return address
        number = to(parts[1])
        return None if number is None else f"{list_name}.{number}.{parts[2]}"

    typed = {new: text for old, text in design.typed.items() if (new := moved(old)) is not None}
    locked = tuple(sorted(new for old in design.locked if (new := moved(old)) is not None))
    return msgspec.structs.replace(design, typed=typed, locked=locked)

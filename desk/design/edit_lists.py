"""Edits of the lists: targets, silhouette, stocks, bits, and the dowels and screws in the drawer."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec

from desk.design import rules, rules_shop, table
from desk.design.model import ENTRY_TYPES, Design, Entry, Named, PointEntry, TargetEntry
from desk.design.refusals import EditError, Locked, refuse_locked


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
    _refuse_faults(design, list_name, item, entry)
    if isinstance(entry, Named):
        refuse_twice(design, list_name, entry.id, 0)
    moved = _renumber(design, list_name, lambda number: number + 1 if number >= item else number)
    return _replace(moved, {list_name: (*entries[: item - 1], entry, *entries[item - 1 :])})


def replace_item(design: Design, item: int, entry: Entry) -> Design:
    """The design with an entry in place of item ``item`` (from 1) of its list, numbers and texts at once.

    Choices follow a stock or bit whose id changes; texts typed for numbers that change are dropped. Raises EditError
    when something of the entry cannot stand, Locked when a number that changes is, and table.UnknownAddress.
    """
    list_name = next(name for name, kind in ENTRY_TYPES.items() if isinstance(entry, kind))
    before = entry_at(design, list_name, item)
    if before == entry:
        return design
    _refuse_faults(design, list_name, item, entry)
    names = [field.address.split(".")[1] for field in table.list_fields(list_name)]
    changed = {
        f"{list_name}.{item}.{name}" for name in names if getattr(before, name) != getattr(entry, name)
    }
    for address in sorted(changed):
        refuse_locked(design, address)
    made = with_entry(design, list_name, item, entry)
    if isinstance(before, Named) and isinstance(entry, Named) and before.id != entry.id:
        refuse_twice(design, list_name, entry.id, item)
        moved = dict.fromkeys(choosers(design, list_name, before.id), entry.id)
        made = _replace(made, {"choices": {**design.choices, **moved}})
    if changed & design.typed.keys():
        made = _replace(made, {"typed": {a: t for a, t in design.typed.items() if a not in changed}})
    return made


def remove_item(design: Design, list_name: table.ListName, item: int) -> Design:
    """The design without one list item; the addresses of later ones move up.

    Raises table.UnknownAddress, Locked when one of its numbers is locked, and EditError when it is a stock or
    bit that is chosen for something, or one of the last two silhouette points.
    """
    entry = entry_at(design, list_name, item)
    entries = design.entries(list_name)
    for address in design.locked:
        if address.startswith(f"{list_name}.{item}."):
            raise Locked(address, table.spec(address).title)
    if isinstance(entry, Named) and (used := choosers(design, list_name, entry.id)):
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


def _refuse_faults(design: Design, list_name: table.ListName, item: int, entry: Entry) -> None:
    known = rules_shop.known_rows(design.own)
    for problem in rules.entry_faults(list_name, item, entry, design.unit, known):
        raise EditError(problem.text)


def _replace(design: Design, changes: dict[str, Any]) -> Design:
    return msgspec.structs.replace(design, **changes)


def entry_at(design: Design, list_name: table.ListName, item: int) -> Entry:
    """One item of a list, from 1. Raises table.UnknownAddress."""
    entries = design.entries(list_name)
    if not 1 <= item <= len(entries):
        raise table.UnknownAddress(
            f"there is no {table.ITEM_NOUN[list_name]} {item}; there are {len(entries)}"
        )
    return entries[item - 1]


def with_entry(design: Design, list_name: table.ListName, item: int, entry: Entry) -> Design:
    """The design with this entry as item ``item`` of the list; nothing is asked."""
    entries = design.entries(list_name)
    return _replace(design, {list_name: (*entries[: item - 1], entry, *entries[item:])})


def refuse_twice(design: Design, list_name: table.ListName, key: str, but: int) -> None:
    """Raises EditError when another item than ``but`` has this id."""
    for number, entry in enumerate(design.entries(list_name), 1):
        if number != but and isinstance(entry, Named) and entry.id.casefold() == key.casefold():
            raise EditError(f"id '{key}' is used already, by {entry.label}; choose another")


def choosers(design: Design, list_name: table.ListName, key: str) -> list[str]:
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

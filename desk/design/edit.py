"""Edits: each takes a design and gives a new one, or refuses with an EditError that says why and what to do.

An edit that changes nothing gives back the same object. Values are kept to 1e-6. A design that keeps to
desk.design.rules keeps to them after any edit here, so it can always be saved.
"""

from __future__ import annotations

import msgspec

from desk.design import rules, rules_shop, table
from desk.design.edit_lists import (
    add_item,
    add_point,
    add_target,
    choosers,
    entry_at,
    refuse_twice,
    remove_item,
    remove_point,
    remove_target,
    replace_item,
    with_entry,
)
from desk.design.edit_shop import (
    mute,
    put_own,
    put_own_value,
    put_price,
    put_readings,
    remove_own,
    unmute,
    without_readings,
)
from desk.design.model import BIT_KINDS, ENTRY_TYPES, GRAINS, ORIGINS, TARGET_KINDS, Design
from desk.design.refusals import EditError, Locked, ValueOutOfRange, refuse, refuse_locked
from desk.design.texts import text_fault
from desk.units import Unit, format_value, is_named, parse_value, with_unit

__all__ = [
    "EditError",
    "Locked",
    "ValueOutOfRange",
    "add_item",
    "add_point",
    "add_target",
    "addresses",
    "get",
    "mute",
    "put",
    "put_choice",
    "put_own",
    "put_own_value",
    "put_price",
    "put_readings",
    "put_text",
    "remove_item",
    "remove_own",
    "remove_point",
    "remove_target",
    "rename",
    "replace_item",
    "set_locked",
    "set_unit",
    "shown",
    "type_in",
    "unmute",
]

PLACES = 6
_WORDS: dict[str, tuple[str, ...]] = {
    "kind.targets": TARGET_KINDS,
    "kind.bits": BIT_KINDS,
    "origin.silhouette": ORIGINS,
    "grain.stocks": GRAINS,
}


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
    value: float = getattr(entry_at(design, parts[0], parts[1]), parts[2])
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
        refuse(rules.typed_fault(address, text, value, design.unit))
        texts[address] = text
    if value == now and (typed is None or texts == design.typed):
        return design
    refuse_locked(design, address)
    parts = table.split(address)
    design = without_readings(design, address)
    if parts is None:
        return msgspec.structs.replace(design, values={**design.values, address: value}, typed=texts)
    number = int(value) if spec.unit == "count" else value
    entry = msgspec.structs.replace(entry_at(design, *parts[:2]), **{parts[2]: number})
    return msgspec.structs.replace(with_entry(design, parts[0], parts[1], entry), typed=texts)


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
    refuse_locked(design, key)
    return msgspec.structs.replace(design, choices={**design.choices, key: option})


def put_text(design: Design, address: str, text: str) -> Design:
    """The design with another text at ``name``, ``notes``, ``header_text`` or a list item's text or kind.

    Item addresses look like ``stocks.1.label``, ``targets.2.kind``, ``silhouette.1.origin``. Choices follow a
    stock or bit whose id changes. Raises table.UnknownAddress, EditError.
    """
    if address in ("name", "notes", "header_text"):
        refuse(text_fault(address, text))
        return (
            design if getattr(design, address) == text else msgspec.structs.replace(design, **{address: text})
        )
    parts = table.split(address)
    if parts is None or not _is_text(parts[0], parts[2]):
        raise table.UnknownAddress(f"there is no text '{address}'")
    list_name, item, field = parts
    entry = entry_at(design, list_name, item)
    before = getattr(entry, field)
    if before == text:
        return design
    words = _WORDS.get(f"{field}.{list_name}")
    if words is None:
        refuse(text_fault(field, text))
    elif text not in words:
        raise EditError(f"there is no {field} '{text}'; there are: {', '.join(words)}")
    entry = msgspec.structs.replace(entry, **{field: text})
    known = rules_shop.known_rows(design.own)
    for _, fault in rules_shop.shop_faults(entry, f"{list_name}.{item}", design.unit, known):
        raise EditError(fault)
    changed = with_entry(design, list_name, item, entry)
    if field == "id":
        refuse_twice(design, list_name, text, item)
        moved = dict.fromkeys(choosers(design, list_name, before), text)
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


def _is_text(list_name: table.ListName, field: str) -> bool:
    return f"{field}.{list_name}" in _WORDS or (_has_text(list_name, field))


def _has_text(list_name: table.ListName, field: str) -> bool:
    return field in rules.TEXT_FIELDS and field in ENTRY_TYPES[list_name].__struct_fields__

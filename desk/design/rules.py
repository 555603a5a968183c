"""What a design must keep to, beyond its types: the one place that edits and files both ask.

A design that keeps these rules can always be saved, and a saved file always opens again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from desk.design import rules_shop, table
from desk.design.model import Design, Entry, Mute, Named
from desk.design.own import OwnRow
from desk.design.texts import text_fault
from desk.units import Unit, UnitError, format_value, parse_value

LEAST_POINTS = 2
LONGEST_TYPED = 32
TYPED_REACH = 1e-6
"""mm: how far a typed text may be from the value it stands for; values are kept to this."""

TEXT_FIELDS = ("id", "label", "material", "size")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a design, at a place in its file ("$.targets[0].hole")."""

    path: str
    text: str

    def __str__(self) -> str:
        return f"{self.path}: {self.text}"


@dataclass(frozen=True, slots=True)
class Parts:
    """The parts of a design, list items by place from 1, so that some may be missing.

    ``broken`` names lists with missing items: what depends on the whole list is then not judged.
    """

    unit: Unit
    texts: Mapping[str, str]
    values: Mapping[str, float]
    choices: Mapping[str, str]
    typed: Mapping[str, str]
    locked: Iterable[str]
    lists: Mapping[table.ListName, Mapping[int, Entry]]
    ball_readings: tuple[float, ...] = ()
    own: tuple[OwnRow, ...] = ()
    mutes: tuple[Mute, ...] = ()
    broken: frozenset[str] = frozenset()


def parts_of(design: Design) -> Parts:
    """The parts of a whole design."""
    return Parts(
        unit=design.unit,
        texts={key: getattr(design, key) for key in ("name", "notes", "header_text")},
        values=design.values,
        choices=design.choices,
        typed=design.typed,
        locked=design.locked,
        lists={key: dict(enumerate(design.entries(key), 1)) for key in table.LISTS},
        ball_readings=design.ball_readings,
        own=design.own,
        mutes=design.mutes,
    )


def path_of(address: str) -> str:
    """Place of a number in the file, from its address."""
    if parts := table.split(address):
        list_name, item, field = parts
        return f"$.{list_name}[{item - 1}].{field}"
    return f"$.values.{address}"


def number_fault(spec: table.Spec, value: float, unit: Unit) -> str | None:
    """Why a value cannot stand at this address, or None."""
    if not math.isfinite(value):
        return f"{spec.title} must be a finite number"
    low, high = spec.hard
    if not low <= value <= high:
        ends = [format_value(v, spec.unit, unit, named=True) for v in (low, high, value)]
        return f"{spec.title} must lie from {ends[0]} to {ends[1]}, not {ends[2]}"
    if spec.unit == "count" and value != int(value):
        return f"{spec.title} must be a whole number, not {value:g}"
    return None


def typed_fault(address: str, text: str, value: float, unit: Unit) -> str | None:
    """Why a typed text cannot stand for the value, or None."""
    try:
        said = parse_value(text, table.spec(address).unit, unit)
    except UnitError as error:
        return str(error)
    if len(text) > LONGEST_TYPED:
        return f"a typed text is kept up to {LONGEST_TYPED} characters, not {len(text)}"
    if abs(said - value) > TYPED_REACH:
        return (
            f"the text '{text}' is {said:.6g}, but the value is {value:.6g}; correct one or take the text out"
        )
    return None


def entry_faults(
    list_name: table.ListName, item: int, entry: Entry, unit: Unit, known: rules_shop.Known | None = None
) -> Iterator[Problem]:
    """What is wrong inside one list item (``item`` from 1); rows of shop tables are looked up in ``known``."""
    for field in table.list_fields(list_name):
        name = field.address.split(".")[1]
        address = f"{list_name}.{item}.{name}"
        if fault := number_fault(table.spec(address), getattr(entry, name), unit):
            yield Problem(path_of(address), fault)
    for name in TEXT_FIELDS:
        if hasattr(entry, name) and (fault := text_fault(name, getattr(entry, name))):
            yield Problem(f"$.{list_name}[{item - 1}].{name}", fault)
    for place, fault in rules_shop.shop_faults(entry, f"{list_name}.{item}", unit, known):
        yield Problem(f"$.{list_name}[{item - 1}].{place}", fault)


def problems(design: Design) -> tuple[Problem, ...]:
    """Everything wrong with a design, in the order of the file's parts; empty when it may be saved."""
    return problems_of(parts_of(design))


def problems_of(parts: Parts) -> tuple[Problem, ...]:
    """As problems(), for the parts of a design that could be read."""
    return (
        *_texts(parts),
        *_values(parts),
        *_choices(parts),
        *_lists(parts),
        *_typed(parts),
        *_locked(parts),
        *_shop(parts),
    )


def _shop(parts: Parts) -> Iterator[Problem]:
    for place, fault in rules_shop.ball_faults(parts.ball_readings, parts.values, parts.unit):
        yield Problem(f"$.ball_readings{place}", fault)
    for item, wrong in rules_shop.own_faults(parts.own):
        yield Problem(f"$.own[{item}].{wrong.at}", str(wrong))
    for place, fault in rules_shop.mutes_faults(parts.mutes):
        yield Problem(f"$.mutes{place}", fault)


def _texts(parts: Parts) -> Iterator[Problem]:
    for key, text in parts.texts.items():
        if fault := text_fault(key, text):
            yield Problem(f"$.{key}", fault)


def _values(parts: Parts) -> Iterator[Problem]:
    known = table.defaults()
    for key, value in parts.values.items():
        if key not in known:
            yield Problem(f"$.values.{key}", f"there is no dimension '{key}'")
        elif fault := number_fault(table.spec(key), value, parts.unit):
            yield Problem(f"$.values.{key}", fault)


def _choices(parts: Parts) -> Iterator[Problem]:
    known = table.choice_defaults()
    for key, option in parts.choices.items():
        path = f"$.choices.{key}"
        if key not in known:
            yield Problem(path, f"there is no choice '{key}'")
            continue
        declared = table.choice(key)
        if declared.options_from is None:
            options = declared.options
        elif declared.options_from in parts.broken:
            continue
        elif declared.options_from in ("stocks", "bits"):
            options = _ids(parts, declared.options_from)
        else:
            options = rules_shop.row_ids(declared.options_from, parts.own)
        if option not in options:
            wanted = ", ".join(options) or f"none, for {declared.options_from} is empty"
            yield Problem(path, f"there is no option '{option}'; there are: {wanted}")


def _ids(parts: Parts, list_name: table.ListName) -> tuple[str, ...]:
    entries = parts.lists[list_name].values()
    return tuple(e.id for e in entries if isinstance(e, Named))


def _lists(parts: Parts) -> Iterator[Problem]:
    known = rules_shop.known_rows(parts.own)
    for list_name, entries in parts.lists.items():
        seen: dict[str, str] = {}
        for item, entry in entries.items():
            yield from entry_faults(list_name, item, entry, parts.unit, known)
            if isinstance(entry, Named):
                folded = entry.id.casefold()
                if folded in seen:
                    text = f"id '{entry.id}' is used twice; '{seen[folded]}' has it already"
                    yield Problem(f"$.{list_name}[{item - 1}].id", text)
                seen.setdefault(folded, entry.label)
    if "silhouette" not in parts.broken and len(parts.lists["silhouette"]) < LEAST_POINTS:
        yield Problem("$.silhouette", f"a silhouette needs at least {LEAST_POINTS} points")


def _value_at(parts: Parts, address: str) -> float | None:
    """Value at an address of the parts that could be read; None where its list is broken.

    Raises table.UnknownAddress.
    """
    table.spec(address)
    split = table.split(address)
    if split is None:
        return parts.values.get(address)
    list_name, item, field = split
    if list_name in parts.broken:
        return None
    if item not in parts.lists[list_name]:
        raise table.UnknownAddress(f"there is no {table.ITEM_NOUN[list_name]} {item}")
    number: float = getattr(parts.lists[list_name][item], field)
    return number


def _typed(parts: Parts) -> Iterator[Problem]:
    for address, text in parts.typed.items():
        try:
            value = _value_at(parts, address)
        except table.UnknownAddress as error:
            yield Problem(f"$.typed.{address}", str(error))
            continue
        if value is not None and (fault := typed_fault(address, text, value, parts.unit)):
            yield Problem(f"$.typed.{address}", fault)


def _locked(parts: Parts) -> Iterator[Problem]:
    seen: set[str] = set()
    for place, address in enumerate(parts.locked):
        if address in seen:
            yield Problem(f"$.locked[{place}]", f"'{address}' is listed twice")
        seen.add(address)
        if address in table.choice_defaults():
            continue
        try:
            _value_at(parts, address)
        except table.UnknownAddress as error:
            yield Problem(f"$.locked[{place}]", str(error))

"""Typed access to resources/dimensions.toml, where every number a person may set is declared once.

A number has an address: the id of a dimension ("ball.diameter"), or list, place from 1 and field
("targets.2.across").
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Literal, TypeVar, cast, get_args

import msgspec

from desk.resources import table as resource_table
from desk.units import Quantity

ListName = Literal["targets", "silhouette", "stocks", "bits", "dowels", "screws"]
LISTS: tuple[ListName, ...] = get_args(ListName)
OptionsFrom = Literal["stocks", "bits", "balls", "regions"]
"""Where a choice's options come from: a list of the design, or a table of the shop."""
ITEM_NOUN: dict[ListName, str] = {
    "targets": "target",
    "silhouette": "point",
    "stocks": "stock",
    "bits": "bit",
    "dowels": "dowel",
    "screws": "screw",
}

_LIST_ADDRESS = re.compile(r"([a-z]+)\.([1-9][0-9]{0,5})\.([a-z_]+)")
_ID = re.compile(r"[a-z]+\.[a-z][a-z0-9_]*")
_RowT = TypeVar("_RowT", bound=msgspec.Struct)


class TableError(ValueError):
    """The table of dimensions itself is wrong; the installation or the change to it has to be mended."""


class UnknownAddress(LookupError):  # noqa: N818
    """No dimension, list field or choice has this address."""


@dataclass(frozen=True, slots=True)
class Group:
    """A heading that dimensions are listed under."""

    id: str
    label: str


@dataclass(frozen=True, slots=True)
class Spec:
    """One declared number. Lengths in mm, angles in degrees, speeds in m/s, ratios and counts plain.

    ``hard``: a value outside is refused. ``soft``: outside is unusual. ``tolerance``: plus or minus, as made.
    ``list_name`` and ``item`` (from 1, 0 for the field in general) are set for fields of list items only.
    """

    address: str
    label: str
    unit: Quantity
    default: float
    hard: tuple[float, float]
    soft: tuple[float, float]
    step: float
    tolerance: float
    scales: bool
    views: tuple[str, ...]
    help: str
    group: str
    list_name: ListName | None = None
    item: int = 0

    @property
    def title(self) -> str:
        """Label that also names the list item: "Hole diameter (target 2)"."""
        return (
            f"{self.label} ({ITEM_NOUN[self.list_name]} {self.item})"
            if self.list_name and self.item
            else self.label
        )


@dataclass(frozen=True, slots=True)
class Choice:
    """One declared choice; its options are fixed, or the ids of a list of the design or of a shop table."""

    id: str
    label: str
    default: str
    options: tuple[str, ...]
    options_from: OptionsFrom | None
    help: str


@dataclass(frozen=True, slots=True)
class Table:
    """The whole table: specs by id, list fields by (list, field), choices by id, all in file order."""

    groups: dict[str, Group]
    specs: dict[str, Spec]
    fields: dict[tuple[ListName, str], Spec]
    choices: dict[str, Choice]


class _Group(msgspec.Struct, forbid_unknown_fields=True):
    id: str
    label: str


class _Number(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    id: str
    label: str
    unit: Quantity
    default: float
    hard: tuple[float, float]
    soft: tuple[float, float]
    step: float
    tolerance: float
    scales: bool
    views: tuple[Literal["lane", "channel", "plan", "face", "rear"], ...]
    help: str


class _Field(_Number, forbid_unknown_fields=True, kw_only=True):
    list: ListName


class _Choice(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    id: str
    label: str
    default: str
    options: tuple[str, ...] = ()
    options_from: OptionsFrom | None = None
    help: str = ""


def _rows(data: Mapping[str, Any], key: str, kind: type[_RowT]) -> list[_RowT]:
    rows = data.get(key, [])
    try:
        return [msgspec.convert(row, kind, strict=True) for row in rows]
    except msgspec.ValidationError as error:
        raise TableError(f"[[{key}]]: {error}") from error


def _spec(row: _Number, address: str, group: str, list_name: ListName | None = None) -> Spec:
    """The spec of a row. Raises TableError unless default lies in soft, soft in hard, and step above 0."""
    ordered = row.hard[0] <= row.soft[0] <= row.default <= row.soft[1] <= row.hard[1]
    if not ordered or row.hard[0] >= row.hard[1]:
        raise TableError(f"{address}: hard must hold soft and soft the default")
    if row.step <= 0 or row.tolerance < 0:
        raise TableError(f"{address}: the step must be above zero and the tolerance not below it")
    return Spec(
        address=address,
        label=row.label,
        unit=row.unit,
        default=row.default,
        hard=row.hard,
        soft=row.soft,
        step=row.step,
        tolerance=row.tolerance,
        scales=row.scales,
        views=tuple(row.views),
        help=row.help,
        group=group,
        list_name=list_name,
    )


def _choice(row: _Choice) -> Choice:
    if bool(row.options) == bool(row.options_from) or (row.options and row.default not in row.options):
        raise TableError(f"{row.id}: give either options with the default among them, or options_from")
    return Choice(row.id, row.label, row.default, row.options, row.options_from, row.help)


def read(data: Mapping[str, Any]) -> Table:
    """The table from its decoded TOML. Raises TableError for repeated or unknown ids and senseless ranges."""
    if unknown := sorted(set(data) - {"group", "dimension", "field", "choice"}):
        raise TableError(f"unknown table {unknown[0]}")
    table = Table({}, {}, {}, {})
    for group in _rows(data, "group", _Group):
        _add(table.groups, group.id, Group(group.id, group.label))
    for row in _rows(data, "dimension", _Number):
        head = row.id.split(".")[0]
        if not _ID.fullmatch(row.id) or head not in table.groups:
            raise TableError(f"{row.id}: an id is group.name, and the group must be declared")
        _add(table.specs, row.id, _spec(row, row.id, head))
    for entry in _rows(data, "field", _Field):
        address = f"{entry.list}.{entry.id}"
        _add(table.fields, (entry.list, entry.id), _spec(entry, address, entry.list, entry.list))
    for choice in _rows(data, "choice", _Choice):
        if choice.id in table.specs:
            raise TableError(f"{choice.id} is declared twice")
        _add(table.choices, choice.id, _choice(choice))
    return table


_KeyT = TypeVar("_KeyT")
_ValueT = TypeVar("_ValueT")


def _add(into: dict[_KeyT, _ValueT], key: _KeyT, value: _ValueT) -> None:
    if key in into:
        name = ".".join(key) if isinstance(key, tuple) else key
        raise TableError(f"{name} is declared twice")
    into[key] = value


@cache
def _table() -> Table:
    return read(resource_table("dimensions.toml"))


@cache
def specs() -> tuple[Spec, ...]:
    """Every dimension, in the table's order; fields of list items are not among them."""
    return tuple(_table().specs.values())


@cache
def defaults() -> Mapping[str, float]:
    """Default of every dimension by id; callers must not change it."""
    return {s.address: s.default for s in specs()}


@cache
def choice_defaults() -> Mapping[str, str]:
    """Default of every choice by id; callers must not change it."""
    return {c.id: c.default for c in choices()}


def groups() -> tuple[Group, ...]:
    """Headings in the table's order."""
    return tuple(_table().groups.values())


def choices() -> tuple[Choice, ...]:
    """Every choice in the table's order."""
    return tuple(_table().choices.values())


def choice(key: str) -> Choice:
    """The choice with this id. Raises UnknownAddress."""
    try:
        return _table().choices[key]
    except KeyError:
        raise UnknownAddress(f"there is no choice '{key}'") from None


def list_fields(list_name: ListName) -> tuple[Spec, ...]:
    """The number fields of one list's items, in the table's order, with ``item`` 0."""
    return tuple(s for (name, _), s in _table().fields.items() if name == list_name)


def split(address: str) -> tuple[ListName, int, str] | None:
    """List, place from 1 and field of a list address, declared or not; None for any other address."""
    match = _LIST_ADDRESS.fullmatch(address)
    if match is None or match[1] not in LISTS:
        return None
    return cast(ListName, match[1]), int(match[2]), match[3]


@cache
def spec(address: str) -> Spec:
    """The spec of a dimension or of a list item's field; whether the item exists is the design's matter.

    Raises UnknownAddress.
    """
    table = _table()
    if address in table.specs:
        return table.specs[address]
    if parts := split(address):
        list_name, item, field = parts
        if (list_name, field) in table.fields:
            return replace(table.fields[list_name, field], address=address, item=item)
    raise UnknownAddress(f"there is no dimension '{address}'")

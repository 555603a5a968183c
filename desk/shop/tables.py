"""The shop's tables as rows, each number with its source, and a person's own values laid over them.

``resources/tables.toml`` declares which tables there are and what each number in them is. A row of one's own with
an id the table has replaces single numbers of that row; one with a new id adds a row that starts as another one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from itertools import pairwise
from typing import Any, get_args

from desk.resources import table as resource_table
from desk.shop.sourced import INCH, Flag, Source

Number = float | tuple[float, ...]
_FLAGS = frozenset(get_args(Flag)) - {"own"}


class TableError(ValueError):
    """A shop table is wrong in itself; the installation or the change to it has to be mended."""


class OwnError(ValueError):
    """A value of one's own cannot stand; says why and the way out. ``at`` is its place in the row, "values.shear"."""

    def __init__(self, at: str, text: str) -> None:
        super().__init__(text)
        self.at = at


@dataclass(frozen=True)
class Field:
    """What one number of a table is. ``range`` is what can be true; ``pair`` a low and a high end, ``many`` a list."""

    id: str
    label: str
    unit: str
    range: tuple[float, float]
    group: str
    pair: bool = False
    many: bool = False
    optional: bool = False
    per_inch: str = ""
    """Name under which the row may give it as a count to the inch instead."""

    def fault(self, value: Number) -> str | None:
        """Why a value cannot be this number, or None."""
        numbers = value if isinstance(value, tuple) else (value,)
        if isinstance(value, tuple) != (self.pair or self.many):
            wanted = (
                "two numbers, low and high"
                if self.pair
                else "a list of numbers"
                if self.many
                else "one number"
            )
            return f"{self.label}: {wanted} wanted"
        if self.pair and (len(numbers) != 2 or not numbers[0] <= numbers[1]):
            return f"{self.label}: two numbers wanted, the low one first"
        if not numbers:
            return f"{self.label}: at least one number is wanted"
        low, high = self.range
        for number in numbers:
            if not math.isfinite(number):
                return f"{self.label} must be a finite number"
            if not low <= number <= high:
                return f"{self.label} must lie from {low:g} to {high:g} {self.unit}, not {number:g}".replace(
                    " 1,", ","
                )
        return None


@dataclass(frozen=True)
class Row:
    """One row: numbers by field (None where the table has none), words such as a sheet's kind, sources by field."""

    id: str
    label: str
    values: Mapping[str, Number | None]
    words: Mapping[str, str]
    sources: Mapping[str, Source]

    def __hash__(self) -> int:
        return hash((self.id, self.label))

    def source_of(self, name: str) -> Source:
        """Source of a field, or of a group of them. Raises KeyError."""
        return self.sources[name]

    def number(self, name: str) -> float:
        """A field that is one number. Raises TableError where the row has none."""
        value = self.values[name]
        if not isinstance(value, float):
            raise TableError(f"{self.id}: {name} is no single number")
        return value

    def numbers(self, name: str) -> tuple[float, ...]:
        """A field that is a pair or a list. Raises TableError where the row has none."""
        value = self.values[name]
        if not isinstance(value, tuple):
            raise TableError(f"{self.id}: {name} is no list")
        return value


@dataclass(frozen=True)
class Shelf:
    """One declared table with its rows as shipped."""

    id: str
    label: str
    add: bool
    """Whether rows of one's own can be added."""
    fixed: frozenset[str]
    """Ids of rows that nobody may change."""
    ascending: tuple[str, ...]
    """Fields that must not get smaller in this order."""
    fields: Mapping[str, Field]
    rows: Mapping[str, Row]


@dataclass(frozen=True)
class Own:
    """A row of a person's own: numbers by field, in the table's unit; ``like`` is the row a new one starts from."""

    table: str
    id: str
    label: str = ""
    like: str = ""
    values: tuple[tuple[str, Number], ...] = ()
    note: str = ""
    """Where the person has the values from."""


@dataclass(frozen=True)
class Tables:
    """The shop's tables with a person's own rows over them; the same rows make equal tables."""

    own: tuple[Own, ...] = ()

    @cached_property
    def _rows(self) -> dict[str, Mapping[str, Row]]:
        found = {key: dict(shelf.rows) for key, shelf in shelves().items()}
        for own in self.own:
            found[own.table][own.id] = laid_over(found[own.table], own)
        return dict(found)

    @cached_property
    def made(self) -> dict[str, Any]:
        """What others worked out from these rows, by name; kept with the tables."""
        return {}

    def rows(self, key: str) -> Mapping[str, Row]:
        """Rows of a table by id, own ones last. Raises KeyError."""
        return self._rows[key]


SHIPPED = Tables()
"""The tables as they come with the program."""


def laid_over(rows: Mapping[str, Row], own: Own) -> Row:
    """The row that a person's own one makes of those there are. Raises OwnError where it cannot stand."""
    if fault := next(own_faults(rows, own), None):
        raise fault
    fields = shelves()[own.table].fields
    start = rows[own.id if own.id in rows else own.like]
    values, sources = dict(start.values), dict(start.sources)
    for name, value in own.values:
        sources[name] = _own_source(fields[name], own, start)
        values[name] = value
    groups = {fields[name].group for name, _ in own.values}
    for group in groups:
        changed = [fields[name] for name, _ in own.values if fields[name].group == group]
        texts = "; ".join(sources[each.id].text for each in changed)
        sources[group] = Source(texts, "own")
    return replace(start, id=own.id, label=own.label or start.label, values=values, sources=sources)


def _own_source(spec: Field, own: Own, start: Row) -> Source:
    """What is said of an own number: that it is one, where from, and what stands in the table."""
    said = f"your own value for {spec.label.lower()}" + (f" ({own.note})" if own.note else "")
    before, source = start.values.get(spec.id), start.sources.get(spec.id)
    if before is None or source is None:
        return Source(f"{said}; the table has none", "own")
    told = " to ".join(f"{n:g}" for n in (before if isinstance(before, tuple) else (before,)))
    where = "the table" if own.id == start.id else f"{start.label}, which it starts from,"
    named = spec.unit or start.words.get("unit", "")
    unit = f" {named}" if named not in ("", "1") else ""
    return Source(f"{said}; {where} has {told}{unit}: {source.text}", "own")


def own_faults(rows: Mapping[str, Row], own: Own) -> Iterator[OwnError]:
    """What is wrong with a row of one's own, given the rows of its table so far; its table must be a known one."""
    shelf = shelves()[own.table]
    there = own.id in rows
    if own.id in shelf.fixed:
        yield OwnError(
            "id", f"'{own.id}' is set by law for the safety of children and cannot be changed; take it out"
        )
    if there and own.like:
        yield OwnError(
            "like", f"{shelf.label} has '{own.id}' already, so it starts from that; leave 'like' empty"
        )
    if not there and not shelf.add:
        yield OwnError("id", f"{shelf.label} has no '{own.id}'; there are: {', '.join(rows)}")
    elif not there and own.like not in rows:
        told = (
            f"no '{own.like}' to start from" if own.like else "a new row needs 'like', the row it starts from"
        )
        yield OwnError("like", f"{shelf.label}: {told}; there are: {', '.join(rows)}")
    wrong = False
    for name, value in own.values:
        spec = shelf.fields.get(name)
        if spec is None:
            wrong = True
            yield OwnError(
                f"values.{name}", f"{shelf.label} has no '{name}'; there are: {', '.join(shelf.fields)}"
            )
        elif fault := spec.fault(value):
            wrong = True
            yield OwnError(f"values.{name}", fault)
    start = rows.get(own.id, rows.get(own.like))
    if start is not None and not wrong and (fault := _falling(shelf, {**start.values, **dict(own.values)})):
        yield OwnError("values", fault)


def _falling(shelf: Shelf, values: Mapping[str, Number | None]) -> str | None:
    """Which two fields of a row stand in the wrong order, or None."""
    for low, high in pairwise(shelf.ascending):
        first, second = values[low], values[high]
        if isinstance(first, float) and isinstance(second, float) and first > second:
            return f"{shelf.fields[low].label} ({first:g}) is above {shelf.fields[high].label.lower()} ({second:g})"
    return None


@cache
def shelves() -> Mapping[str, Shelf]:
    """Every declared table by id."""
    return {
        row["id"]: _shelf(row, resource_table(row["file"])) for row in resource_table("tables.toml")["table"]
    }


def _shelf(declared: Mapping[str, Any], data: Mapping[str, Any]) -> Shelf:
    """A table's declaration with its rows. Raises TableError."""
    fields = {f["id"]: Field(**{**f, "range": tuple(f["range"])}) for f in declared["field"]}
    words = tuple(declared.get("words", ()))
    if "rows" in declared:
        raw = list(data[declared["rows"]])
    else:
        raw = [{"id": key, "label": key.replace("_", " "), **row} for key, row in data.items()]
    rows: dict[str, Row] = {}
    for each in raw:
        row = _row(each, fields, words, data.get("source", {}))
        if row.id in rows:
            raise TableError(f"{declared['id']}: {row.id} stands twice")
        rows[row.id] = row
    fixed, ascending = frozenset(declared.get("fixed", ())), tuple(declared.get("ascending", ()))
    shelf = Shelf(declared["id"], declared["label"], declared["add"], fixed, ascending, fields, rows)
    for row in rows.values():
        if fault := _falling(shelf, row.values):
            raise TableError(f"{declared['id']}: {row.id}: {fault}")
    return shelf


def _row(
    raw: Mapping[str, Any], fields: Mapping[str, Field], words: tuple[str, ...], sources: Mapping[str, Any]
) -> Row:
    """A row of a parsed table; its sources are the file's, or its own source and flag for all of it."""
    key = raw["id"]
    counted = {spec.per_inch for spec in fields.values()}
    if strange := set(raw) - {"id", "label", "from", "source", "flag", "unit", *words, *fields, *counted}:
        raise TableError(f"{key}: there is no {', '.join(sorted(strange))}")
    values: dict[str, Number | None] = {}
    found: dict[str, Source] = {}
    for name, spec in fields.items():
        value = _given(raw, spec)
        if value is None and not spec.optional:
            raise TableError(f"{key}: {name} is missing")
        if value is not None and (fault := spec.fault(value)):
            raise TableError(f"{key}: {fault}")
        values[name] = value
        for part in (spec.group, name):
            found[part] = _source(raw, spec, part, sources)
    return Row(key, raw["label"], values, {word: raw[word] for word in words}, found)


def _given(raw: Mapping[str, Any], spec: Field) -> Number | None:
    """A field of a row in the table's unit; a row's lengths may be in inches."""
    if spec.per_inch in raw:
        return float(INCH / raw[spec.per_inch])
    given = raw.get(spec.id)
    if given is None:
        return None
    scale = INCH if spec.unit == "mm" and raw.get("unit") == "in" else 1.0
    return tuple(n * scale for n in given) if isinstance(given, list) else float(given * scale)


def _source(raw: Mapping[str, Any], spec: Field, part: str, sources: Mapping[str, Any]) -> Source:
    """Source of a row's field or group. Raises TableError where there is none or its flag is unknown."""
    if "from" in raw:
        name = raw["from"].get(part, raw["from"].get(spec.group))
        if name not in sources:
            raise TableError(f"{raw['id']}: {part} names no source of the file ({name})")
        given = (sources[name]["text"], sources[name]["flag"])
    else:
        given = (raw["source"], raw["flag"])
    if given[1] not in _FLAGS:
        raise TableError(f"{raw['id']}: {part} has the unknown flag {given[1]}")
    return Source(*given)

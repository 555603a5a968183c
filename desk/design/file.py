"""The design's file: JSON with a format name and a schema number, extension ``.lane``.

Reading is strict: whatever is unknown, of a wrong type, missing or out of range is refused, and every problem
found is told with its place ("$.targets[0].hole"). Writing is atomic: the old file stays whole until the new
one is on the disk. Reading never writes.
"""

from __future__ import annotations

import json
import os
import re
import secrets
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import msgspec

from desk.design import rules, table
from desk.design.model import ENTRY_TYPES, Design, Entry
from desk.design.rules import Parts, Problem

FORMAT = "lanewright design"
SCHEMA = 1
EXTENSION = ".lane"
LARGEST = 4_000_000
"""Bytes: a larger file is not read."""

Step = Callable[[dict[str, Any]], dict[str, Any]]
MIGRATIONS: Mapping[int, Step] = {}
"""Schema number to the pure function that lifts a document from it to the next one."""

_MAPS: dict[str, tuple[type, str]] = {
    "values": (float, "a number"),
    "choices": (str, "a text"),
    "typed": (str, "a text"),
}
_PLACED = re.compile(r"(?P<text>.*) - at `\$(?P<path>.*)`", re.DOTALL)
_BYTE = re.compile(r"\(byte (?P<byte>[0-9]+)\)")


class DesignFileError(ValueError):
    """The file is no design this program can use, or cannot be read or written; nothing was changed.

    ``problems`` holds everything found.
    """

    def __init__(self, what: str, problems: tuple[Problem, ...]) -> None:
        lines = [what, *(f"  {p}" if p.path else f"  {p.text}" for p in problems)]
        super().__init__("\n".join(lines))
        self.what = what
        self.problems = problems


def load(path: str | os.PathLike[str]) -> Design:
    """The design in a file. Raises DesignFileError."""
    try:
        with Path(path).open("rb") as file:
            data = file.read(LARGEST + 1)
    except OSError as error:
        raise DesignFileError(
            f"{path} cannot be read", (Problem("", error.strerror or str(error)),)
        ) from error
    return loads(data, name=os.fspath(path))


def loads(
    data: bytes, name: str = "the design", migrations: Mapping[int, Step] = MIGRATIONS, schema: int = SCHEMA
) -> Design:
    """The design in a file's bytes; ``name`` is used in messages. Raises DesignFileError."""
    try:
        document = _lift(_decode(data), migrations, schema)
        return _design(document)
    except _Refused as refused:
        raise DesignFileError(f"{name} cannot be opened", refused.problems) from None


def dumps(design: Design) -> bytes:
    """The file's bytes: keys sorted, two blanks a level, a line end at the end. Raises DesignFileError."""
    if found := rules.problems(design):
        raise DesignFileError(f"{design.name} cannot be saved", found)
    document = {"format": FORMAT, "schema": SCHEMA, **msgspec.to_builtins(design)}
    try:
        packed = msgspec.json.encode(document, order="sorted")
    except UnicodeEncodeError as error:
        problem = Problem("$", f"a text holds a character that no file can hold ({error.reason})")
        raise DesignFileError(f"{design.name} cannot be saved", (problem,)) from error
    return msgspec.json.format(packed, indent=2) + b"\n"


def save(design: Design, path: str | os.PathLike[str]) -> None:
    """Write the design so that the file is either the old one or the new one, whatever happens.

    The version before is kept beside it with ``.bak`` added to its name. A link stays a link and the file
    keeps its permissions. Raises DesignFileError; the file is then as it was.
    """
    data = dumps(design)
    target = Path(os.path.realpath(path))
    try:
        before = target.read_bytes() if target.exists() else None
        if before == data:
            return
        with _part(target, data) as new:
            if before is not None:
                with _part(target, before) as old:
                    os.replace(old, target.with_name(target.name + ".bak"))
            os.replace(new, target)
    except OSError as error:
        problem = Problem("", error.strerror or str(error))
        raise DesignFileError(f"{path} cannot be saved; the file is as it was", (problem,)) from error


@contextmanager
def _part(target: Path, data: bytes) -> Iterator[Path]:
    """A file beside the target, with its permissions, on the disk; gone afterwards unless moved away."""
    part = target.with_name(f".{secrets.token_hex(6)}.part")
    try:
        with part.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, part)
        yield part
    finally:
        part.unlink(missing_ok=True)


class _Refused(Exception):  # noqa: N818
    def __init__(self, *problems: Problem) -> None:
        super().__init__()
        self.problems = problems


def _decode(data: bytes) -> dict[str, Any]:
    """The document's outermost object, duplicate keys refused."""
    if len(data) > LARGEST:
        raise _Refused(
            Problem("", f"it is larger than {LARGEST // 1_000_000} MB and no design of this program")
        )
    text = data.removeprefix(b"\xef\xbb\xbf")
    if not text.strip():
        raise _Refused(Problem("", "the file is empty"))
    try:
        document = msgspec.json.decode(text)
        repeated: list[str] = []
        json.loads(text, object_pairs_hook=lambda pairs: repeated.extend(_repeats(pairs)))
    except RecursionError:
        raise _Refused(Problem("$", "the file is nested too deeply to be a design")) from None
    except msgspec.DecodeError as error:
        raise _Refused(_syntax(error, text)) from None
    except UnicodeError:
        raise _Refused(Problem("$", "the file is not text in UTF-8")) from None
    except ValueError as error:
        raise _Refused(Problem("$", f"the file cannot be read as JSON: {error}")) from None
    if not isinstance(document, dict):
        raise _Refused(Problem("$", "the file is JSON, but not a design: an object { } was expected"))
    if repeated:
        raise _Refused(*(Problem("$", f"'{key}' is given twice in one object") for key in repeated))
    return document


def _repeats(pairs: list[tuple[str, Any]]) -> list[str]:
    keys = [key for key, _ in pairs]
    return sorted({key for key in keys if keys.count(key) > 1})


def _syntax(error: msgspec.DecodeError, text: bytes) -> Problem:
    """Where and why the text stops being JSON."""
    said = str(error)
    if "truncated" in said:
        line = text.count(b"\n") + 1
        return Problem("$", f"the file ends too early, in line {line}; a part of it is missing")
    if "out of range" in said:
        return Problem("$", "a number is too large to be held")
    match = _BYTE.search(said)
    if match is None:
        return Problem("$", f"the file is not JSON: {said}")
    head = text[: int(match["byte"]) - ("trailing" in said)]
    line, column = head.count(b"\n") + 1, len(head) - (head.rfind(b"\n") + 1) + 1
    reason = said.removeprefix("JSON is malformed: ").replace(match[0], "").strip()
    return Problem("$", f"the file is not JSON: {reason}, line {line}, column {column}")


def _lift(document: dict[str, Any], migrations: Mapping[int, Step], schema: int) -> dict[str, Any]:
    """The document at the schema this program writes, without format name and schema number."""
    if document.get("format") != FORMAT:
        raise _Refused(Problem("$.format", f"the file is not a Lanewright design: format must be '{FORMAT}'"))
    found = document.get("schema")
    if not isinstance(found, int) or isinstance(found, bool) or found < 0:
        raise _Refused(Problem("$.schema", "schema must be a whole number"))
    if found > schema:
        text = (
            f"the file has schema {found}, this program knows up to {schema}; open it with a newer Lanewright"
        )
        raise _Refused(Problem("$.schema", text))
    body = {key: value for key, value in document.items() if key not in ("format", "schema")}
    for number in range(found, schema):
        if number not in migrations:
            raise _Refused(Problem("$.schema", f"schema {found} is older than this program can read"))
        body = migrations[number](body)
    return body


def _design(document: dict[str, Any]) -> Design:
    """The design of a document at the present schema, all problems collected."""
    problems: list[Problem] = []
    maps = {key: _map(document, key, problems) for key in _MAPS}
    broken: set[str] = set()
    lists = {key: _list(document, key, problems, broken) for key in table.LISTS}
    rest = {key: value for key, value in document.items() if key not in (*_MAPS, *table.LISTS)}
    head = _head(rest, problems)
    parts = Parts(
        unit=head.unit,
        texts={key: getattr(head, key) for key in ("name", "notes", "header_text")},
        values=maps["values"],
        choices={**table.choice_defaults(), **maps["choices"]},
        typed=maps["typed"],
        locked=head.locked,
        lists=lists,
        ball_readings=head.ball_readings,
        own=head.own,
        mutes=head.mutes,
        broken=frozenset(broken),
    )
    problems += rules.problems_of(parts)
    if problems:
        raise _Refused(*dict.fromkeys(problems))
    items: dict[str, Any] = {key: tuple(entries.values()) for key, entries in lists.items()}
    return msgspec.structs.replace(head, **maps, **items)


def _head(rest: dict[str, Any], problems: list[Problem]) -> Design:
    """The design's single fields; each that cannot be read is told and left at its default."""
    known = set(Design.__struct_fields__)
    for key in sorted(set(rest) - known):
        problems.append(Problem(f"$.{key}", f"there is no field '{key}' in a design"))
    if "name" not in rest:
        problems.append(Problem("$.name", "the name is missing"))
    good: dict[str, Any] = {"name": "unnamed"}
    for key in sorted(set(rest) & known):
        try:
            msgspec.convert({"name": "unnamed", key: rest[key]}, Design, strict=True)
        except msgspec.ValidationError as error:
            problems.append(_placed("$", error))
        else:
            good[key] = rest[key]
    locked = good.get("locked", [])
    return msgspec.convert({**good, "locked": sorted(locked)}, Design, strict=True)


def _map(document: dict[str, Any], key: str, problems: list[Problem]) -> dict[str, Any]:
    """One map of the document; entries of a wrong type are told and left out."""
    kind, wanted = _MAPS[key]
    found = document.get(key, {})
    if not isinstance(found, dict):
        problems.append(Problem(f"$.{key}", f"an object {{ }} was expected, not {_name(found)}"))
        return {}
    good: dict[str, Any] = {}
    for address, value in found.items():
        try:
            good[address] = msgspec.convert(value, kind, strict=True)
        except msgspec.ValidationError:
            large = kind is float and _name(value) == "a number"
            text = "the number is too large" if large else f"{wanted} was expected, not {_name(value)}"
            problems.append(Problem(f"$.{key}.{address}", text))
    return good


def _list(
    document: dict[str, Any], key: table.ListName, problems: list[Problem], broken: set[str]
) -> dict[int, Entry]:
    """One list of the document by place from 1; items that cannot be read are told and left out."""
    found = document.get(key, [])
    if not isinstance(found, list):
        problems.append(Problem(f"$.{key}", f"a list [ ] was expected, not {_name(found)}"))
        broken.add(key)
        return {}
    good: dict[int, Entry] = {}
    for place, value in enumerate(found):
        try:
            good[place + 1] = msgspec.convert(value, ENTRY_TYPES[key], strict=True)
        except msgspec.ValidationError as error:
            problems.append(_placed(f"$.{key}[{place}]", error))
            broken.add(key)
    return good


def _placed(path: str, error: Exception) -> Problem:
    """A conversion error at the place it names below ``path``."""
    match = _PLACED.fullmatch(str(error))
    said, path = (match["text"], path + match["path"]) if match else (str(error), path)
    return Problem(path, said.replace("`", "'"))


def _name(value: object) -> str:
    """What a decoded JSON value is, in words."""
    if isinstance(value, str):
        return f"the text '{value:.40}'"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return "a number"
    return "null" if value is None else "an object" if isinstance(value, dict) else "a list"

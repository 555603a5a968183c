"""New items for the design's lists, made like an existing one so that they are near what is wanted. No Qt."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from desk.design import table
from desk.design.model import (
    BitEntry,
    Design,
    DowelEntry,
    Entry,
    Named,
    PointEntry,
    ScrewEntry,
    StockEntry,
    TargetEntry,
)
from desk.design.table import ListName

ADD_WORDS: dict[ListName, str] = {
    "targets": "Add a target",
    "silhouette": "Add a point",
    "stocks": "Add a stock",
    "bits": "Add a bit",
    "dowels": "Add a dowel",
    "screws": "Add a screw",
}
LIST_WORDS: dict[ListName, str] = {
    "targets": "Targets",
    "silhouette": "Silhouette of the panels",
    "stocks": "Stocks",
    "bits": "Bits",
    "dowels": "Dowels in the drawer",
    "screws": "Screws in the drawer",
}


def another(design: Design, list_name: ListName, like: int = 0) -> tuple[Entry, int]:
    """A new item and the place, from 1, it is meant for: after item ``like``, or after the last one for 0."""
    entries = design.entries(list_name)
    place = like or len(entries)
    model = entries[place - 1] if entries else _plain(list_name)
    after = entries[place] if 0 < place < len(entries) else None
    if isinstance(model, TargetEntry):
        return _beside(design, model), place + 1
    if isinstance(model, PointEntry):
        return _between(model, after if isinstance(after, PointEntry) else None), place + 1
    ids = [e.id for e in entries if isinstance(e, Named)]
    key = free_id(model.id, ids)
    return msgspec.structs.replace(model, id=key, label=f"{model.label} ({key})"), place + 1


def free_id(like: str, taken: Iterable[str]) -> str:
    """An id that is not taken, made from ``like`` by counting up."""
    used = {t.casefold() for t in taken}
    stem = like.rstrip("0123456789-") or like
    number = 2
    while f"{stem}-{number}".casefold() in used:
        number += 1
    return f"{stem}-{number}"


def _plain(list_name: ListName) -> Entry:
    numbers = {f.address.split(".")[1]: f.default for f in table.list_fields(list_name)}
    if list_name == "targets":
        score = int(numbers.pop("score"))
        return TargetEntry(kind="ring", score=score, **numbers)
    if list_name == "silhouette":
        return PointEntry(origin="front", **numbers)
    if list_name == "stocks":
        return msgspec.convert(
            {"id": "s1", "label": "New sheet", "material": "birch-plywood", **numbers}, StockEntry
        )
    if list_name == "dowels":
        return DowelEntry(id="d1", label="New dowel", **numbers)
    if list_name == "screws":
        return ScrewEntry(id="w1", label="New screw", size="no6", **numbers)
    return BitEntry(id="b1", label="New bit", kind="straight", **numbers)


def _beside(design: Design, model: TargetEntry) -> TargetEntry:
    """A target beside the model, on the side with more room, clear of its rail."""
    step = 2 * (max(model.rail, model.hole / 2) + design.value("board.rail_width")) + model.hole
    low, high = table.spec("targets.1.across").hard
    across = model.across + step if model.across <= 0 else model.across - step
    return msgspec.structs.replace(model, across=min(high, max(low, across)))


def _between(model: PointEntry, after: PointEntry | None) -> PointEntry:
    """A point half way to the next one, or a little further on where there is none with the same origin."""
    if after is not None and after.origin == model.origin:
        return msgspec.structs.replace(model, x=(model.x + after.x) / 2, z=(model.z + after.z) / 2)
    along = 20.0 if model.origin == "front" else -20.0
    return msgspec.structs.replace(model, x=model.x + along)

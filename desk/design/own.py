"""A person's own values: rows that the document lays over the shop's tables."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from desk.shop.tables import SHIPPED, Own, OwnError, Row, Tables, laid_over, own_faults, shelves


class OwnRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Values of one's own for one row of a shop table; the rest stays as the table has it.

    An ``id`` the table has replaces single numbers there; a new one adds a row that starts as row ``like``.
    ``values`` are in the table's units; ``note`` says where they are from.
    """

    table: str
    id: str
    label: str = ""
    like: str = ""
    values: dict[str, float | tuple[float, ...]] = {}
    note: str = ""


_last: list[tuple[tuple[OwnRow, ...], Tables]] = [((), SHIPPED)]


def tables_of(rows: tuple[OwnRow, ...]) -> Tables:
    """The shop's tables under these rows; the very same object for the same tuple as last time.

    Raises OwnError when a row cannot stand.
    """
    if not rows:
        return SHIPPED
    known, made = _last[0]
    if known is not rows:
        made = made if known == rows else Tables(tuple(plain(row) for row in rows))
        _last[0] = (rows, made)
    return made


def plain(row: OwnRow) -> Own:
    """The row as the tables take it."""
    return Own(row.table, row.id, row.label, row.like, tuple(sorted(row.values.items())), row.note)


def faults(rows: tuple[OwnRow, ...]) -> Iterator[tuple[int, OwnError]]:
    """What is wrong with rows of one's own, each with its place from 0."""
    laid: dict[str, dict[str, Row]] = {key: dict(shelf.rows) for key, shelf in shelves().items()}
    seen: set[tuple[str, str]] = set()
    for place, row in enumerate(rows):
        if row.table not in laid:
            yield place, OwnError("table", f"there is no table '{row.table}'; there are: {', '.join(laid)}")
            continue
        if (row.table, row.id) in seen:
            yield (
                place,
                OwnError("id", f"'{row.id}' of {row.table} is given twice; put its values into one row"),
            )
            continue
        seen.add((row.table, row.id))
        own, wrong = plain(row), False
        for fault in own_faults(laid[row.table], own):
            wrong = True
            yield place, fault
        if not wrong:
            laid[row.table][row.id] = laid_over(laid[row.table], own)

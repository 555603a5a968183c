"""The findings as rows: a heading for each status, below it its findings by number. Headings fold.

Rows speak up only when what they show changed, so a selection follows its finding through a drag.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from desk.checks.finding import Finding
from desk.units import Unit
from desk.views.wording import BEING_CHECKED, margin_words

Index = QModelIndex | QPersistentModelIndex
ROOT = QModelIndex()
RowRole = Qt.ItemDataRole.UserRole + 1
ORDER = ("conflict", "tight", "clear")
HEADINGS = {"conflict": "In conflict", "tight": "Tight", "clear": "Clear"}


@dataclass(frozen=True)
class Row:
    """One row: a heading (no finding) or a finding, with the texts it shows."""

    status: str
    title: str
    aside: str
    finding: Finding | None = None
    number: str = ""
    folded: bool = False
    waits: bool = False
    """Whether the finding is still being checked."""

    @property
    def key(self) -> str:
        """What stays the same while the texts change."""
        return self.finding.key if self.finding else f"heading {self.status}"

    def shows(self) -> tuple[object, ...]:
        """All that can be seen of the row."""
        return self.status, self.title, self.aside, self.number, self.folded, self.waits


class FindingsModel(QAbstractListModel):
    """Rows for a list view."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._findings: tuple[Finding, ...] = ()
        self._unit: Unit = "mm"
        self._number_of: Callable[[str], str] = lambda _key: ""
        self._pending: frozenset[str] = frozenset()
        self._folded = {"clear"}
        self._rows: list[Row] = []

    def show(
        self,
        findings: tuple[Finding, ...],
        unit: Unit,
        number_of: Callable[[str], str],
        pending: frozenset[str] = frozenset(),
    ) -> None:
        """Show these findings with the numbers of their flags, which ``number_of`` gives by key; those of the checks
        ``pending`` as being checked, without a margin.
        """
        self._findings, self._unit, self._number_of, self._pending = findings, unit, number_of, pending
        self._update()

    def fold(self, status: str, folded: bool) -> None:
        """Fold or unfold a heading."""
        (self._folded.add if folded else self._folded.discard)(status)
        self._update()

    def row_of(self, key: str, unfold: bool) -> int:
        """The row of a finding, its heading unfolded first if asked for; -1 when it has none."""
        finding = next((f for f in self._findings if f.key == key), None)
        if unfold and finding is not None and finding.status in self._folded:
            self.fold(finding.status, False)
        return next((k for k, row in enumerate(self._rows) if row.key == key), -1)

    def row(self, index: Index) -> Row | None:
        """The row at an index."""
        return self._rows[index.row()] if index.isValid() else None

    def rowCount(self, parent: Index = ROOT) -> int:
        """Number of rows."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Texts for the view and for screen readers."""
        row = self.row(index)
        if row is None:
            return None
        if role == RowRole:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return row.title
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return _spoken(row)
        if role == Qt.ItemDataRole.ToolTipRole and row.finding is not None:
            return f"{row.title}\n{BEING_CHECKED if row.waits else row.finding.because}"
        return None

    def _update(self) -> None:
        rows = list(self._made())
        if [r.key for r in rows] != [r.key for r in self._rows]:
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()
            return
        before, self._rows = self._rows, rows
        for k, (old, new) in enumerate(zip(before, rows, strict=True)):
            if old.shows() != new.shows():
                self.dataChanged.emit(self.index(k), self.index(k))

    def _made(self) -> list[Row]:
        out = []
        for status in ORDER:
            of_it = [f for f in self._findings if f.status == status]
            folded = status in self._folded
            late = sum(f.check in self._pending for f in of_it)
            count = f"{len(of_it) - late}, {late} {BEING_CHECKED}" if late else str(len(of_it))
            out.append(Row(status, HEADINGS[status], count, folded=folded))
            if not folded:
                out.extend(map(self._line, of_it))
        return out

    def _line(self, f: Finding) -> Row:
        waits = f.check in self._pending
        aside = "…" if waits else margin_words(f, self._unit)
        return Row(f.status, f.title, aside, f, self._number_of(f.key), waits=waits)


def _spoken(row: Row) -> str:
    if row.finding is None:
        return f"{row.title}, {row.aside}, {'folded' if row.folded else 'unfolded'}"
    if row.waits:
        return f"{row.number} {row.title}, {BEING_CHECKED}".strip()
    margin = f", margin {row.aside}" if row.aside else ""
    return f"{row.number} {row.status}, {row.title}{margin}".strip()

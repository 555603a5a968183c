"""The findings as rows: a heading for each status, under it one for each family, under that its findings by number.

Many findings of one check are told by the worst of them, over a heading that folds the others. Headings fold. Muted
findings have a heading of their own, with mutes that mute nothing now. Rows speak up only when what they show changed,
so a selection follows its finding through a drag. While findings are sifted nothing is told by another, every heading
tells how many of how many it shows, and folds apart from the way it is folded otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from desk.checks.finding import Finding
from desk.design.model import Mute
from desk.ui.sift import Sift, status_of
from desk.units import Unit
from desk.views.wording import BEING_CHECKED, because_words, margin_words, title_words

Index = QModelIndex | QPersistentModelIndex
ROOT = QModelIndex()
RowRole = Qt.ItemDataRole.UserRole + 1
HEADINGS = {"conflict": "In conflict", "tight": "Tight", "muted": "Muted", "clear": "Clear"}
"""Headings in order. That of what is muted is left out where nothing is."""
FOLDED_AT_FIRST = frozenset({"muted", "clear"})
IDLE = "Not found now"
MANY = 3
"""So many findings of one check are told by their worst."""
ALIKE = 2
"""Level of the headings that fold the others of a check; those of statuses are at 0, those of families at 1."""


@dataclass(frozen=True)
class Row:
    """One row: a heading (no key) or a finding, or a mute that mutes nothing, with the texts it shows."""

    status: str
    title: str
    aside: str
    finding: Finding | None = None
    number: str = ""
    folded: bool = False
    waits: bool = False
    """Whether the finding is still being checked."""
    group: str = ""
    """Of a heading: what it folds, a status or "status/family"."""
    mute: str = ""
    """Of a mute that mutes nothing: its key."""
    reason: str = ""
    """Why it is muted."""
    unit: Unit = "mm"
    """What lengths are shown in."""
    inner: bool = False
    """Whether it stands under a worse one of its check."""

    @property
    def heading(self) -> bool:
        """Whether it is a heading."""
        return bool(self.group)

    @property
    def level(self) -> int:
        """Of a heading: how deep it stands."""
        return self.group.count("/")

    @property
    def target(self) -> str:
        """The key to choose when the row is turned to; "" for a heading."""
        return self.finding.key if self.finding is not None else self.mute

    @property
    def key(self) -> str:
        """What stays the same while the texts change."""
        return f"heading {self.group}" if self.heading else self.target

    def shows(self) -> tuple[object, ...]:
        """All that can be seen of the row."""
        return (
            self.status,
            self.title,
            self.aside,
            self.number,
            self.folded,
            self.waits,
            self.reason,
            self.inner,
        )


class FindingsModel(QAbstractListModel):
    """Rows for a list view."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._findings: tuple[Finding, ...] = ()
        self._unit: Unit = "mm"
        self._number_of: Callable[[str], str] = lambda _key: ""
        self._pending: frozenset[str] = frozenset()
        self._labels: Mapping[str, str] = {}
        self._idle: tuple[Mute, ...] = ()
        self._folded: dict[bool, set[str]] = {False: set(FOLDED_AT_FIRST), True: set()}
        self._unfolded: set[str] = set()
        """Headings of findings alike that are unfolded."""
        self._sift = Sift()
        self._wanted: tuple[Finding, ...] = ()
        self._rows: list[Row] = []

    @property
    def sift(self) -> Sift:
        """What is asked for."""
        return self._sift

    @property
    def wanted(self) -> tuple[Finding, ...]:
        """The findings that are asked for, folded or not."""
        return self._wanted

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings."""
        return self._findings

    def show(
        self,
        findings: tuple[Finding, ...],
        unit: Unit,
        number_of: Callable[[str], str],
        pending: frozenset[str] = frozenset(),
        labels: Mapping[str, str] | None = None,
        mutes: Sequence[Mute] = (),
    ) -> None:
        """Show these findings with the numbers of their flags, which ``number_of`` gives by key; those of the checks
        ``pending`` as being checked, without a margin. ``labels`` are those of parts by id, ``mutes`` the design's.
        """
        self._findings, self._unit, self._number_of, self._pending = findings, unit, number_of, pending
        self._labels = labels or {}
        used = {f.key for f in findings if f.muted or f.check in pending}
        self._idle = tuple(mute for mute in mutes if mute.key not in used)
        self._update()

    def ask_for(self, sift: Sift) -> None:
        """Show what is asked for."""
        if sift != self._sift:
            if sift.active and not self._sift.active:
                self._folded[True].clear()
            self._sift = sift
            self._update()

    def fold(self, group: str, folded: bool) -> None:
        """Fold or unfold a heading."""
        if group.count("/") == ALIKE:
            (self._unfolded.discard if folded else self._unfolded.add)(group)
        else:
            (self._folds.add if folded else self._folds.discard)(group)
        self._update()

    @property
    def _folds(self) -> set[str]:
        return self._folded[self._sift.active]

    def row_of(self, key: str, unfold: bool) -> int:
        """The row of a finding or heading; -1 when it has none. Headings of findings alike are unfolded for it, those
        of its status and family if asked for.
        """
        finding = next((f for f in self._findings if f.key == key), None)
        if finding is not None and self._at(key) < 0:
            family = f"{status_of(finding)}/{finding.family}"
            self._unfolded.add(f"{family}/{finding.check}")
            if unfold:
                self._folds.difference_update({status_of(finding), family})
            self._update()
        return self._at(key)

    def _at(self, key: str) -> int:
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
        if role == Qt.ItemDataRole.ToolTipRole and not row.heading:
            return _tip(row)
        return None

    def _update(self) -> None:
        labels, sift = self._labels, self._sift
        self._wanted = (
            tuple(f for f in self._findings if sift.passes(f, labels, self._unit))
            if sift.active
            else self._findings
        )
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
        if [r.title for r in before] != [r.title for r in rows]:
            self.layoutChanged.emit()  # a title may take another line

    def _made(self) -> Iterator[Row]:
        every: dict[str, list[Finding]] = {status: [] for status in HEADINGS}
        shown: dict[str, list[Finding]] = {status: [] for status in HEADINGS}
        for found, by_status in ((self._findings, every), (self._wanted, shown)):
            for finding in found:
                by_status[status_of(finding)].append(finding)
        for status, words in HEADINGS.items():
            idle = self._idle if status == "muted" and not self._sift.active else ()
            if status == "muted" and not every[status] and not self._idle:
                continue
            folded = status in self._folds
            count = self._count(shown[status], every[status], len(idle))
            yield Row(status, words, count, folded=folded, group=status)
            if not folded:
                yield from self._families(status, shown[status], every[status])
                yield from (Row(status, mute.key, IDLE, mute=mute.key, reason=mute.reason) for mute in idle)

    def _families(self, status: str, shown: list[Finding], every: list[Finding]) -> Iterator[Row]:
        """A status' findings under a heading for each family, the families as they first come up."""
        for family in dict.fromkeys(f.family for f in shown):
            group = f"{status}/{family}"
            of_it = [f for f in shown if f.family == family]
            folded = group in self._folds
            count = self._count(of_it, [f for f in every if f.family == family])
            yield Row(status, family, count, folded=folded, group=group)
            if not folded:
                yield from self._lines(group, of_it)

    def _lines(self, group: str, findings: list[Finding]) -> Iterator[Row]:
        """Findings of a family; of many of one check the worst, and under it a heading that folds the others."""
        status = status_of(findings[0])
        told: set[str] = set()
        for finding in findings:
            alike = [f for f in findings if f.check == finding.check]
            if len(alike) < MANY or status == "muted" or self._sift.active:
                yield self._line(finding)
            elif finding.check not in told:
                told.add(finding.check)
                worst = min(alike, key=lambda f: 0.0 if f.margin is None else f.margin)
                inner = f"{group}/{finding.check}"
                folded = inner not in self._unfolded
                yield self._line(worst)
                yield Row(status, f"and {len(alike) - 1} more like it", "", folded=folded, group=inner)
                if not folded:
                    yield from (self._line(f, inner=True) for f in alike if f is not worst)

    def _count(self, shown: list[Finding], every: list[Finding], more: int = 0) -> str:
        """How many there are; how many of how many while they are sifted; how many are still being checked."""
        late = sum(f.check in self._pending for f in shown)
        count = str(len(shown) - late + more)
        if self._sift.active:
            known = sum(f.check not in self._pending for f in every)
            count = f"{count} of {known}"
        return f"{count}, {late} {BEING_CHECKED}" if late else count

    def _line(self, f: Finding, inner: bool = False) -> Row:
        waits = f.check in self._pending
        aside = "…" if waits else margin_words(f, self._unit)
        title, number = title_words(f, self._unit), self._number_of(f.key)
        return Row(
            status_of(f), title, aside, f, number, waits=waits, reason=f.muted, unit=self._unit, inner=inner
        )


def _tip(row: Row) -> str:
    if row.finding is None:
        return f"A mute is kept for {row.mute}, which is not found now: {row.reason}"
    why = BEING_CHECKED if row.waits else because_words(row.finding, row.unit, alone=True)
    muted = f"\nMuted: {row.reason}" if row.reason else ""
    return f"{row.title}\n{why}{muted}"


def _spoken(row: Row) -> str:
    if row.heading:
        return ", ".join(filter(None, (row.title, row.aside, "folded" if row.folded else "unfolded")))
    if row.finding is None:
        return f"mute of {row.mute}, {row.aside}, because {row.reason}"
    if row.waits:
        return f"{row.number} {row.title}, {BEING_CHECKED}".strip()
    margin = f", margin {row.aside}" if row.aside else ""
    status = f"muted {row.finding.status}" if row.reason else row.status
    why = f", because {row.reason}" if row.reason else ""
    return f"{row.number} {status}, {row.title}{margin}{why}".strip()

"""The dimension list as a Qt model: label, value, lock. Rows speak up only when what they show changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from desk.checks.finding import RANK, Finding
from desk.design import edit, table
from desk.design.model import Design
from desk.ui.dimension_rows import (
    Node,
    Shown,
    options,
    search_words,
    shape_of,
    shown,
    touched,
    tree,
    usual_words,
)
from desk.ui.document import Document
from desk.ui.list_items import another

Index = QModelIndex | QPersistentModelIndex
ROOT = QModelIndex()
LABEL, VALUE, LOCK = 0, 1, 2
NodeRole = Qt.ItemDataRole.UserRole + 1
ShownRole = Qt.ItemDataRole.UserRole + 2
SearchRole = Qt.ItemDataRole.UserRole + 3
EDITABLE = ("number", "choice", "word", "text")
LOCKABLE = ("number", "choice")


class DimensionModel(QAbstractItemModel):
    """Rows of a document's design."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._root = Node("group", "", "")
        self._design: Design | None = None
        self._worst: dict[str, str] = {}
        self._shown: dict[int, Shown] = {}
        self._by_key: dict[str, list[Node]] = {}
        self.refresh()

    # --- following the design

    def refresh(self) -> None:
        """Show the design as it is now."""
        before, design = self._design, self._document.design
        self._design = design
        if before is None or shape_of(design) != shape_of(before):
            self.beginResetModel()
            self._root = tree(design)
            self._shown = {id(n): shown(n, design, self._worst) for n in self.nodes()}
            self._by_key = {}
            for node in self.nodes():
                self._by_key.setdefault(node.key, []).append(node)
            self.endResetModel()
        else:
            self._follow(design, touched(before, design))

    def _follow(self, design: Design, keys: set[str] | None) -> None:
        """Look again at the rows with these keys, at all of them for None."""
        for key in self._by_key if keys is None else keys & self._by_key.keys():
            for node in self._by_key[key]:
                now = shown(node, design, self._worst)
                if now != self._shown[id(node)]:
                    self._shown[id(node)] = now
                    self.dataChanged.emit(self.index_of(node, LABEL), self.index_of(node, LOCK))

    def mark(self, findings: tuple[Finding, ...]) -> None:
        """Mark the rows that could mend a finding that is not clear."""
        worst: dict[str, str] = {}
        for f in findings:
            for remedy in f.remedies if f.status != "clear" else ():
                if remedy.address not in worst or RANK[f.status] < RANK[worst[remedy.address]]:  # type: ignore[index]
                    worst[remedy.address] = f.status
        if worst != self._worst:
            keys = {key for key, _ in worst.items() ^ self._worst.items()}
            self._worst = worst
            self._follow(self._document.design, keys)

    def nodes(self, below: Node | None = None) -> Iterator[Node]:
        """Every row, parents before what is below them."""
        for node in (below or self._root).rows:
            yield node
            yield from self.nodes(node)

    def node(self, index: Index) -> Node | None:
        """The row at an index."""
        found = index.internalPointer() if index.isValid() else None
        return found if isinstance(found, Node) else None

    def index_of(self, node: Node, column: int = LABEL) -> QModelIndex:
        """The index of a row."""
        return self.createIndex(node.place, column, node)

    def index_at(self, key: str, column: int = LABEL) -> QModelIndex:
        """The index of the row with this address or id; invalid when there is none."""
        node = next((n for n in self.nodes() if n.key == key and n.kind in EDITABLE), None)
        return self.index_of(node, column) if node else QModelIndex()

    # --- what Qt asks

    def index(self, row: int, column: int, parent: Index = ROOT) -> QModelIndex:
        """The index of a row below another."""
        above = self.node(parent) or self._root
        if 0 <= row < len(above.rows) and 0 <= column <= LOCK:
            return self.createIndex(row, column, above.rows[row])
        return QModelIndex()

    def parent(self, index: Index) -> QModelIndex:  # type: ignore[override]
        """The row above."""
        node = self.node(index)
        if node is None or node.parent is None or node.parent is self._root:
            return QModelIndex()
        return self.createIndex(node.parent.place, LABEL, node.parent)

    def rowCount(self, parent: Index = ROOT) -> int:
        """Rows below."""
        return 0 if parent.column() > LABEL else len((self.node(parent) or self._root).rows)

    def columnCount(self, _parent: Index = ROOT) -> int:
        """Label, value, lock."""
        return 3

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Values are editable where they are not locked."""
        node = self.node(index)
        if node is None:
            return Qt.ItemFlag.NoItemFlags
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.column() == VALUE and node.kind in EDITABLE and not self._shown[id(node)].locked:
            flags |= Qt.ItemFlag.ItemIsEditable
        if index.column() == LOCK and node.kind in LOCKABLE:
            flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Names of the columns."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return ("Dimension", "Value", "Locked")[section]
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Texts, marks and words for screen readers."""
        node = self.node(index)
        reader = _READERS.get(role)
        return reader(self, node, self._shown[id(node)], index.column()) if node and reader else None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a typed value, a chosen option, or a lock."""
        node = self.node(index)
        if node is None:
            return False
        if role == Qt.ItemDataRole.CheckStateRole:
            locked = Qt.CheckState(value) == Qt.CheckState.Checked
            label = f"{'Lock' if locked else 'Unlock'} {node.label.lower()}"
            return self._document.change(label, lambda d: edit.set_locked(d, node.key, locked))
        return role == Qt.ItemDataRole.EditRole and self._enter(node, str(value))

    def _enter(self, node: Node, text: str) -> bool:
        if node.kind == "number":
            if text == self._shown[id(node)].text:
                return False
            fault = self._document.type_in(node.key, text)
            if fault:
                self._document.refuse(fault)
            return not fault
        label = f"Set {node.label.lower()}"
        if node.kind == "choice":
            return self._document.change(label, lambda d: edit.put_choice(d, node.key, text))
        return self._document.change(label, lambda d: edit.put_text(d, node.key, text))

    def options(self, index: Index) -> tuple[tuple[str, str], ...]:
        """The options of a choice as (key, words)."""
        node = self.node(index)
        return options(node, self._document.design) if node and node.kind in ("choice", "word") else ()

    # --- list items

    def add(self, node: Node) -> str:
        """Add an item to a list, after the item ``node`` or at its end; the new item's key, "" when refused."""
        parts = node.key.split(".")
        name = next(n for n in table.LISTS if n == parts[0])
        entry, place = another(self._document.design, name, int(parts[1]) if len(parts) > 1 else 0)
        noun = table.ITEM_NOUN[name]
        done = self._document.change(f"Add {noun}", lambda d: edit.add_item(d, entry, place))
        return f"{name}.{place}" if done else ""

    def remove(self, node: Node) -> bool:
        """Remove a list item."""
        name, number = node.key.split(".")
        list_name = next(n for n in table.LISTS if n == name)
        label = f"Remove {table.ITEM_NOUN[list_name]} {number}"
        return self._document.change(label, lambda d: edit.remove_item(d, list_name, int(number)))

    def _tip(self, node: Node, seen: Shown, column: int) -> str:
        if column == LOCK and node.kind in LOCKABLE:
            return "Locked: nothing changes it. Click to unlock" if seen.locked else "Click to lock"
        lines = [node.label]
        if node.help and node.kind != "list":
            lines.append(node.help)
        if node.kind == "number":
            lines.append(seen.unusual or usual_words(table.spec(node.key), self._document.design))
            lines.append(node.key)
        return "\n".join(lines)

    def _spoken(self, node: Node, seen: Shown, column: int) -> str:
        if column == VALUE:
            marks = [
                seen.text,
                seen.unusual,
                "locked" if seen.locked else "",
                seen.status and f"in {seen.status}",
            ]
            return ", ".join(m for m in marks if m)
        if column == LOCK:
            return "locked" if seen.locked else "not locked"
        return node.label

    def _check(self, node: Node, seen: Shown, column: int) -> Qt.CheckState | None:
        if column != LOCK or node.kind not in LOCKABLE:
            return None
        return Qt.CheckState.Checked if seen.locked else Qt.CheckState.Unchecked


_READERS: dict[int, Callable[[DimensionModel, Node, Shown, int], Any]] = {
    NodeRole: lambda _m, node, _seen, _column: node,
    ShownRole: lambda _m, _node, seen, _column: seen,
    SearchRole: lambda _m, node, _seen, _column: search_words(node),
    Qt.ItemDataRole.DisplayRole: lambda _m, node, seen, column: (node.label, seen.text, "")[column],
    Qt.ItemDataRole.EditRole: lambda _m, _node, seen, column: seen.text if column == VALUE else None,
    Qt.ItemDataRole.CheckStateRole: DimensionModel._check,
    Qt.ItemDataRole.ToolTipRole: DimensionModel._tip,
    Qt.ItemDataRole.AccessibleTextRole: DimensionModel._spoken,
}

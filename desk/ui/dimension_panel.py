"""The list of all dimensions: search, folding groups, typed values, locks, list items to add and remove."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QSortFilterProxyModel, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QToolButton,
    QTreeView,
    QVBoxLayout,
    QWidget,
)

from desk.ui.announce import announce
from desk.ui.dimension_delegate import DimensionDelegate, toggle_lock
from desk.ui.dimension_model import (
    EDITABLE,
    LABEL,
    LOCK,
    LOCKABLE,
    VALUE,
    DimensionModel,
    NodeRole,
    SearchRole,
)
from desk.ui.dimension_rows import Node
from desk.ui.document import Document
from desk.ui.list_items import ADD_WORDS
from desk.views.theme import Theme

OPEN_AT_FIRST = ("ball", "lane", "board")


class DimensionTree(QTreeView):
    """The rows. Keys: Enter or a digit types, Ctrl+L locks, Insert adds an item, Delete removes it."""

    keyed = Signal(str)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys act on the row whatever its column."""
        plain = not event.modifiers() & (
            Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        )
        index = self.currentIndex().siblingAtColumn(VALUE)
        node: Node | None = index.data(NodeRole)
        if node is None or self.state() == QAbstractItemView.State.EditingState:
            super().keyPressEvent(event)
        elif event.key() == Qt.Key.Key_Insert:
            self.keyed.emit("add")
        elif event.key() == Qt.Key.Key_Delete:
            self.keyed.emit("remove")
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2) and node.kind in EDITABLE:
            self.edit(index)
        elif event.key() == Qt.Key.Key_Space and node.kind in LOCKABLE and plain:
            self.keyed.emit("lock")
        elif plain and event.text() and event.text() in "0123456789.,-" and node.kind == "number":
            self.edit(index)
            line = self.indexWidget(index) or self.focusWidget()
            if isinstance(line, QLineEdit):
                line.setText(event.text())
        else:
            super().keyPressEvent(event)


class DimensionPanel(QFrame):
    """Search field, list, and buttons for list items."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("margin")
        self._document = document
        self._open: set[str] = set(OPEN_AT_FIRST)
        self._following = False
        self.model = DimensionModel(document, self)
        self.proxy = QSortFilterProxyModel(self)
        self.proxy.setSourceModel(self.model)
        self.proxy.setFilterRole(SearchRole)
        self.proxy.setFilterCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.proxy.setRecursiveFilteringEnabled(True)
        self.proxy.setDynamicSortFilter(False)  # what a search looks at does not change with the values
        self.search = QLineEdit()
        self.search.setPlaceholderText("Search dimensions")
        self.search.setAccessibleName("Search dimensions")
        self.search.setClearButtonEnabled(True)
        self.count = QLabel()
        self.count.setObjectName("count")
        self.tree = DimensionTree()
        self.delegate = DimensionDelegate(document, theme, self)
        self.add = QToolButton()
        self.remove = QToolButton()
        self._build()
        self._wire()
        self._reopen()

    def _build(self) -> None:
        tree = self.tree
        tree.setAccessibleName("Dimensions")
        tree.setModel(self.proxy)
        tree.setItemDelegate(self.delegate)
        tree.setUniformRowHeights(True)
        tree.setHeaderHidden(True)
        tree.setIndentation(12)
        tree.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        tree.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        tree.setMouseTracking(True)
        header = tree.header()
        header.setMinimumSectionSize(24)
        header.setStretchLastSection(False)
        header.setSectionResizeMode(LABEL, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(VALUE, QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(LOCK, QHeaderView.ResizeMode.Fixed)
        header.resizeSection(VALUE, 106)
        header.resizeSection(LOCK, 24)
        heading = QLabel("Dimensions")
        heading.setObjectName("heading")
        head = QWidget()
        head.setObjectName("head")
        row = QHBoxLayout(head)
        row.setContentsMargins(10, 4, 8, 4)
        row.addWidget(heading)
        row.addWidget(self.search, 1)
        row.addWidget(self.count)
        foot = QHBoxLayout()
        foot.setContentsMargins(8, 3, 8, 4)
        for button in (self.add, self.remove):
            button.setObjectName("flat")
            foot.addWidget(button)
        foot.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(tree, 1)
        column.addLayout(foot)

    def _wire(self) -> None:
        self.search.textChanged.connect(self._filter)
        self.search.returnPressed.connect(self._first)
        self.tree.selectionModel().currentChanged.connect(self._turned)
        self.tree.clicked.connect(self._clicked)
        self.tree.expanded.connect(lambda index: self._remember(index, True))
        self.tree.collapsed.connect(lambda index: self._remember(index, False))
        self.tree.keyed.connect(self._keyed)
        self.add.clicked.connect(self.add_item)
        self.remove.clicked.connect(self.remove_item)
        self.proxy.modelReset.connect(self._reopen)
        document = self._document
        document.designed.connect(document.at_leisure("dimension rows", self.model.refresh))
        document.evaluated.connect(document.at_leisure("dimension marks", self._mark))
        self._document.pointed.connect(self.point_at)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self.delegate.theme = theme
        self.tree.viewport().update()

    def _mark(self) -> None:
        self.model.mark(tuple(f for f in self._document.findings if not self._document.waits(f)))

    # --- search and folding

    def _filter(self, text: str) -> None:
        """Narrow the list down. What is chosen stays chosen, also where its row is not among those found."""
        self._following = True
        self.proxy.setFilterFixedString(text.strip().casefold())
        self._following = False
        self._reopen()
        found = (
            sum(self._node(i).kind in EDITABLE for i in self._all_rows() if self._node(i))
            if text.strip()
            else 0
        )
        self.count.setText(f"{found} found" if text.strip() else "")
        if text.strip():
            announce(self.search, f"{found} dimensions found")

    def _first(self) -> None:
        """Enter in the search field goes to the first row found and starts typing there."""
        for index in self._all_rows():
            if self._node(index).kind in EDITABLE:
                self.tree.setCurrentIndex(index)
                self.tree.setFocus()
                self.tree.edit(index.siblingAtColumn(VALUE))
                return

    def _all_rows(self) -> list[QModelIndex]:
        rows: list[QModelIndex] = []
        above = [QModelIndex()]
        while above:
            parent = above.pop(0)
            for k in range(self.proxy.rowCount(parent)):
                rows.append(self.proxy.index(k, LABEL, parent))
                above.append(rows[-1])
        return rows

    def _node(self, index: QModelIndex) -> Node:
        node: Node = index.data(NodeRole)
        return node

    def _remember(self, index: QModelIndex, is_open: bool) -> None:
        if not self.search.text().strip():
            (self._open.add if is_open else self._open.discard)(self._node(index).key)

    def _reopen(self) -> None:
        everything = bool(self.search.text().strip())
        self.tree.blockSignals(True)
        for index in self._all_rows():
            if self._node(index).rows:
                self.tree.setExpanded(index, everything or self._node(index).key in self._open)
        self.tree.blockSignals(False)
        self._stand_at(self._row_of(self._document.address))
        self._offer()

    # --- choosing and typing

    def point_at(self, address: str) -> None:
        """Go to the row of this number or choice."""
        node: Node | None = self.tree.currentIndex().data(NodeRole)
        if not address or (node is not None and node.key == address):
            return
        index = self._row_of(address)
        if not index.isValid() and self.model.index_at(address).isValid():
            self.search.clear()
            index = self._row_of(address)
        if index.isValid():
            self._stand_at(index)
            self._offer()

    def _row_of(self, address: str) -> QModelIndex:
        """The row of a number or choice among those listed now; invalid when it is not."""
        return self.proxy.mapFromSource(self.model.index_at(address, VALUE))

    def _stand_at(self, index: QModelIndex) -> None:
        """Go to a row that is chosen elsewhere; to none for an invalid index."""
        flags = QItemSelectionModel.SelectionFlag
        self._following = True
        self.tree.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)
        self._following = False
        if index.isValid():
            self.tree.scrollTo(index)

    def _turned(self, index: QModelIndex, _before: QModelIndex) -> None:
        self._offer()
        node: Node | None = index.data(NodeRole)
        if node is not None and not self._following:
            self._document.point_at(node.key if node.kind in EDITABLE else "")

    def _clicked(self, index: QModelIndex) -> None:
        node = self._node(index)
        if index.column() == VALUE and node.kind in EDITABLE:
            self.tree.edit(index)
        elif node.kind in ("group", "list") or (node.kind == "item" and index.column() == VALUE):
            label = index.siblingAtColumn(LABEL)
            self.tree.setExpanded(label, not self.tree.isExpanded(label))

    def _keyed(self, what: str) -> None:
        acts = {"add": self.add_item, "remove": self.remove_item, "lock": self.toggle_lock}
        acts[what]()

    def toggle_lock(self) -> None:
        """Lock or unlock the current row."""
        index = self.tree.currentIndex().siblingAtColumn(LOCK)
        node: Node | None = index.data(NodeRole)
        if node is not None and node.kind in LOCKABLE:
            toggle_lock(self.proxy, index)

    def go_search(self) -> None:
        """Put the cursor into the search field."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    # --- list items

    def _list_row(self, want_item: bool) -> Node | None:
        """The list, or the item, that the current row is or lies in."""
        node: Node | None = self.tree.currentIndex().data(NodeRole)
        while node is not None and node.kind not in (("item",) if want_item else ("item", "list")):
            node = node.parent
        return node

    def _offer(self) -> None:
        at, item = self._list_row(False), self._list_row(True)
        self.add.setVisible(at is not None)
        self.remove.setVisible(item is not None)
        if at is not None:
            name = at.key.split(".")[0]
            self.add.setText(f"+ {ADD_WORDS[name]}")  # type: ignore[index]
        if item is not None:
            self.remove.setText(f"− Remove {item.label.lower()}")

    def add_item(self) -> None:
        """Add an item to the list the current row lies in, after the current item."""
        node = self._list_row(False)
        if node is None:
            return
        self._open.add(node.key.split(".")[0])
        key = self.model.add(node)
        if key:
            self._open.add(key)
            self._reopen()
            first = next((n for n in self.model.nodes() if n.parent and n.parent.key == key), None)
            if first is not None:
                self._document.point_at(first.key)

    def remove_item(self) -> None:
        """Remove the list item the current row lies in."""
        node = self._list_row(True)
        if node is not None:
            self.model.remove(node)

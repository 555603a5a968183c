"""The part of the shop page for dowels and screws: what lies in the drawer, and which of it the joints take."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.choosing import drawer_dowel, drawer_screw, screw_lengths, users
from desk.design.model import Design, DowelEntry, Entry, ScrewEntry
from desk.design.table import ListName, split
from desk.shapes.loop import ShapeError
from desk.shop.hardware import Pin, WoodScrew, pins, wood_screws
from desk.ui.document import Document
from desk.ui.list_items import free_id
from desk.ui.pace import Pace
from desk.ui.shop_choose import Chooser
from desk.ui.shop_parts import Group, Part, TableMenu
from desk.ui.shop_rows import Rows
from desk.units import Unit, format_length
from desk.views.theme import Theme

ROD = 1000.0
"""mm: what rod is sold in (common practice)."""


class DrawerPart(Part):
    """Two tables, and the chooser below them."""

    def __init__(self, document: Document, theme: Theme, pace: Pace) -> None:
        super().__init__(document, theme)
        self._built: tuple[Design, Cabinet | None] | None = None
        none = "None in the drawer yet. What is sold can be chosen below all the same."
        self.dowels = Rows(document, theme, "dowels", none, self._users)
        self.screws = Rows(document, theme, "screws", none, self._users)
        self.dowels.foot.insertWidget(1, TableMenu("Add as sold", self._sold_dowels))
        self.screws.foot.insertWidget(1, TableMenu("Add as sold", self._sold_screws))
        drawer = QHBoxLayout()
        drawer.setSpacing(28)
        drawer.addWidget(self.dowels, 4, Qt.AlignmentFlag.AlignTop)
        drawer.addWidget(self.screws, 5, Qt.AlignmentFlag.AlignTop)
        self.column.addLayout(drawer)
        self.chooser = Chooser(document, theme, pace)
        title = self.heading("What the joints take")
        head = QHBoxLayout()
        self.column.removeWidget(title)
        head.addWidget(title)
        head.addStretch(1)
        head.addWidget(self.chooser.progress)
        self.column.addLayout(head)
        self.column.addWidget(self.chooser, 1)

    def refresh(self) -> None:
        """Follow the design."""
        self.dowels.refresh()
        self.screws.refresh()
        self.chooser.refresh()

    def go_to(self, address: str) -> bool:
        """Put the cursor on a cell, or turn to the joints that a number belongs to."""
        parts = split(address)
        rows: dict[ListName, Rows] = {"dowels": self.dowels, "screws": self.screws}
        if parts is not None and parts[0] in rows:
            return rows[parts[0]].go_to(parts[1], parts[2])
        return self.chooser.go_to(address)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        super().set_theme(theme)
        for part in (self.dowels, self.screws, self.chooser):
            part.set_theme(theme)

    # --- who takes what

    def _users(self, design: Design, entry: Entry) -> tuple[str, ...]:
        """The joints that take an item of the drawer now."""
        cabinet = self._cabinet(design)
        if cabinet is None or not isinstance(entry, DowelEntry | ScrewEntry):
            return ()
        item = drawer_dowel(design, entry) if isinstance(entry, DowelEntry) else drawer_screw(design, entry)
        return tuple(role.label[:1].lower() + role.label[1:] for role in users(design, cabinet, item))

    def _cabinet(self, design: Design) -> Cabinet | None:
        """The cabinet of this design; None when none can be made."""
        if self._built is None or self._built[0] is not design:
            try:
                self._built = (design, build(design))
            except ShapeError:
                self._built = (design, None)
        return self._built[1]

    # --- what is sold

    def _sold_dowels(self) -> Iterator[Group]:
        unit = self.document.unit()
        for pin in pins(self.document.design.tables):
            lines = [
                (format_length(length, unit, named=True), partial(self._add_dowel, pin, length))
                for length in pin.lengths
            ]
            rod = (f"Rod, {format_length(ROD, unit, named=True)}", partial(self._add_dowel, pin, ROD))
            yield pin.size, (*lines, rod)

    def _add_dowel(self, pin: Pin, length: float) -> None:
        ids = [entry.id for entry in self.document.design.dowels]
        kind = "rod" if length == ROD else "dowels"
        key = pin.id if pin.id not in ids else free_id(pin.id, ids)
        label = f"{pin.size} {kind}"
        self.dowels.insert(DowelEntry(key, label, round(pin.diameter, 6), round(length, 6)))

    def _sold_screws(self) -> Iterator[Group]:
        for size in wood_screws(self.document.design.tables):
            unit: Unit = "in" if size.system == "inch" else "mm"
            lines = tuple(
                (format_length(length, unit, named=True), partial(self._add_screw, size, length))
                for length in screw_lengths(size.shank, size.system)
            )
            yield size.size if unit == "in" else f"{size.size} mm", lines

    def _add_screw(self, size: WoodScrew, length: float) -> None:
        ids = [entry.id for entry in self.document.design.screws]
        key = size.id if size.id not in ids else free_id(size.id, ids)
        self.screws.insert(ScrewEntry(key, f"{size.size} wood screws", size.id, round(length, 6)))

"""The parts of the shop page for sheets and for bits: what there is, and which of it is taken for what."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from desk.design import table
from desk.design.model import BIT_KINDS, BitEntry
from desk.design.table import split
from desk.shop.supplies import SoldBit, sold_bits
from desk.ui.document import Document
from desk.ui.list_items import free_id
from desk.ui.shop_parts import Choices, Group, Numbers, Part, TableMenu
from desk.ui.shop_rows import Rows
from desk.views.theme import Theme

ROUTER = (
    "shop.bed_length",
    "shop.bed_width",
    "shop.sheet_margin",
    "shop.part_gap",
    "shop.edge_round",
)
KIND_WORDS = {
    "straight": "Straight bits",
    "drill": "Drills",
    "vee": "V bits",
    "rounding": "Rounding bits",
}


class StockPart(Part):
    """Sheets, and which part is cut from which."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme)
        self.rows = Rows(document, theme, "stocks", "No sheets yet.")
        self.column.addWidget(self.rows)
        self.heading("Which sheet for what")
        keys = [c.id for c in table.choices() if c.options_from == "stocks"]
        self.choices = Choices(document, keys, 3, lambda label: label.removesuffix(", stock"))
        self.column.addWidget(self.choices)
        self.column.addStretch(1)

    def refresh(self) -> None:
        """Follow the design."""
        self.rows.refresh()
        self.choices.refresh()

    def suit(self, width: int) -> None:
        """Be no wider than so many px, if that can be."""
        self.rows.suit(width)
        self.choices.suit(width)

    def go_to(self, address: str) -> bool:
        """Put the cursor on a cell or a choice."""
        return _cell(self.rows, address) or self.choices.go_to(address)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        super().set_theme(theme)
        self.rows.set_theme(theme)


class BitsPart(Part):
    """Bits, and which of them cuts what."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme)
        self.rows = Rows(document, theme, "bits", "No bits yet.")
        self.menu = TableMenu("Add one as sold", self._sold)
        self.rows.foot.insertWidget(1, self.menu)
        self.column.addWidget(self.rows)
        self.heading("Which bit for what")
        keys = [c.id for c in table.choices() if c.options_from == "bits"]
        self.choices = Choices(document, keys, 2, _work)
        self.column.addWidget(self.choices)
        self.heading("Router and sheet")
        self.numbers = Numbers(document, ROUTER, 2)
        self.column.addWidget(self.numbers)
        self.column.addStretch(1)

    def _sold(self) -> Iterator[Group]:
        """The table's bits by kind."""
        bits = sold_bits(self.document.design.tables).values()
        for kind in BIT_KINDS:
            lines = tuple((bit.label, partial(self._take, bit)) for bit in bits if bit.kind == kind)
            yield KIND_WORDS[kind], lines

    def _take(self, bit: SoldBit) -> None:
        ids = [b.id for b in self.document.design.bits]
        key = bit.id if bit.id not in ids else free_id(bit.id, ids)
        made = BitEntry(
            key, bit.label, bit.kind, round(bit.diameter, 6), round(bit.cutting_length, 6), bit.angle
        )
        self.rows.insert(made)

    def refresh(self) -> None:
        """Follow the design."""
        self.rows.refresh()
        self.choices.refresh()
        self.numbers.refresh()

    def suit(self, width: int) -> None:
        """Be no wider than so many px, if that can be."""
        self.rows.suit(width)
        self.choices.suit(width)

    def go_to(self, address: str) -> bool:
        """Put the cursor on a cell or a choice."""
        return _cell(self.rows, address) or self.choices.go_to(address) or self.numbers.go_to(address)


def _work(label: str) -> str:
    cut = label.removeprefix("Bit for ")
    return cut[:1].upper() + cut[1:]


def _cell(rows: Rows, address: str) -> bool:
    parts = split(address)
    return parts is not None and parts[0] == rows.name and rows.go_to(parts[1], parts[2])

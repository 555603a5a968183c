"""One number or choice that governs a finding: its name, what it is now, and what change of it would help."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.checks.finding import Remedy
from desk.design import table
from desk.ui.document import Document
from desk.ui.labels import label, put
from desk.ui.links import Link
from desk.units import format_value
from desk.views.theme import Theme
from desk.views.wording import concerning, in_unit, spaced, with_minus

FEW = 4
"""So many other findings are named by their numbers."""


def others_words(address: str, document: Document) -> str:
    """Which other findings that count the number or choice governs, by the numbers of their flags; "" for none."""
    found = [f for f in concerning(address, document.findings) if f.status != "clear" and not f.muted]
    numbers = [document.flag_number(f.key) for f in found if f.key != document.finding]
    if not numbers:
        return ""
    first, rest = ", ".join(sorted(numbers[:FEW], key=int)), len(numbers) - FEW
    noun = "finding" if len(numbers) == 1 else "findings"
    return f"Also governs {noun} {first}{f' and {rest} more' if rest > 0 else ''}"


class SettingRow(QWidget):
    """A remedy with its setting. The name shows the setting's handle; where a value is named, a button sets it."""

    def __init__(self, theme: Theme, apply: Callable[[Remedy], None], show: Callable[[str], None]) -> None:
        super().__init__()
        self._remedy: Remedy | None = None
        self.link = Link(theme)
        self.value = label("strong", wraps=False)
        self.text = label("quiet")
        self.button = QPushButton()
        self.button.clicked.connect(lambda: self._remedy and apply(self._remedy))
        self.link.clicked.connect(lambda: self._remedy and show(self._remedy.address))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 5)
        column.setSpacing(1)
        for left, right in ((self.link, self.value), (self.text, self.button)):
            line = QHBoxLayout()
            line.setSpacing(8)
            line.addWidget(left, 1, Qt.AlignmentFlag.AlignTop)
            line.addWidget(right, 0, Qt.AlignmentFlag.AlignTop)
            column.addLayout(line)

    def set(self, remedy: Remedy, document: Document, again: bool) -> None:
        """Show this remedy; ``again`` when the row above is about the same setting."""
        self._remedy = remedy
        words = in_unit(remedy.text, document.unit())
        others = "" if again else others_words(remedy.address, document)
        put(self.text, f"{words}. {others}" if others else words)
        title = "" if again else document.title_of(remedy.address)
        if self.link.text() != title:
            self.link.setText(title)
            self.link.updateGeometry()
        self.link.setVisible(bool(title))
        put(self.value, with_minus(spaced(document.present(remedy.address))) if title else "")
        self.link.setAccessibleName(f"{title}, now {self.value.text()}. Show it")
        self.link.setToolTip("Show its handle and its row")
        self._offer(remedy, document)

    def _offer(self, remedy: Remedy, document: Document) -> None:
        settable = document.is_number(remedy.address) and remedy.value is not None
        self.button.setVisible(settable)
        if not settable or remedy.value is None:
            return
        spec = table.spec(remedy.address)
        value = with_minus(format_value(round(remedy.value, 3), spec.unit, document.unit(), named=True))
        if self.button.text() != f"Apply {value}":
            self.button.setText(f"Apply {value}")
        self.button.setAccessibleName(f"Set {spec.title.lower()} to {value}")
        locked = document.locked(remedy.address)
        self.button.setEnabled(not locked)
        self.button.setToolTip(
            f"{spec.title} is locked" if locked else f"Set {spec.title.lower()} to {value}"
        )

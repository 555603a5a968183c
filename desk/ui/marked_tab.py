"""The tab of a section, which tells how many findings show there and in none of the views that are open.

A finding whose place lies in another section only would otherwise be told by the list alone.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QStyle, QStyleOptionToolButton, QStylePainter, QToolButton

from desk.checks.finding import RANK, Finding
from desk.evaluate import Evaluation
from desk.ui.document import Evaluated
from desk.ui.surface import PathStore, QtSurface
from desk.units import Unit
from desk.views.draw import badge
from desk.views.flags import seen
from desk.views.theme import Theme
from desk.views.viewport import Viewport
from desk.views.views import VIEWS
from desk.views.wording import title_words

BADGE = (15, 11)
"""Width and height of the mark, px."""
GAP = 4
"""Between the words, the mark and its count, px."""
NAMED = 4
"""So many findings are named when the pointer rests on a tab."""


class MarkedTab(QToolButton):
    """A tab with a mark in the shape and colour of the worst status of what is found behind it."""

    def __init__(self, words: str, short: str, name: str, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("tab")
        self.setCheckable(True)
        self.findings: tuple[Finding, ...] = ()
        """What shows behind this tab only, worst first."""
        self._told: list[str] = []
        self._words, self._short, self._name, self._theme = words, short, name, theme
        self.setText(words)
        self.setAccessibleName(name)

    @property
    def status(self) -> str:
        """The worst status behind the tab; "" where nothing shows there alone."""
        return self.findings[0].status if self.findings else ""

    def shorten(self, short: bool) -> None:
        """Have the short words, or the whole ones."""
        self.setText(self._short if short else self._words)

    def wide(self, words: str = "") -> int:
        """Width with these words, or the whole ones, px."""
        size = super().sizeHint().width()
        metrics = self.fontMetrics()
        more = metrics.horizontalAdvance(words or self._words) - metrics.horizontalAdvance(self.text())
        return size + more + self._room()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        self.update()

    def mark(self, findings: Sequence[Finding], unit: Unit) -> bool:
        """Tell of these findings, worst first; whether that takes more or less room than before."""
        status, titles = self.status, [title_words(f, unit) for f in findings[:NAMED]]
        before, self.findings = self.findings, tuple(findings)
        if (len(findings), self.status, titles) == (len(before), status, self._told):
            return False
        self._told = titles
        many = len(self.findings)
        rest = [f"and {many - NAMED} more"] if many > NAMED else []
        words = f"{many} finding{'s' if many > 1 else ''} to be seen in this section only"
        self.setToolTip("\n".join([f"{words}:", *titles, *rest]) if many else "")
        self.setAccessibleName(f"{self._name}, {words}, worst {self.status}" if many else self._name)
        self.update()
        if len(str(many)) == len(str(len(before))) and bool(many) == bool(before):
            return False
        self.updateGeometry()
        return True

    def _room(self) -> int:
        """Width of mark and count, px."""
        if not self.findings:
            return 0
        return BADGE[0] + 2 * GAP + self.fontMetrics().horizontalAdvance(str(len(self.findings)))

    def sizeHint(self) -> QSize:
        """Words, and room for a mark."""
        usual = super().sizeHint()
        return QSize(usual.width() + self._room(), usual.height())

    def minimumSizeHint(self) -> QSize:
        """The short words are never cut."""
        return QSize(self.wide(self._short), super().minimumSizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the tab, its words to the left, its mark and count to the right."""
        room = self._room()
        option = QStyleOptionToolButton()
        self.initStyleOption(option)
        words, option.text = option.text, ""
        painter = QStylePainter(self)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ToolButton, option)
        option.text = words
        option.rect = option.rect.adjusted(0, 0, -room, 0)
        painter.drawControl(QStyle.ControlElement.CE_ToolButtonLabel, option)
        if room:
            self._paint_mark(painter, self.width() - room - GAP)
        painter.end()

    def _paint_mark(self, painter: QPainter, left: float) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        surface = QtSurface(painter, Viewport(), PathStore(), self._theme.colour("sheet"))
        middle = self.height() / 2
        box = (left, middle - BADGE[1] / 2, left + BADGE[0], middle + BADGE[1] / 2)
        badge(surface, box, self.status, "", self._theme)
        count = (left + BADGE[0] + GAP, 0.0, self.width() - 2.0, float(self.height()))
        surface.text(count, str(len(self.findings)), self._theme.text("note"), left=True)


def only_in(evaluated: Evaluated, view: str, shown: Collection[str]) -> list[Finding]:
    """The findings that count and are not clear, that one view shows and none of those ``shown`` does; worst first."""
    found = [
        f
        for f in evaluated.findings
        if f.status != "clear"
        and not f.muted
        and not any(shows(evaluated, f, other) for other in shown)
        and shows(evaluated, f, view)
    ]
    return sorted(found, key=lambda f: RANK[f.status])


def shows(evaluated: Evaluated, finding: Finding, view: str) -> bool:
    """Whether a finding has a place that a view shows."""
    if not isinstance(evaluated, Evaluation):
        drawing = evaluated.drawings.get(view)
        return drawing is not None and any(getattr(i, "finding", "") == finding.key for i in drawing.items)
    cabinet = evaluated.cabinet
    frame = cabinet.planes[VIEWS[view].plane]
    return any(seen(cabinet, place, view, frame) for place in finding.places)

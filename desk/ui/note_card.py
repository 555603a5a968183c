"""The card that explains the chosen finding: where, what was measured, the formula, what governs it, the source.

It follows the chosen finding while the design changes. What costs little follows every step; the small drawing is made
anew when the hand pauses, and is faint until then.
"""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from desk.checks.finding import Finding, Flag, Remedy, Thrown
from desk.design import edit, table
from desk.ui.detail_view import DetailView
from desk.ui.document import Document, Evaluated
from desk.ui.labels import label, put
from desk.ui.legend import Legend
from desk.ui.lookup import drawing_of, stock_rows
from desk.ui.mute import MuteBox
from desk.ui.pace import Pace
from desk.ui.parts_list import PartsList
from desk.ui.setting_row import SettingRow
from desk.ui.surface import PathStore, QtSurface
from desk.views.draw import badge
from desk.views.theme import Theme
from desk.views.viewport import Viewport
from desk.views.wording import BEING_CHECKED, amount, because_words, is_upper, title_words, value_words

FLAG_WORDS: dict[Flag, str] = {
    "published": "published",
    "practice": "common practice",
    "memory": "from memory, unconfirmed",
    "derived": "worked out here",
    "choice": "the project's own choice",
    "own": "your own value",
}
INVITATION = (
    "Choose a flag in a view or a line in the list of findings. This card then shows the place, what was measured, "
    "what is needed, how it was worked out and what would help."
)
GONE = "Not found in this design any more."
SPRINGS = {
    -1: ", springing back behind the board as little as it may",
    0: "",
    1: ", springing back behind the board as much as it may",
}
"""How a ball to watch springs back, in words."""
REST = 0.09
"""Seconds a hand has to rest before the small drawing is made anew."""


class Badge(QWidget):
    """A status shape with a number."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.status, self.number = "clear", ""
        self.faint = self.muted = False
        self.setFixedSize(34, 22)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the shape."""
        painter = QPainter(self)
        surface = QtSurface(painter, Viewport(), PathStore(), self.theme.colour("panel"))
        box = (2.0, 3.0, 28.0, 19.0)
        badge(surface, box, self.status, self.number, self.theme, faint=self.faint, muted=self.muted)
        painter.end()


class NoteCard(QFrame):
    """The card. ``ball_asked`` is emitted with a ball (a Thrown or a LetGo) that the person wants to watch."""

    ball_asked = Signal(object)

    def __init__(self, document: Document, theme: Theme, pace: Pace) -> None:
        super().__init__()
        self.setObjectName("margin")
        self._document, self._theme, self._pace = document, theme, pace
        self._shown: Finding | None = None
        self.badge = Badge(theme)
        self.title = label("heading")
        self.status = label("quiet")
        self.play = QPushButton("Play it")
        self.play.setObjectName("quiet")
        self.mute = MuteBox(document)
        self.detail = DetailView(theme, document.unit)
        self.numbers = QGridLayout()
        self.captions: dict[str, QLabel] = {}
        self.values = {name: label() for name in ("Measured", "Needed", "Margin")}
        self.formula = label("formula")
        self.settings_title, self.parts_title, self.source_title = (label("strong", False) for _ in range(3))
        self.parts = PartsList(theme)
        self.flag = label("chip", wraps=False)
        self.source = label()
        self.rows: list[SettingRow] = []
        self._settings = QVBoxLayout()
        self._body = QWidget()
        self._body.setObjectName("card")
        self.legend = Legend(document, theme)
        self._invitation = label("quiet")
        self._invitation.setText(INVITATION)
        self.area = QScrollArea()
        self._build()
        document.evaluated.connect(self._follow)
        document.chosen.connect(lambda _key: self._follow())
        self.detail.asked.connect(lambda: document.choose(document.finding))
        self.play.clicked.connect(self._play)
        self.mute.grown.connect(lambda: self.area.ensureWidgetVisible(self.mute))
        self._follow()

    def _build(self) -> None:
        body = QVBoxLayout(self._body)
        body.setContentsMargins(10, 8, 10, 10)
        body.setSpacing(6)
        body.addWidget(self._invitation)
        body.addSpacing(4)
        body.addWidget(self.legend)
        top = QHBoxLayout()
        top.addWidget(self.badge, 0, Qt.AlignmentFlag.AlignTop)
        top.addWidget(self.title, 1)
        body.addLayout(top)
        under = QHBoxLayout()
        under.addWidget(self.status, 1)
        under.addWidget(self.play)
        under.addWidget(self.mute.button)
        body.addLayout(under)
        body.addWidget(self.mute)
        body.addWidget(self.detail)
        self._add_numbers()
        body.addLayout(self.numbers)
        body.addWidget(self.formula)
        body.addWidget(self.settings_title)
        self._settings.setSpacing(0)
        body.addLayout(self._settings)
        body.addWidget(self.parts_title)
        body.addWidget(self.parts)
        last = QHBoxLayout()
        last.addWidget(self.source_title)
        last.addWidget(self.flag)
        last.addStretch(1)
        body.addLayout(last)
        body.addWidget(self.source)
        body.addStretch(1)
        area = self.area
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(self._body)
        area.setAccessibleName("Explanation of the chosen finding")
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.addWidget(area)

    def _add_numbers(self) -> None:
        for k, (name, value) in enumerate(self.values.items()):
            caption = QLabel(name)
            caption.setObjectName("quiet")
            self.captions[name] = caption
            self.numbers.addWidget(caption, 0, k)
            self.numbers.addWidget(value, 1, k, Qt.AlignmentFlag.AlignTop)
            self.numbers.setColumnStretch(k, 1)
        self.numbers.setHorizontalSpacing(8)
        self.numbers.setVerticalSpacing(0)

    def sizeHint(self) -> QSize:
        """A column's width."""
        return QSize(280, 300)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self._theme = theme
        self.badge.theme = theme
        self.badge.update()
        for part in (self.legend, self.detail, self.parts):
            part.set_theme(theme)
        for row in self.rows:
            row.link.set_theme(theme)

    def _follow(self, evaluation: Evaluated | None = None) -> None:
        document = self._document
        key = document.finding
        if not key and self._shown is None and evaluation is not None:
            return
        finding = document.finding_of(key)
        if finding == self._shown and finding is not None and evaluation is None:
            return
        if evaluation is None:
            self.area.verticalScrollBar().setValue(0)
        self._shown = finding
        kept = finding is None and bool(key and document.mute_of(key))
        self._invitation.setVisible(finding is None and not kept)
        self.legend.setVisible(finding is None and not kept)
        if finding is None:
            for widget in self._body.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly):
                if widget not in (self._invitation, self.legend):
                    widget.hide()
            self.detail.show_drawing(None)
        self.mute.show_for(key, finding)
        if kept:
            put(self.title, key)
            put(self.status, GONE)
        if finding is not None:
            self._fill(finding)

    def _fill(self, finding: Finding) -> None:
        document = self._document
        waits = document.waits(finding)
        self.badge.status, self.badge.number = finding.status, document.flag_number(finding.key)
        self.badge.faint, self.badge.muted = waits, bool(finding.muted)
        self.badge.update()
        self.badge.show()
        put(self.title, title_words(finding, document.unit()))
        status = BEING_CHECKED if waits else f"muted {finding.status}" if finding.muted else finding.status
        put(self.status, f"{status.capitalize()} · {finding.family}")
        self._fill_ball(finding, waits)
        self._fill_numbers(finding, waits)
        put(self.formula, "…" if waits else because_words(finding, document.unit()))
        put(self.source_title, "Source")
        put(self.flag, FLAG_WORDS[finding.source.flag])
        put(self.source, finding.source.text)
        self._fill_settings(finding)
        self._fill_place(finding)

    def _fill_ball(self, finding: Finding, waits: bool) -> None:
        """Offer to play the ball that shows what was found; while its check is put off it is of an earlier design."""
        ball = finding.ball
        self.play.setVisible(ball is not None)
        self.play.setEnabled(not waits)
        if isinstance(ball, Thrown):
            aim = value_words(round(ball.aim, 2), "angle", "mm")
            self.play.setToolTip(
                f"Throw a ball at {ball.speed:.2f} m/s, aim {aim}{SPRINGS[ball.spring]}, and watch it in the views"
            )
        else:
            self.play.setToolTip("Let a ball go where this happens, and watch it in the views")
        self.play.setAccessibleName("Play the ball that shows it")

    def _play(self) -> None:
        if self._shown is not None and self._shown.ball is not None:
            self.ball_asked.emit(self._shown.ball)

    def _fill_numbers(self, finding: Finding, waits: bool) -> None:
        given = {"Measured": finding.measured, "Needed": finding.needed, "Margin": finding.margin}
        if waits:
            given |= {"Measured": None, "Margin": None}
        for name, value in given.items():
            unit = self._document.unit()
            text = "" if value is None else amount(value, finding.unit, unit, signed=name == "Margin")
            put(self.values[name], text)
            self.captions[name].setVisible(bool(text))
        put(
            self.captions["Needed"],
            ("At most" if is_upper(finding) else "Needed") * (finding.needed is not None),
        )

    def _fill_settings(self, finding: Finding) -> None:
        put(self.settings_title, "What governs it" if finding.remedies else "")
        while len(self.rows) < len(finding.remedies):
            row = SettingRow(self._theme, self._apply, self._document.point_at)
            self.rows.append(row)
            self._settings.addWidget(row)
        before = ""
        for k, row in enumerate(self.rows):
            row.setVisible(k < len(finding.remedies))
            if k < len(finding.remedies):
                remedy = finding.remedies[k]
                row.set(remedy, self._document, again=remedy.address == before)
                before = remedy.address

    def _fill_place(self, finding: Finding) -> None:
        """Parts and drawing: at once, or when the hand that pulls has paused."""
        if self._document.pulling and finding.key == self._drawn():
            self.detail.set_stale()
            self._pace.debounce("detail", REST, self._draw)
        else:
            self._draw()

    def _drawn(self) -> str:
        """The key of the finding that is drawn."""
        drawing = self.detail.drawing
        return drawing.id.removeprefix("detail ") if drawing is not None else ""

    def _draw(self) -> None:
        """Make the drawing of the chosen finding anew; while its check is put off, it is faint."""
        finding, evaluation = self._shown, self._document.evaluation
        if finding is None or evaluation is None:
            return
        unit, waits = self._document.unit(), self._document.waits(finding)
        if not waits or finding.key != self._drawn():
            self.detail.show_drawing(drawing_of(evaluation, finding, unit))
        if waits:
            self.detail.set_stale()
        rows = stock_rows(evaluation, finding.parts)
        self.parts.show_rows(rows, unit)
        put(self.parts_title, "Parts" if rows else "")

    def _apply(self, remedy: Remedy) -> None:
        value = remedy.value
        if value is not None:
            title = table.spec(remedy.address).title.lower()
            self._document.change(f"Set {title}", lambda design: edit.put(design, remedy.address, value))
            self._document.point_at(remedy.address)

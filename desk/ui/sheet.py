"""The drawings side by side: a section above the plan on the same x, the board face beside them.

The section and the plan share scale and x as long as both look along the same axis; moving one moves the other. What
the person turns to (a handle, a finding) is shown in every view that has it, and the section is switched when only
another one does.
"""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from desk.checks.finding import Finding, Place
from desk.shapes.frame import dot
from desk.ui.canvas import Canvas
from desk.ui.canvas_view import MARGIN
from desk.ui.document import Document, Evaluated
from desk.ui.marked_tab import MarkedTab, only_in
from desk.ui.pace import Pace
from desk.views.drawing import Drawing
from desk.views.theme import Theme
from desk.views.viewport import Viewport, fit_scale, placed, reach
from desk.views.wording import BEING_CHECKED, margin_words, spaced, title_words

SECTIONS = {"lane": "Through the lane", "channel": "Through the return", "rear": "Rear"}
SHORT = {"lane": "Lane", "channel": "Return", "rear": "Rear"}
"""Words for the sections where there is little room."""
PLANE_TOLERANCE = 60.0
"""mm a finding's place may lie off a section's plane and still be looked for in it."""


class Pane(QFrame):
    """A canvas under a heading; with several drawings, a switch in the heading."""

    switched = Signal(str)
    resized = Signal()

    def __init__(
        self, heading: str, canvas: Canvas, theme: Theme, choices: Mapping[str, str] | None = None
    ) -> None:
        super().__init__()
        self.setObjectName("pane")
        self.canvas = canvas
        self.tabs: dict[str, MarkedTab] = {}
        head = QWidget()
        head.setObjectName("head")
        row = QHBoxLayout(head)
        row.setContentsMargins(10, 3, 6, 0 if choices else 3)
        row.setSpacing(2)
        title = QLabel(heading)
        title.setObjectName("heading")
        row.addWidget(title)
        row.addSpacing(8)
        group = QButtonGroup(self)
        for key, text in (choices or {}).items():
            tab = MarkedTab(text, SHORT[key], f"{heading}: {text.lower()}", theme)
            tab.clicked.connect(lambda _on, k=key: self.switched.emit(k))
            group.addButton(tab)
            row.addWidget(tab)
            self.tabs[key] = tab
        row.addStretch(1)
        self._title = title
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(canvas, 1)
        canvas.resized.connect(self.resized)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say it shorter where there is less room."""
        super().resizeEvent(event)
        self.suit()

    def suit(self) -> None:
        """Have the tabs' whole words where there is room for them."""
        wanted = self._title.sizeHint().width() + 40 + sum(tab.wide() for tab in self.tabs.values())
        for tab in self.tabs.values():
            tab.shorten(wanted > self.width())


class Sheet(QSplitter):
    """All views of one document. ``column`` is where the window puts the card under the board face."""

    def __init__(self, document: Document, theme: Theme, pace: Pace) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._document = document
        self.section_id = "lane"
        self.canvases = {key: Canvas(key, document, theme, pace) for key in ("section", "plan", "face")}
        self.section, self.plan, self.face = self.canvases.values()
        self.section_pane = Pane("Section", self.section, theme, SECTIONS)
        self.plan_pane = Pane("Plan", self.plan, theme)
        self.face_pane = Pane("Board face", self.face, theme)
        self.left = QSplitter(Qt.Orientation.Vertical)
        self.left.addWidget(self.section_pane)
        self.left.addWidget(self.plan_pane)
        self.column = QSplitter(Qt.Orientation.Vertical)
        self.column.addWidget(self.face_pane)
        self.addWidget(self.left)
        self.addWidget(self.column)
        self.section_pane.tabs[self.section_id].setChecked(True)
        self._wire()

    def _wire(self) -> None:
        self.section_pane.switched.connect(self.show_section)
        self.section.viewed.connect(lambda view: self._follow(self.plan, view))
        self.plan.viewed.connect(lambda view: self._follow(self.section, view))
        for pane in (self.section_pane, self.plan_pane, self.face_pane):
            pane.resized.connect(self._refit)
        for canvas in self.canvases.values():
            canvas.margins = self._document.margins
            canvas.shown = lambda address: spaced(self._document.shown(address))
            canvas.waiting = self._document.waiting
            canvas.tip = self._tip
        self._document.evaluated.connect(self.show_evaluation)
        self._document.pointed.connect(self.point_at)
        self._document.chosen.connect(self.choose)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        for canvas in self.canvases.values():
            canvas.set_theme(theme)
        for tab in self.section_pane.tabs.values():
            tab.set_theme(theme)

    # --- what is shown

    def show_evaluation(self, evaluation: Evaluated) -> None:
        """Show the drawings of a new evaluation."""
        for canvas, key in self._shown():
            drawing = evaluation.drawings.get(key)
            if drawing is not None:
                fresh = canvas.easel.drawing is None
                canvas.show_drawing(drawing)
                if fresh:
                    self._refit()
        self._mark_tabs()

    def _mark_tabs(self) -> None:
        """Tell on the tabs of the other sections what is to be seen there and in no view that is open."""
        evaluation = self._document.evaluation
        if evaluation is None:
            return
        shown = [key for _, key in self._shown()]
        wider = False
        for key, tab in self.section_pane.tabs.items():
            found = () if key in shown else only_in(evaluation, key, shown)
            wider = tab.mark(found, self._document.unit()) or wider
        if wider:
            self.section_pane.suit()

    def _shown(self) -> list[tuple[Canvas, str]]:
        return [(self.section, self.section_id), (self.plan, "plan"), (self.face, "face")]

    def _drawing(self, key: str) -> Drawing | None:
        evaluation = self._document.evaluation
        return evaluation.drawings.get(key) if evaluation else None

    def show_section(self, key: str) -> None:
        """Switch the section."""
        drawing = self._drawing(key)
        if drawing is None or key == self.section_id:
            self.section_pane.tabs[self.section_id].setChecked(True)
            return
        linked = self.linked
        self.section_id = key
        self.section_pane.tabs[key].setChecked(True)
        self.section.show_drawing(drawing)
        self.section.point_at(self._document.address)
        self._mark_tabs()
        if linked and self.linked and not self.section.fitted:
            self._follow(self.section, self.plan.view)
        else:
            self._refit()

    @property
    def linked(self) -> bool:
        """Whether section and plan look along the same axis."""
        section, plan = self.section.easel.drawing, self.plan.easel.drawing
        return section is not None and plan is not None and dot(section.frame.u, plan.frame.u) > 0.999

    def _offset(self) -> float:
        """x of the plan's origin in the section, mm."""
        section, plan = self.section.easel.drawing, self.plan.easel.drawing
        return section.frame.local(plan.frame.origin)[0] if section and plan else 0.0

    def _follow(self, canvas: Canvas, view: Viewport) -> None:
        if self.linked:
            shift = self._offset() * (1 if canvas is self.plan else -1)
            canvas.follow(view.panned(shift * view.scale, 0.0))

    # --- fitting

    def fit(self) -> None:
        """Show every drawing whole."""
        for canvas in self.canvases.values():
            canvas.fit()
        self._refit()

    def _refit(self) -> None:
        """Fit the views the person left fitted; section and plan at one scale, x aligned."""
        if self.face.fitted:
            self.face.fit()
        if not self.section.fitted and not self.plan.fitted:
            return
        section, plan = self.section.easel.drawing, self.plan.easel.drawing
        if not self.linked or section is None or plan is None:
            self.section.fit()
            self.plan.fit()
            return
        a, b = reach(section), reach(plan)
        shift = self._offset()
        low, high = min(a[0], b[0] + shift), max(a[2], b[2] + shift)
        a, b = (low, a[1], high, a[3]), (low - shift, b[1], high - shift, b[3])
        width = self.section.width()
        scale = min(
            fit_scale(a, width, self.section.height(), MARGIN),
            fit_scale(b, width, self.plan.height(), MARGIN),
        )
        for canvas, box in ((self.section, a), (self.plan, b)):
            canvas.set_view(placed(box, scale, width, canvas.height()))

    def share_heights(self) -> None:
        """Give section and plan the heights their drawings ask for."""
        section, plan = self.section.easel.drawing, self.plan.easel.drawing
        if section is not None and plan is not None:
            heights = [reach(d)[3] - reach(d)[1] for d in (section, plan)]
            total = self.left.height()
            spare = 2 * MARGIN + 30
            share = (total - 2 * spare) / sum(heights)
            self.left.setSizes([round(h * share + spare) for h in heights])

    def true_size(self) -> None:
        """Show the view that has the focus, or the section, as large as in wood."""
        self.active().true_size()

    def zoom_by(self, factor: float) -> None:
        """Zoom the view that has the focus, or the section."""
        self.active().zoom_by(factor)

    def active(self) -> Canvas:
        """The canvas that has the focus, or the section."""
        return next((c for c in self.canvases.values() if c.hasFocus()), self.section)

    # --- going to places

    def point_at(self, address: str) -> None:
        """Mark the handle of a number wherever it is; switch the section when only another one has it."""
        if address and not any(c.easel.by_address(address) for c in self.canvases.values()):
            for key in SECTIONS:
                if self._pulls(key, address):
                    self.show_section(key)
                    break
        for canvas in self.canvases.values():
            canvas.point_at(address)

    def _pulls(self, key: str, address: str) -> bool:
        drawing = self._drawing(key)
        return drawing is not None and any(
            p.address == address for item in drawing.items for p in getattr(item, "pulls", ())
        )

    def choose(self, key: str) -> None:
        """Mark a finding's flags and go to its place."""
        finding = self._document.finding_of(key)
        if finding is not None:
            self._show_place_of(finding)
        for canvas in self.canvases.values():
            canvas.choose(key)
        if finding is not None:
            for canvas, drawing_id in self._shown():
                spot = self._spot(finding, drawing_id)
                if spot is not None:
                    canvas.go_to(spot)

    def _show_place_of(self, finding: Finding) -> None:
        """Switch the section when the finding is in none of the views shown."""
        if any(self._spot(finding, key) for key in (self.section_id, "plan", "face")):
            return
        other = next((key for key in SECTIONS if self._spot(finding, key)), None)
        if other is not None:
            self.show_section(other)

    def _spot(self, finding: Finding, drawing_id: str) -> tuple[float, float] | None:
        """Where the finding is in a drawing: its flag, else a place in the drawing's own plane."""
        drawing = self._drawing(drawing_id)
        if drawing is None:
            return None
        for item in drawing.items:
            if getattr(item, "finding", "") == finding.key and hasattr(item, "at"):
                at: tuple[float, float] = item.at
                return at
        for place in finding.places:
            if in_plane(place, drawing):
                x, y, _depth = drawing.frame.local(place.middle)
                return x, y
        return None

    def _tip(self, key: str) -> str:
        finding = self._document.finding_of(key)
        if finding is None:
            return ""
        unit = self._document.unit()
        margin = margin_words(finding, unit)
        told = BEING_CHECKED if self._document.waits(finding) else margin and f"margin {margin}"
        return f"{self._document.flag_number(key)}  {title_words(finding, unit)}\n{told}".strip()


def in_plane(place: Place, drawing: Drawing) -> bool:
    """Whether a place faces a drawing's plane and lies near it."""
    facing = abs(dot(place.frame.normal, drawing.frame.normal)) > 0.98
    return facing and abs(drawing.frame.local(place.middle)[2]) < PLANE_TOLERANCE

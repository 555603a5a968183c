"""Choosing hardware: for each group of joints a list of what fits, and of what does not with the reason.

Every item is tried on the design, a few at a time while the window is idle, the likely ones first. What was tried on
an earlier design is shown faint until it has been tried again, and cannot be taken.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from desk.cabinet.model import Cabinet
from desk.choosing import (
    ROLES,
    Candidate,
    Fitting,
    Item,
    Role,
    choose,
    in_turn,
    items,
    standing,
    taken,
)
from desk.design.model import Design
from desk.ui.announce import announce
from desk.ui.document import Document
from desk.ui.pace import Pace
from desk.ui.shop_fields import Note, attempt
from desk.ui.shop_lines import Line, LineList
from desk.units import Unit, format_length
from desk.views.theme import Theme
from desk.views.wording import because_words, margin_words, title_words

PAUSE = 0.15
"""Seconds a design rests before items are tried on it."""
SLICE = 0.012
"""Seconds of trying between two looks at the mouse."""
WHERE = {"drawer": "in the drawer", "table": "as sold", "design": "taken now; not in the drawer, not as sold"}
HEADS = {"fit": "Fits", "not": "Does not fit"}


def item_words(item: Item) -> str:
    """An item as it is called in the trade, whatever unit the design has: "No. 6 × 1 in", "6 mm rod"."""
    if not item.length:
        return f"{item.name} rod"
    return f"{item.name} × {format_length(item.length, 'in' if item.inch else 'mm', named=True)}"


def item_key(item: Item) -> str:
    """What tells an item from the others."""
    return f"{item.size} {item.diameter:.6f} {item.length:.6f} {item.name}"


def candidate_line(found: Candidate, unit: Unit, stale: bool) -> Line:
    """A tried item as a line."""
    finding = found.finding
    about = WHERE[found.item.where]
    if finding is not None and found.fits:
        about = f"{about}; tight: {title_words(finding, unit)}"
    elif not found.fits:
        about = title_words(finding, unit) if finding is not None else found.refusal
    if found.fits and "joint.pilot" in found.changes:
        about = (
            f"{about}, with pilot holes of {format_length(found.changes['joint.pilot'], unit, named=True)}"
        )
    return Line(
        item_key(found.item),
        item_words(found.item),
        about,
        margin_words(finding, unit) if finding is not None else "",
        found.status,
        f"{about}\n{because_words(finding, unit, alone=True)}" if finding is not None else about,
        faint=stale,
        marked=found.chosen,
    )


def _rank(found: Candidate, unit: Unit) -> tuple[bool, bool, bool, bool]:
    """What is taken now first, then the drawer's, sizes of the person's own unit, what is clear; the rest as listed."""
    item = found.item
    return not found.chosen, item.where != "drawer", item.inch != (unit == "in"), found.status == "tight"


class Chooser(QWidget):
    """Roles at the left, what fits the one turned to at the right."""

    def __init__(self, document: Document, theme: Theme, pace: Pace) -> None:
        super().__init__()
        self._document, self._pace = document, pace
        self.role: Role = ROLES[0]
        self._done: dict[str, tuple[Design, dict[str, Candidate]]] = {}
        """What was tried last for each role, and on which design."""
        self._trying: Iterator[Candidate] | None = None
        self._design: Design | None = None
        self._folded = {"fit": False, "not": True}
        self.roles = LineList(theme, "Joints that take hardware", 0)
        self.list = LineList(theme, "Hardware for these joints", 150)
        self.progress = QLabel()
        self.progress.setObjectName("quiet")
        self.why = Note()
        self.button = QPushButton("Take it")
        self._build()
        self.roles.turned.connect(self._turn)
        self.list.turned.connect(lambda _key: self._explain())
        self.list.taken.connect(lambda _key: self.take_it())
        self.list.folded.connect(self._fold)
        self.button.clicked.connect(self.take_it)

    def _build(self) -> None:
        self.roles.setMinimumWidth(250)
        self.roles.setMaximumWidth(330)
        self.list.setMinimumHeight(150)
        foot = QHBoxLayout()
        foot.addWidget(self.why, 1, Qt.AlignmentFlag.AlignTop)
        foot.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self.why.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.why.setMinimumHeight(34)
        right = QVBoxLayout()
        right.setSpacing(5)
        right.addWidget(self.list, 1)
        right.addLayout(foot)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        row.addWidget(self.roles, 1)
        row.addLayout(right, 2)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self.roles.set_theme(theme)
        self.list.set_theme(theme)

    # --- following the design

    def refresh(self) -> None:
        """Follow the design: what was tried on another one is stale and is tried again soon."""
        design, evaluation = self._document.design, self._document.evaluation
        lines = []
        for role in ROLES:
            now = item_words(taken(design, role))
            known = evaluation is not None and isinstance(evaluation.cabinet, Cabinet)
            status = standing(role, evaluation.cabinet, evaluation.findings) if evaluation and known else ""
            lines.append(Line(role.id, role.label, "", now, status, tip=role.label))
        self.roles.show_lines(lines)
        if not self.roles.current:
            self.roles.turn_to(self.role.id)
        self._show()
        if not self._current:
            self._pace.debounce("fit", PAUSE, self._start)

    def go_to(self, address: str) -> bool:
        """Turn to the role that a number belongs to."""
        role = next((r for r in ROLES if address in (r.length, r.diameter) and address), None)
        if role is None:
            return False
        self._turn(role.id)
        self.roles.turn_to(role.id)
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def _turn(self, key: str) -> None:
        self.role = next(role for role in ROLES if role.id == key)
        self._trying = None
        self.refresh()

    @property
    def _current(self) -> bool:
        """Whether all that is shown was tried on the design as it is."""
        done = self._done.get(self.role.id)
        return done is not None and done[0] == self._document.design and self._trying is None

    # --- trying

    def _start(self) -> None:
        if not self.isVisible() or self._current:
            return
        design, role = self._document.design, self.role
        self._design = design
        self._done[role.id] = (design, {})
        self._trying = self._tried(design, role)
        self._show()
        self._pace.beat("fit", 0.002, self._go_on)

    def _tried(self, design: Design, role: Role) -> Iterator[Candidate]:
        fitting = Fitting(design, role)
        return (fitting.tried(item) for item in in_turn(design, role))

    def _go_on(self, _gone: float) -> bool:
        """Try some more; False when nothing is left, or all of it is for nothing."""
        if self._trying is None or self._design != self._document.design or not self.isVisible():
            self._trying = None
            return False
        results = self._done[self.role.id][1]
        until = self._pace.now() + SLICE
        for found in self._trying:
            results[item_key(found.item)] = found
            if self._pace.now() > until and not self._pace.instant:
                self._show()
                return True
        self._trying = None
        self._show()
        fit = sum(1 for found in results.values() if found.fits)
        announce(self.list, f"{self.role.label}: {fit} fit, {len(results) - fit} do not")
        return False

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing is tried out of view."""
        super().hideEvent(event)
        self._trying = None
        self._pace.cancel("fit")

    # --- showing

    def _show(self) -> None:
        design = self._document.design
        tried_on, results = self._done.get(self.role.id, (design, {}))
        stale = tried_on != design
        order = [item_key(item) for item in items(design, self.role)]
        found = [results[key] for key in order if key in results]
        lines: list[Line] = []
        for key, fits in (("fit", True), ("not", False)):
            every = sorted((c for c in found if c.fits == fits), key=lambda c: _rank(c, design.unit))
            folded = self._folded[key]
            lines.append(Line(key, f"{HEADS[key]}  ({len(every)})", heading=True, folded=folded))
            lines += [candidate_line(c, design.unit, stale) for c in every] if not folded else []
        self.list.show_lines(lines)
        waiting = not self._current
        self.progress.setText(f"trying {len(found)} of {len(order)} …" if waiting else f"{len(order)} tried")
        self._explain()

    def _chosen(self) -> Candidate | None:
        return self._done.get(self.role.id, (None, {}))[1].get(self.list.current)

    def _explain(self) -> None:
        found, design = self._chosen(), self._document.design
        stale = self._done.get(self.role.id, (None, {}))[0] != design
        takes = found is not None and found.fits and not found.chosen and not stale
        self.button.setEnabled(takes)
        words = item_words(found.item) if found is not None else "it"
        self.button.setText(
            f"Take {words}" if takes else "Taken now" if found and found.chosen else "Take it"
        )
        if found is None:
            self.why.say(f"Choose a line to take it for the {self.role.label.lower()}.")
        elif found.finding is not None:
            unit = self._document.unit()
            told = because_words(found.finding, unit, alone=True)
            self.why.say(f"{title_words(found.finding, unit)}: {told}")
        else:
            self.why.say(found.refusal or f"Nothing speaks against {words}.")

    def _fold(self, key: str, folded: bool) -> None:
        self._folded[key] = folded
        self._show()
        self.list.turn_to(key)

    def take_it(self) -> None:
        """Have the design take the item turned to, as one step."""
        found = self._chosen()
        if found is None or not self.button.isEnabled():
            return
        words = item_words(found.item)
        step = f"Take {words} for the {self.role.label.lower()}"
        fault = attempt(self._document, step, lambda d: choose(d, found.changes))
        if fault:
            self._document.refuse(fault)

"""The open design as the window sees it: the session, what was last worked out from it, and who is told.

Every change to a design goes through here. A change is worked out at once when there is time, else with the next
free moment; of several changes in between only the last one is. What follows a change listens to ``evaluated``.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from PySide6.QtCore import QObject, Signal

from desk.checks.finding import Finding
from desk.design import edit, table
from desk.design.model import Design
from desk.session import Session
from desk.ui.pace import Pace
from desk.units import Unit, UnitError
from desk.views.drawing import Drawing
from desk.views.wording import flag_numbers, margin_lines

if TYPE_CHECKING:
    from desk.cabinet.model import Status

T = TypeVar("T")
STEP = 0.004
"""Seconds a drag step rests after it was worked out, so that the window can paint and read the mouse."""
PAUSE = 0.09
"""Seconds a hand has to rest before what was put off is worked out."""
SLICE = 0.006
"""Seconds spent on what was put off before the window may paint and read the mouse again."""

LISTS = 0.1
"""Seconds between two looks of the lists at a design while a handle is held; the views follow every step."""


class Evaluated(Protocol):
    """What is worked out from a design."""

    @property
    def design(self) -> Design:
        """The design it was worked out from."""

    @property
    def cabinet(self) -> Any:
        """The cabinet; passed on to exports, never looked into here."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, numbered."""

    @property
    def drawings(self) -> Mapping[str, Drawing]:
        """The views by id."""

    @property
    def pending(self) -> frozenset[str]:
        """Ids of checks put off; what they find is from an earlier design."""


class Evaluator(Protocol):
    """Works a design out."""

    def __call__(self, design: Design, last: Evaluated | None = None) -> Evaluated:
        """All of it; with the ``last`` evaluation, as much as is needed within a drag step."""


Completer = Callable[[Evaluated], Evaluated]
"""Works out what was put off."""
Advance = Callable[[Evaluated], Iterator[None]]
"""Does the work of a completer in small steps, so that it has little left to do."""


_NO_MORE = object()


def _at_once(_made: Evaluated) -> Iterator[None]:
    return iter(())


class Document(QObject):
    """One open design. The host of the views (see desk.ui.easel.Host)."""

    opened = Signal()
    """Another design is on the desk and has been worked out."""
    evaluated = Signal(object)
    """A new evaluation."""
    broke = Signal(str)
    """A fault of the program kept the design from being worked out; the last evaluation stays on view."""
    failed = Signal(str)
    """The design as it is cannot be worked out; the last evaluation stays on view."""
    designed = Signal()
    """The design, the file or the unsaved mark changed."""
    pointed = Signal(str)
    """The person turned to the number at this address, "" for none."""
    chosen = Signal(str)
    """The person turned to the finding with this key, "" for none."""
    refused = Signal(str)
    """Why something was not done."""

    def __init__(
        self,
        design: Design,
        evaluator: Evaluator,
        pace: Pace,
        completer: Completer = lambda made: made,
        advance: Advance = _at_once,
    ) -> None:
        super().__init__()
        self.session = Session(design)
        self.path: Path | None = None
        self.evaluation: Evaluated | None = None
        self.address = ""
        self.finding = ""
        self._evaluator, self._completer, self._advance, self._pace = evaluator, completer, advance, pace
        self._better: Completer = lambda made: made
        self._steps: Iterator[None] = iter(())
        """What is left to do of what was put off."""
        self._opening = False
        self._numbers: dict[str, str] = {}
        self._lists: list[str] = []
        """Names of the jobs that are done at leisure."""
        self._statuses: dict[str, Status] = {}
        """Statuses of the findings when the gesture under way began."""
        self._before: tuple[int, Design] | None = None
        self.session.listen(lambda _design: self._changed())

    @property
    def design(self) -> Design:
        """The design now."""
        return self.session.design

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of the last evaluation."""
        return self.evaluation.findings if self.evaluation else ()

    def flag_number(self, key: str) -> str:
        """The number on a finding's flags; "" for one that is not flagged."""
        return self._numbers.get(key, "")

    def finding_of(self, key: str) -> Finding | None:
        """The finding with this key, if it still stands."""
        return next((f for f in self.findings if f.key == key), None)

    def at_leisure(self, name: str, job: Callable[[], None]) -> Callable[..., None]:
        """A listener that does ``job`` at once, but while a handle is held only every ``LISTS`` seconds."""
        self._lists.append(name)

        def follow(*_told: object) -> None:
            if self.pulling:
                self._pace.throttle(name, LISTS, job)
            else:
                self._pace.cancel(name)
                job()

        return follow

    # --- what the views ask (desk.ui.easel.Host)

    def unit(self) -> Unit:
        """The unit lengths are shown in."""
        return self.design.unit

    def value(self, address: str) -> float:
        """The number at an address."""
        return edit.get(self.design, address)

    def locked(self, address: str) -> bool:
        """Whether the number is locked."""
        return address in self.design.locked

    def is_number(self, address: str) -> bool:
        """Whether the design has a number at this address."""
        try:
            edit.get(self.design, address)
        except table.UnknownAddress:
            return False
        return True

    def title_of(self, address: str) -> str:
        """The label of a number or choice; "" when the design has none at this address."""
        if self.is_number(address):
            return table.spec(address).title
        return table.choice(address).label if address in self.design.choices else ""

    def shown(self, address: str) -> str:
        """The text of the number at an address, as it was typed."""
        return edit.shown(self.design, address)

    def present(self, address: str) -> str:
        """What is at an address now, in words: the text of a number, the label of a choice's option; "" for neither."""
        if self.is_number(address):
            return self.shown(address)
        design = self.design
        return design.option_label(address, design.choice(address)) if address in design.choices else ""

    def mute_of(self, key: str) -> str:
        """The reason a finding's key is muted for in the design, whether it is found or not; "" for none."""
        return next((mute.reason for mute in self.design.mutes if mute.key == key), "")

    @property
    def pulling(self) -> bool:
        """Whether a gesture is under way."""
        return self._before is not None

    def waits(self, finding: Finding) -> bool:
        """Whether a finding is from an earlier design: its check has been put off."""
        return self.evaluation is not None and finding.check in self.evaluation.pending

    def waiting(self) -> frozenset[str]:
        """Keys of the findings that are from an earlier design."""
        if self.evaluation is None or not self.evaluation.pending:
            return frozenset()
        return frozenset(f.key for f in self.findings if self.waits(f))

    def margins(self, address: str) -> tuple[tuple[str, str], ...]:
        """What is shown beside a moving handle about the findings that concern its number."""
        return margin_lines(
            address, self.findings, self.unit(), self._numbers, self._statuses, self.waiting()
        )

    def pull(self, changes: Mapping[str, float], gesture: int) -> None:
        """Set numbers as one step of the history for the whole gesture."""
        design = self.design
        if self._before is None or self._before[0] != gesture:
            self._before = (gesture, design)
            self._statuses = {f.key: f.status for f in self.findings}
        try:
            for address, value in changes.items():
                design = edit.put(design, address, value)
        except edit.EditError as error:
            self.refused.emit(str(error))
            return
        title = table.spec(next(iter(changes))).title if changes else ""
        self.session.apply(f"Pull {title[:1].lower()}{title[1:]}", design, gesture=gesture)

    def give_back(self, gesture: int) -> None:
        """Take a gesture back as if it had not been."""
        if self._before is not None and self._before[0] == gesture:
            self.session.apply("", self._before[1], gesture=gesture)
            self.settle()

    def settle(self) -> None:
        """A gesture has ended: work out what is still waiting, without holding up the window."""
        self.session.end_gesture()
        self._before = None
        self._pace.flush("evaluate")
        for name in self._lists:
            self._pace.flush(name)
        if self._pace.waiting("complete"):
            self._go_on()

    def finish(self) -> bool:
        """Work out now what is still waiting, as before anything leaves the program; whether all that is shown then is
        of the design as it is, with no check put off.
        """
        self._pace.flush("evaluate")
        if self.evaluation is not None and self.evaluation.pending:
            self._complete()
        made = self.evaluation
        return made is not None and made.design == self.design and not made.pending

    def type_in(self, address: str, text: str) -> str:
        """Set a number from text; what is wrong with the text, or ""."""
        try:
            design = edit.type_in(self.design, address, text)
        except (UnitError, edit.EditError) as error:
            return str(error)
        self.session.apply(f"Type {table.spec(address).title.lower()}", design)
        self.settle()
        return ""

    def point_at(self, address: str) -> None:
        """The person turned to this number."""
        if address != self.address:
            self.address = address
            self.pointed.emit(address)

    def choose(self, finding: str) -> None:
        """The person turned to this finding, even if it is the one they turned to last, and away from any number."""
        self.finding = finding
        if finding:
            self.point_at("")
        self.chosen.emit(finding)

    def refuse(self, text: str) -> None:
        """Tell the person why nothing happens."""
        self.refused.emit(text)

    # --- edits of other kinds

    def change(self, label: str, make: Callable[[Design], Design]) -> bool:
        """Apply an edit as one step; False, and the reason told, when it is refused."""
        try:
            design = make(self.design)
        except (edit.EditError, table.UnknownAddress, UnitError) as error:
            self.refused.emit(str(error))
            return False
        self.session.apply(label, design)
        self.settle()
        return True

    def undo(self) -> None:
        """Take the last step back."""
        self.session.undo()
        self.settle()

    def redo(self) -> None:
        """Do the last undone step again."""
        self.session.redo()
        self.settle()

    def open(self, design: Design, path: Path | None, saved: bool = True) -> None:
        """Start over with another design."""
        self.path = path
        before = self.design
        self._opening = True
        self.session.open(design, saved)
        self._pace.flush("evaluate")
        self._opening = False
        self.choose("")
        self.point_at("")
        if design == before:
            self.designed.emit()
        self.opened.emit()

    def saved(self, design: Design, path: Path) -> None:
        """The file at ``path`` now holds ``design``."""
        self.path = path
        self.session.mark_saved(design)
        self.designed.emit()

    # --- working out

    def evaluate(self) -> None:
        """Work the design out and tell everybody."""
        last = None if self._opening else self.evaluation
        made = self._tried(lambda: self._evaluator(self.design, last))
        if made is None:
            return
        self._take(made)
        if made.pending:
            self._steps = self._advance(made)
            self._pace.debounce("complete", PAUSE, self._go_on)
        else:
            self._pace.cancel("complete")

    def _go_on(self) -> None:
        """Do some of what was put off; tell its outcome when all of it is done."""
        if self._pace.instant:  # nobody is waiting for the window to paint
            self._complete()
            return
        until = self._pace.now() + SLICE
        while more := self._tried(self._step):
            if self._pace.now() > until:
                self._pace.debounce("complete", 0.0, self._go_on)
                return
        if more is not None:
            self._complete()

    def _step(self) -> bool:
        """One step of what was put off; False when there was none left."""
        return next(self._steps, _NO_MORE) is not _NO_MORE

    def _complete(self) -> None:
        self._pace.cancel("complete")
        last = self.evaluation
        made = self._tried(lambda: self._completer(last)) if last is not None else None
        if made is not None:
            self._take(made)

    def _tried(self, work: Callable[[], T]) -> T | None:
        """What ``work`` gives; None, and the reason told, when no cabinet can be made or the program is at fault."""
        try:
            return work()
        except Exception as error:
            from desk.shapes.loop import ShapeError

            if isinstance(error, ShapeError):
                self.failed.emit(str(error))
            else:
                traceback.print_exc()
                self.broke.emit(f"{type(error).__name__}: {error}")
            return None

    def look_again(self) -> None:
        """More may be known of the design than when it was worked out."""
        made = self.evaluation
        if made is not None and self._better(made).findings != made.findings:
            self._take(made)

    def know_better(self, better: Completer) -> None:
        """Have ``better`` put what it knows into every evaluation before it is told to anybody."""
        self._better = better

    def _take(self, made: Evaluated) -> None:
        made = self._better(made)
        self.evaluation = made
        self._numbers = flag_numbers(made.findings)
        self.evaluated.emit(made)

    def _changed(self) -> None:
        self.designed.emit()
        self._pace.throttle("evaluate", STEP, self.evaluate)

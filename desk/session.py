"""The history of one open document: the design now, undo and redo, and whether it differs from the saved one.

Pure values and callbacks; the window and the tests drive it alike. Steps of one gesture (a whole drag) merge
into one. A change that changes nothing adds no step and tells nobody.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass

from desk.design.model import Design

Listener = Callable[[Design], None]


@dataclass(frozen=True, slots=True)
class Step:
    """One undoable step: the design as it was before, under the label of what was then done."""

    label: str
    before: Design


class Session:
    """One open document.

    Listeners are called with the new design, after the session has taken it, and only when it really changed.
    A listener may apply a further change; the ones after it are then called for the latest design only.
    """

    def __init__(self, design: Design, saved: bool = True) -> None:
        self._design = design
        self._saved: Design | None = design if saved else None
        self._undo: list[Step] = []
        self._redo: list[Step] = []
        self._gesture: Hashable = None
        self._listeners: list[Listener] = []

    @property
    def design(self) -> Design:
        """The design now."""
        return self._design

    @property
    def dirty(self) -> bool:
        """Whether the design differs from the one last saved or opened; False again once undone to that."""
        return self._design != self._saved

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to undo."""
        return bool(self._undo)

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to do again."""
        return bool(self._redo)

    @property
    def undo_label(self) -> str:
        """What undo would take back; empty when there is nothing."""
        return self._undo[-1].label if self._undo else ""

    @property
    def redo_label(self) -> str:
        """What redo would do again; empty when there is nothing."""
        return self._redo[-1].label if self._redo else ""

    @property
    def labels(self) -> tuple[str, ...]:
        """Labels of the steps that can be undone, oldest first."""
        return tuple(step.label for step in self._undo)

    def apply(self, label: str, design: Design, gesture: Hashable = None) -> bool:
        """Take a changed design as a new step; True when it differs from the one before.

        Changes with the same ``gesture`` (any hashable value but None) one after another are one step, which
        goes away again when the gesture comes back to where it began.
        """
        if design == self._design:
            return False
        merging = gesture is not None and gesture == self._gesture and bool(self._undo)
        if not merging:
            self._undo.append(Step(label, self._design))
        elif self._undo[-1].before == design:
            self._undo.pop()
            gesture = None
        self._redo.clear()
        self._gesture = gesture
        self._take(design)
        return True

    def end_gesture(self) -> None:
        """The drag is over: a later one is a new step even under the same gesture value."""
        self._gesture = None

    def undo(self) -> bool:
        """Take the last step back; False when there is none."""
        return self._move(self._undo, self._redo)

    def redo(self) -> bool:
        """Do the last undone step again; False when there is none."""
        return self._move(self._redo, self._undo)

    def mark_saved(self, design: Design | None = None) -> None:
        """The design now, or the one given, is what the file holds."""
        self._saved = self._design if design is None else design
        self._gesture = None

    def open(self, design: Design, saved: bool = True) -> None:
        """Start over with another document; its listeners stay."""
        changed = design != self._design
        self._undo.clear()
        self._redo.clear()
        self._gesture = None
        self._saved = design if saved else None
        if changed:
            self._take(design)

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Call ``listener`` after every change; the function given back stops that, and may run twice."""
        self._listeners.append(listener)

        def stop() -> None:
            if listener in self._listeners:
                self._listeners.remove(listener)

        return stop

    def _move(self, source: list[Step], target: list[Step]) -> bool:
        if not source:
            return False
        step = source.pop()
        target.append(Step(step.label, self._design))
        self._gesture = None
        self._take(step.before)
        return True

    def _take(self, design: Design) -> None:
        self._design = design
        for listener in tuple(self._listeners):
            if self._design is not design:
                return
            listener(design)

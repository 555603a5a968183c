"""The hand of one view: takes a ball that lies in it, or the tip of the throw's arrow, carries it and lets go.

Knows the view's drawing only; what taking and letting go come to is asked of a ``Player``, which is made when the
first ball is taken.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Protocol

from desk.ui.canvas import Canvas
from desk.views.drawing import Disc
from desk.views.viewport import Px

BALLS = frozenset({"ball-resting", "ball-queue", "trap", "ball-moving", "ball-stopped"})
"""Styles of the balls that can be taken."""
TIP = "throw-tip"


class Player(Protocol):
    """Whoever plays. Places are mm of the view's drawing."""

    def carry(self, canvas: Canvas, at: Px) -> None:
        """A ball is in the hand, here."""

    def let_go(self, canvas: Canvas, at: Px) -> None:
        """The ball has been let go here."""

    def put_back(self) -> None:
        """The ball is back where it was."""

    def point_arrow(self, canvas: Canvas, at: Px) -> None:
        """The arrow's tip has been pulled here."""

    def arrow_left(self) -> None:
        """The arrow's tip has been let go."""


class Hand:
    """See desk.ui.loose.Loose."""

    def __init__(self, canvas: Canvas, player: Callable[[], Player]) -> None:
        self._canvas, self._player = canvas, player
        self._at: Px = (0.0, 0.0)
        self._slip: Px = (0.0, 0.0)
        """From where the hand took hold to the middle of what it took."""
        self._arrow = False

    def reach(self, at: Px, slack: float) -> float | None:
        """How far the middle of the nearest ball or tip is; None when none is under the pointer."""
        found = self._nearest(at, slack)
        return None if found is None else math.dist(found.centre, at)

    def lift(self, at: Px | None) -> bool:
        """Take what is there; None takes a ball out of the box, in the middle of the view."""
        drawing = self._canvas.easel.drawing
        if drawing is None:
            return False
        if at is None:
            view = self._canvas.view
            self._at = view.to_mm((self._canvas.width() / 2, self._canvas.height() / 3))
            self._slip, self._arrow = (0.0, 0.0), False
        else:
            found = self._nearest(at, math.inf)
            if found is None:
                return False
            self._at, self._arrow = found.centre, found.style == TIP
            self._slip = (found.centre[0] - at[0], found.centre[1] - at[1])
        self._show()
        return True

    def carry(self, at: Px) -> None:
        """The hand is here now."""
        self._at = (at[0] + self._slip[0], at[1] + self._slip[1])
        self._show()

    def carry_by(self, by: Px) -> None:
        """The hand has moved by so much."""
        self._at = (self._at[0] + by[0], self._at[1] + by[1])
        self._show()

    def let_go(self) -> None:
        """Let go where the hand is."""
        if self._arrow:
            self._player().arrow_left()
        else:
            self._player().let_go(self._canvas, self._at)

    def put_back(self) -> None:
        """Put it back where it was."""
        if not self._arrow:
            self._player().put_back()

    def _show(self) -> None:
        if self._arrow:
            self._player().point_arrow(self._canvas, self._at)
        else:
            self._player().carry(self._canvas, self._at)

    def _nearest(self, at: Px, slack: float) -> Disc | None:
        """The ball or tip nearest to ``at`` that it lies on, or whose middle is within ``slack`` of it."""
        drawing = self._canvas.easel.drawing
        items = (*(drawing.items if drawing else ()), *self._canvas.lying)
        near = [
            (math.dist(i.centre, at), i)
            for i in items
            if isinstance(i, Disc) and (i.style in BALLS or i.style == TIP)
        ]
        best = min(near, key=lambda pair: pair[0], default=None)
        return best[1] if best is not None and best[0] <= max(best[1].radius, slack) else None

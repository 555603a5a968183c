"""What lies loose on a drawing and can be taken in the hand: a ball, the tip of an arrow. No Qt, no state."""

from __future__ import annotations

from typing import Protocol

from desk.views.viewport import Px

SLACK = 9.0
"""What lies loose is taken within so many px of its middle, and anywhere on it."""
CARRY = 2.0
"""How far an arrow key carries what is in the hand, mm."""


class Loose(Protocol):
    """What of one view can be taken, carried and let go. Places are mm of the drawing."""

    def reach(self, at: Px, slack: float) -> float | None:
        """How far the middle of the nearest thing is, if ``at`` is on it or within ``slack`` of its middle."""

    def lift(self, at: Px | None) -> bool:
        """Take it; None takes a ball out of the box. False when there is nothing to take."""

    def carry(self, at: Px) -> None:
        """The hand is here now."""

    def carry_by(self, by: Px) -> None:
        """The hand has moved by so much."""

    def let_go(self) -> None:
        """Let go where the hand is."""

    def put_back(self) -> None:
        """Put it back where it was."""


def carried(arrow: Px, fine: bool, coarse: bool) -> Px:
    """How far an arrow key carries, mm; ``arrow`` is its direction, y up."""
    far = CARRY * (10.0 if coarse else 0.1 if fine else 1.0)
    return far * arrow[0], far * arrow[1]

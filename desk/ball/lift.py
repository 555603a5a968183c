"""The ball that waits at the lip, raised with the lifter and left to itself."""

from __future__ import annotations

import math

from desk.ball.course import CannotPlayError, course
from desk.ball.motion import Path, drop
from desk.cabinet.model import Cabinet
from desk.shapes.loop import Point

TRAY = "to the pick-up tray"
"""How the way of a lifted ball ends, in words, when it rolls where it is meant to."""
ABOVE = 0.02
"""The ball is let go so far above the raised pad, mm."""


def raised(cabinet: Cabinet, diameter: float | None = None) -> Point:
    """Where the middle of the waiting ball is after the whole swing, in the plane of the leg "lift", mm.

    The ball lies on the lifter and against the lip, whose rear face is an arc about the lifter's pin: it goes up with
    the lifter as if fixed to it. Raises CannotPlayError where no ball waits.
    """
    wait = course(cabinet, diameter).wait
    if wait is None:
        raise CannotPlayError("Waiting place: no ball comes to rest there")
    x0, _, z0 = cabinet.marks.points["pin"]
    a = math.radians(cabinet.marks.lengths["lifter travel"])
    x, z = wait.at[0] - x0, wait.at[1] - z0
    return x0 + x * math.cos(a) - z * math.sin(a), z0 + x * math.sin(a) + z * math.cos(a) + ABOVE


def lifted(cabinet: Cabinet, diameter: float | None = None) -> Path:
    """The way of the waiting ball from the raised lifter on. Raises CannotPlayError as ``raised`` and ``drop`` do."""
    return drop(cabinet, "lift", raised(cabinet, diameter), diameter)

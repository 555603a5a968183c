"""What lies beyond the border of a leg's section, for balls that come to it.

The sections end where the cabinet does at the front, at the back and above; below them, and all round those behind
the board, there is still cabinet.
"""

from __future__ import annotations

import numpy as np

from desk.ball.edges import Flags, Reals
from desk.cabinet.model import Leg
from desk.shapes.loop import Point

OPEN = ("lane", "flight", "channel", "lift")
"""Legs beside and above which there is no more cabinet."""
NEAR = 0.01
"""A ball this near to a line, mm, is on it."""


def outside(leg: Leg, z: Reals | float) -> Flags:
    """Whether balls at the section's border at these heights leave the cabinet there; else they stay in it."""
    found: Flags = (np.asarray(z) > leg.room.bounds[1] + NEAR) & (leg.id in OPEN)
    return found


def rises(leg: Leg, foot: Point, x: Reals | float, z: Reals | float) -> Flags:
    """Whether balls at the border of the section under the board are on the line from the kicker's lip to the board's
    foot: whichever way they move they are then on their way out of it, and in flight."""
    ends = leg.room.exterior.coords
    left = leg.room.bounds[0]
    lip = max(p[1] for p in ends if p[0] <= left + NEAR)
    along, up = foot[0] - left, foot[1] - lip
    x, z = np.asarray(x), np.asarray(z)
    off = (x - left) * up - (z - lip) * along
    on: Flags = (np.abs(off) <= NEAR * np.hypot(along, up)) & (x >= left - NEAR) & (x <= foot[0] + NEAR)
    return on

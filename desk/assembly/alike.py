"""Ways in which one outline fits onto another: turned in its plane, or turned over.

Corners are compared one after the other, each outline started at every one of its corners in turn, so a way is found
when the outlines have the same corners in the same order. Lengths in mm; points of the plane are complex numbers.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from desk.shapes.loop import Loop, Point

_BULGE = 0.05
"""Edges whose bulges differ by more than this are not alike."""


class Way(NamedTuple):
    """A rigid motion of the plane, ``turn * z + shift``, of ``-conj(z)`` where the part is turned over.

    ``off`` is how far the worst corner then lies from the one it should meet.
    """

    turn: complex
    shift: complex
    over: bool
    off: float

    def to(self, point: Point) -> Point:
        """Where a point of the first outline comes to lie."""
        z = complex(-point[0], point[1]) if self.over else complex(*point)
        moved = self.turn * z + self.shift
        return moved.real, moved.imag

    def back(self, point: Point) -> Point:
        """The point of the first outline that comes to lie here."""
        z = (complex(*point) - self.shift) / self.turn
        return (-z.real, z.imag) if self.over else (z.real, z.imag)


@lru_cache(maxsize=512)
def ways(first: Loop, second: Loop, within: float) -> tuple[Way, ...]:
    """Every way in which the first outline fits onto the second, no corner farther off than ``within``."""
    if len(first.points) != len(second.points):
        return ()
    target, bulges = _corners(second)
    out = []
    for over in (False, True):
        corners, own = _corners(first.mirrored() if over else first)
        for start in _starts(corners, own, target, bulges, within):
            way = _best(corners, np.roll(target, -start), over)
            if way.off <= within:
                out.append(way)
    return tuple(out)


def _corners(loop: Loop) -> tuple[NDArray[np.complex128], NDArray[np.float64]]:
    points = np.array(loop.points)
    return points[:, 0] + 1j * points[:, 1], points[:, 2]


def _starts(
    corners: NDArray[np.complex128],
    own: NDArray[np.float64],
    target: NDArray[np.complex128],
    bulges: NDArray[np.float64],
    within: float,
) -> list[int]:
    """Corners of the target at which its edges follow each other as those of the first outline do from its own."""
    n = len(corners)
    lengths, wanted = np.abs(np.roll(corners, -1) - corners), np.abs(np.roll(target, -1) - target)
    turned = (np.arange(n)[None] + np.arange(n)[:, None]) % n
    same = (np.abs(wanted[turned] - lengths) <= 2 * within) & (np.abs(bulges[turned] - own) <= _BULGE)
    return [int(k) for k in np.nonzero(same.all(axis=1))[0]]


def _best(corners: NDArray[np.complex128], target: NDArray[np.complex128], over: bool) -> Way:
    """The motion that brings the corners nearest to the target's, by least squares."""
    middle, aim = corners.mean(), target.mean()
    turn = complex(np.vdot(corners - middle, target - aim))
    turn = turn / abs(turn) if turn else 1 + 0j
    shift = complex(aim - turn * middle)
    off = float(np.abs(turn * corners + shift - target).max())
    return Way(turn, shift, over, off)

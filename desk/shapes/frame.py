"""Frames that stand a flat part, or a drawing plane, in the cabinet.

World axes: x runs from the player to the back, y from the player's left to the right, z up. Seen from above this is a
left-handed triple, which is why the outward normal of a plane is ``v × u`` here and not ``u × v``: with the face turned
towards you, ``u`` points to your right and ``v`` up.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:  # a frame is plain numbers; the window imports it before anything heavy
    from desk.shapes.loop import Point

Vec = tuple[float, float, float]


def dot(a: Vec, b: Vec) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Vector product by components."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def add(a: Vec, b: Vec, times: float = 1.0) -> Vec:
    """``a + times * b``."""
    return (a[0] + times * b[0], a[1] + times * b[1], a[2] + times * b[2])


class Frame(Struct, frozen=True, dict=True):
    """A plane in the cabinet: ``origin`` in mm, ``u`` and ``v`` unit vectors at right angles.

    For a part the plane is its face A, the face that lies up on the machine; depth counts from it into the wood.
    """

    origin: Vec
    u: Vec
    v: Vec

    @cached_property
    def normal(self) -> Vec:
        """Unit normal that points out of face A, towards the viewer."""
        return cross(self.v, self.u)

    def world(self, x: float, y: float, depth: float = 0.0) -> Vec:
        """World point of local ``(x, y)`` at ``depth`` mm below the face."""
        return add(add(add(self.origin, self.u, x), self.v, y), self.normal, -depth)

    def local(self, point: Vec) -> tuple[float, float, float]:
        """Local ``(x, y, depth)`` of a world point."""
        d = add(point, self.origin, -1.0)
        return dot(d, self.u), dot(d, self.v), -dot(d, self.normal)

    def mirrored(self, across: float) -> Frame:
        """The frame reflected in the plane ``y = across / 2``, with ``u`` turned round so that it stays a true view.

        A local point ``(x, y)`` of the old frame is ``(-x, y)`` in the new one.
        """
        ox, oy, oz = self.origin
        return Frame(
            (ox, across - oy, oz), (-self.u[0], self.u[1], -self.u[2]), (self.v[0], -self.v[1], self.v[2])
        )


def unit(x: float, y: float) -> Point:
    """The unit vector along (x, y)."""
    length = math.hypot(x, y)
    return (x / length, y / length)

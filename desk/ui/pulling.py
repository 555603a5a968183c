"""How far a hand's move changes the numbers of a handle, and what that asks of the program. No Qt, no state."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from desk.design import table
from desk.units import MM_PER_INCH, Unit
from desk.views.drawing import Dimension
from desk.views.viewport import Px


class Host(Protocol):
    """What a view asks of the rest of the program."""

    def unit(self) -> Unit:
        """The unit lengths are shown in."""

    def value(self, address: str) -> float:
        """The number at an address."""

    def locked(self, address: str) -> bool:
        """Whether the number is locked."""

    def pull(self, changes: Mapping[str, float], gesture: int) -> None:
        """Set numbers; calls of one gesture make one step of the undo history."""

    def give_back(self, gesture: int) -> None:
        """Undo a gesture as if it had not been."""

    def settle(self) -> None:
        """A gesture has ended: bring everything up to date."""

    def type_in(self, address: str, text: str) -> str:
        """Set a number from text; returns what is wrong with the text, or ""."""

    def point_at(self, address: str) -> None:
        """The person turned to this number; "" for none."""

    def choose(self, finding: str) -> None:
        """The person turned to this finding."""

    def refuse(self, text: str) -> None:
        """Tell the person why nothing happens."""


@dataclass
class Grab:
    """A handle in the hand: where it was taken, the values it started from."""

    item: Dimension
    at: Px
    start: dict[str, float]
    gesture: int
    moved: bool = False


def grid(address: str, unit: Unit) -> float:
    """The step a number moves in when it is pulled or nudged: its own, or a binary fraction of an inch near it."""
    spec = table.spec(address)
    if spec.unit == "length" and unit == "in":
        power = min(6, max(0, round(math.log2(MM_PER_INCH / spec.step))))
        return math.ldexp(MM_PER_INCH, -power)
    return spec.step


def on_grid(address: str, value: float, step: float) -> float:
    """``value`` moved to the nearest step and kept in the hard range."""
    spec = table.spec(address)
    if spec.unit == "count":
        step = max(1.0, round(step))
    low, high = spec.hard
    return min(high, max(low, round(value / step) * step))


def pulled(host: Host, grab: Grab, moved: Px, fine: bool) -> dict[str, float]:
    """The values a grab comes to with the hand moved by ``moved`` mm of the drawing; locked numbers stay."""
    dx, dy = moved
    out = {}
    for p in grab.item.pulls:
        if not host.locked(p.address):
            step = grid(p.address, host.unit()) * (0.1 if fine else 1.0)
            raw = grab.start[p.address] + (dx * p.axis[0] + dy * p.axis[1]) * p.gain
            out[p.address] = on_grid(p.address, raw, step)
    return out


def nudged(host: Host, item: Dimension, arrow: Px, size: float) -> dict[str, float]:
    """The values one arrow key comes to. ``arrow`` is its direction, y up, ``size`` how many steps.

    An arrow along a pull's axis moves the handle that way; where no pull lies along it, right and up mean more.
    """
    shares = [p.axis[0] * arrow[0] + p.axis[1] * arrow[1] for p in item.pulls]
    out = {}
    for p, share in zip(item.pulls, shares, strict=True):
        if host.locked(p.address):
            continue
        if abs(share) >= 0.5:
            sign = math.copysign(1.0, share * p.gain)
        elif len(item.pulls) == 1:
            sign = math.copysign(1.0, arrow[0] + arrow[1])
        else:
            continue
        step = grid(p.address, host.unit()) * size
        if table.spec(p.address).unit == "count":
            step = max(1.0, step)
        low, high = table.spec(p.address).hard
        out[p.address] = min(high, max(low, round(host.value(p.address) + sign * step, 6)))
    return out

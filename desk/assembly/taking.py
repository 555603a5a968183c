"""Taking a cabinet apart: which parts, alone or together, can be drawn off the rest in one straight line.

Parts that move as one are *pieces*. A piece is held along a direction by what stands in its way, by pins that run
across the direction, and by screws that are not undone. The set that must come along when a piece moves is what
holds it, what holds that, and so on; when that is not everything there is, it can be drawn off (the blocking graphs
of assembly planning: Wilson and Latombe, "Geometric reasoning about mechanical assembly", Artificial Intelligence 71,
1994). Drawing something off never hinders anything else later, so taking what comes first always gets to the end.

Sets of pieces and of parts are whole numbers, bit k for number k.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from desk.assembly.blocking import Blocking, blocking
from desk.assembly.driver import Drivers, Tool
from desk.assembly.solids import Solids
from desk.cabinet.model import AxisJoint, TabJoint
from desk.shapes.frame import Vec, dot

_ALONG = 1 - 1e-9
PREFERRED: tuple[Vec, ...] = ((0, 0, 1), (1, 0, 0), (0, 1, 0), (0, -1, 0), (-1, 0, 0), (0, 0, -1))
"""Where several ways out are free: up, to the back, right, left, to the front, down."""


class Grace(NamedTuple):
    """What is put up with to draw something off: the tool a screw may need, and parts that then hang by nothing."""

    tool: int
    adrift: bool


class Draw(NamedTuple):
    """Pieces that can be drawn off along a direction, what that leaves adrift, and the wood that is moved, mm³."""

    adrift: int
    volume: float
    pieces: int
    direction: Vec


@dataclass(frozen=True)
class Joints:
    """The joints of a cabinet."""

    axes: tuple[AxisJoint, ...]
    tabs: tuple[TabJoint, ...]

    def together(self) -> Iterator[tuple[str, ...]]:
        """The parts each joint ties together."""
        for joint in self.axes:
            yield tuple(m.part for m in joint.members)
        for tab in self.tabs:
            yield tab.part, tab.wall


class Taking:
    """The pieces of a cabinet and what holds them; ``pieces`` are sets of parts, none in two of them."""

    def __init__(self, solids: Solids, joints: Joints, tools: Sequence[Tool], pieces: Sequence[int]) -> None:
        self.solids = solids
        self.drivers = Drivers(solids, tools)
        self.pieces = tuple(pieces)
        self.volume = [sum(solids.volume(k) for k in ones(p)) for p in pieces]
        place = {p.id: k for k, p in enumerate(solids.parts)}
        home = {k: n for n, piece in enumerate(pieces) for k in ones(piece)}
        self._where = {p.id: home[place[p.id]] for p in solids.parts}
        self.screws = [(j, self.spread(m.part for m in j.members)) for j in joints.axes if j.kind == "screw"]
        self.blocking = blocking(solids)
        self._axes = joints.axes
        self._ways = self._held(self.blocking, joints)
        self._near = self._tied(joints)
        self._order = sorted(range(len(pieces)), key=lambda n: (self.volume[n], n))

    def spread(self, ids: Iterable[str]) -> int:
        """The pieces that hold these parts."""
        return union(1 << self._where[key] for key in ids)

    def parts(self, pieces: int) -> int:
        """The parts of a set of pieces."""
        return union(self.pieces[n] for n in ones(pieces))

    def _held(self, found: Blocking, joints: Joints) -> dict[Vec, list[int]]:
        """For each direction, the pieces that hold each piece, screws left out."""
        home = {k: 1 << n for n, piece in enumerate(self.pieces) for k in ones(piece)}
        ways: dict[Vec, list[int]] = {}
        for direction, rows in zip(found.directions, found.ways, strict=True):
            held = [union(home[b] for k in ones(p) for b in ones(rows[k])) for p in self.pieces]
            for joint in joints.axes:
                if joint.kind != "screw" and abs(dot(joint.direction, direction)) < _ALONG:
                    tie(held, self.spread(m.part for m in joint.members))
            ways[direction] = [mask & ~(1 << n) for n, mask in enumerate(held)]
        return ways

    def _tied(self, joints: Joints) -> list[int]:
        """For each piece the pieces it is joined to."""
        near = [0] * len(self.pieces)
        for ids in joints.together():
            tie(near, self.spread(ids))
        return near

    def draws(self, present: int, grace: Grace) -> Iterator[Draw]:
        """For each piece present the least set, and way, by which it can be drawn off, small pieces first."""
        fast = self._fast(present, grace)
        ways = {d: self._rows(d, fast) for d in PREFERRED}
        whole = self.groups(present)
        for n in self._order:
            if present >> n & 1:
                best = min(self._from(n, present, ways, grace, whole), default=None, key=lambda d: d[:2])
                if best is not None:
                    yield best

    def way(self, draw: Draw, present: int, grace: Grace) -> Vec:
        """The way to draw pieces off that runs along the pins and screws it parts, where that way is free."""
        kept = present & ~draw.pieces
        parted = [
            j for j in self._axes if (p := self.spread(m.part for m in j.members)) & draw.pieces and p & kept
        ]
        fast = self._fast(present, grace)
        free = [d for d in PREFERRED if self._closed(draw.pieces, self._rows(d, fast), present)]
        along = [d for d in free if any(abs(dot(d, j.direction)) > _ALONG for j in parted)]
        return (along or free or [draw.direction])[0]

    def _from(
        self, n: int, present: int, ways: dict[Vec, list[int]], grace: Grace, whole: int
    ) -> Iterator[Draw]:
        for direction, rows in ways.items():
            moved = spread_from(1 << n, rows, present)
            if moved == present:
                continue
            adrift = max(0, self.groups(moved) + self.groups(present & ~moved) - whole - 1)
            if not adrift or grace.adrift:
                yield Draw(adrift, sum(self.volume[k] for k in ones(moved)), moved, direction)

    def _fast(self, present: int, grace: Grace) -> list[int]:
        """What the screws that cannot be undone tie together."""
        return [pieces for screw, pieces in self.screws if self._stays(screw, pieces, present, grace)]

    def _rows(self, direction: Vec, fast: Sequence[int]) -> list[int]:
        """What holds each piece along a direction, fast screws among it."""
        rows = list(self._ways[direction])
        for pieces in fast:
            tie(rows, pieces)
        return rows

    @staticmethod
    def _closed(pieces: int, rows: list[int], present: int) -> bool:
        """Whether nothing outside the set holds it."""
        return not union(rows[n] for n in ones(pieces)) & present & ~pieces

    def _stays(self, screw: AxisJoint, pieces: int, present: int, grace: Grace) -> bool:
        """Whether a screw whose parts are all present, in two pieces or more, cannot be undone."""
        if pieces & ~present or not pieces & (pieces - 1):
            return False
        if grace.tool >= len(self.drivers.tools):
            return False
        return self.drivers.level(screw, self.parts(present)) > grace.tool

    def groups(self, present: int) -> int:
        """How many groups the pieces fall into by what joins them."""
        count = 0
        while present:
            present &= ~spread_from(present & -present, self._near, present)
            count += 1
        return count


def ones(mask: int) -> Iterator[int]:
    """The numbers in a set, ascending."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def union(masks: Iterable[int]) -> int:
    """All sets together."""
    whole = 0
    for mask in masks:
        whole |= mask
    return whole


def tie(rows: list[int], pieces: int) -> None:
    """Let each piece of a set be held by the others of it."""
    for n in ones(pieces):
        rows[n] |= pieces & ~(1 << n)


def spread_from(start: int, rows: list[int], present: int) -> int:
    """A set with all that holds it, what holds that, and so on, among what is present."""
    done, front = 0, start
    while front:
        low = front & -front
        done |= low
        front = (front | rows[low.bit_length() - 1] & present) & ~done
    return done

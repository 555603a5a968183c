"""How much room a screwdriver has behind a screw's head, and what stands in its way.

A driver is two cylinders on the screw's axis: a thin blade (or bit and holder) from the head outward, then a thicker
handle or hand. Parts are the bars of ``solids``: a part beside the blade does not trouble it, one that the handle meets
does. Lengths in mm, along the axis from the head outward.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from desk.assembly.blocking import AWAY
from desk.assembly.solids import Solids, flat
from desk.cabinet.model import AxisJoint


@dataclass(frozen=True)
class Tool:
    """A screwdriver: its length over all, how much of that is blade, and the two diameters."""

    label: str
    length: float
    blade: float
    blade_width: float
    handle_width: float


@dataclass(frozen=True)
class Room:
    """What a tool finds behind one screw: the free length and the part that ends it, None where nothing does."""

    tool: Tool
    free: float
    part: int | None
    proud: float
    """How far the head stands out when the thread begins to bite."""

    @property
    def spare(self) -> float:
        """Free length left behind the tool set on the screw before it is driven; below zero it does not fit."""
        return self.free - self.tool.length - self.proud


class Drivers:
    """The room behind the screws of a cabinet for each of some tools, the handiest tool first."""

    def __init__(self, solids: Solids, tools: Sequence[Tool]) -> None:
        self.solids = solids
        self.tools = tuple(tools)
        self._place = {p.id: k for k, p in enumerate(solids.parts)}
        self._stopping: dict[str, tuple[int, ...]] = {}

    def best(self, screw: AxisJoint, present: int) -> Room:
        """The room of the first tool that fits; where none does, of the one that fails by least."""
        rooms = []
        for tool in self.tools:
            rooms.append(self._room(screw, tool, present))
            if rooms[-1].spare >= 0:
                return rooms[-1]
        return max(rooms, key=lambda r: r.spare)

    def level(self, screw: AxisJoint, present: int) -> int:
        """Which tool drives it, counted from the handiest; the number of tools when none does."""
        if screw.id not in self._stopping:
            self._stopping[screw.id] = tuple(self._stop(screw, tool) for tool in self.tools)
        stopping = self._stopping[screw.id]
        return next((k for k, parts in enumerate(stopping) if not parts & present), len(stopping))

    def _stop(self, screw: AxisJoint, tool: Tool) -> int:
        """The set of parts any of which keeps the tool from the screw."""
        room = tool.length + self._proud(screw)
        return sum(1 << part for at, part in stops(self.solids, screw, tool) if at < room)

    def _room(self, screw: AxisJoint, tool: Tool, present: int) -> Room:
        met = ((at, part) for at, part in stops(self.solids, screw, tool) if present >> part & 1)
        free, part = min(met, default=(math.inf, None))
        return Room(tool, free, part, self._proud(screw))

    def _proud(self, screw: AxisJoint) -> float:
        """Length of the screw in the part that holds: it stands out by as much when its thread begins to bite."""
        holds = self.solids.parts[self._place[screw.members[-1].part]]
        along = max(range(3), key=lambda k: abs(screw.direction[k]))
        low, high = holds.extent[0][along], holds.extent[1][along]
        face = low if screw.direction[along] > 0 else high
        return max(0.0, screw.length - abs(face - screw.at[along]))


def stops(s: Solids, screw: AxisJoint, tool: Tool) -> tuple[tuple[float, int], ...]:
    """Where a tool coming down on the screw's head is stopped: (distance from the head, part), the nearest of each.

    A screw that lies neither along the axis of the solids nor square to it is taken as lying along its main axis.
    """
    found: dict[int, float] = {}
    for first, width in ((0.0, tool.blade_width), (tool.blade, tool.handle_width)):
        for part, at in _met(s, screw, first, width / 2):
            found[part] = min(at, found.get(part, math.inf))
    return tuple(sorted((at, part) for part, at in found.items()))


@lru_cache(maxsize=1024)
def _met(s: Solids, screw: AxisJoint, first: float, radius: float) -> list[tuple[int, float]]:
    """Parts that a cylinder from ``first`` on outward meets, and at what distance each."""
    main = max(range(3), key=lambda k: abs(screw.direction[k]))
    sign = -1.0 if screw.direction[main] > 0 else 1.0
    if main == s.axis:
        return _along(s, screw, sign, first, radius)
    return _square(s, screw, (main, sign), first, radius)


def _along(s: Solids, screw: AxisJoint, sign: float, first: float, radius: float) -> list[tuple[int, float]]:
    """The cylinder stands on the figures: bars within its radius, from their near end on."""
    near = shapely.dwithin(s.shapes, shapely.Point(flat(screw.at, s.axis)), radius)
    start, end = (s.low, s.high) if sign > 0 else (-s.high, -s.low)
    at = sign * screw.at[s.axis]
    hit = near & (end - at > first)
    distance = np.maximum(start[hit] - at, first)
    return list(zip(s.owner[hit].tolist(), distance.tolist(), strict=True))


def _square(
    s: Solids, screw: AxisJoint, way: tuple[int, float], first: float, radius: float
) -> list[tuple[int, float]]:
    """The cylinder lies in the figures' plane: a strip, as wide as the cylinder is at each bar's nearest height."""
    level = screw.at[s.axis]
    off = np.maximum(np.maximum(s.low - level, level - s.high), 0.0)
    k = [a for a in range(3) if a != s.axis].index(way[0])
    at = flat(screw.at, s.axis)
    near = off < radius
    ends = sorted((at[k] + way[1] * first, at[k] + way[1] * AWAY))
    near &= (s.boxes[:, k] < ends[1]) & (s.boxes[:, k + 2] > ends[0])
    near &= (s.boxes[:, 1 - k] < at[1 - k] + radius) & (s.boxes[:, 3 - k] > at[1 - k] - radius)
    out = []
    for index in np.nonzero(near)[0]:
        half = math.sqrt(radius * radius - float(off[index]) ** 2)
        low, high = [at[0] - half, at[1] - half], [at[0] + half, at[1] + half]
        low[k], high[k] = ends
        met = shapely.clip_by_rect(s.shapes[index], *low, *high)
        if not met.is_empty:
            bounds = met.bounds
            distance = bounds[k] - at[k] if way[1] > 0 else at[k] - bounds[k + 2]
            out.append((int(s.owner[index]), max(float(distance), first)))
    return out

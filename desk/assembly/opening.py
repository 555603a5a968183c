"""What comes off a finished cabinet again by undoing screws, and what stays glued for good.

Glued joints make one piece of their parts; dry pins and screws do not. What comes off is found as in taking apart,
with the glue dry: level by level, each level all that comes off once the one before it is gone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from desk.assembly.driver import Tool
from desk.assembly.order import stacks
from desk.assembly.solids import solids
from desk.assembly.taking import Draw, Grace, Joints, Taking, ones
from desk.cabinet.model import AxisJoint, Cabinet, Part, TabJoint
from desk.shapes.frame import Vec


@dataclass(frozen=True)
class Removal:
    """Parts that come off together along a direction when some screws are undone; ids throughout."""

    parts: tuple[str, ...]
    direction: Vec
    screws: tuple[str, ...]
    tool: str
    """Label of the handiest driver that undoes all of the screws; "" where there are none."""


@dataclass(frozen=True)
class Opening:
    """How a finished cabinet is opened: each level comes off when the levels before it are off."""

    levels: tuple[tuple[Removal, ...], ...]
    fixed: tuple[str, ...]
    """The parts that stay, in one piece."""


def opening_of(cabinet: Cabinet, tools: Sequence[Tool]) -> Opening:
    """What comes off a finished cabinet; ``tools`` start with the handiest. Raises AskewError as ``order_of``."""
    return _opening(cabinet.parts, cabinet.axis_joints, cabinet.tab_joints, tuple(tools))


@lru_cache(maxsize=8)
def _opening(
    parts: tuple[Part, ...], axes: tuple[AxisJoint, ...], tabs: tuple[TabJoint, ...], tools: tuple[Tool, ...]
) -> Opening:
    joints = Joints(axes, tabs)
    taking = Taking(solids(parts, axes), joints, tools, glued(parts, joints))
    present = (1 << len(taking.pieces)) - 1
    body = 1 << max(range(len(taking.pieces)), key=lambda n: taking.volume[n])
    levels: list[tuple[Removal, ...]] = []
    while found := _level(taking, present, body, len(tools)):
        levels.append(tuple(_removal(taking, draw, present) for draw in found))
        for draw in found:
            present &= ~draw.pieces
    return Opening(tuple(levels), tuple(parts[k].id for k in ones(taking.parts(present))))


def glued(parts: Sequence[Part], joints: Joints) -> list[int]:
    """Sets of parts that glue makes one, every part in one set."""
    place = {p.id: k for k, p in enumerate(parts)}
    fast = [tuple(m.part for m in j.members) for j in joints.axes if j.glued]
    fast += [(tab.part, tab.wall) for tab in joints.tabs if tab.glued]
    sets = stacks(parts)
    for ids in fast:
        mask = sum(1 << k for k in {place[key] for key in ids})
        touched = [s for s in sets if s & mask]
        sets = [s for s in sets if not s & mask] + [sum(touched)]
    return sorted(sets, key=lambda mask: mask & -mask)


def _level(taking: Taking, present: int, body: int, tools: int) -> list[Draw]:
    """The least sets that come off what is present, none of them in two."""
    for grace in (Grace(tools - 1, False), Grace(tools - 1, True)):
        draws = [d for d in taking.draws(present, grace) if not d.pieces & body]
        chosen: list[Draw] = []
        for draw in sorted(draws, key=lambda d: (d.pieces.bit_count(), d.volume)):
            if not any(draw.pieces & other.pieces for other in chosen):
                chosen.append(draw._replace(direction=taking.way(draw, present, grace)))
        if chosen:
            return chosen
    return []


def _removal(taking: Taking, draw: Draw, present: int) -> Removal:
    parts = taking.parts(draw.pieces)
    undone = [
        (screw, taking.drivers.level(screw, taking.parts(present)))
        for screw, pieces in taking.screws
        if not pieces & ~present and pieces & draw.pieces and pieces & ~draw.pieces
    ]
    tool = taking.drivers.tools[max(level for _, level in undone)].label if undone else ""
    ids = tuple(taking.solids.parts[k].id for k in ones(parts))
    return Removal(ids, draw.direction, tuple(screw.id for screw, _ in undone), tool)

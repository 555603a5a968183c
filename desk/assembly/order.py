"""The order of assembly: taking the cabinet apart, told backwards.

Parts of one name that lie face to face ("rib-1", "rib-2") are glued to a stack first and then go in as one. Each step
puts a part, or what was put together before, onto the rest in one straight push, so that tabs find their mortises, pins
their holes, and a driver every screw. Steps whose screws an ordinary driver reaches are preferred, and among them
those that move the least wood; nothing is put where it hangs by no joint, unless there is no other way.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from desk.assembly.driver import Tool
from desk.assembly.solids import Solids, solids
from desk.assembly.taking import Draw, Grace, Joints, Taking, ones, union
from desk.cabinet.model import AxisJoint, Cabinet, Part, TabJoint
from desk.shapes.frame import Vec, dot

_PARALLEL = 1 - 1e-9
TOUCH = 0.05
"""Faces this near to each other, mm, lie against each other."""


@dataclass(frozen=True)
class Step:
    """One push: ``parts`` go onto ``onto`` along the unit vector ``direction``; ids throughout."""

    parts: tuple[str, ...]
    onto: tuple[str, ...]
    direction: Vec
    joints: tuple[str, ...]
    """Tabs that go into their mortises and pins that go into further parts."""
    pins: tuple[str, ...]
    """Of these, pins that are set into their first part before this step; pins that only one part has, too."""
    screws: tuple[str, ...]
    """Driven when the parts are in place."""
    stack: bool = False
    """Whether the parts are glued face to face."""

    @property
    def present(self) -> tuple[str, ...]:
        """All parts that are together after the step."""
        return self.onto + self.parts


@dataclass(frozen=True)
class Order:
    """The steps from the first part to the finished cabinet."""

    steps: tuple[Step, ...]
    locked: tuple[tuple[str, ...], ...] = ()
    """Groups of parts that hold each other so that no straight push puts them together; steps take them as given."""
    together: tuple[tuple[str, str], ...] = ()
    """Pairs of parts that stand in the same place."""

    def step_of(self, screw: str) -> Step | None:
        """The step in which a screw is driven; None for one inside a locked group."""
        return next((s for s in self.steps if screw in s.screws), None)


def order_of(cabinet: Cabinet, tools: Sequence[Tool]) -> Order:
    """The order of assembly, remembered for equal parts and joints; ``tools`` start with the handiest driver.

    Raises AskewError when the parts share no axis.
    """
    return _order(cabinet.parts, cabinet.axis_joints, cabinet.tab_joints, tuple(tools))


@lru_cache(maxsize=8)
def _order(
    parts: tuple[Part, ...], axes: tuple[AxisJoint, ...], tabs: tuple[TabJoint, ...], tools: tuple[Tool, ...]
) -> Order:
    made, joints = solids(parts, axes), Joints(axes, tabs)
    loose = [1 << k for k in range(len(parts))]
    stacked = stacks(parts)
    plan = _Plan(made, joints, tools, stacked or loose)
    if plan.locked and len(stacked) < len(loose) and not plan.taking.blocking.together:
        alone = _Plan(made, joints, tools, loose)
        plan = plan if alone.locked else alone
    return plan.order()


def stacks(parts: Sequence[Part]) -> list[int]:
    """Sets of parts that are one by name, "rib-1" and "rib-2", and lie face to face; every part is in one set."""
    named: dict[str, list[int]] = defaultdict(list)
    for k, part in enumerate(parts):
        stem, _, number = part.id.rpartition("-")
        named[stem if stem and number.isdigit() else part.id].append(k)
    out: list[int] = []
    for members in named.values():
        rest = members
        while rest:
            pile = [rest[0]]
            for k in pile:
                pile += [m for m in rest if m not in pile and _face_to_face(parts[k], parts[m])]
            out.append(union(1 << k for k in pile))
            rest = [k for k in rest if k not in pile]
    return sorted(out, key=lambda mask: mask & -mask)


def turned(way: Vec) -> Vec:
    """The opposite way."""
    return (0.0 - way[0], 0.0 - way[1], 0.0 - way[2])


def _face_to_face(a: Part, b: Part) -> bool:
    if abs(dot(a.frame.normal, b.frame.normal)) < _PARALLEL:
        return False
    near = b.frame.local(a.frame.origin)[2]
    other = near + a.thickness * dot(a.frame.normal, b.frame.normal)
    return min(abs(max(near, other)), abs(min(near, other) - b.thickness)) < TOUCH


SAME_AREA = 1e-3
"""Areas closer than this, mm², are the same: those of a part and of its mirror image."""


class _Plan:
    """The search for the steps."""

    def __init__(self, made: Solids, joints: Joints, tools: Sequence[Tool], pieces: Sequence[int]) -> None:
        self.taking = Taking(made, joints, tools, pieces)
        self.ids = [p.id for p in made.parts]
        self.joints = joints
        self.locked: list[int] = []
        self.pushes = list(self._pushes((1 << len(pieces)) - 1))

    def _pushes(self, present: int) -> Iterator[tuple[int, int, Vec]]:
        """(pieces put in, pieces they are put onto, direction), first push first."""
        if not present & (present - 1):
            return
        found = self._draw(present)
        if found is None:
            self.locked.append(present)
            return
        pieces, out = found
        moved, rest = pieces, present & ~pieces
        if self._largest(moved) > self._largest(rest) + SAME_AREA:
            moved, rest, out = rest, moved, turned(out)
        yield from self._pushes(rest)
        yield from self._pushes(moved)
        yield moved, rest, turned(out)

    def _largest(self, pieces: int) -> float:
        """Face area of the largest part of a set of pieces, mm²: it stays lying where it is."""
        return max(self.taking.solids.parts[k].area for k in ones(self.taking.parts(pieces)))

    def _draw(self, present: int) -> tuple[int, Vec] | None:
        """What to draw off next, and which way."""
        count = len(self.taking.drivers.tools)
        graces = [Grace(k, False) for k in range(count)]
        for grace in (*graces, Grace(count - 1, True), Grace(count, False), Grace(count, True)):
            best: Draw | None = None
            for draw in self.taking.draws(present, grace):
                if best is None or draw[:2] < best[:2]:
                    best = draw
            if best is not None:
                return best.pieces, self.taking.way(best, present, grace)
        return None

    def order(self) -> Order:
        """The steps with their joints."""
        parts = self.taking.parts
        steps = [self._stack(piece) for piece in self.taking.pieces if piece & (piece - 1)]
        steps += [self._step(parts(moved), parts(rest), way) for moved, rest, way in self.pushes]
        locked = tuple(self._names(parts(pieces)) for pieces in self.locked)
        both = tuple((self.ids[a], self.ids[b]) for a, b in self.taking.blocking.together)
        return Order(_with_pins(steps, self.joints), locked, both)

    def _names(self, mask: int) -> tuple[str, ...]:
        return tuple(self.ids[k] for k in ones(mask))

    def _stack(self, piece: int) -> Step:
        first, *others = ones(piece)
        normal = self.taking.solids.parts[first].frame.normal
        gap = self.taking.solids.parts[first].frame.local(self.taking.solids.parts[others[0]].frame.origin)[2]
        down = turned(turned(normal)) if gap > 0 else turned(normal)
        step = self._step(union(1 << k for k in others), 1 << first, down)
        return Step(step.parts, step.onto, step.direction, step.joints, (), step.screws, stack=True)

    def _step(self, moved: int, rest: int, way: Vec) -> Step:
        new, old = set(self._names(moved)), set(self._names(rest))
        crossing = [j for j in self.joints.axes if (ids := {m.part for m in j.members}) & new and ids & old]
        tabs = [
            t.id
            for t in self.joints.tabs
            if (t.part in new and t.wall in old) or (t.part in old and t.wall in new)
        ]
        pins = [j.id for j in crossing if j.kind != "screw"]
        screws = [j.id for j in crossing if j.kind == "screw" and {m.part for m in j.members} <= new | old]
        return Step(self._names(moved), self._names(rest), way, (*tabs, *pins), (), tuple(screws))


def _with_pins(steps: Sequence[Step], joints: Joints) -> tuple[Step, ...]:
    """The steps with each pin named where it is first needed: with the first step that any of its parts is in."""
    left = {j.id: {m.part for m in j.members} for j in joints.axes if j.kind != "screw"}
    out = []
    for step in steps:
        there = set(step.present)
        now = tuple(
            key for key, ids in left.items() if key in step.joints or (len(ids) == 1 and ids <= there)
        )
        for key in now:
            del left[key]
        out.append(Step(step.parts, step.onto, step.direction, step.joints, now, step.screws, step.stack))
    return tuple(out)

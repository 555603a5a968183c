"""What ends a trap on the board face: each setting with what it does, and with a value where a few steps of it, tried
on the face as it stands, end the trap and make no other.

A step moves or shrinks the outline of a target's rails as it is cut, or sets all rails lower; nothing is built anew.
Steps that bring two outlines nearer than the pocket bit is thick are not tried: the bit would leave wood between them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import shapely
from msgspec.structs import replace
from shapely.affinity import scale, translate

from desk.ball.rests import RAIL, Rest, centre_region, resting_places
from desk.cabinet.model import Leg, Solid, Target
from desk.checks.context import Context
from desk.checks.facegaps import HOLE, contact, gaps, name_of, target_at
from desk.checks.finding import NO_REMEDY, Remedy
from desk.checks.legs import balls_of

STEPS = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0)
"""How far a setting is tried, mm."""
TOUCHES = 0.05
"""A ball this near to a solid lies against it, mm."""
MOST = 4
"""Remedies that are told."""
LITTLE = 1.0
"""How much lower rails are tried at most, mm: much lower ones turn no ball and hold none."""


def mends(ctx: Context, leg: Leg, rest: Rest, diameter: float) -> tuple[Remedy, ...]:
    """The settings that end a trap, each with the value that does, the most useful first and at most MOST. Where no
    step of any alone ends it, and within a drag step, all with their directions.
    """
    found = [r for r in _Trap(ctx, leg, rest, diameter).mends() if r is not NO_REMEDY]
    enough = [r for r in found if r.value is not None] or found
    first = {r.address: r for r in reversed(enough)}
    return tuple(first[address] for address in dict.fromkeys(r.address for r in enough))[:MOST]


class _Trap:
    """A ball at rest on the face, what it lies against, and what becomes of it as a setting changes."""

    def __init__(self, ctx: Context, leg: Leg, rest: Rest, diameter: float) -> None:
        self._ctx, self._leg, self._rest, self._diameter = ctx, leg, rest, diameter
        at = shapely.Point(rest.at)
        self._against = [
            k
            for k, s in enumerate(leg.solids)
            if s.shape.distance(at) <= contact(s, diameter, leg.rail_height) + TOUCHES
        ]

    def mends(self) -> Iterator[Remedy]:
        """Every setting that may end it, the most useful of its kind first."""
        rails = [k for k in self._against if self._leg.solids[k].part == RAIL]
        known = {str(t.number): t for t in self._ctx.cabinet.targets}
        own = [(rail, known[n]) for rail in rails if (n := self._number(rail)) in known]
        for rail, target in own:
            for other in self._against:
                if other != rail:
                    yield from self._apart(target, other)
        if own and len(self._against) == 1:
            yield from self._grown_together()
        for _, target in own:
            yield self._smaller(target)
        if rails:
            high = self._leg.rail_height or 0.0
            step = self._first(lambda by: self._lowered(high - by) if by <= min(LITTLE, high / 2) else None)
            words = "Lower the rails: the ball meets them nearer to the floor and has more room"
            yield self._ctx.remedy("board.rail_height", -step, words)

    def _apart(self, target: Target, other: int) -> Iterator[Remedy]:
        """Moving a target away from what the ball lies against beside its rail."""
        side, up = self._away(target, other)
        what = f"the {name_of(self._leg, other)}"
        if side:
            step = self._first(lambda by: self._moved(target, side * by, 0.0))
            yield self._told(target, "across", side * step, f"Move target {target.number} away from {what}")
        if up:
            word = "up" if up > 0 else "down"
            step = self._first(lambda by: self._moved(target, 0.0, up * by))
            yield self._told(target, "up", up * step, f"Move target {target.number} {word}, away from {what}")

    def _grown_together(self) -> Iterator[Remedy]:
        """A ball in the notch of one outline: the rails of two targets that have grown together, or one rail's own."""
        railed = [t for t in self._ctx.cabinet.targets if t.rail > 0]
        near = sorted(railed, key=lambda t: math.dist(t.at, self._rest.at))[:2]
        if len(near) == 2:
            words = f"Move target {near[0].number} away from target {near[1].number}"
            yield self._told(near[0], "across", 0.0, words)

    def _smaller(self, target: Target) -> Remedy:
        room = target.rail - target.hole / 2
        step = self._first(lambda by: self._shrunk(target, by) if by < room else None)
        return self._told(target, "rail", -step, f"Make the rail of target {target.number} smaller")

    def _told(self, target: Target, field: str, change: float, words: str) -> Remedy:
        return self._ctx.remedy(f"targets.{target.number}.{field}", change, words)

    def _number(self, solid: int) -> str:
        return target_at(self._leg, self._leg.solids[solid].shape)

    def _away(self, target: Target, other: int) -> tuple[float, float]:
        """Which way a target moves away from a solid, across and up: 1, -1, or 0 where that way does not lead off."""
        solid = self._leg.solids[other]
        x0, y0, x1, _ = solid.shape.bounds
        if solid.part == RAIL:
            hole = next(t for t in self._ctx.cabinet.targets if str(t.number) == self._number(other))
            across, up = target.at[0] - hole.at[0], target.at[1] - hole.at[1]
            return (math.copysign(1.0, across) if across else 0.0), (math.copysign(1.0, up) if up else 0.0)
        if y0 > target.at[1]:
            return 0.0, -1.0
        return (1.0 if x1 <= target.at[0] else -1.0 if x0 >= target.at[0] else 0.0), 0.0

    def _first(self, changed: Callable[[float], Leg | None]) -> float:
        """The shortest step that ends the trap; 0 where none of them does, and within a drag step."""
        if self._ctx.hurried:
            return 0.0
        before = self._held(self._leg)
        for by in STEPS:
            leg = changed(by)
            if leg is not None and self._ended(leg, before):
                return by
        return 0.0

    def _held(self, leg: Leg) -> int:
        """Places that hold the largest or the smallest ball, one for each ball."""
        balls = self._ctx.cabinet.balls
        return sum(len(self._rests(leg, d)) for d in (balls.smallest, balls.largest))

    def _rests(self, leg: Leg, diameter: float) -> list[Rest]:
        slope = balls_of(self._ctx).rolling[1]
        found = resting_places(leg, centre_region(leg, diameter), diameter, slope)
        return [r for r in found if not r.meant]

    def _ended(self, leg: Leg, before: int) -> bool:
        """Whether a changed face holds balls at fewer places, none where it did, and no changed gap catches one."""
        far = self._diameter + STEPS[-1]
        if any(math.dist(r.at, self._rest.at) < far for r in self._rests(leg, self._diameter)):
            return False
        if self._held(leg) >= before:
            return False
        balls = self._ctx.cabinet.balls
        passing, rough = self._ctx.need("passage").value, math.atan(balls_of(self._ctx).friction[1])
        same = leg.rail_height == self._leg.rail_height
        for gap in gaps(leg, balls.largest, balls.smallest):
            if same and all(leg.solids[k] is self._leg.solids[k] for k in (gap.first, gap.second)):
                continue
            caught = gap.width - gap.needs[0] < passing if gap.half_angle is None else gap.half_angle < rough
            if caught:
                return False
        return True

    def _lowered(self, high: float) -> Leg:
        return replace(self._leg, rail_height=high)

    def _moved(self, target: Target, across: float, up: float) -> Leg | None:
        """The face with a target's rails and hole moved; None where they would not be cut as they are."""
        leg = self._changed(target, lambda shape: translate(shape, across, up))
        name = f"{HOLE}{target.number}"
        if leg is None:
            return None
        sinks = (replace(z, shape=translate(z.shape, across, up)) if z.name == name else z for z in leg.sinks)
        return replace(leg, sinks=tuple(sinks))

    def _shrunk(self, target: Target, by: float) -> Leg | None:
        """The face with a target's rails ``by`` smaller in radius or reach; their lowest point stays where it is."""

        def smaller(shape: shapely.Geometry) -> shapely.Geometry:
            x0, y0, x1, _ = shape.bounds
            factor = max(1 - 2 * by / (x1 - x0), 0.01)
            return scale(shape, factor, factor, origin=((x0 + x1) / 2, y0))

        return self._changed(target, smaller)

    def _changed(self, target: Target, change: Callable[[shapely.Geometry], shapely.Geometry]) -> Leg | None:
        """The face with a target's rails changed; None where the bit does not pass between one and another solid."""
        number = str(target.number)
        own = {k for k, s in enumerate(self._leg.solids) if s.part == RAIL and self._number(k) == number}
        solids: list[Solid] = [
            replace(s, shape=change(s.shape)) if k in own else s for k, s in enumerate(self._leg.solids)
        ]
        mine = shapely.union_all([solids[k].shape for k in own])
        others = shapely.union_all([s.shape for k, s in enumerate(solids) if k not in own])
        holes = shapely.union_all([z.shape for z in self._leg.sinks if z.name != f"{HOLE}{number}"])
        if mine.distance(others) < self._ctx.pocket_bit.diameter or mine.intersects(holes):
            return None
        return replace(self._leg, solids=tuple(solids))

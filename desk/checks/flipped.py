"""The wrong way round: parts that go in turned, turned over or swapped, with something of theirs then out of place.

What keeps a part from going in wrong is its outline, tabs with it, and the holes and mortises that its neighbours' pins
and tabs have to find. A part that is the same all ways round may go in as it likes. Lettering, carving, countersinks
and edges rounded on one face tell which face is which, and lettering which end is up; other holes tell nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from itertools import combinations
from typing import NamedTuple

from desk.assembly.alike import Way, ways
from desk.cabinet.model import AxisJoint, Part
from desk.checks.context import Context, patch, spot
from desk.checks.finding import Place
from desk.checks.needs import Need
from desk.checks.registry import Draft, Rating, Told, check, rate
from desk.shapes.loop import Loop, Point

FAMILY = "Joints"
NOTHING = "There is no part in this cabinet that could go in another way round."
SIZE = 0.3
"""Holes whose diameters, or mortises the root of whose areas, differ by less, mm, take the same pin or tab."""
STAYS = 0.5
"""What comes to lie this near to where it belongs, mm, is in its place."""
BOTH = frozenset("AB")


class Mark(NamedTuple):
    """A hole, mortise or opening: its middle, its size, the faces it is open at, and what it is called."""

    at: Point
    size: float
    faces: frozenset[str]
    name: str


class Marks(NamedTuple):
    """What is cut into a part.

    ``mates`` have to meet something in another part; ``follows`` are holes that another part's are drilled through by
    hand; ``own`` belong to the part alone. ``sides``: one can see which face is which; ``ends``: lettering tells
    which end is up.
    """

    outline: Loop
    thickness: float
    mates: tuple[Mark, ...]
    follows: tuple[Mark, ...]
    own: tuple[Mark, ...]
    sides: bool
    ends: bool


class Wrong(NamedTuple):
    """A wrong way round: how far its worst pin or tab is off, and what is then in the wrong place, by how much.

    ``by_hand``: only holes that others are drilled through by hand are.
    """

    way: Way
    misfit: float
    moved: tuple[tuple[Mark, float], ...]
    by_hand: bool


@check(38, "wrong-way", FAMILY, "Parts the wrong way round", NOTHING)
def wrong_way(ctx: Context) -> Iterator[Draft]:
    """Every part turned, turned over and swapped with its like: does it then go in, and is something wrong."""
    need = ctx.need("wrong_way")
    uses = roles(ctx.cabinet.axis_joints, {p.id: p.label for p in ctx.cabinet.parts})
    found = [(p, tuple(uses.get((d.joint, p.id), ALONE) for d in p.drills)) for p in ctx.cabinet.parts]
    for part, role in found:
        wrong = alone(part, role, need.clear)
        if wrong is not None:
            yield _draft(ctx, (part,), marks(part, role), wrong)
    for (a, first), (b, second) in combinations(found, 2):
        if _like(a, b) and (wrong := swapped(a, first, b, second, need.clear)) is not None:
            yield _draft(ctx, (a, b), marks(a, first), wrong)
    if found:
        rating = Rating("clear", None, None, None, "", need.source)
        yield Draft("all", (), rating, partial(_tell_right, len(found)))


Role = tuple[str, str]
"""What a hole is to its part, "mates", "follows", "own" or "" for one that is not there yet, and its name."""
ALONE: Role = ("own", "hole")


def roles(joints: tuple[AxisJoint, ...], labels: dict[str, str]) -> dict[tuple[str, str], Role]:
    """The role of the hole of each joint in each part, by (joint, part)."""
    found = {}
    for joint in joints:
        for member in joint.members:
            others = [m for m in joint.members if m.part != member.part]
            names = ", ".join(labels[m.part] for m in others[:1] + others[1:][-1:])
            if not others:
                role: Role = ("own", f"hole for the {joint.kind}")
            elif member.by_hand:
                role = ("", "")
            else:
                machined = any(not m.by_hand for m in others)
                role = ("mates" if machined else "follows", f"{joint.kind} to {names}")
            found[joint.id, member.part] = role
    return found


@lru_cache(maxsize=512)
def marks(part: Part, role: tuple[Role, ...]) -> Marks:
    """What is cut into a part; ``role`` goes with its drilled holes."""
    sorts: dict[str, list[Mark]] = {"mates": [], "follows": [], "own": [], "": []}
    for drill, (sort, name) in zip(part.drills, role, strict=True):
        faces = BOTH if drill.depth is None else frozenset(drill.face)
        sorts[sort].append(Mark(drill.at, drill.diameter, faces, name))
    for pocket in part.pockets:
        sort = "mates" if pocket.joint else "own"
        for loop in pocket.islands or (pocket.loop,):
            sorts[sort].append(_area(loop, frozenset(pocket.face), pocket.use))
    sorts["own"] += [_area(c.loop, BOTH, c.use) for c in part.cutouts]
    carved = [p for p in part.pockets if p.use == "carving"]
    rounded = {e.face for e in part.breaks} in ({"A"}, {"B"})
    sides = bool(part.grooves or carved or rounded or any(d.head for d in part.drills))
    return Marks(
        part.outline,
        part.thickness,
        tuple(sorts["mates"]),
        tuple(sorts["follows"]),
        tuple(sorts["own"]),
        sides,
        bool(part.grooves),
    )


def _area(loop: Loop, faces: frozenset[str], name: str) -> Mark:
    x0, y0, x1, y1 = loop.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    if not loop.polygon.is_empty:
        middle = (loop.polygon.centroid.x, loop.polygon.centroid.y)
    return Mark(middle, math.sqrt(abs(loop.area)), faces, name)


@lru_cache(maxsize=512)
def alone(part: Part, role: tuple[Role, ...], clear: float) -> Wrong | None:
    """The wrong way round of one part that fits best; None where every way is right, told at a glance, or kept out
    by the outline or by a hole that would be on the other face.
    """
    own = marks(part, role)
    return _worst((_wrong(own, own, way) for way in ways(part.outline, part.outline, clear)), clear)


def _like(a: Part, b: Part) -> bool:
    """Whether two parts could be taken for each other, and are not one and the same shape."""
    near = abs(a.thickness - b.thickness) < SIZE and len(a.outline.points) == len(b.outline.points)
    return near and math.isclose(a.outline.area, b.outline.area, rel_tol=0.05)


@lru_cache(maxsize=512)
def swapped(
    a: Part, first: tuple[Role, ...], b: Part, second: tuple[Role, ...], clear: float
) -> Wrong | None:
    """The best way to take two parts for each other, wrongly."""
    one, two = marks(a, first), marks(b, second)
    return _worst((_wrong(one, two, way) for way in ways(a.outline, b.outline, clear)), clear)


def _worst(found: Iterator[Wrong | None], clear: float) -> Wrong | None:
    """Of those that fit, one that nobody mends by hand; of equal ones, the one that fits best."""
    wrong = (w for w in found if w is not None)
    return min(wrong, key=lambda w: (w.misfit >= clear, w.by_hand, w.misfit), default=None)


def _wrong(one: Marks, two: Marks, way: Way) -> Wrong | None:
    """What is wrong with the first part in the second one's place; None when nothing is, or one sees it."""
    if (way.over and (one.sides or two.sides)) or one.ends or two.ends:
        return None
    moved, follows = [*_moved(one.own, two.own, way)], [*_moved(one.follows, two.follows, way)]
    off = [_nearest(m, two.mates, way) for m in one.mates]
    if one is not two:
        back = _inverse(way)
        moved += _moved(two.own, one.own, back)
        follows += _moved(two.follows, one.follows, back)
        off += [_nearest(m, one.mates, back) for m in two.mates]
    if not moved and not follows:
        return None
    misfit = max([way.off, *off])
    if not math.isfinite(misfit):
        return None
    return Wrong(way, misfit, tuple(moved or follows), not moved)


def _moved(own: tuple[Mark, ...], there: tuple[Mark, ...], way: Way) -> Iterator[tuple[Mark, float]]:
    """Marks that do not come to lie on a like one, and how far off; their whole way where there is none."""
    for mark in own:
        off = _nearest(mark, there, way)
        if off > STAYS:
            yield mark, off if math.isfinite(off) else math.dist(way.to(mark.at), mark.at)


def _nearest(mark: Mark, there: tuple[Mark, ...], way: Way) -> float:
    """How far from the nearest mark of its size, open at the same faces, a mark comes to lie."""
    at = way.to(mark.at)
    faces = frozenset({"A": "B", "B": "A"}[f] for f in mark.faces) if way.over else mark.faces
    like = (m for m in there if abs(m.size - mark.size) <= SIZE and m.faces == faces)
    return min((math.dist(at, m.at) for m in like), default=math.inf)


def _inverse(way: Way) -> Way:
    """The motion back."""
    if way.over:
        # z -> turn * -conj(z) + shift is undone by itself with the shift carried through
        return Way(way.turn, -way.turn * -way.shift.conjugate(), True, way.off)
    return Way(1 / way.turn, -way.shift / way.turn, False, way.off)


def _draft(ctx: Context, parts: tuple[Part, ...], own: Marks, wrong: Wrong) -> Draft:
    need = ctx.need("wrong_way")
    rating = rate(need, wrong.misfit)
    if rating.status == "conflict" and wrong.by_hand:
        rating = Rating("tight", None, None, None, "", need.source)
    key = "/".join(p.id for p in parts)
    return Draft(key, tuple(p.id for p in parts), rating, partial(_tell, parts, own, wrong, need, rating))


def _tell(parts: tuple[Part, ...], own: Marks, wrong: Wrong, need: Need, rating: Rating) -> Told:
    how = _how(parts, wrong.way)
    mark, off = max(wrong.moved, key=lambda m: m[1])
    amiss = f"{len(wrong.moved)} of its holes and openings" if len(wrong.moved) > 1 else f"the {mark.name}"
    fit = (
        "every pin and tab then finds its hole"
        if wrong.misfit < STAYS
        else f"its worst pin or tab then misses by {wrong.misfit:.1f} mm"
    )
    because = f"{how}, {fit}; {amiss} would be up to {off:.1f} mm off"
    if rating.status == "clear":
        return Told(f"Only one way round: {parts[0].label}", because, (patch(parts[0], parts[0].outline),))
    because += f"; needed {need.value:g} mm of misfit. {_offset(own, wrong, need)}"
    if wrong.by_hand:
        because += ", or mark the edge that belongs up before the hand-drilled holes follow it"
    names = " and ".join(p.label for p in parts)
    places = (*(spot(parts[0], m.at) for m, _ in wrong.moved[:3]), *_seat(parts[0], own))
    return Told(f"Goes in the wrong way round: {names}", because, places)


def _how(parts: tuple[Part, ...], way: Way) -> str:
    """A way round in words."""
    turn = round(math.degrees(math.atan2(way.turn.imag, way.turn.real))) % 360
    if len(parts) > 1:
        return f"swapped with {parts[1].label}{', turned over' if way.over else ''}"
    return (
        f"turned over, {turn} deg"
        if way.over and turn % 360
        else "turned over"
        if way.over
        else f"turned by {turn} deg"
    )


def _seat(part: Part, own: Marks) -> tuple[Place, ...]:
    """Where the pin is that could be set aside."""
    return (spot(part, own.mates[0].at),) if own.mates else ()


def _offset(own: Marks, wrong: Wrong, need: Need) -> str:
    """Which pin to set aside, and by how much, so that this way round no longer fits."""
    if not own.mates:
        return f"Setting one of its tabs {need.clear:.1f} mm along forbids it"
    mark = own.mates[0]
    still = math.dist(wrong.way.to(mark.at), mark.at) < STAYS
    # a pin on the middle line moves away from its own image, others from that of their partner
    move = (need.clear - min(wrong.misfit, need.clear)) / (2 if still else 1)
    return f"Setting the {mark.name} {move:.1f} mm aside forbids it"


def _tell_right(count: int) -> Told:
    because = (
        f"{count} parts: each goes in one way only, is right either way, or shows at a glance how it belongs"
    )
    return Told("Parts the wrong way round", because)

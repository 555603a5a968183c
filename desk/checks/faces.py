"""Which faces of a part the machine has to work on, and what a part is set by when it is turned over.

Holes right through and the outline can be cut from either face. Work by hand (countersinks, broken edges, holes drilled
at assembly) needs no turning on the machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from itertools import combinations
from typing import NamedTuple

from desk.cabinet.model import Face, Part, Status
from desk.checks.context import Context, listed, patch, spot
from desk.checks.registry import Draft, Rating, Told, check
from desk.shapes.loop import Point

SQUARE = math.radians(0.5)
"""Two edges are at right angles when they are so within this."""
Edge = tuple[Point, Point]


class Register(NamedTuple):
    """What a turned part is set by, and how far it spans, mm: pins through two holes, or two edges at right angles."""

    how: str
    span: float
    points: tuple[Point, Point]


@lru_cache(maxsize=512)
def machine_work(part: Part) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What the machine cuts into face A and into face B without going through, in words."""
    found: dict[Face, list[str]] = {"A": [], "B": []}
    for pocket in part.pockets:
        found[pocket.face].append(pocket.use)
    for drill in part.drills:
        if not drill.by_hand and drill.depth is not None and drill.depth < part.thickness:
            found[drill.face].append(f"{drill.use} hole")
    for groove in part.grooves:
        found[groove.face].append(groove.use)
    return tuple(dict.fromkeys(found["A"])), tuple(dict.fromkeys(found["B"]))


def hand_work(part: Part) -> tuple[str, ...]:
    """What is done by hand on either face."""
    found = ["drilling at assembly" for d in part.drills if d.by_hand]
    found += ["countersinking" for d in part.drills if d.head > d.diameter]
    found += [edge.kind for edge in part.breaks]
    return tuple(dict.fromkeys(found))


@lru_cache(maxsize=512)
def register_of(part: Part) -> Register | None:
    """What the part can be set by when it is turned over; of several ways the one that spans most."""
    found = [r for r in (_pins(part), _corner(part)) if r is not None]
    return max(found, key=lambda r: r.span, default=None)


def _pins(part: Part) -> Register | None:
    """Pins through the two holes right through that are farthest apart."""
    holes = [d for d in part.drills if d.depth is None and not d.by_hand]
    pairs = list(combinations(holes, 2))
    if not pairs:
        return None
    one, two = max(pairs, key=lambda pair: math.dist(pair[0].at, pair[1].at))
    how = (
        f"pins through its {one.diameter:.2f} mm and {two.diameter:.2f} mm holes, drilled with the first face"
    )
    return Register(how, math.dist(one.at, two.at), (one.at, two.at))


def _corner(part: Part) -> Register | None:
    """The two straight edges at right angles of which the shorter is longest."""
    edges: list[Edge] = [(a[:2], b[:2]) for a, b in part.outline.edges() if not a[2] and a[:2] != b[:2]]
    pairs = [(one, two) for one, two in combinations(edges, 2) if _square(one, two)]
    if not pairs:
        return None
    one, two = max(pairs, key=lambda pair: min(math.dist(*pair[0]), math.dist(*pair[1])))
    how = "two edges at right angles, cut first and set against a fence"
    return Register(how, min(math.dist(*one), math.dist(*two)), min(one, two, key=lambda e: math.dist(*e)))


def _square(one: Edge, two: Edge) -> bool:
    turn = math.atan2(one[1][1] - one[0][1], one[1][0] - one[0][0])
    turn -= math.atan2(two[1][1] - two[0][1], two[1][0] - two[0][0])
    return abs(math.cos(turn)) < math.sin(SQUARE)


@check(46, "second-face", "Cutting", "Parts cut from both faces", "There is nothing to cut.")
def second_face(ctx: Context) -> Iterator[Draft]:
    """Parts the machine has to work on from both faces, and what they are set by when turned."""
    need = ctx.need("register_span")
    turned = False
    for part in ctx.cabinet.parts:
        if all(machine_work(part)):
            turned = True
            found = register_of(part)
            x0, y0, x1, y1 = part.outline.bounds
            needed = need.value * max(x1 - x0, y1 - y0)
            margin = (found.span if found else 0.0) - needed
            status: Status = "tight" if margin >= 0 else "conflict"
            span = found.span if found else None
            rating = Rating(status, span, needed, margin, "mm", need.source)
            yield Draft(part.id, (part.id,), rating, partial(_tell, part, found, rating))
    if ctx.cabinet.parts and not turned:
        rating = Rating("clear", None, None, None, "", need.source)
        yield Draft("none", (), rating, partial(_none, ctx))


def _tell(part: Part, found: Register | None, rating: Rating) -> Told:
    on_a, on_b = machine_work(part)
    because = f"face A: {listed(on_a)}; face B: {listed(on_b)}"
    if found is None:
        because += (
            f". No two holes right through and no square corner to set it by, {rating.needed:.1f} mm apart"
        )
        return Told(f"{part.label} has nothing to be turned by", because, (patch(part, part.outline),))
    places = (spot(part, *found.points),)
    if rating.status == "conflict":
        because += f". {found.how.capitalize()} span {found.span:.1f} mm; needed {rating.needed:.1f}"
        return Told(f"{part.label} cannot be set square when turned", because, places)
    because += (
        f". Cut face B first, turn it over, set it by {found.how}, {found.span:.1f} mm apart (needed "
        f"{rating.needed:.1f}), then cut face A and the outline"
    )
    return Told(f"{part.label} has to be turned over", because, places)


def _none(ctx: Context) -> Told:
    by_hand = [f"{p.label}: {', '.join(work)}" for p in ctx.cabinet.parts if (work := hand_work(p))]
    said = f". By hand afterwards, {listed(by_hand)}" if by_hand else ""
    return Told("Every part is cut from one face", f"no part has machine work on both faces{said}")

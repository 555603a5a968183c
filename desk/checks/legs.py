"""What checks of the ball's way share: surveys of a leg for both ends of the box of balls, rests as places, slopes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache, partial

import numpy as np
import shapely

from desk.ball.rests import Rest, Survey, pieces, survey
from desk.cabinet.model import Leg, Status
from desk.checks.context import Context
from desk.checks.finding import Place, Remedy
from desk.checks.needs import Need
from desk.checks.registry import Draft, Rating, Told, rate
from desk.shapes.loop import SAME, Point
from desk.shop.materials import BallMaterial

Sized = tuple[str, float, Survey]
"""Which ball ("largest" or "smallest"), its diameter in mm and what it finds."""
FAMILY = "Ball's way"
WAITING = "waiting place"
NO_REST = "no ball comes to rest in the waiting place"
ROUND = 28
"""Corners of the polygon a ball is highlighted with."""


def balls_of(ctx: Context) -> BallMaterial:
    """What the balls are made of."""
    return ctx.ball_material()


def surveys(ctx: Context, leg: Leg) -> tuple[Sized, ...]:
    """The leg surveyed for the largest and the smallest ball, rolling as badly as the material may.

    In a hurry for the largest alone.
    """
    balls, least = ctx.cabinet.balls, balls_of(ctx).rolling[1]
    sizes = (("largest", balls.largest), ("smallest", balls.smallest))[: 1 if ctx.hurried else 2]
    return tuple((name, diameter, survey(leg, diameter, least)) for name, diameter in sizes)


def traps(found: Survey) -> tuple[Rest, ...]:
    """Rests that are not meant."""
    return tuple(r for r in found.rests if not r.meant)


def ball_at(leg: Leg, centre: Point, diameter: float) -> Place:
    """A ball drawn at a point of the leg."""
    r = diameter / 2
    turn = 2 * math.pi / ROUND
    points = tuple(
        (centre[0] + r * math.cos(k * turn), centre[1] + r * math.sin(k * turn)) for k in range(ROUND)
    )
    return Place(leg.frame, "area", points)


@lru_cache(maxsize=64)
def solid(leg: Leg, prefix: str) -> shapely.Geometry:
    """The leg's solids whose part id starts with ``prefix``, as one shape; empty when there is none."""
    return shapely.union_all([s.shape for s in leg.solids if s.part.startswith(prefix)])


def floor_runs(
    found: Survey, floor: shapely.Geometry, diameter: float
) -> Iterator[tuple[float, Point, Point]]:
    """Straight stretches the ball's centre runs along over a floor: (tangent of the rise to the right, from, to).

    Stretches shorter than the ball's diameter, steeper than 45 degrees, or farther than it from the box round the
    floor are left out.
    """
    x0, y0, x1, y1 = floor.bounds
    for piece in pieces(found.region):
        coords = shapely.get_coordinates(piece.exterior)
        if not shapely.is_ccw(piece.exterior):
            coords = coords[::-1]
        step, middle = np.diff(coords, axis=0), (coords[:-1] + coords[1:]) / 2
        on = (step[:, 0] >= diameter) & (np.abs(step[:, 1]) <= step[:, 0])
        on &= (middle > (x0 - diameter, y0 - diameter)).all(axis=1)
        on &= (middle < (x1 + diameter, y1 + diameter)).all(axis=1)
        for (ax, ay), (bx, by) in zip(coords[:-1][on].tolist(), coords[1:][on].tolist(), strict=True):
            yield (by - ay) / (bx - ax), (ax, ay), (bx, by)


def rated(measured: float, needed: float, tight: float, unit: str, need: Need) -> Rating:
    """A reading against a lower limit worked out on the spot, with the source of the need behind it."""
    margin = measured - needed
    status: Status = "conflict" if margin < -SAME else "tight" if margin < tight - SAME else "clear"
    return Rating(status, measured, needed, margin, unit, need.source, max(0.0, tight - margin))


def unmet(need: Need) -> Rating:
    """A reading that could not be taken because what it is taken on is missing."""
    return Rating("conflict", None, None, None, need.unit, need.source)


def said(told: Told) -> Told:
    """Words that are ready, for a draft that takes a function."""
    return told


def slope_draft(
    ctx: Context, leg: Leg, run: tuple[float, Point, Point], address: str, what: str, parts: tuple[str, ...]
) -> Draft:
    """A stretch that has to fall in the way its tangent counts positive."""
    need, rolling = ctx.need("slope_reserve"), balls_of(ctx).rolling[1]
    least = math.degrees(math.atan(need.value * rolling))
    measured = math.degrees(math.atan(run[0]))
    tight = math.degrees(math.atan((need.value + need.tight) * rolling)) - least
    rating = rated(measured, least, tight, "deg", need)
    because = (
        f"{measured:.2f} deg; needed atan({need.value:g} x {rolling:.3f}) = {least:.2f} deg, "
        f"{need.value:g} times what rolling resistance holds"
    )
    remedies = (ctx.remedy(address, rating.short, f"Let {what} fall more steeply", reads=measured),)
    place = Place(leg.frame, "line", (run[1], run[2]))
    return Draft(what, parts, rating, lambda: Told(f"Slope of {what}", because, (place,), remedies))


Held = tuple[str, float, tuple[Rest, ...], Rest, float]
"""Which ball, its diameter, where it stays against what is meant, the worst of these places and its depth, mm."""
Mend = Callable[[Rest, float], tuple[Remedy, ...]]
"""What would end a rest of a ball of this diameter."""


def trap_drafts(ctx: Context, leg: Leg, governed: tuple[str, ...] | Mend) -> Iterator[Draft]:
    """A draft for the unmeant rests on a leg, one for both ball sizes where they fare alike, or a clear one for each.

    ``governed`` are the addresses of what shapes the leg, or a function that tells what would end a rest.
    """
    need = ctx.need("trap")
    parts = tuple(dict.fromkeys(s.part for s in leg.solids))
    caught: dict[Status, list[tuple[Rating, Held]]] = {}
    for name, diameter, found in surveys(ctx, leg):
        held = traps(found)
        worst = max(held, key=lambda r: r.escape, default=None)
        if worst is None:
            rating = rate(need, 0.0, upper=True)._replace(margin=None)
            text = f"no resting place for the {name} ball, {diameter:.2f} mm"
            free = Told(f"{leg.label}: no place holds a ball", text)
            yield Draft(f"{leg.id}/{name}", parts, rating, partial(said, free))
            continue
        depth = max(worst.escape, 0.0) if math.isfinite(worst.escape) else diameter
        rating = rate(need, depth, upper=True)
        if rating.status == "clear":
            rating = rating._replace(status="tight")
        caught.setdefault(rating.status, []).append((rating, (name, diameter, held, worst, depth)))
    for group in caught.values():
        group.sort(key=lambda each: -each[1][4])
        tell = partial(_tell_trap, ctx, leg, [held for _, held in group], governed)
        yield Draft(f"{leg.id}/{min(held[0] for _, held in group)}", parts, group[0][0], tell)


def _tell_trap(ctx: Context, leg: Leg, group: list[Held], governed: tuple[str, ...] | Mend) -> Told:
    because = "; ".join(map(_held_words, group))
    places = tuple(ball_at(leg, r.at, diameter) for _, diameter, held, _, _ in group for r in held[:6])
    _, diameter, _, worst, _ = group[0]
    if callable(governed):
        remedies = governed(worst, diameter)
    else:
        remedies = tuple(ctx.remedy(a, 0.0, "Change this until no ball is held") for a in governed)
    many = max(len(held) for _, _, held, _, _ in group)
    what = "a place holds" if many == 1 else f"{many} places hold"
    return Told(f"{leg.label}: {what} the ball", because, places, remedies)


def _held_words(held: Held) -> str:
    """Where a ball stays and how it gets away."""
    name, diameter, rests, worst, _ = held
    many = len(rests) > 1
    if worst.kind == "flat":
        kind = "lie too level to roll on" if many else "lies too level to roll on"
    else:
        kind = "hold it" if many else "holds it"
    rise = (
        "it never gets out"
        if not math.isfinite(worst.escape)
        else f"it must rise {worst.escape:.2f} mm to get away"
    )
    return f"the {name} ball, {diameter:.2f} mm: {len(rests)} place{'s' if many else ''} {kind}, {rise}"


def floor_place(leg: Leg) -> tuple[Place, ...]:
    """A line along the top of the channel's floor."""
    floor = solid(leg, "spacer-lower")
    if floor.is_empty:
        return ()
    x0, _, x1, top = floor.bounds
    return (Place(leg.frame, "line", ((x0, top), (x1, top))),)


def waiting(ctx: Context, leg: Leg, size: int) -> Rest | None:
    """Where the ball waits at the lip: ``size`` 0 for the largest, 1 for the smallest ball."""
    return next((r for r in surveys(ctx, leg)[size][2].rests if r.meant == WAITING), None)


GOVERN = {
    "lane": ("kicker.radius", "lane.rise"),
    "flight": ("board.gap", "board.foot_rise"),
    "face": ("targets.1.across", "board.tilt"),
    "under": ("board.foot_rise", "behind.trough", "behind.gutter_slope"),
    "catch": ("behind.inlet_height", "behind.catch_slope"),
    "channel": ("return.headroom", "return.mouth"),
    "lift": ("lifter.travel", "return.lip_height"),
}
"""Numbers that shape each leg of the ball's way."""


def governing(ctx: Context, leg: Leg, words: str, near: Point | None = None) -> tuple[Remedy, ...]:
    """Changes of the numbers that shape a leg; on the face, of the target that is nearest to ``near``."""
    addresses = GOVERN[leg.id]
    targets = ctx.cabinet.targets
    if leg.id == "face" and near is not None and targets:
        number = min(targets, key=lambda t: math.dist(t.at, near)).number
        addresses = (f"targets.{number}.across", f"targets.{number}.up", *addresses[1:])
    return tuple(ctx.remedy(address, 0.0, words) for address in addresses)

"""Sizes that come out smaller than asked for, and rails too low to hold a ball.

Where the cabinet has no room for a size it is built with what room there is, so that it can be drawn at all. Nothing
else would tell that the number in the design is not the one in the wood.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import shapely

from desk.cabinet.model import Leg, Part, Target
from desk.checks.context import Context, spot
from desk.checks.finding import Place
from desk.checks.legs import said
from desk.checks.mechanics import GRAVITY, climb_speed
from desk.checks.registry import CannotEvaluate, Draft, Told, check, rate
from desk.shapes.loop import Loop, Point

NEAR = 0.5
"""An arc rounds the corner that its tangents meet at, when they do so within this of it, mm."""
NO_RAIL = "No target has a rail."


class Arc(NamedTuple):
    """An arc of an outline: where its tangents meet, its radius, its middle."""

    corner: Point
    radius: float
    middle: Point


@check(60, "as-asked", "Whole cabinet", "Sizes as asked for")
def as_asked(ctx: Context) -> Iterator[Draft]:
    """Height of the rails, tabs of the board, roundings of the kicker's lip and of the silhouette."""
    yield _rails(ctx)
    yield _tabs(ctx)
    yield from _roundings(ctx)


def _wanted(ctx: Context, name: str) -> float:
    try:
        return ctx.cabinet.marks.lengths[f"asked {name}"]
    except KeyError:
        raise CannotEvaluate(f"the cabinet does not tell what {name} was asked for") from None


def _face(ctx: Context) -> tuple[Leg, float]:
    """The leg on the board's face, and how high its rails stand without film, mm."""
    leg = ctx.cabinet.leg_by_id.get("face")
    if leg is None or leg.rail_height is None:
        raise CannotEvaluate("there is no board with a face", ("board",))
    return leg, leg.rail_height - ctx.cabinet.shop.film


def _draft(
    ctx: Context,
    key: str,
    part: Part,
    sizes: tuple[float, float],
    words: tuple[str, str],
    address: str,
    place: Place,
) -> Draft:
    """What was made against what was asked for; ``words`` are what it is, and what leaves no room for more."""
    made, wanted = sizes
    lacks = max(round(wanted - made, 4), 0.0)
    rating = rate(ctx.need("as_asked"), lacks, upper=True)
    because = (
        f"{wanted:.2f} asked for - {made:.2f} made = {lacks:.2f} mm short; at most "
        f"{rating.needed:.2f}. {words[1]}"
    )
    less = made - wanted if rating.status != "clear" else 0.0
    remedies = (ctx.remedy(address, less, "Ask for what there is room for"),)
    told = Told(
        f"{words[0]} {'as' if rating.status == 'clear' else 'less than'} asked for",
        because,
        (place,),
        remedies,
    )
    return Draft(key, (part.id,), rating, partial(said, told))


def _rails(ctx: Context) -> Draft:
    leg, made = _face(ctx)
    board = ctx.cabinet.by_id["board"]
    words = ("Rail height", "Rails stand no higher than the board is thick above its carved floor")
    rails = [s.shape for s in leg.solids if s.part == "board" and not s.shape.is_empty]
    ring = shapely.get_coordinates(rails[0].envelope)[:-1] if rails else leg.room.exterior.coords[:-1]
    place = Place(leg.frame, "area", tuple((float(x), float(y)) for x, y in ring))
    return _draft(ctx, "rails", board, (made, _wanted(ctx, "rail height")), words, "board.rail_height", place)


def _tabs(ctx: Context) -> Draft:
    tabs = [t for t in ctx.cabinet.tab_joints if t.part == "board"]
    if not tabs:
        raise CannotEvaluate("the board has no tabs", ("board",))
    board, tab = ctx.cabinet.by_id["board"], min(tabs, key=lambda t: t.end - t.start)
    words = ("Tab of the board", "Both tabs and the wood between them share the board's length")
    x0, _, x1, _ = board.outline.bounds
    x = x0 if tab.side == "low" else x1
    place = spot(board, (x, tab.start), (x, tab.end))
    sizes = (tab.end - tab.start, _wanted(ctx, "board tab"))
    return _draft(ctx, "tab", board, sizes, words, "board.tab", place)


def _roundings(ctx: Context) -> Iterator[Draft]:
    cabinet = ctx.cabinet
    rib, side, marks = cabinet.by_id.get("rib-1"), cabinet.by_id.get("panel-far"), cabinet.marks.points
    if rib is not None and "lip" in marks:
        words = ("Rounding of the kicker's lip", "The straight after the curve leaves no room for more")
        sizes = ("lip rounding", "kicker.lip_round")
        yield _rounding(ctx, rib, "lip", sizes, words)
    for name in (n for n in marks if n.startswith("silhouette ") and side is not None):
        number = name.removeprefix("silhouette ")
        words = (f"Rounding of corner {number} of the silhouette", "The next corners leave no room for more")
        if side is not None:
            yield _rounding(ctx, side, name, (f"corner {number}", f"silhouette.{number}.radius"), words)


def _rounding(ctx: Context, part: Part, mark: str, names: tuple[str, str], words: tuple[str, str]) -> Draft:
    """The arc at a corner that is marked, or its lack, against the radius asked for."""
    x, y, _ = part.frame.local(ctx.cabinet.marks.points[mark])
    arc = next((a for a in arcs(part.outline) if math.dist(a.corner, (x, y)) < NEAR), None)
    made, at = (0.0, (x, y)) if arc is None else (arc.radius, arc.middle)
    wanted, address = names
    return _draft(ctx, mark, part, (made, _wanted(ctx, wanted)), words, address, spot(part, at))


@lru_cache(maxsize=128)
def arcs(loop: Loop) -> tuple[Arc, ...]:
    """Every arc of a loop of less than half a turn."""
    found = []
    for (x0, y0, bulge), (x1, y1, _) in loop.edges():
        if not 0 < abs(bulge) < 1:
            continue
        half = 2 * math.atan(bulge)
        chord, mx, my = math.dist((x0, y0), (x1, y1)), (x0 + x1) / 2, (y0 + y1) / 2
        # to the right of the way where it turns left
        nx, ny = (y1 - y0) / chord, (x0 - x1) / chord
        out, bow = chord / 2 * math.tan(half), chord / 2 * bulge
        radius = chord / 2 / math.sin(abs(half))
        found.append(Arc((mx + nx * out, my + ny * out), radius, (mx + nx * bow, my + ny * bow)))
    return tuple(found)


@check(61, "rail-hold", "Ball's way", "Rails high enough to hold a ball", NO_RAIL)
def rail_hold(ctx: Context) -> Iterator[Draft]:
    """Speed that takes the largest ball over a rail against that of a ball which rolls down within it."""
    leg, height = _face(ctx)
    ball, need = ctx.cabinet.balls.largest, ctx.need("rail_hold")
    for target in (t for t in ctx.cabinet.targets if t.kind != "plain" and t.rail > 0):
        run = max(_run(leg, target, ball), 0.0)
        comes = math.sqrt(10 / 7 * GRAVITY * leg.pull_share * run / 1000)
        over = climb_speed(height, ball / 2)
        rating = rate(need, over, scale=comes, unit="m/s")
        tell = partial(
            _tell_hold, ctx, leg, target, (height, run, over, comes), rating.needed or 0.0, rating.short
        )
        yield Draft(f"rail {target.number}", ("board",), rating, tell, round(run, 4))


def _run(leg: Leg, target: Target, ball: float) -> float:
    """How far down the board a ball rolls within a rail at most, mm.

    Across a round rail; down a straight rail of a vee from where it leans on the rail's end to where it lies in the
    corner: reach tan a - r sin a tan a, with the rails falling at the angle a.
    """
    if target.kind != "vee":
        return 2 * target.rail - ball
    (x, y), quarter = target.at, target.rail / 4
    low, high = (_inner(leg, target, (x - share * quarter, y)) for share in (2, 3))
    fall = math.atan(max((high - low) / quarter, 0.0))
    return math.tan(fall) * (target.rail - ball / 2 * math.sin(fall))


def _inner(leg: Leg, target: Target, at: Point) -> float:
    """Height up the board of a vee's inner edge beside its hole, above or below a point."""
    x, y = at
    beside = shapely.LineString(((x, y - target.hole - target.rail), (x, y + target.rail)))
    cuts = [s.shape.intersection(beside) for s in leg.solids if s.part == "board"]
    tops = [cut.bounds[3] for cut in cuts if not cut.is_empty]
    if not tops:
        raise CannotEvaluate(f"the rails of target {target.number} do not stand beside its hole", ("board",))
    return float(max(tops))


def _tell_hold(
    ctx: Context,
    leg: Leg,
    target: Target,
    read: tuple[float, float, float, float],
    needed: float,
    short: float,
) -> Told:
    height, run, over, comes = read
    radius = ctx.cabinet.balls.largest / 2
    because = (
        f"sqrt(10 g h / 7) / (1 - 5 h / 7 r) with h {height:.2f}, r {radius:.2f} mm = {over:.2f} m/s (plastic "
        f"contact); needed {ctx.need('rail_hold').value:g} x {comes:.2f} = {needed:.2f}, of a ball that rolls "
        f"{run:.1f} mm down within the rail"
    )
    higher = 0.0
    if short > 0:
        steps = (k / 10 for k in range(1, 400))
        higher = next((d for d in steps if climb_speed(height + d, radius) >= over + short), 0.0)
    remedies = (
        ctx.remedy("board.rail_height", higher, "Make the rails higher", reads=height),
        ctx.remedy(f"targets.{target.number}.rail", 0.0, "Set the rail closer round its hole"),
        ctx.remedy("board.tilt", 0.0, "Tilt the board less"),
    )
    title = f"Rail of target {target.number} against a ball within it"
    return Told(title, because, (_rail_place(leg, target),), remedies)


def _rail_place(leg: Leg, target: Target) -> Place:
    """The rail that stands nearest to a target's hole; the hole's middle where none stands."""
    hole = shapely.Point(target.at)
    shapes = [p for s in leg.solids if s.part == "board" for p in shapely.get_parts(s.shape)]
    nearest = min(shapes, key=lambda shape: float(shape.distance(hole)), default=None)
    if nearest is None or nearest.is_empty:
        return Place(leg.frame, "point", (target.at,))
    ring = shapely.get_coordinates(shapely.get_exterior_ring(nearest))[:-1]
    return Place(leg.frame, "area", tuple((float(x), float(y)) for x, y in ring))

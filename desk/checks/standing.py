"""How the cabinet stands: what it weighs, and whether a throw or a press on the handle tips or pushes it.

Statics of a rigid body on the outline of what it stands on; impulse and energy for the ball that knocks it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from typing import NamedTuple

import shapely

from desk.cabinet.model import Part, Status
from desk.checks.context import Context
from desk.checks.finding import Place, Remedy
from desk.checks.legs import said
from desk.checks.mass import Lump, balls_weight, cabinet_weight, part_weight
from desk.checks.mechanics import GRAVITY
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check, rate
from desk.shapes.frame import Frame, Vec, add
from desk.shapes.loop import SAME, Point
from desk.shop.loads import load
from desk.shop.materials import ball_mass

FAMILY = "Strength and time"
STANDS = 0.5
"""A part whose lowest point is no more than this above the cabinet's lowest stands on the table, mm."""
HEAVIEST = 3
"""So many of the heaviest parts are named."""


def side_on(y: float) -> Frame:
    """The upright plane fore and aft at ``y``: x to the right, z up."""
    return Frame((0.0, y, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def plan_at(z: float) -> Frame:
    """The level plane at ``z`` seen from above: x to the right, the player's left up."""
    return Frame((0.0, 0.0, z), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))


def tipping_force(weight: float, inside: float, outside: float) -> float:
    """Force, N, pressed down ``outside`` of the edge it stands on that lifts the other side: W a / b."""
    return weight * inside / outside


def slid(impulse: float, mass: float, friction: float) -> float:
    """How far a body at rest slides after a level push, mm: (J / M)² / (2 mu g), J in N s, M in kg."""
    return (impulse / mass) ** 2 / (2 * friction * GRAVITY) * 1000


def tip_share(impulse: float, height: float, mass: float, run: float, rise: float) -> float:
    """Energy that a level push ``height`` mm up leaves, over what tips the body about an edge ``run`` mm level from its
    middle, which is ``rise`` mm up: (J h)² / (2 M R²) over M g (R - z), R² = run² + rise².

    The body counts as a point: one that is spread out turns more slowly.
    """
    reach = math.hypot(run, rise) / 1000
    energy = (impulse * height / 1000) ** 2 / (2 * mass * reach**2)
    return energy / (mass * GRAVITY * max(reach - rise / 1000, 1e-9))


def feet(parts: tuple[Part, ...]) -> tuple[shapely.Geometry, float]:
    """The outline, in x and y, of what stands on the table, and the table's height. Raises CannotEvaluate for none."""
    if not parts:
        raise CannotEvaluate("there is no part to stand on")
    lowest = min(p.extent[0][2] for p in parts)
    corners: list[Point] = []
    for low, high in (p.extent for p in parts if p.extent[0][2] <= lowest + STANDS):
        corners += [(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])]
    return shapely.MultiPoint(corners).convex_hull, lowest


@check(52, "stands", FAMILY, "Stands under a throw and a press")
def stands(ctx: Context) -> Iterator[Draft]:
    """A press on the handle does not lift the far side; the ball's knock neither pushes nor tips the cabinet."""
    base, table = feet(ctx.cabinet.parts)
    whole = cabinet_weight(ctx)
    yield _pressed(ctx, base, whole)
    yield from _knocked(ctx, base, table, whole)


def _edges(base: shapely.Geometry, at: Point) -> Iterator[float]:
    """How far a point lies inside of each edge of the base, mm, negative outside."""
    ring = shapely.get_coordinates(base.exterior).tolist()
    if not shapely.is_ccw(base.exterior):
        ring.reverse()
    for (ax, ay), (bx, by) in pairwise(ring):
        length = math.hypot(bx - ax, by - ay)
        yield ((bx - ax) * (at[1] - ay) - (by - ay) * (at[0] - ax)) / length


def _presses(ctx: Context) -> list[Vec]:
    """Ends and middle of every rod that one part alone holds: a handle."""
    rods = [j for j in ctx.of_kind("rod") if len(j.members) == 1]
    return [add(j.at, j.direction, j.length * share) for j in rods for share in (0.0, 0.5, 1.0)]


class _Lifts(NamedTuple):
    """A press that lifts the far side: the force, N, the middle's and the press's distance from the edge it turns
    about, mm, and where it is pressed.
    """

    force: float
    inside: float
    outside: float
    at: Vec


def _worst_press(ctx: Context, base: shapely.Geometry, whole: Lump) -> _Lifts | None:
    """The press that lifts the far side most easily; None where all fall inside of what the cabinet stands on."""
    found = []
    for at in _presses(ctx):
        for inside, past in zip(_edges(base, whole.middle[:2]), _edges(base, at[:2]), strict=True):
            if past < -SAME:
                found.append(_Lifts(tipping_force(whole.size * GRAVITY, inside, -past), inside, -past, at))
    return min(found, default=None)


def _pressed(ctx: Context, base: shapely.Geometry, whole: Lump) -> Draft:
    need, press = ctx.need("tip_press"), load("handle_press", ctx.cabinet.tables)
    weight = whole.size * GRAVITY
    worst = _worst_press(ctx, base, whole)
    place = Place(side_on(whole.middle[1]), "point", ((whole.middle[0], whole.middle[2]),))
    if worst is None:
        inside = min(_edges(base, whole.middle[:2]))
        rating = Rating(_upright(inside), inside, 0.0, inside, "mm", need.source)
        because = (
            f"no press on a handle falls outside of what the cabinet stands on; its middle, {weight:.1f} N, lies "
            f"{inside:.0f} mm inside"
        )
    else:
        rating = rate(need, worst.force, scale=press.value, unit="N")
        because = (
            f"{weight:.1f} N x {worst.inside:.0f} / {worst.outside:.0f} mm = {worst.force:.0f} N on the handle lift "
            f"the far side; needed {need.value:g} x {press.value:g} N, {press.label.lower()}"
        )
        x, _, z = worst.at
        place = Place(side_on(worst.at[1]), "line", ((x, z), (x + worst.outside, z)))
    remedies = (
        ctx.remedy("lifter.reach", 0.0, "Make the handle stand out less"),
        ctx.remedy("lane.length", 0.0, "Make the cabinet longer and so heavier"),
    )
    parts = tuple(j.members[0].part for j in ctx.of_kind("rod") if len(j.members) == 1)
    told = Told("Press on the handle against the weight", because, (place,), remedies)
    return Draft("press", parts, rating, partial(said, told))


def _upright(inside: float) -> Status:
    """Whether a middle that far inside of the edges keeps the cabinet standing."""
    return "clear" if inside > 0 else "conflict"


def _knocked(ctx: Context, base: shapely.Geometry, table: float, whole: Lump) -> Iterator[Draft]:
    """A ball that comes at full speed is thrown straight back: it leaves twice its momentum."""
    balls, tables = ctx.cabinet.balls, ctx.cabinet.tables
    speed, friction = load("throw_speed", tables).value, load("table_friction", tables).value
    mass = ball_mass(balls.largest, balls.density)
    impulse = 2 * mass * speed
    middle, top = whole.middle, max(p.extent[1][2] for p in ctx.cabinet.parts)
    back = base.bounds[2]
    given = f"2 x {mass * 1000:.1f} g x {speed:g} m/s = {impulse * 1000:.0f} g m/s"
    remedies = (
        ctx.remedy("ball.diameter", 0.0, "Use smaller balls"),
        ctx.remedy("lane.length", 0.0, "Make the cabinet longer and so heavier"),
    )
    place = Place(side_on(middle[1]), "point", ((middle[0], middle[2]),))
    parts = tuple(p.id for p in ctx.cabinet.parts if p.extent[0][2] <= table + STANDS)
    run = slid(impulse, whole.size, friction)
    because = (
        f"{given} on {whole.size:.2f} kg: ({1000 * impulse / whole.size:.1f} mm/s)² / (2 x {friction:g} g)"
    )
    rating = rate(ctx.need("slide"), run, upper=True)
    told = Told(
        "Cabinet pushed by a throw",
        f"{because} = {run:.3f} mm; at most {rating.needed:g}",
        (place,),
        remedies,
    )
    yield Draft("slide", parts, rating, partial(said, told))
    height, rise = top - table, middle[2] - table
    share = tip_share(impulse, height, whole.size, max(back - middle[0], SAME), rise)
    because = (
        f"{given} at {height:.0f} mm, the middle of {whole.size:.2f} kg {back - middle[0]:.0f} mm before the back and "
        f"{rise:.0f} mm up: {share:.2g} of what tips it"
    )
    tips = rate(ctx.need("tip_knock"), share, upper=True)
    told_tips = Told("Cabinet tipped by a throw", f"{because}; at most {tips.needed:g}", (place,), remedies)
    yield Draft("tip", parts, tips, partial(said, told_tips))


@check(53, "weight", FAMILY, "Weight")
def weight(ctx: Context) -> Iterator[Draft]:
    """The cabinet with its hardware and balls against what one person lifts with ease."""
    parts = ctx.cabinet.parts
    if not parts:
        raise CannotEvaluate("there is no part to weigh")
    whole, balls = cabinet_weight(ctx), balls_weight(ctx)
    rating = rate(ctx.need("weight"), whole.size + balls, upper=True)
    yield Draft("whole", tuple(p.id for p in parts), rating, partial(_tell_weight, ctx, whole, balls, rating))


def _tell_weight(ctx: Context, whole: Lump, balls: float, rating: Rating) -> Told:
    parts = ctx.cabinet.parts
    each = sorted(((part_weight(ctx, p).size, p) for p in parts), key=lambda row: -row[0])
    heavy = ", ".join(f"{p.label} {kg:.2f}" for kg, p in each[:HEAVIEST])
    because = (
        f"wood {sum(kg for kg, _ in each):.2f} + screws and pins "
        f"{whole.size - sum(kg for kg, _ in each):.2f} + balls {balls:.2f} = {rating.measured:.2f} kg; at most "
        f"{rating.needed:g}. Heaviest: {heavy}"
    )
    place = Place(side_on(whole.middle[1]), "point", ((whole.middle[0], whole.middle[2]),))
    remedies: list[Remedy] = [
        ctx.remedy(ctx.stock_address(p), 0.0, "Take thinner stock") for _, p in each[:1]
    ]
    remedies.append(ctx.remedy("lane.length", 0.0, "Make the cabinet shorter"))
    remedies.append(ctx.remedy("lane.width", 0.0, "Make the lane narrower"))
    return Told("Weight of the cabinet", because, (place,), tuple(remedies))

"""Strength: the carved rails under a ball's knock and a thumb's press.

A rail stands up from the board's floor, so that its root is pulled apart across the grain wherever it runs; along the
rail the load spreads farther where the grain runs with it and less where it runs across.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import Leg, Part, Status
from desk.checks import beams
from desk.checks.beams import Reals
from desk.checks.context import Context
from desk.checks.finding import Place, Remedy, Source
from desk.checks.mechanics import GRAVITY
from desk.checks.needs import Need
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check
from desk.checks.slices import Slices, slices
from desk.shapes.loop import SAME
from desk.shapes.offset import grown
from desk.shop.loads import load
from desk.shop.materials import Material, ball_mass

FAMILY = "Strength and time"
BOARD = "board"
HOLE = "target hole "
_ROLES = (
    ("panel", "panels"), ("inner", "wall"), ("spacer", "spacer"), ("lip", "spacer"), ("front-stop", "stop"),
    ("rib", "ribs"), ("gutter", "gutter"), ("catch", "ramp"), ("back", "cover"), ("cleat", "cleats"),
    ("lifter", "lifter"), ("header", "header"), ("deck", "deck"), ("board", "board"), ("base", "base"), ("", "panels"),
)  # fmt: skip
"""Start of a part's id and the role its stock is chosen for."""
WIDER = np.arange(0.1, 15.0, 0.1)
"""Widths, mm, that a rail is widened by until it bears its loads."""


class Rail(NamedTuple):
    """One rail on the face: which target's it is, its figure without film, its slices, and what it is made of."""

    target: str
    leg: Leg
    part: Part
    shape: shapely.Polygon
    cut: Slices
    wood: Material
    upward: float
    """Stiffness at right angles to the sheet, MPa."""
    along: Reals
    """Stiffness along the rail at each slice, MPa."""
    height: float


class Bent(NamedTuple):
    """A rail under a load at its worst slice: stress, MPa, force, N, breadth of root, mm, the slice's number."""

    stress: float
    force: float
    breadth: float
    slice: int


@check(49, "rails", FAMILY, "Rails under a knock and a press", "No rail stands on the board.")
def rails(ctx: Context) -> Iterator[Draft]:
    """Stress at the root of each rail, where it is worst, against the wood's strength across the grain."""
    # by number, so that of equal rails the same one is told wherever the return lies
    for rail in sorted(rails_of(ctx), key=lambda r: (len(r.target), r.target)):
        knocked, pressed = _knocked(ctx, rail), _pressed(ctx, rail)
        for key, bent, limit in (
            ("knock", knocked, rail.wood.bending_upright * _load(ctx, "short_load")),
            ("press", pressed, rail.wood.bending_upright),
        ):
            rating = below(bent.stress, limit, ctx.need("rail_strength"), rail.wood.upright_source)
            tell = partial(_tell, ctx, rail, key, bent, rating)
            yield Draft(f"rail {rail.target}/{key}", (rail.part.id,), rating, tell, key)


def below(value: float, limit: float, need: Need, source: Source, unit: str = "MPa") -> Rating:
    """Rating of a load against a strength: the strength is divided by the need; the source is that of the strength."""
    most = limit / need.value
    tight = limit / (need.value + need.tight)
    status: Status = "conflict" if value > most + SAME else "tight" if value > tight + SAME else "clear"
    return Rating(status, value, most, most - value, unit, source, max(0.0, value - tight))


def stock_choice(part: Part) -> str:
    """Address of the choice of the stock that a part is cut from."""
    return next(f"stock.{role}" for start, role in _ROLES if part.id.startswith(start))


def _load(ctx: Context, key: str) -> float:
    return load(key, ctx.cabinet.tables).value


def through_sheet(ctx: Context, wood: Material) -> float:
    """Stiffness at right angles to the sheet, MPa; of solid wood that across the grain."""
    if wood.kind == "solid":
        return wood.stiffness_across * 1000
    return _load(ctx, f"through_{wood.kind}") * 1000


def rails_of(ctx: Context) -> Iterator[Rail]:
    """Every rail that stands on the board, without its film. Raises CannotEvaluate where there is no board."""
    leg, part = ctx.cabinet.leg_by_id.get("face"), ctx.cabinet.by_id.get(BOARD)
    if leg is None or part is None or leg.rail_height is None:
        raise CannotEvaluate("there is no board with a face", (BOARD,))
    film, wood = ctx.cabinet.shop.film, ctx.material(part)
    up, gx, gy = through_sheet(ctx, wood), *_grain(leg, part)
    for solid in (s for s in leg.solids if s.part == BOARD):
        for shape in shapely.get_parts(grown(solid.shape, -film)):
            cut = slices(shape)
            if len(cut.width):
                angle = cut.way - math.atan2(gy, gx)
                along = beams.at_angle(wood.stiffness * 1000, wood.stiffness_across * 1000, angle)
                yield Rail(
                    _target(leg, shape), leg, part, shape, cut, wood, up, along, leg.rail_height - film
                )


def _grain(leg: Leg, part: Part) -> tuple[float, float]:
    """The board's grain in the plane of the face."""
    world = [part.frame.u[k] * part.grain[0] + part.frame.v[k] * part.grain[1] for k in range(3)]
    return (
        sum(w * c for w, c in zip(world, leg.frame.u, strict=True)),
        sum(w * c for w, c in zip(world, leg.frame.v, strict=True)),
    )


def _target(leg: Leg, shape: shapely.Geometry) -> str:
    """Number of the target whose hole is nearest to a rail."""
    holes = [z for z in leg.sinks if z.name.startswith(HOLE) and not z.shape.is_empty]
    nearest = min(holes, key=lambda z: float(z.shape.centroid.distance(shape)), default=None)
    return "" if nearest is None else nearest.name.removeprefix(HOLE)


def _breadth(rail: Rail, height: float, pad: float) -> Reals:
    """Root, mm, that carries a load spread over ``pad`` mm at a height; an end of the rail cuts it off."""
    half = pad / 2 + beams.ROOT_SPREAD / 2 * height * beams.spread_share(rail.along, rail.upward)
    breadth: Reals = np.minimum(half[:, None], rail.cut.on).sum(axis=1)
    return breadth


def _worst(stress: Reals, force: Reals, breadth: Reals) -> Bent:
    k = int(stress.argmax())
    return Bent(round(float(stress[k]), 6), float(force[k]), float(breadth[k]), k)


def _speed(ctx: Context, rail: Rail) -> Reals:
    """Speed square against the rail at each slice, m/s, of a ball that runs up the whole face or down from its top."""
    middle = rail.cut.ends.mean(axis=1)
    left = np.maximum(rail.leg.room.bounds[3] - middle[:, 1], 0.0) * rail.leg.pull_share / 1000
    speed = _load(ctx, "rail_speed") * np.sqrt(10 / 7 * GRAVITY * left)
    square: Reals = speed * np.maximum(np.abs(np.cos(rail.cut.way)), _load(ctx, "rail_aside"))
    return square


def _knocked(ctx: Context, rail: Rail, wider: float = 0.0) -> Bent:
    balls = ctx.cabinet.balls
    height, width = min(balls.largest / 2, rail.height), rail.cut.width + wider
    breadth = _breadth(rail, height, 0.0)
    spring = beams.rail_stiffness(rail.upward, height, breadth, width)
    contact = beams.contact_stiffness(rail.upward, balls.largest / 2)
    force = beams.knock_force(ball_mass(balls.largest, balls.density), _speed(ctx, rail), spring, contact)
    return _worst(beams.root_stress(force, height, breadth, width), force, breadth)


def _pressed(ctx: Context, rail: Rail, wider: float = 0.0) -> Bent:
    width = rail.cut.width + wider
    breadth = _breadth(rail, rail.height, _load(ctx, "thumb_breadth"))
    force = np.full_like(width, _load(ctx, "thumb_press"))
    return _worst(beams.root_stress(force, rail.height, breadth, width), force, breadth)


def _tell(ctx: Context, rail: Rail, key: str, bent: Bent, rating: Rating) -> Told:
    k, balls = bent.slice, ctx.cabinet.balls
    height = min(balls.largest / 2, rail.height) if key == "knock" else rail.height
    width = float(rail.cut.width[k])
    gx, gy = _grain(rail.leg, rail.part)
    angle = abs(math.degrees(rail.cut.way[k] - math.atan2(gy, gx)) + 90) % 180 - 90
    if key == "knock":
        mass = ball_mass(balls.largest, balls.density) * 1000
        speed = float(_speed(ctx, rail)[k])
        given = f"{mass:.1f} g at {speed:.2f} m/s, stopped by rail and contact: {bent.force:.0f} N, {height:.1f} mm up"
        moment = f" x {_load(ctx, 'short_load'):g} for a moment"
    else:
        given = f"{bent.force:.0f} N of a thumb, {height:.1f} mm up"
        moment = ""
    wood, safety = rail.wood, ctx.need("rail_strength").value
    way = "across the grain" if wood.kind == "solid" else "through the sheet"
    because = (
        f"{given}, on {bent.breadth:.1f} mm of root, {abs(angle):.0f} deg to the grain: 6 F a / (b w²) with w "
        f"{width:.2f} = {bent.stress:.2f} MPa; bears {wood.bending_upright:g} in bending {way}{moment} / {safety:g} "
        f"= {rating.needed:.2f} ({wood.measured_as})"
    )
    start, end = rail.cut.ends[k].tolist()
    ring = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(rail.shape.exterior)[:-1])
    places = (
        Place(rail.leg.frame, "line", ((start[0], start[1]), (end[0], end[1]))),
        Place(rail.leg.frame, "area", ring),
    )
    title = f"Rail of target {rail.target} under a {'knock by the ball' if key == 'knock' else 'press of a thumb'}"
    return Told(title, because, places, _remedies(ctx, rail, key, rating))


def _remedies(ctx: Context, rail: Rail, key: str, rating: Rating) -> tuple[Remedy, ...]:
    """A width that bears the load where one does, a lower rail, a stronger wood."""
    wider, clear = 0.0, (rating.needed or 0.0) - (rating.short - max(0.0, -(rating.margin or 0.0)))
    if rating.status != "clear":
        bend = _knocked if key == "knock" else _pressed
        wider = next((float(w) for w in WIDER if bend(ctx, rail, float(w)).stress <= clear), 0.0)
    return (
        ctx.remedy("board.rail_width", wider, "Make the rails wider"),
        ctx.remedy("board.rail_height", 0.0, "Make the rails lower"),
        Remedy("stock.board", None, "Take a wood that holds together better across the grain"),
    )

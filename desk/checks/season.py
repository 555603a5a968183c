"""Clearances at the dry and the damp end of the year where the cabinet will stand.

Sizes are taken as measured at the region's average moisture. Wood moves across its grain, hardly along it; sheets move
little in their plane and most in thickness. What is glued across the grain cannot follow and is pulled.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, Part, TabJoint
from desk.checks.context import Context, along_axis, lines_up, span, spot
from desk.checks.finding import Place, Remedy
from desk.checks.legs import balls_of, floor_place, rated, said
from desk.checks.lifting import nearest_wood, swing_of
from desk.checks.mechanics import lock_width
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check
from desk.checks.strength import FAMILY, stock_choice, through_sheet
from desk.shapes.loop import SAME
from desk.shop.loads import load
from desk.shop.materials import Material
from desk.shop.seasons import movement, wide_movement

LINEAR = (6.0, 14.0)
"""Moisture, %, between which Wood Handbook eq. 13-2 holds."""
ACROSS = "across"
THICK = "thick"


class Year(NamedTuple):
    """How a size moves: shares it changes by from the average to the dry and to the damp end of the year."""

    dry: float
    damp: float

    def most(self) -> float:
        """The larger of both changes."""
        return max(abs(self.dry), abs(self.damp))


@check(51, "season", FAMILY, "Clearances over the seasons")
def season(ctx: Context) -> Iterator[Draft]:
    """Stack in the lane, ball in the channel, tabs in mortises, header, lifter, and wood glued across its grain."""
    if not ctx.cabinet.parts:
        raise CannotEvaluate("there is no part that could move")
    yield from _stacks(ctx)
    yield from _channel(ctx)
    yield from _tabs(ctx)
    yield from _pulled(ctx)
    yield from _header(ctx)
    yield from _lifter(ctx)


def year(ctx: Context, wood: Material, share: float, kind: str = ACROSS) -> Year:
    """How a size of this wood moves where the cabinet will stand; ``share`` is that of its coefficient which counts.

    Eq. 13-2 of the Wood Handbook; beyond its range eq. 13-3 where the table knows the shrinkage of the wood.
    """
    region = ctx.region
    coefficient = wood.move_thick if kind == THICK else wood.move_flat
    ends = []
    for end in (region.dry, region.damp):
        beyond = min(end, region.average) < LINEAR[0] or max(end, region.average) > LINEAR[1]
        if beyond and wood.kind == "solid" and wood.shrinkage is not None:
            shrinkage = wood.shrinkage[1 if kind == THICK else 0]
            ends.append(share * wide_movement(shrinkage, region.average, end))
        else:
            ends.append(share * movement(coefficient, region.average, end))
    return Year(*ends)


def in_plane(ctx: Context, part: Part, way: tuple[float, float]) -> Year:
    """How a part moves along a direction of its face: solid wood by the share across its grain."""
    wood = ctx.material(part)
    if wood.kind != "solid":
        return year(ctx, wood, 1.0)
    size = math.hypot(*way) * math.hypot(*part.grain)
    along = (way[0] * part.grain[0] + way[1] * part.grain[1]) / size
    return year(ctx, wood, 1.0 - along**2)


def through(ctx: Context, part: Part) -> Year:
    """How a part's thickness moves."""
    return year(ctx, ctx.material(part), 1.0, THICK)


def _moisture(ctx: Context, damp: bool) -> str:
    region = ctx.region
    return f"{region.average:g} to {region.damp if damp else region.dry:g} % moisture ({region.label})"


def _where() -> Remedy:
    return Remedy("overall.region", None, "Choose where it will stand")


def _made(
    key: str,
    parts: tuple[str, ...],
    rating: Rating,
    title: str,
    because: str,
    places: tuple[Place, ...],
    remedies: tuple[Remedy, ...],
    like: Hashable = None,
) -> Draft:
    told = Told(title, because, places, (*remedies, _where()))
    return Draft(key, parts, rating, partial(said, told), like)


def _lane(ctx: Context) -> Year:
    """How the lane's width moves: the parts tabbed into both walls carry them; the one that moves least counts."""
    held = {t.part for t in ctx.cabinet.tab_joints}
    moves = [in_plane(ctx, p, (1.0, 0.0)) for p in ctx.cabinet.parts if p.id in held]
    return min(moves, key=Year.most, default=Year(0.0, 0.0))


def _stacks(ctx: Context) -> Iterator[Draft]:
    """A stack of layers between two walls: squeezed when damp, loose when dry."""
    for joint in ctx.of_kind("rod"):
        parts = [ctx.part(m) for m in joint.members]
        if len(parts) >= 3 and all(lines_up(p, joint) for p in parts):
            yield from _stack(ctx, joint, parts)


def _stack(ctx: Context, joint: AxisJoint, parts: list[Part]) -> Iterator[Draft]:
    layers, lane = parts[1:-1], _lane(ctx)
    low, high = span(parts[0], joint)[1], span(parts[-1], joint)[0]
    film = 2 * ctx.film_in_joints * (len(layers) + 1)
    space, thick = high - low - film, sum(p.thickness for p in layers)
    moves = [(p.thickness, through(ctx, p)) for p in layers]
    grown = sum(t * m.damp for t, m in moves) - space * lane.damp
    shrunk = -sum(t * m.dry for t, m in moves) + space * lane.dry
    spare = space - thick
    wood = ctx.material(layers[0])
    crush = wood.compression_across / through_sheet(ctx, wood) * thick
    need, source = ctx.need("season_squeeze"), wood.source_of("move_thick")
    rating = rated(
        spare - grown,
        -crush / need.value,
        crush * (1 / need.value - 1 / (need.value + need.tight)),
        "mm",
        need,
    )
    rating = rating._replace(source=source)
    place = (along_axis(joint, high, low),)
    names = (layers[0].id, layers[-1].id)
    because = (
        f"{_moisture(ctx, True)}: {space:.2f} - {thick:.2f} = {spare:.2f} mm to spare - {grown:.2f} of swelling = "
        f"{rating.measured:.2f} mm; crushed when squeezed by {wood.compression_across:g} MPa / "
        f"{through_sheet(ctx, wood):.0f} x {thick:.1f} = {crush:.2f} mm"
    )
    title = f"Stack of {len(layers)} at the damp end of the year"
    remedies = (ctx.remedy("lane.width", rating.short, "Make the lane wider"),)
    like = ("stack", len(layers), round(spare, 6))
    yield _made(f"{joint.id}/damp", names, rating, title, because, place, remedies, (*like, "damp"))
    gap = ctx.need("season_gap")
    loose = rated(gap.value - spare - shrunk, 0.0, gap.tight, "mm", gap)
    loose = loose._replace(measured=spare + shrunk, needed=gap.value, source=source)
    because = (
        f"{_moisture(ctx, False)}: {spare:.2f} + {shrunk:.2f} of shrinking = {spare + shrunk:.2f} mm; at most "
        f"{gap.value:g}"
    )
    title = f"Stack of {len(layers)} at the dry end of the year"
    remedies = (ctx.remedy("lane.width", -loose.short, "Make the lane narrower"),)
    yield _made(f"{joint.id}/dry", names, loose, title, because, place, remedies, (*like, "dry"))


def _channel(ctx: Context) -> Iterator[Draft]:
    """The channel is as wide as its spacers are thick: a ball must pass when dry, and two must not lock when damp."""
    leg, balls = ctx.cabinet.leg_by_id.get("channel"), ctx.cabinet.balls
    layers = [p for p in ctx.cabinet.parts if p.id.startswith("spacer-lower")]
    if leg is None or leg.depth is None or not layers:
        return
    moves = [(p.thickness, through(ctx, p)) for p in layers]
    dry = leg.depth + sum(t * m.dry for t, m in moves)
    damp = leg.depth + sum(t * m.damp for t, m in moves)
    need, names = ctx.need("season_room"), tuple(p.id for p in layers)
    source = ctx.material(layers[0]).source_of("move_thick")
    rating = rated(dry - balls.largest, need.value, need.tight, "mm", need)._replace(source=source)
    because = (
        f"{_moisture(ctx, False)}: {leg.depth:.2f} - {leg.depth - dry:.2f} of shrinking - {balls.largest:.2f} ball = "
        f"{rating.measured:.2f} mm; needed {need.value:.2f}"
    )
    layered = (ctx.remedy("return.layers", 0.0, "Use another number of spacer layers"),)
    title = "Ball in the channel at the dry end of the year"
    yield _made("channel/dry", names, rating, title, because, floor_place(leg), layered)
    friction = balls_of(ctx).friction[1]
    lock, tight = lock_width(balls.smallest, friction), ctx.need("channel_lock")
    abreast = rated(lock - damp, tight.value, tight.tight, "mm", tight)
    because = (
        f"{_moisture(ctx, True)}: 2 x {balls.smallest:.2f} / (1 + {friction:.2f}^2) - {leg.depth:.2f} - "
        f"{damp - leg.depth:.2f} of swelling = {abreast.measured:.2f} mm; needed {tight.value:.2f}"
    )
    title = "Two balls abreast at the damp end of the year"
    yield _made("channel/damp", names, abreast, title, because, floor_place(leg), layered)


def _tabs(ctx: Context) -> Iterator[Draft]:
    """Tabs that were cut when it was average go into their mortises when it is damp, in thickness and in length."""
    need = ctx.need("season_tab")
    film = 4 * ctx.film_in_joints
    for joint in ctx.cabinet.tab_joints:
        part, wall = ctx.cabinet.by_id[joint.part], ctx.cabinet.by_id[joint.wall]
        along = tuple(wall.frame.local(part.frame.world(0.0, y))[:2] for y in (0.0, 1.0))
        way = (along[1][0] - along[0][0], along[1][1] - along[0][1])
        square = (-way[1], way[0])
        length = joint.end - joint.start
        sizes = {
            "thickness": (part.thickness, through(ctx, part).damp - in_plane(ctx, wall, square).damp),
            "length": (length, in_plane(ctx, part, (0.0, 1.0)).damp - in_plane(ctx, wall, way).damp),
        }
        for what, (size, share) in sizes.items():
            if what == "length" and any(joint.over_run):
                continue  # a rebate leaves its ends open
            left = joint.fit - film - size * share
            rating = rated(left, need.value, need.tight, "mm", need)
            rating = rating._replace(source=ctx.material(part).source_of("movement"))
            because = (
                f"{_moisture(ctx, True)}: {joint.fit:.2f} play{f' - {film:.2f} film' if film else ''} - {size:.2f} x "
                f"{share:.5f} = {left:.3f} mm; needed {need.value:g}"
            )
            x0, _, x1, _ = part.outline.bounds
            x = x0 if joint.side == "low" else x1
            place = (spot(part, (x, joint.start), (x, joint.end)),)
            title = f"Tab of {part.label} in its mortise when damp: {what}"
            remedies = (ctx.remedy("joint.mortise_fit", rating.short, "Cut the mortises larger"),)
            like = (what, part.stock, round(left, 5))
            yield _made(
                f"{joint.id}/{what}", (part.id, wall.id), rating, title, because, place, remedies, like
            )


def _pulled(ctx: Context) -> Iterator[Draft]:
    """Solid wood glued to two walls by tabs a way apart across its grain: drying pulls it apart."""
    need, creep = ctx.need("season_pull"), load("lasting", ctx.cabinet.tables).value
    for part, tabs in _glued(ctx):
        wood, wall = ctx.material(part), ctx.cabinet.by_id[tabs[0].wall]
        share = -(in_plane(ctx, part, (0.0, 1.0)).dry - in_plane(ctx, wall, (1.0, 0.0)).dry)
        bears = wood.tension_across / (wood.stiffness_across * 1000) * creep
        rating = rated(bears, need.value * share, need.tight * share, "share", need)
        rating = rating._replace(measured=share, needed=bears / need.value, source=wood.source_of("movement"))
        first, last = min(t.start for t in tabs), max(t.end for t in tabs)
        because = (
            f"{_moisture(ctx, False)}: shrinks by {share:.4f} between tabs {last - first:.0f} mm apart; bears "
            f"{wood.tension_across:g} MPa / {wood.stiffness_across * 1000:.0f} x {creep:g}, as it creeps, = {bears:.4f}"
        )
        x0, _, _, _ = part.outline.bounds
        place = (spot(part, (x0, first), (x0, last)),)
        title = f"{part.label} glued across its grain"
        remedies = (Remedy(stock_choice(part), None, "Take plywood, or a wood that moves less"),)
        yield _made(f"{part.id}/pulled", (part.id, wall.id), rating, title, because, place, remedies)


def _glued(ctx: Context) -> Iterator[tuple[Part, list[TabJoint]]]:
    """Solid parts with more than one glued tab in the same wall, along a direction that is across their grain."""
    for part in ctx.cabinet.parts:
        if ctx.material(part).kind != "solid" or abs(part.grain[1]) > 0.9 * math.hypot(*part.grain):
            continue
        tabs = [t for t in ctx.cabinet.tab_joints if t.part == part.id and t.glued and t.side == "low"]
        if len(tabs) > 1:
            yield part, tabs


def _header(ctx: Context) -> Iterator[Draft]:
    """The header between the walls, which its screws do not hold apart."""
    part, points = ctx.cabinet.by_id.get("header"), ctx.cabinet.marks.points
    if part is None or not {"lane", "far"} <= points.keys():
        return
    lane = abs(points["far"][1] - points["lane"][1])
    x0, y0, x1, _ = part.outline.bounds
    share, need = in_plane(ctx, part, (1.0, 0.0)).damp - _lane(ctx).damp, ctx.need("season_header")
    film = 2 * ctx.cabinet.shop.film * 2
    left = lane - (x1 - x0) - film - (x1 - x0) * share
    rating = rated(left, need.value, need.tight, "mm", need)
    rating = rating._replace(source=ctx.material(part).source_of("movement"))
    because = (
        f"{_moisture(ctx, True)}: {lane:.2f} - {x1 - x0:.2f} - {film:.2f} film - {(x1 - x0) * share:.3f} of swelling = "
        f"{left:.3f} mm; needed {need.value:g}"
    )
    place = (spot(part, (x0, y0), (x1, y0)),)
    remedies = (ctx.remedy("joint.side_gap", rating.short / 2, "Give cross parts more room at the sides"),)
    yield _made("header", (part.id,), rating, "Header between the walls when damp", because, place, remedies)


def _lifter(ctx: Context) -> Iterator[Draft]:
    """The lifter grows from its pin outwards into the room it turns in."""
    if "lifter" not in ctx.cabinet.by_id:
        return
    swing, need = swing_of(ctx), ctx.need("season_swing")
    gap, _, part, ends = nearest_wood(swing)
    # across the grain a point moves by its distance from the line along the grain through the pin
    away = shapely.get_coordinates(swing.rest) - np.array(swing.pin)
    gx, gz = swing.part.grain
    off = np.abs(away @ np.array((-gz, gx))) / math.hypot(gx, gz)
    wood = ctx.material(swing.part)
    reach = off if wood.kind == "solid" else np.hypot(away[:, 0], away[:, 1])
    grown = float(reach.max()) * year(ctx, wood, 1.0).damp
    rating = rated(gap - grown, need.value, need.tight, "mm", need)
    rating = rating._replace(source=ctx.material(swing.part).source_of("movement"))
    because = (
        f"{_moisture(ctx, True)}: {gap:.2f} room - {grown:.3f} of swelling away from the pin = {gap - grown:.3f} mm; "
        f"needed {need.value:g}"
    )
    place = (Place(swing.leg.frame, "line", ends),)
    change = rating.short if gap > SAME else 0.0
    remedies = (ctx.remedy("lifter.play", change, "Give the lifter more play"),)
    yield _made("lifter", ("lifter", part), rating, "Lifter in its room when damp", because, place, remedies)

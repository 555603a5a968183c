"""Clearances at the dry and the damp end of the year where the cabinet will stand.

Sizes are taken as measured at the region's average moisture. Wood moves across its grain, hardly along it; sheets move
little in their plane and most in thickness. What is glued across the grain cannot follow and is pulled.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, Part, TabJoint
from desk.checks.context import Context, along_axis, differing, lines_up, span, spot
from desk.checks.finding import Place, Remedy
from desk.checks.legs import balls_of, floor_place, rated
from desk.checks.lifting import Swing, nearest_wood, room_beside, swing_of
from desk.checks.mechanics import lock_width
from desk.checks.moving import Year, in_plane, lane_of, made, moisture, through, year
from desk.checks.registry import CannotEvaluate, Draft, check, worse
from desk.checks.strength import FAMILY, stock_choice, through_sheet
from desk.checks.tabs import beside, entry
from desk.shapes.loop import SAME
from desk.shop.loads import load
from desk.shop.materials import material

PIN = "beech"
"""What dowels and pins are turned from."""


@check(51, "season", FAMILY, "Clearances over the seasons")
def season(ctx: Context) -> Iterator[Draft]:
    """Stack in the lane, ball in the channel, tabs in mortises, parts between the walls, the lifter and its pin, and
    wood glued across its grain: each against the need that it has to meet the year round.
    """
    if not ctx.cabinet.parts:
        raise CannotEvaluate("there is no part that could move")
    yield from _stacks(ctx)
    yield from _channel(ctx)
    yield from _tabs(ctx)
    yield from _pulled(ctx)
    yield from _between(ctx)
    yield from _lifter(ctx)
    yield from _pin(ctx)


def _stacks(ctx: Context) -> Iterator[Draft]:
    """A stack of layers between two walls: squeezed when damp, loose when dry."""
    for joint in ctx.of_kind("rod"):
        parts = [ctx.part(m) for m in joint.members]
        if len(parts) >= 3 and all(lines_up(p, joint) for p in parts):
            yield from _stack(ctx, joint, parts)


class _Stack(NamedTuple):
    """A stack between two walls: its layers, mm of space and of wood, and what it gains or lacks."""

    joint: AxisJoint
    layers: list[Part]
    space: float
    thick: float
    differs: float
    place: Place

    @property
    def spare(self) -> float:
        """Room left, mm."""
        return self.space - self.thick

    @property
    def like(self) -> tuple[object, ...]:
        """What is the same of stacks that are told together."""
        return "stack", len(self.layers), round(self.spare, 6)


def _stack(ctx: Context, joint: AxisJoint, parts: list[Part]) -> Iterator[Draft]:
    layers = parts[1:-1]
    low, high = span(parts[0], joint)[1], span(parts[-1], joint)[0]
    space = high - low - 2 * ctx.film_in_joints * (len(layers) + 1)
    thick, differs = sum(p.thickness for p in layers), sum(ctx.spread(p) for p in layers)
    stack = _Stack(joint, layers, space, thick, differs, along_axis(joint, high, low))
    yield _swollen(ctx, stack)
    yield _shrunk(ctx, stack)


def _swollen(ctx: Context, stack: _Stack) -> Draft:
    """Squeezed when damp: the walls bow, and the wood is crushed in the end."""
    layers, wood = stack.layers, ctx.material(stack.layers[0])
    grown = sum(p.thickness * through(ctx, p).damp for p in layers) - stack.space * lane_of(ctx).damp
    stiff = through_sheet(ctx, wood)
    crush = wood.compression_across / stiff * stack.thick
    need, push = ctx.need("season_squeeze"), ctx.need("season_push")
    left = stack.spare - grown - stack.differs
    tight = crush * (1 / need.value - 1 / (need.value + need.tight))
    crushed = rated(left, -crush / need.value, tight, "mm", need)
    rating = worse(crushed, rated(left, -push.value, push.tight, "mm", push))
    rating = rating._replace(source=wood.source_of("move_thick"))
    because = (
        f"{moisture(ctx, True)}: {stack.space:.2f} - {stack.thick:.2f} = {stack.spare:.2f} mm to spare - "
        f"{grown:.2f} of swelling{differing(stack.differs)} = {left:.2f} mm. Walls bow by half of what is lacking, "
        f"{push.value:g} mm at most; crushed by {wood.compression_across:g} MPa / {stiff:.0f} x {stack.thick:.1f} = "
        f"{crush:.2f} mm"
    )
    title = f"Stack of {len(layers)} at the damp end of the year"
    remedies = (ctx.remedy("lane.width", rating.short, "Make the lane wider"),)
    names, like = (layers[0].id, layers[-1].id), (*stack.like, "damp")
    return made(f"{stack.joint.id}/damp", names, rating, title, because, (stack.place,), remedies, like)


def _shrunk(ctx: Context, stack: _Stack) -> Draft:
    """Loose when dry."""
    layers, gap = stack.layers, ctx.need("season_gap")
    shrunk = -sum(p.thickness * through(ctx, p).dry for p in layers) + stack.space * lane_of(ctx).dry
    loose = stack.spare + shrunk + stack.differs
    rating = rated(gap.value - loose, 0.0, gap.tight, "mm", gap)
    source = ctx.material(layers[0]).source_of("move_thick")
    rating = rating._replace(measured=loose, needed=gap.value, source=source)
    more = f" + {stack.differs:.2f} as its readings differ" if stack.differs else ""
    because = (
        f"{moisture(ctx, False)}: {stack.spare:.2f} + {shrunk:.2f} of shrinking{more} = {loose:.2f} mm; at most "
        f"{gap.value:g}"
    )
    title = f"Stack of {len(layers)} at the dry end of the year"
    remedies = (ctx.remedy("lane.width", -rating.short, "Make the lane narrower"),)
    names, like = (layers[0].id, layers[-1].id), (*stack.like, "dry")
    return made(f"{stack.joint.id}/dry", names, rating, title, because, (stack.place,), remedies, like)


def _channel(ctx: Context) -> Iterator[Draft]:
    """The channel is as wide as its spacers are thick: a ball must pass when dry, and two must not lock when damp."""
    leg, balls = ctx.cabinet.leg_by_id.get("channel"), ctx.cabinet.balls
    layers = [p for p in ctx.cabinet.parts if p.id.startswith("spacer-lower")]
    if leg is None or leg.depth is None or not layers:
        return
    moves = [(p.thickness, through(ctx, p)) for p in layers]
    dry = leg.depth + sum(t * m.dry for t, m in moves)
    damp = leg.depth + sum(t * m.damp for t, m in moves)
    need, names = ctx.need("channel_side"), tuple(p.id for p in layers)
    source = ctx.material(layers[0]).source_of("move_thick")
    differs = sum(ctx.spread(p) for p in layers)
    less = differing(differs)
    rating = rated(dry - balls.largest - differs, need.value, need.tight, "mm", need)._replace(source=source)
    because = (
        f"{moisture(ctx, False)}: {leg.depth:.2f} - {leg.depth - dry:.2f} of shrinking{less} - "
        f"{balls.largest:.2f} ball = {rating.measured:.2f} mm; needed {need.value:.2f}"
    )
    layered = (ctx.remedy("return.layers", 0.0, "Use another number of spacer layers"),)
    title = "Ball in the channel at the dry end of the year"
    yield made("channel/dry", names, rating, title, because, floor_place(leg), layered)
    friction = balls_of(ctx).friction[1]
    lock, tight = lock_width(balls.smallest, friction), ctx.need("channel_lock")
    abreast = rated(lock - damp - differs, tight.value, tight.tight, "mm", tight)
    because = (
        f"{moisture(ctx, True)}: 2 x {balls.smallest:.2f} / (1 + {friction:.2f}^2) - {leg.depth:.2f} - "
        f"{damp - leg.depth:.2f} of swelling{less} = {abreast.measured:.2f} mm; needed {tight.value:.2f}"
    )
    title = "Two balls abreast at the damp end of the year"
    yield made("channel/damp", names, abreast, title, because, floor_place(leg), layered)


def _tabs(ctx: Context) -> Iterator[Draft]:
    """Tabs go into their mortises when it is damp, in thickness and in length, and are not loose when it is dry."""
    for joint in ctx.cabinet.tab_joints:
        part, wall = ctx.cabinet.by_id[joint.part], ctx.cabinet.by_id[joint.wall]
        along = tuple(wall.frame.local(part.frame.world(0.0, y))[:2] for y in (0.0, 1.0))
        way = (along[1][0] - along[0][0], along[1][1] - along[0][1])
        thick, square = through(ctx, part), in_plane(ctx, wall, (-way[1], way[0]))
        yield _tab(ctx, joint, "thickness", part.thickness, thick.damp - square.damp, damp=True)
        yield _tab(ctx, joint, "thickness", part.thickness, thick.dry - square.dry, damp=False)
        if not any(joint.over_run):  # a rebate leaves its ends open
            share = in_plane(ctx, part, (0.0, 1.0)).damp - in_plane(ctx, wall, way).damp
            yield _tab(ctx, joint, "length", joint.end - joint.start, share, damp=True)


def _tab(ctx: Context, joint: TabJoint, what: str, size: float, share: float, *, damp: bool) -> Draft:
    """Play of a tab at one end of the year."""
    part, film = ctx.cabinet.by_id[joint.part], 4 * ctx.film_in_joints
    need = ctx.need("tab_play_low" if damp else "tab_play_high")
    differs = ctx.spread(part) if what == "thickness" else 0.0
    left = joint.fit - film - size * share - (differs if damp else -differs)
    if damp:
        rating = rated(left, need.value, need.tight, "mm", need)
    else:
        rating = rated(need.value - left, 0.0, need.tight, "mm", need)
        rating = rating._replace(measured=left, needed=need.value)
    rating = rating._replace(source=ctx.material(part).source_of("movement"))
    sign, limit = ("-", "needed") if damp else ("+", "at most")
    because = (
        f"{moisture(ctx, damp)}: {joint.fit:.2f} play{f' - {film:.2f} film' if film else ''} - {size:.2f} x "
        f"{share:.5f}{f' {sign} {differs:.2f} as its readings differ' if differs else ''} = {left:.3f} mm; "
        f"{limit} {need.value:g}"
    )
    x0, _, x1, _ = part.outline.bounds
    x = x0 if joint.side == "low" else x1
    place = (spot(part, (x, joint.start), (x, joint.end)),)
    title = f"Tab of {part.label} in its mortise when {'damp' if damp else 'dry'}: {what}"
    text = "Cut the mortises larger" if damp else "Cut the mortises closer to the tabs"
    remedies = (ctx.remedy("joint.mortise_fit", rating.short if damp else -rating.short, text),)
    key = f"{joint.id}/{what}" if damp else f"{joint.id}/dry"
    like = (what, damp, part.stock, round(left, 5))
    return made(key, (part.id, joint.wall), rating, title, because, place, remedies, like)


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
            f"{moisture(ctx, False)}: shrinks by {share:.4f} between tabs {last - first:.0f} mm apart; bears "
            f"{wood.tension_across:g} MPa / {wood.stiffness_across * 1000:.0f} x {creep:g}, as it creeps, = {bears:.4f}"
        )
        x0, _, _, _ = part.outline.bounds
        place = (spot(part, (x0, first), (x0, last)),)
        title = f"{part.label} glued across its grain"
        remedies = (Remedy(stock_choice(part), None, "Take plywood, or a wood that moves less"),)
        yield made(f"{part.id}/pulled", (part.id, wall.id), rating, title, because, place, remedies)


def _glued(ctx: Context) -> Iterator[tuple[Part, list[TabJoint]]]:
    """Solid parts with more than one glued tab in the same wall, along a direction that is across their grain."""
    for part in ctx.cabinet.parts:
        if ctx.material(part).kind != "solid" or abs(part.grain[1]) > 0.9 * math.hypot(*part.grain):
            continue
        tabs = [t for t in ctx.cabinet.tab_joints if t.part == part.id and t.glued and t.side == "low"]
        if len(tabs) > 1:
            yield part, tabs


def _between(ctx: Context) -> Iterator[Draft]:
    """Parts across the lane: they must not push the walls apart when damp, nor stand far off them when dry."""
    walls = lane_of(ctx)
    for part, gap, lane in _across(ctx):
        for damp in (True, False):
            yield _beside_walls(ctx, part, (gap, lane), walls, damp)


def _beside_walls(ctx: Context, part: Part, sizes: tuple[float, float], walls: Year, damp: bool) -> Draft:
    """Gap at both sides of a part together, in the lane's width, at one end of the year."""
    gap, lane = sizes
    move, width = in_plane(ctx, part, (1.0, 0.0)), lane - gap
    film = 2 * ctx.cabinet.shop.film * 2
    grows = width * (move.damp - walls.damp if damp else move.dry - walls.dry)
    left = gap - film - grows
    need = ctx.need("season_header" if damp else "shoulder_gap")
    if damp:
        rating, limit = rated(left, need.value, need.tight, "mm", need), f"needed {need.value:g}"
        remedy = ctx.remedy("joint.side_gap", rating.short / 2, "Give cross parts more room at the sides")
    else:
        rating, limit = (
            rated(2 * need.value - left, 0.0, 2 * need.tight, "mm", need),
            f"at most 2 x {need.value:g}",
        )
        rating = rating._replace(measured=left, needed=2 * need.value)
        remedy = ctx.remedy("joint.side_gap", -rating.short / 2, "Make cross parts reach nearer to the walls")
    rating = rating._replace(source=ctx.material(part).source_of("movement"))
    moved = f"- {grows:.3f} of swelling" if damp else f"+ {-grows:.3f} of shrinking"
    because = (
        f"{moisture(ctx, damp)}: {lane:.2f} - {width:.2f} - {film:.2f} film {moved} = {left:.3f} mm; {limit}"
    )
    x0, y0, x1, _ = part.outline.bounds
    place = (spot(part, (x0, y0), (x1, y0)),)
    when = "damp" if damp else "dry"
    title, key = f"{part.label} between the walls when {when}", part.id if damp else f"{part.id}/dry"
    return made(key, (part.id,), rating, title, because, place, (remedy,), (when, part.stock, round(left, 4)))


def _across(ctx: Context) -> Iterator[tuple[Part, float, float]]:
    """Parts across the lane with the gap at both their sides together and the width of the lane, mm."""
    points, by_id = ctx.cabinet.marks.points, ctx.cabinet.by_id
    if not {"lane", "far"} <= points.keys():
        return
    lane = abs(points["far"][1] - points["lane"][1])
    if header := by_id.get("header"):
        x0, _, x1, _ = header.outline.bounds
        yield header, lane - (x1 - x0), lane
    for part in ctx.cabinet.parts:
        gaps: dict[str, float] = {}
        for tab in (t for t in ctx.cabinet.tab_joints if t.part == part.id):
            gap = beside(tab, part, entry(tab, part, by_id[tab.wall]))
            if gap is not None:
                gaps[tab.side] = gap
        if len(gaps) == 2:
            yield part, sum(gaps.values()), lane


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
        f"{moisture(ctx, True)}: {gap:.2f} room - {grown:.3f} of swelling away from the pin = {gap - grown:.3f} mm; "
        f"needed {need.value:g}"
    )
    place = (Place(swing.leg.frame, "line", ends),)
    change = rating.short if gap > SAME else 0.0
    remedies = (ctx.remedy("lifter.play", change, "Give the lifter more play"),)
    yield made("lifter", ("lifter", part), rating, "Lifter in its room when damp", because, place, remedies)
    yield _lifter_beside(ctx, swing)


def _lifter_beside(ctx: Context, swing: Swing) -> Draft:
    """The lifter across the channel, whose width is the thickness of its spacers, at the worse end of the year."""
    part, need = swing.part, ctx.need("lifter_side")
    spacers = [p for p in ctx.cabinet.parts if p.id.startswith("spacer-lower")]
    room, own = room_beside(ctx, swing), through(ctx, part)
    moves = [(p.thickness, through(ctx, p)) for p in spacers]
    ends = {
        damp: sum(t * (m.damp if damp else m.dry) for t, m in moves)
        - part.thickness * (own.damp if damp else own.dry)
        for damp in (True, False)
    }
    damp = ends[True] <= ends[False]
    rating = rated(room + ends[damp], need.value, need.tight, "mm", need)
    rating = rating._replace(source=ctx.material(part).source_of("move_thick"))
    because = (
        f"{moisture(ctx, damp)}: {room:.2f} room {'-' if ends[damp] < 0 else '+'} {abs(ends[damp]):.3f} of moving = "
        f"{rating.measured:.3f} mm; needed {need.value:g}"
    )
    whole = shapely.get_coordinates(shapely.get_exterior_ring(shapely.get_parts(swing.rest)[0]))[:-1]
    place = (Place(swing.leg.frame, "area", tuple((float(x), float(z)) for x, z in whole)),)
    remedies = (Remedy("stock.lifter", None, "Take thinner stock for the lifter"),)
    title = f"Lifter beside the walls when {'damp' if damp else 'dry'}"
    return made("lifter/beside", ("lifter",), rating, title, because, place, remedies)


def _pin(ctx: Context) -> Iterator[Draft]:
    """A pin that a part turns on: it swells when damp, and the part's hole closes across the grain when dry."""
    need, wood = ctx.need("pin_play_low"), material(PIN, ctx.cabinet.tables)
    for joint in ctx.of_kind("pin"):
        for member in joint.members[1:-1]:
            part, pin = ctx.part(member), year(ctx, wood, 1.0)
            hole = in_plane(ctx, part, (-part.grain[1], part.grain[0]))
            closes = {True: joint.diameter * pin.damp, False: -member.diameter * hole.dry}
            damp = closes[True] >= closes[False]
            play = member.diameter - 2 * ctx.film_in_joints - joint.diameter
            left = play - closes[damp]
            rating = rated(left, need.value, need.tight, "mm", need)._replace(
                source=wood.source_of("movement")
            )
            what = "by which the pin swells" if damp else "by which the hole closes"
            because = (
                f"{moisture(ctx, damp)}: {play:.2f} play - {closes[damp]:.3f}, {what}, = {left:.3f} mm; "
                f"needed {need.value:g}"
            )
            place = (along_axis(joint, joint.length),)
            remedies = (ctx.remedy("lifter.play", rating.short, "Give the lifter more play"),)
            title = f"Pin in {part.label} when {'damp' if damp else 'dry'}"
            yield made(f"{joint.id}/{part.id}", (part.id,), rating, title, because, place, remedies)

"""The lifter through its whole swing: it lifts the ball over the lip, goes clear of wood and table, and falls back.

Everything is read on the channel's figure, which is as cut and as finished, turned about the pin; weights are those of
the part as cut.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, Leg, Part
from desk.checks.context import Context
from desk.checks.finding import Place, Remedy
from desk.checks.legs import FAMILY, said, solid
from desk.checks.mass import joint_weight, part_weight, together
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check, rate
from desk.shapes.loop import Point
from desk.shop.loads import load
from desk.shop.supplies import hands

POSITIONS = 7
"""The swing is looked at in so many positions, from rest to lifted."""
HEAD = 3.0
"""What lies no more than this below the lifter's highest point belongs to its pad, mm."""
LOOK = 60.0
"""What is farther off than this has nothing to do with the lifter, mm."""
ON_ARC = 0.3
"""What is no nearer to the pin than the farthest point less this belongs to the head's rear face, mm."""


class Swing(NamedTuple):
    """The lifter in the channel's plane: pin, travel in degrees, its figure at rest, the channel's leg."""

    part: Part
    pin: Point
    travel: float
    rest: shapely.Geometry
    leg: Leg

    def turned(self, point: Point, share: float = 1.0) -> Point:
        """Where a point of the lifter at rest is after this share of the travel."""
        a = math.radians(self.travel * share)
        x, z = point[0] - self.pin[0], point[1] - self.pin[1]
        return (
            self.pin[0] + x * math.cos(a) - z * math.sin(a),
            self.pin[1] + x * math.sin(a) + z * math.cos(a),
        )


@lru_cache(maxsize=64)
def _positions(rest: shapely.Geometry, pin: Point, travel: float) -> tuple[shapely.Geometry, ...]:
    """The figure in every position of the swing, from rest on."""
    angles = (travel * k / (POSITIONS - 1) for k in range(POSITIONS))
    return tuple(shapely.affinity.rotate(rest, angle, origin=pin) for angle in angles)


def swing_of(ctx: Context) -> Swing:
    """The cabinet's lifter. Raises CannotEvaluate where it has none in the channel."""
    cabinet = ctx.cabinet
    part, leg = cabinet.by_id.get("lifter"), cabinet.leg_by_id.get("channel")
    rest = shapely.Polygon() if leg is None else solid(leg, "lifter")
    if part is None or leg is None or rest.is_empty:
        raise CannotEvaluate("the lifter is not in the section of the channel", ("lifter",))
    x, _, z = cabinet.marks.points["pin"]
    return Swing(part, (x, z), cabinet.marks.lengths["lifter travel"], rest, leg)


@check(16, "lifter", FAMILY, "Lifter")
def lifter(ctx: Context) -> Iterator[Draft]:
    """Lift over the lip, room below and beside over the whole swing, the handle outside, the fall back to rest."""
    swing = swing_of(ctx)
    handle = next((j for j in ctx.of_kind("rod") if [m.part for m in j.members] == ["lifter"]), None)
    if handle is None:
        raise CannotEvaluate("the lifter has no handle", ("lifter",))
    yield _lift(ctx, swing)
    yield _table(ctx, swing, handle)
    yield _room(ctx, swing)
    yield from _handle(ctx, swing, handle)
    yield _held_back(ctx, swing)
    yield _falls_back(ctx, swing, handle)


def _corners(shape: shapely.Geometry) -> list[Point]:
    return [(x, z) for x, z in shapely.get_coordinates(shape).tolist()]


def _draft(key: str, swing: Swing, rating: Rating, told: Told, *others: str) -> Draft:
    return Draft(key, (swing.part.id, *others), rating, partial(said, told))


@lru_cache(maxsize=64)
def _ends(rest: shapely.Geometry, pin: Point) -> tuple[Point, Point]:
    """Of the lifter at rest the front corner of the pad and the lower end of the head's rear face, its heel."""
    corners, high = _corners(rest), rest.bounds[3]
    far = max(math.dist(c, pin) for c in corners)
    heel = min((c for c in corners if math.dist(c, pin) > far - ON_ARC), key=lambda c: c[1])
    return min(c for c in corners if c[1] > high - HEAD), heel


def _lift(ctx: Context, swing: Swing) -> Draft:
    """Front corner of the raised pad against the top of the lip."""
    x, z = swing.turned(_ends(swing.rest, swing.pin)[0])
    back = ctx.cabinet.marks.points["lip top"][0]
    tops = [c for c in _corners(solid(swing.leg, "lip-block")) if c[0] >= back - HEAD]
    if not tops:
        raise CannotEvaluate("there is no lip for the ball to be lifted over", ("lip-block-1",))
    lip = max(tops, key=lambda c: c[1])
    need = ctx.need("lift_over")
    rating = rate(need, z - lip[1])
    because = (
        f"front of the pad {z:.2f} after {swing.travel:g} deg - lip {lip[1]:.2f} = {rating.measured:.2f} mm; "
        f"needed {need.value:.2f}"
    )
    per_degree = math.radians(1.0) * max(x - swing.pin[0], 1.0)
    remedies = (
        ctx.remedy("lifter.travel", rating.short / per_degree, "Let the lifter swing farther"),
        ctx.remedy("return.lip_height", -rating.short, "Make the lip lower"),
    )
    place = Place(swing.leg.frame, "line", ((x, z), (x, lip[1])))
    told = Told("Lift over the lip", because, (place, _outline(swing)), remedies)
    return _draft("lift", swing, rating, told, "lip-block-1")


def _outline(swing: Swing) -> Place:
    """The lifter at the end of its swing."""
    return Place(swing.leg.frame, "area", _ring(_positions(swing.rest, swing.pin, swing.travel)[-1]))


@lru_cache(maxsize=64)
def _ring(shape: shapely.Geometry) -> tuple[Point, ...]:
    """The rim of a figure's largest piece."""
    whole = max(shapely.get_parts(shape), key=lambda p: float(p.area))
    return tuple(_corners(shapely.get_exterior_ring(whole))[:-1])


@lru_cache(maxsize=64)
def _lowest(rest: shapely.Geometry, pin: Point, travel: float) -> Point:
    """Lowest point of the figure over the swing."""
    every = shapely.get_coordinates(list(_positions(rest, pin, travel)))
    x, z = every[int(every[:, 1].argmin())].tolist()
    return x, z


def _table(ctx: Context, swing: Swing, handle: AxisJoint) -> Draft:
    """Lowest point over the swing, handle included, against the table."""
    table = min(p.extent[0][2] for p in ctx.cabinet.parts)
    hub = (handle.at[0], handle.at[2])
    low = [_lowest(swing.rest, swing.pin, swing.travel)]
    rods = (swing.turned(hub, k / (POSITIONS - 1)) for k in range(POSITIONS))
    low += [(x, z - handle.diameter / 2) for x, z in rods]
    x, z = min(low, key=lambda c: c[1])
    rating = rate(ctx.need("swing_table"), z - table)
    because = (
        f"lowest point over {swing.travel:g} deg of swing {rating.measured:.2f} mm above the table; "
        f"needed {rating.needed:.2f}"
    )
    lever = max(swing.pin[0] - x, 1.0)
    steeper = math.sin(math.radians(swing.travel))
    remedies = (
        ctx.remedy("lifter.reach", -rating.short / max(steeper, 0.05), "Make the handle stand out less"),
        ctx.remedy("lifter.pin_z", rating.short, "Set the pin higher"),
        ctx.remedy(
            "lifter.travel", -rating.short / math.radians(1.0) / lever, "Let the lifter swing less far"
        ),
    )
    place = Place(swing.leg.frame, "line", ((x, z), (x, table)))
    told = Told("Lifter above the table", because, (place, _outline(swing)), remedies)
    return _draft("table", swing, rating, told)


def _room(ctx: Context, swing: Swing) -> Draft:
    """Least distance to the wood of the channel over the swing."""
    gap, share, part, ends = nearest_wood(swing)
    rating = rate(ctx.need("swing_room"), gap)
    label = ctx.cabinet.by_id[part].label
    because = (
        f"{gap:.2f} mm to {label} after {swing.travel * share:.1f} of {swing.travel:g} deg, film on both; needed "
        f"{rating.needed:.2f}"
    )
    remedies = (ctx.remedy("lifter.play", rating.short, "Give the lifter more play"),)
    told = Told(
        "Room of the lifter over its swing", because, (Place(swing.leg.frame, "line", ends),), remedies
    )
    return _draft("room", swing, rating, told, part)


def nearest_wood(swing: Swing) -> tuple[float, float, str, tuple[Point, Point]]:
    """Least distance to the wood of the channel over the swing: mm, share of the swing, the part, where.

    Raises CannotEvaluate where nothing stands beside the lifter.
    """
    x0, z0, x1, z1 = shapely.total_bounds(list(_positions(swing.rest, swing.pin, swing.travel))).tolist()
    near = (x0 - LOOK, z0 - LOOK, x1 + LOOK, z1 + LOOK)
    clipped = [(s.part, shapely.clip_by_rect(s.shape, *near)) for s in swing.leg.solids if s.part != "lifter"]
    others = tuple((part, shape) for part, shape in clipped if not shape.is_empty)
    if not others:
        raise CannotEvaluate("nothing stands beside the lifter in the channel", ("lifter",))
    return _nearest(swing.rest, swing.pin, swing.travel, others)


@lru_cache(maxsize=64)
def _nearest(
    rest: shapely.Geometry, pin: Point, travel: float, others: tuple[tuple[str, shapely.Geometry], ...]
) -> tuple[float, float, str, tuple[Point, Point]]:
    positions = _positions(rest, pin, travel)
    gaps = shapely.distance(np.array(positions)[:, None], np.array([shape for _, shape in others])[None])
    k, n = np.unravel_index(int(gaps.argmin()), gaps.shape)
    (x0, z0), (x1, z1) = _corners(shapely.shortest_line(positions[k], others[n][1]))
    return float(gaps[k, n]), float(k) / (POSITIONS - 1), others[n][0], ((x0, z0), (x1, z1))


def _handle(ctx: Context, swing: Swing, handle: AxisJoint) -> Iterator[Draft]:
    """The handle keeps clear of the cabinet, stands out of its front, and is broad enough for a finger."""
    frame, hub = swing.leg.frame, (handle.at[0], handle.at[2])
    others = [p for p in ctx.cabinet.parts if p.id != "lifter" and _beside(p, handle)]
    if others:
        rods = shapely.points([swing.turned(hub, k / (POSITIONS - 1)) for k in range(POSITIONS)])
        apart = shapely.distance(np.array([_flat(p) for p in others])[:, None], rods[None])
        n, k = np.unravel_index(int(apart.argmin()), apart.shape)
        film, gap = 2 * ctx.cabinet.shop.film, float(apart[n, k])
        rating = rate(ctx.need("handle_room"), gap - handle.diameter / 2 - film)
        because = (
            f"{gap:.2f} from {others[n].label} to the middle of the handle - {handle.diameter / 2:.2f} - {film:.2f} "
            f"film = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
        )
        (x0, z0), (x1, z1) = _corners(shapely.shortest_line(_flat(others[n]), rods[k]))
        told = Told(
            "Handle beside the cabinet",
            because,
            (Place(frame, "line", ((x0, z0), (x1, z1))),),
            (ctx.remedy("lifter.reach", rating.short, "Make the handle stand out more"),),
        )
        yield _draft("handle", swing, rating, told, others[n].id)
    front = min(p.extent[0][0] for p in ctx.cabinet.parts if p.id != "lifter")
    out = rate(ctx.need("handle_out"), front - swing.rest.bounds[0])
    told = Told(
        "Handle in front of the cabinet",
        f"the lifter stands {out.measured:.2f} mm out of the front; needed {out.needed:.2f}",
        (Place(frame, "line", ((swing.rest.bounds[0], hub[1]), (front, hub[1]))),),
        (ctx.remedy("lifter.reach", out.short, "Make the handle stand out more"),),
    )
    yield _draft("out", swing, out, told)
    yield _finger(ctx, swing, handle)


def _beside(part: Part, handle: AxisJoint) -> bool:
    """Whether a part reaches into the handle's length across the cabinet, and near it fore and aft."""
    low, high = sorted((handle.at[1], handle.at[1] + handle.direction[1] * handle.length))
    (x0, y0, _), (_, y1, _) = part.extent
    return y1 > low and y0 < high and x0 < handle.at[0] + LOOK


@lru_cache(maxsize=128)
def _flat(part: Part) -> shapely.Geometry:
    """A part seen from the side, in x and z; of one that does not stand fore and aft, its box."""
    if part.normal_axis != "y":
        (x0, _, z0), (x1, _, z1) = part.extent
        return shapely.box(x0, z0, x1, z1)
    ox, _, oz = part.frame.origin
    u, v = part.frame.u, part.frame.v
    return shapely.transform(
        part.outline.polygon, lambda c: np.column_stack((ox + c @ (u[0], v[0]), oz + c @ (u[2], v[2])))
    )


def _finger(ctx: Context, swing: Swing, handle: AxisJoint) -> Draft:
    """Length of the handle against the breadth of a finger."""
    finger = hands(ctx.cabinet.tables)["finger-breadth"]
    need = ctx.need("handle_finger")
    rating = rate(need, handle.length - finger.value)._replace(
        measured=handle.length, needed=finger.value + need.value, source=finger.source
    )
    because = (
        f"{handle.length:.2f} mm long; needed {finger.value:.2f}, {finger.label[0].lower()}{finger.label[1:]}"
    )
    x, z = handle.at[0], handle.at[2]
    told = Told(
        "Handle under a finger",
        because,
        (Place(swing.leg.frame, "point", ((x, z),)),),
        (ctx.remedy("lifter.handle_length", rating.short, "Make the handle longer"),),
    )
    return _draft("finger", swing, rating, told)


def _held_back(ctx: Context, swing: Swing) -> Draft:
    """The raised lifter still closes the floor: no ball of the queue rolls under it."""
    floor = ctx.cabinet.marks.points["slot"]
    x, z = swing.turned(_ends(swing.rest, swing.pin)[1])
    rating = rate(ctx.need("heel_below"), floor[2] - z)
    because = (
        f"floor of the channel {floor[2]:.2f} - heel of the raised lifter {z:.2f} = {rating.measured:.2f} mm; needed "
        f"{rating.needed:.2f}"
    )
    remedies: tuple[Remedy, ...] = (
        ctx.remedy("lifter.travel", 0.0, "Let the lifter swing less far"),
        ctx.remedy("lifter.pin_z", -rating.short, "Set the pin lower"),
    )
    place = Place(swing.leg.frame, "line", ((x, z), (floor[0], floor[2])))
    told = Told("Queue held back by the raised lifter", because, (place,), remedies)
    return _draft("heel", swing, rating, told, "spacer-lower-1")


def _falls_back(ctx: Context, swing: Swing, handle: AxisJoint) -> Draft:
    """The middle of the raised lifter's weight lies so far behind the pin that friction there does not hold it."""
    whole = together((part_weight(ctx, swing.part), joint_weight(ctx, handle)))
    x, z = swing.turned((whole.middle[0], whole.middle[2]))
    friction = load("pin_friction", ctx.cabinet.tables).value
    pin = next((j.diameter / 2 for j in ctx.of_kind("pin") if "lifter" in (m.part for m in j.members)), None)
    if pin is None:
        raise CannotEvaluate("the lifter has no pin", ("lifter",))
    need = ctx.need("falls_back")
    rating = rate(need, x - swing.pin[0], scale=friction * pin, unit="mm")
    because = (
        f"middle of {whole.size * 1000:.1f} g lies {x - swing.pin[0]:.2f} mm behind the pin when lifted; needed "
        f"{need.value:g} x {friction:g} x {pin:.2f}, what friction on the pin holds"
    )
    remedies = (
        ctx.remedy("lifter.reach", 0.0, "Make the handle stand out less"),
        ctx.remedy("lifter.handle_length", 0.0, "Make the handle shorter"),
    )
    place = Place(swing.leg.frame, "line", (swing.pin, (x, z)))
    return _draft("back", swing, rating, Told("Lifter falls back by itself", because, (place,), remedies))

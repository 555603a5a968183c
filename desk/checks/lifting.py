"""The lifter through its whole swing: it lifts the ball over the lip, goes clear of wood and table, and falls back.

Everything is read on the channel's figure, which is as cut and as finished, turned about the pin; weights are those of
the part as cut.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, Leg, Part
from desk.checks.context import Context, differing, from_the_side
from desk.checks.finding import Place, Remedy
from desk.checks.legs import FAMILY, solid
from desk.checks.mass import joint_weight, part_weight, together
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check, rate
from desk.shapes.loop import SAME, Point
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
    """The lifter in the channel's plane: pin, travel in degrees, the channel's leg, the figure at rest and in every
    position, of that at rest the front corner of the pad and the lower end of the head's rear face (the heel), and the
    lowest point over the swing.
    """

    part: Part
    pin: Point
    travel: float
    leg: Leg
    rest: shapely.Geometry
    positions: tuple[shapely.Geometry, ...]
    front: Point
    heel: Point
    lowest: Point

    def turned(self, point: Point, share: float = 1.0) -> Point:
        """Where a point of the lifter at rest is after this share of the travel."""
        a = math.radians(self.travel * share)
        x, z = point[0] - self.pin[0], point[1] - self.pin[1]
        return (
            self.pin[0] + x * math.cos(a) - z * math.sin(a),
            self.pin[1] + x * math.sin(a) + z * math.cos(a),
        )


def swing_of(ctx: Context) -> Swing:
    """The cabinet's lifter. Raises CannotEvaluate where it has none in the channel."""
    cabinet = ctx.cabinet
    part, leg = cabinet.by_id.get("lifter"), cabinet.leg_by_id.get("channel")
    if part is None or leg is None:
        raise CannotEvaluate("the cabinet has no lifter, or no channel for it", ("lifter",))
    x, _, z = cabinet.marks.points["pin"]
    return _swing(part, leg, (x, z), cabinet.marks.lengths["lifter travel"])


@lru_cache(maxsize=32)
def _swing(part: Part, leg: Leg, pin: Point, travel: float) -> Swing:
    rest = solid(leg, "lifter")
    if rest.is_empty:
        raise CannotEvaluate("the lifter is not in the section of the channel", ("lifter",))
    return Swing(part, pin, travel, leg, rest, *_figures(rest, pin, travel))


@lru_cache(maxsize=32)
def _figures(
    rest: shapely.Geometry, pin: Point, travel: float
) -> tuple[tuple[shapely.Geometry, ...], Point, Point, Point]:
    """Of a figure at rest: its positions, front corner, heel, and lowest point over the swing."""
    angles = (travel * k / (POSITIONS - 1) for k in range(POSITIONS))
    positions = tuple(shapely.affinity.rotate(rest, angle, origin=pin) for angle in angles)
    corners, high = _corners(rest), rest.bounds[3]
    far = max(math.dist(c, pin) for c in corners)
    heel = min((c for c in corners if math.dist(c, pin) > far - ON_ARC), key=lambda c: c[1])
    every = [c for shape in positions for c in _corners(shape)]
    return positions, min(c for c in corners if c[1] > high - HEAD), heel, min(every, key=lambda c: c[1])


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
    yield _sideways(ctx, swing)
    yield from _handle(ctx, swing, handle)
    yield _held_back(ctx, swing)
    yield _falls_back(ctx, swing, handle)


def _corners(shape: shapely.Geometry) -> list[Point]:
    return [(x, z) for x, z in shapely.get_coordinates(shape).tolist()]


def _draft(key: str, swing: Swing, rating: Rating, tell: Callable[[], Told], *others: str) -> Draft:
    return Draft(key, (swing.part.id, *others), rating, tell)


def _lift(ctx: Context, swing: Swing) -> Draft:
    """Front corner of the raised pad against the top of the lip."""
    x, z = swing.turned(swing.front)
    lip = _lip(swing.leg, ctx.cabinet.marks.points["lip top"][0])
    rating = rate(ctx.need("lift_over"), z - lip)

    def tell() -> Told:
        because = (
            f"front of the pad {z:.2f} after {swing.travel:g} deg - lip {lip:.2f} = {rating.measured:.2f} mm; "
            f"needed {rating.needed:.2f}"
        )
        more = _farther(swing, lip + ctx.need("lift_over").clear)
        farther = () if more is None else (ctx.remedy("lifter.travel", more, "Let the lifter swing farther"),)
        remedies = (*farther, ctx.remedy("return.lip_height", -rating.short, "Make the lip lower"))
        place = Place(swing.leg.frame, "line", ((x, z), (x, lip)))
        return Told("Lift over the lip", because, (place, _outline(swing)), remedies)

    return _draft("lift", swing, rating, tell, "lip-block-1")


def _farther(swing: Swing, height: float) -> float | None:
    """Degrees more of swing that bring the front of the pad to a height; None where none within a quarter turn do."""
    degrees = np.arange(0.0, 90.0 - swing.travel, 0.1)
    found = (d for d in degrees.tolist() if swing.turned(swing.front, 1 + d / swing.travel)[1] >= height)
    return next(found, None)


@lru_cache(maxsize=32)
def _lip(leg: Leg, back: float) -> float:
    """Height of the lip's top. Raises CannotEvaluate where there is none."""
    tops = [z for x, z in _corners(solid(leg, "lip-block")) if x >= back - HEAD]
    if not tops:
        raise CannotEvaluate("there is no lip for the ball to be lifted over", ("lip-block-1",))
    return max(tops)


def _outline(swing: Swing) -> Place:
    """The lifter at the end of its swing."""
    whole = max(shapely.get_parts(swing.positions[-1]), key=lambda p: float(p.area))
    return Place(swing.leg.frame, "area", tuple(_corners(shapely.get_exterior_ring(whole))[:-1]))


def room_beside(ctx: Context, swing: Swing) -> float:
    """Room of the lifter across the channel, film on both its faces, mm. Raises CannotEvaluate without a width."""
    if swing.leg.depth is None:
        raise CannotEvaluate("the channel has no width for the lifter", ("lifter",))
    return swing.leg.depth - swing.part.thickness - 2 * ctx.cabinet.shop.film


def _sideways(ctx: Context, swing: Swing) -> Draft:
    """The lifter's thickness against the width of the channel, which is that of the slot."""
    differs = ctx.spread(swing.part)
    rating = rate(ctx.need("lifter_side"), room_beside(ctx, swing) - differs)

    def tell() -> Told:
        because = (
            f"channel {swing.leg.depth or 0.0:.2f} wide - lifter {swing.part.thickness:.2f} - 2 x "
            f"{ctx.cabinet.shop.film:.3f} film{differing(differs)} = {rating.measured:.2f} mm; "
            f"needed {rating.needed:.2f}"
        )
        remedies = (
            ctx.remedy(ctx.stock_address(swing.part), -rating.short, "Cut the lifter from thinner stock"),
            Remedy("stock.lifter", None, "Take another stock for the lifter"),
            ctx.remedy("return.layers", 0.0, "Use another number of spacer layers"),
        )
        return Told("Lifter beside the walls of the channel", because, (_outline(swing),), remedies)

    return _draft("beside", swing, rating, tell)


def _table(ctx: Context, swing: Swing, handle: AxisJoint) -> Draft:
    """Lowest point over the swing, handle included, against the table."""
    table = min(p.extent[0][2] for p in ctx.cabinet.parts)
    hub, low = (handle.at[0], handle.at[2]), [swing.lowest]
    for share in (0.0, 1.0):
        x, z = swing.turned(hub, share)
        low.append((x, z - handle.diameter / 2))
    x, z = min(low, key=lambda c: c[1])
    rating = rate(ctx.need("swing_table"), z - table)

    def tell() -> Told:
        because = (
            f"lowest point over {swing.travel:g} deg of swing {rating.measured:.2f} mm above the table; "
            f"needed {rating.needed:.2f}"
        )
        lever, steep = max(swing.pin[0] - x, 1.0), max(math.sin(math.radians(swing.travel)), 0.05)
        less = -rating.short / math.radians(1.0) / lever
        remedies = (
            ctx.remedy("lifter.reach", -rating.short / steep, "Make the handle stand out less"),
            ctx.remedy("lifter.pin_z", rating.short, "Set the pin higher"),
            ctx.remedy("lifter.travel", less, "Let the lifter swing less far"),
        )
        place = Place(swing.leg.frame, "line", ((x, z), (x, table)))
        return Told("Lifter above the table", because, (place, _outline(swing)), remedies)

    return _draft("table", swing, rating, tell)


def _room(ctx: Context, swing: Swing) -> Draft:
    """Least distance to the wood of the channel over the swing."""
    gap, share, part, ends = nearest_wood(swing)
    rating = rate(ctx.need("swing_room"), gap)

    def tell() -> Told:
        because = (
            f"{gap:.2f} mm to {ctx.cabinet.by_id[part].label} after {swing.travel * share:.1f} of {swing.travel:g} "
            f"deg, film on both; needed {rating.needed:.2f}"
        )
        # parts that run into each other do so by more than can be read here
        change = rating.short if gap > SAME else 0.0
        remedies = (ctx.remedy("lifter.play", change, "Give the lifter more play"),)
        place = Place(swing.leg.frame, "line", ends)
        return Told("Room of the lifter over its swing", because, (place,), remedies)

    return _draft("room", swing, rating, tell, part)


def nearest_wood(swing: Swing) -> tuple[float, float, str, tuple[Point, Point]]:
    """Least distance to the wood of the channel over the swing: mm, share of the swing, the part, where.

    Raises CannotEvaluate where nothing stands beside the lifter.
    """
    x0, z0, x1, z1 = shapely.total_bounds(swing.positions).tolist()
    near = (x0 - LOOK, z0 - LOOK, x1 + LOOK, z1 + LOOK)
    clipped = [(s.part, shapely.clip_by_rect(s.shape, *near)) for s in swing.leg.solids if s.part != "lifter"]
    others = tuple((part, shape) for part, shape in clipped if not shape.is_empty)
    if not others:
        raise CannotEvaluate("nothing stands beside the lifter in the channel", ("lifter",))
    return _nearest(swing.positions, others)


@lru_cache(maxsize=32)
def _nearest(
    positions: tuple[shapely.Geometry, ...], others: tuple[tuple[str, shapely.Geometry], ...]
) -> tuple[float, float, str, tuple[Point, Point]]:
    gaps = shapely.distance(np.array(positions)[:, None], np.array([shape for _, shape in others])[None])
    k, n = np.unravel_index(int(gaps.argmin()), gaps.shape)
    (x0, z0), (x1, z1) = _corners(shapely.shortest_line(positions[k], others[n][1]))
    return float(gaps[k, n]), float(k) / (POSITIONS - 1), others[n][0], ((x0, z0), (x1, z1))


def _handle(ctx: Context, swing: Swing, handle: AxisJoint) -> Iterator[Draft]:
    """The handle keeps clear of the cabinet, stands out of its front, and is broad enough for a finger."""
    others = [p for p in ctx.cabinet.parts if p.id != "lifter" and _beside(p, handle)]
    if others:
        yield _clear_of(ctx, swing, handle, others)
    front = min(p.extent[0][0] for p in ctx.cabinet.parts if p.id != "lifter")
    tip = swing.rest.bounds[0]
    rating = rate(ctx.need("handle_out"), front - tip)

    def tell() -> Told:
        because = f"the lifter stands {rating.measured:.2f} mm out of the front; needed {rating.needed:.2f}"
        remedies = (ctx.remedy("lifter.reach", rating.short, "Make the handle stand out more"),)
        place = Place(swing.leg.frame, "line", ((tip, handle.at[2]), (front, handle.at[2])))
        return Told("Handle in front of the cabinet", because, (place,), remedies)

    yield _draft("out", swing, rating, tell)
    yield _finger(ctx, swing, handle)


def _clear_of(ctx: Context, swing: Swing, handle: AxisJoint, others: list[Part]) -> Draft:
    """Least distance of the handle to other parts over the swing."""
    hub = (handle.at[0], handle.at[2])
    rods = shapely.points([swing.turned(hub, k / (POSITIONS - 1)) for k in range(POSITIONS)])
    apart = shapely.distance(np.array([_flat(p) for p in others])[:, None], rods[None])
    n, k = np.unravel_index(int(apart.argmin()), apart.shape)
    film, gap = 2 * ctx.cabinet.shop.film, float(apart[n, k])
    rating = rate(ctx.need("handle_room"), gap - handle.diameter / 2 - film)

    def tell() -> Told:
        because = (
            f"{gap:.2f} from {others[n].label} to the middle of the handle - {handle.diameter / 2:.2f} - {film:.2f} "
            f"film = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
        )
        (x0, z0), (x1, z1) = _corners(shapely.shortest_line(_flat(others[n]), rods[k]))
        # only a handle in front of the wood gets away from it by standing out more
        change = rating.short * gap / (x0 - x1) if x0 - x1 > gap / 2 else 0.0
        remedies = (ctx.remedy("lifter.reach", change, "Make the handle stand out more"),)
        place = Place(swing.leg.frame, "line", ((x0, z0), (x1, z1)))
        return Told("Handle beside the cabinet", because, (place,), remedies)

    return _draft("handle", swing, rating, tell, others[n].id)


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
    return from_the_side(part)


def _finger(ctx: Context, swing: Swing, handle: AxisJoint) -> Draft:
    """Length of the handle against the breadth of a finger."""
    finger = hands(ctx.cabinet.tables)["finger-breadth"]
    need = ctx.need("handle_finger")
    rating = rate(need, handle.length - finger.value)._replace(
        measured=handle.length, needed=finger.value + need.value, source=finger.source
    )

    def tell() -> Told:
        label = finger.label[0].lower() + finger.label[1:]
        because = f"{handle.length:.2f} mm long; needed {finger.value:.2f}, {label}"
        remedies = (ctx.remedy("lifter.handle_length", rating.short, "Make the handle longer"),)
        place = Place(swing.leg.frame, "point", ((handle.at[0], handle.at[2]),))
        return Told("Handle under a finger", because, (place,), remedies)

    return _draft("finger", swing, rating, tell)


def _held_back(ctx: Context, swing: Swing) -> Draft:
    """The raised lifter still closes the floor: no ball of the queue rolls under it."""
    floor = ctx.cabinet.marks.points["slot"]
    x, z = swing.turned(swing.heel)
    rating = rate(ctx.need("heel_below"), floor[2] - z)

    def tell() -> Told:
        because = (
            f"floor of the channel {floor[2]:.2f} - heel of the raised lifter {z:.2f} = {rating.measured:.2f} mm; "
            f"needed {rating.needed:.2f}"
        )
        remedies = (
            ctx.remedy("lifter.travel", 0.0, "Let the lifter swing less far"),
            ctx.remedy("lifter.pin_z", -rating.short, "Set the pin lower"),
        )
        place = Place(swing.leg.frame, "line", ((x, z), (floor[0], floor[2])))
        return Told("Queue held back by the raised lifter", because, (place,), remedies)

    return _draft("heel", swing, rating, tell, "spacer-lower-1")


def _falls_back(ctx: Context, swing: Swing, handle: AxisJoint) -> Draft:
    """The middle of the raised lifter's weight lies so far behind the pin that friction there does not hold it."""
    pin = next((j.diameter / 2 for j in ctx.of_kind("pin") if "lifter" in (m.part for m in j.members)), None)
    if pin is None:
        raise CannotEvaluate("the lifter has no pin", ("lifter",))
    whole = together((part_weight(ctx, swing.part), joint_weight(ctx, handle)))
    x, z = swing.turned((whole.middle[0], whole.middle[2]))
    friction = load("pin_friction", ctx.cabinet.tables).value
    need = ctx.need("falls_back")
    rating = rate(need, x - swing.pin[0], scale=friction * pin, unit="mm")

    def tell() -> Told:
        because = (
            f"middle of {whole.size * 1000:.1f} g lies {x - swing.pin[0]:.2f} mm behind the pin when lifted; needed "
            f"{need.value:g} x {friction:g} x {pin:.2f}, what friction on the pin holds"
        )
        remedies = (
            ctx.remedy("lifter.reach", 0.0, "Make the handle stand out less"),
            ctx.remedy("lifter.handle_length", 0.0, "Make the handle shorter"),
        )
        place = Place(swing.leg.frame, "line", (swing.pin, (x, z)))
        return Told("Lifter falls back by itself", because, (place,), remedies)

    return _draft("back", swing, rating, tell)

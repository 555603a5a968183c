"""Holes, countersinks, pins, screws, grooves, pockets and openings keep clear of each other, in depth too.

Read in space: what is cut into one part, what is driven through its neighbours, and holes into edges. Members of one
joint belong together. The wood between plain holes and pockets of one face is a web, and between a screw's point and
the lettering over it a skin; both have checks of their own, so that here they count only where nothing is left.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import Drill, Part
from desk.checks import addresses
from desk.checks.bodies import HARDWARE, Bodies, Prism, Round, half_width, prism_gap, prisms, together
from desk.checks.context import Context, lines_up, patch, spot
from desk.checks.finding import Place, Remedy
from desk.checks.home import home, outline_cut
from desk.checks.registry import Draft, Rating, Told, check, rate
from desk.checks.solids import Reals, axis_gap, boxes, close_boxes, gaps
from desk.checks.wood import rim_distances
from desk.shapes.loop import SAME, polyline

NOTHING = "No hole, screw, pocket or groove comes near one that it does not belong to."
END_ON = 0.9
"""A gap counts as past the end of a screw when its direction is within 26 degrees of the axis."""


class Near(NamedTuple):
    """Two things that come near each other, and how much wood is between them; ``ends`` tells which of them meets the
    gap with its end.
    """

    one: Round | Prism
    two: Round | Prism
    gap: float
    apart: float
    """Distance of the axes, nan where that says nothing."""
    ends: tuple[bool, bool] = (False, False)


@check(29, "depth", "Joints", "Holes, pockets and screws keep clear of each other", NOTHING)
def depth(ctx: Context) -> Iterator[Draft]:
    """The least wood between things that do not belong together, for each two of them that come near."""
    need = ctx.need("depth_wall")
    bodies = Bodies(ctx)
    worst: dict[tuple[str, str], Near] = {}
    for near in _near(ctx, bodies, need.clear):
        key = _key(near)
        if key not in worst or near.gap < worst[key].gap:
            worst[key] = near
    for key, near in worst.items():
        rating = rate(need, near.gap)
        if rating.status != "clear":
            tell = partial(_tell, ctx, bodies, near, rating)
            yield Draft("/".join(key), _parts(ctx, near), rating, tell, _like(near))
    yield from _breaking_out(ctx)


def _key(near: Near) -> tuple[str, str]:
    one, two = sorted((_name(near.one), _name(near.two)))
    return one, two


def _name(body: Round | Prism) -> str:
    return body.owner if isinstance(body, Round) else f"{body.part.id}/{body.owner}"


def _like(near: Near) -> tuple[object, ...]:
    return (near.one.what, near.two.what, _part(near.one), _part(near.two), round(near.gap, 3))


def _part(body: Round | Prism) -> str:
    return body.part if isinstance(body, Round) else body.part.id


def _parts(ctx: Context, near: Near) -> tuple[str, ...]:
    found: list[str] = []
    for body in (near.one, near.two):
        if isinstance(body, Round) and body.part == HARDWARE:
            found += [m.part for m in ctx.joints[body.owner].members]
        else:
            found.append(_part(body))
    return tuple(dict.fromkeys(found))


def _near(ctx: Context, bodies: Bodies, enough: float) -> Iterator[Near]:
    for near in (*_among_rounds(bodies, enough), *_to_grooves(bodies, enough)):
        if near.gap <= SAME or not _elsewhere(ctx, near):
            yield near
    yield from _to_prisms(ctx, bodies, enough)
    for part in ctx.cabinet.parts:
        own = prisms(part)
        yield from _prisms_together(own)
        yield from _grooves_to_prisms(part, own, enough)


def _elsewhere(ctx: Context, near: Near) -> bool:
    """Whether the wood between two bodies is measured by another check: webs, and the skin over a screw's point."""
    one, two = near.one, near.two
    if not (isinstance(one, Round) and isinstance(two, Round)):
        return False
    if two.kind == "groove":
        joint = ctx.joints.get(one.owner)
        return joint is not None and joint.kind == "screw" and joint.members[-1].part == two.part
    common = _drilled_in(ctx, one) & _drilled_in(ctx, two)
    return bool(common)


def _drilled_in(ctx: Context, body: Round) -> set[str]:
    """The parts in which a body is a plain hole, or runs in one."""
    if body.kind != "driven":
        return {body.part} if body.kind == "hole" else set()
    joint = ctx.joints[body.owner]
    return {m.part for m in joint.members if lines_up(ctx.part(m), joint)}


def _among_rounds(bodies: Bodies, enough: float) -> Iterator[Near]:
    """Holes of one part, and pins and screws with holes of any part and with each other."""
    rounds = bodies.rounds
    if len(rounds) < 2:
        return
    around = boxes(bodies.hulls)
    owners, parts = _numbers([r.owner for r in rounds]), _numbers([r.part for r in rounds])
    driven = np.array([r.part == HARDWARE for r in rounds])
    may = close_boxes(around, around, enough) & (owners[:, None] != owners[None, :])
    may &= (parts[:, None] == parts[None, :]) | driven[:, None] | driven[None, :]
    first, second = np.nonzero(np.triu(may, 1))
    yield from _measured(rounds, rounds, bodies, (first, second), False, enough)


def _to_grooves(bodies: Bodies, enough: float) -> Iterator[Near]:
    """Holes of one part, and pins and screws of any, with V-grooves."""
    rounds, grooves = bodies.rounds, bodies.grooves
    if not (rounds and grooves):
        return
    may = close_boxes(boxes(bodies.hulls), boxes(bodies.groove_hulls), enough)
    same = np.array([[r.part in (HARDWARE, g.part) for g in grooves] for r in rounds])
    first, second = np.nonzero(may & same)
    yield from _measured(rounds, grooves, bodies, (first, second), True, enough)


def _measured(
    one: list[Round],
    two: list[Round],
    bodies: Bodies,
    rows: tuple[NDArray[np.intp], NDArray[np.intp]],
    groove: bool,
    enough: float,
) -> Iterator[Near]:
    """The pairs of these rows that are less than ``enough`` apart."""
    if not len(rows[0]):
        return
    a = bodies.hulls.pick(rows[0])
    b = (bodies.groove_hulls if groove else bodies.hulls).pick(rows[1])
    found, way = gaps(a, b, enough)
    near, far = axis_gap(a.ends, b.ends)
    apart = np.sqrt(((far - near) ** 2).sum(axis=1))
    ends = np.stack((_end_on(a.axes, way), _end_on(b.axes, way)), axis=1)
    for k in np.nonzero(found < enough)[0].tolist():
        pair = one[rows[0][k]], two[rows[1][k]]
        axes = float("nan") if groove else float(apart[k])
        yield Near(*pair, float(found[k]), axes, (bool(ends[k, 0]), bool(ends[k, 1])))


def _end_on(axes: Reals, way: Reals) -> NDArray[np.bool_]:
    lean: NDArray[np.bool_] = np.abs((axes * way).sum(axis=1)) > END_ON
    return lean


def _numbers(names: list[str]) -> NDArray[np.intp]:
    """Equal names as equal numbers."""
    known = {name: n for n, name in enumerate(dict.fromkeys(names))}
    return np.array([known[name] for name in names])


def _to_prisms(ctx: Context, bodies: Bodies, enough: float) -> Iterator[Near]:
    """Round bodies with pockets and openings."""
    if not (bodies.rounds and bodies.prisms):
        return
    close = close_boxes(boxes(bodies.hulls), bodies.prism_boxes, enough)
    for i, k in zip(*np.nonzero(close), strict=True):
        body, prism = bodies.rounds[i], bodies.prisms[k]
        if body.part not in (HARDWARE, prism.part.id):
            continue
        gap = prism_gap(body, prism)
        web = prism.plain and prism.part.id in _drilled_in(ctx, body)
        if gap <= SAME or (gap < enough and not web):
            yield Near(body, prism, gap, float("nan"))


def _prisms_together(own: tuple[Prism, ...]) -> Iterator[Near]:
    """Pockets cut from opposite faces of one part that meet."""
    for one, two in combinations(own, 2):
        if one.face == two.face or not one.shape.intersects(two.shape):
            continue
        deep = max(one.depths[0] - two.depths[1], two.depths[0] - one.depths[1])
        if deep <= SAME:
            yield Near(one, two, deep, float("nan"))


def _grooves_to_prisms(part: Part, own: tuple[Prism, ...], enough: float) -> Iterator[Near]:
    """V-grooves with the pockets and openings of their part."""
    for groove in part.grooves if own else ():
        lines = shapely.MultiLineString([polyline(path) for path in groove.paths if len(path) > 1])
        depths = (
            (0.0, groove.depth) if groove.face == "A" else (part.thickness - groove.depth, part.thickness)
        )
        ends = tuple((part.frame.world(x, y), 0.0) for x, y, _ in groove.paths[0])
        body = Round(groove.use, f"{part.id}/{groove.use}", part.id, ends, part.frame.normal, "groove")
        for prism in own:
            apart = float(lines.distance(prism.shape)) - half_width(groove)
            deep = max(depths[0] - prism.depths[1], prism.depths[0] - depths[1])
            gap = together(apart, deep)
            if gap < enough:
                yield Near(body, prism, gap, float("nan"))


def _tell(ctx: Context, bodies: Bodies, near: Near, rating: Rating) -> Told:
    one, two = (_said(ctx, body) for body in (near.one, near.two))
    meets = near.gap <= SAME
    title = f"{_capital(one)} meets {two}" if meets else f"Thin wood between {one} and {two}"
    because = f"{near.gap:.2f} mm of wood between them; needed {rating.needed:.2f}"
    radii = [max(r for _, r in b.discs) for b in (near.one, near.two) if isinstance(b, Round)]
    if len(radii) == 2 and abs(near.apart - sum(radii) - near.gap) < 0.005:
        because = (
            f"axes {near.apart:.2f} apart - {radii[0]:.2f} - {radii[1]:.2f} = {near.gap:.2f} mm; "
            f"needed {rating.needed:.2f}"
        )
    elif meets:
        because = f"they reach {-near.gap:.2f} mm into each other; needed {rating.needed:.2f} between them"
    places = tuple(_place(bodies, body) for body in (near.one, near.two))
    return Told(title, because, places, tuple(_remedies(ctx, near, rating.short if near.gap > SAME else 0.0)))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _said(ctx: Context, body: Round | Prism) -> str:
    """A body in words, with the part it is in; a screw or pin with the part its head or first end is in."""
    if isinstance(body, Prism):
        return f"{body.what} in {body.part.label}"
    if body.part != HARDWARE:
        return f"the {body.what} in {ctx.cabinet.by_id[body.part].label}"
    return f"the {body.what} through {ctx.part(ctx.joints[body.owner].members[0]).label}"


def _place(bodies: Bodies, body: Round | Prism) -> Place:
    if isinstance(body, Round):
        return bodies.place(body)
    ring = shapely.get_coordinates(shapely.get_exterior_ring(_largest(body.shape)))[:-1]
    return Place(body.part.frame, "area", tuple((float(x), float(y)) for x, y in ring))


def _largest(shape: shapely.Geometry) -> shapely.Geometry:
    return max(shapely.get_parts(shape), key=lambda piece: float(piece.area))


def _remedies(ctx: Context, near: Near, short: float) -> Iterator[Remedy]:
    """Another length for what meets the gap with its end, another diameter, another place."""
    seen: set[str] = set()
    for body, end in ((near.one, near.ends[0]), (near.two, near.ends[1])):
        for remedy in _remedies_of(ctx, body, short if end else 0.0):
            if remedy.address not in seen:
                seen.add(remedy.address)
                yield remedy


def _remedies_of(ctx: Context, body: Round | Prism, short: float) -> Iterator[Remedy]:
    if isinstance(body, Prism):
        for address, _, text in addresses.beside(body.part, body.owner):
            yield ctx.remedy(address, 0.0, text)
        return
    joint = ctx.joints.get(body.owner)
    if joint is None:
        if body.kind == "groove":
            yield ctx.remedy("header.groove", 0.0, "Cut the groove less deep")
        return
    length = addresses.length(joint)
    if length:
        yield ctx.remedy(length, -short, f"Take a shorter {joint.kind}")
    for address, _, text in addresses.beside(ctx.part(joint.members[-1]), joint.id):
        yield ctx.remedy(address, 0.0, text)
    yield ctx.remedy(addresses.pin_diameter(joint), 0.0, f"Take a thinner {joint.kind}")


def _breaking_out(ctx: Context) -> Iterator[Draft]:
    """Holes whose middle lies outside the part they are for, and countersinks that come near its edge."""
    need, radius = ctx.need("depth_wall"), ctx.profile_bit.diameter / 2
    for part in ctx.cabinet.parts:
        if not part.drills:
            continue
        shape, _ = home(part)
        inside = shapely.contains_xy(
            outline_cut(shape.outline, radius), *np.array([h.at for h in shape.holes]).T
        )
        for drill, within, rim in zip(part.drills, inside, rim_distances(shape, radius), strict=True):
            joint = ctx.joints.get(drill.joint)
            if (joint is not None and not lines_up(part, joint)) or (within and not drill.head):
                continue
            wide = max(drill.head, drill.diameter)
            left = (float(rim) if within else -float(rim)) - wide / 2
            rating = rate(need, left)
            if rating.status != "clear":
                tell = partial(_tell_out, ctx, part, drill, wide, bool(within), rating)
                like = (part.id, bool(within), round(left, 3))
                yield Draft(f"{drill.joint}/{part.id}/edge", (part.id,), rating, tell, like)


def _tell_out(ctx: Context, part: Part, drill: Drill, wide: float, within: bool, rating: Rating) -> Told:
    left = rating.measured or 0.0
    because = (
        f"middle {left + wide / 2:.2f} from the edge{'' if within else ', which is outside,'} - {wide:.2f} / 2 = "
        f"{left:.2f} mm; needed {rating.needed:.2f}"
    )
    title = f"Countersink at the edge of {part.label}" if within else f"Hole beside {part.label}, not in it"
    found = next((rows for start, rows in _PLACED_BY if drill.joint.startswith(start)), ())
    rows = found or tuple(address for address, _, _ in addresses.beside(part, drill.joint))
    remedies = tuple(ctx.remedy(a, 0.0, "Change this until the hole lies well in the wood") for a in rows)
    places = (spot(part, drill.at), patch(part, part.outline))
    return Told(title, because, places, remedies)


_PLACED_BY: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("screw-cover-upper", ("header.cleat", "header.height")),
    ("screw-header", ("header.cleat", "header.height", "joint.edge")),
    ("screw-cover-lower", ("return.floor_height", "lane.base_height")),
    ("screw-ramp", ("return.floor_height", "lane.base_height")),
    ("dowel-lip-block", ("return.floor_height", "return.lip_width", "joint.edge")),
    ("pin-lifter", ("lifter.pin_x", "lifter.pin_z")),
    ("rod-handle", ("lifter.reach",)),
)
"""Start of a joint's id, and what sets where it stands."""

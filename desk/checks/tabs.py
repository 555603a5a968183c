"""Tabs in their mortises where round bits cut both: wood left at a tab's root, and in the corners of a mortise.

Read on the shapes as cut and in space: the corners of each tab are carried into the wall it enters.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.ascut import opening_as_cut
from desk.cabinet.model import Bit, Part, TabJoint
from desk.checks.context import Context, listed, patch, spot
from desk.checks.corners import fillets, own_place, tightest_arc
from desk.checks.finding import Remedy
from desk.checks.home import DECIMALS, home, outline_cut
from desk.checks.registry import MOST_PLACES, CannotEvaluate, Draft, Rating, Told, rate
from desk.shapes.loop import CHORD_TOLERANCE, Loop, Point

SLACK = CHORD_TOLERANCE
"""Arcs stand as chords, so distances to them are this much too short at most; a relief drawn with the bit's own
radius is then reached."""
ALIKE = 3
"""Decimals, of mm, to which readings are the same."""


class _Tab(NamedTuple):
    """What is read of one tab: its joint and parts, the wood left at its root, and the room its worst corner has in
    the mortise as cut, below zero outside it; None where the mortise is not cut at all.
    """

    joint: TabJoint
    cross: Part
    wall: Part
    enter: float
    """Local x of the cross part at which the tab enters the wall's face."""
    root: float
    room: float | None


def tab_drafts(ctx: Context) -> Iterator[Draft]:
    """Readings of every tab, those that come out alike together."""
    radii = ctx.profile_bit.diameter / 2, ctx.pocket_bit.diameter / 2
    by_id = ctx.cabinet.by_id
    roots: dict[tuple[float, float], list[_Tab]] = {}
    corners: dict[float, list[_Tab]] = {}
    for joint in ctx.cabinet.tab_joints:
        tab = _read(joint, by_id[joint.part], by_id[joint.wall], *radii)
        roots.setdefault((tab.root, joint.fit), []).append(tab)
        if tab.room is not None:
            corners.setdefault(tab.room, []).append(tab)
    for (wood, _), group in roots.items():
        yield _root(ctx, group, wood)
    for room, group in corners.items():
        yield _corner(ctx, group, room)


@lru_cache(maxsize=512)
def _read(joint: TabJoint, cross: Part, wall: Part, profile: float, pocket: float) -> _Tab:
    (shape, (x, y)), (walls, (wx, wy)) = home(cross), home(wall)
    mortise = next((o.loop for o in walls.openings if o.id == joint.id), None)
    if mortise is None:
        raise CannotEvaluate(f"{wall.label} has no mortise for the tab {joint.id}", (joint.part, joint.wall))
    world, local = cross.frame.world, wall.frame.local
    near = local(world(0.0, joint.start))[2]
    enter = -near / (local(world(1.0, joint.start))[2] - near)
    far = enter + (-joint.depth if joint.side == "low" else joint.depth)
    across = (round(enter - x, DECIMALS), round(far - x, DECIMALS))
    along = (round(joint.start - y, DECIMALS), round(joint.end - y, DECIMALS))
    place, move = own_place(mortise)
    section = (
        local(world(enter, at, deep)) for at in (joint.start, joint.end) for deep in (0.0, cross.thickness)
    )
    corners = (move((u - wx, v - wy)) for u, v, _ in section)
    room = _room(place, pocket, tuple((round(u, 4), round(v, 4)) for u, v in corners))
    return _Tab(joint, cross, wall, enter, _root_wood(shape.outline, profile, across, along), room)


@lru_cache(maxsize=1024)
def _room(mortise: Loop, radius: float, corners: tuple[Point, ...]) -> float | None:
    """From the worst corner to the rim of the mortise as cut."""
    relieved = fillets(mortise, radius, inside=True)[1] < SLACK and tightest_arc(mortise) > radius - SLACK
    cut = mortise.polygon if relieved else opening_as_cut(mortise, radius)
    if cut.is_empty:
        return None
    spots = shapely.points(np.array(corners))
    away = shapely.distance(spots, shapely.boundary(cut))
    return round(float(np.where(shapely.intersects(cut, spots), away, -away).min()) + SLACK, ALIKE)


def _draft(group: list[_Tab], what: str, rating: Rating, tell: partial[Told]) -> Draft:
    parts = tuple(dict.fromkeys(p for t in group for p in (t.joint.part, t.joint.wall)))
    return Draft(f"{min(t.joint.id for t in group)}/{what}", parts, rating, tell)


def _labels(group: list[_Tab]) -> str:
    return listed(t.cross.label for t in group)


@lru_cache(maxsize=2048)
def _root_wood(outline: Loop, radius: float, across: Point, along: Point) -> float:
    """How far the outline as cut runs on past a tab's ends (``along`` in y) where it is in the wall (``across``)."""
    cut = outline_cut(outline, radius)
    window = 2 * radius
    held = shapely.clip_by_rect(cut, min(across), along[0] - window, max(across), along[1] + window)
    if held.is_empty:
        return 0.0
    _, low, _, high = held.bounds
    return round(max(float(max(along[0] - low, high - along[1])) - SLACK, 0.0), ALIKE)


def _root(ctx: Context, group: list[_Tab], wood: float) -> Draft:
    """Wood the outline's bit leaves at a tab's root stands against the ends of the mortise."""
    room = group[0].joint.fit / 2 - 2 * ctx.film_in_joints - wood
    rating = rate(ctx.need("mortise_corner"), room)
    return _draft(group, "root", rating, partial(_tell_root, ctx, group, wood, rating))


def _tell_root(ctx: Context, group: list[_Tab], wood: float, rating: Rating) -> Told:
    because = (
        f"{group[0].joint.fit:.2f} / 2 play - 2 x {ctx.film_in_joints:.3f} film - {wood:.2f} left at the tab's root = "
        f"{rating.measured:.2f} mm; needed {rating.needed:.2f}"
    )
    places = [spot(t.cross, (t.enter, y)) for t in group for y in (t.joint.start, t.joint.end)]
    remedies = (
        ctx.remedy("joint.mortise_fit", 2 * rating.short, "Make the mortise longer than the tab"),
        *_bit(ctx, ctx.profile_bit),
        ctx.remedy("joint.side_gap", 0.0, "Leave more gap beside the part"),
    )
    return Told(f"Tabs at their roots: {_labels(group)}", because, tuple(places[:MOST_PLACES]), remedies)


def _corner(ctx: Context, group: list[_Tab], clear: float) -> Draft:
    rating = rate(ctx.need("mortise_corner"), clear - 2 * ctx.film_in_joints)
    return _draft(group, "corner", rating, partial(_tell_corner, ctx, group, clear, rating))


def _tell_corner(ctx: Context, group: list[_Tab], clear: float, rating: Rating) -> Told:
    because = (
        f"{clear:.2f} from the tab's nearest corner to the mortise as cut - 2 x {ctx.film_in_joints:.3f} film = "
        f"{rating.measured:.2f} mm; needed {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy("joint.mortise_fit", 2 * rating.short, "Make the mortise larger than the tab"),
        *_bit(ctx, ctx.pocket_bit),
    )
    loops = (
        (t.wall, next(p.loop for p in t.wall.pockets if p.joint == t.joint.id)) for t in group[:MOST_PLACES]
    )
    places = tuple(patch(wall, loop) for wall, loop in loops)
    return Told(f"Corners of the mortises for {_labels(group)}", because, places, remedies)


def _bit(ctx: Context, bit: Bit) -> tuple[Remedy, ...]:
    return (ctx.remedy(ctx.bit_address(bit, "diameter"), 0.0, "Use a thinner bit"),)

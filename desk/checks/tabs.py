"""Tabs in their mortises: play, depth and hold, and where round bits cut both, wood left at roots and in corners.

Read on the shapes as cut and in space: the corners of each tab are carried into the wall it enters.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache, partial
from typing import NamedTuple

import numpy as np
import shapely

from desk.cabinet.ascut import opening_as_cut
from desk.cabinet.model import Bit, Part, TabJoint
from desk.checks.context import Context, listed, patch, spot
from desk.checks.corners import fillets, own_place, tightest_arc
from desk.checks.finding import Place, Remedy
from desk.checks.home import DECIMALS, home, outline_cut
from desk.checks.registry import MOST_PLACES, CannotEvaluate, Draft, Rating, Told, check, rate, worse
from desk.shapes.loop import CHORD_TOLERANCE, Loop, Point

FAMILY = "Joints"
NO_TAB = "There is no tab in this cabinet."
SLACK = CHORD_TOLERANCE
"""Arcs stand as chords, so distances to them are this much too short at most; a relief drawn with the bit's own
radius is then reached."""
FAR_OFF = 50.0
"""A mortise is looked for this far beyond its tab, mm."""
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
    thick: float | None
    """Mortise wider than the tab is thick, mm; None where it is open at an edge."""
    long: float
    """Mortise longer than the tab."""
    deep: float
    """How far the tab's end stands in the wall."""
    floor: float
    """Depth of the mortise."""
    beside: float | None
    """Gap between the part's edge beside the tab and the wall; None for a tab as long as its part."""


@check(39, "tab-seat", FAMILY, "Tabs in their mortises", NO_TAB)
def tab_seat(ctx: Context) -> Iterator[Draft]:
    """Every tab goes into its mortise, across, along, at its root and in its corners, ends above its floor, and holds.

    Tabs that read alike are told together.
    """
    radii = ctx.profile_bit.diameter / 2, ctx.pocket_bit.diameter / 2
    by_id = ctx.cabinet.by_id
    groups: dict[tuple[object, ...], list[_Tab]] = {}
    for joint in ctx.cabinet.tab_joints:
        tab = _read(joint, by_id[joint.part], by_id[joint.wall], *radii)
        keys: list[tuple[object, ...]] = [
            (_root, tab.root, joint.fit),
            (_hold, tab.deep),
            (_bottom, tab.floor, tab.deep),
        ]
        keys.append((_across, tab.thick, tab.long, ctx.spread(tab.cross)))
        if tab.room is not None:
            keys.append((_corner, tab.room))
        if tab.beside is not None:
            keys.append((_shoulder, tab.beside))
        for key in keys:
            groups.setdefault(key, []).append(tab)
    for (make, *_), group in groups.items():
        yield make(ctx, group)  # type: ignore[operator]


@lru_cache(maxsize=512)
def _read(joint: TabJoint, cross: Part, wall: Part, profile: float, pocket: float) -> _Tab:
    (shape, (x, y)), (walls, (wx, wy)) = home(cross), home(wall)
    mortise = next((o.loop for o in walls.openings if o.id == joint.id), None)
    if mortise is None:
        raise CannotEvaluate(
            f"{wall.label} has no mortise for a tab of {cross.label}", (joint.part, joint.wall)
        )
    world, local = cross.frame.world, wall.frame.local
    enter = entry(joint, cross, wall)
    far = enter + (-joint.depth if joint.side == "low" else joint.depth)
    across = (round(enter - x, DECIMALS), round(far - x, DECIMALS))
    along = (round(joint.start - y, DECIMALS), round(joint.end - y, DECIMALS))
    place, move = own_place(mortise)
    section = (
        local(world(enter, at, deep)) for at in (joint.start, joint.end) for deep in (0.0, cross.thickness)
    )
    corners = (move((u - wx, v - wy)) for u, v, _ in section)
    seat = tuple((round(u, 4), round(v, 4)) for u, v in corners)
    room = _room(place, pocket, seat)
    tips = [q[0] for q in cross.outline.points if joint.start - SLACK <= q[1] <= joint.end + SLACK]
    deep = local(world(min(tips) if joint.side == "low" else max(tips), joint.start))[2]
    floor = next(p.depth for p in wall.pockets if p.joint == joint.id)
    root = _root_wood(shape.outline, profile, across, along)
    wide, long = _play(place, seat)
    open_ended = any(joint.over_run)
    return _Tab(
        joint,
        cross,
        wall,
        enter,
        root,
        room,
        None if open_ended else wide,
        long,
        round(deep, ALIKE),
        round(floor, ALIKE),
        beside(joint, cross, enter),
    )


def entry(joint: TabJoint, cross: Part, wall: Part) -> float:
    """Local x of the cross part at which its tab enters the wall's face."""
    near, on = (wall.frame.local(cross.frame.world(x, joint.start))[2] for x in (0.0, 1.0))
    return -near / (on - near)


@lru_cache(maxsize=512)
def beside(joint: TabJoint, cross: Part, enter: float) -> float | None:
    """How far the part's edge, clear of the tab and what is cut at its root, stays off the wall's face."""
    x0, low, x1, high = cross.outline.bounds
    off = 4 * joint.relief + 1.0
    y = joint.start - off if joint.start - off > low + SLACK else joint.end + off
    if y > high - SLACK:
        return None
    met = cross.outline.polygon.intersection(shapely.LineString([(x0 - 1.0, y), (x1 + 1.0, y)]))
    gap = float(met.bounds[0] - enter if joint.side == "low" else enter - met.bounds[2])
    # where the next tab stands there is no edge to read
    return round(gap, ALIKE) if gap > -SLACK else None


@lru_cache(maxsize=1024)
def _play(mortise: Loop, corners: tuple[Point, ...]) -> Point:
    """How much wider, across its thickness, and longer a mortise is than the tab's section between four corners.

    Read on the tab's two middle lines; the corners run (start, face A), (start, face B), (end, face A), (end, face B).
    """
    a, b, c, d = np.array(corners)
    middle = (a + b + c + d) / 4
    out = []
    for along in ((b - a), (c - a)):
        size = float(np.hypot(*along))
        if size < SLACK:
            out.append(0.0)
            continue
        reach = along / size * (size + FAR_OFF)
        line = shapely.LineString([middle - reach, middle + reach])
        met = shapely.intersection(mortise.polygon, line)
        pieces = [p for p in shapely.get_parts(met) if shapely.dwithin(p, shapely.Point(middle), SLACK)]
        out.append(round(sum(float(p.length) for p in pieces) - size, ALIKE))
    return out[0], out[1]


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


def _across(ctx: Context, group: list[_Tab]) -> Draft:
    """Mortise less tab: thickness and length against the low limit, thickness against the high one too."""
    film, tab = 4 * ctx.film_in_joints, group[0]
    differs, most = ctx.spread(tab.cross), ctx.need("tab_play_high")
    plays = [tab.long - film] if tab.thick is None else [tab.thick - film - differs, tab.long - film]
    low = rate(ctx.need("tab_play_low"), min(plays))
    rating = low if tab.thick is None else worse(low, rate(most, tab.thick - film + differs, upper=True))
    return _draft(ctx, group, "play", rating, partial(_tell_across, loose=rating is not low))


def _tell_across(ctx: Context, group: list[_Tab], rating: Rating, loose: bool) -> Told:
    tab, film = group[0], ctx.film_in_joints
    differs = ctx.spread(tab.cross)
    wide = tab.thick is not None and (loose or tab.thick - differs <= tab.long)
    size = tab.cross.thickness if wide else tab.joint.end - tab.joint.start
    play = tab.thick if wide and tab.thick is not None else tab.long
    what, limit = ("thick", "at most") if wide else ("long", "needed")
    limit = "at most" if loose else "needed"
    said = (
        f" {'+' if loose else '-'} {differs:.2f} as the stock's readings differ" if wide and differs else ""
    )
    because = (
        f"mortise {size + play:.2f} - tab {size:.2f} {what} - 4 x {film:.3f} film{said} = {rating.measured:.2f} mm; "
        f"{limit} {rating.needed:.2f}"
    )
    change = -rating.short if loose else rating.short
    text = "Make the mortises smaller" if loose else "Make the mortises larger"
    remedies = (
        ctx.remedy("joint.mortise_fit", change, text),
        ctx.remedy(ctx.stock_address(tab.cross), 0.0, "Measure the stock again"),
    )
    return Told(f"Play of the tabs: {_labels(group)}", because, _mortises(group), remedies)


def _bottom(ctx: Context, group: list[_Tab]) -> Draft:
    """Room between a tab's end and the floor of its mortise."""
    left = group[0].floor - group[0].deep - 2 * ctx.film_in_joints
    rating = rate(ctx.need("tab_bottom"), left)
    return _draft(ctx, group, "bottom", rating, _tell_bottom)


def _tell_bottom(ctx: Context, group: list[_Tab], rating: Rating) -> Told:
    tab = group[0]
    because = (
        f"mortise {tab.floor:.2f} deep - tab {tab.deep:.2f} in the wall - 2 x {ctx.film_in_joints:.3f} film = "
        f"{rating.measured:.2f} mm; needed {rating.needed:.2f}"
    )
    remedies = (ctx.remedy("joint.mortise", rating.short, "Cut the mortises deeper than the tabs are long"),)
    return Told(f"Room below the tabs: {_labels(group)}", because, _mortises(group), remedies)


def _hold(ctx: Context, group: list[_Tab]) -> Draft:
    """How far a tab stands in its wall."""
    rating = rate(ctx.need("tab_engaged"), group[0].deep)
    return _draft(ctx, group, "hold", rating, _tell_hold)


def _tell_hold(ctx: Context, group: list[_Tab], rating: Rating) -> Told:
    tab = group[0]
    because = (
        f"{tab.joint.reach:.2f} mm of tab stand in {tab.floor:.2f} of mortise: {rating.measured:.2f} mm in the wall; "
        f"needed {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy("joint.mortise", rating.short, "Cut the mortises deeper; the tabs grow with them"),
    )
    return Told(f"Hold of the tabs: {_labels(group)}", because, _mortises(group), remedies)


def _shoulder(ctx: Context, group: list[_Tab]) -> Draft:
    """Gap between the part's edge and the wall it stands at."""
    rating = rate(ctx.need("shoulder_gap"), group[0].beside or 0.0, upper=True)
    return _draft(ctx, group, "shoulder", rating, _tell_shoulder)


def _tell_shoulder(ctx: Context, group: list[_Tab], rating: Rating) -> Told:
    tab = group[0]
    because = (
        f"{rating.measured:.2f} mm between the edge of {tab.cross.label} and {tab.wall.label}; at most "
        f"{rating.needed:.2f}"
    )
    remedies = (ctx.remedy("joint.side_gap", -rating.short, "Make cross parts reach nearer to the walls"),)
    places = tuple(spot(t.cross, (t.enter, t.joint.start), (t.enter, t.joint.end)) for t in group)
    return Told(f"Gap beside {_labels(group)}", because, places[:MOST_PLACES], remedies)


def _mortises(group: list[_Tab]) -> tuple[Place, ...]:
    """The mortises of the first tabs of a group."""
    loops = (
        (t.wall, next(p.loop for p in t.wall.pockets if p.joint == t.joint.id)) for t in group[:MOST_PLACES]
    )
    return tuple(patch(wall, loop) for wall, loop in loops)


def _draft(
    ctx: Context,
    group: list[_Tab],
    what: str,
    rating: Rating,
    tell: Callable[[Context, list[_Tab], Rating], Told],
) -> Draft:
    parts = tuple(dict.fromkeys(p for t in group for p in (t.joint.part, t.joint.wall)))
    return Draft(f"{min(t.joint.id for t in group)}/{what}", parts, rating, partial(tell, ctx, group, rating))


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


def _root(ctx: Context, group: list[_Tab]) -> Draft:
    """Wood the outline's bit leaves at a tab's root stands against the ends of the mortise."""
    wood = group[0].root
    room = group[0].joint.fit / 2 - 2 * ctx.film_in_joints - wood
    rating = rate(ctx.need("mortise_corner"), room)
    return _draft(ctx, group, "root", rating, partial(_tell_root, wood=wood))


def _tell_root(ctx: Context, group: list[_Tab], rating: Rating, wood: float) -> Told:
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


def _corner(ctx: Context, group: list[_Tab]) -> Draft:
    """Wood the pocket's bit leaves in the corners of the mortise."""
    clear = group[0].room or 0.0
    rating = rate(ctx.need("mortise_corner"), clear - 2 * ctx.film_in_joints)
    return _draft(ctx, group, "corner", rating, partial(_tell_corner, clear=clear))


def _tell_corner(ctx: Context, group: list[_Tab], rating: Rating, clear: float) -> Told:
    because = (
        f"{clear:.2f} from the tab's nearest corner to the mortise as cut - 2 x {ctx.film_in_joints:.3f} film = "
        f"{rating.measured:.2f} mm; needed {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy("joint.mortise_fit", 2 * rating.short, "Make the mortise larger than the tab"),
        *_bit(ctx, ctx.pocket_bit),
    )
    return Told(f"Corners of the mortises for {_labels(group)}", because, _mortises(group), remedies)


def _bit(ctx: Context, bit: Bit) -> tuple[Remedy, ...]:
    return (ctx.remedy(ctx.bit_address(bit, "diameter"), 0.0, "Use a thinner bit"),)

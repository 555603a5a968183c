"""Whether screws hold: what draws a thread out of its wood against what pulls at the part that the screws hold.

The breaking load of a thread is the mean of tests in side grain; in end grain it counts as nothing. Plywood is read as
solid wood of its gravity, though tests have found it to hold less (Ahn, Pang and Oh 2021, Journal of the Korean Wood
Science and Technology 49, 93), which the factor has to cover. The load is a hand's pull, with the part's weight, at
that edge of the part which is worst: the part tips about the far edge of where it lies against its neighbour, and each
screw takes its share as in any group of bolts, by its distance from there. This is no structural design; where one is
needed, a licensed engineer and the local code decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import AxisJoint, Part
from desk.checks import addresses
from desk.checks.context import Context, along_axis, lines_up, span, spot
from desk.checks.mechanics import GRAVITY
from desk.checks.registry import Draft, Rating, Told, check, rate
from desk.shapes.frame import dot
from desk.shapes.loop import SAME, Point
from desk.shop.materials import Material
from desk.shop.sourced import INCH
from desk.shop.tables import SHIPPED, Tables

NO_SCREW = "There is no screw in this cabinet."
END_GRAIN = math.cos(math.radians(45.0))
"""A screw into an edge at less than 45 degrees to the grain is in end grain."""
WAYS: tuple[Point, ...] = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
"""Directions of a part, in its own coordinates, whose edge is pulled."""


def wood_withdrawal(gravity: float, shank: float, length: float, tables: Tables = SHIPPED) -> float:
    """Mean load in N that draws ``length`` mm of thread out of side grain: 108.25 G² D L."""
    return _factor("wood", tables) * gravity**2 * shank * max(length, 0.0)


def board_withdrawal(
    gravity: float, shank: float, length: float, edge: bool, tables: Tables = SHIPPED
) -> float:
    """The same for particleboard and fibreboard: K sqrt(D) (L - D / 3)^(5/4) G², K by face and edge."""
    k = _factor("board_edge" if edge else "board_face", tables)
    return k * math.sqrt(shank) * math.pow(max(length - shank / 3, 0.0), 1.25) * gravity**2


def _factor(key: str, tables: Tables) -> float:
    return tables.rows("holding")[key].number("factor")


class Hold(NamedTuple):
    """What one screw's thread holds, N, and how that came about in words."""

    load: float
    said: str


def hold_of(ctx: Context, joint: AxisJoint) -> Hold:
    """Breaking load of a screw's thread in its last member; only the thread that lies in that member counts."""
    part = ctx.part(joint.members[-1])
    wood = ctx.material(part)
    enter, leave = span(part, joint)
    bite = max(min(min(joint.length, leave) - enter, joint.thread), 0.0)
    edge = not lines_up(part, joint)
    tables = ctx.cabinet.tables
    if wood.kind == "board":
        return _in_board(wood, joint, bite, edge, tables)
    if edge and wood.kind == "solid" and abs(_along_grain(part, joint)) > END_GRAIN:
        return Hold(0.0, f"end grain of {part.label}, which counts as nothing")
    share = ctx.need("hold_plywood_edge").value if edge and wood.kind == "plywood" else 1.0
    load = share * wood_withdrawal(wood.gravity, joint.diameter, bite, tables)
    factor = f"{share:g} x " if share != 1 else ""
    said = f"{factor}{_factor('wood', tables):g} x {wood.gravity:.2f}^2 x {joint.diameter:.2f} x {bite:.2f} thread"
    return Hold(load, f"{said} in {part.label} = {load:.0f} N")


def _in_board(wood: Material, joint: AxisJoint, bite: float, edge: bool, tables: Tables) -> Hold:
    load = board_withdrawal(wood.gravity, joint.diameter, bite, edge, tables)
    k = _factor("board_edge" if edge else "board_face", tables)
    said = f"{k:g} x {joint.diameter:.2f}^0.5 x ({bite:.2f} thread - {joint.diameter:.2f} / 3)^1.25"
    return Hold(load, f"{said} x {wood.gravity:.2f}^2 in {wood.label} = {load:.0f} N")


def _along_grain(part: Part, joint: AxisJoint) -> float:
    """Cosine of the angle between a screw and the grain of the part it is in."""
    (gx, gy), u, v = part.grain, part.frame.u, part.frame.v
    return gx * dot(joint.direction, u) + gy * dot(joint.direction, v)


class Group(NamedTuple):
    """A part that screws keep in place, and the screws with the neighbour each of them presses it to."""

    part: Part
    screws: tuple[tuple[AxisJoint, Part], ...]


class Pull(NamedTuple):
    """The worst of a group's screws for a pull at one edge: distances from where the part tips, mm, loads in N."""

    joint: AxisJoint
    hold: Hold
    lever: float
    distance: float
    squares: float
    load: float
    grip: Point
    pivot: Point

    @property
    def factor(self) -> float:
        """Breaking load over load."""
        return self.hold.load / self.load


@check(34, "screw-hold", "Joints", "What screws hold against a pull", NO_SCREW)
def screw_hold(ctx: Context) -> Iterator[Draft]:
    """Every part that screws keep in place, pulled at its worst edge; lengths of screw that their gauge stands."""
    for group in _groups(ctx):
        pull, mass = _worst(ctx, group)
        rating = rate(ctx.need("hold_factor"), pull.factor)
        tell = partial(_tell, ctx, group, pull, mass, rating)
        parts = dict.fromkeys((group.part.id, *(j.members[-1].part for j, _ in group.screws)))
        yield Draft(f"{group.part.id}/hold", tuple(parts), rating, tell)
    sizes: dict[tuple[float, float], list[AxisJoint]] = {}
    for joint in ctx.of_kind("screw"):
        sizes.setdefault((joint.diameter, joint.length), []).append(joint)
    for screws in sizes.values():
        yield _pair(ctx, screws)


def _groups(ctx: Context) -> list[Group]:
    """Screws by the part they keep in place: of the first and the last member the one without tabs or glued pins,
    of two such the lighter.
    """
    fixed = {t.part for t in ctx.cabinet.tab_joints} | {t.wall for t in ctx.cabinet.tab_joints}
    glued = (j for j in ctx.cabinet.axis_joints if j.glued and len(j.members) > 1)
    fixed |= {m.part for j in glued for m in j.members}
    found: dict[str, list[tuple[AxisJoint, Part]]] = {}
    for joint in ctx.of_kind("screw"):
        if len(joint.members) > 1:
            ends = [ctx.part(joint.members[k]) for k in (0, -1)]
            loose = min((0, 1), key=lambda k: (ends[k].id in fixed, _mass(ctx, ends[k])))
            beside = ctx.part(joint.members[1 if loose == 0 else -2])
            found.setdefault(ends[loose].id, []).append((joint, beside))
    return [Group(ctx.cabinet.by_id[key], tuple(screws)) for key, screws in found.items()]


def _mass(ctx: Context, part: Part) -> float:
    """kg, drilled holes and pockets not taken off."""
    return part.area * part.thickness * 1e-9 * ctx.material(part).density


def _worst(ctx: Context, group: Group) -> tuple[Pull, float]:
    """The pull whose worst screw has the least factor, and the part's mass in kg."""
    part, mass = group.part, _mass(ctx, group.part)
    load = ctx.need("hold_pull").value + mass * GRAVITY
    holds = [hold_of(ctx, joint) for joint, _ in group.screws]
    spots = np.array([part.frame.local(joint.at)[:2] for joint, _ in group.screws])
    touching = np.concatenate(
        [_contact(part, beside) for beside in {b.id: b for _, b in group.screws}.values()]
    )
    edge = part.outline.coords
    pulls = []
    for way in WAYS:
        tips = min(float((touching @ way).min()), float((spots @ way).min()))
        lever, away = float((edge @ way).max()) - tips, spots @ way - tips
        squares = max(float((away * away).sum()), SAME)
        loads = np.maximum(load * lever * away / squares, SAME)
        k = int(np.argmin([h.load / each for h, each in zip(holds, loads, strict=True)]))
        grip, pivot = _across(edge, way, tips)
        pulls.append(
            Pull(group.screws[k][0], holds[k], lever, float(away[k]), squares, float(loads[k]), grip, pivot)
        )
    return min(pulls, key=lambda p: p.factor), mass


def _contact(part: Part, beside: Part) -> NDArray[np.float64]:
    """Corners, in the part's coordinates, of where it and its neighbour cover each other; the part's own where they
    do not.
    """
    there = beside.outline.coords
    turned = [part.frame.local(beside.frame.world(x, y))[:2] for x, y in there.tolist()]
    common = shapely.intersection(part.outline.polygon, shapely.Polygon(turned).buffer(0))
    return shapely.get_coordinates(common) if common.area > SAME else part.outline.coords


def _across(edge: NDArray[np.float64], way: Point, tips: float) -> tuple[Point, Point]:
    """The middle of the edge that is pulled, and the point over against it on the line the part tips about."""
    top = float((edge @ way).max())
    at = edge[(edge @ way) > top - 1e-3].mean(axis=0)
    grip = (float(at[0]), float(at[1]))
    fall = top - tips
    return grip, (grip[0] - fall * way[0], grip[1] - fall * way[1])


def _tell(ctx: Context, group: Group, pull: Pull, mass: float, rating: Rating) -> Told:
    part, joint, n = group.part, pull.joint, len(group.screws)
    hand, weight = ctx.need("hold_pull").value, mass * GRAVITY
    last = ctx.part(joint.members[-1])
    enter, leave = span(last, joint)
    deep = (min(joint.length, leave) - enter) / joint.diameter
    least = ctx.need("hold_penetration").value
    because = (
        f"({hand:.0f} N pull + {weight:.1f} N weight) at an edge {pull.lever:.1f} mm from where {part.label} tips, "
        f"screws there {pull.distance:.1f}: x {pull.lever:.1f} x {pull.distance:.1f} / {pull.squares:.0f} = "
        f"{pull.load:.0f} N on one of {n}; {pull.hold.said}: factor {pull.factor:.1f}; needed {rating.needed:.1f}"
    )
    if deep < least:
        because += f". {deep:.1f} D deep, less than {least:g} D: no joint for a structure"
    if not lines_up(last, joint):
        because += ". Drilled by hand into the edge"
    source = ctx.need("hold_pull").source
    because += f". The pull ({source.flag}): {source.text}"
    remedies = []
    if address := addresses.length(joint):
        remedies.append(ctx.remedy(address, 0.0, "Take a longer screw"))
    remedies.append(ctx.remedy("joint.screw", 0.0, "Take a thicker screw"))
    if joint.id.startswith("screw-header"):
        remedies.append(ctx.remedy("joint.edge", 0.0, "Set the screws farther from the cleat's edge"))
    places = (along_axis(joint, min(joint.length, leave), enter), spot(part, pull.grip, pull.pivot))
    return Told(f"Screws that hold {part.label}", because, places, tuple(remedies))


def gauge(shank: float) -> float:
    """Gauge number of a shank in mm, from D = 0.060 + 0.013 N inches; between the numbers for metric sizes."""
    return (shank / INCH - 0.060) / 0.013


def gauges_for(length: float, tables: Tables = SHIPPED) -> Point:
    """Least and greatest gauge for a length in mm, in between the table's rows on a straight line."""
    read = (
        [row.number(k) for k in ("length", "least", "greatest")] for row in tables.rows("gauges").values()
    )
    rows = np.array(sorted(read))
    return float(np.interp(length, rows[:, 0], rows[:, 1])), float(np.interp(length, rows[:, 0], rows[:, 2]))


def _pair(ctx: Context, screws: list[AxisJoint]) -> Draft:
    """Gauge against the gauges for its length: a thin long screw breaks before it is drawn out."""
    joint = screws[0]
    number, (low, high) = gauge(joint.diameter), gauges_for(joint.length, ctx.cabinet.tables)
    rating = rate(ctx.need("screw_pair"), min(number - low, high - number))

    def tell() -> Told:
        because = (
            f"shank {joint.diameter:.2f} mm is gauge {number:.1f}; for {joint.length:.1f} mm long gauges {low:.1f} to "
            f"{high:.1f}: {rating.measured:.1f} inside; needed {rating.needed:g}"
        )
        address = addresses.length(joint)
        text = "Take a shorter screw" if number < low else "Take a longer screw"
        remedies = [ctx.remedy(address, 0.0, text)] if address else []
        remedies.append(ctx.remedy("joint.screw", 0.0, "Take another gauge"))
        places = (along_axis(joint, joint.length),)
        return Told(f"Length of screw for its gauge: {joint.hardware}", because, places, tuple(remedies))

    parts = tuple(dict.fromkeys(m.part for j in screws for m in j.members))
    return Draft(f"{min(j.id for j in screws)}/pair", parts, rating, tell)

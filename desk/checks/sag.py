"""How far deck, board and gutter floor give under a hand, and whether the deck's own weight makes a ledge in time.

A plate between two walls is a beam across the lane; where it is held by tabs it is also a beam from tab to tab, with
its end standing out past the last one. The two sags are added, which is more than either bends alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np

from desk.cabinet.model import Part
from desk.checks import beams
from desk.checks.context import Context
from desk.checks.finding import Place, Remedy
from desk.checks.mechanics import GRAVITY
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check, rate
from desk.checks.strength import FAMILY, below
from desk.shop.loads import load
from desk.shop.materials import Material, ball_mass
from desk.shop.supplies import hands

PRESSED = {"deck": "hand_lean", "board": "thumb_press", "gutter-floor": "thumb_press"}
"""What presses on each plate, by part id."""
WHAT = {"hand_lean": "a hand that leans", "thumb_press": "a thumb"}


class Plate(NamedTuple):
    """A plate between the walls: mm and MPa; ``across`` is its stiffness over the lane, ``along`` the other way."""

    part: Part
    wood: Material
    span: float
    width: float
    thickness: float
    across: float
    along: float
    tabs: tuple[float, float]
    """Where its tabs begin and end along it; the whole of it without tabs."""
    largest_hole: float


@check(50, "sag", FAMILY, "Sag of deck and floors")
def sag(ctx: Context) -> Iterator[Draft]:
    """Sag and stress under a hand, and the ledge that the deck's weight makes before the kicker."""
    for key, force in PRESSED.items():
        plate = plate_of(ctx, key)
        yield from _pressed(ctx, plate, force)
        if key == "deck":
            yield _ledge(ctx, plate)


def plate_of(ctx: Context, key: str) -> Plate:
    """One of the plates between inner wall and far panel. Raises CannotEvaluate where it is not there."""
    part, points = ctx.cabinet.by_id.get(key), ctx.cabinet.marks.points
    if part is None or "lane" not in points or "far" not in points:
        raise CannotEvaluate(f"there is no {key.replace('-', ' ')} between two walls", (key,))
    wood = ctx.material(part)
    span = abs(points["far"][1] - points["lane"][1])
    _, y0, _, y1 = part.outline.bounds
    carved = max((p.depth for p in part.pockets if p.use == "carving"), default=0.0)
    tabs = [(t.start, t.end) for t in ctx.cabinet.tab_joints if t.part == key]
    ends = (min(s for s, _ in tabs), max(e for _, e in tabs)) if tabs else (y0, y1)
    # local x of these parts runs across the lane
    grain = math.atan2(part.grain[1], part.grain[0])
    stiff = beams.at_angle(
        wood.stiffness * 1000, wood.stiffness_across * 1000, np.array((grain, grain + math.pi / 2))
    )
    holes = [c.loop.bounds for c in part.cutouts]
    largest = max((b[3] - b[1] for b in holes), default=0.0)
    left = max(part.thickness - carved, 0.01)
    return Plate(part, wood, span, y1 - y0, left, float(stiff[0]), float(stiff[1]), ends, largest)


def over_tab(force: float, out: float, between: float, stiffness: float, moment: float) -> float:
    """Sag, mm, of a beam's end ``out`` mm past the second of two supports ``between`` mm apart, under a force there.

    F a² (L + a) / (3 E I): overhanging beam, load at the end (AISC Manual Table 3-23, case 26; from memory).
    """
    return force * out**2 * (between + out) / (3 * stiffness * moment)


def _bends(plate: Plate, force: float, pad: float) -> tuple[float, float, float]:
    """Sag across and along, mm, and the width that carries the force across, mm, at the end of the plate."""
    carried = max(min(pad + plate.span / 2, plate.width) - plate.largest_hole, 1.0)
    across = beams.sag_point(force, plate.span, plate.across, beams.second_moment(carried, plate.thickness))
    lengthwise = beams.second_moment(plate.span, plate.thickness)
    first, last = plate.tabs
    between = max(last - first, 1.0)
    _, y0, _, y1 = plate.part.outline.bounds
    out = max(first - y0, y1 - last, 0.0)
    along = max(
        over_tab(force, out, between, plate.along, lengthwise),
        beams.sag_point(force, between, plate.along, lengthwise),
    )
    return across, along, carried


def _pressed(ctx: Context, plate: Plate, key: str) -> Iterator[Draft]:
    tables = ctx.cabinet.tables
    force = load(key, tables).value
    pad = hands(tables)["hand-breadth"].value if key == "hand_lean" else load("thumb_breadth", tables).value
    across, along, carried = _bends(plate, force, pad)
    label = plate.part.label
    rating = rate(ctx.need("sag"), across + along, upper=True, scale=plate.span, unit="mm")
    because = (
        f"{force:g} N of {WHAT[key]} over {plate.span:.1f} mm: F L³ / (48 E I) with E {plate.across:.0f} MPa, b "
        f"{carried:.0f}, t {plate.thickness:.2f} = {across:.3f} + {along:.3f} from tab to tab = {across + along:.3f} "
        f"mm; at most {plate.span:.1f} x {ctx.need('sag').value:g} = {rating.needed:.3f}"
    )
    yield _draft(ctx, plate, "press", rating, f"Sag of {label} under {WHAT[key]}", because)
    modulus = beams.section_modulus(carried, plate.thickness)
    stress = beams.stress_point(force, plate.span, modulus)
    grain = math.atan2(plate.part.grain[1], plate.part.grain[0])
    bears = float(beams.at_angle(plate.wood.bending, plate.wood.bending_across, np.array(grain)))
    strength = below(stress, bears, ctx.need("bend_strength"), plate.wood.source_of("bending"))
    because = (
        f"{force:g} N of {WHAT[key]}: F L / 4 / (b t² / 6) = {stress:.2f} MPa; bears {bears:.1f} / "
        f"{ctx.need('bend_strength').value:g} = {strength.needed:.1f} ({plate.wood.measured_as})"
    )
    yield _draft(ctx, plate, "bend", strength, f"Bending of {label} under {WHAT[key]}", because)


def _ledge(ctx: Context, plate: Plate) -> Draft:
    """The end of the deck sinks below the kicker under its own weight, and the ball's."""
    balls, lasting = ctx.cabinet.balls, load("lasting", ctx.cabinet.tables).value
    moment = beams.second_moment(1.0, plate.thickness)
    own = plate.wood.density * GRAVITY * plate.thickness * 1e-9
    at_once = beams.sag_spread(own, plate.span, plate.across, moment)
    across, along, _ = _bends(plate, ball_mass(balls.largest, balls.density) * GRAVITY, 0.0)
    rating = rate(ctx.need("ledge"), lasting * at_once + across + along, upper=True)
    because = (
        f"own weight 5 w L⁴ / (384 E I) = {at_once:.4f} mm x {lasting:g} in time + {across + along:.4f} under the ball "
        f"= {rating.measured:.4f} mm; at most {rating.needed:g}"
    )
    return _draft(ctx, plate, "ledge", rating, "Ledge at the end of the deck", because)


def _draft(ctx: Context, plate: Plate, key: str, rating: Rating, title: str, because: str) -> Draft:
    return Draft(
        f"{plate.part.id}/{key}", (plate.part.id,), rating, partial(_told, ctx, plate, rating, title, because)
    )


def _told(ctx: Context, plate: Plate, rating: Rating, title: str, because: str) -> Told:
    x0, _, x1, y1 = plate.part.outline.bounds
    place = Place(plate.part.frame, "line", ((x0, y1), (x1, y1)))
    share = 1.0
    if rating.status != "clear" and rating.measured and rating.unit == "mm":
        share = (
            (rating.measured / (rating.measured - rating.short)) ** (1 / 3)
            if rating.short < rating.measured
            else 1.0
        )
    thicker = plate.thickness * (share - 1)
    remedies: tuple[Remedy, ...] = (
        ctx.remedy(ctx.stock_address(plate.part), thicker, "Take thicker stock"),
        ctx.remedy("lane.width", 0.0, "Make the lane narrower"),
    )
    if plate.part.id == "board":
        remedies = (ctx.remedy("board.floor", thicker, "Leave a thicker floor"), *remedies[1:])
    return Told(title, because, (place,), remedies)

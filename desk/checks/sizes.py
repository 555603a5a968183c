"""Sizes that the bits can make: holes against the drills, V-grooves against the V-bit, lettering that keeps apart.

Whether there is a bit at all, and whether it is long enough, is the depth check's matter.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial

import numpy as np
import shapely

from desk.cabinet.model import Bit, Groove, Part
from desk.checks.bodies import half_width
from desk.checks.context import Context, along_axis, lines_up, listed, span, spot
from desk.checks.cutting import DRILL_FITS
from desk.checks.finding import Place
from desk.checks.registry import MOST_PLACES, Draft, Rating, Told, check, rate
from desk.shapes.loop import SAME, Point, polyline

NOTHING = "There is no hole and no groove in this cabinet."
TOUCHES = 0.25
"""Strokes nearer than this share of the groove's width are parts of one letter."""
Where = tuple[Part, str, Place]


@check(42, "bit-sizes", "Cutting", "Sizes that the bits can make", NOTHING)
def bit_sizes(ctx: Context) -> Iterator[Draft]:
    """Every size of hole against what its drill makes of it; width of V-grooves, and the wood between letters."""
    holes: dict[tuple[float, float, bool], list[Where]] = {}
    for part in ctx.cabinet.parts:
        for drill in part.drills:
            joint = ctx.joints.get(drill.joint)
            if joint is None or lines_up(part, joint):
                depth = part.thickness if drill.depth is None else drill.depth
                where = holes.setdefault((drill.diameter, depth, drill.by_hand), [])
                where.append((part, drill.joint, spot(part, drill.at)))
        for groove in part.grooves:
            yield from _groove(ctx, part, groove)
    for joint in ctx.cabinet.axis_joints:
        for member in joint.members:
            part = ctx.part(member)
            if not lines_up(part, joint):
                enter, leave = span(part, joint)
                where = holes.setdefault((member.diameter, 0.0, True), [])
                where.append((part, joint.id, along_axis(joint, leave, enter)))
    for (size, depth, by_hand), where in holes.items():
        yield from _hole(ctx, size, depth, by_hand, where)


def maker(bits: tuple[Bit, ...], size: float, depth: float, by_hand: bool) -> tuple[Bit, float] | None:
    """The bit whose hole comes nearest to a size, and how large that hole is; None where the machine has none.

    A drill makes its own size. A straight bit long enough makes any larger size on the machine, running round.
    """
    drills = [(b, b.diameter) for b in bits if b.kind == "drill"]
    if not by_hand:
        drills = [(b, made) for b, made in drills if abs(made - size) <= DRILL_FITS]
        drills += [
            (b, size)
            for b in bits
            if b.kind == "straight" and b.diameter <= size and b.cutting_length >= depth
        ]
    return min(drills, key=lambda row: (abs(row[1] - size), -row[0].cutting_length), default=None)


def _hole(ctx: Context, size: float, depth: float, by_hand: bool, where: list[Where]) -> Iterator[Draft]:
    found = maker(ctx.cabinet.shop.bits, size, depth, by_hand)
    if found is None and not by_hand:
        return
    need = ctx.need("hole_size")
    if found is None:
        rating = Rating("conflict", None, need.value, None, need.unit, need.source)
    else:
        rating = rate(need, abs(found[1] - size), upper=True)
    parts = tuple(dict.fromkeys(part.id for part, _, _ in where))
    key = min(f"{joint}/{part.id}" for part, joint, _ in where)
    tell = partial(_tell_hole, ctx, size, by_hand, where, found, rating)
    yield Draft(key, parts, rating, tell, ("hole", size, by_hand))


def _tell_hole(
    ctx: Context,
    size: float,
    by_hand: bool,
    where: list[Where],
    found: tuple[Bit, float] | None,
    rating: Rating,
) -> Told:
    labels = listed(part.label for part, _, _ in where)
    places = tuple(place for _, _, place in where[:MOST_PLACES])
    title = f"{size:.2f} mm hole{', drilled by hand' if by_hand else ''}: {labels}"
    if found is None:
        return Told(title, "there is no drill in the list of bits", places)
    bit, made = found
    because = (
        f"{bit.label} makes {made:.2f} mm, wanted {size:.2f}: {rating.measured:.2f} mm off; at most "
        f"{rating.needed:.2f}"
    )
    remedies = [ctx.remedy(ctx.bit_address(bit, "diameter"), size - made, "Use a drill of this size")]
    uses = {d.use: d for part, _, _ in where for d in part.drills if abs(d.diameter - size) < SAME}
    remedies += [ctx.remedy(a, made - size, text) for use in uses for a, text in _ASKED_BY.get(use, ())]
    return Told(title, because, places, tuple(remedies))


_ASKED_BY: dict[str, tuple[tuple[str, str], ...]] = {
    "dowel": (("joint.dowel_fit", "Change the play in the holes to what the drill gives"),),
    "rod": (("joint.dowel_fit", "Change the play in the holes to what the drill gives"),),
    "pilot": (("joint.pilot", "Drill the pilots as large as the drill there is"),),
    "clearance": (("joint.screw", "Take a screw that the drill there is suits"),),
}
"""By a hole's use, what asks for its size."""


def _groove(ctx: Context, part: Part, groove: Groove) -> Iterator[Draft]:
    width = 2 * half_width(groove)
    vees = [b for b in ctx.cabinet.shop.bits if b.kind == "vee" and b.angle == groove.angle]
    key = f"{part.id}/{groove.use}"
    seen = rate(ctx.need("groove_seen"), width)
    yield Draft(f"{key}/seen", (part.id,), seen, partial(_tell_seen, ctx, part, groove, seen))
    if vees:
        widest = max(vees, key=lambda b: b.diameter)
        rating = rate(ctx.need("vee_width"), widest.diameter - width)
        yield Draft(
            f"{key}/width", (part.id,), rating, partial(_tell_width, ctx, part, groove, widest, rating)
        )
    nearest = strokes_apart(groove) if width > SAME else None
    if nearest is not None:
        rating = rate(ctx.need("letter_ridge"), nearest[0], scale=width, unit="mm")
        tell = partial(_tell_ridge, ctx, part, groove, nearest, rating)
        yield Draft(f"{key}/ridge", (part.id,), rating, tell)


def _tell_width(ctx: Context, part: Part, groove: Groove, bit: Bit, rating: Rating) -> Told:
    width = 2 * half_width(groove)
    because = (
        f"{bit.label}: {bit.diameter:.2f} mm across - groove 2 x {groove.depth:.2f} x tan({groove.angle:g} / 2) = "
        f"{width:.2f} wide = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
    )
    remedies = (
        ctx.remedy(
            "header.groove", -rating.short * groove.depth / max(width, SAME), "Cut the groove less deep"
        ),
        ctx.remedy(ctx.bit_address(bit, "diameter"), rating.short, "Use a wider V-bit"),
    )
    return Told(f"Width of the {groove.use} in {part.label}", because, _strokes(part, groove), remedies)


def _tell_seen(ctx: Context, part: Part, groove: Groove, rating: Rating) -> Told:
    width = 2 * half_width(groove)
    because = (
        f"2 x {groove.depth:.2f} deep x tan({groove.angle:g} / 2) = {width:.2f} mm wide; "
        f"needed {rating.needed:.2f}"
    )
    deeper = rating.short * groove.depth / width if width > SAME else 0.0
    remedies = [ctx.remedy("header.groove", deeper, "Cut the groove deeper")]
    vee = next((b for b in ctx.cabinet.shop.bits if b.kind == "vee" and b.angle == groove.angle), None)
    if vee is not None:
        remedies.append(ctx.remedy(ctx.bit_address(vee, "angle"), 0.0, "Use a blunter V-bit"))
    return Told(
        f"Fineness of the {groove.use} in {part.label}", because, _strokes(part, groove), tuple(remedies)
    )


@lru_cache(maxsize=64)
def strokes_apart(groove: Groove) -> tuple[float, tuple[Point, ...]] | None:
    """Least distance between strokes of different letters, mm, and its two ends; None for a single letter.

    Strokes that all but touch, and what they touch in turn, are one letter.
    """
    lines = np.array(
        [shapely.LineString(polyline(path)) for path in groove.paths if len(path) > 1], dtype=object
    )
    first, second = np.triu_indices(len(lines), 1)
    apart = shapely.distance(lines[first], lines[second])
    letters = np.arange(len(lines))
    for k in np.nonzero(apart <= 2 * TOUCHES * half_width(groove))[0]:
        letters[letters == letters[second[k]]] = letters[first[k]]
    other = letters[first] != letters[second]
    if not other.any():
        return None
    least = int(np.where(other, apart, np.inf).argmin())
    ends = shapely.get_coordinates(shapely.shortest_line(lines[first[least]], lines[second[least]])).tolist()
    return float(apart[least]), tuple((x, y) for x, y in ends)


def _tell_ridge(
    ctx: Context, part: Part, groove: Groove, nearest: tuple[float, tuple[Point, ...]], rating: Rating
) -> Told:
    apart, ends = nearest
    width = 2 * half_width(groove)
    because = (
        f"strokes {apart:.2f} mm apart; needed {ctx.need('letter_ridge').value:g} of the groove's width 2 x "
        f"{groove.depth:.2f} x tan({groove.angle:g} / 2) = {width:.2f}: {rating.needed:.2f}"
    )
    ys = [y for path in groove.paths for _, y, _ in path]
    lack = rating.short / max(apart, SAME)
    remedies = (
        ctx.remedy("header.groove", -groove.depth * lack / (1 + lack), "Cut the groove less deep"),
        # letters of twice the size and more are set anew, not only drawn larger
        ctx.remedy(
            "header.letter", (max(ys) - min(ys)) * lack if lack < 1 else 0.0, "Make the letters larger"
        ),
    )
    places = (spot(part, *ends), *_strokes(part, groove))
    return Told(f"Letters of the {groove.use} in {part.label}", because, places, remedies)


def _strokes(part: Part, groove: Groove) -> tuple[Place, ...]:
    """The first strokes of a groove."""
    paths = [polyline(path) for path in groove.paths if len(path) > 1]
    return tuple(Place(part.frame, "line", tuple(path)) for path in paths[: MOST_PLACES - 1])

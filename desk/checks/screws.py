"""Screws: does the point stay under the face, does the thread bite in the part that holds."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import shapely

from desk.cabinet.model import AxisJoint, Face, Groove, Part
from desk.checks import addresses
from desk.checks.context import Context, along_axis, differing, lines_up, span
from desk.checks.finding import Remedy
from desk.checks.registry import Draft, Told, check, rate
from desk.shapes.frame import dot
from desk.shapes.loop import Loop, Point

FAMILY = "Joints"
NO_SCREW = "There is no screw in this cabinet."


@check(30, "screw-point", FAMILY, "Skin over the screw's point", NO_SCREW)
def screw_point(ctx: Context) -> Iterator[Draft]:
    """Wood between the screw's point, or the end of its pilot hole, and the face it comes nearest to."""
    for joint in ctx.of_kind("screw"):
        member = joint.members[-1]
        part = ctx.part(member)
        enter, leave = span(part, joint)
        pilot = leave - enter if member.depth is None else member.depth
        every = sum(ctx.spread(ctx.part(m)) for m in joint.members)
        own = 0.0 if member.depth is None else ctx.spread(part)
        # a pilot is bored into its own layer; the screw runs through all of them
        left = min(
            (leave - joint.length - every, joint.length, every),
            (leave - enter - pilot - own, enter + pilot, own),
        )
        deepest, differs = left[1:]
        face, cut = _beyond(part, joint)
        shown = face in part.show
        need = ctx.need("screw_skin_show" if shown else "screw_skin")
        rating = rate(need, left[0] - cut)

        def tell(
            joint: AxisJoint = joint,
            part: Part = part,
            ends: tuple[float, float, float, float] = (leave, cut, deepest, differs),
            shown: bool = shown,
            skin: float = left[0] - cut,
            needed: float = need.value,
            short: float = rating.short,
        ) -> Told:
            leave, cut, deepest, differs = ends
            what = "screw" if deepest <= joint.length else "pilot hole"
            layers = " + ".join(f"{t:.2f}" for t in _layers(ctx, joint))
            less = f" - {cut:.2f} cut into the far face" if cut else ""
            because = f"{layers}{less} - {deepest:.2f} {what}{differing(differs)} = {skin:.2f} mm; needed {needed:.2f}"
            side = "the show face" if shown else "the far face"
            places = (along_axis(joint, max(deepest, leave), span(part, joint)[0]),)
            return Told(
                f"Screw's point under {side} of {part.label}", because, places, _lengths(ctx, joint, -short)
            )

        like = (part.id, shown, round(left[0] - cut, 6), joint.length)
        yield Draft(joint.id, (part.id,), rating, tell, like)


@check(31, "screw-bite", FAMILY, "Thread's bite in the holding part", NO_SCREW)
def screw_bite(ctx: Context) -> Iterator[Draft]:
    """Threaded length inside the part that holds, in diameters of the screw."""
    for joint in ctx.of_kind("screw"):
        part = ctx.part(joint.members[-1])
        enter, leave = span(part, joint)
        *front, own = (ctx.spread(ctx.part(m)) for m in joint.members)
        reads = (
            (joint.length - enter - sum(front), sum(front)),
            (leave - enter - own, own),
            (joint.thread, 0.0),
        )
        bite, differs = min(reads)
        need = ctx.need("screw_bite")
        rating = rate(need, bite, scale=joint.diameter, unit="mm")

        def tell(
            joint: AxisJoint = joint,
            part: Part = part,
            enter: float = enter,
            bite: float = bite,
            differs: float = differs,
            needed: float = need.value * joint.diameter,
            short: float = rating.short,
        ) -> Told:
            layers = " - ".join(f"{t:.2f}" for t in _layers(ctx, joint)[:-1])
            less = f"{differing(differs)} = {bite:.2f}" if differs else ""
            because = (
                f"{joint.length:.2f} - {layers} = {joint.length - enter:.2f} mm in {part.label}, thread "
                f"{bite + differs:.2f}{less}; needed {needed / joint.diameter:g} x {joint.diameter:.2f} = {needed:.2f}"
            )
            places = (along_axis(joint, joint.length, enter),)
            return Told(f"Thread's bite in {part.label}", because, places, _lengths(ctx, joint, short))

        yield Draft(
            joint.id, (part.id,), rating, tell, (part.id, round(bite, 6), joint.length, joint.diameter)
        )


def _layers(ctx: Context, joint: AxisJoint) -> list[float]:
    """Length of the axis through each member in turn; a gap counts with what follows it."""
    ends = [span(ctx.part(m), joint)[1] for m in joint.members]
    return [b - a for a, b in zip([0.0, *ends[:-1]], ends, strict=True)]


def _lengths(ctx: Context, joint: AxisJoint, change: float) -> tuple[Remedy, ...]:
    """Another length of screw, or another thickness of the parts it runs through."""
    text = "Take a longer screw" if change > 0 else "Take a shorter screw"
    out = []
    if address := addresses.length(joint):
        out.append(ctx.remedy(address, change, text))
    stocks = dict.fromkeys(ctx.stock_address(ctx.part(m)) for m in reversed(joint.members))
    out += [ctx.remedy(address, 0.0, "Take stock of another thickness") for address in stocks]
    return tuple(out)


def _beyond(part: Part, joint: AxisJoint) -> tuple[Face | None, float]:
    """The face a screw would come out of, and how deep that face is cut where it would."""
    if not lines_up(part, joint):
        return None, 0.0
    face: Face = "B" if dot(part.frame.normal, joint.direction) < 0 else "A"
    x, y, _ = part.frame.local(joint.at)
    reach = joint.diameter / 2
    spot = shapely.Point(x, y)
    cuts = [0.0]
    for pocket in part.pockets:
        if pocket.face == face and pocket.loop.polygon.distance(spot) < reach:
            on_island = any(island.polygon.contains(spot.buffer(reach)) for island in pocket.islands)
            cuts.append(0.0 if on_island else pocket.depth)
    for groove in part.grooves:
        if groove.face == face:
            cuts.append(_groove_depth(groove, (x, y), reach))
    return face, max(cuts)


def _groove_depth(groove: Groove, at: Point, reach: float) -> float:
    """Depth of a V-groove at the nearest point of a circle of radius ``reach``."""
    off = max(float(shapely.Point(at).distance(_lines(groove))) - reach, 0.0)
    if off == 0:
        return groove.depth
    spread = math.tan(math.radians(groove.angle / 2))
    return max(groove.depth - off / spread, 0.0) if spread > 0 else 0.0


@lru_cache(maxsize=64)
def _lines(groove: Groove) -> shapely.MultiLineString:
    return shapely.MultiLineString([Loop(path).coords for path in groove.paths])

"""Where one stands to see a finding: the place and plane its small drawing shows, and what that drawing is called.

Most findings are seen in the plane of their first place, and where their lengths lie is found from the geometry. Some
lie in a plane that does not show what was measured: a play all round a pin, a width along a channel, a depth into a
face. For those a check has a way of its own to stand here; it may also say where its lengths start.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from desk.cabinet.model import Cabinet, Part
from desk.checks.finding import Finding, Place
from desk.shapes.frame import Frame, add
from desk.shapes.loop import SAME, Point
from desk.views.drawing import Ring
from desk.views.hardware import lengthwise, name_of

ASKEW = 0.999
"""A plane whose normal keeps a cosine above this with an axis stands square to it."""


@dataclass(frozen=True)
class Stand:
    """The place shown, and what else is known of it. All points are in the coordinates of the place's frame."""

    place: Place
    line: tuple[Point, Point] | None = None
    """Where the lengths start, and a point a positive one runs towards; None to find it from the geometry."""
    around: tuple[Point, ...] = ()
    """What has to be in view too."""
    outlines: tuple[Ring, ...] = ()
    """Outlines of what is no part of the cabinet: a machine's bed, a sheet."""


def stand(cabinet: Cabinet, finding: Finding) -> Stand:
    """Where to stand to see a finding, which has a place at least."""
    own = STANDS.get(finding.check)
    return (own(cabinet, finding) if own is not None else None) or Stand(finding.places[0])


def _across_pin(cabinet: Cabinet, finding: Finding) -> Stand | None:
    """The middle of a pin in its hole, with the play beside it; seen along the pin."""
    place = finding.places[0]
    joint = next((j for j in cabinet.axis_joints if j.at == place.frame.origin), None)
    if joint is None or finding.measured is None:
        return None
    x = sum(p[0] for p in place.points) / len(place.points)
    pin, hole = joint.diameter / 2, (joint.diameter + finding.measured) / 2
    around = ((x, -pin - 1.0), (x, pin + 1.0))
    across = Place(place.frame, "line", ((x, -hole), (x, hole)))
    return Stand(across, ((x, hole - finding.measured), (x, hole + abs(finding.measured) + 1.0)), around)


def _across_channel(cabinet: Cabinet, finding: Finding) -> Stand | None:
    """The return channel from wall to wall, cut across."""
    leg = cabinet.leg_by_id.get("channel")
    if leg is None or leg.depth is None:
        return None
    x, y, z = finding.places[0].middle
    z += cabinet.balls.largest / 2
    plane = Frame((x, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return Stand(Place(plane, "line", ((y - leg.depth / 2, z), (y + leg.depth / 2, z))))


def _into_face(cabinet: Cabinet, finding: Finding) -> Stand | None:
    """A cut into a part seen in its thickness, from the face down to where the bit has to reach."""
    place = finding.places[0]
    part = next((p for p in cabinet.parts if p.id in finding.parts and p.frame == place.frame), None)
    if part is None or finding.measured is None:
        return None
    x, y = min(place.points)
    depth = _depth(part, place, (x, y))
    if depth is None:
        return None
    plane = Frame(part.frame.world(x, y), part.frame.u, part.frame.normal)
    bottom = (0.0, -depth)
    return Stand(Place(plane, "line", ((0.0, 0.0), bottom)), (bottom, (0.0, -depth - 1.0)))


def _depth(part: Part, place: Place, at: Point) -> float | None:
    """How deep the cut at a place goes from face A; None for one from the other face."""
    if place.kind == "area":
        pocket = next((p for p in part.pockets if at in map(tuple, p.loop.coords.tolist())), None)
        return part.thickness if pocket is None else pocket.depth if pocket.face == "A" else None
    drill = next((d for d in part.drills if d.at == at), None)
    if drill is not None:
        return (part.thickness if drill.depth is None else drill.depth) if drill.face == "A" else None
    groove = next((g for g in part.grooves if g.paths[0][0][:2] == at), None)
    return groove.depth if groove is not None and groove.face == "A" else None


def _on_bed(cabinet: Cabinet, finding: Finding) -> Stand | None:
    """A part on the machine's bed or on its sheet, laid to one corner, and what it leaves or lacks."""
    place = finding.places[0]
    part = next((p for p in cabinet.parts if p.id in finding.parts and p.frame == place.frame), None)
    if part is None or finding.measured is None:
        return None
    shop = cabinet.shop
    x0, y0, x1, y1 = part.outline.bounds
    if finding.key.endswith("/bed"):
        rooms = [(shop.bed_length, shop.bed_width), (shop.bed_width, shop.bed_length)]
        edge = shop.bit(shop.profile_bit).diameter
    else:
        stock = shop.stock(part.stock)
        lies = stock.along_grain if abs(part.grain[0]) > abs(part.grain[1]) else stock.along_grain[::-1]
        rooms = [lies] if stock.grained else [lies, lies[::-1]]
        edge = shop.sheet_margin
    wide, high = max(rooms, key=lambda room: min(room[0] - (x1 - x0), room[1] - (y1 - y0)))
    left, foot = x0 - edge, y0 - edge
    right, top = left + wide, foot + high
    outline = ((left, foot), (right, foot), (right, top), (left, top))
    if right - x1 < top - y1:
        line = ((x1 + edge, (y0 + y1) / 2), (x1 + edge + 1.0, (y0 + y1) / 2))
    else:
        line = (((x0 + x1) / 2, y1 + edge), ((x0 + x1) / 2, y1 + edge + 1.0))
    return Stand(place, line, outline, (outline,))


def _whole(cabinet: Cabinet, finding: Finding) -> Stand:
    """The whole cabinet, where the place is a point of it."""
    place = finding.places[0]
    corners = []
    for part in cabinet.parts:
        for x in (part.extent[0][0], part.extent[1][0]):
            for y in (part.extent[0][1], part.extent[1][1]):
                corners += [place.frame.local((x, y, part.extent[k][2]))[:2] for k in (0, 1)]
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return Stand(place, around=((min(xs), min(ys)), (max(xs), max(ys))))


STANDS: dict[str, Callable[[Cabinet, Finding], Stand | None]] = {
    "dowel-play": _across_pin,
    "channel-width": _across_channel,
    "cut-depth": _into_face,
    "part-fits": _on_bed,
    "stands": _whole,
    "weight": _whole,
}
"""Ways to stand by id of the check; one that gives None leaves it at the first place."""


def caption(cabinet: Cabinet, place: Place, frame: Frame, owner: Part | None) -> str:
    """What the drawing is, in a woodworker's words."""
    if owner is not None:
        return f"Face of {owner.label}"
    for joint in cabinet.axis_joints:
        if joint.at == place.frame.origin and lengthwise(joint, frame):
            return f"Cut along the {name_of(joint)}"
    x, y, z = frame.normal
    if abs(y) > ASKEW:
        return f"Section, from the {'right' if y > 0 else 'left'}"
    if abs(x) > ASKEW:
        return f"Section, from the {'back' if x > 0 else 'front'}"
    if abs(z) > ASKEW:
        return f"Level section, from {'above' if z > 0 else 'below'}"
    return "Section along the slope" if z > 0.5 else "Section on the slant"


def shifted(frame: Frame, towards: Frame, by: float) -> Frame:
    """The frame moved by mm along the normal of another."""
    return frame if abs(by) < SAME else Frame(add(frame.origin, towards.normal, by), frame.u, frame.v)

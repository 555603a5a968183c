"""The joints of the cabinet as records: where tabs stand, where dowels, rods, pins and screws run.

Positions keep the design's edge distance where the parts allow it; the checks tell where they do not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from desk.cabinet.crossparts import lengths, lower_cleat
from desk.cabinet.layout import TAB_BOTTOM_GAP, Layout, Numbers
from desk.cabinet.model import AxisJoint, Member, Side, TabJoint
from desk.shapes.frame import Vec
from desk.shapes.loop import Point
from desk.shop.hardware import WoodScrew, nearest_screw, thread_length

CLEARANCE = 0.5
"""A clearance hole is this much larger than the screw's shank (common practice)."""
ROD_ROOM = 2.5
"""A rod with two blind ends is cut at least this much shorter than its holes, room for glue (common practice)."""
PIN_ROOM = 1.0
"""The same for a pin with one blind hole."""

_LEFT = (0.0, -1.0, 0.0)
_RIGHT = (0.0, 1.0, 0.0)
_FORWARD = (-1.0, 0.0, 0.0)


def tab_joints(d: Numbers, lay: Layout, relief: float) -> list[TabJoint]:
    """Every tab in its mortise, both sides alike."""
    length = lengths(d, lay)
    tab = d.value("board.tab")
    spans: dict[str, list[Point]] = {
        "base": _spread(length["base"], (0.16, 0.5, 0.84), min(36.0, 0.2 * length["base"])),
        "deck": _spread(length["deck"], (0.22, 0.78), min(40.0, 0.3 * length["deck"])),
        "front-stop": _spread(length["front-stop"], (0.5,), 0.55 * length["front-stop"]),
        "gutter-floor": _spread(
            length["gutter-floor"], (0.25, 0.72), min(30.0, 0.3 * length["gutter-floor"])
        ),
        "board": _spread(d.value("board.length"), (0.2, 0.76), min(tab, 0.4 * d.value("board.length"))),
    }
    depth, fit = d.value("joint.mortise"), d.value("joint.mortise_fit")
    out = []
    for part, runs in spans.items():
        for k, (start, end) in enumerate(runs):
            out += _both_sides(f"tab-{part}-{k + 1}", part, (start, end), depth, fit, relief)
    for part in ("cleat-lower", "cleat-upper"):
        runs_out = (2 * relief + 1.0, 0.0)
        out += _both_sides(f"tab-{part}", part, (0.0, length[part]), depth, fit, relief, runs_out)
    return out


def _spread(length: float, shares: Sequence[float], size: float) -> list[Point]:
    return [(length * s - size / 2, length * s + size / 2) for s in shares]


def _both_sides(
    key: str, part: str, span: Point, depth: float, fit: float, relief: float, over_run: Point = (0.0, 0.0)
) -> list[TabJoint]:
    """The tab towards the inner wall and the one towards the far panel."""
    backwards = part.startswith("cleat")
    reach = max(depth - TAB_BOTTOM_GAP, 0.2)
    sides: tuple[tuple[str, str, Side], ...] = (
        ("inner-wall", "wall", "high" if backwards else "low"),
        ("panel-far", "far", "low" if backwards else "high"),
    )
    return [
        TabJoint(f"{key}-{name}", part, wall, side, *span, reach, depth, fit, relief, over_run)
        for wall, name, side in sides
    ]


def axis_joints(d: Numbers, lay: Layout) -> list[AxisJoint]:
    """Every dowel, rod, pin and screw."""
    return [*_return_dowels(d, lay), *_rods(d, lay), _pin(d, lay), _handle(d, lay), *_screws(d, lay)]


def _layers(d: Numbers, key: str) -> list[str]:
    return [f"{key}-{k + 1}" for k in range(round(d.value("return.layers")))]


def return_spots(d: Numbers, lay: Layout) -> dict[str, list[Point]]:
    """(x, z) of the dowels through each part of the return stack."""
    c, lane, r = lay.channel, lay.lane, lay.rear
    edge = d.value("joint.edge")

    def low(x: float) -> Point:
        return (x, (lane.base_top + c.floor(x)) / 2 + 1.0)

    def high(x: float, under: float) -> Point:
        return (x, (c.floor(x) + c.ceiling + under) / 2)

    span = r.back - c.slot
    deck_under = lane.height(lane.deck + 0.12 * span) - lay.t["deck"]
    board_under = lay.face.foot[1] + 0.5 * (lay.face.top[1] - lay.face.foot[1])
    upper = [
        high(max(c.mouth, lane.deck) + edge, deck_under),
        (lane.kick - edge, lane.height(lane.kick) + 2.2 * edge),
        (r.back - 2.4 * edge, (board_under + lay.face.top[1]) / 2 - edge),
    ]
    return {
        "lip-block": [
            (max(0.85 * edge, 4.0), c.tray_floor(c.tray[0]) - 0.75 * edge),
            (c.tray[1] + 0.52 * (c.lip - c.tray[1]), c.tray_z - 1.75),
        ],
        "spacer-lower": [
            low(c.slot + 0.06 * span + edge),
            low(c.slot + 0.5 * span),
            low(r.back - 3.2 * edge),
        ],
        "spacer-upper": upper,
    }


def _return_dowels(d: Numbers, lay: Layout) -> list[AxisJoint]:
    """Pins through inner wall and spacers into blind holes of the return-side panel."""
    pin, length = d.value("joint.dowel"), d.value("joint.dowel_length")
    hole, blind = pin + d.value("joint.dowel_fit"), d.value("joint.dowel_blind")
    out = []
    for key, spots in return_spots(d, lay).items():
        for k, (x, z) in enumerate(spots):
            members = [
                Member("panel-return", hole, blind, "dowel"),
                *(Member(layer, hole, None, "dowel") for layer in _layers(d, key)),
                Member("inner-wall", hole, None, "dowel"),
            ]
            at = (x, lay.across.panel - blind + 0.75, z)
            name = f"dowel {pin:g} x {length:g} mm"
            out.append(
                AxisJoint(
                    f"dowel-{key}-{k + 1}",
                    "dowel",
                    tuple(members),
                    at,
                    _RIGHT,
                    pin,
                    length,
                    glued=False,
                    hardware=name,
                )
            )
    return out


def _rods(d: Numbers, lay: Layout) -> list[AxisJoint]:
    """Two rods through all kicker ribs into both walls."""
    pin, edge = d.value("joint.dowel"), d.value("joint.edge")
    hole, blind = pin + d.value("joint.dowel_fit"), d.value("joint.mortise")
    lane, lip = lay.lane, lay.kick.lip
    length = math.floor(2 * (d.value("lane.width") + 2 * blind - ROD_ROOM)) / 2
    spots = [(lane.kick + edge, lane.base_top + 1.6 * edge), (lip[0] - edge, lane.top - 0.5 * edge)]
    ribs = [f"rib-{n + 1}" for n in range(round(d.value("kicker.ribs")))]
    out = []
    for k, (x, z) in enumerate(spots):
        members = (
            Member("inner-wall", hole, blind, "rod"),
            *(Member(rib, hole, None, "rod") for rib in ribs),
            Member("panel-far", hole, blind, "rod"),
        )
        at = (x, lay.across.lane - blind + 1.0, z)
        name = f"dowel rod {pin:g} mm, cut to {length:g} mm"
        out.append(
            AxisJoint(f"rod-kicker-{k + 1}", "rod", members, at, _RIGHT, pin, length, True, hardware=name)
        )
    return out


def _pin(d: Numbers, lay: Layout) -> AxisJoint:
    """The lifter's pin, tight in both walls, loose in the lifter."""
    pin, play, blind = d.value("lifter.pin"), d.value("lifter.play"), d.value("joint.dowel_blind")
    tight = pin + d.value("joint.dowel_fit")
    members = (
        Member("panel-return", tight, blind, "pin"),
        Member("lifter", pin + play, None, "pin"),
        Member("inner-wall", tight, None, "pin"),
    )
    length = math.floor(blind + lay.across.lane - lay.across.panel - PIN_ROOM)
    at = (d.value("lifter.pin_x"), lay.across.panel - blind + PIN_ROOM / 2, d.value("lifter.pin_z"))
    name = f"dowel rod {pin:g} mm, cut to {length:g} mm"
    return AxisJoint("pin-lifter", "pin", members, at, _RIGHT, pin, length, hardware=name)


def _handle(d: Numbers, lay: Layout) -> AxisJoint:
    """The cross dowel at the lifter's front end."""
    pin, length = d.value("lifter.handle"), d.value("lifter.handle_length")
    middle = (lay.across.panel + lay.across.spacer) / 2
    at = (d.value("lifter.pin_x") - d.value("lifter.reach"), middle - length / 2, d.value("lifter.pin_z"))
    members = (Member("lifter", pin + d.value("joint.dowel_fit"), None, "dowel"),)
    name = f"dowel rod {pin:g} mm, cut to {length:g} mm"
    return AxisJoint("rod-handle", "rod", members, at, _RIGHT, pin, length, True, hardware=name)


def _screws(d: Numbers, lay: Layout) -> list[AxisJoint]:
    screw = nearest_screw(d.value("joint.screw"), d.tables)
    return [
        *_return_screws(d, lay, screw),
        *_cover_screws(d, lay, screw),
        *_header_screws(d, lay, screw),
        *_ramp_screws(d, lay, screw),
    ]


class _Run(Struct, frozen=True):
    """One screw to place: its id, head point, direction, length, and (part, thickness) from head to point."""

    key: str
    at: Vec
    direction: Vec
    length: float
    path: tuple[tuple[str, float], ...]
    pilot_by_hand: bool = False


def _screw(d: Numbers, s: WoodScrew, run: _Run) -> AxisJoint:
    """A countersunk screw: clearance holes, then a pilot in the last part as deep as the point goes."""
    clearance, pilot = s.shank + CLEARANCE, d.value("joint.pilot")
    *through, (last, thick) = run.path
    left = run.length - sum(t for _, t in through)
    members = [
        Member(part, clearance, None, "clearance", head=s.head if k == 0 else 0.0)
        for k, (part, _) in enumerate(through)
    ]
    depth = min(max(left, 1.0), thick)
    hand = run.pilot_by_hand
    members.append(Member(last, pilot, depth, "pilot", by_hand=hand, face="B" if hand else "A"))
    return AxisJoint(
        run.key,
        "screw",
        tuple(members),
        run.at,
        run.direction,
        s.shank,
        run.length,
        root=s.root,
        thread=thread_length(run.length),
        head=s.head,
        head_height=s.head_height,
        hardware=f"countersunk wood screw {s.size} x {run.length:g} mm",
    )


def _return_screws(d: Numbers, lay: Layout, s: WoodScrew) -> list[AxisJoint]:
    """From the lane side through inner wall and spacers into the return-side panel, above the ball's reach."""
    edge, lane, face = d.value("joint.edge"), lay.lane, lay.face
    over_ball = d.value("ball.diameter") + d.value("ball.spread") + 0.7 * edge
    run = lane.kick - lane.deck
    spots = [(lane.deck + 0.3 * run, 0.0), (lane.deck + 0.75 * run, 0.0)]
    points = [(x, lane.height(x) + over_ball) for x, _ in spots]
    for share in (0.4, 0.72):
        x = face.foot[0] + share * (face.top[0] - face.foot[0])
        points.append(
            (x, face.foot[1] + share * (face.top[1] - face.foot[1]) + over_ball / math.cos(face.tilt) + edge)
        )
    path = (
        ("inner-wall", lay.t["wall"]),
        *((layer, lay.t["spacer"]) for layer in reversed(_layers(d, "spacer-upper"))),
        ("panel-return", lay.t["panels"]),
    )
    length = d.value("joint.screw_return")
    return [
        _screw(d, s, _Run(f"screw-return-{k + 1}", (x, lay.across.lane, z), _LEFT, length, path))
        for k, (x, z) in enumerate(points)
    ]


def _lane_share(lay: Layout, share: float) -> float:
    return lay.across.lane + share * (lay.across.far - lay.across.lane)


def _cover_screws(d: Numbers, lay: Layout, s: WoodScrew) -> list[AxisJoint]:
    """From behind through the back cover into both cleats.

    The middle screw of the upper cleat stands off the middle, so that the cleat, which carries the header's holes low,
    cannot go in upside down.
    """
    low = lower_cleat(lay)
    out = []
    for name, (z0, z1), shares in (("lower", low, (0.1, 0.9)), ("upper", lay.rear.cleat, (0.1, 0.46, 0.9))):
        path = (("back-cover", lay.t["cover"]), (f"cleat-{name}", lay.t["cleats"]))
        for k, share in enumerate(shares):
            at = (lay.rear.end, _lane_share(lay, share), (z0 + z1) / 2)
            out.append(
                _screw(
                    d,
                    s,
                    _Run(f"screw-cover-{name}-{k + 1}", at, _FORWARD, d.value("joint.screw_cover"), path),
                )
            )
    return out


def _header_screws(d: Numbers, lay: Layout, s: WoodScrew) -> list[AxisJoint]:
    """From behind through the upper cleat into the header, whose pilots are drilled by hand through the cleat."""
    # low on the cleat, clear of the lettering in the middle of the header
    z = lay.rear.cleat[0] + min(d.value("joint.edge"), 0.3 * d.value("header.cleat"))
    path = (("cleat-upper", lay.t["cleats"]), ("header", lay.t["header"]))
    return [
        _screw(
            d,
            s,
            _Run(
                f"screw-header-{k + 1}",
                (lay.rear.back, _lane_share(lay, share), z),
                _FORWARD,
                d.value("joint.screw_header"),
                path,
                pilot_by_hand=True,
            ),
        )
        for k, share in enumerate((0.27, 0.73))
    ]


def _ramp_screws(d: Numbers, lay: Layout, s: WoodScrew) -> list[AxisJoint]:
    """From behind through the back cover into the catch ramp."""
    path = (
        ("back-cover", lay.t["cover"]),
        *((f"catch-ramp-{k + 1}", lay.t["ramp"]) for k in range(round(d.value("behind.ramp_layers")))),
    )
    z = (lay.rear.ramp_bottom + lay.rear.sill) / 2
    return [
        _screw(
            d,
            s,
            _Run(
                f"screw-ramp-{k + 1}",
                (lay.rear.end, _lane_share(lay, share), z),
                _FORWARD,
                d.value("joint.screw_ramp"),
                path,
            ),
        )
        for k, share in enumerate((0.25, 0.75))
    ]

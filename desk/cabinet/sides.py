"""The upright parts that lie fore and aft: outer panels, inner wall, return spacers, lip block, lifter, kicker ribs.

Outlines are in world (x, z); the far panel alone is turned round, its face A looking to the left.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from desk.cabinet.layout import LIFTER_SINK, LIP_FALL, TONGUE, TONGUE_PLAY, Layout, Numbers
from desk.cabinet.model import EdgeBreak, Part
from desk.cabinet.silhouette import path_to
from desk.shapes.frame import Frame
from desk.shapes.loop import SAME, Loop, Point, Vertex, rounded


def upright(y: float) -> Frame:
    """Frame of a part whose face A lies at ``y`` and looks to the right; local (x, y) is world (x, z)."""
    return Frame((0.0, y, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def outer_panels(d: Numbers, lay: Layout, outline: Loop, stock: str) -> list[Part]:
    """Return-side panel and far panel; their outside edges are rounded over except where they stand."""
    size = d.value("shop.edge_round")
    a = lay.across

    def rounding(loop: Loop) -> tuple[EdgeBreak, ...]:
        run = loop.points[1:] + loop.points[:1]
        return (EdgeBreak(run, False, "rounding", size, "outside edge", "B"),) if size > 0 else ()

    far_loop = outline.mirrored().moved(lay.rear.back, 0.0)
    # start the turned loop at its own first bottom corner, so that the run over the top is one piece
    far_loop = Loop(_starting_at(far_loop.points, (0.0, 0.0)))
    far_frame = Frame((lay.rear.back, a.far, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    thick = lay.t["panels"]
    return [
        Part(
            "panel-return",
            "Outer panel, return side",
            stock,
            thick,
            outline,
            upright(a.panel),
            ("B",),
            breaks=rounding(outline),
        ),
        Part(
            "panel-far",
            "Outer panel, far side",
            stock,
            thick,
            far_loop,
            far_frame,
            ("A", "B"),
            breaks=rounding(far_loop),
        ),
    ]


def _starting_at(points: tuple[Vertex, ...], corner: Point) -> tuple[Vertex, ...]:
    k = min(range(len(points)), key=lambda i: math.dist(points[i][:2], corner))
    return points[k:] + points[:k]


def inner_wall(d: Numbers, lay: Layout, outline: Loop, stock: str) -> Part:
    """The wall between lane and channel: low in front for the fingers, open at the back for the inlet."""
    c, r = lay.channel, lay.rear
    low = c.tray_floor(c.tray[0]) - 0.5
    width, height = d.value("behind.inlet_width"), d.value("behind.inlet_height")
    under = r.sill - TONGUE - TONGUE_PLAY
    path = path_to(outline, c.tray[1])
    notch: list[Vertex] = [
        (r.back, under, 0.0),
        (r.back - width, under, 0.0),
        (r.back - width, r.sill + height, 0.0),
        (r.back, r.sill + height, 0.0),
    ]
    loop = Loop(((0.0, 0.0, 0.0), path[0], *notch, *path[1:], (c.tray[1], low, 0.0), (0.0, low, 0.0)))
    return Part("inner-wall", "Inner wall", stock, lay.t["wall"], loop, upright(lay.across.lane), ("A",))


def spacers(d: Numbers, lay: Layout, outline: Loop, stock: str, corner: float) -> list[Part]:
    """Lip block, lower and upper spacer, each once a layer. ``corner`` as for the lip block."""
    loops = {
        "lip-block": ("Lip block", lip_block(d, lay, corner)),
        "spacer-lower": ("Return spacer, lower", _lower(d, lay)),
        "spacer-upper": ("Return spacer, upper", _upper(lay, outline)),
    }
    out = []
    layers = round(d.value("return.layers"))
    for k in range(layers):
        y = lay.across.panel + (k + 1) * lay.t["spacer"]
        for key, (label, loop) in loops.items():
            name = label if layers == 1 else f"{label}, layer {k + 1}"
            out.append(Part(f"{key}-{k + 1}", name, stock, lay.t["spacer"], loop, upright(y)))
    return out


def _pin(d: Numbers) -> Point:
    return d.value("lifter.pin_x"), d.value("lifter.pin_z")


def _on_circle(centre: Point, radius: float, z: float) -> float:
    """x of the circle's right-hand side at height z; that of its top where z is out of range."""
    rise = z - centre[1]
    return centre[0] + math.sqrt(max(radius * radius - rise * rise, 1e-6))


def _arc_bulge(centre: Point, start: Point, end: Point) -> float:
    """Bulge of the shorter arc about ``centre`` from start to end."""
    a = math.atan2(start[1] - centre[1], start[0] - centre[0])
    b = math.atan2(end[1] - centre[1], end[0] - centre[0])
    return math.tan(((b - a + math.pi) % (2 * math.pi) - math.pi) / 4)


def lip_block(d: Numbers, lay: Layout, corner: float) -> Loop:
    """Tray, front wall and lip. The lip's rear face is an arc about the lifter pin, so that the lifter clears it.

    ``corner`` is the radius that the bit leaves in the lifter's neck: the lip's lower corner, which turns into the
    neck, is rounded by it.
    """
    c, pin = lay.channel, _pin(d)
    travel = math.radians(d.value("lifter.travel"))
    radius = math.dist(pin, (c.lip, c.floor_z))
    under = pin[1] + (d.value("lifter.arm") / 2 + d.value("lifter.play")) / math.cos(travel)
    high = (_on_circle(pin, radius, c.lip_z), c.lip_z)
    wall_top = c.tray_floor(c.tray[0]) + 0.6 * d.value("ball.diameter")
    points: list[Vertex] = [
        (0.0, under, 0.0),
        (pin[0], under, 0.0),
        *_under_lip(pin, radius, under, travel, corner, high),
        (*high, 0.0),
        (c.tray[1], c.lip_z - LIP_FALL, 0.0),
        (c.tray[1], c.tray_z, 0.0),
        (c.tray[0], c.tray_floor(c.tray[0]), 0.0),
        (c.tray[0], wall_top, 0.0),
        (0.0, wall_top + LIP_FALL, 0.0),
    ]
    return Loop(tuple(points))


def _under_lip(
    pin: Point, radius: float, under: float, travel: float, corner: float, high: Point
) -> list[Vertex]:
    """From the underside, which rises behind the pin at ``travel``, round a corner into the arc up to ``high``."""

    def meet(inside: float) -> Point:
        """Where the underside and the arc meet, both moved into the wood by ``inside``."""
        slope, rise = math.tan(travel), under + inside / math.cos(travel) - pin[1]
        a, b, k = 1 + slope * slope, 2 * slope * rise, rise * rise - (radius - inside) ** 2
        run = (-b + math.sqrt(max(b * b - 4 * a * k, 0.0))) / (2 * a)
        return pin[0] + run, pin[1] + rise + slope * run

    low = meet(0.0)
    corner = min(corner, 0.3 * math.dist(low, high), 0.3 * (low[0] - pin[0]))
    if corner < SAME:
        return [(*low, _arc_bulge(pin, low, high))]
    centre = meet(corner)
    start = (centre[0] + corner * math.sin(travel), centre[1] - corner * math.cos(travel))
    share = radius / (radius - corner)
    end = (pin[0] + (centre[0] - pin[0]) * share, pin[1] + (centre[1] - pin[1]) * share)
    return [(*start, _arc_bulge(centre, start, end)), (*end, _arc_bulge(pin, end, high))]


def _lower(d: Numbers, lay: Layout) -> Loop:
    """The channel floor from the lifter slot to the back; its front is an arc about the lifter pin."""
    c, pin, back = lay.channel, _pin(d), lay.rear.back
    top = (c.slot, c.floor(c.slot))
    radius = math.dist(pin, top)
    foot = (_on_circle(pin, radius, 0.0), 0.0)
    return Loop(
        ((*foot, 0.0), (back, 0.0, 0.0), (back, c.floor(back), 0.0), (*top, _arc_bulge(pin, top, foot)))
    )


def _upper(lay: Layout, outline: Loop) -> Loop:
    """The cover over the channel, up to the silhouette."""
    c, back = lay.channel, lay.rear.back
    path = path_to(outline, c.mouth)
    return Loop(
        ((c.mouth, c.floor(c.mouth) + c.ceiling, 0.0), (back, c.floor(back) + c.ceiling, 0.0), *path[1:])
    )


def lifter(d: Numbers, lay: Layout, stock: str) -> Part:
    """A lever on a pin: a handle in front, and under the waiting ball a head bounded by arcs about the pin."""
    c, pin = lay.channel, _pin(d)
    half, play = d.value("lifter.arm") / 2, d.value("lifter.play")
    inner = math.dist(pin, (c.lip, c.floor_z)) + play
    outer = math.dist(pin, (c.slot, c.floor(c.slot))) - play

    def pad(x: float) -> float:
        return c.floor(x) - LIFTER_SINK

    front, rear = _meet(pin, inner, pad), _meet(pin, outer, pad)
    heel = (_on_circle(pin, outer, pin[1] - half), pin[1] - half)
    neck = (_on_circle(pin, inner, pin[1] + half), pin[1] + half)
    tip = pin[0] - d.value("lifter.reach")
    points: list[Vertex] = [
        (tip, pin[1] - half, 0.0),
        (*heel, _arc_bulge(pin, heel, rear)),
        (*rear, 0.0),
        (*front, _arc_bulge(pin, front, neck)),
        (*neck, 0.0),
        (tip, pin[1] + half, 1.0),
    ]
    thick = lay.t["lifter"]
    y = (lay.across.panel + lay.across.spacer + thick) / 2
    return Part("lifter", "Lifter", stock, thick, Loop(tuple(points)), upright(y), ("A", "B"))


def _meet(centre: Point, radius: float, height: Callable[[float], float]) -> Point:
    """Where the circle's right-hand side meets a gently sloping line ``height(x)``, by fixed-point steps."""
    x = centre[0] + radius
    for _ in range(30):
        x = _on_circle(centre, radius, height(x))
    return x, height(x)


def kicker_ribs(d: Numbers, lay: Layout, stock: str) -> list[Part]:
    """Ribs glued face to face across the lane, all alike; the stack is centred.

    Their front follows the deck's square end, which leans back by the deck's rise, and drops plumb below it.
    """
    k, lane, deck = lay.kick, lay.lane, lay.t["deck"]
    sweep = k.exit - lane.rise
    under = (lane.kick + deck * math.sin(lane.rise), lane.top - deck * math.cos(lane.rise))
    corners = [
        (*under, 0.0),
        (under[0], lane.base_top, 0.0),
        (k.lip[0], lane.base_top, 0.0),
        (*k.lip, d.value("kicker.lip_round")),
        (*k.end, 0.0),
        (lane.kick, lane.top, 0.0),
    ]
    made = rounded(corners).points
    at = min(range(len(made)), key=lambda i: math.dist(made[i][:2], k.end))
    points = tuple((x, y, -math.tan(sweep / 4) if i == at else b) for i, (x, y, b) in enumerate(made))
    count, thick = round(d.value("kicker.ribs")), lay.t["ribs"]
    start = (lay.across.lane + lay.across.far - count * thick) / 2
    return [
        Part(
            f"rib-{n + 1}",
            f"Kicker rib {n + 1}",
            stock,
            thick,
            Loop(points),
            upright(start + (n + 1) * thick),
            grain=(0.0, 1.0),
        )
        for n in range(count)
    ]

"""The parts that stand between the inner wall and the far panel: base, deck, front stop, gutter floor, cleats, header,
back cover, catch ramp. Their local x runs across the cabinet to the right (to the left for those seen from
behind), local y along the part. Tabs come from the tab joints.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from desk.cabinet.joinery import tabbed_outline
from desk.cabinet.layout import TONGUE, TONGUE_SIDE, Layout, Numbers
from desk.cabinet.model import Part, TabJoint
from desk.shapes.frame import Frame, Vec
from desk.shapes.loop import Loop, Point, polygon_loop, rect

_ACROSS: Vec = (0.0, 1.0, 0.0)
_UP: Vec = (0.0, 0.0, 1.0)
LEAST_LENGTH = 1.0
"""A part that the sizes around it leave no room for keeps this length, mm, so that it still has an outline."""


def body_width(d: Numbers) -> float:
    """Width of a cross part between its tabs."""
    return d.value("lane.width") - 2 * d.value("joint.side_gap")


def plate(d: Numbers, lay: Layout, at: Point, angle: float) -> Frame:
    """Frame of a plate whose upper face starts at (x, z) ``at`` and climbs to the back at ``angle`` radians."""
    y = lay.across.lane + d.value("joint.side_gap")
    return Frame((at[0], y, at[1]), _ACROSS, (math.cos(angle), 0.0, math.sin(angle)))


def facing_front(d: Numbers, lay: Layout, x: float, z: float) -> Frame:
    """Frame of an upright part whose face A looks at the player."""
    return Frame((x, lay.across.lane + d.value("joint.side_gap"), z), _ACROSS, _UP)


def facing_back(y: float, x: float, z: float) -> Frame:
    """Frame of an upright part whose face A looks to the back; its x = 0 lies at ``y``, on the player's right."""
    return Frame((x, y, z), (0.0, -1.0, 0.0), _UP)


def base_span(lay: Layout) -> Point:
    """x range of the base: from the front edge to the lower cleat."""
    return 3.0, lay.rear.back - lay.t["cleats"] - 1.0


def lower_cleat(lay: Layout) -> Point:
    """z range of the lower cleat, between base and catch ramp."""
    return lay.lane.base_top + 1.0, lay.rear.ramp_bottom - 1.0


def frames(d: Numbers, lay: Layout) -> dict[str, Frame]:
    """Frame of every cross part, by part id."""
    a, r, lane = lay.across, lay.rear, lay.lane
    gap = d.value("joint.side_gap")
    return {
        "base": plate(d, lay, (base_span(lay)[0], lane.base_top), 0.0),
        "deck": plate(d, lay, (lane.deck, lane.height(lane.deck)), lane.rise),
        "front-stop": facing_front(d, lay, lane.stop, lane.base_top),
        "gutter-floor": plate(d, lay, r.gutter_front, -r.gutter_slope),
        "cleat-lower": facing_back(a.far - gap, r.back, lower_cleat(lay)[0]),
        "cleat-upper": facing_back(a.far - gap, r.back, r.cleat[0]),
        "header": facing_front(d, lay, r.back - lay.t["cleats"] - lay.t["header"], r.header[0]),
        "back-cover": facing_back(a.end, r.end, 0.0),
    }


def lengths(d: Numbers, lay: Layout) -> dict[str, float]:
    """Length along local y of the cross parts with tabs, by part id; never less than ``LEAST_LENGTH``."""
    r, lane = lay.rear, lay.lane
    base, low = base_span(lay), lower_cleat(lay)
    wanted = {
        "base": base[1] - base[0],
        "deck": d.value("lane.length") / math.cos(lane.rise),
        "front-stop": lane.height(lane.deck) + d.value("lane.stop_height") - lane.base_top,
        "gutter-floor": (r.gutter_rear[0] - r.gutter_front[0]) / math.cos(r.gutter_slope),
        "cleat-lower": low[1] - low[0],
        "cleat-upper": r.cleat[1] - r.cleat[0],
    }
    return {key: max(length, LEAST_LENGTH) for key, length in wanted.items()}


def tabbed_parts(d: Numbers, lay: Layout, tabs: Sequence[TabJoint], stocks: dict[str, str]) -> list[Part]:
    """Base, deck, front stop, gutter floor and both cleats, with their tabs."""
    made = {
        "base": ("Base", "base", ("B",)),
        "deck": ("Deck", "deck", ("A",)),
        "front-stop": ("Front stop", "stop", ("A", "B")),
        "gutter-floor": ("Gutter floor", "gutter", ("A",)),
        "cleat-lower": ("Lower cleat", "cleats", ()),
        "cleat-upper": ("Upper cleat", "cleats", ()),
    }
    frame, length, width, gap = frames(d, lay), lengths(d, lay), body_width(d), d.value("joint.side_gap")
    out = []
    for key, (label, role, show) in made.items():
        outline = tabbed_outline(width, length[key], [t for t in tabs if t.part == key], gap)
        grain = (1.0, 0.0) if key.startswith("cleat") or key == "front-stop" else (0.0, 1.0)
        out.append(Part(key, label, stocks[role], lay.t[role], outline, frame[key], show, grain=grain))  # type: ignore[arg-type]
    return out


def header_blank(d: Numbers, lay: Layout, stock: str) -> Part:
    """The header before lettering; screwed from behind, so it has no tabs."""
    r = lay.rear
    outline = rect(0.0, 0.0, body_width(d), r.header[1] - r.header[0])
    return Part("header", "Header", stock, lay.t["header"], outline, frames(d, lay)["header"], ("A",))


def back_cover(d: Numbers, lay: Layout, outline: Loop, stock: str) -> Part:
    """The cover over the whole back, from the base's underside to the top of the rear edge."""
    top = max((y for x, y, _ in outline.points if x > lay.rear.back - 1e-6), default=lay.rear.cleat[1])
    low = d.value("lane.base_height")
    loop = rect(0.0, low, lay.across.end, max(top, low + 5.0))
    frame = frames(d, lay)["back-cover"]
    return Part("back-cover", "Back cover", stock, lay.t["cover"], loop, frame, ("A",), grain=(1.0, 0.0))


def catch_ramps(d: Numbers, lay: Layout, stock: str) -> list[Part]:
    """The catch ramp's layers, screwed and glued to the back cover; the top edge falls to the return side.

    A tongue at the low end reaches through the inlet to the channel, so that no ledge of the wall is in the way.
    Layers that lie in front of the inlet have none and end at the wall.
    """
    r, gap, width = lay.rear, d.value("joint.side_gap"), body_width(d)
    fall = math.tan(math.radians(d.value("behind.catch_slope")))
    # local x runs from the far panel to the inner wall and on through it
    reach = width + gap + lay.t["wall"] - 0.2
    low = r.sill - r.ramp_bottom
    tongue = max(low - TONGUE, 1.0)
    foot = [(0.0, 0.0), (width, 0.0)]
    head = (0.0, low + fall * reach)
    with_tongue = polygon_loop([*foot, (width, tongue), (reach, tongue), (reach, low), head])
    without = polygon_loop([*foot, (width, low + fall * (reach - width)), head])
    count, thick = round(d.value("behind.ramp_layers")), lay.t["ramp"]
    inlet = d.value("behind.inlet_width") - TONGUE_SIDE
    out = []
    for k in range(count):
        loop = with_tongue if (k + 1) * thick <= inlet else without
        frame = facing_back(lay.across.far - gap, r.back - k * thick, r.ramp_bottom)
        name = "Catch ramp" if count == 1 else f"Catch ramp, layer {k + 1}"
        out.append(Part(f"catch-ramp-{k + 1}", name, stock, thick, loop, frame))
    return out

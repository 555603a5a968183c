"""Design to cabinet: a pure function. Everything else reads the cabinet it returns.

The cabinet is laid out with its return on the left and reflected at the end where the design wants it on the right.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from desk.cabinet.board import board_part
from desk.cabinet.crossparts import (
    back_cover,
    body_width,
    catch_ramps,
    header_blank,
    tabbed_parts,
)
from desk.cabinet.joinery import drilled, mortised
from desk.cabinet.joints import axis_joints, tab_joints
from desk.cabinet.keep import kept_leg, kept_part, kept_shop
from desk.cabinet.landmarks import landmarks
from desk.cabinet.layout import Layout, lay_out
from desk.cabinet.lettering import strokes
from desk.cabinet.mirror import mirrored
from desk.cabinet.model import (
    Balls,
    Bit,
    Cabinet,
    DowelInDrawer,
    Drawer,
    Groove,
    Part,
    People,
    ScrewInDrawer,
    Shop,
    Stock,
    TabJoint,
    Target,
)
from desk.cabinet.route import planes, route
from desk.cabinet.sides import inner_wall, kicker_ribs, lifter, outer_panels, spacers
from desk.cabinet.silhouette import side_outline
from desk.design.model import Design
from desk.shop.materials import ball_material, material

ROLES = (
    "panels", "wall", "spacer", "deck", "stop", "ribs", "board", "gutter", "ramp", "cover", "header", "cleats", "base",
    "lifter",
)  # fmt: skip
"""What stocks are chosen for; the choice is ``stock.<role>``."""


def build(design: Design) -> Cabinet:
    """The cabinet of a design. Raises nothing on a design that has passed its own checks."""
    stocks = {role: design.choice(f"stock.{role}") for role in ROLES}
    thickness = {role: design.stock(key).measured for role, key in stocks.items()}
    lay = lay_out(design, thickness)
    shop = kept_shop(_shop(design))
    targets = _targets(design)
    right = design.choice("return.side") == "right"
    # tab roots are cut with one bit and mortises with the other: the larger has to get into both
    relief = max(shop.bit(key).diameter for key in (shop.profile_bit, shop.pocket_bit)) / 2
    tabs = tab_joints(design, lay, relief)
    axes = axis_joints(design, lay)
    parts = _parts(design, lay, stocks, tabs, tuple(_turned(t) for t in targets) if right else targets)
    body = body_width(design)
    parts = mortised(parts, tabs, {t.part: body for t in tabs})
    parts = [kept_part(p) for p in drilled(parts, axes)]
    cabinet = Cabinet(
        name=design.name,
        parts=tuple(parts),
        axis_joints=tuple(axes),
        tab_joints=tuple(tabs),
        legs=(),
        balls=_balls(design),
        shop=shop,
        targets=targets,
        marks=landmarks(design, lay),
        planes=planes(lay),
        tables=design.tables,
        region=design.choice("overall.region"),
        people=_people(design),
    )
    cabinet = replace(cabinet, legs=tuple(kept_leg(leg) for leg in route(cabinet, lay)))
    return _kept(mirrored(cabinet, lay.across.end)) if right else cabinet


def _kept(cabinet: Cabinet) -> Cabinet:
    """A reflected cabinet with the parts and legs that are as they were before."""
    return replace(
        cabinet,
        parts=tuple(kept_part(p, turned=True) for p in cabinet.parts),
        legs=tuple(kept_leg(leg, turned=True) for leg in cabinet.legs),
    )


def _parts(
    design: Design, lay: Layout, stocks: dict[str, str], tabs: Sequence[TabJoint], targets: Sequence[Target]
) -> list[Part]:
    points = [(p.origin, p.x, p.z, p.radius) for p in design.silhouette]
    outline = side_outline(points, lay.rear.back)
    header = header_blank(design, lay, stocks["header"])
    corner = next(b.diameter for b in design.bits if b.id == design.choice("bit.profile")) / 2
    local = tuple(replace(t, at=(t.at[0] + body_width(design) / 2, t.at[1])) for t in targets)
    return [
        *outer_panels(design, lay, outline, stocks["panels"]),
        inner_wall(design, lay, outline, stocks["wall"]),
        *spacers(design, lay, outline, stocks["spacer"], corner),
        lifter(design, lay, stocks["lifter"]),
        *kicker_ribs(design, lay, stocks["ribs"]),
        *tabbed_parts(design, lay, tabs, stocks),
        board_part(design, lay, [t for t in tabs if t.part == "board"], local, stocks["board"]),
        replace(header, grooves=_lettering(design, header)),
        back_cover(design, lay, outline, stocks["cover"]),
        *catch_ramps(design, lay, stocks["ramp"]),
    ]


def _lettering(design: Design, header: Part) -> tuple[Groove, ...]:
    """The nameplate's text in the middle of the header, cut with the V-bit.

    For a return on the right it is laid out back to front, as the whole header is reflected afterwards.
    """
    paths, width = strokes(design.header_text, design.value("header.letter"))
    if not paths:
        return ()
    x0, y0, x1, y1 = header.outline.bounds
    dx, dy = (x0 + x1 - width) / 2, (y0 + y1 - design.value("header.letter")) / 2
    sign, edge = (-1.0, x0 + x1) if design.choice("return.side") == "right" else (1.0, 0.0)
    moved = tuple(tuple((edge + sign * (x + dx), y + dy, sign * b) for x, y, b in path) for path in paths)
    bit = next(b for b in design.bits if b.id == design.choice("bit.vee"))
    return (Groove(moved, bit.angle, design.value("header.groove"), "lettering"),)


def _turned(target: Target) -> Target:
    return replace(target, at=(-target.at[0], target.at[1]))


def _targets(design: Design) -> tuple[Target, ...]:
    return tuple(
        Target(k + 1, t.kind, (t.across, t.up), t.hole, t.rail, t.score) for k, t in enumerate(design.targets)
    )


def _balls(design: Design) -> Balls:
    key = design.choice("ball.material")
    v = design.value
    density = ball_material(key, design.tables).density
    count = round(v("ball.count"))
    return Balls(v("ball.diameter"), v("ball.spread"), count, key, density, design.ball_readings)


def _people(design: Design) -> People:
    v = design.value
    return People(v("people.slow"), v("people.fast"), v("people.aim_spread"), v("people.speed_spread"))


def _shop(design: Design) -> Shop:
    v = design.value
    return Shop(
        stocks=tuple(
            Stock(
                s.id, s.label, s.material, s.nominal, s.measured, s.sheet_length, s.sheet_width,
                s.grain != "none" and material(s.material, design.tables).kind != "board",
                s.readings, s.grain, s.price,
            )
            for s in design.stocks
        ),
        bits=tuple(Bit(b.id, b.label, b.kind, b.diameter, b.cutting_length, b.angle) for b in design.bits),
        profile_bit=design.choice("bit.profile"),
        pocket_bit=design.choice("bit.pocket"),
        bed_length=v("shop.bed_length"),
        bed_width=v("shop.bed_width"),
        sheet_margin=v("shop.sheet_margin"),
        part_gap=v("shop.part_gap"),
        film=v("finish.coats") * v("finish.film"),
        film_in_joints=design.choice("finish.joints") == "lacquered",
        drawer=Drawer(
            tuple(DowelInDrawer(d.id, d.label, d.diameter, d.length) for d in design.dowels),
            tuple(ScrewInDrawer(s.id, s.label, s.size, s.length) for s in design.screws),
        ),
    )  # fmt: skip

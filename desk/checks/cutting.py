"""Whether the bits are long enough, and whether parts fit the bed and the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial

import numpy as np

from desk.cabinet.model import Bit, Part
from desk.checks.context import Context, listed, patch, spot
from desk.checks.finding import Remedy
from desk.checks.home import home
from desk.checks.registry import MOST_PLACES, Draft, Rating, Sieve, Told, check, rate
from desk.shapes.loop import SAME, Loop, Point

FAMILY = "Cutting"
DRILL_FITS = 0.15
"""A drill makes a hole whose size is within this of its own, mm (common practice: holes come out a little large)."""


def bit_for_hole(bits: tuple[Bit, ...], diameter: float) -> Bit | None:
    """The longest bit that makes a hole: a drill of its size, or a straight bit that circles in it."""
    able = [
        b
        for b in bits
        if (b.kind == "drill" and abs(b.diameter - diameter) <= DRILL_FITS)
        or (b.kind == "straight" and b.diameter <= diameter)
    ]
    return max(able, key=lambda b: b.cutting_length, default=None)


@check(41, "cut-depth", FAMILY, "Depth of cut against the bit's cutting length", "There is nothing to cut.")
def cut_depth(ctx: Context) -> Iterator[Draft]:
    """Outlines and openings through the sheet, pockets, grooves and machine-drilled holes."""
    cuts: dict[tuple[str, float, float, bool], list[tuple[Part, Loop | Point]]] = {}

    def add(what: str, size: float, depth: float, through: bool, part: Part, at: Loop | Point) -> None:
        cuts.setdefault((what, size, depth, through), []).append((part, at))

    for part in ctx.cabinet.parts:
        add("profile", 0.0, part.thickness, True, part, part.outline)
        for pocket in part.pockets:
            add("pocket", 0.0, pocket.depth, False, part, pocket.loop)
        for groove in part.grooves:
            add("V-groove", groove.angle, groove.depth, False, part, groove.paths[0][0][:2])
        for hole in part.drills:
            if not hole.by_hand:
                through = hole.depth is None or hole.depth >= part.thickness
                depth = part.thickness if hole.depth is None else hole.depth
                add("hole", hole.diameter, depth, through, part, hole.at)
    for (what, size, depth, through), where in cuts.items():
        yield _depth(ctx, what, size, depth, through, where)
        bit = _bit_for(ctx, what, size)
        if bit is not None and bit.kind == "straight":
            yield _slender(ctx, bit, what, depth, where)


def _slender(
    ctx: Context, bit: Bit, what: str, depth: float, where: list[tuple[Part, Loop | Point]]
) -> Draft:
    """Depth of a cut in diameters of its straight bit."""
    rating = rate(ctx.need("cut_slender"), depth / bit.diameter, upper=True)
    parts = tuple(dict.fromkeys(part.id for part, _ in where))

    def tell() -> Told:
        because = (
            f"{bit.label}: {depth:.2f} deep / {bit.diameter:.2f} across = {rating.measured:.1f} diameters; at most "
            f"{rating.needed:g}"
        )
        places = tuple(patch(p, at) if isinstance(at, Loop) else spot(p, at) for p, at in where[:MOST_PLACES])
        thicker = depth / (ctx.need("cut_slender").value - ctx.need("cut_slender").tight) - bit.diameter
        change = thicker if rating.short > 0 else 0.0
        remedies = (ctx.remedy(ctx.bit_address(bit, "diameter"), change, "Use a thicker bit"),)
        title = f"Thin bit for the {what}: {listed(part.label for part, _ in where)}"
        return Told(title, because, places, remedies)

    like = ("slender", bit.id, what) if what == "hole" else None
    return Draft(f"{what}/{parts[0]}/slender {depth:.2f}", parts, rating, tell, like)


def _bit_for(ctx: Context, what: str, size: float) -> Bit | None:
    if what == "profile":
        return ctx.profile_bit
    if what == "pocket":
        return ctx.pocket_bit
    if what == "hole":
        return bit_for_hole(ctx.cabinet.shop.bits, size)
    vees = [b for b in ctx.cabinet.shop.bits if b.kind == "vee" and b.angle == size]
    return max(vees, key=lambda b: b.cutting_length, default=None)


def _depth(
    ctx: Context, what: str, size: float, depth: float, through: bool, where: list[tuple[Part, Loop | Point]]
) -> Draft:
    need = ctx.need("cut_through" if through else "cut_depth")
    bit = _bit_for(ctx, what, size)
    parts = tuple(dict.fromkeys(part.id for part, _ in where))
    name = f"{size:.2f} mm {what}" if what == "hole" else what
    key = f"{what}/{parts[0]}/{'through' if through else 'blind'}"
    if bit is None:
        rating = Rating("conflict", None, None, None, "mm", need.source)
    else:
        rating = rate(need, bit.cutting_length - depth)

    def tell() -> Told:
        labels = listed(part.label for part, _ in where)
        shown = where[:MOST_PLACES]
        places = tuple(patch(p, at) if isinstance(at, Loop) else spot(p, at) for p, at in shown)
        if bit is None:
            vee = f"no {size:g} degree V-bit"
            fitting = (
                vee if what == "V-groove" else f"neither a {size:.2f} mm drill nor a thinner straight bit"
            )
            return Told(f"No bit for the {name}: {labels}", f"the list of bits holds {fitting}", places)
        because = (
            f"{bit.label}: cutting length {bit.cutting_length:.2f} - {depth:.2f} deep = {rating.measured:.2f} mm; "
            f"needed {rating.needed:.2f}"
        )
        whole = abs(depth - where[0][0].thickness) < SAME
        remedies = _remedies(ctx, bit, where[0][0], rating, whole)
        return Told(f"Depth of the {name}: {labels}", because, places, remedies)

    return Draft(key, parts, rating, tell)


def _remedies(ctx: Context, bit: Bit, part: Part, rating: Rating, whole: bool) -> tuple[Remedy, ...]:
    """A longer bit; where the cut takes the whole thickness, thinner stock."""
    longer = ctx.remedy(ctx.bit_address(bit, "cutting_length"), rating.short, "Use a longer bit")
    if not whole:
        return (longer,)
    return (longer, ctx.remedy(ctx.stock_address(part), -rating.short, "Take thinner stock"))


@check(45, "part-fits", FAMILY, "Part fits the bed and the sheet", "There is nothing to cut.")
def part_fits(ctx: Context) -> Iterator[Draft]:
    """Each part with the bit's way round it against the bed; with margins and grain kept against the sheet."""
    shop = ctx.cabinet.shop
    around, margins = 2 * ctx.profile_bit.diameter, 2 * shop.sheet_margin
    bed, sheet, sieve = ctx.need("fit_bed"), ctx.need("fit_sheet"), Sieve()
    stocks = {s.id: s for s in shop.stocks}
    between = rate(ctx.need("gap_for_bit"), shop.part_gap - ctx.profile_bit.diameter)
    if between.status != "clear":
        yield Draft("gap", tuple(p.id for p in ctx.cabinet.parts), between, partial(_tell_gap, ctx, between))
    for part in ctx.cabinet.parts:
        size = _extent(part)
        spare = _spare(size, (shop.bed_length, shop.bed_width), turns=True) - around
        like = (part.stock, round(size[0], 6), round(size[1], 6))
        if sieve.wants(spare - bed.value, bed.tight):
            rating = rate(bed, spare)
            tell = partial(_tell_bed, ctx, part, size, around, rating)
            yield Draft(f"{part.id}/bed", (part.id,), rating, tell, ("bed", *like))
        stock = stocks[part.stock]
        spare = _spare(size, stock.along_grain, turns=not stock.grained) - margins
        if sieve.wants(spare - sheet.value, sheet.tight):
            rating = rate(sheet, spare)
            tell = partial(_tell_sheet, ctx, part, size, rating)
            yield Draft(f"{part.id}/sheet", (part.id,), rating, tell, ("sheet", *like))


def _spare(size: Point, room: Point, *, turns: bool) -> float:
    """What a rectangle leaves of another, the worse way; laid the better way round where it may be turned."""
    straight = min(room[0] - size[0], room[1] - size[1])
    return max(straight, min(room[0] - size[1], room[1] - size[0])) if turns else straight


@lru_cache(maxsize=512)
def _extent(part: Part) -> Point:
    """Size of the part along its grain and across it."""
    gx, gy = part.grain
    if abs(gx) > 1 - SAME or abs(gy) > 1 - SAME:
        x0, y0, x1, y1 = home(part)[0].outline.bounds
        return (x1 - x0, y1 - y0) if abs(gx) > abs(gy) else (y1 - y0, x1 - x0)
    spread = np.ptp(part.outline.coords @ np.array(((gx, -gy), (gy, gx))), axis=0)
    return float(spread[0]), float(spread[1])


def _tell_gap(ctx: Context, rating: Rating) -> Told:
    shop, bit = ctx.cabinet.shop, ctx.profile_bit
    because = (
        f"{shop.part_gap:.2f} between parts - {bit.diameter:.2f} {bit.label} = {rating.measured:.2f} mm; "
        f"needed {rating.needed:.2f}: the bit that cuts one outline must not run into the next part"
    )
    remedies = (
        ctx.remedy("shop.part_gap", rating.short, "Lay the parts farther apart"),
        ctx.remedy(ctx.bit_address(bit, "diameter"), -rating.short, "Cut outlines with a thinner bit"),
    )
    return Told("Room between parts on the sheet for the bit", because, (), remedies)


def _tell_bed(ctx: Context, part: Part, size: Point, around: float, rating: Rating) -> Told:
    shop = ctx.cabinet.shop
    because = (
        f"part {size[0]:.1f} x {size[1]:.1f} mm and {around / 2:.1f} all round for the bit, bed "
        f"{shop.bed_length:.0f} x {shop.bed_width:.0f}: {rating.measured:.1f} mm to spare; needed {rating.needed:.1f}"
    )
    remedies = (
        ctx.remedy("shop.bed_length", 0.0, "Use a longer bed"),
        ctx.remedy("shop.bed_width", 0.0, "Use a wider bed"),
    )
    return Told(f"{part.label} on the bed", because, (patch(part, part.outline),), remedies)


def _tell_sheet(ctx: Context, part: Part, size: Point, rating: Rating) -> Told:
    shop = ctx.cabinet.shop
    stock = shop.stock(part.stock)
    index = shop.stocks.index(stock) + 1
    because = (
        f"part {size[0]:.1f} along the grain x {size[1]:.1f} mm, sheet {stock.sheet_length:.0f} x "
        f"{stock.sheet_width:.0f}, margin {shop.sheet_margin:.1f} all round: {rating.measured:.1f} mm to spare; "
        f"needed {rating.needed:.1f}"
    )
    remedies = (
        ctx.remedy(f"stocks.{index}.sheet_length", 0.0, "Use a longer sheet"),
        ctx.remedy(f"stocks.{index}.sheet_width", 0.0, "Use a wider sheet"),
        ctx.remedy("shop.sheet_margin", -rating.short / 2, "Leave less margin"),
    )
    return Told(f"{part.label} on its sheet", because, (patch(part, part.outline),), remedies)

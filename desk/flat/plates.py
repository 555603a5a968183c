"""Composes the figures that are exported: the sheets of one stock, one part alone, one part from behind.

Every figure says what it shows and repeats the warnings and muted findings it was exported with; the sheets carry a
square of 100 mm that proves the scale. Texts and frames are on layers that are not cut.
"""

from __future__ import annotations

from collections.abc import Sequence

from desk.cabinet.model import Cabinet, Part, Stock
from desk.flat.curves import exact_bounds
from desk.flat.figure import Figure, FromBehind, Mark, Piece, Ring, Track, Words, piece, piece_from_behind
from desk.flat.groups import Group
from desk.flat.labels import block, label_for, plain, width_of, wrapped
from desk.flat.layers import layer
from desk.flat.layout import Placement, SheetPlan, footprint
from desk.flat.measures import bought, size, told
from desk.shapes.frame import unit as unit_vector
from desk.shapes.loop import Point, rect
from desk.units import Unit

SCALE = 100.0
"""Side of the square that proves the scale, mm."""
BETWEEN = 60.0
"""Distance between sheets in a drawing, mm."""
TITLE, BODY, SMALL = 12.0, 8.0, 4.0
"""Heights of capitals, mm."""
ARROW, BARB = 30.0, 4.0
"""Length of a grain arrow and of its barbs, mm."""
NARROW = 180.0
"""Notes of a small part are set this wide, mm."""


def material_words(stock: Stock) -> str:
    """The material of a stock in words: "birch plywood"."""
    return stock.material.replace("-", " ")


def stock_words(stock: Stock, unit: Unit = "mm") -> str:
    """A stock for a title: "12 mm birch plywood, measured 11.80 mm", or "1/2 in birch plywood, measured ..."."""
    nominal = bought(f"{stock.nominal:g} mm", unit)
    return f"{nominal} {material_words(stock)}, measured {told(f'{stock.measured:.2f} mm', unit)}"


def sheets_figure(
    cabinet: Cabinet,
    stock: Stock,
    plans: Sequence[SheetPlan],
    warnings: Sequence[str],
    muted: Sequence[str] = (),
    unit: Unit = "mm",
) -> Figure:
    """The sheets of one stock side by side, each with its border, title and labelled parts."""
    pieces: list[Piece] = []
    notes: list[Mark] = []
    length, width = plans[0].size
    for k, plan in enumerate(plans):
        left = k * (length + BETWEEN)
        room = (left, 0.0, left + length, width)
        notes.append(Ring(layer("sheet"), rect(*room), "outer"))
        for place in plan.placements:
            shifted = Placement(place.part, place.sheet, place.dx + left, place.dy, place.turned)
            made = piece(cabinet.by_id[place.part], shifted, room)
            pieces.append(made)
            notes.append(label_for(made, made.label))
        grain = f"Grain along the {stock.grain}." if stock.grained else "No grain."
        head = f"Sheet {plan.index} of {len(plans)}: {stock_words(stock, unit)}"
        across = f"{size(f'{length:g}', f'{width:g}', unit)}. Face A up. {grain}"
        notes += block(layer("label"), _lines((head, across), BODY, length), left, width + BODY, BODY)[0]
    top = max(m.at[1] for m in notes if isinstance(m, Words)) + 3 * BODY
    along = max(len(plans) * (length + BETWEEN) - BETWEEN, SCALE + NARROW)
    title = f"{cabinet.name}: sheets of {stock_words(stock, unit)}"
    notes += _scale_square(0.0, top)
    beside, high = _heading(title, (warnings, muted), SCALE + TITLE, top, along - SCALE - TITLE)
    return Figure((along, max(high, top + SCALE)), tuple(pieces), (*notes, *beside))


def part_figure(
    cabinet: Cabinet,
    group: Group,
    by_hand: Sequence[str],
    warnings: Sequence[str],
    muted: Sequence[str] = (),
    unit: Unit = "mm",
) -> Figure:
    """One part on face A, its lower left corner in the origin, with its notes above it."""
    part = group.parts[0]
    x0, y0, x1, y1 = footprint(part)
    room = (0.0, 0.0, x1 - x0, y1 - y0)
    made = piece(part, Placement(part.id, 1, -x0, -y0, turned=False), room)
    a, b, c, d = exact_bounds(part.outline.points)
    lines = [
        stock_words(cabinet.shop.stock(part.stock), unit),
        f"{size(f'{c - a:.2f}', f'{d - b:.2f}', unit)}, seen on face A",
    ]
    lines += [f"By hand: {told(said, unit)}" for said in by_hand]
    return _alone(cabinet, group, made, lines, (warnings, muted))


def behind_figure(
    cabinet: Cabinet,
    group: Group,
    warnings: Sequence[str],
    muted: Sequence[str] = (),
    unit: Unit = "mm",
) -> Figure:
    """One part on face B, for its second setting: the work on that face, the outline for reference."""
    part = group.parts[0]
    x0, y0, x1, y1 = footprint(part)
    made = piece_from_behind(part, FromBehind(x1, y0), (0.0, 0.0, x1 - x0, y1 - y0))
    stock = stock_words(cabinet.shop.stock(part.stock), unit)
    lines = [stock, "Seen on FACE B: the part is turned over left to right"]
    return _alone(cabinet, group, made, lines, (warnings, muted), behind=True)


def _alone(
    cabinet: Cabinet,
    group: Group,
    made: Piece,
    lines: Sequence[str],
    cautions: tuple[Sequence[str], Sequence[str]],
    behind: bool = False,
) -> Figure:
    part = group.parts[0]
    stock = cabinet.shop.stock(part.stock)
    _, _, wide, high = made.room
    across = max(wide, NARROW)
    notes: list[Mark] = []
    y = high + 2 * SMALL
    if stock.grained:
        arrow = _arrow(part, y, behind)
        notes += arrow
        y = max(p[1] for t in arrow if isinstance(t, Track) for p in t.path) + 2 * SMALL
    number = f", {len(group.parts)} off" if len(group.parts) > 1 else ""
    texts = _lines(lines, SMALL, across)
    body, y = block(layer("label"), texts, 0.0, y, SMALL)
    head, y = _heading(f"{group.label}{number}", cautions, 0.0, y + SMALL, across, BODY)
    return Figure((across, y), (made,), (*notes, *body, *head))


def _lines(texts: Sequence[str], height: float, width: float) -> list[str]:
    return [line for text in texts for line in wrapped(text, height, width)]


def _heading(
    title: str,
    cautions: tuple[Sequence[str], Sequence[str]],
    left: float,
    bottom: float,
    width: float,
    height: float = TITLE,
) -> tuple[list[Mark], float]:
    """A title with the warnings and the muted findings under it, from ``bottom`` up; also its upper end."""
    marks: list[Mark] = []
    y = bottom
    for head, said in zip(("WARNING", "MUTED"), cautions, strict=True):
        if said:
            size = height * 0.75
            lines = [head, *_lines([f"- {line}" for line in said], size, width)]
            found, y = block(layer("warning"), lines, left, y, size)
            marks += found
            y += height
    found, y = block(layer("label"), wrapped(title, height, width), left, y, height)
    return marks + found, y


def _scale_square(left: float, bottom: float) -> list[Mark]:
    on = layer("scale")
    text = plain("100 x 100 mm")
    at = (left + (SCALE - width_of(text, BODY)) / 2, bottom + (SCALE - BODY) / 2)
    return [Ring(on, rect(left, bottom, left + SCALE, bottom + SCALE), "outer"), Words(on, at, BODY, text)]


def _arrow(part: Part, bottom: float, behind: bool) -> list[Mark]:
    """An arrow with two heads along the part's face grain, above ``bottom``, and the word beside it."""
    gx, gy = unit_vector(-part.grain[0] if behind else part.grain[0], part.grain[1])
    lines: list[list[Point]] = [[(0.0, 0.0), (ARROW * gx, ARROW * gy)]]
    for (x, y), back in ((lines[0][0], BARB), (lines[0][1], -BARB)):
        for aside in (0.5, -0.5):
            lines.append([(x, y), (x + back * (gx - aside * gy), y + back * (gy + aside * gx))])
    left, low = min(p[0] for t in lines for p in t), min(p[1] for t in lines for p in t)
    right, high = max(p[0] for t in lines for p in t), max(p[1] for t in lines for p in t)
    on = layer("label")
    marks: list[Mark] = [
        Track(on, tuple((round(x - left, 4), round(y - low + bottom, 4), 0.0) for x, y in line))
        for line in lines
    ]
    middle = bottom + (high - low - SMALL) / 2
    return [*marks, Words(on, (right - left + SMALL, middle), SMALL, "grain")]

"""Lays parts out on their sheets: simple rows, largest first, the same answer every time.

A row is as tall as its first part; a part goes into the first row of the first sheet that has room for it,
else starts a new row, else a new sheet. Sheets lie with their length along x, and the face grain of a grained
stock runs along it or across it: on such a stock a part is turned by a quarter only when its own grain asks for
it. A part is never mirrored. What fits no sheet is reported and not dropped. All lengths in mm; sheet coordinates
count from the lower left corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from desk.cabinet.model import Part, Shop, Stock
from desk.flat.curves import Rect, disc_bounds, exact_bounds, joined
from desk.shapes.loop import Loop, Point, Vertex

ROOM = 1e-6
"""A part larger than the room by less than this still fits."""


@dataclass(frozen=True)
class Placement:
    """Where a part lies: turned by a quarter counter-clockwise or not, then shifted by (dx, dy)."""

    part: str
    sheet: int
    dx: float
    dy: float
    turned: bool

    def point(self, at: Point) -> Point:
        """A part point on the sheet."""
        x, y = (-at[1], at[0]) if self.turned else at
        return x + self.dx, y + self.dy

    def path(self, vertices: Iterable[Vertex]) -> tuple[Vertex, ...]:
        """A part path on the sheet."""
        if self.turned:
            return tuple((self.dx - y, self.dy + x, b) for x, y, b in vertices)
        return tuple((x + self.dx, y + self.dy, b) for x, y, b in vertices)

    def loop(self, loop: Loop) -> Loop:
        """A part loop on the sheet."""
        return Loop(self.path(loop.points))


@dataclass(frozen=True)
class SheetPlan:
    """One sheet of one stock; ``index`` counts from 1 within the stock, ``size`` is (length, width)."""

    stock: str
    index: int
    size: tuple[float, float]
    placements: tuple[Placement, ...]


@dataclass(frozen=True)
class Unplaced:
    """A part that fits no sheet of its stock, with the sentence that says so."""

    part: str
    stock: str
    why: str


@dataclass(frozen=True)
class Layout:
    """All sheets, by stock in the shop's order, and the parts that found no room."""

    sheets: tuple[SheetPlan, ...]
    unplaced: tuple[Unplaced, ...]


def footprint(part: Part) -> Rect:
    """Bounds in part coordinates of all machine cuts: the outline with tabs, and pockets open at the edge."""
    boxes = [exact_bounds(part.outline.points)]
    boxes += [exact_bounds(p.loop.points) for p in part.pockets]
    boxes += [disc_bounds(d.at, max(d.diameter, d.head) / 2) for d in part.drills if not d.by_hand]
    return joined(boxes)


def grain_along(part: Part, stock: Stock) -> bool:
    """Whether the part's face grain runs along its own x; where the stock has none, whether its longer side does."""
    if stock.grained:
        return abs(part.grain[0]) >= abs(part.grain[1])
    x0, y0, x1, y1 = footprint(part)
    return x1 - x0 >= y1 - y0


@dataclass
class _Row:
    y: float
    height: float
    x: float


@dataclass
class _Sheet:
    rows: list[_Row] = field(default_factory=list)
    placements: list[Placement] = field(default_factory=list)


@dataclass(frozen=True)
class _Piece:
    part: Part
    turned: bool
    width: float
    height: float
    box: Rect


def lay_out(parts: Sequence[Part], shop: Shop) -> Layout:
    """Lay parts out on sheets of their stocks, ``shop.sheet_margin`` inside and ``shop.part_gap`` apart."""
    sheets: list[SheetPlan] = []
    unplaced: list[Unplaced] = []
    for stock in shop.stocks:
        pieces = [_piece(p, stock, shop) for p in parts if p.stock == stock.id]
        pieces.sort(key=lambda piece: (-piece.height, -piece.width, piece.part.id))
        filled: list[_Sheet] = []
        for piece in pieces:
            if _fits(piece.width, piece.height, stock, shop):
                _place(piece, filled, stock, shop)
            else:
                unplaced.append(Unplaced(piece.part.id, stock.id, _why(piece, stock, shop)))
        size = (stock.sheet_length, stock.sheet_width)
        sheets += [SheetPlan(stock.id, k, size, tuple(s.placements)) for k, s in enumerate(filled, 1)]
    known = {stock.id for stock in shop.stocks}
    for part in parts:
        if part.stock not in known:
            why = f"{part.label} needs stock {part.stock!r}, which the shop does not have: it is on no sheet"
            unplaced.append(Unplaced(part.id, part.stock, why))
    return Layout(tuple(sheets), tuple(unplaced))


def _piece(part: Part, stock: Stock, shop: Shop) -> _Piece:
    box = footprint(part)
    long, high = box[2] - box[0], box[3] - box[1]
    turned = grain_along(part, stock) == (stock.grained and stock.grain == "width")
    width, height = (high, long) if turned else (long, high)
    if not stock.grained and not _fits(width, height, stock, shop) and _fits(height, width, stock, shop):
        turned, width, height = not turned, height, width
    return _Piece(part, turned, width, height, box)


def _room(stock: Stock, shop: Shop) -> tuple[float, float]:
    return stock.sheet_length - 2 * shop.sheet_margin, stock.sheet_width - 2 * shop.sheet_margin


def _fits(width: float, height: float, stock: Stock, shop: Shop) -> bool:
    length, across = _room(stock, shop)
    return width <= length + ROOM and height <= across + ROOM


def _why(piece: _Piece, stock: Stock, shop: Shop) -> str:
    length, across = _room(stock, shop)
    grain = f", its grain along the sheet's {stock.grain}" if stock.grained else ""
    return (
        f"{piece.part.label} needs {piece.width:.1f} x {piece.height:.1f} mm{grain}, and a sheet of "
        f"{stock.label} has {length:.1f} x {across:.1f} mm inside its margins: it is in its own file only"
    )


def _place(piece: _Piece, filled: list[_Sheet], stock: Stock, shop: Shop) -> None:
    length, across = _room(stock, shop)
    for index, sheet in enumerate(filled, 1):
        for row in sheet.rows:
            if piece.height <= row.height + ROOM and row.x + piece.width <= length + ROOM:
                _put(piece, sheet, index, row, shop)
                return
        top = max(row.y + row.height for row in sheet.rows) + shop.part_gap
        if top + piece.height <= across + ROOM:
            sheet.rows.append(_Row(top, piece.height, 0.0))
            _put(piece, sheet, index, sheet.rows[-1], shop)
            return
    filled.append(_Sheet([_Row(0.0, piece.height, 0.0)]))
    _put(piece, filled[-1], len(filled), filled[-1].rows[0], shop)


def _put(piece: _Piece, sheet: _Sheet, index: int, row: _Row, shop: Shop) -> None:
    # a quarter turn takes (x, y) to (-y, x), so the turned box begins at (-y high, x low)
    x0, y0, _, y1 = piece.box
    low = (-y1, x0) if piece.turned else (x0, y0)
    dx, dy = shop.sheet_margin + row.x - low[0], shop.sheet_margin + row.y - low[1]
    sheet.placements.append(Placement(piece.part.id, index, dx, dy, piece.turned))
    row.x += piece.width + shop.part_gap

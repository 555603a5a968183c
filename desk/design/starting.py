"""Designs to start from: the one a new document opens with, and one proportioned to any ball.

Proportioning is similarity: every length declared to scale with the ball grows in the ball's ratio, angles
stay, and throws get as much faster as the height they climb asks for. Sheet thicknesses and pins do not scale, so
whatever is a stack of sheets is fitted again in whole sheets, screws and dowels get lengths for it, and what has to
hold pins does not shrink.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import cache

import msgspec

from desk.design import edit, table
from desk.design.model import Design, StockEntry
from desk.resources import table as resource_table
from desk.units import MM_PER_INCH, Unit

CHANNEL_ROOM = 1 / 16
"""Least room beside the ball in the return channel, as a share of its diameter (the project's own choice)."""
LAYER_COST = 2.0
"""mm of channel or trough width that one sheet less in the stack is worth (the project's own weighing)."""
NEARLY = 0.1
"""A lane this share of a rib narrower than asked still counts as wide enough (the project's own choice)."""
STACK_PLAY = 0.4
"""Room the kicker's stack of ribs keeps in the lane, mm (the project's own choice)."""
PIN_SHORT = 1.75
"""A return dowel is this much shorter than its holes together, mm (the project's own choice)."""
POINT_LEFT = 2.6
"""Wood left under a screw's point, mm (the project's own choice)."""
BITE = 2.6
"""What a screw is to hold with, in diameters, where the wood is thick enough (the project's own choice)."""
RAMP_PLAY = 0.5
"""Room the catch ramp's stack keeps in the trough and the inlet, mm (the project's own choice)."""
RAMP_SLOT = 0.33
"""The slot left beside the catch ramp is at most this share of the ball (the project's own choice)."""
LEAST_RAIL = 4.2
"""Rails are never narrower than this, mm: a thumb does not get smaller with the ball (the project's own choice)."""
GROW_ONLY = (
    "lane.deck_height",
    "lane.front",
    "return.floor_height",
    "return.lip_width",
    "return.tray",
    "lifter.",
    "header.cleat",
    "header.height",
    "silhouette.",
)
"""Sizes that hold dowels, pins and sheets as thick as ever: they grow with a larger ball and stay for a smaller one."""
FINEST_INCH = 1 / 64
_REACH = 1e-9


@cache
def starting_design() -> Design:
    """The complete cabinet for 16 mm marbles that a new document opens with."""
    return msgspec.convert(resource_table("starting.toml"), Design, strict=True)


def proportioned(design: Design, ball: float, balls: int | None = None) -> Design:
    """The design made over for balls of ``ball`` mm, ``balls`` of them if given.

    Scaled lengths are rounded to their step (in an inch design to a power-of-two fraction near it) and kept
    in their hard ranges; locked numbers and choices stay. Stacks are fitted to the measured thickness of
    their stock: the lane is as wide as its ribs, the return channel as its spacers, with the spacer stock
    chosen that fits the largest ball most closely.

    Raises edit.ValueOutOfRange for a ball or a count outside its range, edit.Locked when one of those is locked.
    """
    ratio = ball / design.value("ball.diameter")
    made = edit.put(design, "ball.diameter", ball)
    if balls is not None:
        made = edit.put(made, "ball.count", balls)
    made = _paced(_scaled(made, ratio), ratio)
    for fit in (_fit_ribs, _fit_channel, _fit_ramp, _fit_rails, _fit_hardware):
        made = fit(made)
    return made


def grid(spec: table.Spec, unit: Unit) -> float:
    """What a length is rounded to when the program chooses it, mm: its step, or an inch fraction near it."""
    if unit == "mm" or spec.unit != "length" or spec.step < 0.1:
        return spec.step
    inches = max(spec.step / MM_PER_INCH, FINEST_INCH)
    return float(MM_PER_INCH * 2.0 ** math.floor(math.log2(inches)))


def _scaled(design: Design, ratio: float) -> Design:
    """Every length that scales, list items too, but not the ball itself."""
    for address in edit.addresses(design):
        spec = table.spec(address)
        if spec.scales and address != "ball.diameter" and not (ratio < 1 and address.startswith(GROW_ONLY)):
            step = grid(spec, design.unit)
            design = _put(design, address, round(edit.get(design, address) * ratio / step) * step)
    return design


def _paced(design: Design, ratio: float) -> Design:
    """Speeds of throws that do the same on a board as much larger: gravity asks for their square to grow with it."""
    for address in ("people.slow", "people.fast"):
        step = table.spec(address).step
        design = _put(design, address, round(edit.get(design, address) * math.sqrt(ratio) / step) * step)
    return design


def _put(design: Design, address: str, value: float) -> Design:
    """The value brought into its hard range; the design as it was where the address is locked."""
    if address in design.locked:
        return design
    low, high = table.spec(address).hard
    return edit.put(design, address, min(max(value, low), high))


def _whole(address: str, wanted: float, fits: Callable[[int], bool] = lambda _: True) -> int:
    """The whole number nearest to ``wanted`` in the address's hard range for which ``fits`` holds."""
    low, high = (int(end) for end in table.spec(address).hard)
    candidates: Iterable[int] = [n for n in range(low, high + 1) if fits(n)] or range(low, high + 1)
    return min(candidates, key=lambda n: (abs(n - wanted), n))


def _fit_ribs(design: Design) -> Design:
    """Rib count for the lane's width, then the lane exactly as wide as the ribs."""
    thickness = design.stock(design.choice("stock.ribs")).measured
    low, high = table.spec("lane.width").hard
    if "kicker.ribs" not in design.locked:
        ribs = _whole(
            "kicker.ribs",
            math.ceil(design.value("lane.width") / thickness - NEARLY),
            lambda n: low <= n * thickness <= high,
        )
        design = edit.put(design, "kicker.ribs", ribs)
    return _put(design, "lane.width", design.value("kicker.ribs") * thickness + STACK_PLAY)


def _fit_channel(design: Design) -> Design:
    """Spacer stock and layers for a channel that the largest ball passes, as narrow as sheets allow."""
    need = design.value("ball.diameter") * (1 + CHANNEL_ROOM) + design.value("ball.spread")
    if "return.layers" in design.locked:
        return design
    chosen = design.choice("stock.spacer")
    most = table.spec("return.layers").hard[1]
    free = "stock.spacer" not in design.locked
    best: tuple[bool, float, bool, str, int] | None = None
    for stock in design.stocks if free else (design.stock(chosen),):
        layers = math.ceil(need / stock.measured - _REACH)
        cost = layers * stock.measured + layers * LAYER_COST
        entry = (layers > most, cost, stock.id != chosen, stock.id, int(min(layers, most)))
        best = entry if best is None else min(best, entry)
    if best is None:
        return design
    return edit.put(edit.put_choice(design, "stock.spacer", best[3]), "return.layers", best[4])


def _fit_ramp(design: Design) -> Design:
    """Ramp stock and layers that fill the trough best and still pass through the inlet."""
    if "behind.ramp_layers" in design.locked:
        return design
    room = min(design.value("behind.trough"), design.value("behind.inlet_width")) - RAMP_PLAY
    chosen = design.choice("stock.ramp")
    most = int(table.spec("behind.ramp_layers").hard[1])
    free = "stock.ramp" not in design.locked

    def cost(stock: StockEntry, layers: int) -> tuple[bool, float, bool, str]:
        over = layers * stock.measured - room
        return over > _REACH, abs(over) + layers * LAYER_COST, stock.id != chosen, stock.id

    stocks = design.stocks if free else (design.stock(chosen),)
    stock, layers = min(((s, n) for s in stocks for n in range(1, most + 1)), key=lambda o: cost(*o))
    made = edit.put(edit.put_choice(design, "stock.ramp", stock.id), "behind.ramp_layers", layers)
    widest = layers * stock.measured + RAMP_SLOT * design.value("ball.diameter")
    if made.value("behind.trough") <= widest:
        return made
    step = grid(table.spec("behind.trough"), design.unit)
    return _put(made, "behind.trough", math.floor(widest / step) * step)


def _fit_rails(design: Design) -> Design:
    """Rails no higher than the board stock leaves above the floor, and wide enough for a thumb."""
    if design.value("board.rail_width") < LEAST_RAIL:
        step = grid(table.spec("board.rail_width"), design.unit)
        design = _put(design, "board.rail_width", math.ceil(LEAST_RAIL / step - _REACH) * step)
    left = design.stock(design.choice("stock.board")).measured - design.value("board.floor")
    if design.value("board.rail_height") <= left:
        return design
    step = grid(table.spec("board.rail_height"), design.unit)
    return _put(design, "board.rail_height", math.floor(left / step + _REACH) * step)


def _fit_hardware(design: Design) -> Design:
    """Lengths of return dowels and screws for the stacks they run through."""

    def thick(role: str) -> float:
        return design.stock(design.choice(f"stock.{role}")).measured

    stack = thick("wall") + design.value("return.layers") * thick("spacer")
    ramp = (design.value("behind.ramp_layers") - 1) * thick("ramp")
    made = _put(
        design, "joint.dowel_length", math.floor(stack + design.value("joint.dowel_blind") - PIN_SHORT)
    )
    for address, through, last in (
        ("joint.screw_return", stack, thick("panels")),
        ("joint.screw_ramp", thick("cover") + ramp, thick("ramp")),
        ("joint.screw_cover", thick("cover"), thick("cleats")),
        ("joint.screw_header", thick("cleats"), thick("header") - design.value("header.groove")),
    ):
        bite = min(BITE * design.value("joint.screw"), last - POINT_LEFT)
        made = _put(made, address, math.floor(through + max(bite, 1.0)))
    return made

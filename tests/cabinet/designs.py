"""Designs to build: fixed ones that have to be right in every way, and random ones that only have to hold together."""

from __future__ import annotations

from functools import cache

import msgspec
from hypothesis import strategies as st

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.design import edit, table
from desk.design.model import Design
from desk.design.starting import proportioned, starting_design

FIXED = ("left", "right", "two layers", "12.7 mm", "25 mm", "25 mm right")
FINE = {"fine pockets": "bit.pocket", "fine outlines": "bit.profile"}
"""More fixed designs, in which one of the two cuts is made with the 3 mm bit."""
VARIED = (
    "ball.diameter", "lane.width", "lane.length", "lane.rise", "lane.deck_height", "kicker.radius", "kicker.exit",
    "board.tilt", "board.gap", "board.length", "board.tab", "behind.depth", "behind.gutter_slope",
    "behind.catch_slope", "return.slope", "return.floor_height", "joint.mortise", "joint.mortise_fit",
    "joint.side_gap", "joint.dowel_blind", "joint.edge", "stocks.1.measured", "stocks.2.measured",
    "stocks.3.measured", "bits.1.diameter",
)  # fmt: skip


@cache
def fixed(name: str) -> Design:
    """One of the designs named in FIXED or FINE."""
    start = starting_design()
    size, _, side = name.partition(" mm")
    made = proportioned(start, float(size)) if side or " mm" in name else start
    if name == "two layers":
        made = edit.put(edit.put_choice(made, "stock.spacer", "s9"), "return.layers", 2)
    if name in FINE:
        made = edit.put_choice(made, FINE[name], "b3")
    return edit.put_choice(made, "return.side", "right") if "right" in name else made


@cache
def cabinet(name: str) -> Cabinet:
    """The cabinet of one of the designs named in FIXED or FINE."""
    return build(fixed(name))


@st.composite
def usual(draw, most: int = 15) -> Design:
    """The starting design with up to ``most`` numbers anywhere in their soft ranges, either side, one or two layers."""
    design = starting_design()
    for address in draw(st.lists(st.sampled_from(VARIED), min_size=most, max_size=most, unique=True)):
        low, high = table.spec(address).soft
        design = edit.put(design, address, round(draw(st.floats(low, high)), 3))
    design = edit.put(design, "return.layers", draw(st.integers(1, 2)))
    return edit.put_choice(design, "return.side", draw(st.sampled_from(["left", "right"])))


@st.composite
def possible(draw, most: int = 40) -> Design:
    """Any design the document takes: numbers in their hard ranges, any stock and bit for any use, lists cut short."""
    design = starting_design()
    design = msgspec.structs.replace(
        design,
        targets=design.targets[: draw(st.integers(0, len(design.targets)))],
        header_text=draw(st.sampled_from(["TWELVE OAKS", "", "a", "é?"])),
    )
    known = edit.addresses(design)
    for address in draw(st.lists(st.sampled_from(known), min_size=1, max_size=most, unique=True)):
        low, high = table.spec(address).hard
        whole = table.spec(address).unit == "count"
        value = draw(st.integers(int(low), int(high)) if whole else st.floats(low, high))
        design = edit.put(design, address, float(value))
    for key in draw(st.lists(st.sampled_from(list(design.choices)), max_size=5, unique=True)):
        design = edit.put_choice(design, key, draw(st.sampled_from(design.options(key))))
    return design

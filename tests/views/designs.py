"""Designs the drawings are tested on: the starting one, its mirror image, steeper ones and ones for other balls."""

from __future__ import annotations

from functools import cache

from desk.design import edit
from desk.design.model import Design
from desk.design.starting import proportioned, starting_design
from desk.evaluate import Evaluation, evaluate

STEEP = {
    "lane.rise": 4.0,
    "board.tilt": 45.0,
    "kicker.exit": 60.0,
    "return.slope": 4.0,
    "behind.gutter_slope": 9.0,
    "behind.catch_slope": 6.0,
}


def _put(design: Design, values: dict[str, float]) -> Design:
    for address, value in values.items():
        design = edit.put(design, address, value)
    return design


DESIGNS: dict[str, Design] = {
    "starting": starting_design(),
    "return on the right": edit.put_choice(starting_design(), "return.side", "right"),
    "steep": _put(starting_design(), STEEP),
    "steep, on the right": edit.put_choice(_put(starting_design(), STEEP), "return.side", "right"),
    "25 mm": proportioned(starting_design(), 25.0),
    "inches": proportioned(edit.set_unit(starting_design(), "in"), 12.7),
}

FAULTS = {"joint.screw_header": 40.0, "behind.inlet_height": 9.0, "behind.gutter_drop": 0.0}


@cache
def evaluated(name: str) -> Evaluation:
    """One of the designs, worked out."""
    return evaluate(DESIGNS[name])


@cache
def faulty() -> Evaluation:
    """A design with conflicts in several views."""
    return evaluate(_put(starting_design(), FAULTS))

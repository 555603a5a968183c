"""Designs to let balls run in: the examples, and random ones of which many have traps."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import numpy as np
import shapely

from desk.ball.contact import Contact
from desk.ball.outline import Outline
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.design import edit
from desk.design.file import load
from desk.design.starting import starting_design
from desk.shapes.loop import Point

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CLEAN = ("marble-16mm", "steel-half-inch", "wood-25mm")
RANDOM = 50
BEHIND = {
    "lane.rise": (0.0, 4.0),
    "kicker.exit": (25.0, 65.0),
    "board.tilt": (20.0, 50.0),
    "behind.gutter_slope": (-4.0, 10.0),
    "behind.gutter_drop": (-15.0, 15.0),
    "behind.catch_slope": (-4.0, 8.0),
    "behind.inlet_drop": (-8.0, 8.0),
    "return.slope": (-2.0, 6.0),
    "return.lip_height": (2.0, 20.0),
}
"""Lane, gutter, ramp and channel, from falling the wrong way to steep."""
FACE = {"board.tilt": (20.0, 50.0), "board.rail_height": (6.0, 12.0)}
SHIFTED = {
    f"targets.{k}.{field}": far for k in range(1, 6) for field, far in (("across", 10.0), ("up", 14.0))
}
"""The board, with its targets moved about until rails come close to each other and to the walls, mm."""


@cache
def example(name: str) -> Cabinet:
    return build(load(EXAMPLES / f"{name}.lane"))


@cache
def varied(seed: int, face: bool = False) -> Cabinet:
    """The starting design with a few numbers anywhere between two ends, or off by so much."""
    random = np.random.default_rng((7 if face else 5) * 100 + seed)
    design = starting_design()
    ends: Mapping[str, tuple[float, float]] = FACE if face else BEHIND
    spans = [(address, low, high) for address, (low, high) in ends.items()]
    if face:
        spans += [(a, edit.get(design, a) - far, edit.get(design, a) + far) for a, far in SHIFTED.items()]
    for address, low, high in spans:
        design = edit.put(design, address, round(float(random.uniform(low, high)), 2))
    return build(design)


def cabinets(face: bool = False) -> Iterator[tuple[str, Cabinet]]:
    """The four examples and the random designs, by name."""
    for name in (*CLEAN, "broken"):
        yield name, example(name)
    for seed in range(RANDOM):
        yield f"random {seed}", varied(seed, face)


class Stretch:
    """A corner of an outline with the edges beside it that are too flat to roll on: wherever on them it stops, a ball
    lies in the same resting place."""

    def __init__(self, edges: Outline, contact: Contact, at: Point) -> None:
        corners = edges.start[: edges.count]
        flat = (np.abs(edges.drive) <= contact.rolling * edges.press) & (edges.press > 0)
        first = last = int(np.hypot(*(corners - np.array(at)).T).argmin())
        chain, beside = [corners[last]], [first, int(edges.before[first])]
        while flat[last] and len(chain) <= edges.count:
            last = int(edges.after[last])
            chain.append(corners[last])
            beside.append(last)
        while flat[edges.before[first]] and len(chain) <= edges.count:
            first = int(edges.before[first])
            chain.insert(0, corners[first])
            beside.append(int(edges.before[first]))
        self.line = shapely.LineString(chain) if len(chain) > 1 else shapely.Point(chain[0])
        self.leads_out = len(chain) > 1 and bool((edges.ends[beside] >= 0).any())
        """Whether a ball that lies there is on or beside a way out of the leg."""

    def places(self) -> list[Point]:
        """A few places along it."""
        if not self.line.length:
            return []
        at = [self.line.interpolate(f, normalized=True) for f in (0.1, 0.3, 0.5, 0.7, 0.9)]
        return [(p.x, p.y) for p in at]

    def away(self, x: float, y: float) -> float:
        """How far from it a place is, mm."""
        return float(shapely.distance(self.line, shapely.Point(x, y)))

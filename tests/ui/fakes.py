"""Hand-made drawings and findings that follow a design in a simple way: what the window needs and nothing of wood.

The "lane" is a box as long as the deck with a gap after it; one finding conflicts while the gap is narrower than the
ball, so a test can make it come and go.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import msgspec

from desk.checks.finding import Finding, Place, Remedy
from desk.design import edit
from desk.design.model import Design, TargetEntry
from desk.design.starting import starting_design
from desk.shapes.frame import Frame
from desk.views.drawing import Dimension, Disc, Drawing, Item, Marker, Path, Pull, Text
from tests.views.pieces import finding

LANE = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
PLAN = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
FACE = Frame((0.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.8, 0.0, 0.6))
REAR = Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def starting() -> Design:
    """The design the fakes are drawn from: what the tests count on, whatever the starting design becomes."""
    design = starting_design()
    fixed = {
        "lane.front": 68.0,
        "lane.length": 280.0,
        "lane.width": 142.8,
        "lane.deck_height": 90.0,
        "board.gap": 22.0,
        "ball.diameter": 16.0,
    }
    targets = (
        TargetEntry(kind="ring", across=0.0, up=140.0, hole=20.0, rail=20.0, score=50),
        TargetEntry(kind="horseshoe", across=0.0, up=88.0, hole=20.0, rail=22.0, score=30),
        TargetEntry(kind="plain", across=0.0, up=26.0, hole=20.0, rail=0.0, score=10),
    )
    return msgspec.structs.replace(design, name="Test", targets=targets, values={**design.values, **fixed})


@dataclass(frozen=True)
class FakeEvaluation:
    """What the window reads of an evaluation."""

    design: Design
    cabinet: object
    findings: tuple[Finding, ...]
    drawings: dict[str, Drawing]
    pending: frozenset[str] = frozenset()


def rect(x0: float, y0: float, x1: float, y1: float) -> tuple[tuple[float, float], ...]:
    """Corners of a box."""
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def line(
    key: str, ends: tuple[tuple[float, float], tuple[float, float]], off: float, design: Design
) -> Dimension:
    """A dimension of one address whose handle sits at the end of its line."""
    (ax, ay), (bx, by) = ends
    length = math.dist(*ends) or 1.0
    axis = ((bx - ax) / length, (by - ay) / length)
    handle = (bx - axis[1] * off, by + axis[0] * off)
    spec = edit.table.spec(key)
    return Dimension(
        key, "line", *ends, off, handle, (Pull(key, axis, 1.0),), spec.label, edit.get(design, key), "length"
    )


def evaluate(design: Design, last: object = None) -> FakeEvaluation:
    """Drawings and findings of a make-believe cabinet."""
    front, length, gap = (design.value(k) for k in ("lane.front", "lane.length", "board.gap"))
    height, width, ball = (design.value(k) for k in ("lane.deck_height", "lane.width", "ball.diameter"))
    a, b, c = front, front + length, front + length + gap
    spare = gap - ball
    status = "conflict" if spare < 0 else "tight" if spare < 2 else "clear"
    spot = Place(LANE, "area", ((b, height - 9), (c, height - 9), (c, height), (b, height)))
    there = Place(PLAN, "point", ((b + gap / 2, 30.0),))
    findings = (
        finding(
            1,
            status,
            "Gutter gap passes the ball",
            spare,
            spot,
            Remedy("board.gap", ball + 4.0, "Widen the gap"),
        ),
        finding(2, "tight", "Deck length", 0.4, there, Remedy("lane.length", None, "Shorten the deck")),
        finding(3, "clear", "Ball fits the lane", 60.0, there, None),
    )
    lane: list[Item] = [
        Path((rect(-20, -12, c + 200, 0),), "table"),
        Path((rect(0, 0, c + 160, height + 120),), "stock-1-far", part="panel"),
        Path((rect(a, height - 9, b, height),), "stock-2", part="deck"),
        Path(
            (((c, height), (c + 140, height + 90), (c + 132, height + 102), (c - 8, height + 12)),), "stock-3"
        ),
        Path((rect(b, height - 9, c, height),), "trap", status=status, finding="check-1"),  # type: ignore[arg-type]
        Disc((a + ball / 2, height + ball / 2), ball / 2, "ball-resting"),
        Text(((a + b) / 2, height - 4.5), "deck", "part-label"),
        line("lane.front", ((0.0, 0.0), (a, 0.0)), -24, design),
        line("lane.length", ((a, 0.0), (b, 0.0)), -24, design),
        line("board.gap", ((b, 0.0), (c, 0.0)), -24, design),
        line("lane.deck_height", ((a, 0.0), (a, height)), 24, design),
        Marker((b + gap / 2, height - 4), 1, status, "check-1"),  # type: ignore[arg-type]
    ]
    plan: list[Item] = [
        Path((rect(0, -width / 2 - 20, c + 160, width / 2 + 20),), "stock-1-far"),
        Path((rect(a, -width / 2, b, width / 2),), "stock-2"),
        line("lane.length", ((a, -width / 2), (b, -width / 2)), -30, design),
        Marker((b + gap / 2, 30.0), 2, "tight", "check-2"),
    ]
    face: list[Item] = [Path((rect(-width / 2, 0, width / 2, 190),), "stock-3")]
    for k, target in enumerate(design.targets, 1):
        at = (target.across, target.up)
        face.append(Disc(at, target.hole / 2, "hole"))
        pulls = (Pull(f"targets.{k}.across", (1.0, 0.0), 1.0), Pull(f"targets.{k}.up", (0.0, 1.0), 1.0))
        face.append(
            Dimension(f"targets.{k}", "point", at, at, 0.0, at, pulls, f"Target {k}", target.across, "length")
        )
    views = (
        ("lane", "Through the lane", LANE, (-20.0, -12.0, c + 200, height + 120), lane),
        ("channel", "Through the return", LANE, (-20.0, -12.0, c + 200, height + 120), lane[:4]),
        ("plan", "Plan", PLAN, (0.0, -width / 2 - 20, c + 160, width / 2 + 20), plan),
        ("face", "Board face", FACE, (-width / 2, 0.0, width / 2, 190.0), face),
        ("rear", "Rear", REAR, (-width / 2, 0.0, width / 2, 200.0), face[:1]),
    )
    drawings = {key: Drawing(key, title, frame, box, tuple(items)) for key, title, frame, box, items in views}
    return FakeEvaluation(design, object(), findings, drawings)

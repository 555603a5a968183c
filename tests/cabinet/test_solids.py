"""No two parts of a cabinet share space, and every part's wood is where its frame puts it.

Two independent ways: points thrown into the cabinet and asked of every part, and the project's sections laid over
each other. Tabs stand in their mortises because those are cut out of the walls.
"""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from msgspec.structs import replace

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.cabinet.section import section
from desk.design.starting import proportioned, starting_design

from .designs import FIXED, cabinet, usual
from .space import cut

SHARED = 0.01
"""Parts may meet within this, mm: chords stand for arcs."""


def edges_along(cab: Cabinet, axis: int) -> list[float]:
    """Every coordinate at which a part or the floor of a pocket begins or ends."""
    found: set[float] = set()
    for part in cab.parts:
        low, high = cut(part, cab.shop).box()
        found |= {round(float(low[axis]), 6), round(float(high[axis]), 6)}
        if abs(part.frame.normal[axis]) > 0.5:
            found |= {round(part.frame.world(0.0, 0.0, p.depth)[axis], 6) for p in part.pockets}
    return sorted(found)


def planes_along(cab: Cabinet, axis: int, least: int) -> list[float]:
    """A plane in every gap between those, and at least ``least`` in all."""
    marks = edges_along(cab, axis)
    between = [(a + b) / 2 for a, b in pairwise(marks) if b - a > 1e-3]
    return between + list(np.linspace(marks[0], marks[-1], max(least - len(between), 0) + 2)[1:-1])


def thickest(shape: shapely.Geometry) -> float:
    """Diameter of the largest circle in a shape, mm."""
    pieces = [p for p in getattr(shape, "geoms", [shape]) if p.area > 1e-9]
    return max((2 * shapely.maximum_inscribed_circle(p, tolerance=1e-3).length for p in pieces), default=0.0)


def overlaps(cab: Cabinet, axis: str, planes: list[float]) -> dict[tuple[str, str], float]:
    """Thickest overlap of any two parts' sections, where above SHARED."""
    worst: dict[tuple[str, str], float] = {}
    for at in planes:
        shapes = [(p.id, section(p, cab.shop, axis, at)) for p in cab.parts]
        tree = shapely.STRtree([s for _, s in shapes])
        for i, j in tree.query([s for _, s in shapes], predicate="intersects").T:
            if i < j:
                size = thickest(shapes[i][1].intersection(shapes[j][1]))
                if size > SHARED:
                    pair = (shapes[i][0], shapes[j][0])
                    worst[pair] = max(size, worst.get(pair, 0.0))
    return worst


@pytest.mark.parametrize("name", FIXED)
def test_sections_never_overlap(name):
    cab = cabinet(name)
    assert overlaps(cab, "y", planes_along(cab, 1, 0)) == {}
    assert overlaps(cab, "x", planes_along(cab, 0, 90)) == {}


@pytest.mark.parametrize("ball", [10.0, 14.0, 19.05, 30.0, 60.0])
def test_parts_keep_apart_for_balls_of_any_usual_size(ball):
    cab = build(proportioned(starting_design(), ball))
    assert overlaps(cab, "y", planes_along(cab, 1, 0)) == {}
    assert overlaps(cab, "x", planes_along(cab, 0, 60)) == {}


@pytest.mark.parametrize(
    ("key", "shift", "meets"),
    [
        ("deck", (0.05, 0.0, 0.0), "rib-1"),
        ("gutter-floor", (-0.3, 0.0, 0.0), "rib-1"),
        ("board", (0.0, 0.25, 0.0), "panel-far"),
        ("base", (0.0, 0.0, -0.2), "inner-wall"),
        ("catch-ramp-1", (-2.2, 0.0, 0.0), "gutter-floor"),
    ],
)
def test_a_part_pushed_into_another_is_noticed(key, shift, meets):
    """The hunt itself: small shifts into the neighbour show up in one of the two directions."""
    cab = cabinet("left")
    frame = cab.by_id[key].frame
    moved = replace(frame, origin=tuple(a + b for a, b in zip(frame.origin, shift, strict=True)))
    cab = replace(cab, parts=tuple(replace(p, frame=moved) if p.id == key else p for p in cab.parts))
    found = overlaps(cab, "y", planes_along(cab, 1, 0)) | overlaps(cab, "x", planes_along(cab, 0, 90))
    assert any({key, meets} == set(pair) for pair in found), found


@pytest.mark.parametrize("name", FIXED)
def test_no_point_lies_in_two_parts(name):
    cab = cabinet(name)
    random = np.random.default_rng(20240229)
    blocks = [cut(p, cab.shop) for p in cab.parts]
    for one, other in combinations(blocks, 2):
        low = np.maximum(one.box()[0], other.box()[0])
        high = np.minimum(one.box()[1], other.box()[1])
        if (high - low).min() <= 2 * SHARED:
            continue
        points = low + random.random((4000, 3)) * (high - low)
        both = one.holds(points, SHARED / 2) & other.holds(points, SHARED / 2)
        assert not both.any(), (one.part.id, other.part.id, points[both][0])


@pytest.mark.parametrize("name", FIXED)
def test_every_part_rests_on_or_in_another(name):
    """A part that no other comes within half a millimetre of would float; the lifter hangs on its pin."""
    cab = cabinet(name)
    held = {m.part for j in cab.axis_joints for m in j.members} | {t.part for t in cab.tab_joints}
    held |= {t.wall for t in cab.tab_joints}
    assert {p.id for p in cab.parts} - held == set()


@settings(derandomize=True, deadline=None, max_examples=12)
@given(usual())
def test_stacks_and_frames_keep_their_order_across_the_cabinet(design):
    """Panel, spacers and wall lie face to face without gaps whatever the sheets measure."""
    cab = build(design)
    layers = round(design.value("return.layers"))
    names = ["panel-return", *(f"spacer-lower-{k + 1}" for k in range(layers)), "inner-wall"]
    spans = []
    for key in names:
        low, high = cut(cab.by_id[key], cab.shop).box()
        spans.append((float(low[1]), float(high[1])))
    if design.choice("return.side") == "right":
        spans = spans[::-1]
    for one, other in pairwise(spans):
        assert one[1] == pytest.approx(other[0], abs=1e-9)

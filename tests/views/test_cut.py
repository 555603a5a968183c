"""Cuts through parts against what is known of them: their volume, the sections of the views, the circles of holes."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from desk.cabinet.ascut import face_as_cut
from desk.cabinet.model import Cabinet, Drill, Part, Pocket
from desk.cabinet.section import Axis, section
from desk.shapes.frame import Frame, unit
from desk.shapes.loop import circle, rect
from desk.views.cut import cut

from .designs import evaluated

CHORDS = 0.007
"""Circles are chords within 0.01 mm of their arcs; of a cut near the edge of a hole that is a little more."""
UPRIGHT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


@pytest.fixture(scope="module")
def cabinet() -> Cabinet:
    return evaluated("starting").cabinet


def block(**features: object) -> Part:
    """A plate 80 x 50 x 12 mm that lies at the origin, face A up."""
    flat = Frame((0.0, 0.0, 12.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
    return Part("plate", "Plate", "stock", 12.0, rect(0.0, 0.0, 80.0, 50.0), flat, **features)  # type: ignore[arg-type]


def plane(axis: Axis, at: float) -> Frame:
    if axis == "y":
        return Frame((0.0, at, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    return Frame((at, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@pytest.mark.parametrize(
    ("axis", "places"), [("y", (5.2, 20.7, 34.0, 60.1, 110.0)), ("x", (9.3, 57.0, 120.3, 480.0, 604.0))]
)
def test_without_drilled_holes_a_cut_is_the_section_of_the_views(
    cabinet: Cabinet, axis: Axis, places: tuple[float, ...]
) -> None:
    """The views cut along nominal loops, here along what the bit leaves: they differ in the bit's rounded corners."""
    seen = 0
    for at in places:
        for part in cabinet.parts:
            whole = replace(part, drills=())
            mine = cut(whole, cabinet.shop, plane(axis, at))
            theirs = section(whole, cabinet.shop, axis, at)
            assert mine.symmetric_difference(theirs).area < 0.7
            seen += not mine.is_empty
    assert seen > 20


def test_slices_add_up_to_the_volume_of_every_part(cabinet: Cabinet) -> None:
    """Cavalieri: the areas of parallel cuts, summed over the way through a part, are its volume."""
    turns = (
        ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        ((0.6, 0.0, 0.8), (0.0, 1.0, 0.0)),
        ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    )
    for key in ("lip-block-1", "board", "lifter", "header"):
        part = replace(cabinet.by_id[key], drills=(), pockets=())
        volume = face_as_cut(part, cabinet.shop).area * part.thickness
        for u, v in turns:
            normal = Frame((0.0, 0.0, 0.0), u, v).normal
            corners = np.array(
                [part.frame.world(x, y, d) for x, y in part.outline.coords for d in (0.0, part.thickness)]
            )
            reach = corners @ np.array(normal)
            steps = np.linspace(reach.min(), reach.max(), 241)
            thick = steps[1] - steps[0]
            middles = (steps[:-1] + steps[1:]) / 2
            frames = [Frame((m * normal[0], m * normal[1], m * normal[2]), u, v) for m in middles]
            summed = sum(cut(part, cabinet.shop, frame).area for frame in frames) * thick
            assert summed == pytest.approx(volume, rel=0.01)


def test_a_drilled_hole_is_cut_by_its_chord(cabinet: Cabinet) -> None:
    """A plane d beside the middle of a hole of radius r takes out 2 sqrt(r² - d²) of the width."""
    part = block(
        drills=(Drill((30.0, 20.0), 8.0, None, "dowel", "j"), Drill((60.0, 20.0), 6.0, 5.0, "pin", "k"))
    )
    for aside in (0.0, 1.5, 2.9):
        made = cut(part, cabinet.shop, plane("y", -20.0 - aside))
        gone = 80.0 * 12.0 - made.area
        wide = [2 * math.sqrt(r * r - aside * aside) for r in (4.0, 3.0)]
        assert gone == pytest.approx(12.0 * wide[0] + 5.0 * wide[1], rel=CHORDS)


def test_a_hole_from_the_other_face_starts_there(cabinet: Cabinet) -> None:
    part = block(drills=(Drill((30.0, 20.0), 8.0, 4.0, "pilot", "j", face="B"),))
    made = cut(part, cabinet.shop, plane("y", -20.0))
    assert not made.contains(shapely.Point(30.0, 3.9))
    assert made.contains(shapely.Point(30.0, 4.1))
    assert made.bounds == pytest.approx((0.0, 0.0, 80.0, 12.0))


def test_a_countersink_opens_at_its_face_at_ninety_degrees(cabinet: Cabinet) -> None:
    part = block(drills=(Drill((30.0, 20.0), 4.0, None, "clearance", "j", head=8.0),))
    made = cut(part, cabinet.shop, plane("y", -20.0))
    wide = [80.0 - made.intersection(shapely.box(-1, z, 81, z + 0.01)).area / 0.01 for z in (11.9, 11.0, 9.0)]
    assert wide == pytest.approx([7.8, 6.0, 4.0], abs=0.05)


def test_a_pocket_shows_down_to_its_floor_and_keeps_its_islands(cabinet: Cabinet) -> None:
    ring = Pocket(circle(40.0, 25.0, 20.0), 5.0, "carving", islands=(circle(40.0, 25.0, 8.0),))
    part = block(pockets=(ring,))
    made = cut(part, cabinet.shop, plane("y", -25.0))
    assert 80.0 * 12.0 - made.area == pytest.approx(5.0 * (40.0 - 16.0), abs=0.5)
    above, below = (
        cut(part, cabinet.shop, Frame((0.0, 0.0, z), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))) for z in (8.0, 6.9)
    )
    assert below.area == pytest.approx(4000.0)
    assert 4000.0 - above.area == pytest.approx(math.pi * (400.0 - 64.0), rel=0.005)


def test_a_slanting_plane_stretches_the_thickness_by_its_sine(cabinet: Cabinet) -> None:
    """A plane at 30 degrees to the faces meets t / sin 30 of wood."""
    c, s = unit(math.sqrt(3.0), 1.0)
    slanted = Frame((40.0, -25.0, 6.0), (c, 0.0, s), (0.0, 1.0, 0.0))
    made = cut(block(), cabinet.shop, slanted)
    x0, y0, x1, y1 = made.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((24.0, 50.0))
    assert made.area == pytest.approx(24.0 * 50.0)
    holed = cut(block(drills=(Drill((40.0, 25.0), 6.0, None, "pin", "j"),)), cabinet.shop, slanted)
    assert made.area - holed.area == pytest.approx(math.pi * 9.0 / math.cos(math.radians(30.0)), rel=0.01)


@pytest.mark.parametrize("z", [-0.1, 12.1])
def test_a_plane_beside_a_part_misses_it(cabinet: Cabinet, z: float) -> None:
    assert cut(block(), cabinet.shop, Frame((0.0, 0.0, z), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))).is_empty
    assert cut(block(), cabinet.shop, plane("y", 0.1)).is_empty
    assert cut(block(), cabinet.shop, UPRIGHT.mirrored(0.2)).is_empty

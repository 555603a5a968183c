"""Dowels and screws in a plane, against their sizes."""

from __future__ import annotations

import math

import pytest
import shapely

from desk.cabinet.model import AxisJoint, Member
from desk.shapes.frame import Frame
from desk.views.drawing import Disc, Path
from desk.views.hardware import hardware_items, lengthwise, name_of

ALONG = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
ACROSS = Frame((10.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
PIN = AxisJoint("d", "dowel", (Member("a", 6.2, None, "dowel"),), (2.0, 0.0, 5.0), (1.0, 0.0, 0.0), 6.0, 30.0)
SCREW = AxisJoint(
    "s",
    "screw",
    (),
    (0.0, 0.0, 5.0),
    (1.0, 0.0, 0.0),
    4.0,
    40.0,
    root=2.6,
    thread=26.0,
    head=8.0,
    head_height=2.0,
)


def body(joint: AxisJoint, frame: Frame) -> shapely.Polygon:
    first = next(i for i in hardware_items(joint, frame) if isinstance(i, Path))
    return shapely.Polygon(first.rings[0])


def test_a_dowel_along_the_plane_shows_its_length_and_thickness() -> None:
    assert lengthwise(PIN, ALONG)
    assert body(PIN, ALONG).bounds == pytest.approx((2.0, 2.0, 32.0, 8.0))


def test_beside_its_axis_a_dowel_is_as_thick_as_its_chord() -> None:
    frame = Frame((0.0, 2.0, 0.0), ALONG.u, ALONG.v)
    _, low, _, high = body(PIN, frame).bounds
    assert high - low == pytest.approx(2 * math.sqrt(9.0 - 4.0), abs=1e-3)


def test_a_screw_shows_head_shank_root_and_point() -> None:
    outline = body(SCREW, ALONG)
    assert outline.bounds == pytest.approx((0.0, 1.0, 40.0, 9.0))
    wide = [
        outline.intersection(shapely.box(x, -9, x + 1e-6, 99)).area / 1e-6 for x in (0.001, 1.0, 10.0, 38.0)
    ]
    assert wide == pytest.approx([8.0, 6.0, 4.0, 2.0], abs=0.1)
    roots = [i for i in hardware_items(SCREW, ALONG) if isinstance(i, Path) and not i.closed]
    assert sorted(i.rings[0][0][1] for i in roots) == pytest.approx([3.7, 6.3])
    assert {i.rings[0][0][0] for i in roots} == {14.0}


def test_end_on_it_is_a_disc_where_the_plane_meets_it() -> None:
    (disc,) = hardware_items(PIN, ACROSS)
    assert isinstance(disc, Disc)
    assert (disc.centre, disc.radius) == ((0.0, 5.0), 3.0)
    assert list(hardware_items(PIN, Frame((40.0, 0.0, 0.0), ACROSS.u, ACROSS.v))) == []


def test_a_plane_beside_it_or_askew_shows_nothing() -> None:
    assert list(hardware_items(PIN, Frame((0.0, 3.1, 0.0), ALONG.u, ALONG.v))) == []
    askew = Frame((0.0, 0.0, 0.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0))
    assert list(hardware_items(PIN, askew)) == []


def test_names() -> None:
    assert [name_of(j) for j in (PIN, SCREW)] == ["dowel", "screw"]

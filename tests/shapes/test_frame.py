"""Frames: round trips through space, right angles, and reflection, against numpy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.shapes.frame import Frame, add, cross, dot, unit

HOSTILE = settings(derandomize=True, deadline=None, max_examples=150)
LENGTH = st.floats(-900.0, 900.0)
ANGLE = st.floats(-math.pi, math.pi)


@st.composite
def frames(draw) -> Frame:
    """Any frame: the columns of a turn in space about all three axes."""
    a, b, c = (draw(ANGLE) for _ in range(3))
    rx = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
    ry = np.array([[math.cos(b), 0, math.sin(b)], [0, 1, 0], [-math.sin(b), 0, math.cos(b)]])
    rz = np.array([[math.cos(c), -math.sin(c), 0], [math.sin(c), math.cos(c), 0], [0, 0, 1]])
    u, v, _ = (tuple(map(float, column)) for column in (rx @ ry @ rz).T)
    return Frame((draw(LENGTH), draw(LENGTH), draw(LENGTH)), u, v)


@HOSTILE
@given(frames(), LENGTH, LENGTH, LENGTH)
def test_local_undoes_world(frame, x, y, depth):
    assert frame.local(frame.world(x, y, depth)) == pytest.approx((x, y, depth), abs=1e-9)


@HOSTILE
@given(frames(), LENGTH, LENGTH, LENGTH)
def test_world_is_the_linear_map_of_its_axes(frame, x, y, depth):
    o, u, v, n = (np.array(a) for a in (frame.origin, frame.u, frame.v, frame.normal))
    assert frame.world(x, y, depth) == pytest.approx(tuple(o + x * u + y * v - depth * n), abs=1e-9)
    assert tuple(n) == pytest.approx(tuple(np.cross(v, u)), abs=1e-12)
    assert np.array([u, v, n]) @ np.array([u, v, n]).T == pytest.approx(np.eye(3), abs=1e-12)


@HOSTILE
@given(frames(), LENGTH, LENGTH, LENGTH, st.floats(50.0, 500.0))
def test_a_mirrored_frame_reflects_world_points(frame, x, y, depth, across):
    """Local (x, y, depth) before and (-x, y, depth) after lie on either side of the plane y = across / 2."""
    wx, wy, wz = frame.world(x, y, depth)
    other = frame.mirrored(across)
    assert other.world(-x, y, depth) == pytest.approx((wx, across - wy, wz), abs=1e-9)
    assert other.normal == pytest.approx((frame.normal[0], -frame.normal[1], frame.normal[2]), abs=1e-12)
    back = other.mirrored(across)
    for mine, theirs in zip((back.origin, back.u, back.v), (frame.origin, frame.u, frame.v), strict=True):
        assert mine == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize(
    ("u", "v", "seen_from"),
    [
        ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),  # x to the right, z up: from the player's right
        ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)),  # y to the right, z up: from the player
        ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),  # x to the right, the left hand up: from above
    ],
)
def test_faces_look_where_a_person_stands(u, v, seen_from):
    assert Frame((0.0, 0.0, 0.0), u, v).normal == pytest.approx(seen_from)


def test_depth_counts_into_the_wood():
    frame = Frame((10.0, 20.0, 30.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    assert frame.world(1.0, 2.0, 5.0) == pytest.approx((11.0, 15.0, 32.0))


@HOSTILE
@given(*(st.tuples(LENGTH, LENGTH, LENGTH) for _ in range(2)), st.floats(-5.0, 5.0))
def test_products_agree_with_numpy(a, b, times):
    assert dot(a, b) == pytest.approx(float(np.dot(a, b)), abs=1e-6)
    assert cross(a, b) == pytest.approx(tuple(np.cross(a, b)), abs=1e-6)
    assert add(a, b, times) == pytest.approx(tuple(np.array(a) + times * np.array(b)), abs=1e-6)


def test_unit():
    assert unit(-3.0, 4.0) == pytest.approx((-0.6, 0.8))
    with pytest.raises(ZeroDivisionError):
        unit(0.0, 0.0)

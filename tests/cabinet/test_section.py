"""Sections against a plain question to every point of the plane, and against closed forms of cut plates."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from desk.cabinet.model import Cutout, Part, Pocket, Shop
from desk.cabinet.section import finished_section, profile, section
from desk.shapes.frame import Frame
from desk.shapes.loop import circle, rect, rounded

from .designs import FIXED, cabinet
from .space import cut, drawn

NEAR = 0.03
"""Points this near to a section's edge, mm, are not asked: chords stand for arcs there."""
SHOP = cabinet("left").shop


def plane_points(axis: str, at: float, box: tuple[float, float, float, float], count: int) -> np.ndarray:
    """World points spread evenly over a box in the plane, by the golden ratio and its square."""
    k = np.arange(count) + 0.5
    a = box[0] + (box[2] - box[0]) * ((k * 0.7548776662466927) % 1)
    b = box[1] + (box[3] - box[1]) * ((k * 0.5698402909980532) % 1)
    fixed = np.full(count, at)
    return np.column_stack((fixed, a, b) if axis == "x" else (a, fixed, b))


def disagreements(part: Part, shop: Shop, axis: str, at: float, count: int = 1500) -> list[tuple[float, ...]]:
    """Points of the plane that lie in the section and not in the part, or the other way round.

    Cuts across a part are taken of the part as drawn and cuts along it as the bits leave it; a point on which the
    two differ is not asked, nor one that is in the wood just before the plane and not just behind it.
    """
    made = section(part, shop, axis, at)
    low, high = drawn(part).box()
    side = (1, 2) if axis == "x" else (0, 2)
    box = (low[side[0]] - 2, low[side[1]] - 2, high[side[0]] + 2, high[side[1]] + 2)
    points = plane_points(axis, at, box, count)
    here, there = cut(part, shop).holds(points), drawn(part).holds(points)
    flat = points[:, list(side)]
    found = shapely.contains_xy(made, flat[:, 0], flat[:, 1])
    step = np.array([NEAR, 0.0, 0.0] if axis == "x" else [0.0, NEAR, 0.0])
    wrong = (found != here) & (found != there)
    for block in (cut(part, shop), drawn(part)):
        wrong &= block.holds(points - step) == block.holds(points + step)
    far = np.ones(count, dtype=bool)
    if not made.is_empty:
        far[wrong] = shapely.distance(made.boundary, shapely.points(flat[wrong])) > NEAR
    return [tuple(map(float, p)) for p in points[wrong & far]]


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("name", ["left", "right", "25 mm"])
def test_sections_hold_the_wood_and_nothing_else(name, axis):
    cab = cabinet(name)
    shares = (0.03, 0.21, 0.5, 0.77, 0.98)
    index = 0 if axis == "x" else 1
    for part in cab.parts:
        low, high = drawn(part).box()
        for share in shares:
            at = float(low[index] + share * (high[index] - low[index]))
            assert disagreements(part, cab.shop, axis, at) == [], (part.id, at)


@st.composite
def plates(draw) -> Part:
    """A plate with an opening, a pocket with an island and a tab, tilted about the cabinet's width."""
    width, length, thick = draw(st.floats(40, 120)), draw(st.floats(60, 150)), draw(st.floats(4, 20))
    tilt = draw(st.floats(-1.3, 1.3))
    outline = rounded(
        [(0, 0, 4), (width, 0, 0), (width, length / 3, 0), (width + 9, length / 3, 0), (width + 9, length / 2, 0),
         (width, length / 2, 0), (width, length, 12), (0, length, 7)]
    )  # fmt: skip
    floor = draw(st.floats(0.2, 0.9)) * thick
    pockets = (
        Pocket(
            rect(5, 10, width - 3, length - 9), floor, "carving", islands=(circle(width / 2, length / 2, 7),)
        ),
        Pocket(rect(-5, 3, 8, 20), floor / 2, "carving"),
    )
    return Part(
        "plate", "Plate", "s12", thick, outline,
        Frame((draw(st.floats(-50, 50)), draw(st.floats(-50, 50)), 30.0), (0.0, 1.0, 0.0),
              (math.cos(tilt), 0.0, math.sin(tilt))),
        cutouts=(Cutout(circle(width / 3, length / 4, 6.5), "hole"),), pockets=pockets,
    )  # fmt: skip


@settings(derandomize=True, deadline=None, max_examples=40)
@given(plates(), st.sampled_from(["x", "y"]), st.floats(0.01, 0.99))
def test_sections_of_any_tilted_plate(part, axis, share):
    low, high = drawn(part).box()
    index = 0 if axis == "x" else 1
    assert disagreements(part, SHOP, axis, float(low[index] + share * (high[index] - low[index]))) == []


@pytest.mark.parametrize("degrees", [5.0, 34.0, 75.0])
def test_a_tilted_plate_cut_plumb_is_thicker_by_the_cosine(degrees):
    """A plumb cut through a plate of thickness t at angle a is t / cos a high, as wide as the plate."""
    tilt = math.radians(degrees)
    frame = Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (math.cos(tilt), 0.0, math.sin(tilt)))
    part = Part("plate", "Plate", "s12", 10.0, rect(0, 0, 60, 400), frame)
    made = section(part, SHOP, "x", 50.0)
    assert made.area == pytest.approx(60 * 10 / math.cos(tilt), rel=1e-9)
    low, high = made.bounds[1], made.bounds[3]
    assert high == pytest.approx(50 * math.tan(tilt), abs=1e-9)
    assert high - low == pytest.approx(10 / math.cos(tilt), abs=1e-9)
    assert made.bounds[0] == pytest.approx(0.0)


def test_a_plate_across_the_plane_keeps_its_thickness():
    part = Part(
        "p", "P", "s12", 10.0, rect(0, 0, 60, 100), Frame((5.0, 0.0, 7.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    )
    assert section(part, SHOP, "x", 50.0).bounds == pytest.approx((0.0, -3.0, 60.0, 7.0))
    assert section(part, SHOP, "y", 30.0).bounds == pytest.approx((5.0, -3.0, 105.0, 7.0))
    assert section(part, SHOP, "x", 4.9).is_empty
    assert section(part, SHOP, "y", 60.1).is_empty


def test_a_plane_in_the_part_takes_off_pockets_it_runs_through_and_only_those():
    frame = Frame((0.0, 12.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    part = Part(
        "p",
        "P",
        "s12",
        12.0,
        rect(0, 0, 100, 60),
        frame,
        pockets=(Pocket(rect(20, 20, 50, 40), 5.0, "mortise"),),
    )
    r = SHOP.bit(SHOP.pocket_bit).diameter / 2
    pocket = 30 * 20 - (4 - math.pi) * r * r
    assert section(part, SHOP, "y", 10.0).area == pytest.approx(6000 - pocket, abs=0.2)
    assert section(part, SHOP, "y", 6.0).area == pytest.approx(6000, abs=0.01)
    assert section(part, SHOP, "y", 12.5).is_empty
    assert section(part, SHOP, "y", -0.1).is_empty


def test_film_grows_a_section_on_every_side():
    part = Part(
        "p", "P", "s12", 10.0, rect(0, 0, 60, 100), Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    )
    coated = replace(SHOP, film=0.25)
    assert finished_section(part, coated, "y", 30.0).bounds == pytest.approx((-0.25, -10.25, 100.25, 0.25))
    assert finished_section(part, coated, "y", 99.0).is_empty


def test_profiles_tell_depth_below_the_face():
    part = Part(
        "p", "P", "s12", 10.0, rect(0, 0, 60, 100), Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
        cutouts=(Cutout(circle(30, 80, 5), "hole"),),
        pockets=(Pocket(rect(-1, 20, 61, 60), 4.0, "carving", islands=(rect(25, 30, 35, 40),)),
                 Pocket(rect(-1, 50, 61, 60), 6.0, "carving")),
    )  # fmt: skip
    assert np.array(profile(part, 0, 30.0)) == pytest.approx(
        np.array([(0, 20, 0), (20, 30, 4), (30, 40, 0), (40, 50, 4), (50, 60, 6), (60, 75, 0), (85, 100, 0)])
    )
    assert profile(part, 0, 30.0 + 5.0 + 1e-3)[-1] == pytest.approx((60.0, 100.0, 0.0))
    assert np.array(profile(part, 1, 80.0)) == pytest.approx(np.array([(0, 25, 0), (35, 60, 0)]))
    assert profile(part, 0, 61.0) == []


@pytest.mark.parametrize("name", FIXED)
def test_sections_are_sound(name):
    cab = cabinet(name)
    for part in cab.parts:
        for axis in ("x", "y"):
            index = 0 if axis == "x" else 1
            low, high = drawn(part).box()
            for at in np.linspace(low[index], high[index], 7):
                assert section(part, cab.shop, axis, float(at)).is_valid, (part.id, axis, at)

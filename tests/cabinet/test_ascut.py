"""Parts as bits and lacquer leave them: which bit cuts what, islands, slots, and closed forms of the corners."""

from __future__ import annotations

import math

import pytest
import shapely
from msgspec.structs import replace

from desk.cabinet.ascut import face_as_cut, finished, opening_as_cut, outline_as_cut, pocket_as_cut
from desk.cabinet.model import Bit, Cutout, Part, Pocket, Shop
from desk.shapes.frame import Frame
from desk.shapes.loop import circle, polygon_loop, rect
from desk.shapes.offset import SLACK

from .designs import cabinet

FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
L_SHAPE = polygon_loop([(0, 0), (80, 0), (80, 30), (30, 30), (30, 80), (0, 80)])
CLOSE = 0.42 * SLACK + 0.006


def shop_with(profile: float, pocket: float) -> Shop:
    bits = (Bit("p", "Profile", "straight", profile, 20.0), Bit("k", "Pocket", "straight", pocket, 20.0))
    return replace(cabinet("left").shop, bits=bits, profile_bit="p", pocket_bit="k")


@pytest.mark.parametrize(("diameter", "residual"), [(3.175, 0.6576), (6.35, 1.315)])
def test_wood_left_in_inside_corners(diameter, residual):
    """r (sqrt 2 - 1) for 1/8 and 1/4 inch bits, worked to four digits; in outline, opening and pocket."""
    radius = diameter / 2
    held = outline_as_cut(L_SHAPE, radius).boundary.distance(shapely.Point(30, 30))
    assert held == pytest.approx(residual, abs=CLOSE)
    opening = opening_as_cut(rect(0, 0, 50, 40), radius)
    assert opening.distance(shapely.Point(0, 0)) == pytest.approx(residual, abs=CLOSE)
    pocket = pocket_as_cut(Pocket(rect(0, 0, 50, 40), 5.0, "mortise"), radius)
    assert pocket.equals(opening)


def test_a_round_hole_of_the_bits_own_size_is_cut_and_a_smaller_one_is_not():
    assert not opening_as_cut(circle(0, 0, 3.0), 3.0).is_empty
    assert opening_as_cut(circle(0, 0, 2.9), 3.0).is_empty


@pytest.mark.parametrize(("width", "cut"), [(6.1, True), (5.9, False)])
def test_a_slot_narrower_than_the_bit_vanishes(width, cut):
    assert opening_as_cut(rect(0, 0, 60, width), 3.0).is_empty is not cut
    part = Part(
        "p", "P", "s12", 12.0, rect(-20, -20, 100, 60), FLAT, cutouts=(Cutout(rect(0, 0, 60, width), "slot"),)
    )
    lost = part.outline.area - face_as_cut(part, shop_with(6.0, 3.0)).area
    assert (lost > 300) is cut


def test_a_gap_between_islands_narrower_than_the_bit_stays_standing():
    field = rect(0, 0, 100, 60)
    near = Pocket(field, 5.0, "carving", islands=(rect(20, 10, 50, 50), rect(55.5, 10, 80, 50)))
    apart = replace(near, islands=(rect(20, 10, 50, 50), rect(56.5, 10, 80, 50)))
    between = shapely.box(52.0, 25.0, 53.0, 35.0)
    assert pocket_as_cut(near, 3.0).intersection(between).is_empty
    assert pocket_as_cut(apart, 3.0).covers(between)


def test_islands_are_left_whole():
    pocket = Pocket(rect(0, 0, 100, 60), 5.0, "carving", islands=(rect(30, 20, 60, 40),))
    made = pocket_as_cut(pocket, 3.0)
    assert made.intersection(shapely.box(30, 20, 60, 40)).area < 0.01
    assert made.area == pytest.approx(6000 - 600 - (4 - math.pi) * 9, abs=0.3)


def test_each_cut_is_made_with_its_own_bit():
    part = Part("p", "P", "s12", 12.0, L_SHAPE, FLAT, cutouts=(Cutout(rect(5, 5, 25, 25), "opening"),))
    fine, coarse = face_as_cut(part, shop_with(2.0, 12.0)), face_as_cut(part, shop_with(12.0, 2.0))
    left = [
        (4 - math.pi) * r * r * (1 + 1 / 4) for r in (1.0, 6.0)
    ]  # four corners of the opening, one of the outline
    whole = part.area
    assert fine.area == pytest.approx(whole + left[0], abs=0.1)
    assert coarse.area == pytest.approx(whole + left[1], abs=0.6)


def test_lacquer_stands_on_every_side():
    made = finished(shapely.box(0, 0, 40, 30), 0.075)
    assert made.bounds == pytest.approx((-0.075, -0.075, 40.075, 30.075))
    ring = (
        shapely.Point(0, 0).buffer(20, quad_segs=64).difference(shapely.Point(0, 0).buffer(10, quad_segs=64))
    )
    coated = finished(ring, 0.1)
    assert coated.area == pytest.approx(math.pi * (20.1**2 - 9.9**2), rel=2e-3)


def test_cutting_only_ever_leaves_wood():
    """As cut, no part of the cabinet has less wood than drawn, but for the chords."""
    cab = cabinet("left")
    for part in cab.parts:
        missing = part.polygon.difference(face_as_cut(part, cab.shop).buffer(0.02))
        assert missing.area < 1e-6, part.id

"""Weights of parts against weights known from the trade and against counting small cubes."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from desk.cabinet.ascut import face_as_cut
from desk.cabinet.model import Cutout, Member, Pocket
from desk.checks import mass
from desk.checks.context import Context
from desk.shapes.loop import circle, rect
from tests.checks.helpers import built, cabinet, hole, plate, screw

INCH, POUND = 25.4, 0.45359237


def weighed(part, **more):
    ctx = Context(cabinet([part], **more))
    return mass.part_weight(ctx, part)


def test_a_board_foot_of_red_oak_weighs_what_the_trade_says():
    # 44 lb a cubic foot at 12 % (0.63 x 62.4 x 1.12), 3.67 lb a board foot of 144 cubic inches
    board = plate("oak", 0.0, rect(0.0, 0.0, 12 * INCH, 12 * INCH), thickness=INCH, stock="oak")
    stocks = [s for s in cabinet([board]).shop.stocks if s.id == "oak"]
    red = cabinet([board], stocks=(type(stocks[0])("oak", "Red oak", "red-oak", INCH, INCH, 600.0, 400.0),))
    ctx = Context(red)
    assert mass.part_weight(ctx, board).size / POUND == pytest.approx(3.67, abs=0.01)


def test_what_is_cut_away_is_taken_off_once():
    whole = plate("plain", 12.0)
    cut = plate(
        "cut",
        12.0,
        cutouts=(Cutout(rect(0.0, 0.0, 10.0, 10.0).moved(80.0, 40.0), "window"),),
        pockets=(
            Pocket(rect(10.0, 10.0, 40.0, 40.0), 4.0, "carving"),
            Pocket(rect(20.0, 20.0, 30.0, 30.0), 9.0, "carving"),
        ),
        drills=(hole(70.0, 30.0, 8.0), hole(60.0, 30.0, 8.0, depth=5.0)),
    )
    solid = mass.wood(whole, 0.0, 0.0).size
    assert solid == pytest.approx(100 * 60 * 12)
    taken = 100 * 12 + 900 * 4 + 100 * 5 + np.pi * 16 * 17
    assert solid - mass.wood(cut, 0.0, 0.0).size == pytest.approx(taken, rel=1e-6)


def test_the_middle_moves_away_from_a_pocket():
    carved = plate("carved", 12.0, pockets=(Pocket(rect(0.0, 0.0, 50.0, 60.0), 6.0, "carving"),))
    x, y, z = mass.wood(carved, 0.0, 0.0).middle
    # 50 x 12 at 75 and 50 x 6 at 25; y runs from 0 at face B to 12 at face A, where the pocket is
    assert x == pytest.approx((50 * 12 * 75 + 50 * 6 * 25) / (50 * 18))
    assert y == pytest.approx((50 * 12 * 6 + 50 * 6 * 3) / (50 * 18))
    assert z == pytest.approx(30.0)


def test_the_board_agrees_with_counting_cubes():
    board = built().by_id["board"]
    shop = built().shop
    x0, y0, x1, y1 = board.outline.bounds
    step = 0.5
    xs, ys = np.meshgrid(np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step))
    wood = np.where(shapely.contains_xy(face_as_cut(board, shop), xs, ys), board.thickness, 0.0)
    for pocket in sorted(board.pockets, key=lambda p: p.depth):
        field = pocket.loop.polygon.difference(shapely.union_all([i.polygon for i in pocket.islands]))
        wood[shapely.contains_xy(field, xs, ys) & (wood > 0)] = board.thickness - pocket.depth
    counted = wood.sum() * step * step
    assert mass.wood(board, 3.0, 3.0).size == pytest.approx(counted, rel=0.004)


def test_a_cabinet_and_its_mirror_image_weigh_the_same():
    left = Context(built())
    whole = mass.cabinet_weight(left)
    assert whole.size == pytest.approx(
        sum(mass.part_weight(left, p).size for p in left.cabinet.parts)
        + sum(mass.joint_weight(left, j).size for j in left.cabinet.axis_joints)
    )


def test_a_steel_screw_and_the_balls_are_counted():
    ctx = Context(cabinet([plate("one", 12.0)], [screw([Member("one", 4.5, None, "clearance")], 40.0)]))
    # 4 mm x 40 mm of 7850 kg/m³: 3.95 g
    assert mass.joint_weight(ctx, ctx.cabinet.axis_joints[0]).size * 1000 == pytest.approx(3.946, abs=0.001)
    # three glass balls of 50 mm, 2500 kg/m³
    assert mass.balls_weight(ctx) == pytest.approx(3 * 0.16362, rel=1e-4)


def test_openings_are_taken_off_as_cut_with_a_round_bit():
    window = plate("window", 12.0, cutouts=(Cutout(rect(20.0, 20.0, 40.0, 40.0), "window"),))
    left = mass.wood(window, 3.0, 3.0).size
    # four corners keep r² (1 - pi/4) each
    kept = 4 * 9 * (1 - np.pi / 4)
    assert left == pytest.approx((6000 - 400 + kept) * 12, rel=1e-4)
    ring = plate("ring", 12.0, outline=circle(0.0, 0.0, 30.0))
    assert mass.wood(ring, 3.0, 3.0).size == pytest.approx(np.pi * 900 * 12, rel=1e-3)

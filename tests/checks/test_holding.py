"""What screws hold: formulas against published tables and examples, levers against statics."""

from __future__ import annotations

import math
from dataclasses import replace

import msgspec
import pytest

from desk.cabinet.model import AxisJoint, Cabinet, Member
from desk.checks.context import Context
from desk.checks.finding import Finding
from desk.checks.holding import (
    GRAVITY,
    board_withdrawal,
    gauge,
    gauges_for,
    hold_of,
    wood_withdrawal,
)
from desk.checks.needs import Need, shipped_needs
from desk.shapes.loop import Loop, rect
from desk.shop.tables import Own, Tables
from tests.checks.helpers import STOCKS, built, cabinet, findings, on_end, plate, screw

INCH, POUND = 25.4, 4.4482216


@pytest.mark.parametrize(
    ("gravity", "shank", "length", "load"),
    [(0.63, 4.17, 20.0, 3583.0), (0.42, 4.17, 20.0, 1592.0), (0.63, 4.17, 0.0, 0.0)],
)
def test_withdrawal_from_side_grain(gravity, shank, length, load):
    """108.25 G² D L, Wood Handbook eq. 8-10a: 3583 N for G 0.63, No. 8, 20 mm; (0.42 / 0.63)² of it for 0.42."""
    assert wood_withdrawal(gravity, shank, length) == pytest.approx(load, abs=1.0)


@pytest.mark.parametrize(
    ("gravity", "shank", "length", "pounds"), [(0.63, 0.164, 20 / INCH, 805.5), (0.70, 0.164, 1.0, 1262.0)]
)
def test_withdrawal_in_pounds_and_inches(gravity, shank, length, pounds):
    """15 700 G² D L, eq. 8-10b; the second is an example printed elsewhere, No. 8, 1 in of thread in oak of 0.70."""
    found = wood_withdrawal(gravity, shank * INCH, length * INCH) / POUND
    assert found == pytest.approx(pounds, rel=3e-3)


@pytest.mark.parametrize(
    ("gravity", "shank", "pounds"),
    [(0.50, 0.138, 98), (0.50, 0.164, 117), (0.50, 0.190, 135), (0.67, 0.164, 210), (0.45, 0.190, 109)],
)
def test_the_factor_brings_it_down_to_the_design_values(gravity, shank, pounds):
    """Pounds to the inch of thread in NDS 2018 Table 12.2B (from memory); the last is an engineering reference's worked
    example for spruce of 0.45 and No. 10.
    """
    per_inch = wood_withdrawal(gravity, shank * INCH, INCH) / POUND
    assert per_inch / shipped_needs()["hold_factor"].value == pytest.approx(pounds, rel=0.01)


@pytest.mark.parametrize(
    ("length", "edge", "load"), [(15.0, False, 1137.0), (25.0, True, 1752.0), (1.0, False, 0.0)]
)
def test_withdrawal_from_board(length, edge, load):
    """K sqrt(D) (L - D / 3)^(5/4) G²: board of 0.72, 4.17 mm screw, K 41.1 in the face and 31.8 in the edge."""
    assert board_withdrawal(0.72, 4.17, length, edge) == pytest.approx(load, abs=1.0)


@pytest.mark.parametrize(("edge", "k"), [(False, 2655.0), (True, 2055.0)])
def test_board_in_pounds_and_inches(edge, k):
    """The same with K 2655 and 2055 lbf and in (Wood Handbook chapter 8, from memory)."""
    gravity, shank, length = 0.75, 0.164, 0.75
    pounds = k * math.sqrt(shank) * (length - shank / 3) ** 1.25 * gravity**2
    found = board_withdrawal(gravity, shank * INCH, length * INCH, edge) / POUND
    assert found == pytest.approx(pounds, rel=2e-3)


@pytest.mark.parametrize(("number", "inches"), [(2, 0.086), (6, 0.138), (8, 0.164), (10, 0.190), (14, 0.242)])
def test_gauge_of_a_shank(number, inches):
    """ASME B18.6.1."""
    assert gauge(inches * INCH) == pytest.approx(number)


def test_numbers_of_ones_own_are_what_screws_are_judged_by():
    """Half the factor is half the load; the person's own greatest gauge stands at its length."""
    mine = Tables(
        (
            Own("holding", "wood", values=(("factor", 54.125),)),
            Own("holding", "board_edge", values=(("factor", 63.6),)),
            Own("gauges", "one", values=(("greatest", 10.0),)),
        )
    )
    assert wood_withdrawal(0.63, 4.17, 20.0, mine) == pytest.approx(wood_withdrawal(0.63, 4.17, 20.0) / 2)
    assert board_withdrawal(0.72, 4.17, 15.0, True, mine) == pytest.approx(
        2 * board_withdrawal(0.72, 4.17, 15.0, True)
    )
    assert gauges_for(INCH, mine) == (pytest.approx(3.0), pytest.approx(10.0))
    assert mine.rows("holding")["wood"].source_of("factor").flag == "own"


@pytest.mark.parametrize(
    ("inches", "low", "high"),
    [(0.5, 1, 6), (1.0, 3, 12), (2.0, 7, 16), (3.0, 12, 20), (1.25, 4, 13), (9.0, 12, 20)],
)
def test_gauges_for_a_length(inches, low, high):
    """Rows of Wood Handbook Table 8-8 (from memory), half way between two rows, and past the last."""
    assert gauges_for(inches * INCH) == (pytest.approx(low), pytest.approx(high))


def held(length: float = 20.0, at=(50.0, 0.0, 30.0), key: str = "screw-1") -> AxisJoint:
    members = [Member("cover", 4.5, None, "clearance", head=8.0), Member("hold", 2.52, length - 9.0, "pilot")]
    return msgspec.structs.replace(screw(members, length), id=key, at=at)


def stack(*joints: AxisJoint, stock: str = "ply", cover: Loop | None = None, thick: float = 12.0) -> Cabinet:
    """A cover y 0 to 9 on a plate of 100 x 60 mm behind it."""
    parts = [
        plate("cover", 9.0, thickness=9.0, outline=cover),
        plate("hold", 9.0 + thick, stock=stock, thickness=thick),
    ]
    return cabinet(parts, joints)


def strict() -> dict[str, Need]:
    """Limits that no screw comes up to."""
    needs = dict(shipped_needs())
    needs["hold_factor"] = replace(needs["hold_factor"], value=1e6)
    return needs


def pulled(of: Cabinet, label: str) -> Finding:
    """The finding on the screws that hold a part, whatever factor it comes to."""
    (found,) = [f for f in findings(of, "screw-hold", strict()) if f.title == f"Screws that hold {label}"]
    return found


def test_only_thread_in_the_holding_part_counts():
    """20 long through 9: 11 mm of its 13.3 mm of thread; 30 long no more than the plate's 12 mm."""
    for length, bite in ((20.0, 11.0), (30.0, 12.0), (12.0, 3.0)):
        ctx = Context(stack(held(length)))
        (joint,) = ctx.cabinet.axis_joints
        assert hold_of(ctx, joint).load == pytest.approx(wood_withdrawal(0.62, 4.0, bite))


def test_in_board_the_boards_formula_counts():
    ctx = Context(stack(held(), stock="board"))
    assert hold_of(ctx, ctx.cabinet.axis_joints[0]).load == pytest.approx(
        board_withdrawal(0.72, 4.0, 11.0, False)
    )


def into_edge(material: str, grain) -> float:
    """A screw along y through a front plate into the edge of a level plate of this material."""
    stocks = (*STOCKS, msgspec.structs.replace(STOCKS[0], id="own", material=material))
    shelf = msgspec.structs.replace(on_end("shelf", 36.0), stock="own", grain=grain)
    members = [Member("front", 4.5, None, "clearance"), Member("shelf", 2.52, 20.0, "pilot")]
    joint = screw(members, 32.0, start=-12.0)
    ctx = Context(cabinet([plate("front", 0.0), shelf], [joint], stocks=stocks))
    return hold_of(ctx, joint).load


def test_end_grain_counts_as_nothing():
    """The shelf's local x runs along the screw; NDS 2018 12.2.2.3 gives screws in end grain no withdrawal value."""
    assert into_edge("white-oak", (1.0, 0.0)) == 0.0
    assert into_edge("white-oak", (0.0, 1.0)) == pytest.approx(wood_withdrawal(0.68, 4.0, 20.0))


def test_edges_of_sheets():
    assert into_edge("birch-plywood", (1.0, 0.0)) == pytest.approx(0.5 * wood_withdrawal(0.62, 4.0, 20.0))
    assert into_edge("mdf", (1.0, 0.0)) == pytest.approx(board_withdrawal(0.72, 4.0, 20.0, True))


def test_the_load_on_a_screw_is_that_of_a_lever():
    """A cover of 100 x 60 mm held by one screw in its middle tips about an edge: over its length the pull of 50 N and
    the weight act at 100, the screw at 50 mm: twice the load; over its width the same, 60 over 30.
    """
    found = pulled(stack(held(12.2)), "Cover")
    weight = 0.1 * 0.06 * 0.009 * 680.0 * GRAVITY
    load = 2 * (50.0 + weight)
    assert found.measured == pytest.approx(wood_withdrawal(0.62, 4.0, 3.2) / load)
    assert f"{load:.0f} N on one of 1" in found.because


def test_screws_share_by_their_distance_from_where_the_part_tips():
    """Screws at x = 20 and 80: pulled at the far end, the second takes 80 / (20² + 80²) of the moment, pulled at the
    near end the first does; over the width each takes half of twice the load.
    """
    pair = held(12.2, at=(20.0, 0.0, 30.0)), held(12.2, at=(80.0, 0.0, 30.0), key="screw-2")
    found = pulled(stack(*pair), "Cover")
    load = 50.0 + 0.1 * 0.06 * 0.009 * 680.0 * GRAVITY
    worst = max(load * 100 * 80 / (20**2 + 80**2), load * 60 * 30 / (2 * 30**2))
    assert found.measured == pytest.approx(wood_withdrawal(0.62, 4.0, 3.2) / worst)


def test_a_part_tips_where_its_neighbour_ends():
    """The header of a design rests on its cleat: pulled at its top it tips about the cleat's lower edge."""
    of = built(joint__screw_header=15.0)
    found = pulled(of, "Header")
    header, cleat = of.by_id["header"], of.by_id["cleat-upper"]
    lever = header.extent[1][2] - cleat.extent[0][2]
    joint = next(j for j in of.axis_joints if j.id == "screw-header-1")
    distance = joint.at[2] - cleat.extent[0][2]
    weight = header.area * header.thickness * 1e-9 * 680.0 * GRAVITY
    load = (50.0 + weight) * lever * distance / (2 * distance**2)
    bite = 15.0 - cleat.thickness
    assert found.status == "conflict"
    assert found.measured == pytest.approx(wood_withdrawal(0.62, 3.5, bite) / load, rel=1e-3)
    assert "less than 6 D: no joint for a structure" in found.because
    assert "The pull (choice): a hand that pulls" in found.because
    assert [r.address for r in found.remedies] == ["joint.screw_header", "joint.screw", "joint.edge"]
    assert len(found.places) == 2


def test_a_part_with_tabs_is_what_the_others_are_held_to():
    """The cleats stand in mortises, so the cover and the header hang on them, and the panel on the wall."""
    of = built()
    assert {f.parts[0] for f in findings(of, "screw-hold", strict())} == {
        "header",
        "back-cover",
        "panel-return",
        "catch-ramp-1",
    }


@pytest.mark.parametrize(("length", "status"), [(20.0, "clear"), (60.0, "tight"), (100.0, "conflict")])
def test_a_long_thin_screw_breaks_first(length, status):
    """4 mm is gauge 7.5: inside 2.1 to 11.1 at 20 mm; 8.4 to 17.4 at 60 mm; 12 to 20 at 100 mm."""
    of = stack(held(length))
    pairs = [f for f in findings(of, "screw-hold") if f.title.startswith("Length of screw")]
    if status == "clear":
        assert {f.status for f in findings(of, "screw-hold")} == {"clear"}
    else:
        assert [f.status for f in pairs] == [status]


def test_a_wide_cover_over_a_narrow_cleat_tips_about_the_cleat():
    """The plate behind is 100 mm wide, the cover 160: a pull at 160 acts 160 mm from the edge at 0, with the screw 50
    from there; one at 0 tips the cover about the end of the plate, at 100.
    """
    of = stack(held(12.2), cover=rect(0.0, 0.0, 160.0, 60.0), thick=24.0)
    found = pulled(of, "Cover")
    load = (50.0 + 0.16 * 0.06 * 0.009 * 680.0 * GRAVITY) * 160 / 50
    assert found.measured == pytest.approx(wood_withdrawal(0.62, 4.0, 3.2) / load)

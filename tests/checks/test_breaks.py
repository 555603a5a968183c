"""Rounded and chamfered edges: wood left behind them against plane geometry, and hand-made parts."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from desk.cabinet.model import Cabinet, Cutout, EdgeBreak, Member, Part, Pocket
from desk.checks.breaks import floor_of, near_rails, near_things, wood_left
from desk.shapes.loop import circle, rect
from tests.checks.helpers import built, cabinet, findings, hole, only, plate, screw

TOP = ((0.0, 60.0, 0.0), (100.0, 60.0, 0.0))
"""The upper edge of a plate of 100 x 60 mm."""


def edge(
    size: float, kind="rounding", path=TOP, face="B", closed: bool = False, use: str = "outside edge"
) -> EdgeBreak:
    return EdgeBreak(path, closed, kind, size, use, face)


def of(part: Part) -> Cabinet:
    return cabinet([part])


def removed(kind: str, size: float) -> shapely.Polygon:
    """What a broken edge takes off, in the section of the plate: x in from the edge, y down from the face."""
    if kind == "chamfer":
        return shapely.Polygon([(0, 0), (size, 0), (0, size)])
    turn = np.linspace(0.0, np.pi / 2, 2000)
    arc = np.stack((size - size * np.cos(turn), size - size * np.sin(turn)), axis=1)
    return shapely.Polygon([(0.0, 0.0), *arc.tolist()])


@pytest.mark.parametrize("kind", ["rounding", "chamfer"])
def test_wood_left_is_the_distance_in_the_section(kind):
    """Against the section drawn with shapely, for corners of holes within the break's reach."""
    gone = removed(kind, 6.0)
    rng = np.random.default_rng(44)
    for x, y in rng.uniform(0.0, 6.0, (60, 2)):
        corner = shapely.Point(x, y)
        if not gone.contains(corner):
            left = wood_left(edge(6.0, kind), x, y, 20.0)
            assert left == pytest.approx(gone.distance(corner), abs=1e-4)
        else:
            assert wood_left(edge(6.0, kind), x, y, 20.0) < 0


@pytest.mark.parametrize(
    ("inset", "low", "left"),
    [
        (6.0, 0.0, math.inf),
        (1.0, 6.0, math.inf),
        (0.0, 7.0, 1.0),
        (3.0, 3.0, 6 - math.hypot(3, 3)),
        (0.0, 0.0, 6 - 6 * math.sqrt(2)),
    ],
)
def test_wood_left_where_the_break_does_not_reach(inset, low, left):
    """Beyond the rounding of 6 mm it takes nothing; a rebate open at the edge leaves what is between both there."""
    assert wood_left(edge(6.0), inset, low, 12.0) == pytest.approx(left)


@pytest.mark.parametrize(
    ("size", "status"), [(4.5, "clear"), (5.5, "tight"), (6.5, "conflict"), (20.0, "conflict")]
)
def test_a_rounding_takes_no_more_than_half_of_the_thickness(size, status):
    found = findings(of(plate("p", 12.0, breaks=(edge(size),))), "broken-edge")[0]
    assert found.status == status
    assert (found.measured, found.needed) == (size, 6.0)
    assert found.because == f"rounding {size:.2f} mm on 12.00 mm of wood; at most 6.00, 0.5 of it"


def test_breaks_on_both_faces_of_one_edge_add_up():
    """5 and 8 mm together are more than 12."""
    both = plate("p", 12.0, breaks=(edge(5.0), edge(8.0, face="A")))
    wrong = [f for f in findings(of(both), "broken-edge") if f.status == "conflict"]
    assert sorted(f.measured or 0.0 for f in wrong) == [pytest.approx(6.5), 8.0]
    apart = plate(
        "p", 12.0, breaks=(edge(4.0), edge(4.0, face="A", path=((0.0, 0.0, 0.0), (100.0, 0.0, 0.0))))
    )
    assert only(of(apart), "broken-edge").status == "clear"


@pytest.mark.parametrize(
    ("at", "depth", "status"),
    [(40.0, 8.0, "clear"), (54.0, 6.0, "clear"), (54.0, 8.0, "tight"), (54.0, 11.0, "conflict")],
)
def test_a_hole_behind_a_rounding(at, depth, status):
    """5 mm rounding on face B; the side of a hole of 8 mm from face A is 2 mm in from the edge, its bottom 4 or 1 mm
    under the face: 5 - sqrt(3² + 1²) = 1.84, 5 - sqrt(3² + 4²) = 0.
    """
    part = plate("p", 12.0, drills=(hole(50, at, depth=depth),), breaks=(edge(5.0),))
    found = [f for f in findings(of(part), "broken-edge") if f.title == "Rounding and the 8.00 mm hole in P"]
    assert [f.status for f in found] == ([] if status == "clear" else [status])
    for finding in found:
        assert finding.measured == pytest.approx(5 - math.hypot(3.0, 5.0 - (12.0 - depth)), abs=1e-6)
        assert finding.remedies[0].address == "shop.edge_round"


def test_a_screws_point_counts_past_its_pilot():
    """From y = 21 through 9 mm into a plate y 0 to 12: pilot 6 mm deep, point 9, so 3 mm under face B instead of 6; the
    side of the 4 mm hole is 0.5 mm in.
    """
    members = [Member("near", 4.5, None, "clearance"), Member("p", 4.0, 6.0, "pilot")]
    joint = replace(screw(members, 18.0), at=(50.0, 21.0, 57.5), direction=(0.0, -1.0, 0.0))
    pilot = hole(50, 57.5, 4.0, depth=6.0, use="pilot", joint=joint.id)
    part = plate("p", 12.0, drills=(pilot,), breaks=(edge(5.0),))
    found = findings(cabinet([plate("near", 21.0, thickness=9.0), part], [joint]), "broken-edge")[0]
    assert found.status == "conflict"
    assert found.measured == pytest.approx(5 - math.hypot(4.5, 2.0), abs=1e-6)


def test_a_mortise_open_at_the_edge():
    """6 of 12 mm deep from face A; a rounding of 5 on face B leaves 1 mm of the edge."""
    rebate = Pocket(rect(40.0, 40.0, 60.0, 60.0), 6.0, "rebate", "tab-1")
    found = findings(of(plate("p", 12.0, pockets=(rebate,), breaks=(edge(5.0),))), "broken-edge")[0]
    assert (found.status, found.measured) == ("conflict", pytest.approx(1.0))


BOARD = {
    "cutouts": (Cutout(circle(50, 30, 8), "target hole 1"),),
    "pockets": (Pocket(rect(-8, -8, 108, 68), 8.0, "carving", islands=(rect(40, 10, 60, 21),)),),
}


def rim(size: float) -> EdgeBreak:
    return edge(size, "chamfer", circle(50, 30, 8).points, "A", True, "rim of target hole 1")


def board(size: float) -> Part:
    return plate("board", 18.0, thickness=18.0, breaks=(rim(size),), **BOARD)


def test_a_rim_at_the_floor_of_the_carving_has_less_wood_under_it():
    assert floor_of(board(1.0), rim(1.0)) == 8.0
    assert floor_of(plate("p", 12.0), edge(3.0)) == 0.0
    found = findings(of(board(6.0)), "broken-edge")
    share = [f for f in found if "on 10.00 mm of wood" in f.because]
    assert (share[0].status, share[0].measured, share[0].needed) == ("conflict", 6.0, 5.0)


@pytest.mark.parametrize(("size", "status"), [(1.0, "clear"), (1.85, "tight"), (2.5, "conflict")])
def test_a_rims_chamfer_beside_a_rail(size, status):
    """The rail stands 1 mm from the hole's edge; a chamfer may reach 1 mm past its foot."""
    found = findings(of(board(size)), "broken-edge")[0]
    assert found.status == status
    if status != "clear":
        assert found.measured == pytest.approx(size - 1.0, abs=0.02)
        assert found.title == "Chamfer of the rim of target hole 1 beside a rail of Board"
        assert [r.address for r in found.remedies] == ["board.chamfer", "targets.1.rail"]


def test_the_hollow_of_a_ring_is_no_rail():
    """A ring of 12 to 16 mm round a hole of 8 mm: 4 mm from the rim."""
    ring = Pocket(rect(-8, -8, 108, 68), 8.0, "carving", islands=(circle(50, 30, 16),))
    inner = Pocket(circle(50, 30, 12), 8.0, "carving")
    part = plate(
        "board", 18.0, thickness=18.0, cutouts=BOARD["cutouts"], pockets=(ring, inner), breaks=(rim(5.0),)
    )
    assert floor_of(part, rim(5.0)) == 8.0
    ((number, _, away),) = near_rails(part, rim(5.0), 8.0)
    assert (number, away) == (1, pytest.approx(4.0, abs=0.02))


def test_its_own_hole_is_nothing_behind_a_rim():
    assert near_things(board(2.0), rim(2.0)) == ()


def test_a_rounding_larger_than_the_stock_is_found_in_a_design():
    """20 mm on stock of 11.8 mm."""
    found = findings(built(shop__edge_round=20.0), "broken-edge")[0]
    assert (found.status, found.measured, found.needed) == ("conflict", 20.0, pytest.approx(5.9))
    assert set(found.parts) == {"panel-return", "panel-far"}


def test_without_a_broken_edge_there_is_nothing_to_say():
    assert (
        only(of(plate("p", 12.0)), "broken-edge").because
        == "No edge of this cabinet is rounded or chamfered."
    )

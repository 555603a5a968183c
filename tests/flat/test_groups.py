"""Identical parts share a drawing; mirror images and parts that differ by a hole do not."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.model import Drill
from desk.flat.groups import groups
from desk.shapes.frame import Frame

from .samples import MDF, plain, rich

HOLE = Drill((10.0, 10.0), 6.1, 8.0, "dowel", "j1")


def test_names_joints_and_place_do_not_count():
    one = replace(rich("rib-1"), label="Rib 1")
    other = replace(
        rich("rib-2"),
        label="Rib 2",
        frame=Frame((0.0, 50.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
        drills=tuple(replace(d, joint="other") for d in rich().drills),
        show=("A",),
    )
    (found,) = groups([one, other])
    assert found.label == "Rib"
    assert [p.id for p in found.parts] == ["rib-1", "rib-2"]


def test_where_a_part_has_its_origin_does_not_count():
    one = plain("p1", 50.0, 30.0, drills=(HOLE,))
    drill = replace(HOLE, at=(110.0, -90.0))
    other = replace(one, id="p2", outline=one.outline.moved(100.0, -100.0), drills=(drill,))
    assert len(groups([one, other])) == 1


def test_noise_of_arithmetic_does_not_count():
    one = plain("p1", 50.0, 30.0)
    assert len(groups([one, replace(one, id="p2", outline=one.outline.moved(1e-9, 0.1 + 0.2 - 0.3))])) == 1


@pytest.mark.parametrize(
    "change",
    [
        {"thickness": 12.3},
        {"stock": MDF.id},
        {"grain": (0.0, 1.0)},
        {"drills": ()},
        {"drills": (replace(HOLE, face="B"),)},
        {"drills": (replace(HOLE, depth=None),)},
        {"drills": (replace(HOLE, depth=8.1),)},
        {"drills": (replace(HOLE, by_hand=True),)},
        {"drills": (replace(HOLE, at=(10.01, 10.0)),)},
        {"pockets": rich().pockets[:1]},
        {"grooves": rich().grooves},
        {"breaks": rich().breaks[:1]},
        {"cutouts": rich().cutouts[:1]},
    ],
)
def test_what_counts(change):
    one = plain("p1", 50.0, 30.0, drills=(HOLE,))
    assert len(groups([one, replace(one, id="p2", **change)])) == 2


def test_mirror_images_stay_apart():
    one = plain("p1", 50.0, 30.0, drills=(HOLE,))
    mirrored = replace(
        one, id="p2", outline=one.outline.mirrored(), drills=(replace(HOLE, at=(-10.0, 10.0)),)
    )
    assert len(groups([one, mirrored])) == 2


def test_work_by_hand_keeps_parts_apart():
    one = plain("p1", 50.0, 30.0)
    assert len(groups([one, replace(one, id="p2")], {"p1": ("hole into the edge",)})) == 2


@pytest.mark.parametrize(
    ("labels", "shared"),
    [
        (("Kicker rib 1", "Kicker rib 2"), "Kicker rib"),
        (("Lip block, layer 1", "Lip block, layer 2"), "Lip block"),
        (("Cleat (1)", "Cleat (2)"), "Cleat"),
        (("Spacer", "Spacer"), "Spacer"),
        (("Left", "Right"), "Left and 1 alike"),
        (("1", "2"), "1 and 1 alike"),
        (("Player 1", "Player 2"), "Player"),
    ],
)
def test_shared_labels(labels, shared):
    one = plain("p", 5.0, 3.0)
    (found,) = groups([replace(one, id=f"p{k}", label=label) for k, label in enumerate(labels)])
    assert found.label == shared


def test_order_is_the_cabinet_s():
    parts = [plain("b", 5, 3), plain("a", 6, 3), plain("c", 5, 3)]
    assert [[p.id for p in g.parts] for g in groups(parts)] == [["b", "c"], ["a"]]

"""What a small drawing is called, and where one stands where the place alone does not show what was measured."""

from __future__ import annotations

import math

import pytest

from desk.checks.finding import Finding, Place
from desk.shapes.frame import Frame, Vec, dot
from desk.views.stand import caption, stand

from .designs import DESIGNS, evaluated


def found(check: str, name: str = "starting") -> Finding:
    return next(f for f in evaluated(name).findings if f.check == check and f.places)


@pytest.mark.parametrize(
    ("u", "v", "words"),
    [
        ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), "Section, from the right"),
        ((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), "Section, from the left"),
        ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), "Section, from the front"),
        ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0), "Section, from the back"),
        ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), "Level section, from above"),
        ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), "Level section, from below"),
        ((0.0, 1.0, 0.0), (0.8, 0.0, 0.6), "Section along the slope"),
        ((0.0, 1.0, 0.0), (0.4, 0.0, math.sqrt(0.84)), "Section on the slant"),
    ],
)
def test_a_plane_is_named_by_where_one_looks_from(u: Vec, v: Vec, words: str) -> None:
    cabinet = evaluated("starting").cabinet
    frame = Frame((1.0, 2.0, 3.0), u, v)
    assert caption(cabinet, Place(frame, "point", ((0.0, 0.0),)), frame, None) == words


def test_a_face_and_an_axis_are_named() -> None:
    cabinet = evaluated("starting").cabinet
    board = cabinet.by_id["board"]
    assert (
        caption(cabinet, Place(board.frame, "point", ((0.0, 0.0),)), board.frame, board)
        == "Face of Target board"
    )
    screw = found("screw-bite").places[0]
    assert caption(cabinet, screw, screw.frame, None) == "Cut along the screw"


@pytest.mark.parametrize("name", DESIGNS)
def test_the_channel_is_seen_from_wall_to_wall(name: str) -> None:
    evaluation = evaluated(name)
    seen = stand(evaluation.cabinet, found("channel-width", name)).place
    assert abs(dot(seen.frame.normal, (1.0, 0.0, 0.0))) == pytest.approx(1.0)
    depth = evaluation.cabinet.leg_by_id["channel"].depth
    assert math.dist(*seen.points) == pytest.approx(depth)


def test_a_pin_is_seen_across_its_hole() -> None:
    evaluation = evaluated("starting")
    finding = found("dowel-play")
    seen = stand(evaluation.cabinet, finding)
    joint = next(j for j in evaluation.cabinet.axis_joints if j.at == finding.places[0].frame.origin)
    assert finding.measured is not None
    assert math.dist(*seen.place.points) == pytest.approx(joint.diameter + finding.measured)
    (x, _), (u, _) = seen.place.points
    assert x == u
    assert seen.line is not None
    assert seen.line[0][1] + finding.measured == pytest.approx(seen.place.points[1][1])


def test_a_cut_is_seen_from_the_face_down_to_its_floor() -> None:
    evaluation = evaluated("starting")
    finding = found("cut-depth")
    seen = stand(evaluation.cabinet, finding)
    part = next(
        p for p in evaluation.cabinet.parts if p.frame == finding.places[0].frame and p.id in finding.parts
    )
    depths = [part.frame.local(seen.place.frame.world(*p))[2] for p in seen.place.points]
    assert depths == pytest.approx([0.0, part.thickness])
    assert seen.line is not None
    assert seen.line[0] == seen.place.points[1]


def test_a_part_lies_on_the_bed_with_the_bit_all_round() -> None:
    """What the drawing shows to spare between bed and part is what the check measured, by another way."""
    evaluation = evaluated("starting")
    finding = found("part-fits")
    seen = stand(evaluation.cabinet, finding)
    part = evaluation.cabinet.by_id[finding.parts[0]]
    shop = evaluation.cabinet.shop
    (bed,) = seen.outlines
    xs, ys = [p[0] for p in bed], [p[1] for p in bed]
    assert sorted((max(xs) - min(xs), max(ys) - min(ys))) == pytest.approx(
        sorted((shop.bed_length, shop.bed_width))
    )
    x0, y0, x1, y1 = part.outline.bounds
    bit = shop.bit(shop.profile_bit).diameter
    spare = min(max(xs) - x1 - bit, max(ys) - y1 - bit)
    assert (x0 - min(xs), y0 - min(ys)) == pytest.approx((bit, bit))
    assert spare == pytest.approx(finding.measured)

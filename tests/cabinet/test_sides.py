"""Upright parts: the kicker's curve, the lifter in its slot, lip and channel, against plane geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from ezdxf.math import Vec2, bulge_to_arc
from shapely import affinity

from desk.cabinet.ascut import outline_as_cut
from desk.cabinet.layout import LIFTER_SINK
from desk.design.starting import STACK_PLAY
from desk.shapes.loop import CHORD_TOLERANCE

from .designs import FIXED, cabinet, fixed

SMALL = 0.02


def arcs_of(loop):
    """(start, end, centre, radius, bulge) of every arc, by ezdxf."""
    out = []
    for a, b in loop.edges():
        if a[2]:
            centre, _, _, radius = bulge_to_arc(Vec2(a[:2]), Vec2(b[:2]), a[2])
            out.append((np.array(a[:2]), np.array(b[:2]), np.array((centre.x, centre.y)), radius, a[2]))
    return out


@pytest.mark.parametrize("name", FIXED)
def test_the_kicker_leaves_the_deck_without_a_kink_and_lets_go_at_its_angle(name):
    """A tangent arc has its centre square above the touching point; at its end its radius leans by the exit."""
    cab, d = cabinet(name), fixed(name)
    rise, leave = math.radians(d.value("lane.rise")), math.radians(d.value("kicker.exit"))
    rib = cab.by_id["rib-1"]
    sign = rib.frame.u[0]  # a reflected rib's x runs towards the player
    curve = next(a for a in arcs_of(rib.outline) if a[4] < 0) if sign > 0 else next(
        a for a in arcs_of(rib.outline) if a[3] == pytest.approx(d.value("kicker.radius"))
    )  # fmt: skip
    start, end, centre, radius, _ = curve
    low, high = (start, end) if start[1] < end[1] else (end, start)
    assert radius == pytest.approx(d.value("kicker.radius"), rel=1e-9)
    assert (low - centre) / radius == pytest.approx((sign * math.sin(rise), -math.cos(rise)), abs=1e-9)
    assert (high - centre) / radius == pytest.approx((sign * math.sin(leave), -math.cos(leave)), abs=1e-9)
    deck_end = cab.marks.points["deck end"]
    assert rib.frame.world(*low)[0] == pytest.approx(deck_end[0], abs=1e-9)
    assert rib.frame.world(*low)[2] == pytest.approx(deck_end[2], abs=1e-9)


@pytest.mark.parametrize("name", FIXED)
def test_deck_and_kicker_meet_flush(name):
    """The deck's upper rear edge, in space, lies on the rib's outline, and its square end along the rib's front."""
    cab = cabinet(name)
    deck, rib = cab.by_id["deck"], cab.by_id["rib-1"]
    length = deck.outline.bounds[3]
    ring = shapely.LinearRing(rib.outline.coords)
    for depth in (0.0, deck.thickness / 2, deck.thickness):
        x, y, _ = rib.frame.local(deck.frame.world(10.0, length, depth))
        assert ring.distance(shapely.Point(x, y)) < 1e-6


@pytest.mark.parametrize("name", FIXED)
def test_ribs_fill_the_lane(name):
    cab = cabinet(name)
    ribs = [p for p in cab.parts if p.id.startswith("rib-")]
    assert len({p.outline for p in ribs}) == 1
    width = cab.marks.lengths["lane width"]
    assert sum(p.thickness for p in ribs) == pytest.approx(width - STACK_PLAY, abs=0.1)


@pytest.mark.parametrize("name", FIXED)
def test_the_lifter_turns_between_lip_and_channel_without_touching(name):
    """Turned about its pin through its travel, as cut, it keeps its play from the parts around it, but for chords."""
    cab, d = cabinet(name), fixed(name)
    radius = cab.shop.bit(cab.shop.profile_bit).diameter / 2

    def shape(key: str) -> shapely.Geometry:
        part = cab.by_id[key]
        face = outline_as_cut(part.outline, radius)
        return face if part.frame.u[0] > 0 else affinity.scale(face, -1.0, 1.0, origin=(0, 0))

    lifter, around = shape("lifter"), [shape("lip-block-1"), shape("spacer-lower-1")]
    pin = (d.value("lifter.pin_x"), d.value("lifter.pin_z"))
    play = d.value("lifter.play")
    for share in np.linspace(0.0, 1.0, 29):
        turned = affinity.rotate(lifter, share * d.value("lifter.travel"), origin=pin)
        for other in around:
            assert turned.distance(other) >= play - SMALL, (share, turned.distance(other))


@pytest.mark.parametrize("name", FIXED)
def test_the_lifters_pad_lies_under_the_channel_floor_and_rises_above_it(name):
    cab, d = cabinet(name), fixed(name)
    lip, slot = cab.marks.points["lip rear"], cab.marks.points["slot"]
    part = cab.by_id["lifter"]
    points = np.array([part.frame.world(x, y) for x, y in part.outline.coords])
    pad = points[(points[:, 0] > lip[0]) & (points[:, 0] < slot[0])]
    floor = lip[2] + (pad[:, 0] - lip[0]) * math.tan(math.radians(d.value("return.slope")))
    assert (pad[:, 2] <= floor - LIFTER_SINK + 1e-6).all()
    assert (floor - pad[:, 2]).min() == pytest.approx(LIFTER_SINK, abs=1e-6)
    # lifted, the pad's front edge clears the lip
    pin = np.array((d.value("lifter.pin_x"), d.value("lifter.pin_z")))
    reach = np.array((lip[0], lip[2])) - pin
    travel = math.radians(d.value("lifter.travel"))
    raised = pin[1] + reach[0] * math.sin(travel) + reach[1] * math.cos(travel)
    assert raised > lip[2]


@pytest.mark.parametrize("name", FIXED)
def test_the_channel_is_as_high_as_the_largest_ball_and_its_headroom(name):
    """Square to the floor, between floor and cover: floor and cover are parallel, so one distance tells."""
    cab, d = cabinet(name), fixed(name)
    lower, upper = cab.by_id["spacer-lower-1"], cab.by_id["spacer-upper-1"]
    gap = lower.outline.polygon.distance(upper.outline.polygon)
    largest = d.value("ball.diameter") + d.value("ball.spread")
    assert gap == pytest.approx(largest + d.value("return.headroom"), abs=CHORD_TOLERANCE)


@pytest.mark.parametrize("name", FIXED)
def test_outer_panels_are_mirror_images(name):
    """In space their outlines coincide; face to face, each has its show face outside."""
    cab = cabinet(name)
    near, far = cab.by_id["panel-return"], cab.by_id["panel-far"]
    outlines = []
    for part in (near, far):
        points = np.array([part.frame.world(x, y) for x, y in part.outline.coords])
        outlines.append(shapely.Polygon(points[:, [0, 2]]))
    assert outlines[0].symmetric_difference(outlines[1]).area < 0.1
    assert near.frame.normal == pytest.approx(tuple(-n for n in far.frame.normal))
    assert near.area == pytest.approx(far.area, rel=1e-9)


@pytest.mark.parametrize("name", FIXED)
def test_roundings_run_over_the_top_outside_and_not_where_the_panel_stands(name):
    cab = cabinet(name)
    for key in ("panel-return", "panel-far"):
        part = cab.by_id[key]
        (edge,) = part.breaks
        assert (edge.kind, edge.face, edge.closed) == ("rounding", "B", False)
        assert edge.size == fixed(name).value("shop.edge_round")
        heights = [y for _, y, _ in edge.path]
        assert sorted(heights)[:2] == pytest.approx([0.0, 0.0])
        low = [p for p in edge.path if p[1] == pytest.approx(0.0)]
        assert len(low) == 2
        assert {edge.path[0][:2], edge.path[-1][:2]} == {p[:2] for p in low}

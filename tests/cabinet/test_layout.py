"""Leading sizes against plane geometry, and the named points of the cabinet against the parts they are named for."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings

from desk.cabinet.build import build

from .designs import FIXED, cabinet, fixed, usual
from .space import drawn


def rise_of(a, b) -> float:
    """Angle of the line from one named point to another, degrees above level."""
    return math.degrees(math.atan2(b[2] - a[2], b[0] - a[0]))


@settings(derandomize=True, deadline=None, max_examples=30)
@given(usual())
def test_named_points_stand_at_the_angles_and_lengths_of_the_design(design):
    marks = build(design).marks
    p, v = marks.points, design.value
    assert rise_of(p["deck front"], p["deck end"]) == pytest.approx(v("lane.rise"), abs=1e-9)
    assert rise_of(p["kick end"], p["lip"]) == pytest.approx(v("kicker.exit"), abs=1e-9)
    assert rise_of(p["foot"], p["top"]) == pytest.approx(v("board.tilt"), abs=1e-9)
    assert rise_of(p["gutter rear"], p["gutter front"]) - 180 == pytest.approx(
        -v("behind.gutter_slope"), abs=1e-9
    )
    assert rise_of(p["lip rear"], p["slot"]) == pytest.approx(v("return.slope"), abs=1e-9)
    assert math.dist(p["foot"], p["top"]) == pytest.approx(v("board.length"))
    assert math.dist(p["kick centre"], p["deck end"]) == pytest.approx(v("kicker.radius"))
    assert math.dist(p["kick centre"], p["kick end"]) == pytest.approx(v("kicker.radius"))
    assert math.dist(p["kick end"], p["lip"]) == pytest.approx(v("kicker.straight"))
    assert p["foot"][0] - p["lip"][0] == pytest.approx(v("board.gap"))
    assert p["foot"][2] - p["lip"][2] == pytest.approx(v("board.foot_rise"))
    assert p["deck end"][0] - p["deck front"][0] == pytest.approx(v("lane.length"))
    assert abs(p["far"][1] - p["lane"][1]) == pytest.approx(v("lane.width"))
    layers = round(v("return.layers"))
    spacer = design.stock(design.choice("stock.spacer")).measured
    assert abs(p["spacer"][1] - p["panel"][1]) == pytest.approx(layers * spacer)


TOUCHED = {
    "deck front": "deck", "deck end": "deck", "stop front": "front-stop", "kick end": "rib-1",
    "gutter front": "gutter-floor", "gutter rear": "gutter-floor", "header low": "header", "header high": "header",
    "ramp low": "catch-ramp-1", "lip rear": "lip-block-1", "slot": "spacer-lower-1", "mouth": "spacer-upper-1",
    "channel back": "spacer-lower-1", "tray back": "lip-block-1", "inlet low": "inner-wall",
    "inlet high": "inner-wall",
}  # fmt: skip


@pytest.mark.parametrize("name", FIXED)
def test_named_points_lie_on_the_wood_they_are_named_for(name):
    """In x and z, at the part's own place across: within 0.5 mm of its outline, some gaps being laid out on purpose."""
    cab = cabinet(name)
    for mark, key in TOUCHED.items():
        part = cab.by_id[key]
        low, high = drawn(part).box()
        x, _, z = cab.marks.points[mark]
        across = (low[1] + high[1]) / 2
        if key.startswith("catch-ramp"):
            across = cab.marks.points["spacer"][1]
        ring = np.array([(0.5 * math.cos(a), 0.5 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 64)])
        probes = np.array([[x + dx, across, z + dz] for dx, dz in ring])
        if key.startswith("catch-ramp"):
            inward = math.copysign(0.6, (cab.marks.points["lane"][1] - across))
            probes[:, 1] += inward
        inside = drawn(part).holds(probes)
        assert inside.any(), mark
        assert not inside.all(), mark


@pytest.mark.parametrize("name", FIXED)
def test_the_playing_surface_is_the_carved_floor(name):
    """The face plane lies in the floor: wood just below it, none just above, clear of rails and holes."""
    cab = cabinet(name)
    board, face = drawn(cab.by_id["board"]), cab.planes["face"]
    half, length = cab.marks.lengths["lane width"] / 2 - 1.0, cab.marks.lengths["face length"]
    taken = shapely.union_all([shapely.Point(t.at).buffer(t.hole / 2 + t.rail * 2 + 12) for t in cab.targets])
    free = shapely.box(-half, 1.0, half, length - 1.0).difference(taken)
    spots = [free.representative_point(), *(p.representative_point() for p in getattr(free, "geoms", []))]
    for spot in spots:
        below, above = (np.array([face.world(spot.x, spot.y, depth)]) for depth in (0.02, -0.02))
        assert board.holds(below).all()
        assert not board.holds(above).any()


@pytest.mark.parametrize("name", FIXED)
def test_overall_lengths_enclose_every_part(name):
    cab, d = cabinet(name), fixed(name)
    boxes = [drawn(p).box() for p in cab.parts]
    low, high = np.min([b[0] for b in boxes], axis=0), np.max([b[1] for b in boxes], axis=0)
    assert cab.marks.lengths["width"] == pytest.approx(high[1] - low[1])
    assert cab.marks.lengths["depth"] == pytest.approx(high[0])
    assert cab.marks.lengths["length"] >= high[0] - low[0] - d.value("lifter.arm")
    assert low[2] >= -1e-9

"""The board face on hand-made figures, against closed forms for discs and walls, and on the real board."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet, Cutout, Leg, Solid, Zone
from desk.checks.face import hole_width
from desk.checks.facegaps import gaps
from desk.checks.run import run
from desk.design import edit
from desk.shapes.frame import Frame
from desk.shapes.loop import circle, rect
from tests.checks.helpers import built, changed

PLANE = Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))


def face(*solids: tuple[str, shapely.Geometry], rail: float | None = None) -> Leg:
    """A face 200 x 200 with these solids and one hole far away."""
    hole = Zone("target hole 1", shapely.Point(-90, -90).buffer(5))
    room = shapely.box(-100, -100, 100, 100)
    return Leg(
        "face",
        "Board face",
        PLANE,
        room,
        tuple(Solid(*s) for s in solids),
        (0.0, -1.0),
        0.5,
        (Zone("face", room),),
        (hole,),
        rail_height=rail,
    )


def disc(x: float, radius: float) -> tuple[str, shapely.Geometry]:
    return "board", shapely.Point(x, 0).buffer(radius, quad_segs=128)


@given(st.floats(8, 30), st.floats(8, 30), st.floats(0.5, 14.0))
def test_a_ball_between_two_discs_sits_at_the_angle_of_three_circles(first, second, width):
    """The triangle of the three middles: sides first + c, second + c and first + second + width; the half angle of
    the wedge is half of what its corner at the ball lacks to half a turn.
    """
    c = 7.8
    apart = first + second + width
    (gap,) = gaps(face(disc(0, first), disc(apart, second)), 16.4, 2 * c)
    a, b = first + c, second + c
    corner = math.acos((a * a + b * b - apart * apart) / (2 * a * b))
    assert gap.half_angle == pytest.approx((math.pi - corner) / 2, abs=0.01)
    assert gap.width == pytest.approx(width, abs=0.01)
    assert math.dist(gap.at, (0, 0)) == pytest.approx(a, abs=0.02)


def test_a_corner_of_two_walls_is_half_a_right_angle():
    walls = (("inner-wall", shapely.box(-60, -50, -40, 50)), ("header", shapely.box(-60, 30, 60, 50)))
    (gap,) = gaps(face(*walls), 16.4, 15.6)
    assert math.degrees(gap.half_angle) == pytest.approx(45, abs=0.3)
    assert gap.at == pytest.approx((-40 + 7.8, 30 - 7.8), abs=0.05)


def test_between_parallel_walls_the_ball_passes_or_does_not_get_in():
    def walls(width: float) -> Leg:
        left, right = shapely.box(-60, -100, 0, 100), shapely.box(width, -100, width + 60, 100)
        return face(("inner-wall", left), ("panel-far", right))

    (wide,) = gaps(walls(18.0), 16.4, 15.6)
    assert (wide.half_angle, wide.width, wide.needs) == (None, pytest.approx(18.0), (16.4, 15.6))
    (between,) = gaps(walls(16.0), 16.4, 15.6)
    assert between.half_angle is None
    assert gaps(walls(10.0), 16.4, 15.6) == ()
    assert gaps(walls(30.0), 16.4, 15.6) == ()


def test_low_rails_are_met_below_the_middle_of_the_ball():
    """Rail 4 mm high, ball radius 8.2: contact at sqrt(2 x 8.2 x 4 - 16) = 7.043 mm from under the middle."""
    contact = math.sqrt(2 * 8.2 * 4 - 16)
    (gap,) = gaps(face(disc(0, 20), disc(55, 20), rail=4.0), 16.4, 15.6)
    assert gap.needs[0] == pytest.approx(2 * contact)
    (beside,) = gaps(face(disc(0, 20), ("inner-wall", shapely.box(35.5, -50, 60, 50)), rail=4.0), 16.4, 15.6)
    assert beside.needs[0] == pytest.approx(contact + 8.2)


def test_a_seat_taken_by_a_third_solid_is_none():
    two = (disc(0, 15), disc(40, 15))
    assert len(gaps(face(*two), 16.4, 15.6)) == 1
    blockers = (("header", shapely.box(0, 14.5, 40, 40)), ("panel-far", shapely.box(0, -40, 40, -14.5)))
    names = [(g.first, g.second) for g in gaps(face(*two, *blockers), 16.4, 15.6)]
    assert (0, 1) not in names


@pytest.mark.parametrize(
    ("loop", "width"),
    [
        (circle(3, 4, 10), 20.0),
        (rect(0, 0, 40, 18), 18.0),
        (circle(0, 0, 2.9), 0.0),
        (rect(0, 0, 40, 5.9), 0.0),
    ],
)
def test_the_narrowest_of_an_opening_as_cut(loop, width):
    assert hole_width(Cutout(loop, "target hole 1"), 3.0) == pytest.approx(width, abs=0.01)


def test_hole_less_film_less_the_largest_ball():
    (found,) = run(built(), ["hole-passes"])
    assert found.status == "clear"
    assert found.measured == pytest.approx(23.0 - 2 * 0.075 - 16.4)
    assert found.because.startswith("23.00 - 2 x 0.075 film - 16.40 ball = 6.45 mm; needed 0.60")
    wrong = run(built(targets__4__hole=16.5), ["hole-passes"])
    assert [f.key for f in wrong] == ["hole-passes/target hole 4"]
    assert wrong[0].status == "conflict"
    assert wrong[0].remedies[0].address == "targets.4.hole"


def beside_wall(width: float) -> Cabinet:
    """The starting cabinet with target 3 moved until its rail stands ``width`` mm off the inner wall."""
    before = next(f for f in run(built(targets__3__across=-36.0), ["face-gaps"]) if f.key.endswith(BESIDE))
    places = [math.dist(*p.points) for p in before.places if p.kind == "line"]
    return built(targets__3__across=-36.0 + width - places[0])


BESIDE = "inner wall to rail of target 3"


def test_a_target_moved_to_the_wall_wedges_the_ball_there():
    gap = next(f for f in run(beside_wall(14.75), ["face-gaps"]) if f.key.endswith(BESIDE))
    assert gap.status == "conflict"
    assert gap.unit == "deg"
    assert gap.needed == pytest.approx(math.degrees(math.atan(0.15)))
    assert {r.address for r in gap.remedies} >= {"targets.3.across", "lane.width"}
    assert len({r.text for r in gap.remedies}) == len(gap.remedies)
    assert gap.remedies[0].text == "Move target 3 away from the inner wall"


@pytest.mark.parametrize("width", [14.75, 12.0])
def test_the_sum_of_a_wedge_says_which_angle_the_margin_is_to(width):
    """atan 0.15 = 8.53 deg and atan 0.40 = 21.80 deg; the margin is to the smaller, whatever the status."""
    gap = next(f for f in run(beside_wall(width), ["face-gaps"]) if f.key.endswith(BESIDE))
    assert "needed atan(0.15) = 8.5, up to which even a smooth ball jams; tight to 22.8" in gap.because
    assert "a rough one may jam up to atan(0.40) = 21.8" in gap.because
    assert gap.margin == pytest.approx(gap.measured - math.degrees(math.atan(0.15)))


def test_a_gap_that_small_balls_pass_and_large_ones_do_not_is_a_conflict():
    gap = next(f for f in run(beside_wall(15.9), ["face-gaps"]) if f.key.endswith(BESIDE))
    assert (gap.status, gap.unit) == ("conflict", "mm")
    assert gap.measured == pytest.approx(15.9 - 16.4, abs=0.02)


def trapped(hurried=False, **changes):
    """The starting design with traps on its face: the design and the finding."""
    design = changed(**changes)
    found = run(build(design), ["face-traps"], value_of=lambda a: edit.get(design, a), hurried=hurried)
    return design, next(f for f in found if f.status == "conflict")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"targets__3__across": -36.0}, "Move target 3 away from the inner wall"),
        ({"targets__3__across": -39.0}, "Move target 3 away from the inner wall"),
        ({"targets__4__across": 44.5}, "Move target 4 away from the far panel"),
        ({"targets__3__rail": 20.0}, "Make the rail of target 3 smaller"),
        ({"targets__2__up": 100.0}, "Move target 2 up, away from the rail of target 3"),
    ],
)
def test_every_value_told_for_a_trap_ends_it_on_the_face_as_it_is_built(changes, says):
    """The values are found on outlines that are moved; here the cabinet is built with each."""
    design, found = trapped(**changes)
    assert says in {r.text for r in found.remedies}
    assert len(found.remedies) <= 4
    assert len({r.text for r in found.remedies}) == len(found.remedies)
    for remedy in found.remedies:
        assert remedy.value is not None
        mended = build(edit.put(design, remedy.address, remedy.value))
        assert {f.status for f in run(mended, ["face-traps", "face-gaps"])} <= {"tight", "clear"}, remedy


def test_within_a_drag_step_the_settings_for_a_trap_are_directions():
    _, found = trapped(hurried=True, targets__3__across=-36.0)
    assert found.remedies[0].text == "Move target 3 away from the inner wall"
    assert {r.value for r in found.remedies} == {None}


def test_rails_that_have_grown_together_are_told_apart():
    _, found = trapped(targets__4__across=12.0)
    assert {"Move target 3 away from target 4", "Move target 4 away from target 3"} & {
        r.text for r in found.remedies
    }


def test_the_words_for_traps_count_places_and_not_balls():
    """One place that holds both sizes of ball is one place; two beside two rails are two."""
    _, one = trapped(targets__3__across=-36.0)
    assert one.title == "Board face: a place holds the ball"
    assert one.because.count("1 place holds it") == 2
    assert "the smallest ball" in one.because
    assert "the largest ball" in one.because
    _, two = trapped(targets__3__across=-36.0, targets__4__across=36.0)
    assert two.title == "Board face: 2 places hold the ball"


def test_a_trap_on_the_face_names_the_target_beside_it():
    found = [f for f in run(beside_wall(14.75), ["face-traps"]) if f.status == "conflict"]
    assert found
    assert "targets.3.across" in {r.address for f in found for r in f.remedies}
    assert found[0].places

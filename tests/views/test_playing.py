"""A ball's way as drawing items: what each view shows, what stays the same object, where landings are counted."""

from __future__ import annotations

import itertools
import math
from pathlib import Path as File

import pytest

from desk.ball.motion import Path as Way
from desk.ball.motion import Stretch, path
from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.design.file import load
from desk.evaluate import evaluate
from desk.shapes.frame import Frame
from desk.views.drawing import Disc, Drawing, Marker, Path, Text
from desk.views.playing import (
    GHOSTS,
    PIECE,
    SEEN,
    Trail,
    arrow_items,
    arrow_read,
    arrow_tip,
    counted,
    end_items,
    hand_items,
    landing_items,
    loose_plots,
    moving_items,
    trail,
)
from desk.views.viewport import Viewport

from .pieces import LANE, measure

EXAMPLES = File(__file__).resolve().parent.parent.parent / "examples"
VIEW = Viewport(2.0, 100.0, 200.0)


def straight(leg: str, points: int, speed: float = 100.0, start: float = 0.0) -> Stretch:
    """A ball that runs along x at ``speed`` mm/s, a point every 10 mm."""
    xs = [10.0 * k for k in range(points)]
    return Stretch(
        leg,
        tuple(start + x / speed for x in xs),
        tuple((x, 5.0) for x in xs),
        tuple((x, 0.0, 5.0) for x in xs),
    )


def drawing(key: str = "lane", high: float = 1000.0) -> Drawing:
    return Drawing(key, key, LANE, (0.0, 0.0, high, 100.0), ())


@pytest.fixture(scope="module")
def marbles() -> Cabinet:
    return build(load(EXAMPLES / "marble-16mm.lane"))


def test_a_view_shows_its_own_legs_only() -> None:
    way = Way((straight("lane", 5), straight("channel", 5, start=1.0)), 0, "", 0.0)
    assert [r.time[0] for r in trail(way, drawing("lane")).runs] == [0.0]
    assert [r.time[0] for r in trail(way, drawing("channel")).runs] == [1.0]
    assert [(r.time[0], r.seen) for r in trail(way, drawing("plan")).runs] == [(0.0, True), (1.0, False)]
    assert trail(way, drawing("rear")).runs == ()


def test_every_leg_of_the_way_is_in_sight_in_some_view() -> None:
    legs = {leg for shown in SEEN.values() for leg, seen in shown.items() if seen}
    assert legs == {"lane", "flight", "face", "under", "catch", "channel", "lift"}


def test_a_way_is_cut_where_it_leaves_the_drawing() -> None:
    there = straight("lane", 4)
    away = [(x + 20.0, 0.0, 500.0) for x in range(3)]
    back = [(20.0 - x, 0.0, 5.0) for x in range(3)]
    world = (*there.world, *away, *back)
    time = tuple(0.1 * k for k in range(len(world)))
    way = Way((Stretch("lane", time, tuple((p[0], p[2]) for p in world), world),), 0, "", 0.0)
    runs = trail(way, drawing()).runs
    assert [len(r.points) for r in runs] == [4, 3]
    assert trail(way, drawing()).ball(0.5) is None


def test_the_ball_is_where_it_is_at_each_time_and_stays_at_the_end() -> None:
    made = Trail(trail(Way((straight("lane", 5),), 0, "", 0.0), drawing()).runs, 0.4)
    assert made.ball(0.05) == ((5.0, 5.0), True)
    assert made.ball(0.4) == ((40.0, 5.0), True)
    assert made.ball(9.0) == ((40.0, 5.0), True)
    assert made.rest == (40.0, 5.0)


def test_a_ball_that_goes_on_in_another_view_is_not_left_behind() -> None:
    way = Way((straight("lane", 5), straight("channel", 5, start=1.0)), 0, "", 0.0)
    lane, channel = trail(way, drawing("lane")), trail(way, drawing("channel"))
    assert lane.ball(1.2) is None
    assert lane.rest is None
    assert channel.ball(0.2) is None
    assert channel.ball(1.2) == ((20.0, 5.0), True)


def test_the_line_grows_and_what_is_drawn_of_it_stays_the_same_objects() -> None:
    made = trail(Way((straight("lane", 40),), 0, "", 0.0), drawing())
    early, late = made.line(2.0, "way"), made.line(3.05, "way")
    assert early[0] is late[0]
    assert len(early) == math.ceil(20 / PIECE)
    assert late[-1].rings[0][-1] == (305.0, 5.0)
    joints = [(a.rings[0][-1], b.rings[0][0]) for a, b in itertools.pairwise(late)]
    assert all(a == b for a, b in joints)
    assert made.line(99.0, "way") == made.line(math.inf, "way")
    assert [p for piece in made.line(99.0, "way") for p in piece.rings[0]][-1] == (390.0, 5.0)


def test_hidden_runs_have_a_style_of_their_own() -> None:
    way = Way((straight("channel", 5),), 0, "", 0.0)
    assert {p.style for p in trail(way, drawing("plan")).line(9.0, "way")} == {"way-hidden"}
    below, above = moving_items(trail(way, drawing("plan")), 0.1, 8.0)
    assert {getattr(i, "style", "") for i in (*below, *above)} == {"way-hidden", "ball-moving-hidden"}


def test_earlier_throws_fade_and_are_forgotten_after_a_few() -> None:
    made = [trail(Way((straight("lane", 5),), 0, "", 0.0), drawing()) for _ in range(GHOSTS + 3)]
    below, above = moving_items(made[0], 0.2, 8.0, made[1:])
    styles = [i.style for i in below if isinstance(i, Path)]
    assert styles == [*(f"way-{age}" for age in range(GHOSTS, 0, -1)), "way"]
    assert [i.style for i in above if isinstance(i, Disc)] == ["ball-moving"]
    assert moving_items(None, 0.0, 8.0, made[:1])[1] == ()


def test_a_real_throw_is_seen_in_every_view_it_runs_through(marbles: Cabinet) -> None:
    views = evaluate(load(EXAMPLES / "marble-16mm.lane")).drawings
    way = path(marbles, 1.0, 1.0)
    assert [s.leg for s in way.stretches][:3] == ["lane", "flight", "face"]
    for key in ("lane", "plan", "face"):
        made = trail(way, views[key])
        x0, y0, x1, y1 = views[key].extent
        points = [p for r in made.runs for p in r.points]
        assert points
        assert all(x0 <= x <= x1 and y0 <= y <= y1 for x, y in points)
    on_face = next(s for s in way.stretches if s.leg == "face")
    middle = (on_face.time[0] + on_face.time[-1]) / 2
    assert all(trail(way, views[key]).ball(middle) is not None for key in ("lane", "plan", "face"))


def test_the_views_agree_on_where_the_ball_is(marbles: Cabinet) -> None:
    """x of the section and of the plan are the same world x (both frames have u along x)."""
    views = evaluate(load(EXAMPLES / "marble-16mm.lane")).drawings
    way = path(marbles, 1.0, 2.0)
    lane, plan = trail(way, views["lane"]), trail(way, views["plan"])
    for k in range(1, 9):
        time = way.stretches[2].time[-1] * k / 10
        a, b = lane.ball(time), plan.ball(time)
        assert a is not None
        assert b is not None
        assert a[0][0] == pytest.approx(b[0][0], abs=0.01)


def test_a_ball_in_the_hand_is_told_apart_from_one_that_is_refused() -> None:
    assert [type(i) for i in hand_items((1.0, 2.0), 8.0, "")] == [Disc]
    ball, word = hand_items((1.0, 2.0), 8.0, "There is wood here")
    assert isinstance(ball, Disc)
    assert isinstance(word, Text)
    assert (ball.style, word.text) == ("ball-refused", "There is wood here")


def test_where_a_ball_stops_is_marked_with_a_word() -> None:
    ball, word = end_items((3.0, 4.0), 8.0, "stops here")
    assert isinstance(ball, Disc)
    assert isinstance(word, Text)
    assert (ball.style, ball.centre, word.text) == ("ball-stopped", (3.0, 4.0), "stops here")


@pytest.mark.parametrize(("speed", "aim"), [(1.0, 0.0), (0.6, 12.5), (2.5, -8.0), (0.05, 30.0)])
def test_the_arrow_reads_back_what_it_shows(speed: float, aim: float) -> None:
    foot = (88.0, -110.0)
    assert arrow_read(foot, arrow_tip(foot, speed, aim)) == pytest.approx((speed, aim), abs=2e-2)


def test_the_arrow_points_to_the_right_of_the_player_for_a_positive_aim() -> None:
    """In the plan the player looks along +x, and the right hand is at lower y: world y runs to the right, plan y up."""
    plan = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
    tip = arrow_tip((0.0, 0.0), 1.0, 10.0)
    assert plan.world(*tip)[1] > 0
    line, disc = arrow_items((0.0, 0.0), 1.0, 10.0)
    assert isinstance(line, Path)
    assert isinstance(disc, Disc)
    assert line.rings[0] == ((0.0, 0.0), tip)
    assert disc.centre == tip


def test_landings_are_dots_whose_area_is_the_share_of_the_balls() -> None:
    many, one = (8.0 * 3.5, 8.0 * 2.5), (-8.0 * 0.5, 8.0 * 0.5)
    dots = landing_items(counted([many] * 16 + [one] * 4 + [(math.nan, math.nan)], 8.0), 8.0)
    assert [(d.centre, d.style) for d in dots if isinstance(d, Disc)] == [(one, "landing"), (many, "landing")]
    small, large = (d.radius for d in dots if isinstance(d, Disc))
    assert large / small == pytest.approx(math.sqrt(16 / 4), abs=0.01)  # areas as 16 to 4
    assert large < 8.0 / 2


def test_no_landings_make_no_dots() -> None:
    assert landing_items(counted([], 8.0), 8.0) == landing_items(counted([(math.nan, 1.0)], 8.0), 8.0) == ()


def test_loose_items_keep_their_plots_as_long_as_they_are_the_same_objects() -> None:
    items = (Path((((0.0, 0.0), (10.0, 0.0)),), "way", closed=False), Disc((5.0, 5.0), 2.0, "ball-moving"))
    first = loose_plots(items, VIEW, (400.0, 300.0), measure, {})
    again = loose_plots(items, VIEW, (400.0, 300.0), measure, {id(p.item): p for p in first})
    assert all(a is b for a, b in zip(first, again, strict=True))
    line, ball = (p.box for p in first)
    assert (line[0], line[2]) == (97.0, 123.0)
    assert ball == (100 + 5 * 2 - 7, 200 - 5 * 2 - 7, 100 + 5 * 2 + 7, 200 - 5 * 2 + 7)


@pytest.mark.parametrize("at", [(0.0, 0.0), (149.0, 0.0), (0.0, 99.0), (149.0, -49.0)])
def test_words_stay_inside_the_canvas(at: tuple[float, float]) -> None:
    (plot,) = loose_plots((Text(at, "stops here", "loose", "left"),), VIEW, (400.0, 300.0), measure, {})
    assert plot.label is not None
    x0, y0, x1, y1 = plot.label
    assert x0 >= 0
    assert y0 >= 0
    assert x1 <= 400
    assert y1 <= 300


def test_words_go_where_they_cover_no_flag() -> None:
    words = Text((75.0, 25.0), "stops here", "loose", "left")
    (free,) = loose_plots((words,), VIEW, (400.0, 300.0), measure, {})
    assert free.label is not None
    (moved,) = loose_plots((words,), VIEW, (400.0, 300.0), measure, {}, [free.label])
    assert moved.label is not None
    a, b = free.label, moved.label
    assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
    (crowded,) = loose_plots((words,), VIEW, (400.0, 300.0), measure, {}, [(0.0, 0.0, 400.0, 300.0)])
    assert crowded.label == free.label


def test_what_does_not_lie_loose_is_refused() -> None:
    with pytest.raises(TypeError, match="Marker does not lie loose"):
        loose_plots((Marker((0.0, 0.0), 1, "tight", "a"),), VIEW, (400.0, 300.0), measure, {})

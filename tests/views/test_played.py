"""The charts of play, painted on a surface that collects the calls."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.views.played import (
    AXIS,
    SIDE,
    Block,
    ChanceChart,
    Column,
    SpeedChart,
    legend,
    paint_chances,
    paint_speeds,
    share_words,
    shortened,
    speed_at,
    x_of,
)
from desk.views.theme import Theme, theme

from .pieces import measure
from .test_draw import Collector

BOX = (0.0, 0.0, 420.0, 120.0)
BLOCKS = (
    Block(0.5, 0.9, 0.0, "rolls back", "rolls back"),
    Block(0.9, 1.2, 10.0, "10", "target 5, 10 points"),
    Block(1.2, 1.6, 0.0, "gutter", "gutter"),
    Block(1.6, 1.9, 50.0, "50", "target 1, 50 points"),
    Block(1.9, 2.4, 0.0, "lost", "lost", wrong=True),
)
CHART = SpeedChart(0.5, 2.5, 1.4, (0.6, 2.4), BLOCKS, "What each speed comes to", "1.40 m/s gutter")


@pytest.fixture(params=["light", "dark"])
def look(request: pytest.FixtureRequest) -> Theme:
    return theme(request.param)


def painted(chart: SpeedChart, look: Theme, box: tuple[float, float, float, float] = BOX) -> Collector:
    surface = Collector()
    paint_speeds(surface, box, chart, look, measure)
    return surface


def texts(surface: Collector) -> list[str]:
    return [str(call[1]) for call in surface.named("text")]


def areas(surface: Collector, look: Theme, style: str) -> list[tuple[tuple[float, float], ...]]:
    return [c[1] for c in surface.named("line") if c[3] and c[2] == look.stroke(style)]  # type: ignore[misc]


def test_places_and_speeds_turn_into_each_other() -> None:
    for speed in (0.5, 0.77, 1.3, 2.5):
        assert speed_at(CHART, BOX, x_of(CHART, BOX, speed)) == pytest.approx(speed)
    assert x_of(CHART, BOX, 0.5) == SIDE
    assert x_of(CHART, BOX, 2.5) == BOX[2] - SIDE
    assert (speed_at(CHART, BOX, -50.0), speed_at(CHART, BOX, 999.0)) == (0.5, 2.5)


def test_blocks_are_as_high_as_their_scores(look: Theme) -> None:
    surface = painted(CHART, look)
    (ten, fifty) = areas(surface, look, "block")
    foot = BOX[3] - AXIS
    heights = [foot - min(y for _, y in block) for block in (ten, fifty)]
    flat = foot - min(y for _, y in areas(surface, look, "block-nothing")[0])
    assert heights[1] > heights[0] > flat > 0
    assert (heights[0] - flat) / (heights[1] - flat) == pytest.approx(10 / 50)
    assert [p[0] for p in ten][:1] == [x_of(CHART, BOX, 0.9)]


def test_lost_balls_stand_out_by_shape_and_word(look: Theme) -> None:
    surface = painted(CHART, look)
    (wrong,) = areas(surface, look, "block-wrong")
    assert min(y for _, y in wrong) == min(y for _, y in areas(surface, look, "block")[1])
    assert "lost" in texts(surface)
    assert look.stroke("block-wrong").dash


def test_scores_and_edges_are_told_in_numbers(look: Theme) -> None:
    said = texts(painted(CHART, look))
    assert {"10", "50", "gutter", "rolls back", "What each speed comes to"} <= set(said)
    assert {"0.90", "1.20", "1.60", "1.90"} <= set(said)
    assert "people's throws, m/s" in said


def test_what_is_not_current_is_outline_only_and_without_edges(look: Theme) -> None:
    old = SpeedChart(0.5, 2.5, 1.7, (0.6, 2.4), BLOCKS, "working it out …", "", current=False)
    surface = painted(old, look)
    assert areas(surface, look, "block") == areas(surface, look, "block-wrong") == []
    assert len(areas(surface, look, "block-stale")) == len(BLOCKS)
    assert look.stroke("block-stale").fill == ""
    assert not {"0.90", "1.20", "1.60", "1.90"} & set(texts(surface))


def test_labels_do_not_lie_on_each_other(look: Theme) -> None:
    thin = tuple(Block(0.5 + 0.02 * k, 0.52 + 0.02 * k, 10.0 + k % 3, f"{10 + k % 3}") for k in range(100))
    surface = painted(SpeedChart(0.5, 2.5, 1.0, (0.6, 2.4), thin), look)
    boxes = [c[3] for c in surface.named("text") if c[1] != ""]
    for k, a in enumerate(boxes):
        for b in boxes[k + 1 :]:
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]  # type: ignore[index]
            assert apart, (a, b)


def test_labels_of_narrow_blocks_keep_clear_of_higher_blocks_and_of_each_other(look: Theme) -> None:
    crowd = (
        Block(0.60, 1.00, 10.0, "10"),
        Block(1.00, 1.02, 0.0, "stops", wrong=True),
        Block(1.02, 1.04, 10.0, "10"),
        Block(1.04, 1.06, 0.0, "stops", wrong=True),
    )
    surface = painted(SpeedChart(0.5, 2.5, 2.2, (0.6, 2.4), crowd), look)
    assert texts(surface).count("10") == 1
    assert texts(surface).count("stops") == 1


def test_a_loss_is_told_however_narrow_its_window_beside_a_score(look: Theme) -> None:
    crowd = (Block(1.30, 1.45, 50.0, "50"), Block(1.46, 1.47, 0.0, "lost", wrong=True))
    assert "lost" in texts(painted(SpeedChart(0.5, 2.5, 2.2, (0.6, 2.4), crowd), look))


def test_every_score_is_told_once_even_in_a_crowd_of_stops(look: Theme) -> None:
    crowd = tuple(
        Block(1.0 + 0.02 * k, 1.02 + 0.02 * k, 10.0 * (k == 9), "10" if k == 9 else "stops", wrong=k != 9)
        for k in range(19)
    )
    assert "10" in texts(painted(SpeedChart(0.5, 2.5, 2.2, (0.6, 2.4), crowd), look))


def test_a_caption_that_is_too_long_ends_with_an_ellipsis(look: Theme) -> None:
    long = replace(CHART, caption="What each speed comes to, " * 9)
    (told,) = [t for t in texts(painted(long, look)) if t.startswith("What each")]
    assert told.endswith(" …")
    assert measure(told, "chart-quiet")[0] <= BOX[2] - 2 * SIDE
    assert shortened("one two", 1000.0, "chart-quiet", measure) == "one two"


def test_the_people_and_the_speed_that_is_set_are_marked_at_their_places(look: Theme) -> None:
    surface = painted(CHART, look)
    hand = next(c for c in surface.named("strokes") if c[2] == look.stroke("chart-hand"))
    ((x, _), _) = hand[1][0]  # type: ignore[index]
    assert x == x_of(CHART, BOX, 1.4)
    people = [c for c in surface.named("strokes") if c[2] == look.stroke("chart-people")]
    ends = {place[0] for call in people for line in call[1] for place in line}  # type: ignore[attr-defined]
    assert {x_of(CHART, BOX, 0.6), x_of(CHART, BOX, 2.4)} <= ends


def test_an_empty_strip_has_its_scale_and_nothing_else(look: Theme) -> None:
    surface = painted(SpeedChart(0.5, 2.5, 1.5, (0.6, 2.4)), look)
    assert areas(surface, look, "block") == []
    assert {"1", "2"} <= set(texts(surface))


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "0.0"),
        (0.0001, "< 0.1"),
        (0.0123, "1.2"),
        (0.0994, "9.9"),
        (0.5, "50"),
        (0.993, "99.3"),
        (0.99899, "99.8"),
        (0.999, "99.90"),
        (0.9998, "99.98"),
        (0.9999, "99.99"),
        (0.99999, "> 99.99"),
        (1.0, "100"),
    ],
)
def test_shares_never_say_none_or_all_when_it_is_not_so(share: float, words: str) -> None:
    assert share_words(share) == words


COLUMNS = (
    Column("50", "target 1", 0.20, 0.01, 0.10, scores=True),
    Column("20", "target 2", 0.05, 0.01, 0.15, scores=True),
    Column("gutter", "", 0.70, 0.01, 0.85),
    Column("lost", "", 0.10, 0.0, 0.05, wrong=True),
)


def test_columns_stand_beside_what_they_were_before(look: Theme) -> None:
    surface = Collector()
    paint_chances(surface, BOX, ChanceChart(COLUMNS), look, measure)
    now, before = areas(surface, look, "bar-now"), areas(surface, look, "bar-before")
    assert (len(now), len(before), len(areas(surface, look, "bar-wrong"))) == (3, 4, 1)
    highs = [max(y for _, y in b) - min(y for _, y in b) for b in (*now, *before)]
    assert highs[0] / highs[1] == pytest.approx(0.20 / 0.05)
    assert highs[3] / highs[4] == pytest.approx(0.10 / 0.15)
    assert highs[5] / highs[6] == pytest.approx(0.85 / 0.05)
    assert all(max(x for x, _ in b) < min(x for x, _ in n) for b, n in zip(before[:3], now, strict=True))
    assert {"20", "70", "10", "50", "target 1", "gutter"} <= set(texts(surface))


def test_ends_that_score_have_a_scale_of_their_own(look: Theme) -> None:
    surface = Collector()
    paint_chances(surface, BOX, ChanceChart(COLUMNS), look, measure)
    fifty, _, gutter = areas(surface, look, "bar-now")
    assert min(y for _, y in fifty) == pytest.approx(min(y for _, y in gutter), abs=20.0)
    rules = [c[1] for c in surface.named("line") if c[2] == look.stroke("chart-rule")]
    assert len(rules) == 2
    (_, a), (b, _) = rules  # type: ignore[misc]
    assert a[0] < b[0]


def test_numbers_over_uncertain_columns_stay_inside_the_chart(look: Theme) -> None:
    few = (
        Column("20", "target 2", 0.03, 0.02, scores=True),
        Column("10", "target 3", 0.02, 0.02, scores=True),
    )
    surface = Collector()
    paint_chances(surface, BOX, ChanceChart(few), look, measure)
    tops = [c[3][1] for c in surface.named("text")]  # type: ignore[index]
    assert min(tops) >= BOX[1]


def test_narrow_columns_have_brief_names(look: Theme) -> None:
    named = tuple(replace(c, brief=f"no. {k}") for k, c in enumerate(COLUMNS[:2], 1))
    for wide, words in ((400.0, "target 1"), (70.0, "no. 1")):
        surface = Collector()
        paint_chances(surface, (0.0, 0.0, wide, 120.0), ChanceChart(named), look, measure)
        assert words in texts(surface)


def test_before_any_throws_nothing_is_filled(look: Theme) -> None:
    surface = Collector()
    columns = tuple(Column(c.name, c.under, None, 0.0, c.before) for c in COLUMNS)
    paint_chances(surface, BOX, ChanceChart(columns, current=False), look, measure)
    assert areas(surface, look, "bar-now") == []
    assert len(areas(surface, look, "bar-before")) == 4
    empty = Collector()
    paint_chances(empty, BOX, ChanceChart(), look, measure)
    assert empty.calls == []


def test_the_chart_can_be_read_out() -> None:
    assert legend(COLUMNS).startswith("50 target 1: 20 percent, before 10; 20 target 2: 5.0 percent")

"""Throws that checks share: made once, the same in bunches, the first of a run of many; rows of speeds that score."""

from __future__ import annotations

import numpy as np
import pytest

from desk.ball.contact import contact_ends, contact_of
from desk.ball.play import play, throws_of
from desk.cabinet.build import build
from desk.checks.context import Context
from desk.checks.trial import CLOSE, LOOSE, PEOPLE, SOME, SWEEP, Trial, _in_a_row, trial, tried, warm
from tests.checks.helpers import changed
from tests.checks.pairs.base import built


def fresh(top: float = 2.5) -> Trial:
    """Throws of the starting cabinet that nobody has made yet."""
    cabinet = built(())
    of = tried(Context(cabinet)).course
    return Trial(of, cabinet.people, contact_ends("glass"), top, (0.0,))


def test_bunches_come_to_the_same_as_all_at_once():
    again, once = fresh(), fresh().finish()
    for _ in again.steps():
        pass
    assert np.array_equal(again.column("result"), once.column("result"))
    assert np.allclose(again.column("time"), once.column("time"), equal_nan=True)
    assert np.allclose(again.launch, once.launch, equal_nan=True)
    for name in ("result", "hopped"):
        for a, b in zip(again.returned(name), once.returned(name), strict=True):
            assert np.array_equal(a, b)


def test_the_throws_of_a_cabinet_are_made_once():
    cabinet = built((("lane.length", 283.0),))
    made = list(warm(cabinet, 3.0))
    assert made
    assert list(warm(cabinet, 3.0)) == []
    assert trial(cabinet, 3.0) is trial(build(changed(lane__length=283.0)), 3.0)


def test_throws_of_people_are_the_first_of_a_run_of_many_and_end_alike():
    cabinet = built((("people.fast", 2.4),))
    made = tried(Context(cabinet))
    mine = made.kind == PEOPLE
    many = throws_of(cabinet.people)
    assert mine.sum() == LOOSE
    assert np.array_equal(made.speed[mine], many.speed[:LOOSE])
    assert np.array_equal(made.aim[mine], many.aim[:LOOSE])
    known = next(iter(play(made.course, cabinet.people, cabinet.balls.count, piece=LOOSE)))
    assert known.strays
    assert [s.number for s in made.strays()] == [s.number for s in known.strays]
    assert [s.result for s in made.strays()] == [s.result for s in known.strays]


def test_balls_behind_the_board_are_followed_with_both_ends_of_the_range():
    made = tried(Context(built(())))
    low, middle, high = made.returned("time")
    assert len(low) == len(middle) == len(high) == -(-len(made.behind) // SOME)
    assert np.abs(low - middle).min() > 0  # what springs back otherwise takes another time
    assert np.abs(high - middle).min() > 0


def test_the_ends_of_the_range_are_those_of_the_table():
    """Glass on wood, from the table: board 0.4 to 0.7, panel 0.3 to 0.6; the middle is half-way."""
    low, high = contact_ends("glass")
    middle = contact_of("glass")
    assert (low.board, low.panel) == (0.4, 0.3)
    assert (high.board, high.panel) == (0.7, 0.6)
    assert middle.board == pytest.approx((low.board + high.board) / 2)
    assert (low.friction, low.rolling) == (middle.friction, middle.rolling)


@pytest.mark.parametrize(
    ("hits", "rows"),
    [
        ([0, 1, 1, 1, 0], [(1.05, 1.35)]),
        ([1, 0, 0, 1, 1], [(0.95, 1.05), (1.25, 1.45)]),
        ([0, 0, 0, 0, 0], []),
        ([1, 1, 1, 1, 1], [(0.95, 1.45)]),
    ],
)
def test_hits_that_adjoin_make_a_row_that_ends_half_way_to_the_next_speed(hits, rows):
    speed = 1.0 + 0.1 * np.arange(5)
    found = list(_in_a_row(speed, np.array(hits, dtype=bool), 0.1))
    assert found == [pytest.approx(row) for row in rows]


def test_speeds_that_were_not_tried_between_part_a_row():
    found = list(_in_a_row(np.array([1.0, 1.1, 1.5, 1.6]), np.ones(4, dtype=bool), 0.1))
    assert found == [pytest.approx((0.95, 1.15)), pytest.approx((1.45, 1.65))]


def test_the_closer_sweep_lies_about_the_longest_row_of_the_first():
    made = tried(Context(built(())))
    for target in range(1, 6):
        coarse, fine = made.longest(target, SWEEP), made.longest(target)
        assert fine.aim == coarse.aim
        assert fine.low >= coarse.low - 0.0125
        assert fine.high <= coarse.high + 0.0125
    assert set(made.aim[made.kind == CLOSE]) <= set(made.aim[made.kind == SWEEP])

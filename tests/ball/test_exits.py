"""Balls that come to the border of a section: out of the cabinet, still in it, or on their way to the next leg."""

from __future__ import annotations

import numpy as np
import pytest

from desk.ball.course import LEGS, course
from desk.ball.edges import GRAVITY
from desk.ball.exits import outside, rises
from desk.ball.motion import drop, let_go
from desk.ball.play import throws_of
from desk.ball.throw import GUTTER, LOST, STOPPED, Throws, begin, follow, throw
from desk.checks.run import run

from .designs import CLEAN, example, varied

BEHIND = [LEGS.index(key) for key in ("under", "catch")]


@pytest.mark.parametrize("seed", [4, 7])
def test_what_falls_past_the_trough_has_stopped_in_the_cabinet(seed):
    """The bottom of the section under the board is above the base: what falls there lies in the cabinet."""
    cabinet = varied(seed)
    done = throw(course(cabinet), throws_of(cabinet.people, 300))
    behind = np.isin(done.leg, BEHIND) & (done.result < 0)
    bottom = cabinet.leg_by_id["under"].room.bounds[1]
    assert (done.at[behind, 1] < bottom + 0.1).sum() > 100
    assert bottom > min(p.extent[0][2] for p in cabinet.parts)
    assert set(done.result[behind].tolist()) == {STOPPED}


def test_its_remedies_shape_the_leg_it_falls_on():
    """Throwing less hard or higher sides do not hold what falls under the board."""
    found = next(f for f in run(varied(7), ["ends"]) if "stop on the way" in f.title)
    assert found.status == "conflict"
    addresses = {r.address for r in found.remedies}
    assert addresses & {"board.foot_rise", "behind.trough", "behind.gutter_slope"}
    assert not addresses & {"people.fast", "lane.guard"}


def test_let_go_alone_and_followed_on_a_ball_that_falls_ends_alike():
    cabinet = varied(7)
    done = throw(course(cabinet), throws_of(cabinet.people, 300))
    x, z = done.at[(done.leg == LEGS.index("under")) & (done.result == STOPPED)][0]
    for way in (drop(cabinet, "under", (x, z + 5.0)), let_go(cabinet, "under", (x, z + 5.0))):
        assert way.result == STOPPED
        assert way.stretches[-1].points[-1][1] == pytest.approx(z, abs=0.1)


def test_a_ball_back_from_the_boards_foot_is_in_flight_however_it_crosses_the_line():
    """Thrown in the clean cabinet for steel balls, it leaves the foot to the back, a hair downwards."""
    cabinet = example("steel-half-inch")
    throws = throws_of(cabinet.people)
    done = throw(course(cabinet), Throws(throws.speed[1398:1399], throws.aim[1398:1399]))
    assert done.result[0] >= GUTTER


@pytest.mark.parametrize("name", CLEAN)
@pytest.mark.parametrize("sinking", [0.0, -0.9, -5.0])
def test_the_line_to_the_foot_is_crossed_by_its_normal(name, sinking):
    """Where the line falls to the back, a ball that moves back along the level crosses it from below: the sign of the
    way across the line is that of the cross product with it, whatever that of the way up."""
    cabinet = example(name)
    of, leg = course(cabinet), cabinet.leg_by_id["under"]
    lip = cabinet.marks.points["lip"]
    along, up = of.foot[0] - lip[0], of.foot[1] - lip[2]
    level = -275.0 if up > 0 else 275.0
    assert along * sinking - up * level > 0
    x, z = lip[0] + along / 2, lip[2] + up / 2
    assert rises(leg, of.foot, x, z)
    stage = begin(of, Throws(np.ones(1), np.zeros(1)))
    stage.leg[0], stage.result[0] = LEGS.index("under"), GUTTER
    stage.vx[0], stage.vz[0], stage.w[0] = level, sinking, 0.0
    stage.x[0], stage.z[0] = x, z - 1e-3
    assert follow(of, stage).result[0] >= GUTTER


def test_above_and_in_front_is_the_open_and_below_is_not():
    """A ball thrown up from the deck fast enough leaves through the top of its section: v² = 2 g h."""
    cabinet = example("marble-16mm")
    lane = cabinet.leg_by_id["lane"]
    assert outside(lane, lane.room.bounds[3])
    assert not outside(lane, lane.room.bounds[1])
    under = cabinet.leg_by_id["under"]
    assert not outside(under, under.room.bounds[3])
    of = course(cabinet)
    stage = begin(of, Throws(np.zeros(2), np.zeros(2)))
    climb = np.sqrt(2 * GRAVITY * (lane.room.bounds[3] - of.start[1]))
    stage.vz[:] = climb * np.array([0.4, 1.02])
    assert (follow(of, stage).result == LOST).tolist() == [False, True]

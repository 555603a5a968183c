"""Throws: ten thousand onto the board, one ball from hand to rest, and both beside a rigid-body engine on the same
legs.

Prints one JSON line: seconds and milliseconds as medians of this run, and ratios. ``board_10k_s``: ten thousand
throws as people make them, from the hand to what they score (goal: 1 s). ``whole_10k_s``: the same with every ball
followed to its rest. ``one_ball_ms``: one ball from hand to rest with its way for drawing (goal: 5 ms).
``changed_ms``: the cabinet made ready for motion again after the ball has grown a little, which changes every leg.
``legs_ms``, ``engine_ms``: one ball under the board, along the catch ramp and down the channel, ours with its way
and the engine at 1/4000 s; ``engine_over_ours`` is their ratio, ``many_over_one`` how much less a ball costs among
ten thousand.

Run: python -m tests.bench.bench_throws
"""

from __future__ import annotations

import itertools
import json
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from desk.ball.contact import contact_of
from desk.ball.course import course
from desk.ball.flock import flock
from desk.ball.motion import path
from desk.ball.outline import outline
from desk.ball.plane import Motion
from desk.ball.play import throws_of
from desk.ball.throw import throw
from desk.cabinet.build import build
from desk.design.file import load
from tests.ball import rigid

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "marble-16mm.lane"
ROUNDS, SINGLE = 3, 40


def timed(work: Callable[[], object], rounds: int) -> float:
    """Median seconds of a piece of work, after one run to warm up."""
    work()
    spent = []
    for _ in range(rounds):
        begin = time.perf_counter()
        work()
        spent.append(time.perf_counter() - begin)
    return statistics.median(spent)


def main() -> None:
    """Measure and print."""
    cabinet = build(load(EXAMPLE))
    assert cabinet.people is not None
    of, contact, radius = course(cabinet), contact_of(cabinet.balls.material), cabinet.balls.diameter / 2
    throws = throws_of(cabinet.people, 10_000)
    board = timed(lambda: throw(of, throws, whole=False), ROUNDS)
    whole = timed(lambda: throw(of, throws), ROUNDS)
    speeds = iter(np.tile(np.linspace(1.0, 2.2, SINGLE), 3).tolist())
    single = timed(lambda: path(cabinet, next(speeds), 0.4), SINGLE)
    grown = itertools.count(1)
    changed = timed(lambda: course(cabinet, cabinet.balls.diameter + 0.001 * next(grown)), ROUNDS)
    starts = {}
    for key in ("under", "catch", "channel"):
        leg = cabinet.leg_by_id[key]
        x, y = leg.sources[-1].shape.representative_point().coords[0]
        ends = leg.sinks[0].shape if leg.sinks else leg.rests[0].shape
        starts[key] = (leg, outline(leg, 2 * radius, contact, (("end", ends),)), (float(x), float(y)), ends)

    def ours() -> None:
        for _, edges, at, _ in starts.values():
            motion = Motion(edges, contact, contact.panel, lambda _: None)
            motion.run(flock(*(np.array([v]) for v in (*at, 0.0, 0.0, 0.0, 0.0))))

    def engine() -> None:
        for leg, _, at, ends in starts.values():
            rigid.run(leg, contact, contact.panel, radius, at, until=ends)

    legs, other = timed(ours, 15), timed(engine, 5)
    print(
        json.dumps(
            {
                "board_10k_s": round(board, 3),
                "whole_10k_s": round(whole, 3),
                "one_ball_ms": round(single * 1000, 2),
                "changed_ms": round(changed * 1000, 1),
                "legs_ms": round(legs * 1000, 2),
                "engine_ms": round(other * 1000, 2),
                "engine_over_ours": round(other / legs, 1),
                "many_over_one": round(single / (whole / 10_000), 1),
            }
        )
    )


if __name__ == "__main__":
    main()

"""Balls on the board face, from the states they come to it with until each has left it or lies still."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from desk.ball.board import IN_HOLE, PHYSICAL, PLAYS, RESTING, TOUCH, USUAL, Board, State, Step
from desk.ball.contact import Contact
from desk.ball.edges import Reals, Whole
from desk.ball.ground import Ground
from desk.ball.numbers import Many, One

MOST_STEPS = 6000
FEW = 10
"""So many balls are done one by one: arrays this short cost more."""
CROWD = 0.9
"""Balls that are done are dropped from the columns when no more than this share still plays."""


@dataclass
class Played:
    """What became of balls on the face, one row each: last states (rows of nine), times, places, targets.

    ``first`` is where they first touched the floor or a rail (x, y; NaN for never); ``rims`` by the number of the
    target how fast they came to its rim when they last touched it from over the hole, along the face and up it (n,
    numbers, 2; mm/s, NaN for never); ``track`` the way of one ball.
    """

    state: Reals
    time: Reals
    place: Whole
    target: Whole
    first: Reals
    rims: Reals
    track: list[tuple[float, ...]] = field(default_factory=list)


def play(of: Ground, contact: Contact, state: Reals, time: Reals, fine: Step = USUAL) -> Played:
    """Let balls play on the face from their states (n, 9) and times (n,) until each has left it or lies still."""
    n = len(state)
    none = np.zeros(n, dtype=np.intp)
    watch = np.column_stack((state[:, :3], np.zeros((n, 3))))
    done = Played(
        np.column_stack((state, watch)),
        np.array(time, dtype=float),
        none,
        none.copy(),
        np.full((n, 2), np.nan),
        np.full((n, of.numbers, 2), np.nan),
    )
    live = np.arange(n) if n <= FEW else _many(of, contact, done, fine)
    _one(of, contact, done, fine, live)
    sunk = np.nonzero(done.place == IN_HOLE)[0]
    if sunk.size:
        done.target[sunk] = _note(of, done, sunk, tuple(done.state[sunk].T))
    done.state = done.state[:, :PHYSICAL]
    return done


def _note(of: Ground, done: Played, balls: Whole, s: State) -> Whole:
    """Keep how fast balls over a hole came to its rim; the numbers of the targets whose holes they are over."""
    gap = np.stack([np.hypot(s[0] - q.x, s[1] - q.y) - q.radius for q in of.holes])
    target: Whole = np.array([q.target for q in of.holes])[gap.argmin(axis=0)]
    done.rims[balls, target] = np.column_stack(s[-2:])
    return target


def _one(of: Ground, contact: Contact, done: Played, fine: Step, live: Whole) -> None:
    """Balls one by one; the way of a ball that is alone is kept."""
    kernel = Board(of, contact, One(), fine)
    alone = len(done.time) == 1
    for k in live.tolist():
        s: State = tuple(done.state[k].tolist())
        t, place, first = float(done.time[k]), PLAYS, bool(np.isnan(done.first[k, 0]))
        track = [(t, *s[:PHYSICAL])]
        for _ in range(MOST_STEPS):
            look = kernel.look(s)
            if first and look.touches:
                done.first[k], first = s[:2], False
            if look.away < 0.0 and look.floor <= TOUCH:
                _note(of, done, np.array([k]), s)
            s, dt, place = kernel.move(s, look)
            t += dt
            if alone:
                track.append((t, *s[:PHYSICAL]))
            if place != PLAYS:
                break
        done.state[k], done.time[k], done.place[k] = s, t, place if place != PLAYS else RESTING
        done.track = track


def _many(of: Ground, contact: Contact, done: Played, fine: Step) -> Whole:
    """All balls together, until few are left: those are handed back."""
    kernel = Board(of, contact, Many(), fine)
    live = np.arange(len(done.time))
    s: State = tuple(done.state.T.copy())
    t, first, plays = done.time.copy(), np.isnan(done.first[:, 0]), np.ones(len(live), dtype=bool)
    for _ in range(MOST_STEPS):
        look = kernel.look(s)
        hit = np.flatnonzero(first & plays & look.touches)
        if hit.size:
            done.first[live[hit]], first[hit] = np.column_stack((s[0][hit], s[1][hit])), False
        rim = np.flatnonzero(plays & (look.away < 0.0) & (look.floor <= TOUCH))
        if rim.size:
            _note(of, done, live[rim], tuple(v[rim] for v in s))
        s, dt, place = kernel.move(s, look)
        t = t + dt
        over = np.flatnonzero(plays & (place != PLAYS))
        if over.size:
            gone = live[over]
            done.state[gone] = np.column_stack([v[over] for v in s])
            done.time[gone], done.place[gone], plays[over] = t[over], place[over], False
            stay = np.flatnonzero(plays)
            if stay.size <= max(CROWD * len(live), FEW):
                live, s, t, first = live[stay], tuple(v[stay] for v in s), t[stay], first[stay]
                plays = plays[stay]
        if live.size <= FEW:
            break
    stay = np.flatnonzero(plays)
    done.state[live[stay]], done.time[live[stay]] = np.column_stack([v[stay] for v in s]), t[stay]
    return live[stay]

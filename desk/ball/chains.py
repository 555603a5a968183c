"""Chains of edges a ball can roll along, and what it loses on the way.

A chain is run through in *cells*, one for each edge and way of travel. From cell to cell the square of the speed
obeys Y' = keep (Y - drop), so that cumulated once, the whole chain is Y = M (E - B) with one constant E for each
ball: where it stops, leaves the ground or loses its grip is then found for any number of balls at once. Lengths in
mm, times in s.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from desk.ball.contact import Contact
from desk.ball.edges import GRAVITY, Edges, Reals, Whole

BEARS = 1e-3
"""An edge bears the ball when gravity presses it on by more than this share."""


@dataclass(frozen=True)
class Cells:
    """One row for each bearing edge and way of travel, contiguous along a chain in the way of travel.

    ``leave``: Y at the cell's end from which the ball does not simply go on (0: never does; inf: always goes on).
    ``grip``: Y below which it slips on the cell. ``keep`` holds for the cell's end.
    """

    edge: Whole
    way: Reals
    length: Reals
    drop: Reals
    keep: Reals
    m: Reals
    b_start: Reals
    b_end: Reals
    leave: Reals
    grip: Reals
    last: Whole
    back: Whole
    at: Whole
    """(2, edges): the cell of an edge with the ring (row 0) and against it (row 1); -1 where it does not bear."""


def _chains(o: Edges) -> Iterator[list[int]]:
    """Runs of edges that bear the ball and are wood, in ring order."""
    bears = (o.press > BEARS * GRAVITY) & (o.ends[: o.count] < 0)
    first = np.nonzero(bears & ~bears[o.before])[0].tolist()
    for k in first or np.nonzero(bears)[0][:1].tolist():
        chain = [int(k)]
        while bears[o.after[chain[-1]]] and o.after[chain[-1]] != k:
            chain.append(int(o.after[chain[-1]]))
        yield chain


def cells_of(o: Edges, contact: Contact) -> Cells:
    """The chains of a region's edge, each way, with what a rolling ball loses and needs on them."""
    runs = [(chain[::sign], sign) for chain in _chains(o) for sign in (1, -1)]
    stops = np.cumsum([len(run) for run, _ in runs], dtype=np.intp).tolist()
    spans = list(zip([0, *stops[:-1]], stops, strict=True)) if runs else []
    edge: Whole = np.array([k for run, _ in runs for k in run], dtype=np.intp)
    way: Reals = np.array([sign for run, sign in runs for _ in run], dtype=float)
    at = np.full((2, o.count), -1, dtype=np.intp)
    at[(way < 0).astype(np.intp), edge] = np.arange(len(edge))
    back = at[(way > 0).astype(np.intp), edge]
    length, press = o.length[edge], o.press[edge]
    drop = 10 / 7 * (-way * o.drive[edge] + contact.rolling * press) * length
    follow = np.where(way > 0, o.after[edge], o.before[edge])
    corner = np.where(way > 0, edge, o.before[edge])
    turn, kink = o.turn[corner], o.kink[corner]
    keep = np.exp(-10 / 7 * contact.rolling * np.maximum(turn, 0.0))
    leave = np.where(turn < 0, o.radius * o.press[follow], np.where(kink, 0.0, np.inf))
    grip = _grip(o, edge, way, contact.friction)
    m, b_start, b_end = np.ones(len(edge)), np.zeros(len(edge)), np.zeros(len(edge))
    last = np.zeros(len(edge), dtype=np.intp)
    for first, stop in spans:
        last[first:stop] = stop - 1
        leave[stop - 1] = 0.0
        m[first:stop] = np.concatenate([[1.0], np.cumprod(keep[first : stop - 1])])
        b_end[first:stop] = np.cumsum(drop[first:stop] / m[first:stop])
        b_start[first + 1 : stop] = b_end[first : stop - 1]
    return Cells(edge, way, length, drop, keep, m, b_start, b_end, leave, grip, last, back, at)


def _grip(o: Edges, edge: Whole, way: Reals, friction: float) -> Reals:
    """Y from which the ball rolls: it needs 2/7 of the pull along as friction, the press and what the curve adds.

    Zero where the press is enough by itself; infinite on a straight that is too steep.
    """
    lacking = 2 / 7 * np.abs(o.drive[edge]) / max(friction, 1e-9) - o.press[edge]
    corner = np.where(way > 0, o.before[edge], edge)
    turn = np.where(o.kink[corner], 0.0, np.maximum(o.turn[corner], 0.0))
    span = (o.length[edge] + o.length[np.where(way > 0, o.before[edge], o.after[edge])]) / 2
    bend = np.maximum(turn / np.maximum(span, 1e-9), 1e-12)
    needed = np.where(lacking <= 0, 0.0, lacking / bend)
    return np.where(needed > 1e9, np.inf, needed)

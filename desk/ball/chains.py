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
from desk.ball.edges import GRAVITY, Edges, Flags, Reals, Whole

BEARS = 1e-3
"""An edge bears the ball when gravity presses it on by more than this share."""


@dataclass(frozen=True)
class Cells:
    """One row for each bearing edge and way of travel, contiguous along a chain in the way of travel.

    On a cell: ``pull`` and ``press`` are gravity along the way of travel and against the edge, mm/s². ``grip`` is Y
    below which the ball slips; it stops for E up to ``stops``, stops or slips for E up to ``holds``, and does not
    simply go on at the end for E from ``leaves`` on. ``flat`` holds a ball at rest; ``cradle`` climbs from a valley at
    its start whose other side holds it as well. ``back`` is the cell the other way, ``last`` the chain's last.

    At its end: ``follow`` is the edge behind it, ``out`` what that leads to (-1: it is wood), ``next`` its cell (-1
    where it does not bear); ``crest`` tells corners that fall away, where a ball flies off from Y = ``lift`` on, and
    ``kink`` those it runs into, a ``pit`` if they hold a slow ball; ``onward`` is the share of speed kept on any other.
    """

    edge: Whole
    way: Reals
    length: Reals
    pull: Reals
    press: Reals
    drop: Reals
    m: Reals
    b_start: Reals
    b_end: Reals
    grip: Reals
    stops: Reals
    holds: Reals
    leaves: Reals
    flat: Flags
    cradle: Flags
    last: Whole
    back: Whole
    follow: Whole
    out: Whole
    next: Whole
    crest: Flags
    lift: Reals
    kink: Flags
    pit: Flags
    onward: Reals
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
    ends = np.cumsum([len(run) for run, _ in runs], dtype=np.intp).tolist()
    spans = list(zip([0, *ends[:-1]], ends, strict=True)) if runs else []
    edge: Whole = np.array([k for run, _ in runs for k in run], dtype=np.intp)
    way: Reals = np.array([sign for run, sign in runs for _ in run], dtype=float)
    at = np.full((2, o.count), -1, dtype=np.intp)
    at[(way < 0).astype(np.intp), edge] = np.arange(len(edge))
    back = at[(way > 0).astype(np.intp), edge]
    length, pull, press = o.length[edge], way * o.drive[edge], o.press[edge]
    drop = 10 / 7 * (-pull + contact.rolling * press) * length
    follow = np.where(way > 0, o.after[edge], o.before[edge])
    corner = np.where(way > 0, edge, o.before[edge])
    turn, bears = o.turn[corner], at[0, follow] >= 0
    crest, keep = turn <= 0, np.exp(-10 / 7 * contact.rolling * np.maximum(turn, 0.0))
    leave = np.where(turn < 0, o.radius * o.press[follow], np.where(o.kink[corner], 0.0, np.inf))
    grip = _grip(o, edge, way, contact.friction)
    m, b_start, b_end = np.ones(len(edge)), np.zeros(len(edge)), np.zeros(len(edge))
    last = np.zeros(len(edge), dtype=np.intp)
    for first, stop in spans:
        last[first:stop] = stop - 1
        m[first:stop] = np.concatenate([[1.0], np.cumprod(keep[first : stop - 1])])
        b_end[first:stop] = np.cumsum(drop[first:stop] / m[first:stop])
        b_start[first + 1 : stop] = b_end[first : stop - 1]
    stops = np.where(drop > 0, b_end, -np.inf)
    hold = contact.rolling * np.maximum(o.press[follow], 0.0)
    checked = (way * o.drive[follow] <= hold) | ~bears
    return Cells(
        edge=edge,
        way=way,
        length=length,
        pull=pull,
        press=press,
        drop=drop,
        m=m,
        b_start=b_start,
        b_end=b_end,
        grip=grip,
        stops=stops,
        holds=np.maximum(stops, np.nextafter(grip / m + b_start, -np.inf)),
        leaves=np.where(np.arange(len(edge)) == last, -np.inf, leave / m + b_end),
        flat=np.abs(pull) <= contact.rolling * press,
        cradle=(pull <= contact.rolling * press) & (checked & ~crest)[back],
        last=last,
        back=back,
        follow=follow,
        out=o.ends[follow],
        next=at[(way < 0).astype(np.intp), follow],
        crest=crest,
        lift=np.where(bears, o.radius * o.press[follow], 0.0),
        kink=~crest & (o.kink[corner] | ~bears),
        pit=checked & (pull >= -contact.rolling * press),
        onward=np.where(crest, 1.0, np.sqrt(keep)),
        at=at,
    )


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

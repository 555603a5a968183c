"""How far apart round things are in space: holes, countersinks, pins, screws, the straight runs of a V-groove.

Each is the convex hull of up to four discs that share one axis: a cylinder has two equal discs, a countersink a wide
and a narrow one, a run of a V-groove a disc at the face and a point at its bottom for either end. The gap between two
convex bodies is the greatest, over all directions, of what lies between the planes that touch them at right angles to
it; below zero it is how far they reach into each other (separating axis theorem). Every direction tried gives a lower
bound, so that a gap is never overrated.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from desk.shapes.frame import Vec

Reals = NDArray[np.float64]
Disc = tuple[Vec, float]
"""Centre and radius, mm."""

MOST_DISCS = 4
ROUNDS = 40
"""Of the search for the shortest way, at most."""
PARALLEL = 1e-9
"""Squared sine below which two axes are parallel."""


class Hulls(NamedTuple):
    """Convex bodies: centres (n, 4, 3), radii (n, 4), unit axes (n, 3), ends of the axis (n, 2, 3); mm."""

    centres: Reals
    radii: Reals
    axes: Reals
    ends: Reals

    def pick(self, rows: NDArray[np.intp]) -> Hulls:
        """These rows, in this order."""
        return Hulls(self.centres[rows], self.radii[rows], self.axes[rows], self.ends[rows])


def hulls(discs: Sequence[Sequence[Disc]], axes: Sequence[Vec]) -> Hulls:
    """Bodies from their discs, two to four each, and the axis the discs of each share.

    The first and the last disc end the body along its axis, or along its run.
    """
    filled = [[*row, *[row[-1]] * (MOST_DISCS - len(row))] for row in discs]
    centres = np.array([[c for c, _ in row] for row in filled], dtype=float).reshape(-1, MOST_DISCS, 3)
    radii = np.array([[r for _, r in row] for row in filled], dtype=float).reshape(-1, MOST_DISCS)
    ends = np.stack((centres[:, 0], centres[:, -1]), axis=1)
    return Hulls(centres, radii, np.array(axes, dtype=float).reshape(-1, 3), ends)


def boxes(bodies: Hulls) -> Reals:
    """Box round each body in the world, (n, 2, 3)."""
    spread = bodies.radii[..., None] * np.sqrt(np.clip(1 - bodies.axes[:, None, :] ** 2, 0.0, 1.0))
    low, high = (bodies.centres - spread).min(axis=1), (bodies.centres + spread).max(axis=1)
    return np.stack((low, high), axis=1)


def close_boxes(one: Reals, two: Reals, by: float) -> NDArray[np.bool_]:
    """Which boxes of two lists come nearer to each other than ``by`` mm along every axis, (n, m)."""
    close = np.ones((len(one), len(two)), dtype=bool)
    for axis in range(3):
        close &= one[:, None, 0, axis] - by < two[None, :, 1, axis]
        close &= two[None, :, 0, axis] - by < one[:, None, 1, axis]
    return close


def reach(bodies: Hulls, way: Reals) -> Reals:
    """How far each body reaches along its direction of (n, 3) unit vectors."""
    lean = (bodies.axes * way).sum(axis=1)
    across = np.sqrt(np.clip(1 - lean * lean, 0.0, 1.0))
    along = np.einsum("nkc,nc->nk", bodies.centres, way)
    farthest: Reals = (along + bodies.radii * across[:, None]).max(axis=1)
    return farthest


def between(one: Hulls, two: Hulls, way: Reals) -> Reals:
    """What lies between the planes at right angles to ``way`` that touch body by body; below zero they overlap."""
    apart: Reals = -reach(two, -way) - reach(one, way)
    return apart


def gaps(one: Hulls, two: Hulls, enough: float) -> tuple[Reals, Reals]:
    """Gap of each pair, mm, below zero where they meet, and the direction (n, 3) it was found along.

    Pairs that are ``enough`` apart are not looked at more closely: their gap is that or more.
    """
    best, way = _known_ways(one, two)
    close = np.nonzero(best < enough)[0]
    if len(close):
        best[close], way[close] = _search(one.pick(close), two.pick(close), best[close], way[close])
    return best, way


def axis_gap(one: Reals, two: Reals) -> tuple[Reals, Reals]:
    """Nearest points of the segments of two lists of ends (n, 2, 3), one on each, (n, 3) both.

    Closest points of two segments by clamping, as in any textbook of geometry for collisions.
    """
    p, d = one[:, 0], one[:, 1] - one[:, 0]
    q, e = two[:, 0], two[:, 1] - two[:, 0]
    r = p - q
    a, b, c = (d * d).sum(axis=1), (d * e).sum(axis=1), (d * r).sum(axis=1)
    f, g = (e * e).sum(axis=1), (e * r).sum(axis=1)
    a, f = np.maximum(a, PARALLEL), np.maximum(f, PARALLEL)
    den = a * f - b * b
    s = np.where(den > PARALLEL * a * f, (b * g - c * f) / np.maximum(den, PARALLEL), 0.0)
    s = np.clip(s, 0.0, 1.0)
    t = (b * s + g) / f
    s = np.where((t < 0) | (t > 1), np.clip((b * np.clip(t, 0.0, 1.0) - c) / a, 0.0, 1.0), s)
    t = np.clip((b * s + g) / f, 0.0, 1.0)
    return p + s[:, None] * d, q + t[:, None] * e


def _unit(rows: Reals, otherwise: Reals) -> Reals:
    """Rows as unit vectors; where a row has no length the other one's."""
    length = np.sqrt((rows * rows).sum(axis=1))
    safe = np.where(length > SHORT, length, 1.0)
    units: Reals = np.where((length > SHORT)[:, None], rows / safe[:, None], otherwise)
    return units


SHORT = 1e-9
"""A vector shorter than this, mm, has no direction."""


def _known_ways(one: Hulls, two: Hulls) -> tuple[Reals, Reals]:
    """The best of the directions that settle most pairs at once: between the nearest points of the axes, at right
    angles to both axes, along either axis, at right angles to parallel axes and slanting past their ends.
    """
    near, far = axis_gap(one.ends, two.ends)
    normal = _unit(np.cross(one.axes, two.axes), one.axes)
    toward = _unit(far - near, normal)
    step = two.ends.mean(axis=1) - one.ends.mean(axis=1)
    side = _unit(step - (step * one.axes).sum(axis=1)[:, None] * one.axes, normal)
    tried = [toward, side]
    for axis in (normal, one.axes, two.axes):
        tried += [axis, -axis]
    best, way = between(one, two, tried[0]), tried[0].copy()
    for candidate in tried[1:]:
        _keep(one, two, candidate, best, way)
    end = np.where((step * one.axes).sum(axis=1)[:, None] < 0, -one.axes, one.axes)
    along, across = between(one, two, end), between(one, two, side)
    both = (along > 0) & (across > 0)
    slant = along[:, None] * end + across[:, None] * side
    _keep(one, two, _unit(np.where(both[:, None], slant, toward), toward), best, way)
    return best, way


def _keep(one: Hulls, two: Hulls, candidate: Reals, best: Reals, way: Reals) -> None:
    """Take the candidate directions where they find a wider gap; changes ``best`` and ``way``."""
    found = between(one, two, candidate)
    better = found > best
    best[better], way[better] = found[better], candidate[better]


def _search(one: Hulls, two: Hulls, best: Reals, way: Reals) -> tuple[Reals, Reals]:
    """Directions of the shortest ways between bodies, from simplices of points of their difference that close in on
    the origin (Gilbert, Johnson and Keerthi 1988); pairs that meet keep what they came with.
    """
    best, way = best.copy(), way.copy()
    points = np.repeat(_difference(one, two, way)[:, None, :], MOST_DISCS, axis=1)
    weights = np.tile([1.0, 0.0, 0.0, 0.0], (len(best), 1))
    for _ in range(ROUNDS):
        nearest = np.einsum("nk,nkc->nc", weights, points)
        length = np.sqrt((nearest * nearest).sum(axis=1))
        _keep(one, two, _unit(nearest, way), best, way)
        if (length - best < CLOSE).all() or (length < CLOSE).all():
            break
        new = _difference(one, two, _unit(nearest, way))
        slot = weights.argmin(axis=1)
        points[np.arange(len(points)), slot] = new
        weights = _weights(points)
    return best, way


def _difference(one: Hulls, two: Hulls, way: Reals) -> Reals:
    """The points of the second bodies less those of the first that lie least far along ``way``."""
    return _farthest(two, -way) - _farthest(one, way)


def _farthest(bodies: Hulls, way: Reals) -> Reals:
    """A point of each body that lies farthest along its direction."""
    lean = (bodies.axes * way).sum(axis=1)
    flat = way - lean[:, None] * bodies.axes
    across = np.sqrt((flat * flat).sum(axis=1))
    along = np.einsum("nkc,nc->nk", bodies.centres, way) + bodies.radii * across[:, None]
    rows, disc = np.arange(len(along)), along.argmax(axis=1)
    rim = flat / np.maximum(across, SHORT)[:, None]
    point: Reals = bodies.centres[rows, disc] + bodies.radii[rows, disc, None] * rim
    return point


_SUBSETS = np.array([[bool(n >> k & 1) for k in range(4)] for n in range(1, 16)])


def _weights(points: Reals) -> Reals:
    """Weights (n, 4) of four points each whose mean comes nearest to the origin: the best of all subsets of them, of
    equally good ones the smallest.
    """
    gram = points @ points.transpose(0, 2, 1)
    trace = np.maximum(np.trace(gram, axis1=1, axis2=2), SHORT)
    gram = gram + np.eye(4) * (1e-13 * trace)[:, None, None]
    n = len(points)
    both = _SUBSETS[:, :, None] & _SUBSETS[:, None, :]
    system = np.zeros((n, 15, 5, 5))
    system[:, :, :4, :4] = np.where(both, gram[:, None], 0.0) + np.eye(4) * ~_SUBSETS[:, :, None]
    system[:, :, :4, 4] = system[:, :, 4, :4] = _SUBSETS
    right = np.zeros((n, 15, 5, 1))
    right[:, :, 4] = 1.0
    found = np.linalg.solve(system, right)[:, :, :4, 0]
    size = np.einsum("nsi,nij,nsj->ns", found, gram, found)
    size = np.where(
        (found >= -1e-12).all(axis=2), size + 1e-12 * trace[:, None] * _SUBSETS.sum(axis=1), np.inf
    )
    best: Reals = found[np.arange(n), size.argmin(axis=1)]
    return np.maximum(best, 0.0)


CLOSE = 1e-5
"""The search for the shortest way ends when it is known to this, mm."""

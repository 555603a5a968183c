"""A long thin figure, such as a rail, cut into slices: how wide it is, which way it runs, how far its ends are.

Slices are taken from the figure's rim straight inwards. At a round or blunt end they run lengthwise, are far wider
than the rest, or meet a rim across from them that runs another way; those are left out, and where they begin an end is.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

Reals = NDArray[np.float64]
STEP = 2.0
"""Straight edges are sliced this often, mm."""
BLUNT = 1.6
"""A slice wider than this many times the middle one runs lengthwise or through a junction."""
ALIKE = float(np.cos(np.radians(8)))
"""The rims on both sides of a slice run the same way within 8 degrees."""
_AHEAD = 1e-6


class Slices(NamedTuple):
    """Slices of a figure: ends on the rim and across from it (n, 2, 2), width (n), direction of the figure there in
    radians (n), and how far it runs on to either side (n, 2), inf in a closed ring; mm. A round end counts as
    half its width long.
    """

    ends: Reals
    width: Reals
    way: Reals
    on: Reals


@lru_cache(maxsize=256)
def slices(shape: shapely.Polygon) -> Slices:
    """Slices of a polygon, from its outer rim and from those of its holes. Empty for an empty one."""
    whole = shapely.geometry.polygon.orient(shape, 1.0)
    rings = (
        [_fine(np.array(r.coords)) for r in (whole.exterior, *whole.interiors)] if not shape.is_empty else []
    )
    if not rings:
        return Slices(np.empty((0, 2, 2)), np.empty(0), np.empty(0), np.empty((0, 2)))
    walls = np.concatenate([np.stack((r[:-1], r[1:]), axis=1) for r in rings])
    cut = [_cut(ring, walls) for ring in rings]
    every = np.concatenate([width for *_, width in cut])
    middle = float(np.median(every[np.isfinite(every)])) if np.isfinite(every).any() else 0.0
    kept = [_kept(*one, BLUNT * middle) for one in cut]
    return Slices(*(np.concatenate([k[i] for k in kept]) for i in range(4)))


def _fine(ring: Reals) -> Reals:
    """A ring with its long edges cut into pieces."""
    out = [ring[:1]]
    for a, b in pairwise(ring):
        n = max(int(np.ceil(np.hypot(*(b - a)) / STEP)), 1)
        out.append(a + (b - a) * np.arange(1, n + 1)[:, None] / n)
    return np.concatenate(out)


def _cut(ring: Reals, walls: Reals) -> tuple[Reals, Reals, Reals, Reals]:
    """From the middle of each edge straight inwards to the next wall: edges' steps, starts, ends, widths.

    The width is inf where that wall runs another way.
    """
    step = np.diff(ring, axis=0)
    length = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-12)
    start = (ring[:-1] + ring[1:]) / 2
    inwards = np.stack((-step[:, 1], step[:, 0]), axis=1) / length[:, None]
    to, edge = walls[:, 0] - start[:, None], walls[:, 1] - walls[:, 0]
    across = inwards[:, None, 0] * edge[:, 1] - inwards[:, None, 1] * edge[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        far = (to[..., 0] * edge[:, 1] - to[..., 1] * edge[:, 0]) / across
        along = (to[..., 0] * inwards[:, None, 1] - to[..., 1] * inwards[:, None, 0]) / across
    hit = (far > _AHEAD) & (along >= -_AHEAD) & (along <= 1 + _AHEAD) & np.isfinite(far)
    gaps = np.where(hit, far, np.inf)
    met, size = edge[gaps.argmin(axis=1)], np.maximum(np.hypot(edge[:, 0], edge[:, 1]), 1e-12)
    alike = np.abs((met * step).sum(axis=1)) >= ALIKE * size[gaps.argmin(axis=1)] * length
    width = np.where(alike, gaps.min(axis=1), np.inf)
    return step, start, start + inwards * np.where(np.isfinite(width), width, 0.0)[:, None], width


def _kept(
    step: Reals, start: Reals, end: Reals, width: Reals, most: float
) -> tuple[Reals, Reals, Reals, Reals]:
    """The slices of a ring that run across, with how far it is to where that stops."""
    good = width <= most
    length = np.hypot(step[:, 0], step[:, 1])
    on = np.full((len(good), 2), np.inf)
    if not good.all():
        on[:, 0], on[:, 1] = _since(good, length), _since(good[::-1], length[::-1])[::-1]
        on += np.where(good, width, 0.0)[:, None] / 2
    way = np.arctan2(step[:, 1], step[:, 0])
    return np.stack((start, end), axis=1)[good], width[good], way[good], on[good]


def _since(good: NDArray[np.bool_], length: Reals) -> Reals:
    """Along a closed ring, how far each edge's middle is behind the last one that is not good."""
    out, run = np.zeros(len(good)), 0.0
    for k in [*range(len(good)), *range(len(good))]:
        run = run + length[k] if good[k] else 0.0
        out[k] = max(run - length[k] / 2, 0.0)
    return out

"""What a round bit leaves of a shape, and where a ball's centre can be.

Shapes are shapely geometries in mm. A bit of radius r cannot cut a corner sharper than r: seen from the wood, concave
corners of an outline are filled (closing), convex corners of a pocket are rounded and what is narrower than the bit is
not cut at all (opening). Circles are approximated by ``QUAD_SEGMENTS`` chords a quarter turn; the chord of a 6 mm bit
then stays within 0.004 mm of its arc.
"""

from __future__ import annotations

import numpy as np
import shapely

from desk.shapes.loop import CHORD_TOLERANCE

QUAD_SEGMENTS = 16
SLACK = 1.2 * CHORD_TOLERANCE
"""Taken off a bit's radius, mm: an arc of the bit's own radius lets it in though chords stand for the arc."""


def grown(shape: shapely.Geometry, by: float) -> shapely.Geometry:
    """All points within ``by`` of the shape (negative: all points deeper inside than that)."""
    if by == 0:
        return shape
    return shapely.buffer(shape, by, quad_segs=QUAD_SEGMENTS)


def coated(shape: shapely.Geometry, film: float) -> shapely.Geometry:
    """A solid with a thin film on every side; corners stay corners, cut off where sharper than 60 degrees."""
    if film == 0:
        return shape
    with np.errstate(
        divide="ignore", invalid="ignore"
    ):  # GEOS divides by the length of edges too short to matter
        made = shapely.buffer(shape, film, join_style="mitre", mitre_limit=2.0)
    return made if np.isfinite(made.bounds).all() else grown(shape, film)


def closed_by_bit(shape: shapely.Geometry, radius: float) -> shapely.Geometry:
    """An outline cut from outside: inside corners keep the bit's radius, gaps narrower than the bit stay filled."""
    if radius <= SLACK:
        return shape
    return grown(grown(shape, radius - SLACK), SLACK - radius)


def opened_by_bit(shape: shapely.Geometry, radius: float) -> shapely.Geometry:
    """A pocket or opening cut from inside: what the bit sweeps. Empty when it is narrower than the bit."""
    if radius <= SLACK:
        return shape
    return grown(grown(shape, SLACK - radius), radius - SLACK)

"""What a ball meets on the board face: floor with holes, rails, walls, header, in the plane of the carved floor.

x runs across, y up the slope, h out of the face; lengths in mm. Rails are the leg's own shapes, kept as a grid of
distances to their edges; holes are circles of their as-cut area, their chamfers left out (they only help a ball in).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.ball.rests import RAIL, contact_radius
from desk.cabinet.model import Cabinet

Reals = NDArray[np.float64]
PITCH = 0.125
"""Spacing of the grid of distances, in ball radii. Half-way between two rails it tells up to half of this too little: a
slot between them that is wider than the ball by less than one spacing may hold it."""
TIDY = 0.01
"""Rails are taken with corners left out that move their edge by less than this, mm."""
MARGIN = 2.0
"""Distances are kept up to this many ball radii from a rail; farther off the grid says so much."""
HOLE = "target hole "
"""How the face leg names the openings it has for targets."""
SQUARE = 4.0
"""Squares of the grid that tells the nearest hole, mm."""
STEP_TOP = 2.0
"""Spacing at which the top of the walls is kept, mm."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Distance in plan to the nearest rail on a square grid, negative inside; rows are y, columns x."""

    x0: float
    y0: float
    pitch: float
    columns: int
    rows: int
    values: Reals
    """(rows x columns), flat."""
    listed: list[float]
    """The same as a list, for one ball."""


@dataclass(frozen=True, eq=False)
class Hole:
    """A round opening of the face: middle, radius, and number of the target (0 when it belongs to none)."""

    x: float
    y: float
    radius: float
    target: int


@dataclass(frozen=True, eq=False)
class Nearest:
    """The nearest hole on a coarse square grid: middle and radius by square, flat (rows x columns), as arrays and
    lists.

    Beside a line between two holes it may name the farther one; no ball is near a rim there.
    """

    x0: float
    y0: float
    pitch: float
    columns: int
    rows: int
    x: Reals
    y: Reals
    r: Reals
    listed_x: list[float]
    listed_y: list[float]
    listed_r: list[float]


@dataclass(frozen=True, eq=False)
class Ground:
    """All that a ball can touch on the face. ``tilt`` in radians."""

    radius: float
    tilt: float
    half: float
    """Half the clear width between the walls."""
    top: float
    """The header's plane: y cos(tilt) - h sin(tilt) of a ball's middle when it touches."""
    over: float
    """y sin(tilt) + h cos(tilt) above which the ball is over the header."""
    rail: float
    """Height of the rails."""
    grid: Grid | None
    holes: tuple[Hole, ...]
    near: Nearest
    wall_x0: float
    wall_top: tuple[float, ...]
    """Height of the walls' top edge above the foot, at y cos(tilt) - h sin(tilt) = wall_x0 + k STEP_TOP."""
    rails: tuple[shapely.Geometry, ...]

    @property
    def numbers(self) -> int:
        """Numbers of targets run up to one less than this, from the 0 of holes that belong to none."""
        return 1 + max((hole.target for hole in self.holes), default=0)

    def free(self, x: float, y: float) -> bool:
        """Whether a ball can lie on the floor at a point of the face."""
        reach = contact_radius(self.radius, self.rail)
        at = shapely.Point(x, y)
        header = y * math.cos(self.tilt) - self.radius * math.sin(self.tilt) <= self.top
        return (
            header
            and abs(x) <= self.half
            and y >= 0
            and all(shapely.distance(r, at) >= reach for r in self.rails)
        )


def ground(cabinet: Cabinet, diameter: float) -> Ground:
    """The face of a cabinet for balls of this diameter."""
    leg, flight = cabinet.leg_by_id["face"], cabinet.leg_by_id["flight"]
    radius, foot = diameter / 2, cabinet.marks.points["foot"]
    tilt = math.radians(cabinet.marks.lengths["tilt"])
    header = [s.shape.bounds for s in flight.solids if s.part == "header"]
    limit = header[0][0] if header else cabinet.marks.points["header low"][0]
    high = header[0][3] if header else math.inf
    walls = [s.shape.bounds for s in leg.solids if s.part in ("inner-wall", "panel-far")]
    half = min(min(abs(b[0]), abs(b[2])) for b in walls)
    holes = tuple(
        _hole(z.shape, cabinet.targets, z.name)
        for z in leg.sinks
        if z.name.startswith(HOLE) and not z.shape.is_empty
    )
    rail = leg.rail_height or 0.0
    rails = tuple(s.shape for s in leg.solids if s.part == RAIL) if rail > 0 else ()
    x0, tops = _wall_tops(cabinet, foot[0], foot[2], limit)
    return Ground(
        radius,
        tilt,
        half - radius,
        limit - foot[0] - radius,
        high - foot[2] + radius,
        rail,
        rail_grid(rails, MARGIN * radius, PITCH * radius),
        holes,
        nearest(holes),
        x0,
        tops,
        rails,
    )


def _hole(shape: shapely.Geometry, targets: tuple[object, ...], name: str) -> Hole:
    middle = shape.centroid
    number = int(name.removeprefix(HOLE))
    return Hole(middle.x, middle.y, math.sqrt(shape.area / math.pi), number if number <= len(targets) else 0)


def nearest(holes: tuple[Hole, ...]) -> Nearest:
    """The grid of nearest holes; one far off where there is none."""
    holes = holes or (Hole(0.0, -1e6, 1.0, 0),)
    x, y, r = (np.array([getattr(q, key) for q in holes]) for key in ("x", "y", "radius"))
    x0, y0 = float((x - 2 * r).min()), float((y - 2 * r).min())
    columns = int((float((x + 2 * r).max()) - x0) / SQUARE) + 1
    rows = int((float((y + 2 * r).max()) - y0) / SQUARE) + 1
    gx, gy = np.meshgrid(x0 + (np.arange(columns) + 0.5) * SQUARE, y0 + (np.arange(rows) + 0.5) * SQUARE)
    k = (np.hypot(gx.ravel()[:, None] - x, gy.ravel()[:, None] - y) - r).argmin(axis=1)
    return Nearest(
        x0, y0, SQUARE, columns, rows, x[k], y[k], r[k], x[k].tolist(), y[k].tolist(), r[k].tolist()
    )


def _wall_tops(cabinet: Cabinet, x: float, z: float, limit: float) -> tuple[float, tuple[float, ...]]:
    """Height of the lower of the two walls above the face's foot, from the lip on to the header."""
    lip = cabinet.marks.points["lip"][0]
    at = np.arange(lip - 2 * STEP_TOP, limit + 2 * STEP_TOP, STEP_TOP)
    tops = np.full(len(at), math.inf)
    for key in ("inner-wall", "panel-far"):
        part = cabinet.by_id[key]
        (px, py), frame = part.outline.coords.T, part.frame
        wx, wz = (frame.origin[k] + px * frame.u[k] + py * frame.v[k] for k in (0, 2))
        tops = np.minimum(tops, _upper(wx, wz, at))
    return float(at[0] - x), tuple((tops - z).tolist())


def _upper(px: Reals, pz: Reals, at: Reals) -> Reals:
    """Highest point of a closed outline at each of the given x; -inf beyond it."""
    qx, qz = np.roll(px, -1), np.roll(pz, -1)
    low, high = np.minimum(px, qx)[:, None], np.maximum(px, qx)[:, None]
    run = np.where(np.abs(qx - px) < 1e-9, 1.0, qx - px)[:, None]
    z = pz[:, None] + (at[None] - px[:, None]) / run * (qz - pz)[:, None]
    top: Reals = np.where((at[None] >= low) & (at[None] <= high), z, -math.inf).max(axis=0)
    return top


def rail_grid(rails: tuple[shapely.Geometry, ...], margin: float, pitch: float) -> Grid | None:
    """The grid of distances for these rails, up to ``margin`` mm; None when there are none."""
    patches = [_patch(shape, margin, pitch) for shape in rails if not shape.is_empty]
    if not patches:
        return None
    i0, j0 = min(p[0] for p in patches), min(p[1] for p in patches)
    i1 = max(p[0] + p[2].shape[1] for p in patches)
    j1 = max(p[1] + p[2].shape[0] for p in patches)
    whole = np.full((j1 - j0, i1 - i0), margin)
    for i, j, values in patches:
        part = whole[j - j0 : j - j0 + values.shape[0], i - i0 : i - i0 + values.shape[1]]
        np.minimum(part, values, out=part)
    flat = whole.ravel()
    return Grid(i0 * pitch, j0 * pitch, pitch, whole.shape[1], whole.shape[0], flat, flat.tolist())


@lru_cache(maxsize=256)
def _patch(shape: shapely.Geometry, margin: float, pitch: float) -> tuple[int, int, Reals]:
    """One rail's distances on the nodes round it: column and row of the first node, values (rows, columns).

    Each edge is set against the nodes it can be near to.
    """
    shape = shape.simplify(TIDY)
    x0, y0, x1, y1 = shape.bounds
    i0, j0 = math.floor((x0 - margin) / pitch), math.floor((y0 - margin) / pitch)
    i1, j1 = math.ceil((x1 + margin) / pitch), math.ceil((y1 + margin) / pitch)
    x, y = np.arange(i0, i1 + 1) * pitch, np.arange(j0, j1 + 1) * pitch
    away = np.full((len(y), len(x)), margin * margin)
    for ring in shapely.get_rings(shape):
        for (ax, ay), (bx, by) in pairwise(shapely.get_coordinates(ring).tolist()):
            rows, columns = _between(y, ay, by, margin), _between(x, ax, bx, margin)
            dx, dy, run, rise = x[columns] - ax, (y[rows] - ay)[:, None], bx - ax, by - ay
            share = (dx * run + dy * rise) / max(run * run + rise * rise, 1e-18)
            share = np.minimum(np.maximum(share, 0.0), 1.0)
            dx, dy = dx - share * run, dy - share * rise
            near = away[rows, columns]
            np.minimum(near, dx * dx + dy * dy, out=near)
    gx, gy = np.meshgrid(x, y)
    inside = shapely.contains_xy(shape, gx, gy)
    return i0, j0, np.sqrt(away) * np.where(inside, -1.0, 1.0)


def _between(nodes: Reals, a: float, b: float, margin: float) -> slice:
    """The nodes no farther than ``margin`` from those between two."""
    first, stop = np.searchsorted(nodes, (min(a, b) - margin, max(a, b) + margin)).tolist()
    return slice(first, stop)

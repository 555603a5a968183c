"""Hand-made scenes for motion: regions of a ball's centre bounded by a few lines, and boards with nothing but a
hole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from desk.ball.contact import Contact
from desk.ball.edges import GRAVITY
from desk.ball.flock import Flock, Move, flock
from desk.ball.ground import MARGIN, PITCH, Ground, Hole, nearest, rail_grid
from desk.ball.outline import Outline, edge_of
from desk.ball.plane import Motion
from desk.shapes.loop import Point

RIGID = Contact(board=0.5, panel=0.5, friction=0.3, rolling=0.0, stick=1e-3)
"""Springs back by half at any speed, rolls without loss."""


def scene(floor: Sequence[Point], contact: Contact, radius: float = 8.0, roof: float = 4000.0) -> Outline:
    """The region above a floor line that runs from left to right, walls at its ends; the floor is where the CENTRE
    is."""
    (x0, _), (x1, _) = floor[0], floor[-1]
    region = shapely.Polygon([*floor, (x1, roof), (x0, roof)])
    room = shapely.box(x0 - 1e4, -1e4, x1 + 1e4, 2e4)
    return edge_of(region, room, radius, (0.0, -GRAVITY), contact)


def ball(x: float, y: float, vx: float = 0.0, vy: float = 0.0, w: float = 0.0) -> Flock:
    """One ball in flight, mm and mm/s."""
    return flock(*(np.array([v]) for v in (x, y, vx, vy, w, 0.0)))


def moves(edges: Outline, contact: Contact, b: Flock, spring: float = 0.5, most: int = 3000) -> list[Move]:
    """All moves of one ball put onto or over the edges."""
    out: list[Move] = []
    motion = Motion(edges, contact, spring, out.append)
    motion.enter(b)
    motion.run(b, most)
    return out


def bare(
    tilt: float,
    radius: float,
    holes: Sequence[tuple[float, float, float]] = (),
    half: float = 1e5,
    rail: float = 0.0,
) -> Ground:
    """A face without rails: tilt in degrees, holes as (x, y, radius), far walls and no header."""
    made = tuple(Hole(x, y, r, k + 1) for k, (x, y, r) in enumerate(holes))
    return Ground(
        radius, math.radians(tilt), half, 1e6, 1e6, rail, None, made, nearest(made), 0.0, (1e6, 1e6), ()
    )


def state(
    x: float, y: float, h: float, v: Sequence[float] = (0, 0, 0), s: Sequence[float] = (0, 0, 0)
) -> np.ndarray:
    """A state on the board for one ball."""
    return np.array([[x, y, h, *v, *s]], dtype=float)


def ring(tilt: float, radius: float, half: float = 1e5, rail: float = 8.0, inner: float = 15.0) -> Ground:
    """A face with one ring, 5 mm wide, about (0, 100); its hole is left out."""
    disc = shapely.Point(0.0, 100.0)
    shape = disc.buffer(20.0, quad_segs=64).difference(disc.buffer(inner, quad_segs=64))
    return replace(
        bare(tilt, radius, half=half, rail=rail),
        grid=rail_grid((shape,), MARGIN * radius, PITCH * radius),
        rails=(shape,),
    )

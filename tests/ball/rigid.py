"""The same leg in a general rigid-body engine (pymunk, which is Chipmunk): a disc with a sphere's inertia among fixed
segments.

The disc's moment is 2/5 m r², so that it takes up spin like a sphere; its outline in the plane of the leg is the
sphere's own. Wood is the outline of every solid as a chain of segments. The engine multiplies the coefficients of
the two that touch.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import pymunk
import shapely

from desk.ball.contact import Contact
from desk.ball.edges import GRAVITY
from desk.cabinet.model import Leg
from desk.shapes.loop import Point

STEP = 1 / 4000
MASS = 1.0
SLEEPY = 2.0
"""Slower than this for ``WHILE`` seconds, mm/s, the disc is at rest."""
WHILE = 0.3


@dataclass(frozen=True)
class Ran:
    """How a run ended: seconds, where the disc's middle was, and whether it had come to rest."""

    time: float
    x: float
    y: float
    rest: bool


def space_of(leg: Leg, contact: Contact, spring: float) -> pymunk.Space:
    """The wood of a leg."""
    space = pymunk.Space()
    space.gravity = (leg.pull[0] * GRAVITY * leg.pull_share, leg.pull[1] * GRAVITY * leg.pull_share)
    space.collision_slop = 0.002
    space.iterations = 20
    for solid in leg.solids:
        for piece in getattr(solid.shape, "geoms", [solid.shape]):
            for ring in shapely.get_rings(piece):
                coords = [tuple(p) for p in shapely.get_coordinates(ring).tolist()]
                for a, b in pairwise(coords):
                    line = pymunk.Segment(space.static_body, a, b, 0.0)
                    line.friction, line.elasticity = contact.friction, spring
                    space.add(line)
    return space


def run(
    leg: Leg,
    contact: Contact,
    spring: float,
    radius: float,
    at: Point,
    velocity: Point = (0.0, 0.0),
    spin: float = 0.0,
    *,
    until: shapely.Geometry | None = None,
    most: float = 20.0,
) -> Ran:
    """Let the disc go; it ends in ``until``, at rest, or after ``most`` seconds. ``spin`` is radius times angular
    speed."""
    space = space_of(leg, contact, spring)
    ball = pymunk.Body(MASS, 0.4 * MASS * radius**2)
    ball.position, ball.velocity = at, velocity
    ball.angular_velocity = -spin / radius  # forward roll along +x turns clockwise
    disc = pymunk.Circle(ball, radius)
    disc.friction, disc.elasticity = 1.0, 1.0
    space.add(ball, disc)
    time, quiet = 0.0, 0.0
    while time < most:
        space.step(STEP)
        time += STEP
        if until is not None and shapely.intersects_xy(until, *ball.position):
            return Ran(time, *ball.position, rest=False)
        quiet = quiet + STEP if ball.velocity.length < SLEEPY else 0.0
        if quiet > WHILE:
            return Ran(time - quiet, *ball.position, rest=True)
    return Ran(time, *ball.position, rest=False)

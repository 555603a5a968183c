"""Closed forms of strength: beams, a rail as a short cantilever plate, a knock, strength at an angle to the grain.

Plain numbers in one set of units: N, mm, MPa (N/mm²), kg and m/s where a ball comes in. Sources stand with each form.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]
HALVINGS = 40
ROOT_SPREAD = 1.96
"""Width of root, over the height, that a load at one spot of a long cantilever plate's edge is spread to: 1 / 0.509.

The largest root moment of such a plate is 0.509 F a width of one (Jaramillo 1950, J. Appl. Mech. 17: 67; also
Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells; both from memory, confirmed by the tests).
"""


def second_moment(width: float, thickness: float) -> float:
    """Second moment of area of a rectangle bent over its thickness, mm⁴: b t³ / 12 (Wood Handbook eq. 9-3)."""
    return width * thickness**3 / 12


def section_modulus(width: float, thickness: float) -> float:
    """Section modulus of the same, mm³: b t² / 6."""
    return width * thickness**2 / 6


def sag_point(force: float, span: float, stiffness: float, moment: float) -> float:
    """Sag, mm, at midspan of a beam on two supports under a force there: F L³ / (48 E I).

    Wood Handbook eq. 9-2 with k_b of Table 9-1. Its shear term is left out: stiffness from a bending test holds it
    already (footnote of Table 5-3).
    """
    return force * span**3 / (48 * stiffness * moment)


def sag_spread(load: float, span: float, stiffness: float, moment: float) -> float:
    """The same under a load of ``load`` N/mm all along: 5 w L⁴ / (384 E I)."""
    return 5 * load * span**4 / (384 * stiffness * moment)


def stress_point(force: float, span: float, modulus: float) -> float:
    """Bending stress, MPa, at midspan under a force there: (F L / 4) / W."""
    return force * span / 4 / modulus


def at_angle(along: float, across: float, angle: Reals, power: float = 2.0) -> Reals:
    """A strength or stiffness at ``angle`` radians to the grain, from those along and across it.

    Hankinson's formula, Wood Handbook eq. 5-4: P Q / (P sin^n + Q cos^n), n = 2 for stiffness, 1.5 to 2 for bending
    and tension.
    """
    sin, cos = np.abs(np.sin(angle)) ** power, np.abs(np.cos(angle)) ** power
    found: Reals = along * across / (along * sin + across * cos)
    return found


def spread_share(along: Reals, upward: float) -> Reals:
    """How much farther a load spreads along a plate that is stiffer along than upwards: (E_along / E_up)^(1/4).

    A plate with twisting stiffness sqrt(D_x D_y) becomes an isotropic one when its length is scaled so (Huber;
    Timoshenko and Woinowsky-Krieger, anisotropic plates).
    """
    share: Reals = (along / upward) ** 0.25
    return share


def root_stress(force: Reals, height: float, breadth: Reals, width: Reals) -> Reals:
    """Bending stress, MPa, at the root of a wall ``width`` mm thick under a side force ``height`` mm above it that
    ``breadth`` mm of root carry: 6 F a / (b w²).
    """
    return force * height * 6 / (breadth * width**2)


def rail_stiffness(stiffness: float, height: float, breadth: Reals, width: Reals) -> Reals:
    """Force, N, that bends the same wall 1 mm aside: 3 E I / a³ (Wood Handbook Table 9-1, cantilever)."""
    return 3 * stiffness * breadth * width**3 / 12 / height**3


def contact_stiffness(stiffness: float, radius: float) -> float:
    """Hertz's K, N/mm^1.5, of a hard ball on a flat: 4/3 E / (1 - nu²) sqrt(r), with nu 0.3; F = K d^1.5."""
    return 4 / 3 * stiffness / (1 - 0.3**2) * math.sqrt(radius)


def knock_force(mass: float, speed: Reals, spring: Reals, contact: float) -> Reals:
    """Largest force, N, of a ball of ``mass`` kg at ``speed`` m/s stopped by a spring and its contact in a row.

    The energy m v² / 2 goes into the spring, F² / (2 k), and the contact, 2/5 F (F / K)^(2/3); k in N/mm, K in
    N/mm^1.5. Solved by halving, for each speed and spring of an array.
    """
    energy = 500.0 * mass * speed**2  # N mm
    low, high = np.zeros_like(energy), np.sqrt(2 * energy * spring) + 1e-9
    for _ in range(HALVINGS):
        force = (low + high) / 2
        over = force**2 / (2 * spring) + 0.4 * force * (force / contact) ** (2 / 3) > energy
        low, high = np.where(over, low, force), np.where(over, force, high)
    middle: Reals = (low + high) / 2
    return middle

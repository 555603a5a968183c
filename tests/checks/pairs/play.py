"""Pairs of the checks of play."""

from __future__ import annotations

import shapely

from desk.cabinet.model import Solid
from tests.checks.pairs.base import START, Given, Pair, built, starting
from tests.checks.pairs.first import with_solid


def header_before_the_lip(gap: float) -> Given:
    """A header that hangs so far before the middle of a ball that leaves the lip, less the ball's radius, mm."""
    lip, radius = built(()).marks.points["lip"], built(()).balls.diameter / 2
    edge = lip[0] - radius - gap
    return with_solid("flight", Solid("header", shapely.box(edge - 20.0, lip[2] + 8.0, edge, lip[2] + 40.0)))


PAIRS: dict[str, Pair] = {
    "slow-ball": Pair(starting(lane__rise=0.5), START, starting(lane__rise=1.0), parts=("deck",)),
    "kicker": Pair(starting(kicker__radius=20.0), START, starting(kicker__radius=28.0), parts=("rib-5",)),
    "speed-window": Pair(starting(people__fast=1.5), START, starting(people__fast=1.6), parts=("board",)),
    "flight": Pair(header_before_the_lip(0.2), START, header_before_the_lip(1.0), parts=("header",)),
    "hand-speed": Pair(starting(people__fast=1.5), START, starting(people__fast=1.6), parts=("board",)),
    "hole-speed": Pair(
        starting(targets__2__hole=15.0), START, starting(targets__2__rail=36.0), parts=("board",)
    ),
    "ends": Pair(starting(people__fast=3.2), START, starting(people__fast=2.9), parts=("board",)),
}

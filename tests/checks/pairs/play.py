"""Pairs of the checks of play: the starting design with one number changed."""

from __future__ import annotations

from tests.checks.pairs.base import START, Pair, starting

PAIRS: dict[str, Pair] = {
    "slow-ball": Pair(starting(lane__rise=0.5), START, starting(lane__rise=1.0), parts=("deck",)),
    "kicker": Pair(starting(kicker__radius=20.0), START, starting(kicker__radius=28.0), parts=("rib-5",)),
    "speed-window": Pair(
        starting(people__speed_spread=0.4), START, starting(people__speed_spread=0.25), parts=("board",)
    ),
    "flight": Pair(
        starting(targets__3__across=-50.0),
        START,
        starting(targets__3__across=-45.6),
        parts=("inner-wall",),
    ),
    "hand-speed": Pair(starting(people__fast=1.5), START, starting(people__fast=1.7), parts=("board",)),
    "hole-speed": Pair(
        starting(targets__5__hole=16.5), START, starting(targets__5__hole=17.2), parts=("board",)
    ),
    "ends": Pair(starting(people__fast=2.4), START, starting(people__fast=2.26), parts=("board",)),
}

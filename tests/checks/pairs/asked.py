"""Cabinets for the checks on what was asked for and on rails that hold."""

from __future__ import annotations

from tests.checks.pairs.base import START, Pair, starting

PAIRS = {
    "as-asked": Pair(
        starting(kicker__lip_round=10.0), START, starting(kicker__lip_round=2.0), parts=("rib-1",)
    ),
    "rail-hold": Pair(starting(board__rail_height=0.5), START, starting(board__rail_height=4.6), ("board",)),
}

"""Pairs of the checks of strength and time, of what hands do, and of people."""

from __future__ import annotations

from msgspec.structs import replace

from desk.cabinet.model import Balls, Cabinet
from tests.checks.pairs.base import START, Given, Pair, built, starting


def with_steel(diameter: float) -> Given:
    """The starting cabinet with steel balls of another size in its box."""
    return lambda: (replace(built(()), balls=Balls(diameter, 0.0, 5, "steel", 7830.0)), None)


def with_panels_of(material: str) -> Given:
    """The starting cabinet with its panels of another material."""

    def given() -> tuple[Cabinet, None]:
        whole = built(())
        panels = whole.by_id["panel-far"].stock
        stocks = (replace(s, material=material) if s.id == panels else s for s in whole.shop.stocks)
        return replace(whole, shop=replace(whole.shop, stocks=tuple(stocks))), None

    return given


PAIRS: dict[str, Pair] = {
    "cautions": Pair(
        with_panels_of("snakewood"), START, with_panels_of("white-oak"), parts=("panel-return",)
    ),
    "steps": Pair(
        starting(lane__stop_height=0.0),
        START,
        starting(joint__dowel_fit=0.15),
        parts=("front-stop",),
    ),
    "lifter": Pair(starting(lifter__reach=80.0), START, starting(lifter__reach=40.0), parts=("lifter",)),
    "fingers": Pair(starting(lane__front=20.0), START, starting(lane__front=26.0), parts=("inner-wall",)),
    "rails": Pair(starting(board__rail_width=3.0), START, starting(board__rail_width=4.4), parts=("board",)),
    "sag": Pair(
        starting(stocks__1__measured=4.0),
        START,
        starting(stocks__1__measured=5.5),
        parts=("deck",),
    ),
    "season": Pair(starting(lane__width=142.3), START, starting(lane__width=142.8), parts=("rib-1", "rib-8")),
    "handled": Pair(
        starting(shop__edge_round=0.0),
        START,
        starting(silhouette__5__radius=1.2),
        parts=("panel-return", "panel-far"),
    ),
    "stands": Pair(with_steel(60.0), START, with_steel(23.0), parts=("panel-return", "panel-far")),
    "weight": Pair(
        starting(lane__length=1500.0, lane__width=600.0, kicker__ribs=33.0),
        START,
        with_steel(92.0),
        parts=("panel-far", "deck"),
    ),
}

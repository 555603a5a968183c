"""Pairs of the checks of joints in depth, of screws, and of cutting from the sheet."""

from __future__ import annotations

from msgspec.structs import replace

from desk.cabinet.model import Member, Pocket
from desk.shapes.loop import circle, rect
from tests.checks.helpers import cabinet, pin, plate, screw
from tests.checks.pairs.base import START, Given, Pair, starting

COIN = circle(50.0, 30.0, 28.0)
"""An outline without a straight edge."""


def both_faces(**more: object) -> Given:
    """A plate with a pocket in either face."""
    pockets = (
        Pocket(rect(30, 20, 45, 40), 4.0, "carving"),
        Pocket(rect(55, 20, 70, 40), 4.0, "carving", face="B"),
    )
    of = cabinet([plate("lid", 12.0, pockets=pockets, **more)])
    return lambda: (of, None)


def alone(**more: object) -> Given:
    """One plate."""
    of = cabinet([plate("plate", 12.0, **more)])
    return lambda: (of, None)


def point_and_dowel(length: float) -> Given:
    """A screw of this length along y into a plate 9 to 21, and a dowel of 6 mm across its way, its wall at y = 19."""
    members = [Member("cover", 4.5, None, "clearance", head=8.0), Member("hold", 2.8, length - 9.0, "pilot")]
    across = pin([Member("hold", 6.0, None, "dowel")], 0.0, 60.0, diameter=6.0)
    dowel = replace(across, at=(20.0, 22.0, 30.0), direction=(1.0, 0.0, 0.0))
    parts = [plate("cover", 9.0, thickness=9.0), plate("hold", 33.0, thickness=24.0)]
    of = cabinet(parts, [screw(members, length), dowel])
    return lambda: (of, None)


PAIRS: dict[str, Pair] = {
    "depth": Pair(point_and_dowel(18.5), START, point_and_dowel(17.2), parts=("hold",)),
    "pilot": Pair(
        starting(joint__pilot=6.0), START, starting(joint__pilot=2.4), parts=("panel-return", "header")
    ),
    "head": Pair(
        starting(stocks__1__measured=4.0), START, starting(stocks__1__measured=5.0), parts=("back-cover",)
    ),
    "screw-hold": Pair(
        starting(joint__screw_header=15.0), START, starting(joint__screw_header=17.0), parts=("header",)
    ),
    "bit-sizes": Pair(
        starting(header__letter=6.5, header__groove=2.0),
        START,
        starting(header__letter=7.5, header__groove=2.0),
        parts=("header",),
    ),
    "broken-edge": Pair(
        starting(shop__edge_round=20.0),
        START,
        starting(shop__edge_round=4.0),
        parts=("panel-return", "panel-far"),
    ),
    "second-face": Pair(both_faces(outline=COIN), START, both_faces(), parts=("lid",)),
    "holding-tabs": Pair(
        alone(outline=COIN), START, alone(outline=rect(0.0, 0.0, 40.0, 17.0)), parts=("plate",)
    ),
}

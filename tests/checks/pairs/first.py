"""Pairs of the checks of fit, of the ball's way, of cutting and of limits.

Tight cabinets lie between the conflict and the clear one, mostly by one number; where the number sits was found by
halving. Four checks cannot be tight by their nature, because what they ask has no more or less to it:
``inside-wood`` (a cut lies in the wood or it does not; how near it comes to the edge is the web's matter, check 43),
``clean-outline`` (a loop crosses itself or it does not), ``bit-reach`` (a bit gets into a place or it does not; the
corners that a tab wants are those of ``tab-seat``) and ``way-open`` (there is a way or there is none; how narrow it
gets is told by the gaps, the headroom and the passages of its leg).
"""

from __future__ import annotations

import shapely
from msgspec.structs import replace

from desk.cabinet.model import Solid
from tests.checks.pairs.base import START, Given, Pair, built, starting, with_balls


def with_solid(leg: str, solid: Solid) -> Given:
    """The starting cabinet with something more standing on one leg of the ball's way."""
    cabinet = built(())
    changed = {leg: replace(cabinet.leg_by_id[leg], solids=(*cabinet.leg_by_id[leg].solids, solid))}
    return lambda: (replace(cabinet, legs=tuple(changed.get(one.id, one) for one in cabinet.legs)), None)


LEVEL_PLACE = shapely.Polygon([(300.0, 55.413), (292.0, 55.413), (292.0, 55.413 - 0.2514)])
"""A place of the channel's floor sanded level, 8 mm long: a ball may stay on it, and the least nudge sends it on."""
LEVEL_RAIL = shapely.box(-48.0, 125.0, -40.0, 128.0)
"""The same on the face: a short rail whose upper edge is level."""


PAIRS: dict[str, Pair] = {
    "inside-wood": Pair(starting(header__letter=30.0), START, parts=("header",)),
    "hole-passes": Pair(
        starting(targets__2__hole=16.0), START, starting(targets__2__hole=17.5), parts=("board",)
    ),
    "face-gaps": Pair(
        starting(targets__3__across=-36.0),
        START,
        starting(targets__3__across=-33.5),
        parts=("board", "inner-wall"),
    ),
    "face-traps": Pair(
        starting(targets__3__across=-36.0),
        START,
        with_solid("face", Solid("board", LEVEL_RAIL)),
        parts=("board",),
    ),
    "gutter-gap": Pair(starting(board__gap=12.0), START, starting(board__gap=17.3), parts=("board",)),
    "depth-behind": Pair(
        starting(behind__gutter_drop=40.0),
        START,
        starting(behind__gutter_drop=29.0),
        parts=("board", "gutter-floor"),
    ),
    "clean-outline": Pair(starting(**{"return__floor_height": 20.0}), START, parts=("lip-block-1",)),
    "under-traps": Pair(starting(behind__gutter_slope=-2.0), START, starting(behind__gutter_slope=0.3)),
    "catch-ramp": Pair(
        starting(behind__catch_slope=-2.0),
        START,
        starting(behind__catch_slope=1.2),
        parts=("catch-ramp-1",),
    ),
    "inlet": Pair(
        starting(behind__inlet_width=15.0),
        START,
        starting(behind__inlet_width=17.5),
        parts=("inner-wall",),
    ),
    "channel-width": Pair(
        starting(ball__diameter=18.0), START, starting(ball__diameter=16.8), parts=("spacer-lower-1",)
    ),
    "headroom": Pair(
        starting(return__headroom=0.5), START, starting(return__headroom=1.7), parts=("spacer-upper-1",)
    ),
    "channel-slope": Pair(
        starting(return__slope=0.3), START, starting(return__slope=1.1), parts=("spacer-lower-1",)
    ),
    "channel-traps": Pair(
        starting(return__slope=-1.0),
        START,
        with_solid("channel", Solid("spacer-lower-1", LEVEL_PLACE)),
    ),
    "queue": Pair(starting(ball__count=40.0), START, starting(ball__count=33.0, lane__length=272.0)),
    "lip": Pair(
        starting(return__lip_height=0.5),
        START,
        starting(return__lip_height=8.0),
    ),
    "way-open": Pair(starting(return__headroom=0.5), START),
    "dowel-play": Pair(
        starting(joint__dowel_fit=-0.2),
        START,
        starting(joint__dowel_fit=0.02),
        parts=("panel-return", "inner-wall"),
    ),
    "dowel-depth": Pair(
        starting(joint__dowel_blind=10.5),
        START,
        starting(joint__dowel_blind=9.5),
        parts=("panel-return",),
    ),
    "hole-edge": Pair(
        starting(lifter__arm=9.0),
        START,
        starting(lifter__arm=13.0),
        parts=("lifter",),
    ),
    "screw-point": Pair(
        starting(joint__screw_return=37.5),
        START,
        starting(joint__screw_return=36.0),
        parts=("panel-return",),
    ),
    "screw-bite": Pair(
        starting(joint__screw_cover=13.0),
        START,
        starting(joint__screw_cover=16.5),
        parts=("cleat-upper",),
    ),
    "bit-reach": Pair(starting(bits__1__diameter=12.0), START, parts=("inner-wall",)),
    "cut-depth": Pair(
        starting(bits__1__cutting_length=15.0),
        START,
        starting(bits__1__cutting_length=19.2),
        parts=("board",),
    ),
    "web": Pair(starting(lifter__arm=9.0), START, starting(lifter__arm=14.3), parts=("lifter",)),
    "part-fits": Pair(
        starting(shop__bed_length=500.0, shop__bed_width=500.0),
        START,
        starting(shop__bed_length=650.0, shop__bed_width=400.0),
        parts=("panel-far",),
    ),
    "stack": Pair(
        starting(lane__width=142.0),
        starting(lane__width=143.3),
        starting(lane__width=142.9),
        parts=("rib-1", "rib-8"),
    ),
    "within-limits": Pair(
        starting(overall__length_limit=620.0),
        START,
        starting(overall__length_limit=661.0),
        parts=("lifter", "back-cover"),
    ),
    "small-ball": Pair(starting(people__youngest=2.0), with_balls(50.0), START),
}

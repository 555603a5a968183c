"""Pairs of the checks of fit, of the ball's way, of cutting and of limits."""

from __future__ import annotations

from tests.checks.pairs.base import START, Pair, starting, with_balls

PAIRS: dict[str, Pair] = {
    "inside-wood": Pair(starting(header__letter=30.0), START, parts=("header",)),
    "hole-passes": Pair(starting(targets__2__hole=16.0), START, parts=("board",)),
    "face-gaps": Pair(
        starting(targets__3__across=-36.0),
        starting(lane__width=147.0, targets__1__up=148.0),
        parts=("board", "inner-wall"),
    ),
    "face-traps": Pair(starting(targets__3__across=-36.0), START, parts=("board",)),
    "gutter-gap": Pair(starting(board__gap=12.0), START, parts=("board",)),
    "depth-behind": Pair(starting(behind__gutter_drop=40.0), START, parts=("board", "gutter-floor")),
    "clean-outline": Pair(starting(**{"return__floor_height": 20.0}), START, parts=("lip-block-1",)),
    "under-traps": Pair(starting(behind__gutter_slope=-2.0), START),
    "catch-ramp": Pair(starting(behind__catch_slope=-2.0), START, parts=("catch-ramp-1",)),
    "inlet": Pair(starting(behind__inlet_width=15.0), START, parts=("inner-wall",)),
    "channel-width": Pair(starting(ball__diameter=18.0), START, parts=("spacer-lower-1",)),
    "headroom": Pair(starting(return__headroom=0.5), START, parts=("spacer-upper-1",)),
    "channel-slope": Pair(starting(return__slope=0.3), START, parts=("spacer-lower-1",)),
    "channel-traps": Pair(starting(return__slope=-1.0), START),
    "queue": Pair(starting(ball__count=40.0), START),
    "lip": Pair(starting(return__lip_height=0.5), starting(return__lip_height=7.4)),
    "way-open": Pair(starting(return__headroom=0.5), START),
    "dowel-play": Pair(starting(joint__dowel_fit=-0.2), START, parts=("panel-return", "inner-wall")),
    "dowel-depth": Pair(starting(joint__dowel_blind=10.5), START, parts=("panel-return",)),
    "hole-edge": Pair(starting(lifter__arm=9.0), starting(return__floor_height=46.0), parts=("lifter",)),
    "screw-point": Pair(starting(joint__screw_return=37.5), START, parts=("panel-return",)),
    "screw-bite": Pair(starting(joint__screw_cover=13.0), START, parts=("cleat-upper",)),
    "bit-reach": Pair(starting(bits__1__diameter=12.0), START, parts=("inner-wall",)),
    "cut-depth": Pair(starting(bits__1__cutting_length=15.0), START, parts=("board",)),
    "web": Pair(starting(lifter__arm=9.0), START, parts=("lifter",)),
    "part-fits": Pair(starting(shop__bed_length=500.0, shop__bed_width=500.0), START, parts=("panel-far",)),
    "stack": Pair(starting(lane__width=142.0), starting(lane__width=143.3), parts=("rib-1", "rib-8")),
    "within-limits": Pair(starting(overall__length_limit=600.0), START, parts=("lifter", "back-cover")),
    "small-ball": Pair(starting(people__youngest=2.0), with_balls(50.0)),
}

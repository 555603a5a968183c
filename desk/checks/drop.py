"""Where a ball drops: through the gutter gap in front of the board, and out of a hole behind it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import Leg, Part
from desk.checks.context import Context
from desk.checks.facegaps import HOLE
from desk.checks.finding import Place
from desk.checks.legs import FAMILY, solid
from desk.checks.registry import CannotEvaluate, Draft, Rating, Sieve, Told, check, rate
from desk.shapes.loop import Point

FAR = 1000.0
"""Looked this far behind the board, mm."""


@check(4, "gutter-gap", FAMILY, "Gutter gap passes the ball")
def gutter_gap(ctx: Context) -> Iterator[Draft]:
    """From the kicker's lip to the foot of the board, as finished, against the largest ball.

    All ribs are alike; the one in the middle of the lane stands for them, in the same x and z as the board's section.
    """
    leg, balls = ctx.cabinet.leg_by_id["flight"], ctx.cabinet.balls
    lane = ctx.cabinet.leg_by_id["lane"]
    kicker, board = solid(lane, "rib-"), solid(leg, "board")
    if kicker.is_empty or board.is_empty:
        raise CannotEvaluate("there is no kicker or no board to measure the gutter gap between", ("board",))
    width = float(kicker.distance(board))
    rating = rate(ctx.need("passage"), width - balls.largest)
    line = shapely.get_coordinates(shapely.shortest_line(kicker, board)).tolist()
    place = Place(leg.frame, "line", tuple((x, y) for x, y in line))

    def tell() -> Told:
        because = f"{width:.2f} - {balls.largest:.2f} = {rating.measured:.2f} mm; needed {rating.needed:.2f}"
        remedies = (
            ctx.remedy("board.gap", rating.short, "Set the board farther from the kicker"),
            ctx.remedy("board.foot_rise", 0.0, "Raise or lower the board's foot"),
            ctx.remedy("ball.diameter", -rating.short, "Use smaller balls"),
        )
        return Told("Ball through the gutter gap", because, (place,), remedies)

    ribs = tuple(s.part for s in lane.solids if s.part.startswith("rib-"))
    yield Draft("gap", (*ribs, "board"), rating, tell)


@check(5, "depth-behind", FAMILY, "Depth behind the board", "The board has no target hole.")
def depth_behind(ctx: Context) -> Iterator[Draft]:
    """Behind each hole the largest ball gets clear of the board before it meets anything."""
    leg, board, balls = ctx.cabinet.leg_by_id["under"], ctx.cabinet.by_id["board"], ctx.cabinet.balls
    need, sieve = ctx.need("passage"), Sieve()
    for cutout in board.cutouts:
        if not cutout.use.startswith(HOLE):
            continue
        x0, y0, x1, y1 = cutout.loop.bounds
        depth, met = free_depth(leg, board, ((x0 + x1) / 2, (y0 + y1) / 2), balls.largest)
        depth -= ctx.cabinet.shop.film
        spare = depth - balls.largest
        if sieve.wants(spare - need.value, need.tight):
            rating = rate(need, spare)
            middle = ((x0 + x1) / 2, (y0 + y1) / 2)
            tell = partial(
                _tell_depth, ctx, leg, board, cutout.use.removeprefix(HOLE), middle, depth, met, rating
            )
            yield Draft(cutout.use, ("board", met) if met else ("board",), rating, tell)


def _behind(leg: Leg, board: Part, middle: Point) -> tuple[Point, Point]:
    """Where a hole's axis leaves the board's back in the plane of the leg, and the unit vector it goes on in."""

    def flat(depth: float) -> Point:
        x, y, _ = leg.frame.local(board.frame.world(*middle, depth))
        return x, y

    start, on = flat(board.thickness), flat(board.thickness + 1.0)
    return start, (on[0] - start[0], on[1] - start[1])


def free_depth(leg: Leg, board: Part, middle: Point, diameter: float) -> tuple[float, str]:
    """How far a ball gets straight out of the board's back before it meets a part, mm, and which part."""
    half = diameter / 2
    parts, shapes = _from_the_back(leg, board)
    met = shapely.clip_by_rect(shapes, 0.0, middle[1] - half, FAR, middle[1] + half)
    starts = shapely.bounds(met)[:, 0].tolist()
    return min(((x, part) for x, part in zip(starts, parts, strict=True) if x < FAR), default=(FAR, ""))


@lru_cache(maxsize=32)
def _from_the_back(leg: Leg, board: Part) -> tuple[tuple[str, ...], NDArray[np.object_]]:
    """The leg's other solids, (n,), as seen from the board: x straight out of its back, y up its slope."""
    (x, y), (dx, dy) = _behind(leg, board, (0.0, 0.0))
    foot, up = _behind(leg, board, (0.0, 1.0))[0], np.array((x, y))
    slope = np.array(foot) - up
    turn = np.array(((dx, slope[0]), (dy, slope[1])))
    others = [s for s in leg.solids if s.part != board.id]
    shapes: NDArray[np.object_] = np.empty(len(others), dtype=np.object_)
    shapes[:] = [shapely.transform(s.shape, lambda c: (c - up) @ turn) for s in others]
    return tuple(s.part for s in others), shapes


def _tell_depth(
    ctx: Context, leg: Leg, board: Part, number: str, middle: Point, depth: float, met: str, rating: Rating
) -> Told:
    largest = ctx.cabinet.balls.largest
    (x, y), (dx, dy) = _behind(leg, board, middle)
    to = ctx.cabinet.by_id[met].label if met else "anything"
    because = (
        f"{depth:.2f} from the board's back to {to} - {largest:.2f} = {rating.measured:.2f} mm; "
        f"needed {rating.needed:.2f}"
    )
    place = Place(leg.frame, "line", ((x, y), (x + depth * dx, y + depth * dy)))
    remedies = (
        ctx.remedy("behind.depth", 0.0, "Make more room behind the board"),
        ctx.remedy("behind.gutter_drop", 0.0, "Lower the gutter floor"),
        ctx.remedy("board.foot_rise", 0.0, "Raise the board"),
        ctx.remedy(f"targets.{number}.up", 0.0, "Move the target"),
    )
    return Told(f"Depth behind target hole {number}", because, (place,), remedies)

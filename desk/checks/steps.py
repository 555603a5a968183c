"""Steps where two parts meet along the ball's way, as they can come out at worst, and the front stop.

A joint that is flush in the drawing is a step in the wood: by the play of what sets the two parts, and by what cutting
and sanding leave. A ball that comes slower than the step asks for stays in front of it. Heights are read on the legs'
figures, which are as cut and as finished.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial
from itertools import pairwise
from typing import NamedTuple

import shapely

from desk.cabinet.model import Leg
from desk.checks.context import Context
from desk.checks.finding import Place
from desk.checks.legs import FAMILY, ball_at, balls_of, rated, solid
from desk.checks.mechanics import arrival_speed, climb_speed
from desk.checks.registry import CannotEvaluate, Draft, Told, check, rate
from desk.shop.loads import load

BESIDE = 0.3
"""Heights are read this far to either side of a joint, mm, clear of the film's corners."""
SLOPE_OVER = 3.0
"""A slope beside a joint is read over this length, mm."""


class Step(NamedTuple):
    """A joint the ball crosses: the step up as drawn (negative: down) and what it can grow by, from what, mm; where it
    is on the leg, how fast the ball comes, m/s, and from where.
    """

    key: str
    name: str
    leg: Leg
    at: tuple[float, float]
    before: float
    """-1 where the ball comes from the left, 1 from the right."""
    drawn: float
    plays: tuple[tuple[str, float], ...]
    speed: float
    comes: str
    parts: tuple[str, ...]
    governed: tuple[tuple[str, str], ...]

    @property
    def worst(self) -> float:
        """Step up at worst, mm; none below zero."""
        return max(self.drawn + sum(p for _, p in self.plays), 0.0)


@check(12, "steps", FAMILY, "Steps and joints up the way")
def steps(ctx: Context) -> Iterator[Draft]:
    """Every joint along the way is climbed by the slowest ball that has to pass; the front stop is climbed by none."""
    cabinet = ctx.cabinet
    lane, catch, channel = (cabinet.leg_by_id[k] for k in ("lane", "catch", "channel"))
    need, radius = ctx.need("step_reserve"), cabinet.balls.smallest / 2
    for make in (
        partial(_kicker, ctx, lane),
        partial(_ramp, ctx, catch),
        partial(_layers, ctx, catch),
        partial(_pad, ctx, channel),
    ):
        for step in make():
            least = climb_speed(step.worst, radius)
            rating = rated(step.speed, need.value * least, need.tight * least, "m/s", need)
            tell = partial(_tell, ctx, step, least)
            yield Draft(step.key, step.parts, rating, tell)
    yield from _front_stop(ctx, lane)


def top_at(shape: shapely.Geometry, x: float) -> float:
    """Height of a figure's top at x. Raises CannotEvaluate where it does not reach there."""
    if shape.is_empty:
        raise CannotEvaluate("a part beside a joint of the ball's way is not in its section")
    _, low, _, high = shape.bounds
    met = shape.intersection(shapely.LineString([(x, low - 1.0), (x, high + 1.0)]))
    if met.is_empty:
        raise CannotEvaluate(f"nothing stands at {x:.1f} mm, where two parts of the ball's way should meet")
    return float(met.bounds[3])


def step_up(
    first: shapely.Geometry, second: shapely.Geometry, x: float, way: float, gap: float = 0.0
) -> float:
    """How much higher the second figure begins at x than the first ends there, mm.

    The ball goes to the right (``way`` 1) or to the left (-1). Both are read a little beside the joint, the second
    ``gap`` mm farther off, and carried on to it along the slope of the first.
    """
    near, far = top_at(first, x - way * BESIDE), top_at(first, x - way * (BESIDE + SLOPE_OVER))
    slope = (near - far) / SLOPE_OVER
    return top_at(second, x + way * (BESIDE + gap)) - slope * (BESIDE + gap) - (near + slope * BESIDE)


def axis_play(ctx: Context, prefix: str, *parts: str) -> float:
    """How far the pins or screws whose ids start so leave these parts off their own line together, mm."""
    most = 0.0
    for joint in ctx.cabinet.axis_joints:
        if joint.id.startswith(prefix):
            film = 2 * ctx.film_in_joints
            loose = (
                max(m.diameter - film - joint.diameter, 0.0) / 2
                for m in joint.members
                if m.use != "pilot" and m.part in parts
            )
            most = max(most, sum(loose))
    return most


def tab_play(ctx: Context, part: str) -> float:
    """How far the tabs of a part leave it off the middle of their mortises, mm."""
    fits = [t.fit / 2 - ctx.film_in_joints * 2 for t in ctx.cabinet.tab_joints if t.part.startswith(part)]
    return max(0.0, *fits) if fits else 0.0


def _set_off(ctx: Context) -> tuple[str, float]:
    return "cutting", load("set_off", ctx.cabinet.tables).value


def _rolled(ctx: Context, height: float, run: float) -> float:
    """Speed, m/s, from rest after losing ``height`` mm over ``run`` mm of a floor that takes as much as it may."""
    left = height - balls_of(ctx).rolling[1] * run
    return arrival_speed(left, 0.0, 0.0, 0.0)


@lru_cache(maxsize=64)
def _at_kicker(leg: Leg, x: float, d: float) -> tuple[float, float, float, float]:
    """Step up from deck to kicker at x, the deck's height there, the lip's and the kicker's a diameter on, above it."""
    deck, rib = solid(leg, "deck"), solid(leg, "rib-")
    drawn, z = step_up(deck, rib, x, 1.0), top_at(deck, x - BESIDE)
    return drawn, z, rib.bounds[3] - z, top_at(rib, min(x + d, rib.bounds[2] - BESIDE)) - z


def _kicker(ctx: Context, leg: Leg) -> Iterator[Step]:
    """Deck to kicker on the way up, and back down again."""
    x, d = ctx.cabinet.marks.points["deck end"][0], ctx.cabinet.balls.smallest
    drawn, z, high, fall = _at_kicker(leg, x, d)
    plays = (
        ("tabs of the deck", tab_play(ctx, "deck")),
        ("rods of the ribs", axis_play(ctx, "rod-kicker", "rib-1", "inner-wall")),
        _set_off(ctx),
    )
    parts = ("deck", *(s.part for s in leg.solids if s.part.startswith("rib-")))
    governed = (
        ("joint.mortise_fit", "Let the deck's tabs fit more closely"),
        ("joint.dowel_fit", "Let the rods fit more closely"),
    )
    comes = f"a ball that just gets over the lip, {high:.1f} mm higher"
    speed = _rolled(ctx, high, 0.0)
    yield Step("kicker", "Deck to kicker", leg, (x, z), -1.0, drawn, plays, speed, comes, parts, governed)
    comes = "a ball that turned round one diameter up the kicker"
    back = _rolled(ctx, fall, d)
    yield Step("back", "Kicker back to deck", leg, (x, z), 1.0, -drawn, plays, back, comes, parts, governed)


@lru_cache(maxsize=64)
def _at_ramp(leg: Leg, d: float) -> tuple[float, float, float, float, float]:
    """End of the ramp: x, its height, the step up to the channel's floor, the fall over a diameter before it, and
    whether the ball goes to the left (-1) or to the right (1). Raises CannotEvaluate where one of them is missing.
    """
    ramp, floor = solid(leg, "catch-ramp"), solid(leg, "spacer-lower")
    if ramp.is_empty or floor.is_empty:
        raise CannotEvaluate("ramp and channel floor do not both stand in this section", ("catch-ramp-1",))
    way = -1.0 if floor.centroid.x < ramp.centroid.x else 1.0
    x = ramp.bounds[0] if way < 0 else ramp.bounds[2]
    end = top_at(ramp, x - way * BESIDE)
    return x, end, floor.bounds[3] - end, top_at(ramp, x - way * (BESIDE + d)) - end, way


def _ramp(ctx: Context, leg: Leg) -> Iterator[Step]:
    """End of the catch ramp to the floor of the channel."""
    d = ctx.cabinet.balls.smallest
    x, end, drawn, fall, way = _at_ramp(leg, d)
    plays = (
        ("screws of the ramp", axis_play(ctx, "screw-ramp", "back-cover")),
        ("screws of the cover", axis_play(ctx, "screw-cover", "back-cover")),
        ("tabs of the cleats", tab_play(ctx, "cleat")),
        ("dowels of the spacers", axis_play(ctx, "dowel-spacer-lower", "spacer-lower-1", "inner-wall")),
        _set_off(ctx),
    )
    speed = _rolled(ctx, fall, d)
    governed = (("behind.inlet_drop", "Set the ramp higher above the channel"),)
    parts = ("catch-ramp-1", "spacer-lower-1")
    comes = "a ball from rest one diameter before"
    yield Step(
        "ramp", "Ramp to channel floor", leg, (x, end), -way, drawn, plays, speed, comes, parts, governed
    )


def _layers(ctx: Context, leg: Leg) -> Iterator[Step]:
    """From one layer of the channel's floor to the next, for a ball that comes in across them."""
    floors = [s for s in leg.solids if s.part.startswith("spacer-lower")]
    if len(floors) < 2:
        return
    d = ctx.cabinet.balls.smallest
    *_, fall, way = _at_ramp(leg, d)
    run = sorted(floors, key=lambda s: way * s.shape.centroid.x)
    speed = _rolled(ctx, fall, d)
    plays = (
        ("dowels of the spacers", 2 * axis_play(ctx, "dowel-spacer-lower", "spacer-lower-1")),
        _set_off(ctx),
    )
    governed = (("joint.dowel_fit", "Let the dowels fit more closely"), ("return.layers", "Use fewer layers"))
    for one, two in pairwise(run):
        edge = one.shape.bounds[2] if way > 0 else one.shape.bounds[0]
        drawn = two.shape.bounds[3] - one.shape.bounds[3]
        key, name = f"layer/{one.part}", "Layers of the channel floor"
        comes = "a ball from rest on the ramp one diameter before its end"
        at = (edge, one.shape.bounds[3])
        yield Step(key, name, leg, at, -way, drawn, plays, speed, comes, (one.part, two.part), governed)


@lru_cache(maxsize=64)
def _at_pad(leg: Leg, x: float, d: float) -> tuple[float, float, float]:
    """Step up from the channel's floor to the lifter's pad at x, the floor's height there, its fall over a diameter."""
    floor, pad = solid(leg, "spacer-lower"), solid(leg, "lifter")
    drawn, z = step_up(floor, pad, x, -1.0, _gap_before(pad, x)), top_at(floor, x + BESIDE)
    return drawn, z, top_at(floor, x + BESIDE + d) - z


def _gap_before(pad: shapely.Geometry, x: float) -> float:
    """How far before x the top of the pad begins: at its highest corner."""
    if pad.is_empty:
        raise CannotEvaluate("the lifter is not in the section of the channel", ("lifter",))
    corner = max(shapely.get_coordinates(pad).tolist(), key=lambda c: c[1])
    return max(x - float(corner[0]), 0.0)


def _pad(ctx: Context, leg: Leg) -> Iterator[Step]:
    """Floor of the channel to the pad of the lifter at rest."""
    x, d = ctx.cabinet.marks.points["slot"][0], ctx.cabinet.balls.smallest
    drawn, z, fall = _at_pad(leg, x, d)
    plays = (
        ("pin of the lifter in the walls", axis_play(ctx, "pin-lifter", "panel-return")),
        ("dowels of the spacers", axis_play(ctx, "dowel-spacer-lower", "spacer-lower-1", "inner-wall")),
        _set_off(ctx),
    )
    speed = _rolled(ctx, fall, d)
    governed = (
        ("joint.dowel_fit", "Let pin and dowels fit more closely"),
        ("return.slope", "Let the channel fall more steeply"),
    )
    parts, comes = ("spacer-lower-1", "lifter"), "a ball from rest one diameter before"
    yield Step(
        "pad", "Channel floor to lifter", leg, (x, z), 1.0, drawn, plays, speed, comes, parts, governed
    )


def _tell(ctx: Context, step: Step, least: float) -> Told:
    need, radius = ctx.need("step_reserve"), ctx.cabinet.balls.smallest / 2
    sums = "".join(f" + {p:.2f} {name}" for name, p in step.plays if p > 0)
    drawn = round(step.drawn, 2) + 0.0
    if step.worst == 0.0:
        rise = step.drawn + sum(p for _, p in step.plays)
        because = f"{drawn:.2f} mm as drawn{sums} = {rise:.2f} mm at worst: no step up"
    else:
        because = (
            f"{drawn:.2f} mm as drawn{sums} = {step.worst:.2f} mm at worst; sqrt(10 g h / 7) / (1 - 5 h / 7 r) with "
            f"r {radius:.2f} = {least:.3f} m/s (plastic contact), needed {need.value:g} times that; {step.comes}, "
            f"comes with {step.speed:.3f} m/s"
        )
    x, z = step.at
    ball = ball_at(step.leg, (x + step.before * radius, z + radius), 2 * radius)
    mark = Place(step.leg.frame, "line", ((x, z - radius / 2), (x, z + radius / 2)))
    remedies = tuple(ctx.remedy(a, 0.0, text) for a, text in step.governed)
    return Told(f"Step: {step.name[0].lower()}{step.name[1:]}", because, (mark, ball), remedies)


@lru_cache(maxsize=64)
def _at_stop(leg: Leg) -> tuple[float, float, float, float]:
    """Front stop: x of its rear, the deck's height there, the stop's above that, and the kicker's lip above it.

    Raises CannotEvaluate where one of them is missing.
    """
    stop, deck, rib = solid(leg, "front-stop"), solid(leg, "deck"), solid(leg, "rib-")
    if stop.is_empty or deck.is_empty or rib.is_empty:
        raise CannotEvaluate("front stop, deck and kicker do not all stand in this section", ("front-stop",))
    x = max(stop.bounds[2], deck.bounds[0])
    floor = top_at(deck, x + BESIDE)
    return x, floor, stop.bounds[3] - floor, rib.bounds[3] - floor


def _front_stop(ctx: Context, leg: Leg) -> Iterator[Draft]:
    """The ball that rolls back from the lip does not climb the front stop; a hand gets over it."""
    (x, floor, height, fall), d = _at_stop(leg), ctx.cabinet.balls.largest
    need = ctx.need("stop_reserve")
    speed = arrival_speed(fall, 0.0, 0.0, 0.0)
    limit = climb_speed(max(height, 0.0), d / 2)
    rating = rated(limit, need.value * speed, need.tight * speed, "m/s", need)
    because = (
        f"{height:.2f} mm above the deck: sqrt(10 g h / 7) / (1 - 5 h / 7 r) with r {d / 2:.2f} = {limit:.2f} m/s; "
        f"needed {need.value:g} x {speed:.2f} m/s, a ball that rolls back from the lip, {fall:.1f} mm higher"
    )
    place = Place(leg.frame, "line", ((x, floor), (x, floor + max(height, 0.1))))
    told = Told(
        "Front stop against the ball that comes back",
        because,
        (place, ball_at(leg, (x + d / 2, floor + d / 2), d)),
        (ctx.remedy("lane.stop_height", 0.0, "Make the front stop higher"),),
    )
    yield Draft("stop", ("front-stop",), rating, lambda: told)
    high = rate(ctx.need("stop_high"), height, upper=True, scale=d, unit="mm")
    most = f"{height:.2f} mm above the deck; at most {high.needed / d if high.needed else 0:g} x {d:.2f}"
    over = Told(
        "Front stop under the hand that throws",
        f"{most} = {high.needed:.2f}",
        (place,),
        (ctx.remedy("lane.stop_height", -high.short, "Make the front stop lower"),),
    )
    yield Draft("stop-high", ("front-stop",), high, lambda: over)

"""Play: the way to the board, and which throws come to which target, in motion and in closed form.

The motion runs with the nominal ball and the middle of every coefficient; see desk.ball. Which throws are tried is told
in desk.checks.trial; how balls end is looked at in desk.checks.ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from desk.cabinet.model import People, Target
from desk.checks.context import CannotEvaluate, Context
from desk.checks.finding import Place, Thrown
from desk.checks.legs import FAMILY as WAY
from desk.checks.legs import ball_at, floor_runs, said, slope_draft, solid, surveys, unmet
from desk.checks.mechanics import GRAVITY, kink_share, leave_speed
from desk.checks.registry import Draft, Told, check, rate
from desk.checks.trial import Run, Trial, course_of, people_of, tried
from desk.remember import whole
from desk.shapes.loop import Point

FAMILY = "Play"
FLIGHT, FLIGHTS = 0.6, 256
"""A flight to the board is followed so long, s, at so many points."""
SPEEDS = (
    ("people.fast", "Throw faster"),
    ("kicker.exit", "Let the kicker throw higher or lower"),
    ("board.tilt", "Tilt the board otherwise"),
)


@check(19, "slow-ball", WAY, "Slow balls come back", "The lane has no deck.")
def slow_ball(ctx: Context) -> Iterator[Draft]:
    """The deck falls to the front, steeply enough for a ball that has stopped on it to start back."""
    leg = ctx.cabinet.leg_by_id["lane"]
    _, diameter, found = surveys(ctx, leg)[0]
    deck = solid(leg, "deck")
    if deck.is_empty:
        return
    runs = list(floor_runs(found, deck, diameter))
    if not runs:
        raise CannotEvaluate("The deck is too short for a ball to roll on.", ("deck",))
    for run in runs:
        if run[1][0] < ctx.cabinet.marks.points["deck end"][0] - diameter:
            yield slope_draft(ctx, leg, run, "lane.rise", "the deck", ("deck",))


@check(20, "kicker", FAMILY, "From the deck onto the kicker")
def kicker(ctx: Context) -> Iterator[Draft]:
    """How much speed the sharpest corner on the way to the lip costs, and how large the curve is against the ball."""
    cabinet = ctx.cabinet
    at, largest = cabinet.marks.points, cabinet.balls.largest
    leg = cabinet.leg_by_id["lane"]
    radius = math.dist((at["kick centre"][0], at["kick centre"][2]), (at["kick end"][0], at["kick end"][2]))
    curve = rate(ctx.need("kicker_curve"), radius / largest)
    parts = tuple(s.part for s in leg.solids if s.part.startswith("rib-"))
    place = Place(leg.frame, "line", tuple((at[k][0], at[k][2]) for k in ("deck end", "kick end")))
    remedies = (ctx.remedy("kicker.radius", curve.short * largest, "Make the curve larger"),)
    because = f"radius {radius:.1f} / ball {largest:.2f} = {radius / largest:.2f}; needed {curve.needed:g}"
    yield Draft(
        "curve", parts, curve, partial(said, Told("Curve of the kicker", because, (place,), remedies))
    )
    turn, corner = _sharpest(ctx, leg.id, at["deck front"][0] + largest, at["lip"][0])
    lost = 100 * (1 - kink_share(turn))
    rating = rate(ctx.need("kink_loss"), lost, upper=True)
    because = (
        f"turns up by {math.degrees(turn):.1f} deg: 1 - (2 + 5 cos d) / 7 = {lost:.2f} % of the speed; "
        f"at most {rating.needed:g} %"
    )
    told = Told(
        "Sharpest corner on the way to the lip",
        because,
        (ball_at(leg, corner, largest),),
        (ctx.remedy("lane.deck_height", 0.0, "Let the ribs' foot line up with the deck"),),
    )
    yield Draft("kink", ("deck", *parts), rating, partial(said, told))


def _sharpest(ctx: Context, leg: str, start: float, end: float) -> tuple[float, Point]:
    """Largest turn up on the way of the ball's middle between two x, radians, and where it is."""
    edges = course_of(whole(ctx.cabinet)).edges[leg]
    n = edges.count
    corners = edges.start[edges.after[:n]]
    on = (edges.along[:n, 0] > 0.2) & (edges.along[edges.after[:n], 0] > 0.2)
    on &= (corners[:, 0] > start) & (corners[:, 0] < end)
    if not on.any():
        raise CannotEvaluate("There is no way from the deck to the lip for a ball to run.", ("deck",))
    k = int(np.nonzero(on)[0][np.argmax(edges.turn[:n][on])])
    return max(float(edges.turn[k]), 0.0), (float(corners[k][0]), float(corners[k][1]))


@check(21, "speed-window", FAMILY, "Speeds that score", "The board has no target.")
def speed_window(ctx: Context) -> Iterator[Draft]:
    """Of throws meant for a target at the best speed and aim for it, so many have a speed that comes to it."""
    people, need, made = people_of(ctx.cabinet), ctx.need("speed_window"), tried(ctx)
    for target in ctx.cabinet.targets:
        best, run = made.best(target.number), made.longest(target.number)
        key, because = f"target {target.number}", _no_speed(people)
        share = 0.0
        if best is not None and run is not None:
            share = 100 * best.share
            because = (
                f"of throws meant at {best.speed:.2f} m/s, aim {best.aim:+.1f} deg, spread "
                f"{100 * people.speed_spread:g} % = {best.spread:.3f} m/s, {share:.1f} % have a speed that scores; "
                f"needed {need.value:g} %; the most speeds in a row that score are those from {run.low:.3f} to "
                f"{run.high:.3f} m/s, aim {run.aim:+.1f} deg"
            )
        remedies = (
            ctx.remedy(f"targets.{target.number}.hole", 0.0, "Make the hole larger"),
            ctx.remedy(f"targets.{target.number}.up", 0.0, "Move the target"),
            *(ctx.remedy(a, 0.0, text) for a, text in SPEEDS),
        )
        ball = Thrown(best.speed, best.aim) if best is not None else None
        told = Told(
            f"Speeds that score target {target.number}", because, (ring(ctx, target),), remedies, ball
        )
        yield Draft(key, ("board",), rate(need, share), partial(said, told))


def _no_speed(people: People) -> str:
    low, high = sorted((people.slow, people.fast))
    return f"no speed from {low:g} to {high:g} m/s comes to it, straight on or aimed at any target"


def ring(ctx: Context, target: Target) -> Place:
    """A target's hole or rail on the face."""
    return ball_at(ctx.cabinet.leg_by_id["face"], target.at, max(target.hole, 2 * target.rail))


@check(22, "flight", FAMILY, "Flight to the board", "The board has no target.")
def flight(ctx: Context) -> Iterator[Draft]:
    """Until it lands, a ball that scores flies off the lip at once and stays clear of the header and of the walls.

    Looked at is the throw in the middle of the most speeds in a row that come to a target, on its parabola.
    """
    made = tried(ctx)
    runs = [(t, run) for t in ctx.cabinet.targets if (run := made.longest(t.number)) is not None]
    if ctx.cabinet.targets and not runs:
        raise CannotEvaluate("No throw that people make comes to a target.", ("board",))
    for target, run in runs:
        way = Flight(made, target.number, run)
        yield _off_the_lip(ctx, target, way)
        yield _through_the_air(ctx, target, way)


class Flight:
    """The parabola of a throw that comes to a target, from the lip to where the ball first touches the face."""

    def __init__(self, made: Trial, target: int, run: Run) -> None:
        hit = np.nonzero((made.column("result") == target) & (made.aim == run.aim))[0]
        k = int(hit[np.abs(made.speed[hit] - run.middle).argmin()])
        self.ball = Thrown(float(made.speed[k]), float(made.aim[k]))
        x, z, self.vx, self.vz, y, vy = made.launch[k].tolist()
        of, last = made.course, float(made.column("landing")[k, 1])
        t = np.linspace(0.0, FLIGHT, FLIGHTS)
        self.x, self.z, self.y = x + self.vx * t, z + self.vz * t - 1000 * GRAVITY / 2 * t * t, y + vy * t
        up, out = of.on_face(self.x, self.z)
        landed = (out <= of.radius) | ((up >= last) if math.isfinite(last) else False)
        n = max(int(landed.argmax()) if landed.any() else len(t), 2)
        self.x, self.y, self.z = self.x[:n], self.y[:n], self.z[:n]

    @property
    def off(self) -> float:
        """Speed at the lip, m/s."""
        return math.hypot(self.vx, self.vz) / 1000

    @property
    def line(self) -> tuple[Point, ...]:
        """The way in the section, mm."""
        return tuple(zip(self.x.tolist(), self.z.tolist(), strict=True))


def _off_the_lip(ctx: Context, target: Target, way: Flight) -> Draft:
    need, radius = ctx.need("lip_leaves"), ctx.cabinet.balls.diameter / 2
    slope = math.atan2(way.vz, way.vx)
    least = leave_speed(radius, slope)
    rating = rate(need, way.off / least)
    because = (
        f"{way.off:.2f} m/s at the lip / sqrt(g r cos {math.degrees(slope):.0f} deg) = {least:.2f} m/s: "
        f"{rating.measured:.2f}; needed {need.value:g}, else the ball rolls round the lip before it flies"
    )
    remedies = tuple(ctx.remedy(a, 0.0, text) for a, text in SPEEDS[1:])
    place = Place(ctx.cabinet.leg_by_id["flight"].frame, "line", way.line[::4])
    told = Told(f"Off the kicker's lip to target {target.number}", because, (place,), remedies, way.ball)
    return Draft(f"lip/target {target.number}", ("rib-1",), rating, partial(said, told))


def _through_the_air(ctx: Context, target: Target, way: Flight) -> Draft:
    cabinet, need = ctx.cabinet, ctx.need("flight_clear")
    leg, radius = cabinet.leg_by_id["flight"], cabinet.balls.diameter / 2
    header = shapely.union_all([s.shape for s in leg.solids if s.part in ("header", "cleat-upper")])
    low, high = sorted((cabinet.marks.points["lane"][1], cabinet.marks.points["far"][1]))
    over = math.inf if header.is_empty else header.distance(shapely.LineString(way.line)) - radius
    side = float(np.minimum(way.y - low, high - way.y).min()) - radius - cabinet.shop.film
    room, what = min((over, "the header"), (side, "the wall"))
    rating = rate(need, room)
    because = (
        f"on its parabola the ball's middle is {room + radius:.2f} from {what} - {radius:.2f} = {room:.2f} mm; "
        f"needed {need.value:g}"
    )
    remedies = (
        ctx.remedy("lane.width", rating.short, "Make the lane wider")
        if what == "the wall"
        else ctx.remedy("board.length", 0.0, "Make the board longer, so that the header stands farther off"),
        ctx.remedy(f"targets.{target.number}.across", 0.0, "Move the target"),
        ctx.remedy("kicker.exit", 0.0, "Let the kicker throw lower"),
    )
    place = Place(leg.frame, "line", way.line[::4])
    told = Told(f"Flight to target {target.number} past {what}", because, (place,), remedies, way.ball)
    part = "header" if what == "the header" else "inner-wall"
    return Draft(f"target {target.number}", ("board", part), rating, partial(said, told))


@check(23, "hand-speed", FAMILY, "Speed a hand gives", "The board has no target.")
def hand_speed(ctx: Context) -> Iterator[Draft]:
    """The slowest throw that comes to each target is not faster than people throw."""
    people, need = people_of(ctx.cabinet), ctx.need("hand_reserve")
    hand, made = ctx.need("hand_speed").value, tried(ctx)
    most, whose = min((max(people.slow, people.fast), "fastest throw"), (hand, "a quick roll by hand"))
    for target in ctx.cabinet.targets:
        found, ball = made.scoring(target.number), None
        if len(found):
            slowest, aim = found[found[:, 0].argmin()].tolist()
            ball = Thrown(slowest, aim)
            rating = rate(need, most - slowest)
            left = f"{whose} {most:g} - slowest that scores {slowest:.2f} = {most - slowest:.2f}"
            because = f"{left} m/s; needed {need.value:g}"
        else:
            rating = unmet(need)
            because = (
                f"no throw up to {made.speed.max():.1f} m/s, straight on or aimed at a target, comes to it"
            )
        remedies = (
            ctx.remedy("people.fast", 0.0, "Reckon with faster throws"),
            ctx.remedy("board.gap", 0.0, "Set the board nearer"),
            ctx.remedy(f"targets.{target.number}.up", 0.0, "Lower the target"),
        )
        places = (ring(ctx, target),)
        told = Told(f"Slowest throw that scores target {target.number}", because, places, remedies, ball)
        yield Draft(f"target {target.number}", ("board",), rating, partial(said, told))

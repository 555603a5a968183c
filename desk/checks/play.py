"""Play: what throws of every speed come to, in motion and in closed form.

The motion runs with the nominal ball and the middle of every coefficient; see desk.ball. Which throws are tried is told
in desk.checks.trial.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.ball.course import LEGS, CannotPlayError
from desk.ball.motion import Path, drop, path
from desk.ball.throw import LOST, STOPPED
from desk.cabinet.model import Target
from desk.checks.context import CannotEvaluate, Context
from desk.checks.finding import Place
from desk.checks.legs import FAMILY as WAY
from desk.checks.legs import ball_at, balls_of, floor_runs, said, slope_draft, solid, surveys
from desk.checks.mechanics import GRAVITY, capture_speed, kink_share, roll_in_speed
from desk.checks.registry import Draft, Told, check, rate
from desk.checks.trial import STEP, Trial, course_of, people_of, trial
from desk.remember import whole
from desk.shapes.loop import Point

FAMILY = "Play"
UNDER_RAIL = (-35.0, 0.0, 35.0)
"""Where balls are let go under a rail, degrees from its top."""
SPEEDS = (
    ("people.fast", "Throw faster"),
    ("kicker.exit", "Let the kicker throw higher or lower"),
    ("board.tilt", "Tilt the board otherwise"),
)


def tried(ctx: Context) -> Trial:
    """Every throw that the checks of play look at."""
    return trial(whole(ctx.cabinet), ctx.need("hand_speed").value).finish()


def _human(ctx: Context, made: Trial, target: Target) -> NDArray[np.float64]:
    """(k, 2) speeds and aims of the sweep that come to a target, of the speeds people throw with."""
    people, found = people_of(ctx.cabinet), made.scoring(target.number)
    return found[(found[:, 0] >= people.slow) & (found[:, 0] <= people.fast)]


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
    """Of the speeds people throw with, how many come to each target at the aim that suits it best."""
    people, need, made = people_of(ctx.cabinet), ctx.need("speed_window"), tried(ctx)
    for target in ctx.cabinet.targets:
        found = _human(ctx, made, target)
        sums = {float(aim): STEP * int((found[:, 1] == aim).sum()) for aim in np.unique(found[:, 1])}
        aim, width = max(sums.items(), key=lambda s: s[1], default=(0.0, 0.0))
        speeds = found[found[:, 1] == aim][:, 0] if len(found) else np.zeros(0)
        between = f", between {speeds.min():.2f} and {speeds.max():.2f} m/s" if len(speeds) else ""
        because = (
            f"{width:.3f} m/s of {people.slow:g} to {people.fast:g} m/s score at {aim:+.1f} deg{between} "
            f"(tried every {STEP:g} m/s); needed {need.value:g}"
        )
        remedies = tuple(ctx.remedy(a, 0.0, text) for a, text in SPEEDS)
        remedies += (ctx.remedy(f"targets.{target.number}.up", 0.0, "Move the target"),)
        told = Told(f"Speeds that score target {target.number}", because, (_ring(ctx, target),), remedies)
        yield Draft(f"target {target.number}", ("board",), rate(need, width), partial(said, told))


def _ring(ctx: Context, target: Target) -> Place:
    return ball_at(ctx.cabinet.leg_by_id["face"], target.at, max(target.hole, 2 * target.rail))


def _scoring_paths(ctx: Context) -> Iterator[tuple[Target, Path]]:
    """The path of the middle one of the throws that come to each target, within what people throw."""
    made = tried(ctx)
    for target in ctx.cabinet.targets:
        found = _human(ctx, made, target)
        if len(found):
            speed, aim = found[len(found) // 2]
            yield target, path(whole(ctx.cabinet), float(speed), float(aim))


@check(22, "flight", FAMILY, "Flight to the board", "The board has no target.")
def flight(ctx: Context) -> Iterator[Draft]:
    """Before it lands, a ball that scores stays clear of the header and of the walls."""
    cabinet, need = ctx.cabinet, ctx.need("flight_clear")
    leg, radius = cabinet.leg_by_id["flight"], cabinet.balls.diameter / 2
    header = shapely.union_all([s.shape for s in leg.solids if s.part in ("header", "cleat-upper")])
    film = cabinet.shop.film
    low, high = sorted((cabinet.marks.points["lane"][1], cabinet.marks.points["far"][1]))
    ways = list(_scoring_paths(ctx))
    if cabinet.targets and not ways:
        raise CannotEvaluate("No throw that people make comes to a target.", ("board",))
    for target, way in ways:
        first = next((s for s in way.stretches if s.leg == "flight"), None)
        if first is None or len(first.points) < 2:
            continue
        line = shapely.LineString(first.points)
        over = header.distance(line) - radius if not header.is_empty else math.inf
        side = min(min(y - low, high - y) for _, y, _ in first.world) - radius - film
        room, what = min((over, "the header"), (side, "the wall"))
        rating = rate(need, min(room, 999.0))
        because = f"ball's middle {room + radius:.2f} from {what} - {radius:.2f} = {room:.2f} mm; needed {need.value:g}"
        place = Place(leg.frame, "line", tuple(first.points[:: max(1, len(first.points) // 24)]))
        remedies = (
            ctx.remedy("kicker.exit", 0.0, "Let the kicker throw lower"),
            ctx.remedy("lane.width", rating.short if what == "the wall" else 0.0, "Make the lane wider"),
            ctx.remedy("board.length", 0.0, "Make the board longer, so that the header stands higher"),
        )
        told = Told(f"Flight to target {target.number} past {what}", because, (place,), remedies)
        yield Draft(f"target {target.number}", ("board", "header"), rating, partial(said, told))


@check(23, "hand-speed", FAMILY, "Speed a hand gives", "The board has no target.")
def hand_speed(ctx: Context) -> Iterator[Draft]:
    """The slowest throw that comes to each target is not faster than people throw."""
    people, need = people_of(ctx.cabinet), ctx.need("hand_reserve")
    hand, made = ctx.need("hand_speed").value, tried(ctx)
    most, whose = min((people.fast, "fastest throw"), (hand, "a quick roll by hand"))
    for target in ctx.cabinet.targets:
        found = made.scoring(target.number)
        if not len(found):
            raise CannotEvaluate(
                f"No throw up to {made.speed.max():.1f} m/s comes to target {target.number}.",
                ("board",),
            )
        slowest = float(found[:, 0].min())
        rating = rate(need, most - slowest)
        because = (
            f"{whose} {most:g} - slowest that scores {slowest:.2f} = {most - slowest:.2f} m/s; "
            f"needed {need.value:g}"
        )
        remedies = (
            ctx.remedy("people.fast", 0.0, "Reckon with faster throws"),
            ctx.remedy("board.gap", 0.0, "Set the board nearer"),
            ctx.remedy(f"targets.{target.number}.up", 0.0, "Lower the target"),
        )
        told = Told(
            f"Slowest throw that scores target {target.number}", because, (_ring(ctx, target),), remedies
        )
        yield Draft(f"target {target.number}", ("board",), rating, partial(said, told))


@check(24, "hole-speed", FAMILY, "Into the hole at its speed", "No target has a rail.")
def hole_speed(ctx: Context) -> Iterator[Draft]:
    """Balls that have come to rest under a rail, and roll down from there, fall into its hole."""
    cabinet, need = ctx.cabinet, ctx.need("falls_in")
    tilt, radius = math.radians(cabinet.marks.lengths["tilt"]), cabinet.balls.diameter / 2
    lever = balls_of(ctx).rolling[0]
    for target in cabinet.targets:
        if target.kind not in ("ring", "horseshoe"):
            continue
        reach = max(target.rail - radius - 0.5, 0.0)
        caught = sum(_dropped(ctx, target, reach, turn) for turn in UNDER_RAIL)
        limit = capture_speed(target.hole / 2, radius, tilt, up=False)
        still = math.sqrt(GRAVITY * radius / 1000 * math.cos(tilt))
        run = max(reach + target.hole / 2 - radius, 0.0)
        rating = rate(need, float(caught))
        because = (
            f"{caught} of {len(UNDER_RAIL)} fall in; they roll {run:.1f} mm to the rim and come to "
            f"{roll_in_speed(run, tilt, lever):.2f} m/s; clean fall up to {limit:.2f} m/s "
            f"(x / t - g sin a t / 2), below sqrt(g r cos a) = {still:.2f} m/s a ball stays on the rim"
        )
        remedies = (
            ctx.remedy(f"targets.{target.number}.hole", 0.0, "Make the hole larger"),
            ctx.remedy(f"targets.{target.number}.rail", 0.0, "Bring the rail nearer"),
            ctx.remedy("board.tilt", 0.0, "Tilt the board less"),
        )
        told = Told(f"Ball that rolls into hole {target.number}", because, (_ring(ctx, target),), remedies)
        yield Draft(f"target {target.number}", ("board",), rating, partial(said, told))


def _dropped(ctx: Context, target: Target, reach: float, turn: float) -> bool:
    """Whether a ball let go under the rail, ``turn`` degrees from its top, ends in the target's hole."""
    a = math.radians(90.0 + turn)
    at = (target.at[0] + reach * math.cos(a), target.at[1] + reach * math.sin(a))
    try:
        return drop(whole(ctx.cabinet), "face", at).result == target.number
    except CannotPlayError:
        return False


@check(25, "ends", FAMILY, "Every thrown ball comes back")
def ends(ctx: Context) -> Iterator[Draft]:
    """Of the throws people make, none stops where no rest is meant, and few leave the cabinet."""
    made = tried(ctx)
    result = made.column("result")
    mine = ~made.swept
    total = int(mine.sum())
    for what, key, need in (("stop on the way", STOPPED, "stops"), ("leave the cabinet", LOST, "lost")):
        on = np.nonzero(mine & (result == key))[0]
        rating = rate(ctx.need(need), 100 * on.size / total, upper=True)
        because = f"{on.size} of {total} throws {what} = {rating.measured:.1f} %; at most {rating.needed:g} %"
        yield Draft(key_of(key), ("board",), rating, partial(_tell_end, ctx, made, on, because, what))


def key_of(result: int) -> str:
    """Word for how balls ended."""
    return {STOPPED: "stops", LOST: "lost"}[result]


def _tell_end(ctx: Context, made: Trial, on: NDArray[np.intp], because: str, what: str) -> Told:
    if not on.size:
        return Told(f"Balls that {what}", because)
    k = int(on[0])
    number = int(made.column("leg")[k])
    leg = ctx.cabinet.leg_by_id[LEGS[min(number, len(LEGS) - 1)]]
    x, y = made.column("at")[k]
    because += f"; first at {made.speed[k]:.3f} m/s, {made.aim[k]:+.1f} deg, on: {leg.label.lower()}"
    places = (
        (ball_at(leg, (float(x), float(y)), ctx.cabinet.balls.diameter),) if np.isfinite((x, y)).all() else ()
    )
    remedies = (
        ctx.remedy("people.fast", 0.0, "Throw less hard"),
        ctx.remedy("lane.guard", 0.0, "Make the sides higher"),
    )
    return Told(f"Balls that {what}", because, places, remedies)

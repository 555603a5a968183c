"""Cautions for the people who get the cabinet."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from desk.checks.context import Context
from desk.checks.needs import Need
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check, rate

BANNED_UNDER = 3.0
"""Years; the age below which a small ball is banned in a toy (16 CFR 1500.18(a)(17))."""
LABEL_UNDER = 8.0
"""Years; from 3 to under this age a toy with a small ball carries a warning label (16 CFR 1500.19)."""


@check(54, "small-ball", "People", "Small ball")
def small_ball(ctx: Context) -> Iterator[Draft]:
    """The smallest ball against the gauges for small balls and small parts.

    A small ball is no fault of the cabinet unless the youngest player is under three. It stays a caution at any
    age, because younger children come along.
    """
    ball = ctx.cabinet.balls.smallest
    gauge, cylinder = ctx.need("small_ball"), ctx.need("small_part")
    age = ctx.cabinet.marks.lengths.get("youngest player")
    if age is None:
        raise CannotEvaluate("the cabinet does not tell how old the youngest player is")
    rating = rate(gauge, ball)
    if rating.status != "clear":
        rating = rating._replace(status="conflict" if age < BANNED_UNDER else "tight")
    yield Draft("ball", (), rating, partial(_tell, ctx, ball, gauge, cylinder, age, rating))


def _tell(ctx: Context, ball: float, gauge: Need, cylinder: Need, age: float, rating: Rating) -> Told:
    kind = "small part and small ball" if ball <= cylinder.value else "small ball"
    because = f"{ball:.2f} - {gauge.value:.2f} gauge = {ball - gauge.value:.2f} mm: "
    if rating.status == "clear":
        title, because = "Size of the balls", because + "the ball does not pass the gauge"
    else:
        title = "Balls small enough to choke on"
        because += (
            f"a {kind}. Choking hazard; not for children under {BANNED_UNDER:.0f} years. "
            f"Youngest player {age:g} years{_label(age)}"
        )
    remedies = [
        # all else is drawn round the ball: a value to set would be a new cabinet, not a remedy
        ctx.remedy("ball.diameter", 0.0, "Use larger balls, in a cabinet drawn round them"),
        ctx.remedy("ball.spread", 0.0, "Sort out the smallest balls"),
    ]
    if age < BANNED_UNDER:
        remedies.append(ctx.remedy("people.youngest", BANNED_UNDER - age, "Keep it for older players"))
    return Told(title, because, (), tuple(remedies))


def _label(age: float) -> str:
    """What the age asks for in words."""
    if age < BANNED_UNDER:
        return ": banned"
    return ": label needed" if age < LABEL_UNDER else ""

"""Cautions for the people who get the cabinet."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from desk.checks.context import Context
from desk.checks.needs import Need
from desk.checks.registry import Draft, Rating, Told, check, rate

BANNED_UNDER = 3.0
"""Years; the age below which a small ball is banned in a toy (16 CFR 1500.18(a)(17))."""


@check(54, "small-ball", "People", "Small ball")
def small_ball(ctx: Context) -> Iterator[Draft]:
    """The smallest ball against the gauges for small balls and small parts.

    A small ball is a caution to print, and no fault of the cabinet, unless it is made for children under three.
    """
    ball = ctx.cabinet.balls.smallest
    gauge, cylinder, age = ctx.need("small_ball"), ctx.need("small_part"), ctx.need("youngest_player")
    rating = rate(gauge, ball)
    if rating.status != "clear":
        rating = rating._replace(status="conflict" if age.value < BANNED_UNDER else "tight")
    yield Draft("ball", (), rating, partial(_tell, ctx, ball, gauge, cylinder, age, rating))


def _tell(ctx: Context, ball: float, gauge: Need, cylinder: Need, age: Need, rating: Rating) -> Told:
    kind = "small part and small ball" if ball <= cylinder.value else "small ball"
    because = f"{ball:.2f} - {gauge.value:.2f} gauge = {ball - gauge.value:.2f} mm: "
    if rating.status == "clear":
        title, because = "Size of the balls", because + "the ball does not pass the gauge"
    else:
        title = "Balls small enough to choke on"
        because += (
            f"a {kind}. Choking hazard; not for children under {BANNED_UNDER:.0f} years. "
            f"Made for {age.value:.0f} years and up"
        )
    remedies = (
        ctx.remedy("ball.diameter", rating.short, "Use larger balls"),
        ctx.remedy("ball.spread", 0.0, "Sort out the smallest balls"),
    )
    return Told(title, because, (), remedies)

"""Stacks of parts that are laid face to face and slid between two walls."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from desk.cabinet.model import AxisJoint, Part
from desk.checks.context import Context, along_axis, lines_up, span
from desk.checks.registry import Draft, Rating, Told, check, rate, worse

NOTHING = "No rod runs through a stack of parts in this cabinet."


@check(47, "stack", "Cutting", "Stack against the space it goes into", NOTHING)
def stack(ctx: Context) -> Iterator[Draft]:
    """Measured thicknesses together against the space between the walls that a rod ties the stack to: when every layer
    is as thick as the thickest reading of its stock, and when every one is as thin as the thinnest.
    """
    for joint in ctx.of_kind("rod"):
        parts = [ctx.part(m) for m in joint.members]
        if len(parts) < 3 or not all(lines_up(p, joint) for p in parts):
            continue
        space = span(parts[-1], joint)[0] - span(parts[0], joint)[1]
        layers = parts[1:-1]
        film = 2 * ctx.film_in_joints * (len(layers) + 1)
        spare = space - sum(p.thickness for p in layers) - film
        differs = sum(ctx.spread(p) for p in layers)
        wide = rate(ctx.need("stack_high"), spare + differs, upper=True)
        rating = worse(rate(ctx.need("stack_low"), spare - differs), wide)
        tell = partial(_tell, ctx, joint, layers, (space, film, differs), rating, wide is rating)
        like = (joint.members[0].part, joint.members[-1].part, len(layers), round(spare, 6))
        yield Draft(joint.id, tuple(p.id for p in parts), rating, tell, like)


def _tell(
    ctx: Context,
    joint: AxisJoint,
    layers: list[Part],
    room: tuple[float, float, float],
    rating: Rating,
    wide: bool,
) -> Told:
    space, film, differs = room
    sums = _sum(layers)
    less = f" - {film:.2f} film" if film else ""
    limit = f"at most {rating.needed:.2f}" if wide else f"needed {rating.needed:.2f}"
    if differs:
        less += f" {'+' if wide else '-'} {differs:.2f} as their readings differ"
    because = f"{space:.2f} - {sums}{less} = {rating.measured:.2f} mm; {limit}"
    change = -rating.short if wide else rating.short
    text = "Make the space narrower" if wide else "Make the space wider"
    remedies = [
        ctx.remedy("lane.width", change, text),
        ctx.remedy("kicker.ribs", 0.0, "Use another number of ribs"),
    ]
    for address in dict.fromkeys(ctx.stock_address(p) for p in layers):
        remedies.append(ctx.remedy(address, -change / len(layers), "Take stock of another thickness"))
    start = span(ctx.part(joint.members[0]), joint)[1]
    title = f"Stack of {len(layers)}: {layers[0].label} to {layers[-1].label}"
    return Told(title, because, (along_axis(joint, start + space, start),), tuple(remedies))


def _sum(layers: list[Part]) -> str:
    counts: dict[float, int] = {}
    for part in layers:
        counts[part.thickness] = counts.get(part.thickness, 0) + 1
    return " - ".join(f"{n} x {t:.2f}" for t, n in counts.items())

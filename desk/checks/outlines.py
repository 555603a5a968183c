"""Outlines, openings and pockets that cross themselves: shapes that no bit can follow.

A design can be pulled so far that two edges of a part pass each other. The cabinet is still built and drawn from the
largest clean piece of the shape, so this check says that what is seen is not what was asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from desk.cabinet.model import Part, Status
from desk.checks.context import Context, patch
from desk.checks.registry import Draft, Rating, Told, check
from desk.shapes.loop import Loop

SILHOUETTE = ("panel-return", "panel-far", "inner-wall", "spacer-upper")
"""Parts that take their upper edge from the silhouette."""


@check(57, "clean-outline", "Cutting", "Outlines keep clear of themselves")
def clean_outline(ctx: Context) -> Iterator[Draft]:
    """Every loop of every part is simple."""
    need = ctx.need("clean_outline")
    for part in ctx.cabinet.parts:
        crossed = [(name, loop) for name, loop in _loops(part) if not loop.simple]
        count = float(len(crossed))
        status: Status = "conflict" if crossed else "clear"
        rating = Rating(status, count, 0.0, -count if crossed else None, need.unit, need.source)
        yield Draft(part.id, (part.id,), rating, partial(_tell, ctx, part, crossed), (part.outline, status))


def _loops(part: Part) -> Iterator[tuple[str, Loop]]:
    yield "outline", part.outline
    for cutout in part.cutouts:
        yield cutout.use, cutout.loop
    for pocket in part.pockets:
        yield pocket.use, pocket.loop
        for island in pocket.islands:
            yield "rail", island


def _tell(ctx: Context, part: Part, crossed: list[tuple[str, Loop]]) -> Told:
    if not crossed:
        return Told(f"Outline of {part.label}", "no edge crosses another")
    names = ", ".join(dict.fromkeys(name for name, _ in crossed))
    because = f"crosses itself: {names}; what is drawn is the largest clean piece"
    places = tuple(patch(part, loop) for _, loop in crossed)
    addresses: tuple[str, ...] = ()
    if part.id.startswith(SILHOUETTE):
        addresses = ("silhouette.1.z", "silhouette.2.z", "silhouette.3.z")
    elif part.id.startswith(("lip-block", "lifter", "spacer-lower")):
        addresses = ("return.floor_height", "lifter.pin_x", "lifter.pin_z")
    elif part.id.startswith("rib-"):
        addresses = ("lane.deck_height", "lane.base_height")
    elif part.id == "board":
        addresses = ("board.tab", "board.length")
    remedies = tuple(ctx.remedy(a, 0.0, "Move this back until the outline is clean") for a in addresses)
    return Told(f"Outline of {part.label} crosses itself", because, places, remedies)

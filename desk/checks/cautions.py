"""Cautions for the person who makes the cabinet: dust, noise, the router, lacquer.

They are told for every cabinet, with official figures, and count as tight where a stock asks for more than the usual
care. A stock of which nothing is known is a conflict: nobody could say what its dust does.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from desk.cabinet.model import Cabinet, Part, Status, Stock
from desk.checks.context import Context, patch
from desk.checks.finding import Remedy
from desk.checks.registry import CannotEvaluate, Draft, Rating, Told, check
from desk.checks.strength import stock_choice
from desk.shop.exposure import Exposure, exposure, exposures, formaldehyde_limit
from desk.shop.safety import safety_limits
from desk.shop.sourced import Source

WORST = ("A1", "A2", "A4")
"""Classes of dust, the worst first."""
CAREFUL = "A1"
"""A stock of this class asks for more than the usual care."""


@check(56, "cautions", "People", "Dust, noise and lacquer")
def cautions(ctx: Context) -> Iterator[Draft]:
    """One finding that tells the cautions of this cabinet, and one for each stock that nothing is known of."""
    used = _used(ctx.cabinet)
    if not used:
        raise CannotEvaluate("there is no part, and so nothing to be careful with")
    known: list[tuple[Stock, Part, Exposure]] = []
    for stock, part in used:
        found = exposure(stock.material, ctx.cabinet.tables)
        if found is None:
            yield _unknown(stock, part)
        else:
            known.append((stock, part, found))
    if known:
        yield _told(ctx, known)


def _used(cabinet: Cabinet) -> list[tuple[Stock, Part]]:
    """Each stock that parts are cut from, with the first of them."""
    first: dict[str, Part] = {}
    for part in cabinet.parts:
        first.setdefault(part.stock, part)
    return [(cabinet.shop.stock(key), part) for key, part in first.items()]


def _unknown(stock: Stock, part: Part) -> Draft:
    rating = Rating("conflict", None, None, None, "", Source("nothing is known of this material", "derived"))
    told = Told(
        f"Dust of {stock.label}",
        f"nothing is known of what the dust of {stock.material!r} does; find the maker's sheet, and let the material "
        f"start from one that is known: {', '.join(exposures())}",
        (patch(part, part.outline),),
        (Remedy(stock_choice(part), None, "Take a stock of which it is known"),),
    )
    return Draft(f"unknown/{stock.id}", (part.id,), rating, lambda: told)


def _asks_more(known: Exposure) -> bool:
    return known.dust == CAREFUL or known.formaldehyde


def _told(ctx: Context, known: list[tuple[Stock, Part, Exposure]]) -> Draft:
    known = sorted(known, key=lambda row: (not _asks_more(row[2]), WORST.index(row[2].dust)))
    worst = known[0][2]
    status: Status = "tight" if _asks_more(worst) else "clear"
    source = formaldehyde_limit()[1] if worst.formaldehyde and worst.dust != CAREFUL else worst.source
    rating = Rating(status, None, None, None, "", source)
    more = [row for row in known if _asks_more(row[2])]
    parts = tuple(part.id for _, part, _ in more or known)
    return Draft("cautions", parts, rating, partial(_words, ctx, known, more))


def _words(
    ctx: Context, known: list[tuple[Stock, Part, Exposure]], more: list[tuple[Stock, Part, Exposure]]
) -> Told:
    limits = {key: limit.value for key, limit in safety_limits().items()}
    sentences = [f"Dust of {_named(known)}"]
    sentences.append(
        f"In the air at most {limits['dust-advised']:g} mg/m3 as advised (NIOSH), {limits['dust-total']:g} by law "
        f"(OSHA), {limits['dust-hardwood-eu']:g} of hardwood in the EU: draw it off where it arises, wear a mask"
    )
    if any(found.formaldehyde for *_, found in known):
        limit, source = formaldehyde_limit()
        sentences.append(
            f"The glue gives off formaldehyde: at most {limit:g} ppm ({source.text.split(',')[0]}): air the room"
        )
    sentences.append(
        f"A router is louder than {limits['noise-advised']:g} dBA, the most advised over a day (NIOSH): wear ear "
        "and eye protection, clamp the work, pull the plug before changing a bit"
    )
    if ctx.cabinet.shop.film > 0:
        sentences.append(
            "Vapour of lacquer burns: no flame or spark, air the room, rags into a closed metal can; on a toy no "
            f"finish with more than {limits['lead']:g} ppm of lead (16 CFR 1303)"
        )
    sentences.append("Local codes and the makers' sheets go before all of this")
    remedies = tuple(
        Remedy(stock_choice(part), None, f"Take another stock than {stock.label}") for stock, part, _ in more
    )
    if ctx.cabinet.shop.film > 0:
        remedies += (ctx.remedy("finish.coats", 0.0, "Finish it with something that has no solvent"),)
    title = "More than the usual care with dust" if more else "Dust, noise and lacquer: usual care"
    places = tuple(patch(part, part.outline) for _, part, _ in more)
    return Told(title, ". ".join(sentences) + ".", places, remedies)


def _named(known: list[tuple[Stock, Part, Exposure]]) -> str:
    """Classes of dust with the stocks in them, the worst first."""
    rows = []
    for name in WORST:
        of = [(stock.label, found.means) for stock, _, found in known if found.dust == name]
        if of:
            rows.append(f"{', '.join(label for label, _ in of)}: {name}, {of[0][1]}")
    return "; ".join(rows)

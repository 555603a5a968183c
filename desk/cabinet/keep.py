"""Keeps the last value built under each name, so that an unchanged part stays the very same object from step to step.

Shapes, sections and checks are cached on parts, loops and legs. While a dimension is dragged most of these
come out equal to the ones before; handing back the old object spares hashing it again and keeps what was
worked out on it. Values are frozen, so sharing them is safe; the memory is one cabinet.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from msgspec.structs import replace

from desk.cabinet.model import Leg, Part, Shop

_parts: dict[tuple[str, bool], Part] = {}
_legs: dict[tuple[str, bool], Leg] = {}
_shop: list[Shop] = []


def kept_part(part: Part, turned: bool = False) -> Part:
    """The part, or the equal one built last under its id; a part that only moved keeps its old loops.

    ``turned`` keeps the parts of a reflected cabinet apart from those it is reflected from.
    """
    key = (part.id, turned)
    old = _parts.get(key)
    if old is not None and old != part:
        part = replace(
            part,
            outline=old.outline if old.outline == part.outline else part.outline,
            cutouts=old.cutouts if old.cutouts == part.cutouts else part.cutouts,
            pockets=old.pockets if old.pockets == part.pockets else part.pockets,
        )
    elif old is not None:
        return old
    _parts[key] = part
    return part


def kept_leg(leg: Leg, turned: bool = False) -> Leg:
    """The leg, or the equal one built last under its id."""
    key = (leg.id, turned)
    old = _legs.get(key)
    if old is not None and old == leg:
        return old
    _legs[key] = leg
    return leg


def kept_shop(shop: Shop) -> Shop:
    """The shop, or the equal one built last."""
    if not _shop or _shop[0] != shop:
        _shop[:] = [shop]
    return _shop[0]


@contextmanager
def kept_aside() -> Iterator[None]:
    """Build something else for a while; afterwards what was kept before is kept again."""
    parts, legs, shop = dict(_parts), dict(_legs), list(_shop)
    try:
        yield
    finally:
        _parts.clear()
        _parts.update(parts)
        _legs.clear()
        _legs.update(legs)
        _shop[:] = shop

"""Finds the parts that are the same piece of wood, to share one drawing and one line of the cut list."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from desk.cabinet.model import Part
from desk.flat.layout import footprint
from desk.shapes.loop import Vertex

CLOSE = 1e-5
"""Parts whose every coordinate differs by less than this, in mm, are the same."""

_NUMBER = re.compile(r"[\s,:#-]*(?:\blayer\s+)?\(?\b\d+\)?$")


@dataclass(frozen=True)
class Group:
    """Parts cut alike, in the cabinet's order, and the label they share."""

    label: str
    parts: tuple[Part, ...]


def groups(parts: Sequence[Part], by_hand: Mapping[str, tuple[str, ...]] | None = None) -> tuple[Group, ...]:
    """Group parts by stock, thickness, grain, outline and every feature; mirror images stay apart.

    ``by_hand`` tells work that is in no feature, by part id: parts that differ in it stay apart too. Names of
    parts and joints and the place in the cabinet do not count.
    """
    rows: list[tuple[tuple[object, ...], NDArray[np.float64], list[Part]]] = []
    for part in parts:
        kinds, numbers = _signature(part)
        kinds = (*kinds, (by_hand or {}).get(part.id, ()))
        for known, values, members in rows:
            if known == kinds and np.allclose(values, numbers, rtol=0.0, atol=CLOSE):
                members.append(part)
                break
        else:
            rows.append((kinds, numbers, [part]))
    return tuple(Group(_shared(members), tuple(members)) for _, _, members in rows)


def _shared(members: Sequence[Part]) -> str:
    """The members' label without its running number, or the first label and how many more."""
    if len(members) == 1:
        return members[0].label
    stems = {_NUMBER.sub("", m.label) for m in members}
    if len(stems) == 1 and (stem := stems.pop()):
        return stem
    return f"{members[0].label} and {len(members) - 1} alike"


def _signature(part: Part) -> tuple[tuple[object, ...], NDArray[np.float64]]:
    """What has to be equal, and the numbers that have to be close, counted from the footprint's corner."""
    kinds: list[object] = [part.stock]
    numbers: list[float] = [part.thickness, *part.grain]
    ox, oy, _, _ = footprint(part)

    def path(name: str, vertices: Sequence[Vertex]) -> None:
        kinds.append((name, len(vertices)))
        for x, y, bulge in vertices:
            numbers.extend((x - ox, y - oy, bulge))

    path("outline", part.outline.points)
    for cutout in part.cutouts:
        path("cutout", cutout.loop.points)
    for d in part.drills:
        kinds.append(("drill", d.face, d.depth is None, d.by_hand))
        numbers.extend((d.at[0] - ox, d.at[1] - oy, d.diameter, d.depth or 0.0, d.head))
    for pocket in part.pockets:
        path(f"pocket {pocket.face}", pocket.loop.points)
        numbers.append(pocket.depth)
        for island in pocket.islands:
            path("island", island.points)
    for groove in part.grooves:
        numbers.extend((groove.angle, groove.depth))
        for vertices in groove.paths:
            path(f"groove {groove.face}", vertices)
    for edge in part.breaks:
        path(f"{edge.kind} {edge.face} {edge.closed}", edge.path)
        numbers.append(edge.size)
    return tuple(kinds), np.array(numbers)

"""Parts as solids in space, by their frames, outlines, openings and pockets alone, without the project's sections."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from desk.cabinet.model import Part, Shop
from desk.shapes.offset import closed_by_bit, opened_by_bit

Points = NDArray[np.float64]


def local(part: Part, points: Points) -> Points:
    """Local (x, y, depth) of world points, (n, 3)."""
    f = part.frame
    axes = np.array([f.u, f.v, np.negative(f.normal)])
    return (points - np.array(f.origin)) @ axes.T


@dataclass(frozen=True)
class Block:
    """The wood of one part: a face shape, a thickness, and pockets as (depth, shape)."""

    part: Part
    face: shapely.Geometry
    pockets: tuple[tuple[float, shapely.Geometry], ...]

    def holds(self, points: Points, skin: float = 0.0) -> NDArray[np.bool_]:
        """Which world points lie in the wood, at least ``skin`` below its surface (negative: above it)."""
        here = local(self.part, points)
        face = self.face.buffer(-skin) if skin else self.face
        depth = here[:, 2]
        inside = (depth > skin) & (depth < self.part.thickness - skin)
        inside[inside] = shapely.contains_xy(face, here[inside, 0], here[inside, 1])
        for floor, shape in self.pockets:
            cut = shape.buffer(skin) if skin else shape
            hollow = inside & (depth < floor + skin)
            hollow[hollow] = shapely.contains_xy(cut, here[hollow, 0], here[hollow, 1])
            inside &= ~hollow
        return inside

    def box(self) -> tuple[Points, Points]:
        """Least and greatest world coordinates."""
        x0, y0, x1, y1 = self.part.outline.bounds
        corners = np.array(
            [
                self.part.frame.world(x, y, d)
                for x in (x0, x1)
                for y in (y0, y1)
                for d in (0.0, self.part.thickness)
            ]
        )
        return corners.min(axis=0), corners.max(axis=0)


def drawn(part: Part) -> Block:
    """The part as drawn, bits without size."""
    face = shapely.Polygon(part.outline.coords)
    for cutout in part.cutouts:
        face = face.difference(shapely.Polygon(cutout.loop.coords))
    pockets = []
    for p in part.pockets:
        islands = [shapely.Polygon(i.coords) for i in p.islands]
        pockets.append((p.depth, shapely.Polygon(p.loop.coords).difference(shapely.union_all(islands))))
    return Block(part, face, tuple(pockets))


def cut(part: Part, shop: Shop) -> Block:
    """The part as round bits leave it."""
    made = drawn(part)
    profile, pocket = (shop.bit(key).diameter / 2 for key in (shop.profile_bit, shop.pocket_bit))
    face = closed_by_bit(shapely.Polygon(part.outline.coords), profile)
    for cutout in part.cutouts:
        face = face.difference(opened_by_bit(shapely.Polygon(cutout.loop.coords), profile))
    return Block(part, face, tuple((d, opened_by_bit(s, pocket)) for d, s in made.pockets))

"""The same cabinet with its return on the other side.

Reflecting a flat part in space turns it into its mirror image: the outline is mirrored and cut from the same face A, so
the part is another part and not the old one turned round. Drawing planes keep the way they are looked at.
"""

from __future__ import annotations

import shapely
from msgspec.structs import replace
from shapely import affinity

from desk.cabinet.model import AxisJoint, Cabinet, Landmarks, Leg, Part, Pocket, Solid, TabJoint, Zone
from desk.shapes.frame import Frame, Vec
from desk.shapes.loop import Vertex

FROM_THE_LEFT = ("plan", "rear")
"""Drawing planes that count from the player's left, on whichever side the return is."""


def mirrored(cabinet: Cabinet, across: float) -> Cabinet:
    """The cabinet reflected in its middle plane; ``across`` is its whole width in mm."""
    return replace(
        cabinet,
        parts=tuple(mirrored_part(p, across) for p in cabinet.parts),
        axis_joints=tuple(_axis(j, across) for j in cabinet.axis_joints),
        tab_joints=tuple(_tab(j) for j in cabinet.tab_joints),
        legs=tuple(_leg(leg, across) for leg in cabinet.legs),
        marks=Landmarks(
            {k: _point(p, across) for k, p in cabinet.marks.points.items()}, cabinet.marks.lengths
        ),
        planes={k: f if k in FROM_THE_LEFT else _plane(f, across) for k, f in cabinet.planes.items()},
    )


def _point(p: Vec, across: float) -> Vec:
    return (p[0], across - p[1], p[2])


def mirrored_part(part: Part, across: float) -> Part:
    """One part reflected; local x changes sign, so every feature is mirrored with it."""
    return replace(
        part,
        outline=part.outline.mirrored(),
        frame=part.frame.mirrored(across),
        cutouts=tuple(replace(c, loop=c.loop.mirrored()) for c in part.cutouts),
        drills=tuple(replace(h, at=(-h.at[0], h.at[1])) for h in part.drills),
        pockets=tuple(_pocket(p) for p in part.pockets),
        grooves=tuple(replace(g, paths=tuple(_run(r) for r in g.paths)) for g in part.grooves),
        breaks=tuple(replace(b, path=_run(b.path)) for b in part.breaks),
        grain=(-part.grain[0], part.grain[1]),
    )


def _pocket(pocket: Pocket) -> Pocket:
    return replace(pocket, loop=pocket.loop.mirrored(), islands=tuple(i.mirrored() for i in pocket.islands))


def _run(path: tuple[Vertex, ...]) -> tuple[Vertex, ...]:
    return tuple((-x, y, -b) for x, y, b in path)


def _axis(joint: AxisJoint, across: float) -> AxisJoint:
    dx, dy, dz = joint.direction
    return replace(joint, at=_point(joint.at, across), direction=(dx, -dy, dz))


def _tab(joint: TabJoint) -> TabJoint:
    return replace(joint, side="high" if joint.side == "low" else "low")


def _plane(frame: Frame, across: float) -> Frame:
    return Frame(_point(frame.origin, across), frame.u, frame.v)


def _leg(leg: Leg, across: float) -> Leg:
    frame = _plane(leg.frame, across)
    if abs(leg.frame.u[1]) < 0.5:
        return replace(leg, frame=frame)

    def flip(shape: shapely.Geometry) -> shapely.Geometry:
        return affinity.scale(shape, -1.0, 1.0, origin=(0, 0))

    def zones(old: tuple[Zone, ...]) -> tuple[Zone, ...]:
        return tuple(Zone(z.name, flip(z.shape)) for z in old)

    return replace(
        leg,
        frame=frame,
        room=flip(leg.room),
        solids=tuple(Solid(s.part, flip(s.shape)) for s in leg.solids),
        pull=(-leg.pull[0], leg.pull[1]),
        sources=zones(leg.sources),
        sinks=zones(leg.sinks),
        rests=zones(leg.rests),
    )

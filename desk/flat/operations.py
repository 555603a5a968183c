"""Turns a part into the flat operations that make it, as values, each on a layer that tells it apart.

All geometry is in part coordinates: seen on face A, work on face B seen through the wood. Loops run
counter-clockwise. A hole right through is drilled from face A with everything else, whichever face its
countersink is on. What the machine does not do (countersinks, broken edges, holes drilled at assembly) gets
layers of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from desk.cabinet.model import AxisJoint, Cabinet, Drill, EdgeBreak, Face, Part
from desk.flat.layers import Layer, layer
from desk.shapes.frame import dot
from desk.shapes.loop import Loop, Point, Vertex

Kind = Literal["profile outside", "profile inside", "pocket", "drill", "v-groove", "edge by hand", "by hand"]
ALONG_FACE = 0.5
"""A hole whose axis leans out of the face by less than 30 degrees (sine below this) goes into an edge."""


@dataclass(frozen=True)
class Operation:
    """One thing to do to a part. ``depth`` None goes right through; unused fields keep their zero.

    ``loops`` are closed, ``islands`` are left standing in them, ``paths`` are open, ``points`` are centres
    of holes of ``diameter``. ``said`` is the operation in words, without its count.
    """

    kind: Kind
    layer: Layer
    face: Face
    said: str
    depth: float | None = None
    diameter: float = 0.0
    angle: float = 0.0
    loops: tuple[Loop, ...] = ()
    islands: tuple[Loop, ...] = ()
    paths: tuple[tuple[Vertex, ...], ...] = ()
    points: tuple[Point, ...] = ()

    @property
    def count(self) -> int:
        """How many separate cuts this is."""
        return len(self.loops) + len(self.paths) + len(self.points)


def operations(part: Part) -> tuple[Operation, ...]:
    """Every operation of a part: profiles first, then pockets, drilling, grooves, and the work by hand."""
    profile = Operation(
        "profile outside", layer("profile_out"), "A", "outside profile", loops=(part.outline,)
    )
    found = [profile]
    if part.cutouts:
        loops = tuple(c.loop for c in part.cutouts)
        found.append(Operation("profile inside", layer("profile_in"), "A", "opening", loops=loops))
    found += [_pocket(p.loop, p.islands, p.depth, p.face) for p in part.pockets]
    machine = [d for d in part.drills if not d.by_hand]
    found += _holes(machine, "drill")
    for groove in part.grooves:
        on = layer("vgroove", groove.face, groove.angle, depth=groove.depth)
        said = f"V-groove {groove.angle:g} degrees, {groove.depth:.2f} mm deep, face {groove.face}"
        found.append(
            Operation("v-groove", on, groove.face, said, groove.depth, angle=groove.angle, paths=groove.paths)
        )
    found += _holes([d for d in part.drills if d.by_hand], "by hand")
    found += _countersinks(part.drills)
    found += [_edge(e) for e in part.breaks]
    return tuple(found)


def has_face_b(part: Part) -> bool:
    """Whether the machine has to work on face B."""
    return any(o.face == "B" and o.layer.cut for o in operations(part))


def _pocket(loop: Loop, islands: tuple[Loop, ...], depth: float, face: Face) -> Operation:
    said = f"pocket {depth:.2f} mm deep, face {face}"
    return Operation(
        "pocket", layer("pocket", face, depth=depth), face, said, depth, loops=(loop,), islands=islands
    )


def _holes(drills: list[Drill], kind: Literal["drill", "by hand"]) -> list[Operation]:
    """One operation for all the holes of one diameter, depth and face, in the order they are first met."""
    rows: dict[str, tuple[Drill, list[Point]]] = {}
    prefix = "drill" if kind == "drill" else "hand_drill"
    for d in drills:
        name = _hole_layer(prefix, d).name
        rows.setdefault(name, (d, []))[1].append(d.at)
    found = []
    for d, points in rows.values():
        face: Face = "A" if d.depth is None else d.face
        deep = "through" if d.depth is None else f"{d.depth:.2f} mm deep, face {face}"
        said = f"hole {d.diameter:.2f} mm across, {deep}"
        on = _hole_layer(prefix, d)
        found.append(Operation(kind, on, face, said, d.depth, diameter=d.diameter, points=tuple(points)))
    return found


def _hole_layer(prefix: str, drill: Drill) -> Layer:
    if drill.depth is None:
        return layer(f"{prefix}_through", diameter=drill.diameter)
    return layer(prefix, drill.face, diameter=drill.diameter, depth=drill.depth)


def _countersinks(drills: tuple[Drill, ...]) -> list[Operation]:
    rows: dict[str, tuple[Drill, list[Point]]] = {}
    for d in drills:
        if d.head > 0:
            rows.setdefault(layer("countersink", d.face, diameter=d.head).name, (d, []))[1].append(d.at)
    return [
        Operation(
            "by hand",
            layer("countersink", d.face, diameter=d.head),
            d.face,
            f"countersink {d.head:.2f} mm across, face {d.face}",
            diameter=d.head,
            points=tuple(points),
        )
        for d, points in rows.values()
    ]


def _edge(edge: EdgeBreak) -> Operation:
    on = layer(edge.kind, edge.face, size=edge.size)
    said = f"{edge.kind} {edge.size:.2f} mm, face {edge.face}"
    if edge.closed:
        loop = Loop(edge.path)
        return Operation(
            "edge by hand", on, edge.face, said, loops=(loop if loop.area > 0 else loop.reversed(),)
        )
    return Operation("edge by hand", on, edge.face, said, paths=(edge.path,))


def edge_holes(cabinet: Cabinet, part: Part) -> tuple[str, ...]:
    """Holes to be drilled by hand into the part's edges, in words: they stand in no drawing of a face."""
    counts: dict[str, int] = {}
    for joint in cabinet.axis_joints:
        for said in _into_edge(joint, part):
            counts[said] = counts.get(said, 0) + 1
    return tuple(counted(n, said) for said, n in counts.items())


def _into_edge(joint: AxisJoint, part: Part) -> list[str]:
    if abs(dot(joint.direction, part.frame.normal)) >= ALONG_FACE:
        return []
    return [
        f"hole {m.diameter:.2f} mm across into the edge, "
        + ("right through" if m.depth is None else f"{m.depth:.2f} mm deep")
        + f", for a {joint.kind}"
        for m in joint.members
        if m.part == part.id
    ]


def counted(number: int, said: str) -> str:
    """A count and a phrase: "4 x hole 6.10 mm across, through"."""
    return said if number == 1 else f"{number} x {said}"

"""What a cabinet is made of. Everything downstream (views, checks, flat parts) reads these values and nothing else.

Part coordinates: looking at face A with it turned towards you, x runs right and y up, in mm; depth counts from the face
a feature is cut from. Face A is the face that lies up on the machine; face B is the other one. Loops of outlines,
cutouts and pockets run counter-clockwise. Thickness is the measured thickness of the stock.
"""

from __future__ import annotations

from functools import cached_property
from typing import Literal

import shapely
from msgspec import Struct, field
from msgspec.structs import replace

from desk.cabinet.supplies import Balls, Bit, DowelInDrawer, Drawer, ScrewInDrawer, Shop, Stock
from desk.shapes.frame import Frame, Vec
from desk.shapes.loop import Loop, Point, Vertex
from desk.shop.tables import SHIPPED, Tables

__all__ = [
    "AxisJoint",
    "Balls",
    "Bit",
    "Cabinet",
    "Cutout",
    "DowelInDrawer",
    "Drawer",
    "Drill",
    "DrillUse",
    "EdgeBreak",
    "Face",
    "Groove",
    "Landmarks",
    "Leg",
    "Member",
    "Part",
    "Pocket",
    "PocketUse",
    "ScrewInDrawer",
    "Shop",
    "Side",
    "Solid",
    "Status",
    "Stock",
    "TabJoint",
    "Target",
    "Zone",
]

Face = Literal["A", "B"]
DrillUse = Literal["dowel", "pilot", "clearance", "rod", "pin"]
PocketUse = Literal["mortise", "carving", "rebate"]
Side = Literal["low", "high"]
Status = Literal["conflict", "tight", "clear"]


class Drill(Struct, frozen=True):
    """A round hole. ``depth`` None goes through. ``by_hand`` holes are drilled at assembly, not by the machine."""

    at: Point
    diameter: float
    depth: float | None
    use: DrillUse
    joint: str
    face: Face = "A"
    head: float = 0.0
    """Diameter of the countersink at the face, 0 for none."""
    by_hand: bool = False


class Pocket(Struct, frozen=True):
    """A flat-bottomed recess. ``islands`` are left standing. Where it runs over the outline it is open at that edge."""

    loop: Loop
    depth: float
    use: PocketUse
    joint: str = ""
    face: Face = "A"
    islands: tuple[Loop, ...] = ()


class Cutout(Struct, frozen=True):
    """An opening right through the part; ``use`` names it ("target hole 2")."""

    loop: Loop
    use: str


class Groove(Struct, frozen=True):
    """A V-groove along open paths of vertices; ``angle`` is the bit's included angle in degrees."""

    paths: tuple[tuple[Vertex, ...], ...]
    angle: float
    depth: float
    use: str
    face: Face = "A"


class EdgeBreak(Struct, frozen=True):
    """A chamfer or a rounding run along a path at the face: ``size`` is the chamfer's leg or the radius."""

    path: tuple[Vertex, ...]
    closed: bool
    kind: Literal["chamfer", "rounding"]
    size: float
    use: str
    face: Face = "A"


class Part(Struct, frozen=True, dict=True):
    """One flat part. ``show`` names the faces that are seen on the finished cabinet."""

    id: str
    label: str
    stock: str
    thickness: float
    outline: Loop
    frame: Frame
    show: tuple[Face, ...] = ()
    cutouts: tuple[Cutout, ...] = ()
    drills: tuple[Drill, ...] = ()
    pockets: tuple[Pocket, ...] = ()
    grooves: tuple[Groove, ...] = ()
    breaks: tuple[EdgeBreak, ...] = ()
    grain: Point = (1.0, 0.0)
    """Direction of the face grain in part coordinates."""

    @cached_property
    def _hash(self) -> int:
        holes, pockets = tuple(d.at for d in self.drills), tuple(p.loop for p in self.pockets)
        cutouts = tuple(c.loop for c in self.cutouts)
        return hash((self.id, self.thickness, self.outline, self.frame, holes, pockets, cutouts))

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def without_pockets(self) -> Part:
        """The part as it is with its pockets filled."""
        return replace(self, pockets=())

    @cached_property
    def area(self) -> float:
        """Face area in mm² less the cutouts, exact for arcs; drilled holes are not taken off."""
        return self.outline.area - sum(c.loop.area for c in self.cutouts)

    @cached_property
    def polygon(self) -> shapely.Geometry:
        """Nominal outline less the cutouts, in part coordinates."""
        shape: shapely.Geometry = self.outline.polygon
        for cutout in self.cutouts:
            shape = shape.difference(cutout.loop.polygon)
        return shape

    @cached_property
    def extent(self) -> tuple[Vec, Vec]:
        """Lowest and highest world x, y and z of the box round the part, mm."""
        x0, y0, x1, y1 = self.outline.bounds
        corners = [
            self.frame.world(x, y, d) for x in (x0, x1) for y in (y0, y1) for d in (0.0, self.thickness)
        ]
        xs, ys, zs = zip(*corners, strict=True)
        return (min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs))

    @cached_property
    def normal_axis(self) -> Literal["x", "y", "z", "tilted"]:
        """World axis the part's thickness runs along."""
        n = self.frame.normal
        for axis, value in zip(("x", "y", "z"), n, strict=True):
            if abs(value) > 1 - 1e-9:
                return axis  # type: ignore[return-value]
        return "tilted"


class Member(Struct, frozen=True):
    """One part an axis joint runs through: the hole it gets there."""

    part: str
    diameter: float
    depth: float | None
    """None for a hole right through."""
    use: DrillUse
    head: float = 0.0
    by_hand: bool = False
    face: Face = "A"


class AxisJoint(Struct, frozen=True):
    """A dowel, rod, pin or screw: one axis in the world, one hole in each member, in order from the head or first end.

    ``at`` is the world point where the pin or the screw head starts; ``direction`` the unit vector it goes in.
    """

    id: str
    kind: Literal["dowel", "rod", "pin", "screw"]
    members: tuple[Member, ...]
    at: Vec
    direction: Vec
    diameter: float
    length: float
    glued: bool = False
    root: float = 0.0
    """Screw: diameter at the root of the thread."""
    thread: float = 0.0
    """Screw: threaded length from the point."""
    head: float = 0.0
    """Screw: head diameter."""
    head_height: float = 0.0
    hardware: str = ""
    """Name for the hardware list."""


class TabJoint(Struct, frozen=True):
    """A tab on the side of a cross part in a mortise of a wall, both cut from this one record.

    ``start`` and ``end`` run along the cross part's y; the tab stands out ``reach`` from its side edge, in a mortise
    ``depth`` deep that is larger than the tab by ``fit`` across its thickness and along its length.
    """

    id: str
    part: str
    wall: str
    side: Side
    """Which end of the part's local x the tab stands on."""
    start: float
    end: float
    reach: float
    depth: float
    fit: float
    relief: float
    over_run: tuple[float, float] = (0.0, 0.0)
    """How far the mortise runs on past the tab's face A and face B, for a mortise open at the wall's edge."""
    glued: bool = True


class Solid(Struct, frozen=True):
    """The outline of one part in the plane of a leg or a section."""

    part: str
    shape: shapely.Geometry


class Zone(Struct, frozen=True):
    """A named area of a leg's plane: where the ball starts, where it may leave, where it is meant to rest."""

    name: str
    shape: shapely.Polygon


class Leg(Struct, frozen=True, dict=True):
    """One plane stage of the ball's route.

    ``solids`` are as cut and as finished (film on), in the coordinates of ``frame``; ``room`` bounds the figure.
    ``pull`` is the direction of gravity in the plane (a unit vector) and ``pull_share`` the share of g along it.
    ``depth`` is the clear space at right angles to the plane, None where it does not bind.
    """

    id: str
    label: str
    frame: Frame
    room: shapely.Polygon
    solids: tuple[Solid, ...]
    pull: Point
    pull_share: float
    sources: tuple[Zone, ...]
    sinks: tuple[Zone, ...]
    rests: tuple[Zone, ...] = ()
    depth: float | None = None
    rail_height: float | None = None
    """Height of the solids named rails above the floor the ball rolls on; None where solids stand full height."""

    @cached_property
    def figure_hash(self) -> int:
        """Hash of what the ball meets, wherever the plane stands."""
        return hash((self.id, self.room, self.solids, self.rail_height))

    def __hash__(self) -> int:
        return self.figure_hash


class Target(Struct, frozen=True):
    """One target on the board face: hole centre (across, up) in face coordinates, mm; numbered from 1."""

    number: int
    kind: Literal["ring", "horseshoe", "vee", "plain"]
    at: Point
    hole: float
    """Hole diameter."""
    rail: float
    """Inner radius of the rail, for a vee how far its straight rails reach to either side; 0 for none."""
    score: int


class People(Struct, frozen=True):
    """How people throw: slowest and fastest throw at the front stop in m/s, and one standard deviation of the aim in
    degrees and of the speed as a share of it.
    """

    slow: float
    fast: float
    aim_spread: float
    speed_spread: float


class Landmarks(Struct, frozen=True):
    """Named points and lengths of the finished cabinet that views dimension and checks place findings at (world mm)."""

    points: dict[str, Vec] = field(default_factory=dict)
    lengths: dict[str, float] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash((tuple(self.points.items()), tuple(self.lengths.items())))


class Cabinet(Struct, frozen=True, dict=True):
    """The finished cabinet, derived from a design by ``desk.cabinet.build``."""

    name: str
    parts: tuple[Part, ...]
    axis_joints: tuple[AxisJoint, ...]
    tab_joints: tuple[TabJoint, ...]
    legs: tuple[Leg, ...]
    balls: Balls
    shop: Shop
    targets: tuple[Target, ...]
    marks: Landmarks
    planes: dict[str, Frame]
    """Named drawing planes: lane, channel, plan, face, rear."""
    tables: Tables = SHIPPED
    """The shop's tables with the person's own values."""
    region: str = "most"
    """Where the cabinet will stand, an id of the table of regions."""
    people: People | None = None
    """Who throws; None where it is not told."""

    @cached_property
    def by_id(self) -> dict[str, Part]:
        """Parts by id."""
        return {p.id: p for p in self.parts}

    @cached_property
    def leg_by_id(self) -> dict[str, Leg]:
        """Legs by id."""
        return {leg.id: leg for leg in self.legs}

"""A small drawing of just the place of one finding, with the measured and the needed length in it to scale.

The plane is the place's own, or one a check is better seen in (``desk.views.stand``). Where it lies on a face of a
part, that face is shown square on with what is cut into it, and its neighbours are cut at the middle of its thickness;
anywhere else all parts are cut by the plane, with the dowels and screws in it. Parts the finding concerns carry their
stock's tint, the others are paler. A finding whose numbers are no lengths shows its place and the numbers in words.
Lengths in mm of the drawing's plane.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from msgspec.structs import replace

from desk.cabinet.model import Cabinet, Part
from desk.checks.finding import Finding, Place
from desk.shapes.frame import Frame, dot
from desk.shapes.loop import Point
from desk.units import Unit
from desk.views.bars import ABOVE, LINE, PX, SHAPE, bars, room, told
from desk.views.cut import FAR, LEVEL, cut
from desk.views.drawing import Disc, Drawing, Item, Path, Ring
from desk.views.faceon import body, face_items
from desk.views.hardware import hardware_items, lengthwise
from desk.views.names import names
from desk.views.project import placed, ring, shape_rings
from desk.views.reading import Line, Reading, Surroundings, box_of, read
from desk.views.sections import tint
from desk.views.stand import Stand, caption, shifted, stand
from desk.views.viewport import Box

AROUND = 3.0
"""A drawing is this many times as large as its place; of a larger place less is shown around it."""
MOST_AROUND = 80.0
"""Most that is shown around a place, mm."""
LEAST, LEAST_ZOOMED = 30.0, 12.0
"""Least width of a drawing, mm; and where that would leave the lengths too short to be seen."""
SEEN = 14.0
"""A length this long, px, is easily seen."""
NEAR_FACE = 0.05
"""A plane this near to a face of a part, mm, shows that face."""
SQUARE = 0.999
"""A plane whose normal keeps a cosine above this with an axis stands square to it."""
COVERS = 0.5
"""An area that covers more of the drawing than this share is only outlined."""
EDGE = 14.0
"""Least room around a place, px."""
ROUNDS = 6
"""Words keep their size on the screen, so how much they take of a drawing is found in rounds."""
DOT = 5.0
"""Radius of the ring about a point, px."""

Shapes = dict[Part, shapely.Geometry]


@dataclass(frozen=True)
class _Scene:
    """What the drawing is made from: where one stands, the plane, the place's points in it, the part shown face on."""

    cabinet: Cabinet
    finding: Finding
    stand: Stand
    frame: Frame
    owner: Part | None

    @property
    def level(self) -> Frame:
        """The plane neighbours are cut by: the middle of the part whose face is shown."""
        if self.owner is None:
            return self.frame
        depth = self.owner.frame.local(self.frame.origin)[2] - self.owner.thickness / 2
        return shifted(self.frame, self.owner.frame, depth)

    @property
    def on_table(self) -> bool:
        """Whether the drawing shows the table the cabinet stands on: an upright cut does."""
        return self.owner is None and self.frame.v[2] > SQUARE

    def seen(self, points: Sequence[Point]) -> tuple[Point, ...]:
        """Points of the place's frame in the plane of the drawing."""
        if not points:
            return ()
        coords = placed(self.frame, self.stand.place.frame, np.array(points, dtype=float))
        return tuple((x, y) for x, y in coords.tolist())

    def concerns(self, part: Part) -> bool:
        """Whether the finding is about this part, or one that it is one of several of."""
        return _kin(part.id) in {_kin(key) for key in self.finding.parts}


def _kin(key: str) -> str:
    """What parts that come in numbers have in common."""
    return key.rstrip("0123456789")


def detail(cabinet: Cabinet, finding: Finding, unit: Unit = "mm") -> Drawing | None:
    """The drawing of a finding's first place; None for a finding without one. Lengths are told in ``unit``."""
    if not finding.places:
        return None
    where = stand(cabinet, finding)
    owner = _owner(cabinet, finding, where.place.frame)
    frame = turned_up(where.place.frame)
    if owner is None:
        frame = from_usual_side(frame)
    scene = _Scene(cabinet, finding, where, frame, owner)
    shapes = dict(_shapes(scene))
    points = scene.seen(where.place.points)
    line = Line(*scene.seen(where.line)) if where.line is not None else None
    about = Surroundings(
        _edges(scene, shapes), (cabinet.balls.largest, cabinet.balls.smallest), cabinet.shop.film
    )
    reading = read(finding, where.place.kind, points, about, line)
    window = _window((*points, *scene.seen(where.around)), reading, finding.measured is not None)
    px = (window[2] - window[0]) / PX
    lengths = tuple(bars(reading, finding, px, unit) if reading else told(finding, points, window, unit))
    marks = tuple(_marks(scene, window))
    rows = dict(sorted(shapes.items(), key=lambda row: not scene.concerns(row[0])))
    if scene.owner is not None:
        rows = {scene.owner: body(scene.owner, cabinet.shop, frame), **rows}
    labels = names(rows, window, (*marks, *lengths))
    items = (*_ground(scene, shapes, window), *marks, *lengths, *labels)
    return Drawing(
        f"detail {finding.key}", caption(cabinet, where.place, frame, scene.owner), frame, window, items
    )


def turned_up(frame: Frame) -> Frame:
    """The frame turned about its normal so that no upright plane stands on its head."""
    turn = frame.v[2] < -0.5 or (abs(frame.v[2]) <= 0.5 and frame.u[0] < -0.5)
    if not turn:
        return frame
    (ux, uy, uz), (vx, vy, vz) = frame.u, frame.v
    return Frame(frame.origin, (-ux, -uy, -uz), (-vx, -vy, -vz))


def from_usual_side(frame: Frame) -> Frame:
    """The frame seen from where the views look: from the right, from the front, from above."""
    x, y, z = frame.normal
    (ux, uy, uz), (vx, vy, vz) = frame.u, frame.v
    if z < -SQUARE:
        return Frame(frame.origin, frame.u, (-vx, -vy, -vz))
    if y < -SQUARE or x > SQUARE:
        return Frame(frame.origin, (-ux, -uy, -uz), frame.v)
    return frame


def _owner(cabinet: Cabinet, finding: Finding, frame: Frame) -> Part | None:
    """The part the finding concerns in whose face, or in the floor of whose pocket, the plane lies."""
    for part in (cabinet.by_id[key] for key in finding.parts if key in cabinet.by_id):
        if abs(dot(part.frame.normal, frame.normal)) > 1 - LEVEL:
            depth = part.frame.local(frame.origin)[2]
            floors = [p.depth if p.face == "A" else part.thickness - p.depth for p in part.pockets]
            if min(abs(depth - level) for level in (0.0, part.thickness, *floors)) < NEAR_FACE:
                return part
    return None


def _shapes(scene: _Scene) -> Iterator[tuple[Part, shapely.Geometry]]:
    """Every part but the one shown face on, where the plane cuts it."""
    for part in scene.cabinet.parts:
        if part is not scene.owner:
            shape = cut(part, scene.cabinet.shop, scene.level)
            if not shape.is_empty:
                yield part, shape


def _edges(scene: _Scene, shapes: Shapes) -> shapely.Geometry:
    """The edges of all wood in the plane, as lines."""
    lines = [shape.boundary for shape in shapes.values()]
    if any(joint.at == scene.stand.place.frame.origin for joint in scene.cabinet.axis_joints):
        solid = (
            replace(part, drills=()) for part in shapes
        )  # along an axis one measures to faces, open or not
        lines += [cut(part, scene.cabinet.shop, scene.level).boundary for part in solid]
    if scene.on_table:
        table = -scene.frame.origin[2]
        lines.append(shapely.LineString([(-FAR, table), (FAR, table)]))
    if scene.owner is not None:
        for item in face_items(scene.owner, scene.cabinet.shop, scene.frame, ""):
            if isinstance(item, Path):
                lines += [shapely.LinearRing(r) for r in item.rings if len(r) > 2 and item.closed]
            elif isinstance(item, Disc):
                lines.append(shapely.Point(item.centre).buffer(item.radius, quad_segs=64).boundary)
    return shapely.GeometryCollection(lines)


def _window(points: Sequence[Point], reading: Reading | None, words: bool) -> Box:
    """What is shown: the place with its lengths, some of what is around, and room for the words."""
    x0, y0, x1, y1 = box_of(points)
    size = max(x1 - x0, y1 - y0)
    wide = max(min(AROUND * size, size + MOST_AROUND), LEAST)
    if reading is not None:
        ends = list(reading.ends)
        if reading.ball is not None:
            (cx, cy), r = reading.ball
            ends += [(cx - r, cy - r), (cx + r, cy + r)]
        x0, y0, x1, y1 = box_of([(x0, y0), (x1, y1), *ends])
        longest = max(abs(reading.measured), abs(reading.needed))
        if longest > 0:
            wide = min(wide, max(longest * PX / SEEN, LEAST_ZOOMED))
    for _ in range(ROUNDS):
        px = wide / PX
        left, foot, right, top = x0 - EDGE * px, y0 - EDGE * px, x1 + EDGE * px, y1 + EDGE * px
        if reading is not None:
            taken = room(reading, px)
            left, foot = min(left, taken[0]), min(foot, taken[1])
            right, top = max(right, taken[2]), max(top, taken[3])
        elif words:
            foot = y0 - (ABOVE + 2 * LINE) * px
        wide = max(wide, right - left, (top - foot) * SHAPE)
    x, y, high = (left + right) / 2, (foot + top) / 2, wide / SHAPE
    return round(x - wide / 2, 3), round(y - high / 2, 3), round(x + wide / 2, 3), round(y + high / 2, 3)


def _ground(scene: _Scene, shapes: Shapes, window: Box) -> Iterator[Item]:
    """The table, neighbours, then the parts concerned, then dowels and screws, then what else is drawn there."""
    cabinet, owner = scene.cabinet, scene.owner
    if scene.on_table:
        table = -scene.frame.origin[2]
        yield Path((((window[0], table), (window[2], table)),), "table", closed=False)
    by = 0.1 * (window[2] - window[0])
    pane = shapely.box(window[0] - by, window[1] - by, window[2] + by, window[3] + by)
    for part, shape in sorted(shapes.items(), key=lambda row: scene.concerns(row[0])):
        seen = shape.intersection(pane)
        if not seen.is_empty:
            style = tint(cabinet, part) + ("" if scene.concerns(part) else "-far")
            yield Path(shape_rings(seen), style, part=part.id)
    if owner is not None:
        yield from face_items(owner, cabinet.shop, scene.frame, tint(cabinet, owner))
    for joint in cabinet.axis_joints:
        if owner is not None and lengthwise(joint, scene.level):
            continue
        if owner is None or any(member.part == owner.id for member in joint.members):
            for item in hardware_items(joint, scene.level):
                yield item
                yield from _walls(item, shapes, pane)
    for outline in scene.stand.outlines:
        yield Path((ring(np.array(scene.seen(outline))),), "bed")


def _walls(item: Item, shapes: Shapes, pane: shapely.Geometry) -> Iterator[Path]:
    """The edges of wood that a dowel or screw covers, hidden: where it is thicker than its hole they lie in it."""
    if not isinstance(item, Path) or not item.closed:
        return
    solid = shapely.Polygon(item.rings[0]).intersection(pane)
    for shape in shapes.values():
        inside = shape.boundary.intersection(solid) if shape.intersects(solid) else None
        for piece in getattr(inside, "geoms", [inside]) if inside is not None else ():
            if isinstance(piece, shapely.LineString) and piece.length > 0:
                yield Path((ring(shapely.get_coordinates(piece)),), "hidden", closed=False)


def _marks(scene: _Scene, window: Box) -> Iterator[Item]:
    """The place; where it is the finding's own, any other that lies in the plane and in view too."""
    shown = scene.stand.place
    yield _mark(scene, shown, window)
    if shown not in scene.finding.places:
        return
    pane = shapely.box(*window)
    for place in scene.finding.places:
        faces = abs(dot(place.frame.normal, scene.frame.normal)) > 1 - LEVEL
        if place == shown or not faces or abs(scene.frame.local(place.frame.origin)[2]) > NEAR_FACE:
            continue
        coords = placed(scene.frame, place.frame, np.array(place.points, dtype=float))
        if shapely.MultiPoint(coords).intersects(pane):
            yield _mark(scene, place, window)


def _mark(scene: _Scene, place: Place, window: Box) -> Item:
    finding = scene.finding
    points: Ring = ring(placed(scene.frame, place.frame, np.array(place.points, dtype=float)))
    if len(points) == 1:
        return Disc(points[0], round(DOT * (window[2] - window[0]) / PX, 3), finding.status)
    if place.kind != "area" or len(points) < 3:
        return Path((points,), finding.status, False, "", finding.status, finding.key)
    area = shapely.Polygon(points).area
    most = COVERS * (window[2] - window[0]) * (window[3] - window[1])
    if scene.owner is not None:
        most = min(most, 0.9 * scene.owner.outline.area)
    if area < most:
        return Path((points,), finding.status, True, "", finding.status, finding.key)
    return Path(((*points, points[0]),), finding.status, False, "", finding.status, finding.key)

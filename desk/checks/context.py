"""What a check is given: the cabinet, the needs, and where the numbers behind a finding can be changed.

Checks read the cabinet alone. The design's present values come in only for the remedies, so that one can
name the value that would do; without them a remedy tells the direction.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property, lru_cache

import numpy as np
import shapely

from desk.cabinet.model import AxisJoint, Bit, Cabinet, Member, Part
from desk.checks.finding import NO_REMEDY, Place, Remedy
from desk.checks.needs import Need, needs_of
from desk.design.table import spec
from desk.shapes.frame import Frame, Vec, add, cross, dot
from desk.shapes.loop import SAME, Loop, Point
from desk.shop.materials import BallMaterial, Material, UnknownMaterialError, ball_material, material
from desk.shop.seasons import Region, UnknownRegionError, region

ValueOf = Callable[[str], float]
FACE_ON = 1e-6
"""An axis whose direction is this near to a part's normal runs through its faces."""
GOVERNS = 0.05
"""A reading this near to a number of the design, mm or degrees, is what that number says."""
FAR = 1e4
"""Farther than any part reaches, mm."""


class CannotEvaluate(Exception):  # noqa: N818 - a state of a check, not a fault
    """A check cannot be made on this cabinet; the message says what is missing and how to mend it."""

    def __init__(self, message: str, parts: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.parts = parts


class MissesPartError(ValueError):
    """A joint does not meet a part it names; the register makes a finding of it."""

    def __init__(self, joint: AxisJoint, part: Part) -> None:
        super().__init__(
            f"a {joint.kind}{f' ({joint.hardware})' if joint.hardware else ''} runs neither through the faces of "
            f"{part.label} nor into its edge"
        )
        self.parts = (part.id,)


class Context:
    """One cabinet under check."""

    def __init__(
        self,
        cabinet: Cabinet,
        needs: Mapping[str, Need] | None = None,
        value_of: ValueOf | None = None,
        hurried: bool = False,
    ) -> None:
        self.cabinet = cabinet
        self.hurried = hurried
        """Within a drag step: the largest ball alone is followed, not onto the raised lifter; the rest follows."""
        self.needs = needs_of(cabinet.tables) if needs is None else needs
        self._value_of = value_of

    def need(self, key: str) -> Need:
        """The limit with this id, the person's own one where there is one."""
        return self.needs[key]

    def material(self, part: Part | str) -> Material:
        """What a part, given itself or by id, is made of. Raises CannotEvaluate when the tables do not list it."""
        whole = self.cabinet.by_id[part] if isinstance(part, str) else part
        stock = self.cabinet.shop.stock(whole.stock)
        try:
            return material(stock.material, self.cabinet.tables)
        except UnknownMaterialError as reason:
            raise CannotEvaluate(f"{whole.label}, stock {stock.label}: {reason}", (whole.id,)) from None

    def ball_material(self) -> BallMaterial:
        """What the balls are made of. Raises CannotEvaluate when the tables do not list it."""
        try:
            return ball_material(self.cabinet.balls.material, self.cabinet.tables)
        except UnknownMaterialError as reason:
            raise CannotEvaluate(f"the balls: {reason}") from None

    @cached_property
    def film_in_joints(self) -> float:
        """Lacquer on a mating face or the wall of a hole, mm."""
        shop = self.cabinet.shop
        return shop.film if shop.film_in_joints else 0.0

    @cached_property
    def profile_bit(self) -> Bit:
        """The bit that cuts outlines and openings."""
        return self.cabinet.shop.bit(self.cabinet.shop.profile_bit)

    @cached_property
    def pocket_bit(self) -> Bit:
        """The bit that cuts pockets and mortises."""
        return self.cabinet.shop.bit(self.cabinet.shop.pocket_bit)

    @cached_property
    def joints(self) -> dict[str, AxisJoint]:
        """Axis joints by id."""
        return {j.id: j for j in self.cabinet.axis_joints}

    @property
    def region(self) -> Region:
        """How moist the wood gets where the cabinet will stand. Raises CannotEvaluate for an unlisted one."""
        try:
            return region(self.cabinet.region, self.cabinet.tables)
        except UnknownRegionError as reason:
            raise CannotEvaluate(f"the seasons: {reason}") from None

    def of_kind(self, *kinds: str) -> Iterator[AxisJoint]:
        """Axis joints of these kinds."""
        return (j for j in self.cabinet.axis_joints if j.kind in kinds)

    def part(self, member: Member) -> Part:
        """The part of a joint's member."""
        return self.cabinet.by_id[member.part]

    def spread(self, part: Part) -> float:
        """By how much a part may be thicker or thinner than its stock's mean, as the readings are spread; 0 for one."""
        return self.cabinet.shop.stock(part.stock).spread

    def stock_address(self, part: Part) -> str:
        """Address of the measured thickness of a part's stock."""
        ids = [s.id for s in self.cabinet.shop.stocks]
        return f"stocks.{ids.index(part.stock) + 1}.measured"

    def bit_address(self, bit: Bit, field: str) -> str:
        """Address of one of a bit's numbers."""
        return f"bits.{self.cabinet.shop.bits.index(bit) + 1}.{field}"

    def remedy(self, address: str, change: float, text: str, reads: float | None = None) -> Remedy:
        """Change the number at an address by ``change`` mm; zero gives the direction alone.

        ``reads`` is what was measured of that number: where it now is another, something else has a hand in it and the
        amount is not told. A change that leads out of the number's range stops at its end and says so; where it stands
        at that end already there is no such remedy.
        """
        if abs(change) < SAME or self._value_of is None:
            return Remedy(address, None, text)
        now, (low, high) = self._value_of(address), spec(address).hard
        if reads is not None and abs(reads - now) > GOVERNS:
            return Remedy(address, None, text)
        wanted = _on_step(address, now + change, change)
        value = min(max(wanted, low), high)
        if value == wanted:
            return Remedy(address, value, text)
        if abs(value - now) < SAME:
            return NO_REMEDY
        return Remedy(address, value, f"{text}, as far as it goes; that alone does not do")


def _on_step(address: str, value: float, change: float) -> float:
    """The value taken on to the next whole step of its dimension, the way the change goes."""
    step = spec(address).step
    steps = value / step
    whole = math.ceil(steps - SAME) if change > 0 else math.floor(steps + SAME)
    return round(whole * step, 6)


def lines_up(part: Part, joint: AxisJoint) -> bool:
    """Whether the joint's axis runs through the part's faces (and not into its edge)."""
    return abs(abs(dot(part.frame.normal, joint.direction)) - 1) < FACE_ON


def span(part: Part, joint: AxisJoint) -> tuple[float, float]:
    """Where the joint's axis enters and leaves a part, mm from the joint's start, whether it runs through the
    faces or into an edge. Raises MissesPartError when it does neither.
    """
    x, y, depth = part.frame.local(joint.at)
    rate = -dot(part.frame.normal, joint.direction)
    if lines_up(part, joint):
        first, last = -depth / rate, (part.thickness - depth) / rate
        return min(first, last), max(first, last)
    dx, dy = dot(joint.direction, part.frame.u), dot(joint.direction, part.frame.v)
    line = shapely.LineString([(x - FAR * dx, y - FAR * dy), (x + FAR * dx, y + FAR * dy)])
    met = part.polygon.intersection(line)
    if abs(rate) > FACE_ON or met.is_empty:
        raise MissesPartError(joint, part)
    along = [(px - x) * dx + (py - y) * dy for px, py in shapely.get_coordinates(met)]
    return min(along), max(along)


def along_axis(joint: AxisJoint, end: float, start: float = 0.0) -> Place:
    """The stretch of the joint's axis between two distances from its start."""
    side: Vec = (0.0, 0.0, 1.0) if abs(joint.direction[2]) < 0.9 else (1.0, 0.0, 0.0)
    across = cross(joint.direction, side)
    size = math.sqrt(dot(across, across))
    v = add((0.0, 0.0, 0.0), across, 1 / size)
    return Place(Frame(joint.at, joint.direction, v), "line", ((start, 0.0), (end, 0.0)))


def spot(part: Part, *points: Point) -> Place:
    """One point of a part's face, or the line between two."""
    return Place(part.frame, "point" if len(points) == 1 else "line", points)


def patch(part: Part, loop: Loop) -> Place:
    """The area of a loop on a part's face."""
    return Place(part.frame, "area", tuple((x, y) for x, y in loop.coords.tolist()))


@lru_cache(maxsize=128)
def from_the_side(part: Part) -> shapely.Geometry:
    """The outline of a part that stands fore and aft, seen from the side: in x and z of the world."""
    ox, _, oz = part.frame.origin
    u, v = part.frame.u, part.frame.v
    return shapely.transform(
        part.outline.polygon, lambda c: np.column_stack((ox + c @ (u[0], v[0]), oz + c @ (u[2], v[2])))
    )


def differing(spread: float) -> str:
    """What the spread of the readings takes away, as a term of a sum; nothing where there is none."""
    return f" - {spread:.2f} as its readings differ" if spread else ""


def listed(labels: Iterable[str]) -> str:
    """Different labels in a row, the first three by name."""
    names = list(dict.fromkeys(labels))
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")

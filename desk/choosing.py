"""Which dowels and screws fit a joint: each item of the drawer and of the shop's tables is tried on the design.

An item fits when, with it, nothing about these joints is in conflict and nothing else comes into conflict. What no
choice of hardware here would mend (a conflict elsewhere that stands already) is no reason against an item. Muted
findings are none either. Everything here is pure; lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from desk.cabinet.build import build
from desk.cabinet.keep import kept_aside
from desk.cabinet.model import AxisJoint, Cabinet, Landmarks, Status
from desk.checks.context import Context
from desk.checks.finding import RANK, Finding
from desk.checks.needs import needs_of
from desk.checks.registry import Check, evaluate
from desk.checks.run import checks
from desk.design import edit
from desk.design.model import Design, DowelEntry, ScrewEntry
from desk.remember import Memory
from desk.resources import table
from desk.shapes.loop import ShapeError
from desk.shop.hardware import WoodScrew, nearest_screw, pins, wood_screw, wood_screws

Where = Literal["drawer", "table", "design"]
"""In the drawer, in a table of what is sold, or in neither: only the design names it."""
SAME = 1e-6
"""mm: sizes nearer to each other than this are one size; a design keeps its values to this."""
DRILLS_TRIED = 2
"""With another size of screw, so many drills of the shop are tried for its pilot hole."""
FIRST = "Joints"
"""The family of checks that is asked first, since it tells the most about hardware."""


@dataclass(frozen=True)
class Role:
    """A group of joints that take the same hardware.

    ``diameter`` and ``length`` are the addresses an item sets; a role without a length has its pins cut from longer
    rod. ``joints`` is how the ids of its joints start. Other roles may share the diameter.
    """

    id: str
    label: str
    kind: Literal["dowel", "screw"]
    joints: str
    diameter: str
    length: str = ""


ROLES: tuple[Role, ...] = (
    Role("dowels", "Return dowels", "dowel", "dowel-", "joint.dowel", "joint.dowel_length"),
    Role("rods", "Kicker rods", "dowel", "rod-kicker-", "joint.dowel"),
    Role("pin", "Lifter's pin", "dowel", "pin-lifter", "lifter.pin"),
    Role("handle", "Lifter's handle", "dowel", "rod-handle", "lifter.handle"),
    Role(
        "screws-return", "Return side screws", "screw", "screw-return-", "joint.screw", "joint.screw_return"
    ),
    Role("screws-cover", "Back cover screws", "screw", "screw-cover-", "joint.screw", "joint.screw_cover"),
    Role("screws-header", "Header screws", "screw", "screw-header-", "joint.screw", "joint.screw_header"),
    Role("screws-ramp", "Catch ramp screws", "screw", "screw-ramp-", "joint.screw", "joint.screw_ramp"),
)


@dataclass(frozen=True)
class Item:
    """Hardware that could be taken: ``name`` is its size in the trade, ``size`` the id of a screw in its table.

    A length of 0 is rod that is cut to what is needed.
    """

    name: str
    diameter: float
    length: float
    where: Where
    size: str = ""
    inch: bool = False
    """Whether it is named in inches in the trade."""

    def same_size(self, other: Item) -> bool:
        """Whether both are the same thing, wherever they are."""
        near = abs(self.diameter - other.diameter) < SAME and abs(self.length - other.length) < SAME
        return near and self.size == other.size


@dataclass(frozen=True)
class Candidate:
    """An item that was tried. ``finding`` is why it does not fit, or where it is tight; ``refusal`` says why it could
    not even be tried. ``changes`` are the numbers that choosing it sets, among them another pilot hole where one is
    needed.
    """

    item: Item
    status: Status
    changes: Mapping[str, float]
    finding: Finding | None = None
    refusal: str = ""
    chosen: bool = False
    """Whether the design takes it now."""

    @property
    def fits(self) -> bool:
        """Whether nothing speaks against it."""
        return self.status != "conflict"


def items(design: Design, role: Role) -> tuple[Item, ...]:
    """What could be taken: the drawer's, what the shop's tables list, and what the design has now if in neither."""
    sold = _sold_screws(design) if role.kind == "screw" else _sold_dowels(design, role)
    kept: list[Item] = []
    for item in (*_drawer(design, role), *sold, taken(design, role)):
        if not any(item.same_size(other) for other in kept):
            kept.append(item)
    return tuple(kept)


def _drawer(design: Design, role: Role) -> Iterator[Item]:
    if role.kind == "dowel":
        for dowel in design.dowels:
            yield drawer_dowel(design, dowel)
    else:
        for screw in design.screws:
            yield drawer_screw(design, screw)


def drawer_dowel(design: Design, dowel: DowelEntry) -> Item:
    """Dowels of the drawer as an item."""
    return _pin(design, dowel.diameter, dowel.length, "drawer")


def drawer_screw(design: Design, screw: ScrewEntry) -> Item:
    """Screws of the drawer as an item. Raises UnknownSizeError."""
    return _screw(wood_screw(screw.size, design.tables), screw.length, "drawer")


def _sold_dowels(design: Design, role: Role) -> Iterator[Item]:
    """Every size and length of pin; where it is cut to length, rod of every size."""
    for pin in pins(design.tables):
        for length in sorted(pin.lengths) if role.length else [0.0]:
            yield Item(pin.size, round(pin.diameter, 6), round(length, 6), "table", inch=_in_inches(pin.size))


def _sold_screws(design: Design) -> Iterator[Item]:
    for size in wood_screws(design.tables):
        for length in screw_lengths(size.shank, size.system):
            yield _screw(size, round(length, 6), "table")


def in_turn(design: Design, role: Role) -> tuple[Item, ...]:
    """The items in the order in which they are best tried: the drawer's, then those most like what is taken now."""
    now = taken(design, role)

    def far(item: Item) -> tuple[bool, float, float]:
        return item.where != "drawer", abs(item.diameter - now.diameter), abs(item.length - now.length)

    return tuple(sorted(items(design, role), key=far))


def screw_lengths(shank: float, system: Literal["inch", "metric"]) -> tuple[float, ...]:
    """Lengths a screw of this shank is sold in, mm."""
    sold = table("hardware.toml")["screw_lengths"]
    low, high = (share * shank for share in sold["shanks"])
    scale = 25.4 if system == "inch" else 1.0
    return tuple(length * scale for length in sold[system] if low <= length * scale <= high)


def taken(design: Design, role: Role) -> Item:
    """The hardware that the design has for a role now, rod for what is cut to length."""
    diameter = edit.get(design, role.diameter)
    length = edit.get(design, role.length) if role.length else 0.0
    if role.kind == "screw":
        size = nearest_screw(diameter, design.tables)
        return _screw(size, length, "design")
    return _pin(design, diameter, length, "design")


def _pin(design: Design, diameter: float, length: float, where: Where) -> Item:
    """A pin under its name in the trade."""
    named = (pin.size for pin in pins(design.tables) if abs(pin.diameter - diameter) < SAME)
    name = next(named, f"{diameter:g} mm")
    return Item(name, diameter, length, where, inch=_in_inches(name))


def _screw(size: WoodScrew, length: float, where: Where) -> Item:
    return Item(size.size, round(size.shank, 6), length, where, size.id, size.system == "inch")


def _in_inches(name: str) -> bool:
    return name.endswith(" in")


def users(design: Design, cabinet: Cabinet, item: Item) -> tuple[Role, ...]:
    """The roles for which the cabinet of this design takes an item of this size and length."""
    kind = "screw" if item.size else "dowel"
    return tuple(r for r in ROLES if r.kind == kind and _takes(design, cabinet, r, item))


def _takes(design: Design, cabinet: Cabinet, role: Role, item: Item) -> bool:
    now = taken(design, role)
    if role.length:
        return now.same_size(item)
    return abs(now.diameter - item.diameter) < SAME and item.length >= cut_length(cabinet, role) - SAME


def joints_of(cabinet: Cabinet, role: Role) -> tuple[AxisJoint, ...]:
    """The joints of a role."""
    return tuple(joint for joint in cabinet.axis_joints if joint.id.startswith(role.joints))


def cut_length(cabinet: Cabinet, role: Role) -> float:
    """Length of the longest pin of a role in a cabinet, mm; 0 where it has none."""
    return max((joint.length for joint in joints_of(cabinet, role)), default=0.0)


def standing(role: Role, cabinet: Cabinet, findings: Iterable[Finding]) -> Status:
    """How the joints of a role stand in a cabinet: the worst of the findings that concern them and count."""
    mine = joints_of(cabinet, role)
    near = [f.status for f in findings if f.status != "clear" and not f.muted and _concerns(role, f, mine)]
    return min(near, key=lambda status: RANK[status], default="clear")


def _concerns(role: Role, finding: Finding, mine: Iterable[AxisJoint]) -> bool:
    """Whether a finding is about a role's joints: by its key, by a place on their axes, or by their length."""
    if any(r.address == role.length for r in finding.remedies if role.length):
        return True
    if any(joint.id in finding.key for joint in mine):
        return True
    starts = {joint.at for joint in mine}
    return any(place.frame.origin in starts for place in finding.places)


_MEMORY = Memory(Cabinet, Landmarks)
"""A check is made anew for an item only when something that it read differs from the item before."""


class Fitting:
    """Tries items for one role on one design."""

    def __init__(self, design: Design, role: Role) -> None:
        self.design, self.role = design, role
        self._now = taken(design, role)
        self._muted = {mute.key for mute in design.mutes}
        self._checks = sorted(checks(), key=lambda c: (c.family != FIRST, c.number))

    @cached_property
    def _before(self) -> frozenset[str]:
        """Keys of what is in conflict as the design is."""
        return frozenset(f.key for f in self._findings(build(self.design)) if f.status == "conflict")

    @cached_property
    def _cut(self) -> float:
        """Length of the longest pin that has to be cut from the item; 0 for what is taken as it is."""
        return 0.0 if self.role.length else cut_length(build(self.design), self.role)

    def tried(self, item: Item) -> Candidate:
        """The item with what speaks against it, if anything does."""
        if item.length and item.length < self._cut - SAME:
            told = f"it is {item.length:g} mm long, and {self._cut:g} mm has to be cut from it"
            return Candidate(item, "conflict", {}, refusal=told)
        found = self._with(item, None)
        if found.fits or found.finding is None:
            return found
        if not any(r.address == "joint.pilot" for r in found.finding.remedies):
            return found
        others = (self._with(item, pilot) for pilot in self._pilots(item))
        return next((other for other in others if other.fits), found)

    def _pilots(self, item: Item) -> Iterator[float]:
        """Other pilot holes to try for another size of screw: those of the drills at hand."""
        if not item.size or abs(item.diameter - edit.get(self.design, "joint.screw")) < SAME:
            return
        root = wood_screw(item.size, self.design.tables).root
        best = needs_of(self.design.tables)["pilot_best_dense"].value * root
        drills = {bit.diameter for bit in self.design.bits if bit.kind == "drill"}
        drills.discard(edit.get(self.design, "joint.pilot"))
        yield from sorted(drills, key=lambda d: abs(d - best))[:DRILLS_TRIED]

    def _with(self, item: Item, pilot: float | None) -> Candidate:
        changes = {self.role.diameter: item.diameter}
        if self.role.length:
            changes[self.role.length] = item.length
        if pilot is not None:
            changes["joint.pilot"] = pilot
        chosen = abs(item.diameter - self._now.diameter) < SAME and item.length in (0.0, self._now.length)
        try:
            design = choose(self.design, changes)
            if item.size and nearest_screw(edit.get(design, "joint.screw"), design.tables).id != item.size:
                told = "another screw of the table has the same shank, and is taken for it"
                return Candidate(item, "conflict", changes, refusal=told)
            with kept_aside():
                cabinet = build(design)
        except (edit.EditError, ShapeError) as error:
            return Candidate(item, "conflict", changes, refusal=str(error))
        status, finding = self._judged(cabinet)
        return Candidate(item, status, changes, finding, chosen=chosen)

    def _judged(self, cabinet: Cabinet) -> tuple[Status, Finding | None]:
        """The first conflict that speaks against the item; else where its joints are tight; else nothing."""
        tight: Finding | None = None
        mine = joints_of(cabinet, self.role)
        for finding in self._findings(cabinet):
            if finding.status == "clear" or finding.key in self._muted:
                continue
            near = _concerns(self.role, finding, mine)
            if finding.status == "conflict" and (near or finding.key not in self._before):
                return "conflict", finding
            if finding.status == "tight" and near and tight is None:
                tight = finding
        return ("tight", tight) if tight else ("clear", None)

    def _findings(self, cabinet: Cabinet) -> Iterator[Finding]:
        for one in self._checks:
            yield from _MEMORY.recall(one.id, lambda noted, one=one: _found(one, noted), cabinet)


def _found(one: Check, cabinet: Cabinet) -> list[Finding]:
    return evaluate(one, Context(cabinet))


def choose(design: Design, changes: Mapping[str, float]) -> Design:
    """The design with a candidate's numbers. Raises edit.EditError where one of them is locked or cannot stand."""
    for address, value in changes.items():
        design = edit.put(design, address, value)
    return design


def candidates(design: Design, role: Role) -> tuple[tuple[Candidate, ...], tuple[Candidate, ...]]:
    """The items that fit a role and those that do not, each in the order of items()."""
    fitting = Fitting(design, role)
    tried = [fitting.tried(item) for item in items(design, role)]
    return tuple(c for c in tried if c.fits), tuple(c for c in tried if not c.fits)

"""Small hand-made cabinets for checks: plates that stand one behind the other across y, and what ties them together.

A plate's local (x, y) is world (x, z); its face A looks to +y, so a plate with face A at y = 12 and 12 mm thick fills
y = 0 to 12. Joints run along +y.
"""

from __future__ import annotations

from collections.abc import Sequence

from desk.cabinet.build import build
from desk.cabinet.model import (
    AxisJoint,
    Balls,
    Bit,
    Cabinet,
    Drill,
    Landmarks,
    Member,
    Part,
    Shop,
    Stock,
    TabJoint,
)
from desk.checks.finding import Finding
from desk.checks.needs import Need
from desk.checks.run import run
from desk.design import edit
from desk.design.model import Design
from desk.design.starting import starting_design
from desk.shapes.frame import Frame
from desk.shapes.loop import Loop, rect

ALONG_Y = (0.0, 1.0, 0.0)
STOCKS = (
    Stock("ply", "Plywood 12 mm", "birch-plywood", 12.0, 12.0, 600.0, 400.0),
    Stock("oak", "Oak 12 mm", "white-oak", 12.0, 12.0, 600.0, 400.0),
    Stock("board", "MDF 12 mm", "mdf", 12.0, 12.0, 600.0, 400.0, grained=False),
)
BITS = (
    Bit("b6", "6 mm straight", "straight", 6.0, 22.0),
    Bit("b3", "3 mm straight", "straight", 3.0, 12.0),
    Bit("d8", "8 mm drill", "drill", 8.0, 40.0),
)


def shop(**changes: object) -> Shop:
    """A small shop; film 0.075 mm, kept off the joints."""
    values: dict[str, object] = {
        "stocks": STOCKS,
        "bits": BITS,
        "profile_bit": "b6",
        "pocket_bit": "b6",
        "bed_length": 600.0,
        "bed_width": 400.0,
        "sheet_margin": 10.0,
        "part_gap": 10.0,
        "film": 0.075,
        "film_in_joints": False,
    }
    return Shop(**{**values, **changes})  # type: ignore[arg-type]


def plate(key: str, y: float, outline: Loop | None = None, thickness: float = 12.0, **more: object) -> Part:
    """A plate whose face A lies at ``y``; 100 x 60 mm unless an outline is given."""
    values: dict[str, object] = {"stock": "ply", **more}
    loop = rect(0.0, 0.0, 100.0, 60.0) if outline is None else outline
    frame = Frame((0.0, y, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    return Part(id=key, label=key.title(), thickness=thickness, outline=loop, frame=frame, **values)  # type: ignore[arg-type]


def on_end(key: str, z: float, thickness: float = 12.0, depth: float = 60.0) -> Part:
    """A plate that lies level, its upper face at ``z``: an axis along y runs into its edge at y = 0."""
    frame = Frame((0.0, 0.0, z), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    return Part(key, key.title(), "ply", thickness, rect(0.0, 0.0, depth, 100.0), frame)


def cabinet(
    parts: Sequence[Part],
    joints: Sequence[AxisJoint] = (),
    tabs: Sequence[TabJoint] = (),
    ball: float = 50.0,
    youngest: float = 8.0,
    **changes: object,
) -> Cabinet:
    """A cabinet of these parts and joints; other keywords change the shop."""
    return Cabinet(
        name="hand-made",
        parts=tuple(parts),
        axis_joints=tuple(joints),
        tab_joints=tuple(tabs),
        legs=(),
        balls=Balls(ball, 0.0, 3, "glass", 2500.0),
        shop=shop(**changes),
        targets=(),
        marks=Landmarks(lengths={"youngest player": youngest}),
        planes={},
    )


def pin(
    members: Sequence[Member], start: float, length: float, kind: str = "dowel", diameter: float = 8.0
) -> AxisJoint:
    """A pin along +y through (50, 30), from ``start``."""
    at = (50.0, start, 30.0)
    return AxisJoint(f"{kind}-1", kind, tuple(members), at, ALONG_Y, diameter, length)  # type: ignore[arg-type]


def screw(
    members: Sequence[Member], length: float, start: float = 0.0, thread: float | None = None
) -> AxisJoint:
    """A 4 mm screw along +y through (50, 30), its head at ``start``."""
    bite = 2 * length / 3 if thread is None else thread
    at = (50.0, start, 30.0)
    return AxisJoint(
        "screw-1",
        "screw",
        tuple(members),
        at,
        ALONG_Y,
        4.0,
        length,
        root=2.8,
        thread=bite,
        head=8.0,
        head_height=2.0,
    )


def hole(x: float, y: float, diameter: float = 8.0, depth: float | None = None, **more: object) -> Drill:
    """A drilled hole for a dowel of its own size."""
    values: dict[str, object] = {"use": "dowel", "joint": f"hole-{x:g}-{y:g}", **more}
    return Drill((x, y), diameter, depth, **values)  # type: ignore[arg-type]


def findings(of: Cabinet, check: str, needs: dict[str, Need] | None = None) -> tuple[Finding, ...]:
    """What one check finds."""
    return run(of, [check], needs=needs)


def only(of: Cabinet, check: str) -> Finding:
    """The one finding of a check."""
    (found,) = findings(of, check)
    return found


def changed(**values: float) -> Design:
    """The starting design with numbers changed; double underscores stand for the dots of an address."""
    design = starting_design()
    for key, value in values.items():
        design = edit.put(design, key.replace("__", "."), value)
    return design


def built(**values: float) -> Cabinet:
    """The cabinet of the starting design with numbers changed."""
    return build(changed(**values))

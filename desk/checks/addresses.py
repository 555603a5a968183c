"""Which numbers of a design govern a joint: the only place where checks know the ids of dimensions by
joint.
"""

from __future__ import annotations

from desk.cabinet.model import AxisJoint, Part

_LENGTHS = {
    "dowel": "joint.dowel_length",
    "screw-cover": "joint.screw_cover",
    "screw-return": "joint.screw_return",
    "screw-header": "joint.screw_header",
    "screw-ramp": "joint.screw_ramp",
    "rod-handle": "lifter.handle_length",
}

Row = tuple[str, float, str]
_WIDER_RAILS: tuple[Row, ...] = (("board.rail_width", 0.0, "Make the rails wider"),)
_FARTHER_IN: Row = ("joint.edge", 0.0, "Set the hole farther in")
_MOVE = "Move the part it holds"
_BESIDE: tuple[tuple[str, str, tuple[Row, ...]], ...] = (
    ("lifter", "", (("lifter.arm", 2.0, "Make the arm higher"),)),
    ("", "carving", _WIDER_RAILS),
    ("", "rail", _WIDER_RAILS),
    ("", "tab-base", (("lane.base_height", 0.0, _MOVE),)),
    ("", "tab-deck", (("lane.deck_height", 0.0, _MOVE),)),
    ("", "tab-front-stop", (("lane.stop_height", 0.0, _MOVE),)),
    ("", "tab-board", (("board.tab", 0.0, "Make the tab shorter"),)),
    ("", "tab-gutter-floor", (("behind.gutter_drop", 0.0, _MOVE),)),
    ("", "tab-cleat-upper", (("header.cleat", 0.0, _MOVE),)),
    ("", "tab-", ()),
    ("cleat-upper", "screw-", (("header.cleat", 0.0, "Make the cleat higher"), _FARTHER_IN)),
    (
        "",
        "dowel-lip-block",
        (
            ("return.floor_height", 0.0, "Raise the waiting place"),
            ("return.lip_width", 0.0, "Make the lip wider"),
            _FARTHER_IN,
        ),
    ),
)
"""Part ("" for any), start of the feature's name, and what widens the wood beside it; the first that fits counts."""


def pin_diameter(joint: AxisJoint) -> str:
    """Address of the diameter of a pin or screw."""
    if joint.kind == "screw":
        return "joint.screw"
    if joint.kind == "pin":
        return "lifter.pin"
    return "lifter.handle" if joint.id.startswith("rod-handle") else "joint.dowel"


def length(joint: AxisJoint) -> str | None:
    """Address of the length, None where it follows from other sizes."""
    found = [address for start, address in _LENGTHS.items() if joint.id.startswith(start)]
    return found[0] if found else None


def blind_depth(joint: AxisJoint) -> str:
    """Address of the depth of a joint's closed holes."""
    return "joint.mortise" if joint.kind == "rod" else "joint.dowel_blind"


def beside(part: Part, feature: str) -> tuple[Row, ...]:
    """What widens the wood beside a hole, pocket or opening, which is named by its joint or its use: address, mm of
    it for 1 mm of wood (0 unknown), what to do.
    """
    if feature == "edge":
        return ()
    if feature.startswith("target hole "):
        target = f"targets.{feature.removeprefix('target hole ')}"
        move = "Move the target"
        return (
            (f"{target}.across", 0.0, move),
            (f"{target}.up", 0.0, move),
            (f"{target}.hole", 0.0, "Make it smaller"),
        )
    fits = (rows for key, start, rows in _BESIDE if key in ("", part.id) and feature.startswith(start))
    return next(fits, (_FARTHER_IN,))

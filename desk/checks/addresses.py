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

_TABS = {
    "tab-base": "lane.base_height",
    "tab-deck": "lane.deck_height",
    "tab-front-stop": "lane.stop_height",
    "tab-board": "board.tab",
    "tab-gutter-floor": "behind.gutter_drop",
    "tab-cleat-upper": "header.cleat",
}
"""What moves the mortise of a tab."""


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


def beside(part: Part, joint: str) -> tuple[tuple[str, float, str], ...]:
    """What widens the wood beside a hole: address, mm of it for 1 mm of wood (0 unknown), what to do."""
    if part.id == "lifter":
        return (("lifter.arm", 2.0, "Make the arm higher"),)
    text = "Set the hole farther in"
    if joint.startswith("screw-cover-upper") or joint.startswith("screw-header"):
        return (("header.cleat", 2.0 if part.id == "cleat-upper" else 0.0, "Make the cleat higher"),)
    if joint.startswith("dowel-lip-block"):
        return (
            ("return.floor_height", 0.0, "Raise the waiting place"),
            ("return.lip_width", 0.0, "Make the lip wider"),
            ("joint.edge", 0.0, text),
        )
    return (("joint.edge", 0.0, text),)

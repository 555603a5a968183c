"""Check 37 on cabinets that open as meant, and on the same with some of their screws and dowels glued."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.model import Cabinet
from tests.cabinet.designs import FIXED
from tests.cabinet.designs import cabinet as fixed
from tests.checks.helpers import built, cabinet, findings, only, plate
from tests.checks.pairs.assembly import glued


def wrong(of: Cabinet) -> dict[str, str]:
    """Status by leg of what is not clear."""
    return {f.key.split("/")[1]: f.status for f in findings(of, "jam-access") if f.status != "clear"}


@pytest.mark.parametrize("name", FIXED)
def test_every_leg_of_a_cabinet_comes_open(name):
    found = only(fixed(name), "jam-access")
    assert found.status == "clear"
    assert "Lane and kicker, Board face: open as it stands" in found.because
    rear, side = (part for part in found.because.split(". ") if "off" in part)
    assert rear.startswith("Flight and gutter gap, Under the board, Catch ramp and inlet: Back cover")
    assert "off to the back, 5 screws" in rear
    assert side.startswith(
        "Return channel and waiting place, Lifted over the lip: Outer panel, return side off to the"
    )
    assert ("to the right" if "right" in name else "to the left") in side


def test_a_glued_cover_shuts_in_what_is_behind_it():
    found = wrong(glued("screw-cover", "screw-ramp")(fixed("left")))
    assert found["under"] == "conflict"
    assert "channel" not in found


def test_a_glued_return_side_leaves_a_stick_along_the_straight_channel():
    found = wrong(glued("screw-return", "dowel-")(fixed("left")))
    assert found == {"channel": "tight", "lift": "tight"}


def test_all_glued_is_worse_than_either():
    both = wrong(glued("screw-", "dowel-")(fixed("left")))
    assert both == dict.fromkeys(("flight", "under", "catch", "channel", "lift"), "conflict")


def test_a_lane_too_narrow_for_any_driver_keeps_the_return_side_on():
    """At 50 mm between the walls not even a right-angle driver stands on the screws inside: 40 + 8 and the slack."""
    of = built(lane__width=46.0, kicker__ribs=2.0)
    found = {f.key.split("/")[1]: f for f in findings(of, "jam-access")}
    assert found["channel"].status != "clear"
    assert "Outer panel, return side" not in found["channel"].because


def test_what_stays_shut_is_named_and_shown():
    (found,) = [
        f
        for f in findings(glued("screw-cover", "screw-ramp")(fixed("left")), "jam-access")
        if f.key.endswith("/under")
    ]
    assert found.margin < 0
    assert "places of the ball open" in found.because
    assert found.places
    assert found.remedies
    assert {"board", "gutter-floor"} <= set(found.parts)


def test_a_cabinet_without_legs_has_nothing_to_reach():
    found = only(cabinet([plate("a", 12.0)]), "jam-access")
    assert found.status == "clear"


def test_a_handle_that_the_panel_cannot_pass_keeps_it_on():
    """A handle through the arm 120 mm long, and the lever so short that it lies between the panels."""
    of = fixed("left")
    joints = tuple(replace(j, at=(60.0, *j.at[1:])) if j.id == "rod-handle" else j for j in of.axis_joints)
    assert wrong(replace(of, axis_joints=joints))

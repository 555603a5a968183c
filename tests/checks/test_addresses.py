"""Every address that a check names is one that the design knows."""

from __future__ import annotations

import pytest

from desk.cabinet.build import build
from desk.checks import addresses
from desk.checks.run import run
from desk.design.edit import get
from desk.design.starting import starting_design
from tests.checks.helpers import built, hole, plate


def test_every_joint_of_the_cabinet_is_governed_by_numbers_of_the_design():
    design = starting_design()
    for joint in build(design).axis_joints:
        named = [addresses.pin_diameter(joint), addresses.blind_depth(joint)]
        named += [a for a in [addresses.length(joint)] if a]
        assert all(get(design, a) > 0 for a in named)


def test_every_feature_of_the_cabinet_is_governed_by_numbers_of_the_design():
    design = starting_design()
    for part in build(design).parts:
        features = [d.joint for d in part.drills] + [c.use for c in part.cutouts]
        features += [p.joint or f"{p.use} {n + 1}" for n, p in enumerate(part.pockets)]
        for feature in (*features, "edge", "rail"):
            for address, _, text in addresses.beside(part, feature):
                assert get(design, address) is not None
                assert text


@pytest.mark.parametrize(
    ("part", "feature", "address"),
    [
        ("lifter", "pin-lifter", "lifter.arm"),
        ("board", "target hole 3", "targets.3.across"),
        ("inner-wall", "tab-deck-1-wall", "lane.deck_height"),
        ("cleat-upper", "screw-header-1", "header.cleat"),
        ("inner-wall", "dowel-spacer-lower-2", "joint.edge"),
    ],
)
def test_what_governs_a_feature(part, feature, address):
    assert addresses.beside(plate(part, 12.0, drills=(hole(10, 10),)), feature)[0][0] == address


def test_remedies_of_findings_can_be_put_into_the_design():
    design = starting_design()
    cabinet = built(joint__dowel_fit=-0.2, joint__screw_cover=12.0, lane__width=141.0)
    from desk.design import table

    known = {c.id for c in table.choices()}
    for finding in run(cabinet, value_of=lambda address: get(design, address)):
        for remedy in finding.remedies:
            assert remedy.address in known or get(design, remedy.address) is not None

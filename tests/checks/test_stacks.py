"""Ribs between two walls that a rod ties together."""

from __future__ import annotations

import pytest

from desk.cabinet.model import Member
from tests.checks.helpers import cabinet, findings, only, pin, plate


def ribs(count: int, space: float, thickness: float = 17.85, **shop: object):
    """Walls 12 mm thick, ``space`` apart, and ribs between them."""
    parts = [
        plate("wall", 12.0),
        *(plate(f"rib-{n}", 12.0 + thickness * (n + 1), thickness=thickness) for n in range(count)),
    ]
    parts.append(plate("far", 24.0 + space))
    members = [Member("wall", 8.1, 6.0, "rod")]
    members += [Member(f"rib-{n}", 8.1, None, "rod") for n in range(count)]
    members += [Member("far", 8.1, 6.0, "rod", face="B")]
    return cabinet(parts, [pin(members, 7.0, space + 9.0, "rod")], **shop)


@pytest.mark.parametrize(
    ("space", "status", "spare"),
    [
        (142.8, "tight", 0.0),
        (142.7, "conflict", -0.1),
        (143.1, "clear", 0.3),
        (144.1, "tight", 1.3),
        (144.5, "conflict", 1.7),
    ],
)
def test_eight_ribs_against_the_space(space, status, spare):
    found = only(ribs(8, space), "stack")
    assert found.status == status
    assert found.measured == pytest.approx(spare, abs=1e-6)
    assert found.because.startswith(f"{space:.2f} - 8 x 17.85 = {spare:.2f} mm")


def test_film_counts_on_every_mating_face():
    found = only(ribs(8, 144.0, film_in_joints=True), "stack")
    assert found.measured == pytest.approx(144.0 - 8 * 17.85 - 2 * 9 * 0.075)


def test_thicknesses_may_differ():
    of = ribs(2, 36.0)
    found = only(of, "stack")
    assert "36.00 - 2 x 17.85" in found.because
    assert [r.address for r in found.remedies] == ["lane.width", "kicker.ribs", "stocks.1.measured"]


def test_without_a_rod_there_is_no_stack():
    (found,) = findings(cabinet([plate("a", 12.0)]), "stack")
    assert (found.status, found.margin) == ("clear", None)

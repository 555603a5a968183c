"""Dowel pins in both unit systems."""

from __future__ import annotations

import pytest

from desk.shop.dowels import nearest_pin, pins


def test_pins_are_in_order_and_in_mm():
    sizes = [p.diameter for p in pins()]
    assert sizes == sorted(sizes)
    quarter = next(p for p in pins() if p.size == "1/4 in")
    assert quarter.diameter == pytest.approx(6.35)
    assert quarter.lengths == pytest.approx((31.75, 38.1))


@pytest.mark.parametrize(
    ("asked", "size"), [(6.0, "6 mm"), (6.3, "1/4 in"), (9.6, "3/8 in"), (1.0, "6 mm"), (50.0, "10 mm")]
)
def test_nearest_pin(asked, size):
    assert nearest_pin(asked).size == size

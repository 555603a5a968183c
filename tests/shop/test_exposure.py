"""The table of exposure: every wood of the shop is in it, classed as the official page has it."""

from __future__ import annotations

import pytest

from desk.shop.exposure import exposure, exposures, formaldehyde_limit
from desk.shop.materials import materials
from desk.shop.tables import Own, Tables

OSHA_PAGE = {"red-oak": "A1", "white-oak": "A1", "beech": "A1", "birch": "A2", "walnut": "A2"}
"""ACGIH classes on OSHA's page of chemical sampling information for wood dust; all other woods there are A4."""


def test_every_material_of_the_shop_has_a_row_and_no_row_is_without_one():
    assert exposures().keys() == materials().keys()


@pytest.mark.parametrize("wood", sorted(materials()))
def test_classes_are_those_of_the_official_page(wood):
    if materials()[wood].kind == "solid":
        assert exposures()[wood].dust == OSHA_PAGE.get(wood, "A4")


def test_mdf_alone_is_told_for_its_glue():
    assert [key for key, row in exposures().items() if row.formaldehyde] == ["mdf"]
    limit, source = formaldehyde_limit()
    # 29 CFR 1910.1048(c): 0.75 ppm over 8 hours (from memory)
    assert limit == 0.75
    assert "1910.1048" in source.text


def test_a_wood_of_ones_own_counts_as_the_one_it_starts_from():
    mine = Tables((Own("materials", "bog-oak", "Bog oak", "white-oak"),))
    assert exposure("bog-oak", mine).dust == "A1"
    twice = Tables((*mine.own, Own("materials", "old-beam", "Old beam", "bog-oak")))
    assert exposure("old-beam", twice).dust == "A1"
    assert exposure("bog-oak") is None

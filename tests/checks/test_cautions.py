"""Cautions: told for every cabinet, tight where a stock asks for it, a conflict where nothing is known."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.cabinet.model import Stock
from desk.checks.run import run
from desk.shop.safety import safety_limits
from desk.shop.tables import Own, Tables
from tests.checks.helpers import built, cabinet, findings, plate


def of(*materials, **changes):
    """Plates of these materials, one behind the other."""
    stocks = tuple(Stock(m, m.title(), m, 12.0, 12.0, 600.0, 400.0) for m in materials)
    parts = [plate(f"part-{k}", 12.0 * (k + 1), stock=m) for k, m in enumerate(materials)]
    return cabinet(parts, stocks=stocks, **changes)


def only(whole):
    (found,) = findings(whole, "cautions")
    return found


@pytest.mark.parametrize("wood", ["white-oak", "red-oak", "beech", "mdf"])
def test_these_ask_for_more_than_usual_care(wood):
    found = only(of("pine", wood))
    assert found.status == "tight"
    assert found.parts == ("part-1",)
    assert found.places


@pytest.mark.parametrize("wood", ["pine", "birch-plywood", "walnut", "hard-maple"])
def test_the_usual_care_is_told_all_the_same(wood):
    found = only(of(wood))
    assert found.status == "clear"
    for word in ("mask", "ear and eye protection", "Local codes and the makers' sheets"):
        assert word in found.because


def test_figures_are_the_official_ones():
    text = only(of("white-oak", film=0.1)).because
    limits = safety_limits()
    # NIOSH 1 mg/m3, OSHA 15 mg/m3 (29 CFR 1910.1000), EU hardwood 2 mg/m3, 90 ppm lead (16 CFR 1303)
    assert [limits[k].value for k in ("dust-advised", "dust-total", "dust-hardwood-eu", "lead")] == [
        1,
        15,
        2,
        90,
    ]
    for said in ("1 mg/m3", "15 by law", "2 of hardwood", "90 ppm"):
        assert said in text
    assert "A1, a confirmed human carcinogen" in text


def test_lacquer_is_spoken_of_where_there_is_some():
    assert "Vapour of lacquer" in only(of("pine", film=0.1)).because
    assert "Vapour of lacquer" not in only(of("pine", film=0.0)).because


def test_formaldehyde_is_spoken_of_where_there_is_some():
    assert "0.75 ppm" in only(of("mdf")).because
    assert only(of("mdf")).source.text.startswith("29 CFR 1910.1048")
    assert "formaldehyde" not in only(of("pine")).because


def test_a_stock_of_which_nothing_is_known_is_a_conflict_and_the_rest_is_told():
    found = findings(of("pine", "snakewood"), "cautions")
    (wrong,) = [f for f in found if f.status == "conflict"]
    assert wrong.parts == ("part-1",)
    assert "snakewood" in wrong.because
    assert not wrong.key.endswith("not-evaluated")


def test_a_material_of_ones_own_is_known_by_the_one_it_starts_from():
    tables = Tables((Own("materials", "snakewood", "Snakewood", "walnut"),))
    assert only(replace(of("snakewood"), tables=tables)).status == "clear"


def test_nothing_to_cut_cannot_be_judged():
    assert "cannot be checked" in only(cabinet([])).title


def test_the_stock_it_is_about_can_be_chosen():
    oak = tuple(replace(s, material="white-oak") if s.id == "s12" else s for s in built().shop.stocks)
    (found,) = run(replace(built(), shop=replace(built().shop, stocks=oak)), ["cautions"])
    assert found.status == "tight"
    assert found.remedies[0].address == "stock.panels"

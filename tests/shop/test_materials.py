"""Materials against handbook values and closed forms."""

from __future__ import annotations

import pytest

from desk.shop.materials import (
    UnknownMaterialError,
    ball_mass,
    ball_material,
    ball_materials,
    material,
    materials,
)
from desk.shop.tables import Own, Tables


@pytest.mark.parametrize(
    ("key", "gravity"),
    [("hard-maple", 0.63), ("white-oak", 0.68), ("poplar", 0.42), ("pine", 0.35), ("ash", 0.60)],
)
def test_gravity_is_that_of_the_wood_handbook(key, gravity):
    """Wood Handbook Table 5-3a; density of the solid woods at 12 % moisture is 1000 G (1 + 0.12)."""
    assert material(key).gravity == gravity
    assert material(key).density == pytest.approx(1120 * gravity, abs=0.05)


@pytest.mark.parametrize(
    ("key", "diameter", "grams"),
    [("steel", 25.4, 67.18), ("steel", 16.0, 16.79), ("glass", 16.0, 5.362), ("glass", 25.0, 20.45)],
)
def test_mass_of_balls(key, diameter, grams):
    """(pi / 6) rho d3, worked to four figures by hand."""
    assert 1000 * ball_mass(diameter, ball_material(key).density) == pytest.approx(grams, rel=3e-4)


def test_short_grain_is_flagged_apart_from_the_density():
    """No source gives the factor, so no row's published density may stand for it."""
    assert material("hard-maple").source_of("weight").flag == "published"
    assert {m.source_of("short_grain").flag for m in materials().values()} == {"choice"}
    assert "no source" in material("hard-maple").source_of("short_grain").text


INCH_POUND = {
    "hard-maple": (15_800, 1.83, 2_330),
    "soft-maple": (13_400, 1.64, 1_850),
    "red-oak": (14_300, 1.82, 1_780),
    "white-oak": (15_200, 1.78, 2_000),
    "walnut": (14_600, 1.68, 1_370),
    "cherry": (12_300, 1.49, 1_700),
    "birch": (16_600, 2.01, 1_880),
    "beech": (14_900, 1.72, 2_010),
    "ash": (15_000, 1.74, 1_910),
    "poplar": (10_100, 1.58, 1_190),
    "pine": (8_600, 1.24, 900),
    "basswood": (8_700, 1.46, 990),
}
"""Wood Handbook Table 5-3b, from memory: bending strength, psi; stiffness, million psi; shear, psi."""
PSI = 6894.757e-6
"""MPa."""


@pytest.mark.parametrize(("key", "row"), INCH_POUND.items())
def test_strength_is_that_of_the_inch_pound_table(key, row):
    wood = material(key)
    bending, stiffness, shear = row
    assert wood.bending == pytest.approx(bending * PSI, abs=0.6)
    assert wood.stiffness == pytest.approx(stiffness * PSI * 1000, abs=0.06)
    assert wood.shear == pytest.approx(shear * PSI, abs=0.06)


SOLID = [m for m in materials().values() if m.kind == "solid"]
SHEETS = [m for m in materials().values() if m.kind != "solid"]


def test_every_solid_wood_of_the_table_is_checked():
    assert {m.id for m in SOLID} == set(INCH_POUND)


@pytest.mark.parametrize("wood", SOLID, ids=lambda m: m.id)
def test_movement_follows_from_the_shrinkage(wood):
    """Wood Handbook eq. 13-3 at 10 %: C = 1 / (3000 / S - 20), to a hundred thousandth."""
    assert wood.move_quarter < wood.move_flat
    if wood.shrinkage is None:
        assert "commercial group" in wood.source_of("movement").text
        return
    flat, quarter = wood.shrinkage
    assert wood.move_flat == pytest.approx(1 / (3000 / flat - 20), abs=1e-5)
    assert wood.move_quarter == pytest.approx(1 / (3000 / quarter - 20), abs=1e-5)


@pytest.mark.parametrize("wood", SOLID, ids=lambda m: m.id)
def test_wood_is_weak_across_its_grain(wood):
    """Wood Handbook chapter 5: across the grain bending and stiffness are a small share of those along it."""
    assert wood.bending_across < wood.bending / 4
    assert 0.02 < wood.stiffness_across / wood.stiffness < 0.1
    assert wood.compression_across < wood.compression / 3


@pytest.mark.parametrize("wood", SOLID, ids=lambda m: m.id)
def test_bending_across_the_grain_is_three_times_the_pull_there(wood):
    """ISO 13910, as told in Journal of Wood Science 67 (2021), article s10086-021-01966-8: the pull across the grain
    is a third of the bending stress at which sawn wood breaks across it. Of two sources the weaker one counts.
    """
    assert wood.bending_across == pytest.approx(3 * wood.tension_across)
    tension, bending = wood.source_of("tension_across").flag, wood.source_of("bending_across").flag
    assert bending == ("derived" if tension == "published" else tension)
    assert wood.bending_upright == wood.bending_across
    assert "small clear specimens" in wood.measured_as


@pytest.mark.parametrize("wood", SHEETS, ids=lambda m: m.id)
def test_what_stands_up_from_a_sheet_is_pulled_apart_between_its_layers(wood):
    """By the same share as sawn wood, for want of a test of sheets; that is said."""
    assert wood.bending_upright == wood.bending_through == pytest.approx(3 * wood.tension_across)
    assert wood.upright_source.flag == "memory"
    assert "clear specimens" not in wood.measured_as


@pytest.mark.parametrize(
    ("key", "tension"),
    [("red-oak", 5.5), ("walnut", 4.8), ("cherry", 3.9), ("poplar", 3.7), ("basswood", 2.4)],
)
def test_the_rule_that_fills_a_gap_agrees_with_what_is_published(key, tension):
    """10.1 G^1.30 (Wood Handbook Table 5-11a, from memory) fills in for the maples; here against Table 5-3a."""
    assert material(key).tension_across == tension
    assert 10.1 * material(key).gravity ** 1.30 == pytest.approx(tension, rel=0.17)


@pytest.mark.parametrize("key", ["hard-maple", "soft-maple"])
def test_what_is_not_published_for_a_species_says_so(key):
    wood = material(key)
    assert wood.tension_across == pytest.approx(10.1 * wood.gravity**1.30, abs=0.06)
    assert wood.source_of("tension_across").flag == "memory"
    assert wood.source_of("bending").flag == "published"


def test_sheets_are_weaker_than_the_wood_they_are_made_of():
    """Cross plies leave plywood about half along and more across; MDF as EN 622-5 asks, 12 to 19 mm: 20 MPa."""
    ply, solid, mdf = material("birch-plywood"), material("birch"), material("mdf")
    assert solid.bending_across < ply.bending_across < ply.bending < solid.bending
    assert ply.move_flat < solid.move_quarter / 10
    assert (mdf.bending, mdf.stiffness, mdf.tension_across) == (20.0, 2.2, 0.55)
    assert mdf.bending == mdf.bending_across
    assert mdf.move_thick > ply.move_thick > ply.move_flat


def test_a_material_of_ones_own():
    mine = Tables((Own("materials", "teak", "Teak", "white-oak", (("density", 655.0),)),))
    assert material("teak", mine).density == 655.0
    assert material("teak", mine).kind == "solid"
    assert material("teak", mine).source_of("weight").flag == "own"
    assert material("white-oak", mine) == material("white-oak")
    with pytest.raises(UnknownMaterialError, match="teak"):
        material("teak")


def test_an_acetal_ball_of_one_inch():
    assert 1000 * ball_mass(25.4, ball_material("acetal").density) == pytest.approx(12.10, rel=3e-4)


def test_every_row_is_sane():
    for sheet in materials().values():
        assert 0.2 < sheet.gravity < 1.2
        assert 200 < sheet.density < 1300
        assert sheet.short_grain >= 1
    for ball in ball_materials().values():
        assert 0 < ball.friction[0] < ball.friction[1] < 1
        assert 0 < ball.rolling[0] < ball.rolling[1] < 0.1


@pytest.mark.parametrize("ask", [material, ball_material])
def test_unknown_materials_are_refused_by_name(ask):
    with pytest.raises(
        UnknownMaterialError, match=r"no .*material 'cheese' in (materials|balls).toml; there are "
    ):
        ask("cheese")

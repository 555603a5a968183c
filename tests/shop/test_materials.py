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
    assert {m.short_grain_flag for m in materials().values()} == {"choice"}
    assert "no source" in material("hard-maple").short_grain_source


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

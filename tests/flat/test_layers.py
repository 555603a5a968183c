"""Layer names: legal in the strictest reader, and telling."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.flat.layers import ALLOWED, angle_code, layer, length_code
from desk.resources import table

KEYS = [key for key, row in table("layers.toml").items() if isinstance(row, dict) and "pattern" in row]


@pytest.mark.parametrize(
    ("key", "face", "sizes", "name"),
    [
        ("profile_out", "A", {}, "A_PROFILE_OUT"),
        ("profile_in", "A", {}, "A_PROFILE_IN"),
        ("pocket", "A", {"depth": 6.0}, "A_POCKET_D6P00"),
        ("pocket", "B", {"depth": 6.004}, "B_POCKET_D6P00"),
        ("drill", "B", {"diameter": 6.1, "depth": 8.0}, "B_DRILL_6P10_D8P00"),
        ("drill_through", "A", {"diameter": 12.7}, "A_DRILL_12P70_THRU"),
        ("vgroove", "A", {"angle": 90.0, "depth": 2.0}, "A_VGROOVE_90_D2P00"),
        ("vgroove", "A", {"angle": 82.5, "depth": 2.125}, "A_VGROOVE_82P5_D2P12"),
        ("rounding", "B", {"size": 3.0}, "HAND_B_ROUND_3P00"),
        ("label", "A", {}, "NOTE_LABEL"),
    ],
)
def test_names(key, face, sizes, name):
    assert layer(key, face, **sizes).name == name


@pytest.mark.parametrize("key", KEYS)
@given(st.floats(0.01, 999.0), st.floats(0.01, 999.0), st.floats(1.0, 179.0), st.sampled_from("AB"))
@settings(derandomize=True, max_examples=30, deadline=None)
def test_every_name_is_legal_for_any_size(key, diameter, depth, angle, face):
    # Letters, digits and underscore, 31 characters: what the strictest reader of DXF R12 tables takes.
    made = layer(key, face, angle, diameter=diameter, depth=depth, size=depth)
    assert ALLOWED.fullmatch(made.name), made.name
    assert len(made.name) <= 31
    assert "{" not in made.meaning
    assert 1 <= made.colour <= 255


def test_only_layers_without_hand_note_or_sheet_are_cut():
    for key in KEYS:
        made = layer(key, diameter=1.0, depth=1.0, size=1.0)
        assert made.cut == made.name.startswith(("A_", "B_")), made.name


@pytest.mark.parametrize("key", ["pocket", "drill", "vgroove"])
def test_the_machine_s_work_on_face_b_has_a_colour_of_its_own(key):
    one, other = (layer(key, face, angle=90.0, diameter=1.0, depth=1.0) for face in "AB")
    assert one.colour != other.colour


def test_names_differ_from_key_to_key():
    names = [layer(key, diameter=1.0, depth=1.0, size=1.0).name for key in KEYS]
    assert len(set(names)) == len(names)


def test_a_length_that_is_missing_is_told():
    with pytest.raises(KeyError, match="depth"):
        layer("pocket")


def test_the_meaning_carries_the_sizes():
    said = layer("drill", "B", diameter=6.1, depth=8.0).meaning
    assert said == "Drill 6.10 mm from face B, 8.00 mm deep."
    assert "82.5 degree" in layer("vgroove", angle=82.5, depth=1.0).meaning


def test_codes():
    assert length_code(100.0) == "100P00"
    assert angle_code(60.0) == "60"

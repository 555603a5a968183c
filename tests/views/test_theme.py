"""The theme's colours, contrasts and names."""

from __future__ import annotations

import pytest

from desk.views.theme import Theme, theme

DRAWN = [
    *(f"stock-{n}{far}" for n in range(1, 7) for far in ("", "-far")),
    *(
        "outline",
        "hidden",
        "hole",
        "pocket",
        "groove",
        "ball",
        "ball-resting",
        "ball-queue",
        "route",
        "table",
    ),
    *("sheet", "trap", "ghost", "conflict", "tight", "clear", "dimension", "handle"),
]
LETTERED = ["label", "label-small", "part-label", "title"]


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2 (definition of "relative luminance")."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    """Contrast ratio of WCAG 2.2."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.fixture(params=["light", "dark", "print"])
def look(request: pytest.FixtureRequest) -> Theme:
    return theme(request.param)


def test_every_style_of_the_views_is_there(look: Theme) -> None:
    loud = look.stroke("unknown")
    assert all(look.stroke(name) != loud for name in DRAWN)
    assert all(look.text(name) != look.text("unknown") for name in LETTERED)


def test_an_unknown_style_is_loud(look: Theme) -> None:
    assert look.stroke("stock-7").fill == look.text("no-such").colour == look.colour("nothing") == "#FF00C8"


def test_status_colours_are_the_published_ones(look: Theme) -> None:
    # Okabe and Ito, Color Universal Design (2008): vermillion 213 94 0, orange 230 159 0, bluish green 0 158 115
    assert [look.colour(s) for s in ("conflict", "tight", "clear")] == ["#D55E00", "#E69F00", "#009E73"]


def test_text_can_be_read(look: Theme) -> None:
    # WCAG 2.2, 1.4.3: 4.5 for text; 1.4.11: 3 for what is needed to operate
    for ground in ("sheet", "panel", "window", "raised"):
        assert contrast(look.colour("ink"), look.colour(ground)) >= 7
        assert contrast(look.colour("soft_ink"), look.colour(ground)) >= 4.5
    for status in ("conflict", "tight", "clear"):
        assert contrast(look.colour("on_status"), look.colour(status)) >= 4.5
    assert contrast(look.colour("ink"), look.colour("accent_wash")) >= 7
    assert contrast(look.colour("on_accent"), look.colour("accent")) >= 4.5
    for ground in ("sheet", "panel"):
        assert contrast(look.colour("accent"), look.colour(ground)) >= 3


def test_cut_parts_stand_out_from_those_behind(look: Theme) -> None:
    for n in range(1, 7):
        near, far = look.stroke(f"stock-{n}"), look.stroke(f"stock-{n}-far")
        assert near.fill != far.fill
        assert near.width > far.width
        assert contrast(near.line, look.colour("sheet")) > contrast(far.line, look.colour("sheet"))


def test_stocks_differ_from_each_other(look: Theme) -> None:
    assert len({look.stroke(f"stock-{n}").fill for n in range(1, 7)}) == 6


def test_conflict_is_hatched_more_densely_than_tight(look: Theme) -> None:
    assert look.hatch("conflict").gap < look.hatch("tight").gap < look.hatch("clear").gap

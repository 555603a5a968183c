"""Lettering: strokes stand between base line and letter height, set from left to right, and scale with it."""

from __future__ import annotations

import string

import numpy as np
import pytest

from desk.cabinet.lettering import strokes


def spread(text: str, height: float) -> np.ndarray:
    paths, _ = strokes(text, height)
    return np.array([p[:2] for path in paths for p in path])


@pytest.mark.parametrize("letter", string.ascii_uppercase + string.digits)
def test_every_letter_and_figure_is_cut_between_its_lines(letter):
    points = spread(letter, 14.0)
    _, width = strokes(letter, 14.0)
    tail = 0.1 * 14.0 if letter == "Q" else 0.0
    assert -tail - 1e-9 <= points[:, 1].min() <= 1e-9
    assert points[:, 1].max() == pytest.approx(14.0, abs=1e-9)
    assert points[:, 0].min() >= -1e-9
    assert points[:, 0].max() == pytest.approx(width)


def test_letters_follow_one_another_without_touching():
    ends = [strokes("TWELVE OAKS"[:k], 10.0)[1] for k in range(1, 12)]
    assert ends == sorted(ends)
    first = spread("T", 10.0)[:, 0].max()
    paths, _ = strokes("TW", 10.0)
    second = min(p[0] for path in paths[len(strokes("T", 10.0)[0]) :] for p in path)
    assert second > first + 0.5


def test_size_scales_everything():
    assert spread("OAK 12", 20.0) == pytest.approx(2 * spread("OAK 12", 10.0))
    assert strokes("OAK 12", 20.0)[1] == pytest.approx(2 * strokes("OAK 12", 10.0)[1])


def test_small_letters_are_capitals_and_unknown_ones_gaps():
    assert strokes("oak", 10.0) == strokes("OAK", 10.0)
    assert strokes("", 10.0) == ((), 0.0)
    gap, _ = strokes("A\u2603A", 10.0)
    plain, _ = strokes("A A", 10.0)
    assert gap == plain

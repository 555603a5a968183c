"""Lengths in lists and notes: fractions of an inch as they are sold, mm unchanged.

The inch is 25.4 mm exactly (international yard and pound agreement of 1959): 13/16 in = 20.6375 mm, 1 1/8 in =
28.575 mm.
"""

from __future__ import annotations

import pytest

from desk.flat.measures import bought, inches, size, told


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (6.35, "1/4"),
        (28.575, "1 1/8"),
        (20.64, "13/16"),
        (25.4, "1"),
        (147.5, "5.807"),
        (0.02, "0.001"),
        (1219.2, "48"),
    ],
)
def test_a_number_of_inches_is_a_fraction_where_it_is_one(mm, text):
    assert inches(mm) == text


@pytest.mark.parametrize(
    ("name", "inch", "metric"),
    [
        (
            "countersunk wood screw No. 6 x 20.6375 mm",
            "countersunk wood screw No. 6 x 13/16 in",
            "countersunk wood screw No. 6 x 20.64 mm",
        ),
        ("dowel 6.35 x 28.575 mm", "dowel 1/4 x 1 1/8 in", "dowel 6.35 x 28.57 mm"),
        (
            "dowel rod 6.35 mm, cut to 147.5 mm",
            "dowel rod 1/4 in, cut to 5.807 in",
            "dowel rod 6.35 mm, cut to 147.5 mm",
        ),
        ("wood screw 3.5 x 16 mm", "wood screw 3.5 x 16 mm", "wood screw 3.5 x 16 mm"),
        ("dowel rod 6 mm, cut to 25.4 mm", "dowel rod 6 mm, cut to 1 in", "dowel rod 6 mm, cut to 25.4 mm"),
        ("dowel 8 x 40 mm", "dowel 8 x 40 mm", "dowel 8 x 40 mm"),
        ("12.7 mm", "1/2 in", "12.7 mm"),
    ],
)
def test_hardware_is_named_as_it_is_sold(name, inch, metric):
    """What is made by mm is no fraction of an inch and keeps the name it is sold by."""
    assert bought(name, "in") == inch
    assert bought(name, "mm") == metric


def test_work_is_told_in_inches_with_the_mm_of_the_drawing():
    text = "9 x hole 6.45 mm across, 7.94 mm deep, face A"
    assert told(text, "mm") == text
    assert told(text, "in") == "9 x hole 0.254 in (6.45 mm) across, 5/16 in (7.94 mm) deep, face A"
    assert told("V-groove 90 degrees", "in") == "V-groove 90 degrees"


def test_a_size():
    assert size("1219.2", "609.6", "mm") == "1219.2 x 609.6 mm"
    assert size("1219.2", "609.6", "in") == "48 x 24 in (1219.2 x 609.6 mm)"

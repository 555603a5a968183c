"""Lengths in lists and notes: mm, and where the design is in inches those first, as a shop reads and sells them.

The drawings themselves and the names of files and layers stay in mm. The inch is 25.4 mm exactly (international
yard and pound agreement of 1959).
"""

from __future__ import annotations

import re

from desk.units import MM_PER_INCH, Unit, format_length

_SAID = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) mm\b(?![²³])")
_SIZES = re.compile(r"(?<![\w./])(?<!No\. )(\d+(?:\.\d+)?)(?= mm\b| x \d+(?:\.\d+)? mm\b)")
"""The numbers of a name that are lengths: not the gauge of a screw."""


def plain_mm(mm: float) -> str:
    """A length in mm to two decimals at most."""
    return f"{round(mm, 2):g}" if mm < 1000 else format_length(round(mm, 2), "mm")


def inches(mm: float) -> str:
    """A length as a number of inches: a fraction down to 1/64 where it is one, else three decimals."""
    text = format_length(mm, "in")
    return f"{mm / MM_PER_INCH:.3f}" if "." in text else text


def told(text: str, unit: Unit) -> str:
    """A text of a part's work with its lengths in the design's unit; in inches with the mm in brackets."""
    if unit == "mm":
        return text
    return _SAID.sub(lambda found: f"{inches(float(found[1]))} in ({found[1]} mm)", text)


def size(length: str, width: str, unit: Unit) -> str:
    """Two lengths written in mm as a size: "186.50 x 294.00 mm", in inches with the mm in brackets."""
    text = f"{length} x {width} mm"
    return text if unit == "mm" else f"{inches(float(length))} x {inches(float(width))} in ({text})"


def bought(name: str, unit: Unit) -> str:
    """The name something is bought by: "No. 6 x 13/16 in" in a design in inches.

    What is sold by mm keeps its name there too: one that has a length which is no fraction of an inch, unless that
    length is only cut to.
    """
    sold, cut, rest = name.partition(", cut to ")
    if unit == "in" and all("." not in inches(float(n)) for n in _SIZES.findall(sold)):
        sold = _SIZES.sub(lambda found: inches(float(found[1])), sold).replace(" mm", " in")
    if unit == "in":
        rest = _SIZES.sub(lambda found: inches(float(found[1])), rest).replace(" mm", " in")
    return _SIZES.sub(lambda found: plain_mm(float(found[1])), sold + cut + rest)

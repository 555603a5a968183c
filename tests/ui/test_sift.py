"""What the list of findings is sifted by."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from desk.checks.finding import Place
from desk.ui.sift import Sift

from .fakes import LANE, finding

SPOT = Place(LANE, "point", ((0.0, 0.0),))
GAP = finding(1, "conflict", "Gutter gap passes the ball", -0.5, SPOT, None)
LABELS = {"deck": "Deck", "board": "Target board"}


@pytest.mark.parametrize(
    ("sift", "passes"),
    [
        (Sift(), True),
        (Sift(text="GUTTER"), True),
        (Sift(text="gap gutter"), True),
        (Sift(text="gutter lip"), False),
        (Sift(text="target"), True),
        (Sift(text="needed"), True),
        (Sift(text="c01"), True),
        (Sift(status="conflict"), True),
        (Sift(status="tight"), False),
        (Sift(status="muted"), False),
        (Sift(family="ball"), True),
        (Sift(family="joints"), False),
        (Sift(part="deck"), True),
        (Sift(part="lifter"), False),
        (Sift(text="gap", status="conflict", family="ball", part="board"), True),
        (Sift(text="gap", status="conflict", family="ball", part="lifter"), False),
    ],
)
def test_all_that_is_asked_for_has_to_be_so(sift: Sift, passes: bool) -> None:
    assert sift.passes(GAP, LABELS) is passes


def test_what_is_muted_is_under_muted_alone_and_found_by_its_reason() -> None:
    quiet = replace(GAP, muted="filed by hand")
    assert Sift(status="muted").passes(quiet, LABELS)
    assert not Sift(status="conflict").passes(quiet, LABELS)
    assert Sift(text="filed").passes(quiet, LABELS)


@pytest.mark.parametrize(
    ("sift", "active"),
    [(Sift(), False), (Sift(text="  "), False), (Sift(text="a"), True), (Sift(part="b"), True)],
)
def test_when_anything_is_asked_for(sift: Sift, active: bool) -> None:
    assert sift.active is active

"""The sharing picture's page: what is told, what is left out and said to be, on whatever paper."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

import msgspec
import pytest

from desk.checks.finding import Finding
from desk.evaluate import Evaluation
from desk.views.drawing import Dimension, Ring
from desk.views.letters import measure
from desk.views.sheet import FOOT, PAGE, paint_sheet, still
from desk.views.theme import Hatch, Letters, Stroke, theme
from desk.views.viewport import Box, Px, Viewport

from .designs import evaluated, faulty

LOOK = theme("print")


@dataclass
class Slate:
    """A surface that keeps its texts with their places on the page."""

    corner: Px
    texts: list[tuple[str, Box]]

    def rings(self, rings: tuple[Ring, ...], closed: bool, stroke: Stroke) -> None: ...
    def hatch(self, rings: tuple[Ring, ...], hatch: Hatch) -> None: ...
    def disc(self, centre: Px, radius: float, stroke: Stroke) -> None: ...
    def line(self, points: tuple[Px, ...], stroke: Stroke, closed: bool = False) -> None: ...
    def strokes(self, ends: tuple[tuple[Px, Px], ...], stroke: Stroke) -> None: ...
    def box(self, box: Box, stroke: Stroke) -> None: ...

    def text(self, box: Box, text: str, letters: Letters, angle: float = 0.0, left: bool = False) -> None:
        x, y = self.corner
        self.texts.append((text, (box[0] + x, box[1] + y, box[2] + x, box[3] + y)))


@dataclass
class Notebook:
    """Paper that keeps what is written and which areas are drawn in."""

    texts: list[tuple[str, Box]] = field(default_factory=list)
    areas: list[Box] = field(default_factory=list)

    @contextmanager
    def area(self, box: Box, view: Viewport) -> Iterator[Slate]:
        self.areas.append(box)
        yield Slate((box[0], box[1]), self.texts)

    def measure(self, text: str, style: str) -> tuple[float, float]:
        return measure(text, LOOK.text(style))

    def said(self) -> list[str]:
        return [text for text, _ in self.texts]


def painted(evaluation: Evaluation) -> Notebook:
    paper = Notebook()
    paint_sheet(paper, evaluation, LOOK)
    return paper


def with_findings(findings: tuple[Finding, ...]) -> Evaluation:
    return replace(evaluated("starting"), findings=findings)


def wrong(count: int, title: str = "Part {} is too thin") -> tuple[Finding, ...]:
    sample = next(f for f in faulty().findings if f.status == "conflict")
    return tuple(
        msgspec.structs.replace(sample, key=f"made/{k}", title=title.format(k)) for k in range(count)
    )


def test_views_lie_on_the_page_beside_one_another() -> None:
    page, *views = painted(evaluated("starting")).areas
    assert page == (0.0, 0.0, *PAGE)
    for k, a in enumerate(views):
        assert 0 <= a[0] < a[2] <= PAGE[0]
        assert 0 <= a[1] < a[3] <= FOOT + 1e-6
        for b in views[k + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_every_finding_that_is_not_clear_is_told_when_there_is_room() -> None:
    said = " ".join(painted(with_findings(wrong(12))).said())
    assert all(f"Part {k} is too thin" in said for k in range(12))
    assert "more" not in said.split()


@pytest.mark.parametrize(
    "title", ["Part {} is too thin", "Part {} " + "is much too thin and will break " * 3]
)
def test_findings_beyond_the_page_are_counted(title: str) -> None:
    paper = painted(with_findings(wrong(90, title)))
    told = sum(text.startswith("Part ") for text in paper.said())
    assert 5 < told < 90
    assert f"and {90 - told} more" in paper.said()
    assert all(box[3] <= PAGE[1] for _, box in paper.texts)


def test_like_findings_share_a_row() -> None:
    said = painted(with_findings(wrong(3, "The same"))).said()
    assert "The same (3 places)" in said
    assert "The same" not in said


def test_no_finding_is_said_to_be_none() -> None:
    assert "Nothing is in conflict and nothing is tight." in painted(with_findings(())).said()


def test_muted_findings_stand_below_with_their_reasons_and_keep_their_room() -> None:
    loud, quiet = wrong(90), wrong(2, "Rib {} is loose")
    quiet = tuple(msgspec.structs.replace(f, key=f"{f.key}/m", muted="glued in") for f in quiet)
    said = painted(with_findings((*loud, *quiet))).said()
    assert "Rib 0 is loose: muted, glued in" in said
    assert "Rib 1 is loose: muted, glued in" in said
    assert "2 muted" in said
    assert any(text.startswith("and ") and text.endswith(" more") for text in said)


def test_only_muted_findings_left() -> None:
    quiet = tuple(msgspec.structs.replace(f, muted="glued in") for f in wrong(60))
    paper = painted(with_findings(quiet))
    assert "Nothing but what is muted is in conflict and nothing is tight." in paper.said()
    assert "0 in conflict" in paper.said()
    assert any(text.endswith(" more muted") for text in paper.said())
    assert all(box[3] <= PAGE[1] for _, box in paper.texts)


def test_the_trough_is_shown_where_the_findings_leave_room() -> None:
    title = evaluated("starting").drawings["rear"].title
    assert title in painted(with_findings(wrong(2))).said()
    assert title not in painted(with_findings(wrong(20))).said()


def test_sizes_are_in_the_design_s_unit_and_as_typed() -> None:
    said = painted(evaluated("inches")).said()
    assert "1/2 in" in said
    assert any(text.endswith("in (long, wide, high)") for text in said)
    assert "Drawn with Lanewright. Lengths in inches" in said


def test_still_keeps_leading_sizes_only() -> None:
    drawing = evaluated("starting").drawings["lane"]
    kept = [i for i in still(drawing).items if isinstance(i, Dimension)]
    assert kept == [i for i in drawing.items if isinstance(i, Dimension) and i.primary and i.shape != "point"]
    assert [i for i in still(drawing).items if not isinstance(i, Dimension)] == [
        i for i in drawing.items if not isinstance(i, Dimension)
    ]

"""The small drawing of a finding: it holds its place, and its lengths are to scale, for every check there is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path as File
from xml.etree import ElementTree

import pytest
import shapely

from desk.cabinet.model import Cabinet
from desk.checks.finding import Finding, Place
from desk.checks.run import checks, run
from desk.design.file import load
from desk.evaluate import Evaluation, evaluate
from desk.shapes.frame import Frame, dot
from desk.views.bars import PX, SHAPE
from desk.views.boxes import overlaps
from desk.views.detail import detail, from_usual_side, turned_up
from desk.views.drawing import Disc, Drawing, Path, Text
from desk.views.layout import Layout, Look, Plot
from desk.views.letters import measure
from desk.views.reading import has_lengths
from desk.views.stand import STANDS, stand
from desk.views.svg import PX_PER_MM, drawing_svg
from desk.views.theme import theme
from desk.views.viewport import fit_scale, placed
from desk.views.wording import amount, dimension_words
from tests.checks.pairs import PAIRS

EXAMPLES = sorted((File(__file__).resolve().parents[2] / "examples").glob("*.lane"))
CHECKS = [c.id for c in checks()]


@cache
def example(path: File) -> Evaluation:
    return evaluate(load(path))


@cache
def cases(check: str) -> tuple[tuple[Cabinet, Finding], ...]:
    """Findings of a check with a place: in the examples and in the cabinets that are made to conflict and be clear."""
    found = [(example(p).cabinet, f) for p in EXAMPLES for f in example(p).findings if f.check == check]
    if check in PAIRS:
        for given in (PAIRS[check].conflict, PAIRS[check].clear):
            cabinet, needs = given()
            found += [(cabinet, f) for f in run(cabinet, [check], needs=needs)]
    return tuple((cabinet, f) for cabinet, f in found if f.places)


def bars(drawing: Drawing) -> Iterator[tuple[Path, tuple[float, float], tuple[float, float]]]:
    for item in drawing.items:
        if isinstance(item, Path) and item.style.startswith("bar-") and item.style != "bar-tick":
            (ends,) = item.rings
            yield item, ends[0], ends[-1]


def words(drawing: Drawing) -> list[Text]:
    return [i for i in drawing.items if isinstance(i, Text) and i.style == "length"]


def plots(drawing: Drawing, width: float = PX) -> tuple[Plot, ...]:
    """The drawing laid out at a width, px, with the letters of the table."""
    size = (width, width / SHAPE)
    layout = Layout(
        lambda text, style: measure(text, theme("light").text(style)),
        lambda item, pointed: dimension_words(item, "mm", pointed),
    )
    view = placed(drawing.extent, fit_scale(drawing.extent, *size, 0.0), *size)
    return layout.plots(drawing, view, size, Look())


@pytest.mark.parametrize("check", CHECKS)
def test_the_drawing_holds_its_place(check: str) -> None:
    for cabinet, finding in cases(check):
        drawing = detail(cabinet, finding)
        assert drawing is not None
        assert drawing.title
        x0, y0, x1, y1 = drawing.extent
        assert all(map(math.isfinite, drawing.extent))
        assert (x1 - x0) / (y1 - y0) == pytest.approx(SHAPE, rel=1e-3)
        place = stand(cabinet, finding).place
        for x, y in place.points:
            across, up, depth = drawing.frame.local(place.frame.world(x, y))
            assert abs(depth) < 1e-6
            assert x0 < across < x1
            assert y0 < up < y1
        marked = [i for i in drawing.items if isinstance(i, Path) and i.finding == finding.key]
        dots = [i for i in drawing.items if isinstance(i, Disc) and i.style == finding.status]
        assert marked or dots
        assert any(isinstance(i, Path) and (i.part or i.style == "table") for i in drawing.items)


@pytest.mark.parametrize("check", CHECKS)
def test_lengths_are_drawn_to_scale_and_nothing_else_is(check: str) -> None:
    for cabinet, finding in cases(check):
        drawing = detail(cabinet, finding)
        assert drawing is not None
        drawn = {bar.style: (a, b) for bar, a, b in bars(drawing)}
        if not has_lengths(finding):
            assert drawn == {}
            continue
        assert set(drawn) == {f"bar-{finding.status}", "bar-needed"}
        assert finding.measured is not None
        assert finding.needed is not None
        (a, b), (c, d) = drawn[f"bar-{finding.status}"], drawn["bar-needed"]
        assert math.dist(a, b) == pytest.approx(abs(finding.measured), abs=0.003)
        assert math.dist(c, d) == pytest.approx(abs(finding.needed), abs=0.003)
        inner = (b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1])
        outer = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
        size = math.dist(a, b) * math.dist(c, d)
        assert abs(outer) <= 0.01 * size + 0.01
        assert size < 0.01 or inner * finding.measured * finding.needed > 0
        box = shapely.box(*drawing.extent)
        assert all(box.contains(shapely.Point(p)) for p in (a, b, c, d))


@pytest.mark.parametrize("check", CHECKS)
def test_both_numbers_are_told_inside_the_drawing_and_apart(check: str) -> None:
    for cabinet, finding in cases(check):
        drawing = detail(cabinet, finding)
        assert drawing is not None
        said = " ".join(text.text for text in words(drawing))
        for value in (finding.measured, finding.needed):
            assert value is None or amount(value, finding.unit, "mm") in said
        shown = [p for p in plots(drawing) if isinstance(p.item, Text) and p.item.style == "length"]
        assert len(shown) == len(words(drawing))
        boxes = [p.label for p in shown if p.label is not None]
        for k, box in enumerate(boxes):
            assert box[0] >= 0
            assert box[1] >= 0
            assert box[2] <= PX
            assert box[3] <= PX / SHAPE
            assert not any(overlaps(box, other) for other in boxes[:k])


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_parts_are_named_once_and_inside(path: File) -> None:
    evaluation = example(path)
    named = 0
    for finding in evaluation.findings:
        drawing = detail(evaluation.cabinet, finding)
        if drawing is None:
            assert not finding.places
            continue
        labels = [i.text for i in drawing.items if isinstance(i, Text) and i.style == "part-label"]
        assert len(labels) == len(set(labels))
        named += bool(labels)
        x0, y0, x1, y1 = drawing.extent
        for plot in plots(drawing):
            if isinstance(plot.item, Text) and plot.item.style == "part-label":
                assert x0 < plot.item.at[0] < x1
                assert y0 < plot.item.at[1] < y1
    assert named > 10


def test_it_is_told_in_the_unit_asked_for() -> None:
    evaluation = example(EXAMPLES[0])
    finding = next(f for f in evaluation.findings if f.check == "hole-edge")
    drawing = detail(evaluation.cabinet, finding, "in")
    assert drawing is not None
    assert {t.text.split()[-1] for t in words(drawing)} == {"in"}


def test_a_finding_without_a_place_has_no_drawing() -> None:
    evaluation = example(EXAMPLES[0])
    finding = next(f for f in evaluation.findings if not f.places)
    assert detail(evaluation.cabinet, finding) is None


def test_the_measured_edge_distance_runs_from_the_hole_to_the_edge() -> None:
    """The place is the measured line itself, and the bar covers it from the hole's middle to the edge of the wood."""
    evaluation = example(next(p for p in EXAMPLES if p.stem == "broken"))
    finding = next(f for f in evaluation.findings if f.check == "hole-edge" and f.status == "conflict")
    part = evaluation.cabinet.by_id[finding.parts[0]]
    drawing = detail(evaluation.cabinet, finding)
    assert drawing is not None
    a, b = next((a, b) for bar, a, b in bars(drawing) if bar.style == "bar-conflict")
    ends = [part.frame.local(drawing.frame.world(*p))[:2] for p in (a, b)]
    assert min(math.dist(ends[0], d.at) for d in part.drills) < 0.002
    assert part.outline.polygon.boundary.distance(shapely.Point(ends[1])) < 0.02


def test_a_ball_is_shown_beside_what_it_leaves() -> None:
    evaluation = example(EXAMPLES[0])
    finding = next(f for f in evaluation.findings if f.check == "gutter-gap" and f.places)
    drawing = detail(evaluation.cabinet, finding)
    assert drawing is not None
    (ball,) = (i for i in drawing.items if isinstance(i, Disc) and i.style == "ball")
    assert ball.radius == pytest.approx(evaluation.cabinet.balls.largest / 2)
    place = finding.places[0]
    ends = [drawing.frame.local(place.frame.world(*p))[:2] for p in place.points]
    assert min(math.dist(ball.centre, end) for end in ends) == pytest.approx(ball.radius, abs=0.1)


@pytest.mark.parametrize("key", sorted(STANDS))
def test_every_way_to_stand_belongs_to_a_check(key: str) -> None:
    assert key in CHECKS


def test_the_whole_cabinet_is_shown_where_the_place_is_a_point_of_it() -> None:
    evaluation = example(EXAMPLES[0])
    finding = next(f for f in evaluation.findings if f.check == "weight")
    drawing = detail(evaluation.cabinet, finding)
    assert drawing is not None
    assert drawing.extent[2] - drawing.extent[0] > evaluation.cabinet.marks.lengths["depth"]


@pytest.mark.parametrize(
    ("u", "v"),
    [
        ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0)),
        ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
        ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        ((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    ],
)
def test_frames_are_turned_the_way_the_views_look(
    u: tuple[float, float, float], v: tuple[float, float, float]
) -> None:
    """Up stays up, and one looks from the right, from the front or from above, at the same plane."""
    before = Frame((3.0, 4.0, 5.0), u, v)
    frame = from_usual_side(turned_up(before))
    x, y, z = frame.normal
    assert max(-x, y, z) > 0.999
    assert frame.v[2] > 0.999 or abs(z) > 0.999
    assert frame.origin == before.origin
    assert abs(dot(frame.u, frame.v)) < 1e-9
    assert abs(dot(frame.normal, before.normal)) > 0.999


def test_other_places_of_the_finding_in_view_are_marked_too() -> None:
    evaluation = example(EXAMPLES[0])
    board = evaluation.cabinet.by_id["board"]
    source = next(f.source for f in evaluation.findings)
    spots = tuple(Place(board.frame, "point", ((x, 40.0),)) for x in (30.0, 36.0, 120.0))
    finding = Finding(
        "a/b", 1, "a", "f", "tight", "T", ("board",), None, None, None, "", "why", source, spots
    )
    drawing = detail(evaluation.cabinet, finding)
    assert drawing is not None
    dots = [i.centre[0] for i in drawing.items if isinstance(i, Disc) and i.style == "tight"]
    assert dots == pytest.approx([30.0, 36.0])
    assert words(drawing) == []


def test_it_is_written_as_svg_by_the_same_painter() -> None:
    evaluation = example(EXAMPLES[0])
    finding = next(f for f in evaluation.findings if f.check == "gutter-gap")
    drawing = detail(evaluation.cabinet, finding)
    assert drawing is not None
    root = ElementTree.fromstring(
        drawing_svg(drawing, "mm", PX / (drawing.extent[2] - drawing.extent[0]) / PX_PER_MM)
    )
    said = "".join(root.itertext())
    assert all(text.text in said for text in words(drawing))

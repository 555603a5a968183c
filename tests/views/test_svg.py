"""SVG files: well formed, in mm, true to the drawing, and readable by a general-purpose renderer."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass

import msgspec
import pytest
from PySide6.QtCore import QByteArray
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from desk.evaluate import Evaluation, evaluate
from desk.shapes.frame import Frame
from desk.views.drawing import Dimension, Disc, Drawing, Item, Marker, Path, Pull, Text
from desk.views.letters import measure
from desk.views.svg import MM_PER_PX, drawing_svg, mm, sheet_svg
from desk.views.theme import theme
from desk.views.views import VIEWS

from .designs import DESIGNS, evaluated, faulty

SVG = "{http://www.w3.org/2000/svg}"
FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
LOOK = theme("print")


def drawing(*items: Item) -> Drawing:
    return Drawing("made", "Made <up> & tried", FRAME, (0.0, 0.0, 100.0, 100.0), items)


def parsed(*items: Item, scale: float = 1.0) -> ET.Element:
    return ET.fromstring(drawing_svg(drawing(*items), scale=scale))


def numbers(text: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?[0-9.]+", text)]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", DESIGNS)
def test_views_are_well_formed_and_in_mm(name: str, view: str) -> None:
    text = drawing_svg(evaluated(name).drawings[view], DESIGNS[name].unit)
    root = ET.fromstring(text)
    x, y, w, h = numbers(root.attrib["viewBox"])
    assert (x, y) == (0.0, 0.0)
    assert root.attrib["width"] == f"{mm(w / MM_PER_PX)}mm"
    assert root.attrib["height"] == f"{mm(h / MM_PER_PX)}mm"
    assert not re.search(r"nan|inf|[0-9]e[-+]?[0-9]|None", text)
    assert text.count("http") == 1, "a picture refers to nothing outside itself"
    assert QSvgRenderer(QByteArray(text.encode())).isValid()


@pytest.mark.parametrize("scale", [0.25, 1.0, 2.0])
def test_shapes_are_true_to_scale_and_y_points_up(scale: float) -> None:
    root = parsed(Path((SQUARE,), "stock-1"), Disc((50.0, 100.0), 8.0, "ball"), scale=scale)
    path = root.find(f"{SVG}path")
    disc = root.find(f"{SVG}circle")
    assert path is not None
    assert disc is not None
    values = numbers(path.attrib["d"])
    xs, ys = values[0::2], values[1::2]
    assert max(xs) - min(xs) == pytest.approx(100 * scale, abs=1e-3)
    assert max(ys) - min(ys) == pytest.approx(100 * scale, abs=1e-3)
    assert float(disc.attrib["r"]) == pytest.approx(8 * scale, abs=1e-3)
    assert float(disc.attrib["cy"]) == pytest.approx(min(ys), abs=1e-3)


def test_a_hole_stays_open() -> None:
    """Read by Qt's renderer: wood round the hole, paper in it."""
    inner = ((40.0, 40.0), (60.0, 40.0), (60.0, 60.0), (40.0, 60.0))
    text = drawing_svg(drawing(Path((SQUARE, inner), "stock-1")))
    renderer = QSvgRenderer(QByteArray(text.encode()))
    size = renderer.viewBoxF().size()
    image = QImage(int(size.width() * 4), int(size.height() * 4), QImage.Format.Format_RGB32)
    painter = QPainter(image)
    renderer.render(painter)
    painter.end()
    middle = image.pixelColor(image.width() // 2, image.height() // 2)
    beside = image.pixelColor(image.width() // 2 - 120, image.height() // 2)
    assert middle == QColor(LOOK.colour("sheet"))
    assert beside == QColor(LOOK.colour("stock_1"))


def test_a_finding_is_hatched_and_flagged_by_shape_as_well_as_colour() -> None:
    area = Path((SQUARE,), "conflict", True, "", "conflict", "a/1")
    root = parsed(area, Marker((50.0, 50.0), 3, "conflict", "a/1"), Marker((20.0, 20.0), 4, "tight", "b/1"))
    hatched = [p for p in root.iter(f"{SVG}path") if p.attrib["fill"].startswith("url(#")]
    assert len(hatched) == 1
    key = hatched[0].attrib["fill"][5:-1]
    assert [p.attrib["id"] for p in root.iter(f"{SVG}pattern")] == [key]
    shapes = list(root.iter(f"{SVG}polygon"))
    cloth = [s for s in shapes if s.attrib["fill"] == LOOK.colour("conflict")]
    ring = [s for s in shapes if s.attrib.get("stroke") == LOOK.colour("tight")]
    assert len(cloth) == len(ring) == 1
    assert ring[0].attrib["fill"] != LOOK.colour("tight")
    assert {t.text for t in root.iter(f"{SVG}text")} == {"3", "4"}


def test_texts_keep_every_letter() -> None:
    said = "<b> & \"quoted\" 'half' ½ − × ° 木"
    root = parsed(Text((50.0, 50.0), said, "label"))
    assert [t.text for t in root.iter(f"{SVG}text")] == [said]
    title = root.find(f"{SVG}title")
    assert title is not None
    assert title.text == "Made <up> & tried"


def test_a_turned_text_turns_counter_clockwise() -> None:
    text = parsed(Text((50.0, 50.0), "steep", "label", angle=30.0)).find(f"{SVG}text")
    assert text is not None
    assert text.attrib["transform"].startswith("rotate(-30 ")


def test_dimensions_carry_their_value_and_no_handle() -> None:
    pull = (Pull("lane.length", (1.0, 0.0), 1.0),)
    size = Dimension(
        "lane.length", "line", (0.0, 0.0), (100.0, 0.0), -10.0, (100.0, -10.0), pull, "Deck", 100.0, "length"
    )
    root = parsed(Path((SQUARE,), "stock-1"), size)
    assert [t.text for t in root.iter(f"{SVG}text")] == ["100"]
    assert not list(root.iter(f"{SVG}polygon"))


def test_lesser_sizes_and_bare_handles_are_left_out() -> None:
    common = ((0.0, 0.0), (100.0, 0.0), -10.0, (100.0, -10.0), (), "Deck", 100.0, "length")
    lesser = Dimension("lane.length", "line", *common, primary=False)
    bare = Dimension("lane.rise", "point", *common)
    assert not list(parsed(lesser, bare).iter(f"{SVG}text"))


@dataclass(frozen=True)
class Box:
    text: str
    x0: float
    y0: float
    x1: float
    y1: float

    def overlaps(self, other: Box, slack: float) -> bool:
        return (
            self.x0 + slack < other.x1
            and other.x0 + slack < self.x1
            and self.y0 + slack < other.y1
            and other.y0 + slack < self.y1
        )


def boxes(root: ET.Element) -> list[Box]:
    """Where the letters of each text are, mm; capitals reach 0.73 of the type size above the line."""
    found = []
    for text in root.iter(f"{SVG}text"):
        a, said = text.attrib, text.text or ""
        size = float(a["font-size"])
        letters = LOOK.text("label")
        family = LOOK.text("title").families if "serif'" in a["font-family"].lower() else letters.families
        styled = type(letters)("", family, size / MM_PER_PX * 72 / 96, int(a.get("font-weight", "400")))
        wide = measure(said, styled)[0] * MM_PER_PX
        left = float(a["x"]) - (wide / 2 if a.get("text-anchor") == "middle" else 0.0)
        base = float(a["y"])
        found.append(Box(said, left, base - 0.73 * size, left + wide, base))
    return found


PAGES: dict[str, Evaluation] = {**{name: evaluated(name) for name in DESIGNS}, "faulty": faulty()}


@pytest.mark.parametrize("name", PAGES)
def test_no_text_of_the_picture_is_cut_off_or_covered(name: str) -> None:
    root = ET.fromstring(sheet_svg(PAGES[name]))
    _, _, w, h = numbers(root.attrib["viewBox"])
    placed = boxes(root)
    assert len(placed) > 40
    assert [b.text for b in placed if b.x0 < 0 or b.y0 < 0 or b.x1 > w or b.y1 > h] == []
    covered = [(a.text, b.text) for a, b in itertools.combinations(placed, 2) if a.overlaps(b, 0.2)]
    assert covered == []


def test_the_picture_holds_views_sizes_sheets_and_findings() -> None:
    evaluation = faulty()
    said = [t.text or "" for t in ET.fromstring(sheet_svg(evaluation)).iter(f"{SVG}text")]
    for view in ("lane", "channel", "plan", "face"):
        assert evaluation.drawings[view].title in said
    for word in ("Sizes", "Sheets", "Findings", evaluation.design.name, "Ball diameter", "16 mm"):
        assert word in said
    assert evaluation.findings[0].title.split()[0] in " ".join(said)
    assert f"{evaluation.count('conflict')} in conflict" in said


def test_the_picture_is_the_same_each_time() -> None:
    design = DESIGNS["starting"]
    assert sheet_svg(evaluate(design)) == sheet_svg(evaluated("starting"))


@pytest.mark.parametrize("length", [1, 40, 200])
def test_long_names_fit(length: int) -> None:
    design = msgspec.structs.replace(DESIGNS["starting"], name="W" * length)
    root = ET.fromstring(sheet_svg(evaluate(design)))
    _, _, w, _ = numbers(root.attrib["viewBox"])
    assert all(b.x1 <= w for b in boxes(root))


def test_lengths_are_written_plainly() -> None:
    assert [mm(v / MM_PER_PX) for v in (0.0, -0.00001, 1.0, 2.5, 123.45678)] == [
        "0",
        "0",
        "1",
        "2.5",
        "123.457",
    ]

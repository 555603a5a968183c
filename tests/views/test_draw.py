"""Drawings painted on a surface that collects the calls."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from desk.cabinet.model import Status
from desk.views.draw import Surface, badge, draw, pulse
from desk.views.drawing import Dimension, Disc, Drawing, Item, Marker, Path, Pull, Ring, Text
from desk.views.layout import Layout, Look, Note, note_plot
from desk.views.theme import Hatch, Letters, Stroke, theme
from desk.views.viewport import Box, Px, Viewport

from .pieces import LANE, measure, words

SQUARE: tuple[Ring, ...] = (((0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)),)
VIEW = Viewport(2.0, 100.0, 200.0)
LOOK = theme("light")


@dataclass
class Collector:
    """A surface that remembers what was asked of it."""

    calls: list[tuple[object, ...]] = field(default_factory=list)

    def rings(self, rings: tuple[Ring, ...], closed: bool, stroke: Stroke) -> None:
        self.calls.append(("rings", rings, closed, stroke))

    def hatch(self, rings: tuple[Ring, ...], hatch: Hatch) -> None:
        self.calls.append(("hatch", rings, hatch))

    def disc(self, centre: Px, radius: float, stroke: Stroke) -> None:
        self.calls.append(("disc", centre, radius, stroke))

    def line(self, points: tuple[Px, ...], stroke: Stroke, closed: bool = False) -> None:
        self.calls.append(("line", points, stroke, closed))

    def strokes(self, ends: tuple[tuple[Px, Px], ...], stroke: Stroke) -> None:
        self.calls.append(("strokes", ends, stroke))

    def box(self, box: Box, stroke: Stroke) -> None:
        self.calls.append(("box", box, stroke))

    def text(self, box: Box, text: str, letters: Letters, angle: float = 0.0, left: bool = False) -> None:
        self.calls.append(("text", text, letters, box))

    def named(self, name: str) -> list[tuple[object, ...]]:
        return [c for c in self.calls if c[0] == name]


def painted(
    *items: Item, look: Look | None = None, within: Box | None = None, grips: bool = True
) -> Collector:
    surface: Collector = Collector()
    whole = Drawing("lane", "Lane", LANE, (0.0, 0.0, 100.0, 100.0), items)
    plots = Layout(measure, words).plots(whole, VIEW, (600.0, 400.0), look or Look())
    draw(surface, plots, VIEW, LOOK, within, grips)
    return surface


def row(**changes: object) -> Dimension:
    fields: dict[str, object] = {
        "id": "lane.x",
        "shape": "line",
        "start": (0.0, 0.0),
        "end": (50.0, 0.0),
        "offset": 10.0,
        "handle": (50.0, 10.0),
        "pulls": (Pull("lane.x", (1.0, 0.0), 1.0),),
        "label": "Gap",
        "value": 50.0,
        "unit": "length",
    }
    return Dimension(**{**fields, **changes})  # type: ignore[arg-type]


def test_items_are_painted_back_to_front() -> None:
    surface = painted(
        Path(SQUARE, "stock-1"), Disc((5.0, 5.0), 2.0, "ball"), Text((60.0, 60.0), "deck", "part-label")
    )
    assert [c[0] for c in surface.calls] == ["rings", "disc", "text"]


def test_a_disc_is_placed_and_scaled() -> None:
    (call,) = painted(Disc((10.0, 20.0), 8.0, "ball")).calls
    assert call == ("disc", (120.0, 160.0), 16.0, LOOK.stroke("ball"))


def test_a_status_area_is_hatched_and_a_status_line_is_not() -> None:
    area = painted(Path(SQUARE, "conflict", status="conflict", finding="f"))
    line = painted(Path(SQUARE, "tight", closed=False, status="tight", finding="f"))
    assert area.named("hatch") == [("hatch", SQUARE, LOOK.hatch("conflict"))]
    assert line.named("hatch") == []


def test_an_unknown_style_shows() -> None:
    (call,) = painted(Path(SQUARE, "nobody-made-this")).calls
    assert call[3] == LOOK.stroke("unknown")


def test_a_dimension_has_line_feet_ticks_handle_and_value() -> None:
    surface = painted(row())
    assert [len(c[1]) for c in surface.named("strokes")] == [1 + 2, 2]  # type: ignore[arg-type]
    assert len(surface.named("line")) == 1
    assert [c[1] for c in surface.named("text")] == ["50"]


def test_without_grips_no_handle_is_painted() -> None:
    assert len(painted(row(), grips=False).named("line")) == 0


def test_a_locked_handle_is_a_square() -> None:
    surface = painted(row(), look=Look(locked=frozenset({"lane.x"})))
    assert len(surface.named("box")) == 1


def test_a_focused_handle_is_ringed() -> None:
    assert len(painted(row(), look=Look(focus="lane.x")).named("line")) == 2


def test_an_angle_is_an_arc_from_level_with_its_arm() -> None:
    surface = painted(
        row(shape="angle", start=(0.0, 0.0), end=(30.0, 40.0), handle=(30.0, 40.0), unit="angle")
    )
    arc = surface.named("line")[0][1]
    assert isinstance(arc, tuple)
    assert arc[0] == pytest.approx(VIEW.to_px((50.0, 0.0)))
    assert arc[-1] == pytest.approx(VIEW.to_px((30.0, 40.0)))


def test_statuses_differ_in_shape_not_only_in_colour() -> None:
    shapes = {}
    for status in ("conflict", "tight", "clear"):
        surface: Collector = Collector()
        badge(surface, (0.0, 0.0, 22.0, 14.0), status, "7", LOOK)
        lines = surface.named("line")
        shapes[status] = [(len(c[1]), c[3], bool(c[2].fill)) for c in lines]  # type: ignore[arg-type, attr-defined]
        assert [c[1] for c in surface.named("text")] == ["7"]
    assert shapes["conflict"] == [(5, True, True)]
    assert shapes["tight"] == [(14, True, True)]
    assert shapes["clear"] == [(3, False, False)]


def test_the_ring_of_tight_is_open() -> None:
    surface: Collector = Collector()
    badge(surface, (0.0, 0.0, 22.0, 14.0), "tight", "", LOOK)
    stroke = surface.named("line")[0][2]
    assert isinstance(stroke, Stroke)
    assert (stroke.fill, stroke.line) == (LOOK.colour("sheet"), LOOK.colour("tight"))


def test_a_chosen_flag_is_ringed() -> None:
    flag = Marker((20.0, 20.0), 3, "conflict", "f")
    assert len(painted(flag).named("box")) == 0
    assert len(painted(flag, look=Look(chosen="f")).named("box")) == 1


@pytest.mark.parametrize("status", ["conflict", "tight"])
def test_what_is_still_being_checked_is_in_outline_without_its_colour(status: Status) -> None:
    area = Path(SQUARE, status, status=status, finding="a")
    flag = Marker((10.0, 10.0), 1, status, "a")
    colour = LOOK.colour(status)
    assert colour in repr(painted(area, flag).calls)
    faint = painted(area, flag, look=Look(waiting=frozenset({"a"})))
    assert colour not in repr(faint.calls)
    assert not faint.named("hatch")
    assert [c[1] for c in faint.named("text")] == ["1"]


def test_only_what_reaches_into_the_damage_is_painted() -> None:
    near, far = Disc((0.0, 0.0), 2.0, "ball"), Disc((200.0, 0.0), 2.0, "ball")
    surface = painted(near, far, within=(90.0, 190.0, 110.0, 210.0))
    assert len(surface.calls) == 1


def test_a_note_shows_lines_with_their_statuses() -> None:
    surface: Surface = Collector()
    note = Note((200.0, 200.0), (("Gap  22 mm", ""), ("too narrow", "conflict")))
    draw(surface, [note_plot(note, measure, (600.0, 400.0))], VIEW, LOOK)
    assert isinstance(surface, Collector)
    assert [c[1] for c in surface.named("text") if c[1]] == ["Gap  22 mm", "too narrow"]
    assert len(surface.named("box")) == 1


def test_a_pulse_closes_in() -> None:
    radii = []
    for share in (0.0, 0.5, 1.0):
        surface: Collector = Collector()
        pulse(surface, (0.0, 0.0), share, LOOK)
        radii.append(surface.calls[0][2])
    assert radii == sorted(radii, reverse=True)  # type: ignore[type-var]


def test_a_flag_flies_away_from_its_pole() -> None:
    for mirrored, pole, notch in ((False, 0.0, 17.0), (True, 22.0, 5.0)):
        surface: Collector = Collector()
        badge(surface, (0.0, 0.0, 22.0, 14.0), "conflict", "1", LOOK, mirrored)
        cloth = surface.named("line")[0][1]
        assert cloth == ((pole, 0.0), (22.0 - pole, 0.0), (notch, 7.0), (22.0 - pole, 14.0), (pole, 14.0))


@pytest.mark.parametrize("status", ["conflict", "tight"])
def test_a_muted_flag_is_smaller_hollow_and_in_broken_outline(status: Status) -> None:
    loud = painted(Marker((20.0, 20.0), 3, status, "f"))
    quiet = painted(Marker((20.0, 20.0), 3, status, "f", muted=True))

    def cloth(surface: Collector) -> tuple[float, Stroke]:
        call = next(c for c in surface.named("line") if c[3])
        xs = [x for x, _ in call[1]]  # type: ignore[union-attr]
        return max(xs) - min(xs), call[2]  # type: ignore[return-value]

    (wide, bold), (narrow, faint) = cloth(loud), cloth(quiet)
    assert narrow < wide
    assert faint.dash
    assert not bold.dash
    assert faint.line == LOOK.colour("soft_ink") != LOOK.colour(status)
    assert faint.fill == LOOK.colour("sheet")
    poles = [c[2] for c in quiet.named("line") if not c[3]]
    assert all(p.dash for p in poles)  # type: ignore[attr-defined]
    assert [c[1] for c in quiet.named("text")] == ["3"]

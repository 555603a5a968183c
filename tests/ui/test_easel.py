"""Hands on a view, without a window: fake events through the table of states."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import get_args

import pytest

from desk.design import edit
from desk.design.model import Design
from desk.session import Session
from desk.ui.easel import TABLE, Easel, Event, Kind, State, UnlistedEvent
from desk.units import Unit, UnitError
from desk.views.drawing import Dimension
from desk.views.layout import Layout, Look
from desk.views.viewport import Viewport

from .fakes import evaluate, starting

SIZE = (900.0, 500.0)


def measure(text: str, _style: str) -> tuple[float, float]:
    """Seven px a letter, fourteen high."""
    return 7.0 * len(text), 14.0


def words(item: Dimension, _pointed: bool) -> str:
    """The value."""
    return f"{item.value:g}"


@dataclass
class FakeHost:
    """A session and notes of what was told."""

    session: Session = field(default_factory=lambda: Session(starting()))
    pointed: list[str] = field(default_factory=list)
    chosen: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    settled: int = 0
    before: Design | None = None

    def unit(self) -> Unit:
        return self.session.design.unit

    def value(self, address: str) -> float:
        return edit.get(self.session.design, address)

    def locked(self, address: str) -> bool:
        return address in self.session.design.locked

    def pull(self, changes: Mapping[str, float], gesture: int) -> None:
        self.before = self.before or self.session.design
        design = self.session.design
        for address, value in changes.items():
            design = edit.put(design, address, value)
        self.session.apply("Pull", design, gesture=gesture)

    def give_back(self, gesture: int) -> None:
        assert self.before is not None
        self.session.apply("", self.before, gesture=gesture)
        self.settle()

    def settle(self) -> None:
        self.before = None
        self.session.end_gesture()
        self.settled += 1

    def type_in(self, address: str, text: str) -> str:
        try:
            self.session.apply("Type", edit.type_in(self.session.design, address, text))
        except (UnitError, edit.EditError) as error:
            return str(error)
        return ""

    def point_at(self, address: str) -> None:
        self.pointed.append(address)

    def choose(self, finding: str) -> None:
        self.chosen.append(finding)

    def refuse(self, text: str) -> None:
        self.refused.append(text)


def easel(view_id: str = "lane", design: Design | None = None, scale: float = 1.0) -> tuple[Easel, FakeHost]:
    host = FakeHost(Session(design or starting()))
    model = Easel(host, view=Viewport(scale, 60.0, 400.0))
    refresh(model, view_id)
    return model, host


def refresh(model: Easel, view_id: str = "lane") -> None:
    """Show the design as it is now, as the window does after every change."""
    host = model.host
    assert isinstance(host, FakeHost)
    model.drawing = evaluate(host.session.design).drawings[view_id]
    model.plots = Layout(measure, words).plots(model.drawing, model.view, SIZE, Look())


def grip(model: Easel, key: str) -> tuple[float, float]:
    item = model.dimension(key)
    assert item is not None
    return model.view.to_px(item.handle)


def test_a_whole_drag() -> None:
    model, host = easel()
    x, y = grip(model, "board.gap")
    model.handle(Event("move", (x, y)))
    assert model.hover == "board.gap"
    model.handle(Event("press", (x, y)))
    assert model.state == "pulling"
    assert host.pointed == ["board.gap"]
    for step in range(1, 11):
        model.handle(Event("move", (x - step, y + 5)))
        refresh(model)
    assert host.value("board.gap") == pytest.approx(12.0)
    model.handle(Event("release", (x - 10, y)))
    assert model.state == "idle"
    assert model.grab is None
    assert host.session.labels == ("Pull",)
    host.session.undo()
    assert host.value("board.gap") == 22.0


def test_a_pull_goes_in_steps_and_in_tenths_of_them() -> None:
    model, host = easel(scale=3.0)
    x, y = grip(model, "board.gap")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x + 4, y)))
    assert host.value("board.gap") == pytest.approx(23.25)
    model.handle(Event("move", (x + 4, y), fine=True))
    assert host.value("board.gap") == pytest.approx(23.325)


def test_a_pull_stays_in_the_hard_range() -> None:
    model, host = easel()
    x, y = grip(model, "board.gap")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x - 4000, y)))
    assert host.value("board.gap") == 0.0
    model.handle(Event("move", (x + 4000, y)))
    assert host.value("board.gap") == 200.0


def test_in_inches_a_pull_goes_in_binary_fractions() -> None:
    model, host = easel(design=edit.set_unit(starting(), "in"))
    x, y = grip(model, "board.gap")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x + 5, y)))
    sixty_fourths = host.value("board.gap") / 25.4 * 64
    assert sixty_fourths == pytest.approx(round(sixty_fourths), abs=1e-4)


def test_a_press_without_a_move_changes_nothing() -> None:
    model, host = easel()
    x, y = grip(model, "lane.length")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x + 1, y)))
    model.handle(Event("release", (x + 1, y)))
    assert not host.session.can_undo


def test_escape_gives_everything_back() -> None:
    model, host = easel()
    before = host.session.design
    x, y = grip(model, "board.gap")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x - 15, y)))
    assert host.session.design != before
    model.handle(Event("escape"))
    assert host.session.design == before
    assert not host.session.can_undo
    assert model.state == "idle"
    model.handle(Event("release", (x - 15, y)))
    assert host.session.design == before


def test_a_target_is_pulled_both_ways_at_once() -> None:
    model, host = easel("face", scale=2.0)
    x, y = grip(model, "targets.1")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x + 10, y + 20)))
    assert host.value("targets.1.across") == pytest.approx(5.0)
    assert host.value("targets.1.up") == pytest.approx(130.0)


def test_a_locked_number_stays_while_the_other_moves() -> None:
    design = edit.set_locked(starting(), "targets.1.up")
    model, host = easel("face", design)
    x, y = grip(model, "targets.1")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x + 10, y + 20)))
    assert host.value("targets.1.across") == pytest.approx(10.0)
    assert host.value("targets.1.up") == 140.0


def test_a_locked_handle_says_so_and_does_not_move() -> None:
    model, host = easel(design=edit.set_locked(starting(), "board.gap"))
    x, y = grip(model, "board.gap")
    model.handle(Event("press", (x, y)))
    assert model.state == "idle"
    assert "locked" in host.refused[0]


@pytest.mark.parametrize(
    ("event", "value"),
    [
        (Event("nudge", by=(1.0, 0.0)), 22.25),
        (Event("nudge", by=(-1.0, 0.0)), 21.75),
        (Event("nudge", by=(0.0, 1.0)), 22.25),
        (Event("nudge", by=(1.0, 0.0), coarse=True), 24.5),
        (Event("nudge", by=(1.0, 0.0), fine=True), 22.025),
    ],
)
def test_arrows_nudge_the_chosen_handle(event: Event, value: float) -> None:
    model, host = easel()
    model.focus = "board.gap"
    model.handle(event)
    assert host.value("board.gap") == pytest.approx(value)
    assert len(host.session.labels) == 1


def test_arrows_move_a_target_the_way_they_point() -> None:
    model, host = easel("face")
    model.focus = "targets.2"
    model.handle(Event("nudge", by=(0.0, -1.0)))
    model.handle(Event("nudge", by=(-1.0, 0.0)))
    assert host.value("targets.2.up") == pytest.approx(87.75)
    assert host.value("targets.2.across") == pytest.approx(-0.25)


def test_arrows_move_the_sheet_when_no_handle_is_chosen() -> None:
    model, host = easel()
    before = model.view
    model.handle(Event("nudge", by=(1.0, 0.0)))
    assert model.view.x0 < before.x0
    assert not host.session.can_undo


def test_cycling_visits_every_handle_and_then_none() -> None:
    model, host = easel()
    seen = []
    for _ in model.dimensions():
        model.handle(Event("cycle", by=(1.0, 0.0)))
        seen.append(model.focus)
    assert seen == [d.id for d in model.dimensions()]
    model.handle(Event("cycle", by=(1.0, 0.0)))
    assert model.focus == ""
    model.handle(Event("cycle", by=(-1.0, 0.0)))
    assert model.focus == seen[-1]
    assert host.pointed[-1] == seen[-1]


def test_typing_a_value_and_a_wrong_one() -> None:
    model, host = easel()
    model.focus = "board.gap"
    model.handle(Event("type"))
    assert model.state == "typing"
    model.handle(Event("typed", name="wide"))
    assert model.state == "typing"
    assert "number" in model.fault
    model.handle(Event("typed", name="18,5"))
    assert model.state == "idle"
    assert host.value("board.gap") == 18.5


def test_typing_both_numbers_of_a_target() -> None:
    model, host = easel("face")
    model.focus = "targets.1"
    model.handle(Event("type"))
    model.handle(Event("typed", name="3"))
    assert (model.state, model.entry) == ("typing", 1)
    model.handle(Event("typed", name="120"))
    assert model.state == "idle"
    assert (host.value("targets.1.across"), host.value("targets.1.up")) == (3.0, 120.0)


def test_typing_nowhere_is_left_at_once() -> None:
    model, _ = easel()
    model.handle(Event("type"))
    assert model.state == "idle"


def test_pressing_a_flag_chooses_its_finding() -> None:
    model, host = easel()
    flag = next(p for p in model.plots if getattr(p.item, "finding", "") == "check-1" and p.label)
    x0, y0, x1, y1 = flag.label or (0.0, 0.0, 0.0, 0.0)
    model.handle(Event("press", ((x0 + x1) / 2, (y0 + y1) / 2)))
    assert host.chosen == ["check-1"]


def test_space_turns_a_press_into_a_pan() -> None:
    model, _ = easel()
    x, y = grip(model, "board.gap")
    model.handle(Event("space_down"))
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x + 30, y - 8)))
    model.handle(Event("release", (x + 30, y - 8)))
    assert (model.view.x0, model.view.y0) == (90.0, 392.0)
    assert model.state == "idle"


def test_zooming_while_pulling_does_not_jump() -> None:
    model, host = easel()
    x, y = grip(model, "board.gap")
    model.handle(Event("press", (x, y)))
    model.handle(Event("move", (x + 10, y)))
    value = host.value("board.gap")
    model.handle(Event("zoom", (x + 10, y), factor=2.0))
    model.handle(Event("move", (x + 10, y)))
    assert host.value("board.gap") == value
    model.handle(Event("move", (x + 20, y)))
    assert host.value("board.gap") == value + 5.0


def test_an_unlisted_pair_raises() -> None:
    model, _ = easel()
    with pytest.raises(UnlistedEvent, match="typed while idle"):
        model.handle(Event("typed", name="5"))
    assert model.state == "idle"


def test_every_pair_is_listed_but_those_that_cannot_be() -> None:
    """Presses are told apart before they reach the table, except with the space bar held; only typing is typed."""
    told_apart = {"press_handle", "press_locked", "press_flag", "press_loose", "press_paper"}
    pairs = set(itertools.product(get_args(State), get_args(Kind)))
    impossible = {(s, "press") for s in get_args(State) if s != "hand"}
    impossible |= {("hand", kind) for kind in told_apart}
    impossible |= {(s, "typed") for s in get_args(State) if s != "typing"}
    assert pairs - set(TABLE) == impossible

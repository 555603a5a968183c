"""What lies loose on a drawing, in the hand: events through the table of states, with a ball that notes its asks."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import pytest

from desk.ui.easel import Easel, Event

from .test_easel import easel, grip


@dataclass
class Ball:
    """One ball of 8 mm radius that can be taken."""

    at: tuple[float, float]
    taken: bool = True
    said: list[object] = field(default_factory=list)

    def reach(self, at: tuple[float, float], slack: float) -> float | None:
        far = math.dist(self.at, at)
        return far if far <= max(8.0, slack) else None

    def lift(self, at: tuple[float, float] | None) -> bool:
        self.said.append(("lift", at))
        return self.taken

    def carry(self, at: tuple[float, float]) -> None:
        self.said.append(("carry", at))

    def carry_by(self, by: tuple[float, float]) -> None:
        self.said.append(("by", by))

    def let_go(self) -> None:
        self.said.append("let go")

    def put_back(self) -> None:
        self.said.append("put back")


def with_ball(near: str = "") -> tuple[Easel, Ball, tuple[float, float]]:
    """An easel with a ball 30 mm above the handle of an address, or on bare paper; where the ball is, px."""
    model, _ = easel()
    handle = model.view.to_mm(grip(model, near or "board.gap"))
    ball = Ball((handle[0], handle[1] + (2.0 if near else 60.0)))
    model.loose = ball
    return model, ball, model.view.to_px(ball.at)


def test_a_ball_is_taken_carried_and_let_go() -> None:
    model, ball, (x, y) = with_ball()
    model.handle(Event("move", (x, y)))
    assert model.ready
    model.handle(Event("press", (x, y)))
    assert model.state == "carrying"
    model.handle(Event("move", (x + 20, y - 10)))
    model.handle(Event("release", (x + 20, y - 10)))
    assert model.state == "idle"
    lifted, carried, gone = ball.said
    assert lifted == ("lift", pytest.approx(ball.at))
    assert carried == ("carry", pytest.approx(model.view.to_mm((x + 20, y - 10))))
    assert gone == "let go"


def test_of_a_ball_and_a_handle_the_nearer_one_is_taken() -> None:
    model, ball, (x, y) = with_ball("board.gap")
    model.handle(Event("press", (x, y)))
    assert model.state == "carrying"
    model.handle(Event("escape"))
    assert ball.said[-1] == "put back"
    model.handle(Event("press", grip(model, "board.gap")))
    assert model.state == "pulling"
    assert len(ball.said) == 2


def test_the_pointer_is_ready_over_a_ball_only() -> None:
    model, _, (x, y) = with_ball()
    model.handle(Event("move", (x, y)))
    assert (model.ready, model.hover) == (True, "")
    model.handle(Event("move", (x + 60, y)))
    assert not model.ready
    model.handle(Event("move", (x, y)))
    model.handle(Event("leave"))
    assert not model.ready


def test_nothing_to_take_leaves_the_view_idle() -> None:
    model, ball, (x, y) = with_ball()
    ball.taken = False
    model.handle(Event("press", (x, y)))
    assert model.state == "idle"
    model.loose = None
    model.handle(Event("lift"))
    assert model.state == "idle"


def test_with_keys_a_ball_comes_out_of_the_box_and_is_carried_by_steps() -> None:
    model, ball, _ = with_ball()
    model.handle(Event("lift"))
    assert ball.said == [("lift", None)]
    for event in (
        Event("nudge", by=(1.0, 0.0)),
        Event("nudge", by=(0.0, 1.0), coarse=True),
        Event("nudge", by=(0.0, -1.0), fine=True),
    ):
        model.handle(event)
    assert [b for _, b in ball.said[1:]] == [(2.0, 0.0), (0.0, 20.0), (0.0, pytest.approx(-0.2))]  # type: ignore[misc]
    model.handle(Event("release"))
    assert model.state == "idle"
    assert ball.said[-1] == "let go"


def test_a_carried_ball_is_not_lost_to_other_events() -> None:
    model, ball, _ = with_ball()
    model.handle(Event("lift"))
    for kind in ("press", "leave", "space_down", "space_up", "cycle", "type", "press_pan"):
        model.handle(Event(kind))  # type: ignore[arg-type]
        assert model.state == "carrying"
    model.handle(Event("zoom", (100.0, 100.0), factor=1.5))
    assert ball.said == [("lift", None)]

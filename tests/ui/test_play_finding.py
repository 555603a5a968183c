"""The ball that shows a finding is played from its card."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from desk.ball.lift import TRAY, raised
from desk.ball.motion import let_go, path
from desk.ball.throw import STOPPED
from desk.checks.finding import LetGo, Thrown
from desk.design import edit
from desk.design.model import Design
from desk.ui.store import Store
from desk.ui.workroom import Workroom
from desk.views.playing import trail

from .fakes import FakeEvaluation
from .fakes import evaluate as fake
from .play_room import PlayRoom, open_room

THROW = Thrown(1.3, 0.52)
WATCHED = {"speed-window", "flight", "hand-speed", "hole-speed"}
"""Checks that tell of a throw even where nothing is wrong."""
DROP = LetGo("face", (0.0, 60.0))


@pytest.fixture
def play(qapp: QApplication, tmp_path: Path, store: Store) -> Iterator[PlayRoom]:
    made = open_room(tmp_path, store)
    yield made
    made.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def with_balls(design: Design, last: object = None) -> FakeEvaluation:
    """The first finding has a throw that shows it, the second a drop, the third none."""
    made = fake(design, last)
    first, second, third = made.findings
    findings = (msgspec.structs.replace(first, ball=THROW), msgspec.structs.replace(second, ball=DROP), third)
    return replace(made, findings=findings, pending=frozenset({"c02"}) if last is not None else frozenset())


def test_the_card_offers_to_play_what_has_a_ball(make_window: Callable[..., Workroom]) -> None:
    window = make_window(with_balls)
    card = window.card
    asked: list[object] = []
    card.ball_asked.disconnect()
    card.ball_asked.connect(asked.append)
    window.document.choose("check-1")
    assert card.play.isVisible()
    assert "1.30 m/s, aim 0.52°" in card.play.toolTip()
    card.play.click()
    window.document.choose("check-2")
    assert "Let a ball go" in card.play.toolTip()
    card.play.click()
    assert asked == [THROW, DROP]
    window.document.choose("check-3")
    assert not card.play.isVisible()
    window.document.choose("")
    assert not card.play.isVisible()


def test_a_ball_of_an_earlier_design_cannot_be_played(make_window: Callable[..., Workroom]) -> None:
    window = make_window(with_balls)
    window.document.choose("check-2")
    assert window.card.play.isEnabled()
    window.document.pull({"board.gap": 21.0}, gesture=1)
    assert not window.card.play.isEnabled()


def test_a_throw_is_played_to_the_last_digit_and_set_for_more(play: PlayRoom) -> None:
    room = play.room
    room.show_page("shop")
    exact = Thrown(1.302345678, 0.523456789)
    room.play.watch(exact)
    assert room.pages.shown == "drawings"
    stage = room.play.stage
    assert stage.cabinet is not None
    assert stage.scene.way is not None
    assert stage.scene.way.stretches == path(stage.cabinet, exact.speed, exact.aim).stretches
    assert (stage.speed, stage.aim) == (1.302, 0.52)


def test_a_ball_with_another_spring_is_played_with_it(play: PlayRoom) -> None:
    room = play.room
    room.play.watch(Thrown(1.3, 0.52, 1))
    stage = room.play.stage
    assert stage.cabinet is not None
    assert stage.scene.way is not None
    assert stage.scene.way.stretches == path(stage.cabinet, 1.3, 0.52, spring=1).stretches
    assert stage.scene.way.stretches != path(stage.cabinet, 1.3, 0.52).stretches


def test_a_lifted_ball_is_played_in_the_section_through_the_return(play: PlayRoom) -> None:
    room, stage = play.room, play.room.play.stage
    assert stage.cabinet is not None
    room.play.watch(LetGo("lift", raised(stage.cabinet)))
    assert stage.scene.way is not None
    assert stage.scene.way.ended == TRAY
    assert stage.scene.play is not None
    play.wait(stage.scene.play.length + 0.1)
    assert room.sheet.section_id == "channel"
    drawing = room.sheet.section.easel.drawing
    assert drawing is not None
    assert trail(stage.scene.way, drawing).rest is not None


def test_a_drop_is_followed_from_where_it_is_let_go(play: PlayRoom) -> None:
    room = play.room
    room.play.watch(DROP)
    stage = room.play.stage
    assert stage.cabinet is not None
    assert stage.scene.way is not None
    assert stage.scene.way.stretches == let_go(stage.cabinet, DROP.leg, DROP.at).stretches
    assert stage.scene.play is not None
    play.wait(stage.scene.play.length + 0.1)
    assert stage.scene.play.over


def test_a_drop_into_wood_is_refused_with_a_word(play: PlayRoom) -> None:
    told: list[tuple[str, bool]] = []
    play.room.play.stage.told.connect(lambda text, wrong: told.append((text, wrong)))
    play.room.play.watch(LetGo("face", (9999.0, 9999.0)))
    assert play.room.play.stage.scene.way is None
    assert told
    assert told[0][1]


def test_the_throw_of_a_real_finding_ends_as_it_says(play: PlayRoom) -> None:
    room = play.room
    room.document.change("Narrow", lambda d: edit.put(d, "board.gap", 13.0))
    finding = next(f for f in room.document.findings if f.key == "ends/stops")
    assert (finding.status, type(finding.ball)) == ("conflict", Thrown)
    room.document.choose(finding.key)
    room.card.play.click()
    stage = room.play.stage
    assert stage.scene.way is not None
    assert stage.scene.way.result == STOPPED


def test_every_finding_of_play_on_a_clean_design_has_a_ball_that_can_be_played(play: PlayRoom) -> None:
    room = play.room
    balls = [f for f in room.document.findings if f.check in WATCHED]
    assert {f.check for f in balls if f.ball is not None} == WATCHED
    for finding in balls:
        if finding.ball is not None:
            room.play.watch(finding.ball)
            assert room.play.stage.scene.way is not None, finding.key
            room.play.clear()


def test_the_strip_unfolded_later_tells_what_became_of_the_ball(play: PlayRoom) -> None:
    room = play.room
    room.play.watch(DROP)
    stage = room.play.stage
    assert stage.words == ""
    assert stage.scene.play is not None
    play.wait(stage.scene.play.length + 0.1)
    room.play.show(True)
    assert room.play.desk is not None
    assert room.play.desk.panel.words.text() == stage.words != ""
    room.play.clear()
    assert stage.words == ""

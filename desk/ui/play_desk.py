"""Ties the play strip to the stage and to the process that plays by itself: what is shown there is always either of
the design on view or marked as not being so.
"""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from desk.design.file import dumps
from desk.playing import ENDS, Sweep, Window, named, reach_of, went_wrong
from desk.playwork import AskSweep, Failed, Stray, Swept, judged
from desk.ui.document import Document, Evaluated
from desk.ui.outward import with_ends
from desk.ui.pace import Pace
from desk.ui.play_panel import PlayPanel
from desk.ui.play_run import PlayRun, astray_words, chart_of, landings_of, round_words, stray_words
from desk.ui.play_stage import PlayStage
from desk.ui.play_worker import PlayWorker
from desk.views.played import Block, SpeedChart
from desk.views.theme import Theme
from desk.views.wording import value_words

ASK = 0.12
"""Seconds between two asks for a sweep while a hand is moving."""
TOLD = 0.1
"""Seconds between two readings of the ball's time."""
FRESH = 0.1
"""Seconds between two pictures of a run under way."""
START = "Throw a ball, drop one, or take the ball in a view with the mouse and let it go."
CHANGED = "The cabinet has changed; the line is of the throw before."
WORKING = "working it out …"


class Room(Protocol):
    """What is needed of the window."""

    document: Document
    pace: Pace
    theme: Theme
    middle: QWidget
    actions_by_id: dict[str, QAction]


class PlayDesk(QObject):
    """The play strip at work."""

    def __init__(self, stage: PlayStage, room: Room) -> None:
        super().__init__()
        self._stage, self._room = stage, room
        self.panel = PlayPanel(room.theme, room.actions_by_id)
        self.worker = PlayWorker()
        self.runs = PlayRun(self.worker)
        self._strays: tuple[Stray, ...] = ()
        self._asked = 0
        self._sweep: Sweep | None = None
        self._answered = -1
        """The ask that the sweep on view answers."""
        self._aim = stage.aim
        self._fault = ""
        self._refused = False
        """Whether the words are about a number that cannot stand."""
        self._wire()
        self.panel.follow.setChecked(stage.follow)
        self.tell_end()

    def _wire(self) -> None:
        stage, panel = self._stage, self.panel
        panel.speed_entered.connect(lambda speed: stage.set_throw(speed, stage.aim))
        panel.aim_entered.connect(lambda aim: stage.set_throw(stage.speed, aim))
        for field in (panel.speed, panel.aim):
            field.refused.connect(self._refuse)
        panel.follow_set.connect(self._set_follow)
        stage.aimed.connect(self._show_throw)
        stage.moved.connect(self._show_ball)
        stage.told.connect(panel.say)
        panel.replay_asked.connect(self._replay)
        stage.altered.connect(self._altered)
        stage.altered.connect(lambda: self.runs.altered(stage.cabinet))
        self.runs.changed.connect(lambda: self._room.pace.throttle("play run", FRESH, self._show_run))
        self.runs.told.connect(lambda text: panel.say(text, True))
        self._room.document.opened.connect(self.runs.forget)
        self._room.document.know_better(self._with_run)
        self.runs.changed.connect(self._room.document.look_again)
        self.worker.answered.connect(self._take)
        self.worker.failed.connect(self._lost_worker)

    def show(self, wanted: bool) -> None:
        """Show the strip, or fold it away."""
        self.panel.setVisible(wanted)
        self._stage.arrow = wanted
        self._stage.lay()
        if wanted:
            self.panel.suit(self._room.middle.height())
            self._show_throw()
            self._altered()
        self._show_run()

    def take(self) -> bool:
        """Take what is being typed; False, and the reason told, when it cannot stand."""
        return all(field.take() for field in (self.panel.speed, self.panel.aim))

    def _refuse(self, fault: str) -> None:
        """Tell what is wrong with a typed number; "" once that is over."""
        if fault:
            self.panel.say(fault, True)
        elif self._refused:
            self.tell_end()
        self._refused = bool(fault)

    def tell_end(self) -> None:
        """Tell what became of the ball on view, or how to begin where there is none."""
        way = self._stage.scene.way
        if self._stage.words and way is not None:
            self.panel.say(self._stage.words, went_wrong(way))
        else:
            self.panel.say(START)

    def closed(self) -> None:
        """End the process."""
        self.worker.stop()

    # --- the throw

    def _set_follow(self, wanted: bool) -> None:
        self._stage.follow = wanted

    def _show_throw(self) -> None:
        stage = self._stage
        self.panel.show_throw(stage.speed, stage.aim)
        if stage.aim != self._aim:
            self._aim = stage.aim
            self._altered()
        else:
            self._show_strip()

    def _show_ball(self) -> None:
        """Where the ball is now; what became of it is told when it has come to its end."""
        scene = self._stage.scene
        play = scene.play
        self.panel.show_paused(play is not None and play.paused)
        if play is not None and not play.over:
            self._room.pace.throttle("play words", TOLD, self._tell_time)

    def _tell_time(self) -> None:
        scene, cabinet = self._stage.scene, self._stage.cabinet
        play = scene.play
        if play is not None and not play.over and cabinet is not None:
            label = cabinet.leg_by_id[scene.leg].label.split(" and ")[0]
            self.panel.say(f"{play.time:.1f} s   {label}")

    # --- which speed comes to what

    def _altered(self) -> None:
        """The ball's way, the aim or the people are others: what is on view is of the past until it is answered."""
        if not self.panel.isVisible():
            self._answered = -1
            return
        self._asked += 1
        self._show_strip()
        if self._stage.scene.way is None and self._stage.scene.before:
            self.panel.say(CHANGED)
        self._room.pace.throttle("sweep", ASK, self._ask)

    def _ask(self) -> None:
        made = self._room.document.evaluation
        if made is not None and self._stage.cabinet is not None:
            low, high = reach_of(made.cabinet)
            self.worker.ask(AskSweep(self._asked, dumps(made.design), low, high, self._stage.aim))

    def _take(self, answer: object) -> None:
        if isinstance(answer, Swept):
            windows = tuple(Window(w.low, w.high, w.result, w.score) for w in answer.windows)
            self._sweep = Sweep(answer.low, answer.high, answer.aim, answer.step, windows)
            self._answered, self._fault = answer.id, ""
            self._show_strip()
        elif isinstance(answer, Failed) and not answer.run and answer.id == self._asked:
            self._sweep, self._fault = None, answer.text
            self._show_strip()

    def _lost_worker(self, why: str) -> None:
        self._sweep, self._fault = None, f"The process that plays by itself is gone: {why}"
        self._show_strip()

    @property
    def current(self) -> bool:
        """Whether the speed strip shows the design and the aim on view."""
        return self._sweep is not None and self._answered == self._asked

    def _show_strip(self) -> None:
        cabinet = self._stage.cabinet
        if cabinet is None or not self.panel.isVisible():
            return
        low, high = (self._sweep.low, self._sweep.high) if self._sweep is not None else reach_of(cabinet)
        blocks = tuple(_block(w) for w in self._sweep.windows) if self._sweep is not None else ()
        people = cabinet.people
        self.panel.strip.show_chart(
            SpeedChart(
                low,
                high,
                self._stage.speed,
                (people.slow, people.fast) if people is not None else (low, high),
                blocks,
                self._caption(),
                self._reading(),
                self.current,
            )
        )

    def _caption(self) -> str:
        aim = value_words(self._stage.aim, "angle", "mm")
        head = f"What each speed comes to, aim {aim}"
        if self._fault:
            return f"{head}: {self._fault}"
        if not self.current or self._sweep is None:
            return f"{head}: {WORKING}"
        least = self._sweep.least
        slow = f". Below {least:.2f} m/s balls roll back" if least and least > self._sweep.low else ""
        return f"{head}: {self._reading()}{slow}"

    def _reading(self) -> str:
        """What the speed that is set comes to."""
        found = self._sweep.at(self._stage.speed) if self._sweep is not None and self.current else None
        return f"{self._stage.speed:.2f} m/s {named(found.result, found.score)}" if found is not None else ""

    # --- how it plays

    def run(self) -> None:
        """Run the throws, or stop running them."""
        made = self._room.document.evaluation
        if self.runs.running:
            self.runs.stop()
        elif made is not None and self._stage.cabinet is not None:
            self.runs.start(made.cabinet, dumps(made.design), self.panel.wanted)

    def _show_run(self) -> None:
        cabinet, runs = self._stage.cabinet, self.runs
        if cabinet is None:
            return
        now, before = runs.now(cabinet), runs.before(cabinet)
        panel = self.panel
        panel.show_run(runs.running, runs.progress)
        chart = chart_of(cabinet, now, before)
        panel.chances.show_chart(chart)
        panel.chances.setVisible(bool(chart.columns))
        panel.show_round(round_words(cabinet, now, before))
        self._strays = tuple(now.strays) if now is not None else ()
        panel.show_stops(stray_words(cabinet, self._strays), *astray_words(cabinet, now))
        self._stage.landings = landings_of(now) if panel.isVisible() else ()
        self._stage.lay()

    def _with_run(self, made: Evaluated) -> Evaluated:
        """An evaluation in which the findings on how balls end are those of the run with its cabinet, if there was one.
        Where the check of it is put off they wait as well.
        """
        known = None if made.pending else self.runs.whole(made.cabinet)
        return made if known is None else with_ends(made, judged(made.cabinet, known))

    def _replay(self, number: int) -> None:
        """Play a throw of the run whose ball did not come back."""
        if number < len(self._strays):
            stray = self._strays[number]
            self._stage.set_throw(stray.speed, stray.aim)
            self._stage.throw_as(stray.speed, stray.aim)


def _block(window: Window) -> Block:
    label = f"{window.score:g}" if window.score > 0 else ENDS.get(window.result, "")
    return Block(
        window.low, window.high, window.score, label, named(window.result, window.score), window.result < -1
    )

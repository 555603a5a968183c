"""The way in to playing, made with the window and light: what lies behind it is imported when a ball is first taken or
the play strip first unfolded.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from desk.checks.finding import LetGo, Thrown
from desk.ui.document import Document
from desk.ui.easel import Event
from desk.ui.front import Front
from desk.ui.pace import Pace
from desk.ui.pages import PageName, Pages
from desk.ui.play_hand import Hand
from desk.ui.sheet import Sheet
from desk.views.theme import Theme

if TYPE_CHECKING:
    from desk.ui.play_desk import PlayDesk
    from desk.ui.play_stage import PlayStage

RATES = {"pace_true": 1.0, "pace_quarter": 0.25, "pace_tenth": 0.1}


class Room(Protocol):
    """What is needed of the window."""

    front: Front
    document: Document
    sheet: Sheet
    pages: Pages
    pace: Pace
    theme: Theme
    middle: QWidget
    actions_by_id: dict[str, QAction]

    def say(self, text: str) -> None:
        """Show a message for a while."""

    def show_section(self, key: str) -> None:
        """Switch the section."""

    def show_page(self, name: PageName) -> None:
        """Show the drawings or the shop."""

    def resized(self) -> None:
        """Share the space anew."""


class PlayDoor(QObject):
    """Opens on playing."""

    def __init__(self, room: Room, sheet: Sheet) -> None:
        super().__init__()
        self._room = room
        self._stage: PlayStage | None = None
        self.desk: PlayDesk | None = None
        """The play strip, once it has been unfolded."""
        for canvas in sheet.canvases.values():
            canvas.easel.loose = Hand(canvas, lambda: self.stage)
        room.pages.turned.connect(self._turned)
        self._said = ""
        """What was told last about a ball, in the bar at the foot of the window."""
        self._wanted = False
        """Whether the play strip is unfolded, beside the drawings."""

    @property
    def stage(self) -> PlayStage:
        """Who plays."""
        if self._stage is None:
            from desk.ui.play_stage import PlayStage

            room = self._room
            self._stage = PlayStage(room.document, room.sheet, room.pace, room.show_section)
            self._stage.told.connect(self._tell)
            room.document.opened.connect(self._cleared)
            self._stage.moved.connect(self._show_state)
        return self._stage

    @property
    def unfolded(self) -> bool:
        """Whether the play strip is in view."""
        return self.desk is not None and self.desk.panel.isVisible()

    def panes(self) -> list[QWidget]:
        """Where the focus goes on its way round the panes."""
        return [self.desk.panel.speed, self.desk.panel.strip] if self.desk is not None else []

    def slots(self) -> dict[str, Callable[[], object]]:
        """What the commands of the Play menu do."""
        return {
            "play": self.fold,
            "throw": self.throw,
            "drop": self.drop,
            "pause": self.pause,
            "again": self.again,
            "clear_play": self.clear,
            "run": self.run,
            **{key: partial(self.set_rate, key) for key in RATES},
        }

    def fold(self) -> None:
        """Unfold the play strip, or fold it away."""
        self.show(not self.unfolded)

    def show(self, wanted: bool) -> None:
        """Show the play strip beside the drawings, or fold it away."""
        if wanted:
            self._room.show_page("drawings")
        self._wanted = wanted
        self._room.actions_by_id["play"].setChecked(wanted)
        self._put(wanted)

    def _turned(self, page: str) -> None:
        """The strip goes with the drawings."""
        if self._wanted:
            self._put(page == "drawings")

    def _put(self, wanted: bool) -> None:
        if self.desk is None:
            from desk.ui.play_desk import PlayDesk

            self.desk = PlayDesk(self.stage, self._room)
            layout = self._room.middle.layout()
            if layout is not None:
                layout.addWidget(self.desk.panel)
            self.set_rate(next(key for key, rate in RATES.items() if rate == self.stage.rate))
        self.desk.show(wanted)
        layout = self._room.middle.layout()
        if layout is not None:
            layout.activate()
        self._room.resized()

    def throw(self) -> None:
        """Throw a ball as it is set; not while what is typed cannot stand."""
        self._room.show_page("drawings")
        if self.desk is None or self.desk.take():
            self._room.document.point_at("")
            self.stage.throw()

    def watch(self, ball: Thrown | LetGo) -> None:
        """Play a ball that shows what was found, by the way the checks know it."""
        self._room.show_page("drawings")
        self._room.document.point_at("")
        if isinstance(ball, Thrown):
            self.stage.set_throw(ball.speed, ball.aim)
            self.stage.throw_as(ball.speed, ball.aim, ball.spring)
        else:
            self.stage.release(ball.leg, ball.at)

    def pause(self) -> None:
        """Hold the ball, or let it go on."""
        self.stage.pause()

    def again(self) -> None:
        """Play the last throw from its start."""
        self.stage.again()

    def clear(self) -> None:
        """Take balls and lines off the views."""
        self.stage.clear()
        self._cleared()

    def _tell(self, text: str, _wrong: bool) -> None:
        self._said = text
        self._room.say(text)

    def _cleared(self) -> None:
        """Nothing is on view any more: no word about it stays."""
        if self.desk is not None:
            self.desk.tell_end()
        bar = self._room.front.statusBar()
        if self._said and bar.currentMessage() == self._said:
            bar.clearMessage()
        self._said = ""

    def drop(self) -> None:
        """Put a ball into the hand, in the view that has the focus."""
        self._room.show_page("drawings")
        canvas = self._room.sheet.active()
        if canvas.easel.state == "idle":
            canvas.setFocus(Qt.FocusReason.ShortcutFocusReason)
            canvas.feed(Event("lift"))
            self._room.say(
                "Carry the ball with the mouse or the arrow keys; a click or Enter lets it go, Esc puts it back."
            )

    def run(self) -> None:
        """Run the throws, or stop running them."""
        if self.desk is None or not self.unfolded:
            self.show(True)
        if self.desk is not None:
            self.desk.run()

    def set_rate(self, key: str) -> None:
        """Play at true speed or slower."""
        self.stage.set_rate(RATES[key])
        for name in RATES:
            self._room.actions_by_id[name].setChecked(name == key)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        if self.desk is not None:
            self.desk.panel.set_theme(theme)

    def closed(self) -> None:
        """The window closes: end what runs beside it."""
        if self.desk is not None:
            self.desk.closed()

    def _show_state(self) -> None:
        """Which of the commands there is something for."""
        play = self.stage.scene.play
        for key in ("pause", "again"):
            self._room.actions_by_id[key].setEnabled(play is not None)
        self._room.actions_by_id["clear_play"].setEnabled(bool(play or self.stage.scene.before))

"""The play strip along the foot of the window: the throw, what became of it, which speed comes to what, how it plays.

It is made when it is first unfolded. What it shows is told to it; what hands do with it is emitted.
"""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QProgressBar,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from desk.ui.labels import OneLine
from desk.ui.play_charts import Chances, SpeedStrip
from desk.ui.play_field import PlayField
from desk.ui.play_stage import AIMS, SPEEDS
from desk.views.theme import Theme

PACES = {
    "pace_true": ("True speed", "True speed"),
    "pace_quarter": ("1/4 speed", "1/4"),
    "pace_tenth": ("1/10 speed", "1/10"),
}
"""Commands of the three speeds of playing; their words, and those they have where there is little room."""
THROWS = (1_000, 10_000, 100_000)
USUAL = 10_000
NARROW = 1150
"""A strip narrower than this, px, has room for short words only."""
ROOMY = 1300
"""A strip narrower than this, px, has room for short words on the buttons of the speeds only."""
DROP, FOLLOW = ("Drop a ball", "Drop"), ("Follow the ball", "Follow")
"""What has short words."""
BODY = (131, 190)
"""Least and greatest height of the charts and what is above them, px."""
ROUND = 172
"""Width kept for what a round is worth, px."""
SHARE = 0.17
"""Their share of the window's height between these."""


class PlayPanel(QFrame):
    """The play strip."""

    speed_entered = Signal(float)
    aim_entered = Signal(float)
    follow_set = Signal(bool)
    replay_asked = Signal(int)
    """The number, from 0, of the stop that is to be played."""

    def __init__(self, theme: Theme, actions: dict[str, QAction]) -> None:
        super().__init__()
        self.setObjectName("pane")
        self.setAccessibleName("Play")
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.speed = PlayField("Speed of the throw", "speed", SPEEDS, 0.05, 3)
        self.aim = PlayField("Aim of the throw, to the right", "angle", AIMS, 0.1, 2)
        self.follow = QCheckBox(FOLLOW[0])
        self.follow.setAccessibleName(FOLLOW[0])
        self.follow.setToolTip("Turn to the section in which the ball is seen")
        self.words = OneLine()
        self.strip = SpeedStrip(theme)
        self.chances = Chances(theme)
        self.run_button = _button(actions["run"], "Run", main=False)
        self.throws = QComboBox()
        self.progress = QProgressBar()
        self.round = QLabel()
        self.stops = QToolButton()
        self._listed: tuple[str, ...] = ()
        self.buttons = {key: _button(actions[key], words[0]) for key, words in PACES.items()}
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 1, 1, 1)
        column.setSpacing(0)
        column.addWidget(self._head(actions))
        column.addWidget(self._body())
        self._wire()

    # --- building

    def _head(self, actions: dict[str, QAction]) -> QWidget:
        head = QWidget()
        head.setObjectName("head")
        row = QHBoxLayout(head)
        row.setContentsMargins(10, 3, 6, 3)
        row.setSpacing(6)
        title = QLabel("Play")
        title.setObjectName("heading")
        row.addWidget(title)
        row.addSpacing(6)
        for words, field in (("Speed", self.speed), ("Aim", self.aim)):
            label = QLabel(words)
            label.setBuddy(field)
            field.setFixedWidth(84)
            row.addWidget(label)
            row.addWidget(field)
        self.drop = _button(actions["drop"], DROP[0])
        row.addWidget(_button(actions["throw"], "Throw", main=True))
        row.addWidget(self.drop)
        row.addSpacing(8)
        group = QButtonGroup(self)
        for key, button in self.buttons.items():
            button.setObjectName("tab")
            button.setAccessibleName(actions[key].text().replace("&", ""))
            group.addButton(button)
            row.addWidget(button)
        self.pause = _button(actions["pause"], "Pause")
        row.addWidget(self.pause)
        row.addWidget(_button(actions["again"], "Again"))
        self.clear = _button(actions["clear_play"], "Clear")
        row.addWidget(self.clear)
        row.addSpacing(6)
        row.addWidget(self.follow)
        row.addStretch(1)
        fold = _button(actions["play"], "Fold away")
        fold.setObjectName("flat")
        fold.setCheckable(False)
        row.addWidget(fold)
        return head

    def _body(self) -> QWidget:
        body = QWidget()
        row = QHBoxLayout(body)
        row.setContentsMargins(10, 4, 10, 5)
        row.setSpacing(14)
        left, right = QVBoxLayout(), QVBoxLayout()
        for side in (left, right):
            side.setSpacing(2)
        self.words.setObjectName("words")
        left.addWidget(self.words)
        left.addWidget(self.strip, 1)
        right.addLayout(self._run_row())
        chart = QHBoxLayout()
        chart.setSpacing(10)
        chart.addWidget(self.chances, 1)
        told = QVBoxLayout()
        told.setSpacing(2)
        told.addWidget(self.round)
        told.addWidget(self.stops)
        told.addStretch(1)
        chart.addLayout(told)
        right.addLayout(chart, 1)
        rule = QFrame()
        rule.setFrameShape(QFrame.Shape.VLine)
        rule.setObjectName("upright")
        row.addLayout(left, 5)
        row.addWidget(rule)
        row.addLayout(right, 6)
        self._body_widget = body
        self.suit(0)
        return body

    def suit(self, height: int) -> None:
        """Be as high as suits a window this high, px."""
        self._body_widget.setFixedHeight(min(max(round(height * SHARE), BODY[0]), BODY[1]))

    def _run_row(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(6)
        title = QLabel("How it plays")
        title.setObjectName("strong")
        self.throws.setAccessibleName("How many throws")
        for number in THROWS:
            self.throws.addItem(f"{number:,} throws", number)
        self.throws.setCurrentIndex(THROWS.index(USUAL))
        self.progress.setTextVisible(False)
        self.progress.setFixedHeight(6)
        self.progress.setMaximum(1000)
        self.progress.setAccessibleName("Throws run")
        kept = self.progress.sizePolicy()
        kept.setRetainSizeWhenHidden(True)
        self.progress.setSizePolicy(kept)
        self.progress.hide()
        self.round.setTextFormat(Qt.TextFormat.RichText)
        self.round.setMinimumWidth(ROUND)
        self.round.setWordWrap(True)
        self.round.setToolTip("Expected score of a round of all balls, plus or minus its standard error")
        self.round.setAccessibleName("A round")
        self.stops.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.stops.setMenu(QMenu(self.stops))
        self.stops.hide()
        row.addWidget(title)
        row.addWidget(self.throws)
        row.addWidget(self.run_button)
        row.addWidget(self.progress, 1)
        return row

    def _wire(self) -> None:
        self.speed.entered.connect(self.speed_entered)
        self.strip.picked.connect(self.speed_entered)
        self.aim.entered.connect(self.aim_entered)
        self.follow.toggled.connect(self.follow_set)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say it shorter where there is less room."""
        super().resizeEvent(event)
        narrow = self.width() < NARROW
        self.drop.setProperty("words", DROP[narrow])
        self.drop.setText(DROP[narrow])
        self.follow.setText(FOLLOW[narrow])
        for key, button in self.buttons.items():
            button.setProperty("words", PACES[key][self.width() < ROOMY])
            button.setText(PACES[key][self.width() < ROOMY])
        self.clear.setVisible(not narrow)
        for field in (self.speed, self.aim):
            field.setFixedWidth(78 if narrow else 84)

    # --- showing

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant."""
        self.strip.set_theme(theme)
        self.chances.set_theme(theme)

    def show_throw(self, speed: float, aim: float) -> None:
        """Show the throw that is set."""
        self.speed.show_value(speed)
        self.aim.show_value(aim)

    def show_paused(self, paused: bool) -> None:
        """Say what a press of the button does."""
        words = "Go on" if paused else "Pause"
        self.pause.setProperty("words", words)
        self.pause.setText(words)

    @property
    def wanted(self) -> int:
        """How many throws are to be run."""
        return int(self.throws.currentData())

    def say(self, text: str, wrong: bool = False) -> None:
        """Tell what became of a ball."""
        if self.words.text() != text:
            self.words.setText(text)
            self.words.setToolTip(text)
        if self.words.property("wrong") != wrong:
            self.words.setProperty("wrong", wrong)
            self.words.style().unpolish(self.words)
            self.words.style().polish(self.words)

    def show_run(self, running: bool, progress: float) -> None:
        """Show whether throws are run, and how far that is, from 0 to 1."""
        words = "Stop" if running else "Run"
        if self.run_button.text() != words:
            self.run_button.setProperty("words", words)
            self.run_button.setText(words)
        self.throws.setEnabled(not running)
        self.progress.setVisible(running)
        self.progress.setValue(round(1000 * progress))

    def show_round(self, lines: tuple[str, ...]) -> None:
        """Tell what a round is worth; the first line is the one that matters most."""
        first, *rest = (escape(line) for line in lines)
        text = "<br>".join((f"<b>{first}</b>", *rest))
        if self.round.text() != text:
            self.round.setText(text)
            self.round.setAccessibleDescription(". ".join(lines))

    def show_stops(self, lines: tuple[str, ...], told: str, why: str = "") -> None:
        """List the balls that did not come back; each can be played. ``told`` says how many there are in all, ``why``
        what is wrong with it.
        """
        if lines != self._listed:
            self._listed = lines
            menu = self.stops.menu()
            menu.clear()
            for k, line in enumerate(lines):
                play = menu.addAction(line).triggered
                play.connect(lambda _on=False, number=k: self.replay_asked.emit(number))
        self.stops.setText(told)
        self.stops.setToolTip(why)
        self.stops.setVisible(bool(lines))


def _button(action: QAction, words: str, main: bool = False) -> QToolButton:
    """A button for a command, with its keys as a tip."""
    button = QToolButton()
    button.setDefaultAction(action)
    button.setText(words)
    button.setProperty("words", words)
    button.setAccessibleName(action.text().replace("&", "").rstrip("…"))
    button.setObjectName("main" if main else "")
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
    action.changed.connect(lambda: button.setText(button.property("words")))
    return button

"""Plays in the open views: throws, drops, the ball's way at true speed or slowly, earlier throws, the aiming arrow.

The ball moves on the beat of desk.ui.pace. What it leaves behind stays the same objects from beat to beat, so a view
repaints only round the ball.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from desk.ball.course import CannotPlayError, runs_alike
from desk.ball.motion import Path, path
from desk.cabinet.model import Cabinet
from desk.playing import SECTION_OF, Scene, Spot, dropped, same_play, spot, told, went_wrong
from desk.ui.canvas import Canvas
from desk.ui.document import Document, Evaluated
from desk.ui.pace import Pace
from desk.ui.sheet import Sheet
from desk.views.drawing import Disc, Drawing, Item
from desk.views.playing import arrow_items, arrow_read, hand_items
from desk.views.viewport import Px

BEAT = 1 / 60
"""Seconds between two pictures of the moving ball."""
SPEEDS, AIMS = (0.05, 8.0), (-30.0, 30.0)
"""Least and greatest speed (m/s) and aim (degrees) of a throw."""
NOWHERE = "No cabinet is worked out that a ball could run in"
Both = tuple[tuple[Item, ...], tuple[Item, ...]]


class PlayStage(QObject):
    """One document played with. See also desk.ui.play_hand.Player."""

    told = Signal(str, bool)
    """What became of a ball, and whether that is wrong."""
    moved = Signal()
    """The ball is elsewhere, or the playing started, paused or ended."""
    aimed = Signal()
    """Another speed or aim is set."""
    altered = Signal()
    """The ball's way is another: the design has changed where a ball meets it, or the people have."""

    def __init__(
        self, document: Document, sheet: Sheet, pace: Pace, show_section: Callable[[str], None]
    ) -> None:
        super().__init__()
        self._document, self._sheet, self._pace, self._show_section = document, sheet, pace, show_section
        self.scene = Scene()
        self.rate, self.follow, self.arrow = 1.0, True, False
        self.speed, self.aim = self._usual_speed(), 0.0
        self.landings: tuple[Item, ...] = ()
        self.cabinet = self._current()
        """The cabinet on view, None while there is none."""
        self._words = ""
        self._held: tuple[Canvas, tuple[Item, ...]] | None = None
        document.evaluated.connect(self._take)
        document.opened.connect(self._start_over)
        for canvas in sheet.canvases.values():
            canvas.redrawn.connect(self.lay)

    # --- the throw

    def set_throw(self, speed: float, aim: float) -> None:
        """Set speed (m/s) and aim (degrees), kept within what a hand does."""
        speed = min(max(round(speed, 3), SPEEDS[0]), SPEEDS[1])
        aim = min(max(round(aim, 2), AIMS[0]), AIMS[1])
        if (speed, aim) != (self.speed, self.aim):
            self.speed, self.aim = speed, aim
            self.lay()
            self.aimed.emit()

    def throw(self) -> None:
        """Throw a ball from the front of the lane, as it is set."""
        self.throw_as(self.speed, self.aim)

    def throw_as(self, speed: float, aim: float, spring: int = 0) -> None:
        """Throw a ball at this speed and aim, to the last digit; ``spring`` as in ``path``."""
        self._play(lambda cabinet: path(cabinet, speed, aim, spring=spring))

    def again(self) -> None:
        """Play the way on view from its start."""
        if self.scene.play is not None:
            self.scene.again()
            self._roll()

    def pause(self) -> None:
        """Hold the ball, or let it go on; from its end it starts again."""
        play = self.scene.play
        if play is None:
            return
        if play.over:
            self.again()
            return
        play.paused = not play.paused
        if play.paused:
            self._pace.cancel("ball")
            self.moved.emit()
        else:
            self._roll()

    def set_rate(self, rate: float) -> None:
        """Play so many times as fast as in wood."""
        self.rate = rate
        if self.scene.play is not None:
            self.scene.play.rate = rate

    def clear(self) -> None:
        """Take every ball, line and landing off the views."""
        self._pace.cancel("ball")
        self.scene.clear()
        self.landings = ()
        self.lay()
        self.moved.emit()

    def _play(self, make: Callable[[Cabinet], Path]) -> None:
        cabinet = self.cabinet
        if cabinet is None:
            self.told.emit(NOWHERE, True)
            return
        try:
            way = make(cabinet)
        except CannotPlayError as error:
            self.told.emit(str(error), True)
            return
        self._words = told(way, cabinet)
        self.scene.begin(way, cabinet.balls.diameter / 2, self.rate)
        self._roll()

    def _roll(self) -> None:
        self._look_after()
        self.lay()
        self.moved.emit()
        self._pace.beat("ball", BEAT, self._beat)

    def _beat(self, gone: float) -> bool:
        play = self.scene.play
        if play is None or play.paused:
            return False
        play.advance(gone)
        self._look_after()
        self.lay()
        self.moved.emit()
        if play.over and self.scene.way is not None:
            self.told.emit(self._words, went_wrong(self.scene.way))
        return not play.over

    def _look_after(self) -> None:
        """Show the section in which the ball is best seen, unless the person looks at the rear."""
        wanted = SECTION_OF.get(self.scene.leg)
        if self.follow and wanted is not None and self._sheet.section_id not in ("rear", wanted):
            self._show_section(wanted)

    @property
    def words(self) -> str:
        """What became of the ball on view; "" while it is on its way, and where there is none."""
        return self._words if self.scene.play is not None and self.scene.play.over else ""

    # --- a ball in the hand (desk.ui.play_hand.Player)

    def carry(self, canvas: Canvas, at: Px) -> None:
        """A ball is in the hand, here."""
        cabinet, drawing = self.cabinet, canvas.easel.drawing
        if cabinet is not None and drawing is not None:
            refused = self._place(cabinet, drawing, at)
            items = hand_items(at, cabinet.balls.diameter / 2, refused if isinstance(refused, str) else "")
            self._held = (canvas, items)
            self._lay(canvas)

    def let_go(self, canvas: Canvas, at: Px) -> None:
        """Let the ball go here and see where it runs; inside wood it is refused with a word."""
        self._held = None
        cabinet, drawing = self.cabinet, canvas.easel.drawing
        if cabinet is None or drawing is None:
            self.told.emit(NOWHERE, True)
            return
        place = self._place(cabinet, drawing, at)
        if isinstance(place, str):
            self._lay(canvas)
            self.told.emit(f"{place}: the ball cannot be let go.", True)
            return
        self._play(lambda cabinet: dropped(cabinet, place))

    def release(self, leg: str, at: Px) -> None:
        """Let a ball go from rest at a point of a leg's plane."""
        self._play(lambda cabinet: dropped(cabinet, Spot(leg, at)))

    def put_back(self) -> None:
        """The ball is back where it was."""
        self._held = None
        self.lay()

    def point_arrow(self, canvas: Canvas, at: Px) -> None:
        """The arrow's tip has been pulled here."""
        foot = self._arrow_foot(canvas.easel.drawing)
        if foot is not None:
            self.set_throw(*arrow_read(foot, at))

    def arrow_left(self) -> None:
        """The hand has let go of the arrow."""
        self.lay()

    def _place(self, cabinet: Cabinet, drawing: Drawing, at: Px) -> Spot | str:
        """Where a ball is let go, or why not."""
        try:
            return spot(cabinet, drawing, at)
        except CannotPlayError as error:
            return str(error)

    # --- showing

    def lay(self) -> None:
        """Lay what is played on every view."""
        for canvas in self._sheet.canvases.values():
            self._lay(canvas)

    def _lay(self, canvas: Canvas) -> None:
        drawing = canvas.easel.drawing
        if drawing is None:
            return
        below, above = self.scene.items(drawing)
        if drawing.id == "face":
            below = (*self.landings, *below)
        foot = self._arrow_foot(drawing)
        if foot is not None:
            above = (*arrow_items(foot, self.speed, self.aim), *above)
        if self._held is not None and self._held[0] is canvas:
            above = (*above, *self._held[1])
        canvas.lay(below, above)

    def _arrow_foot(self, drawing: Drawing | None) -> Px | None:
        """Where the arrow starts in the plan: the ball at the front stop."""
        if not self.arrow or drawing is None or drawing.id != "plan":
            return None
        balls = (i.centre for i in drawing.items if isinstance(i, Disc) and i.style == "ball-resting")
        return next(balls, None)

    def _current(self) -> Cabinet | None:
        evaluation = self._document.evaluation
        made = evaluation.cabinet if evaluation is not None else None
        return made if isinstance(made, Cabinet) else None

    def _take(self, _made: Evaluated) -> None:
        """Another evaluation: where the ball's way is another, what was played belongs to the past."""
        before, now = self.cabinet, self._current()
        self.cabinet = now
        if before is None or now is None or not runs_alike(before, now):
            self._pace.cancel("ball")
            self._held = None
            self.scene.retire()
            self.lay()
            self.moved.emit()
            self.altered.emit()
        elif not same_play(before, now):
            self.altered.emit()

    def _start_over(self) -> None:
        self.speed, self.aim = self._usual_speed(), 0.0
        self.clear()
        self.aimed.emit()

    def _usual_speed(self) -> float:
        """Half-way between the slowest and the fastest throw of the design's people."""
        value = self._document.value
        return round((value("people.slow") + value("people.fast")) / 2, 2)

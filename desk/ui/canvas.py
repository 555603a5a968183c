"""A view with hands on it: Qt's events become ``desk.ui.easel.Event``; values are typed in place."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QHelpEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QToolTip

from desk.ui.announce import announce
from desk.ui.canvas_view import CanvasView
from desk.ui.easel import Event
from desk.ui.pace import Pace
from desk.ui.pulling import Host
from desk.ui.value_edit import ValueEdit, told
from desk.views.layout import flag_at
from desk.views.theme import Theme
from desk.views.viewport import Px
from desk.views.wording import dimension_words

ENTRY_WIDTH = 116
ARROWS: dict[int, Px] = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}
ZOOM_KEYS: dict[int, float] = {Qt.Key.Key_Plus: 1.25, Qt.Key.Key_Equal: 1.25, Qt.Key.Key_Minus: 0.8}


class Canvas(CanvasView):
    """One view that can be worked in."""

    def __init__(self, name: str, host: Host, theme: Theme, pace: Pace) -> None:
        super().__init__(name, host, theme, pace)
        self.tip: Callable[[str], str] = lambda _finding: ""
        """The text shown over a finding's flag."""
        self.shown: Callable[[str], str] = lambda _address: ""
        """The text of the number at an address, as it was typed."""
        self._entry = ValueEdit(self)
        self._entry.hide()
        self._entry.entered.connect(lambda text: self.feed(Event("typed", name=text)))
        self._entry.dropped.connect(self._drop_entry)
        self._entry.faulted.connect(host.refuse)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

    def relayout(self, everything: bool = False) -> None:
        """Place everything anew, the line to type in too."""
        super().relayout(everything)
        if self._entry.isVisible():
            self._place_entry()

    def feed(self, event: Event) -> None:
        """Give one event to the model and show what came of it."""
        easel = self.easel
        before = (easel.view, easel.state, easel.focus, easel.hover)
        easel.handle(event)
        if easel.view != before[0]:
            self._fitted = False
            self.relayout(everything=True)
            self.viewed.emit(easel.view)
        elif (easel.state, easel.focus, easel.hover) != before[1:]:
            self.relayout()
        self._show_entry()
        if easel.focus != before[2]:
            self._tell_focus()
        shapes = dict.fromkeys(("panning", "carrying"), Qt.CursorShape.ClosedHandCursor)
        shapes["hand"] = Qt.CursorShape.OpenHandCursor
        over = Qt.CursorShape.PointingHandCursor if easel.hover else Qt.CursorShape.ArrowCursor
        over = Qt.CursorShape.OpenHandCursor if easel.ready else over
        shape = shapes.get(easel.state, over)
        if self.cursor().shape() != shape:
            self.setCursor(shape)

    def _tell_focus(self) -> None:
        item = self.easel.dimension(self.easel.focus)
        if item is not None and self.hasFocus():
            announce(self, dimension_words(item, self._host.unit(), True))

    def _show_entry(self) -> None:
        easel = self.easel
        item = easel.dimension(easel.focus)
        if easel.state != "typing" or item is None:
            if self._entry.isVisible():
                self._entry.hide()
                self.setFocus()
            return
        if easel.fault:
            self._entry.say(easel.fault)
            self._host.refuse(told(easel.fault))
            return
        address = item.pulls[easel.entry].address
        self._entry.begin(self.shown(address), address, self._host.unit())
        self._entry.show()
        self.relayout()
        self._entry.setFocus()

    def _place_entry(self) -> None:
        """Under the name of the dimension that is typed, or beside its handle."""
        item = self.easel.dimension(self.easel.focus)
        if item is None:
            return
        label = next((p.label for p in self.easel.plots if p.item is item), None)
        x, y = self.view.to_px(item.handle)
        left, top = (label[0], label[3] + 2) if label else (x + 12, y + 8)
        w, h = ENTRY_WIDTH, self._entry.sizeHint().height()
        if label and top + h > self.height() - 4:
            top = label[1] - h - 2
        left = min(max(4, round(left)), self.width() - w - 4)
        top = min(max(4, round(top)), self.height() - h - 4)
        self._entry.setGeometry(left, top, w, h)

    def _drop_entry(self) -> None:
        if self.easel.state == "typing":
            self.feed(Event("escape"))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a handle, choose a flag, or move the sheet."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        at = _px(event.position())
        if event.button() == Qt.MouseButton.MiddleButton:
            self.feed(Event("press_pan", at))
        elif event.button() == Qt.MouseButton.LeftButton:
            self.feed(Event("press", at, fine=_fine(event.modifiers())))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Type a handle's value."""
        at = _px(event.position())
        if event.button() == Qt.MouseButton.LeftButton and self.easel.state in ("idle", "typing"):
            self.feed(Event("move", at))
            if self.easel.state == "idle" and self.easel.hover:
                self.feed(Event("type", name=self.easel.hover))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pull, pan or hover."""
        self.feed(Event("move", _px(event.position()), fine=_fine(event.modifiers())))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        wanted = Qt.MouseButton.MiddleButton if self.easel.state == "panning" else Qt.MouseButton.LeftButton
        if event.button() in (wanted, Qt.MouseButton.LeftButton):
            self.feed(Event("release", _px(event.position()), fine=_fine(event.modifiers())))

    def leaveEvent(self, event: QEvent) -> None:
        """Forget what the pointer was over."""
        super().leaveEvent(event)
        self.feed(Event("leave"))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        turned = event.angleDelta().y() or event.angleDelta().x()
        if turned:
            self.feed(Event("zoom", _px(event.position()), factor=1.0015**turned))
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Nudge, zoom, type, pan by the space bar, give up."""
        key, keys = event.key(), event.modifiers()
        if key in ARROWS:
            coarse = bool(keys & Qt.KeyboardModifier.ShiftModifier)
            self.feed(Event("nudge", by=ARROWS[key], fine=_fine(keys), coarse=coarse))
        elif key in ZOOM_KEYS and not self._starts_number(event):
            self.feed(Event("zoom", self._middle(), factor=ZOOM_KEYS[key]))
        elif key == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                self.feed(Event("space_down"))
        elif key == Qt.Key.Key_Escape and (self.easel.focus or self.easel.state != "idle"):
            self.feed(Event("escape"))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.easel.state == "carrying":
            self.feed(Event("release"))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2) and self.easel.focus:
            self.feed(Event("type"))
        elif self._starts_number(event):
            self.feed(Event("type"))
            self._entry.setText(event.text())
        else:
            super().keyPressEvent(event)

    def _starts_number(self, event: QKeyEvent) -> bool:
        plain = not event.modifiers() & Qt.KeyboardModifier.ControlModifier
        return bool(self.easel.focus) and plain and event.text() in "0123456789.,-" and bool(event.text())

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """The space bar let go."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self.feed(Event("space_up"))
        else:
            super().keyReleaseEvent(event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab goes through the handles and then on to the next pane."""
        names = [d.id for d in self.easel.dimensions()]
        at = names.index(self.easel.focus) if self.easel.focus in names else (-1 if forward else len(names))
        step = 1 if forward else -1
        if self.easel.state in ("idle", "typing") and 0 <= at + step < len(names):
            self.feed(Event("cycle", by=(float(step), 0.0)))
            return True
        return super().focusNextPrevChild(forward)

    def event(self, event: QEvent) -> bool:
        """Show what a flag stands for."""
        if event.type() == QEvent.Type.ToolTip:
            place = cast(QHelpEvent, event)
            flag = flag_at(self.easel.plots, _px(QPointF(place.pos())))
            text = self.tip(flag.finding) if flag else ""
            if text:
                QToolTip.showText(place.globalPos(), text, self)
            else:
                QToolTip.hideText()
            return True
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        return super().event(event)


def _px(point: QPointF) -> Px:
    return point.x(), point.y()


def _fine(keys: Qt.KeyboardModifier) -> bool:
    return bool(keys & Qt.KeyboardModifier.ControlModifier)

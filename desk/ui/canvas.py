"""The widget that shows one drawing and takes hold of its handles.

It turns Qt's events into ``desk.ui.easel.Event`` and paints what ``desk.ui.layout`` places; only the part of it that
differs between two drawings is painted again.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce
from typing import cast

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QRegion,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QToolTip, QWidget

from desk.ui.announce import announce
from desk.ui.draw import draw, pulse
from desk.ui.easel import Easel, Event, Host
from desk.ui.layout import (
    Layout,
    Look,
    Note,
    Plot,
    changed_boxes,
    flag_at,
    joined,
    note_plot,
    padded,
    same_items,
)
from desk.ui.pace import Pace
from desk.ui.scalebar import scale_bar
from desk.ui.surface import PathStore, QtSurface, metrics
from desk.ui.theme import Theme
from desk.ui.value_edit import ValueEdit
from desk.ui.viewport import Box, Px, Viewport, fit_scale, placed, reach
from desk.ui.wording import dimension_words
from desk.views.drawing import Dimension, Drawing, Path

MARGIN = 26.0
"""Room left around the drawing when it is fitted, px."""
MANY = 4
"""So many changed boxes are still painted one by one."""
ARROWS: dict[int, Px] = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}
ZOOM_KEYS: dict[int, float] = {Qt.Key.Key_Plus: 1.25, Qt.Key.Key_Equal: 1.25, Qt.Key.Key_Minus: 0.8}


class Canvas(QWidget):
    """One view. ``viewed`` is emitted with the viewport when the person moved it."""

    viewed = Signal(object)

    def __init__(self, name: str, host: Host, theme: Theme, pace: Pace) -> None:
        super().__init__()
        self.name = name
        self.easel = Easel(host)
        self.margins: Callable[[str], tuple[tuple[str, str], ...]] = lambda _address: ()
        """Lines of (text, status) about the findings that concern an address."""
        self.tip: Callable[[str], str] = lambda _finding: ""
        """The text shown over a finding's flag."""
        self.painted = 0
        """How many plots the last paint drew."""
        self._host, self._theme, self._pace = host, theme, pace
        self._layout = Layout(self._measure, self._words)
        self._paths = PathStore()
        self._chosen = ""
        self._pulse: tuple[tuple[float, float], float] | None = None
        self._note: Plot | None = None
        self._fitted = True
        self._entry = ValueEdit(self)
        self._entry.hide()
        self._entry.entered.connect(lambda text: self.feed(Event("typed", name=text)))
        self._entry.dropped.connect(self._drop_entry)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMinimumSize(120, 90)

    # --- what is shown

    def sizeHint(self) -> QSize:
        """A middling size; the pane decides."""
        return QSize(480, 320)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant of the look."""
        self._theme = theme
        self.relayout(everything=True)

    def show_drawing(self, drawing: Drawing) -> None:
        """Show this drawing. The same view of a changed cabinet is repainted only where it differs."""
        before = self.easel.drawing
        fresh = before is None or before.id != drawing.id
        if before is not None and not fresh:
            items = same_items(before.items, drawing.items)
            drawing = Drawing(drawing.id, drawing.title, drawing.frame, drawing.extent, items)
        self.easel.drawing = drawing
        self._paths.keep({id(i.rings) for i in drawing.items if isinstance(i, Path)})
        self.setAccessibleName(drawing.title)
        if self.easel.focus and self.easel.dimension(self.easel.focus) is None:
            self.easel.focus = ""
        if fresh and self._fitted:
            self.fit()
        else:
            self.relayout(everything=fresh)

    def choose(self, finding: str) -> None:
        """Mark this finding's flag; "" for none."""
        if finding != self._chosen:
            self._chosen = finding
            self.relayout()

    def point_at(self, address: str) -> None:
        """Mark the handle that pulls this number, if the view has one."""
        item = self.easel.by_address(address) if address else None
        focus = item.id if item else ""
        if focus != self.easel.focus and self.easel.state in ("idle", "hand"):
            self.easel.focus = focus
            self.relayout()

    # --- where it is

    @property
    def view(self) -> Viewport:
        """The viewport."""
        return self.easel.view

    def set_view(self, view: Viewport) -> None:
        """Move the drawing without telling anybody."""
        if view != self.easel.view:
            self.easel.view = view
            self.relayout(everything=True)

    def wanted_scale(self) -> float:
        """The scale at which the drawing fills the canvas, px per mm."""
        if self.easel.drawing is None:
            return 1.0
        return fit_scale(reach(self.easel.drawing), self.width(), self.height(), MARGIN)

    def fit(self, scale: float | None = None) -> None:
        """Show the whole drawing, at ``scale`` if one is given."""
        self._fitted = True
        if self.easel.drawing is not None:
            box = reach(self.easel.drawing)
            self.easel.view = placed(box, scale or self.wanted_scale(), self.width(), self.height())
        self.relayout(everything=True)

    def true_size(self) -> None:
        """As large on the screen as in wood, as far as the screen tells its size."""
        self._moved(self.view.zoomed(self._middle(), self.logicalDpiX() / 25.4 / self.view.scale))

    def zoom_by(self, factor: float) -> None:
        """Scale about the middle."""
        self._moved(self.view.zoomed(self._middle(), factor))

    def go_to(self, point: tuple[float, float]) -> None:
        """Bring a point of the drawing into view, if it is not, and pulse it."""
        x, y = self.view.to_px(point)
        edge = 40
        if not (edge < x < self.width() - edge and edge < y < self.height() - edge):
            self._moved(self.view.centred(point, self.width(), self.height()))
        self._pace.animate(f"pulse {self.name}", 0.9, lambda share: self._set_pulse(point, share))

    def _set_pulse(self, point: tuple[float, float], share: float) -> None:
        self._pulse = None if share >= 1.0 else (point, share)
        x, y = self.view.to_px(point)
        self.update(QRect(round(x) - 56, round(y) - 56, 112, 112))

    def _middle(self) -> Px:
        return self.width() / 2, self.height() / 2

    def _moved(self, view: Viewport) -> None:
        self._fitted = False
        self.set_view(view)
        self.viewed.emit(view)

    # --- layout and painting

    def relayout(self, everything: bool = False) -> None:
        """Place everything anew and ask for the changed parts to be painted."""
        easel = self.easel
        if easel.drawing is None:
            return
        stuck = frozenset(
            d.id for d in easel.dimensions() if all(self._host.locked(p.address) for p in d.pulls)
        )
        look = Look(easel.hover, easel.focus, self._chosen, stuck)
        plots = self._layout.plots(easel.drawing, easel.view, (self.width(), self.height()), look)
        self._note = self._live_note()
        shown = plots if self._note is None else (*plots, self._note)
        boxes = None if everything else changed_boxes(easel.plots, shown)
        easel.plots = shown
        if boxes is None:
            self.update()
        elif boxes:
            self.update(_region(boxes))
        if self._entry.isVisible():
            self._place_entry()

    def _live_note(self) -> Plot | None:
        grab = self.easel.grab
        if grab is None or not grab.moved:
            return None
        item = self.easel.dimension(grab.item.id) or grab.item
        lines: list[tuple[str, str]] = [(dimension_words(item, self._host.unit(), True), "")]
        for pull in item.pulls:
            lines.extend(line for line in self.margins(pull.address) if line not in lines)
        at = self.easel.view.to_px(item.handle)
        return note_plot(Note(at, tuple(lines[:5])), self._measure, (self.width(), self.height()))

    def _measure(self, text: str, style: str) -> tuple[float, float]:
        size = metrics(self._theme.text(style))
        return size.horizontalAdvance(text), size.height()

    def _words(self, item: Dimension, pointed: bool) -> str:
        if self.easel.grab is not None and self.easel.grab.item.id == item.id:
            return ""
        return dimension_words(item, self._host.unit(), pointed)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what reaches into the damaged area."""
        painter = QPainter(self)
        rect = event.rect()
        painter.fillRect(rect, QColor(self._theme.colour("sheet")))
        surface = QtSurface(painter, self.view, self._paths, self._theme.colour("sheet"))
        within: Box = (rect.left(), rect.top(), rect.right() + 1, rect.bottom() + 1)
        self.painted = draw(surface, self.easel.plots, self.view, self._theme, within)
        scale_bar(surface, self.view.scale, self._host.unit(), (self.width(), self.height()), self._theme)
        if self._pulse is not None:
            pulse(surface, self.view.to_px(self._pulse[0]), self._pulse[1], self._theme)
        if self.hasFocus():
            painter.setPen(QColor(self._theme.colour("accent")))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep a fitted drawing fitted, any other where it is."""
        super().resizeEvent(event)
        if not self._fitted:
            self.relayout(everything=True)

    @property
    def fitted(self) -> bool:
        """Whether the person has left the view as it was fitted."""
        return self._fitted

    def follow(self, other: Viewport) -> None:
        """Take over the scale and x of a linked view."""
        self._fitted = False
        self.set_view(self.view.following(other, self.height() / 2))

    # --- events in

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
        shapes = {"panning": Qt.CursorShape.ClosedHandCursor, "hand": Qt.CursorShape.OpenHandCursor}
        over = Qt.CursorShape.PointingHandCursor if easel.hover else Qt.CursorShape.ArrowCursor
        self.setCursor(shapes.get(easel.state, over))

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
            return
        address = item.pulls[easel.entry].address
        self._entry.begin(self.shown(address), address, self._host.unit())
        self._place_entry()
        self._entry.show()
        self._entry.setFocus()

    shown: Callable[[str], str] = staticmethod(lambda _address: "")
    """The text of the number at an address, as it was typed."""

    def _place_entry(self) -> None:
        item = self.easel.dimension(self.easel.focus)
        if item is not None:
            x, y = self.view.to_px(item.handle)
            w, h = 116, self._entry.sizeHint().height()
            left = min(max(4, round(x) + 12), self.width() - w - 4)
            top = min(max(4, round(y) - h - 8), self.height() - h - 4)
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


def _region(boxes: list[Box]) -> QRegion:
    """The area to paint again. Clipping to many boxes costs more than painting what lies between them."""
    region = QRegion()
    if len(boxes) > MANY:
        boxes = [reduce(joined, boxes)]
    for box in boxes:
        x0, y0, x1, y1 = padded(box, 1.0)
        region += QRect(int(x0), int(y0), int(x1 - x0) + 2, int(y1 - y0) + 2)
    return region

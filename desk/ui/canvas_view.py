"""A widget that shows one drawing: where it is on the screen, and painting no more of it than changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import reduce
from operator import is_

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QRegion, QResizeEvent
from PySide6.QtWidgets import QWidget

from desk.design.table import ITEM_NOUN, spec
from desk.ui.easel import Easel
from desk.ui.pace import Pace
from desk.ui.pulling import Host
from desk.ui.scalebar import scale_bar
from desk.ui.surface import PathStore, QtSurface, metrics
from desk.views.boxes import joined, padded
from desk.views.draw import draw, pulse
from desk.views.drawing import Dimension, Disc, Drawing, Item, Marker, Path, Text
from desk.views.layout import (
    Layout,
    Look,
    Note,
    Plot,
    changed_boxes,
    note_plot,
    same_items,
)
from desk.views.playing import loose_plots
from desk.views.theme import Theme
from desk.views.viewport import Box, Px, Viewport, fit_scale, placed, reach
from desk.views.wording import dimension_words, value_words

MARGIN = 26.0
"""Room left around the drawing when it is fitted, px."""
KEPT = 1000
"""So many sizes of texts are remembered."""
MANY = 30
"""More changed boxes than this are painted as one."""
APART = 3000.0
"""Two boxes are painted as one when that adds less than this, px², for what lies between them."""


class CanvasView(QWidget):
    """One view. ``viewed`` is emitted with the viewport when the person moved it."""

    viewed = Signal(object)
    redrawn = Signal()
    """Another view is shown."""
    resized = Signal()
    """It has another size."""

    def __init__(self, name: str, host: Host, theme: Theme, pace: Pace) -> None:
        super().__init__()
        self.name = name
        self.easel = Easel(host)
        self.margins: Callable[[str], tuple[tuple[str, str], ...]] = lambda _address: ()
        """Lines of (text, status) about the findings that concern an address."""
        self.waiting: Callable[[], frozenset[str]] = frozenset
        """Keys of the findings that are still being checked."""
        self.painted = 0
        """How many plots the last paint drew."""
        self._host, self._theme, self._pace = host, theme, pace
        self._sizes: dict[tuple[str, str], tuple[float, float]] = {}
        self._layout = Layout(self._measure, self._words)
        self._paths = PathStore()
        self._chosen = ""
        self._look = Look()
        self._shown_in = ""
        self._pulse: tuple[tuple[float, float], float] | None = None
        self._note: Plot | None = None
        self._loose: tuple[tuple[Item, ...], tuple[Item, ...]] = ((), ())
        self._lying: tuple[tuple[Plot, ...], tuple[Plot, ...]] = ((), ())
        """What lies loose on the drawing: below its sizes and flags, and above them."""
        self._fitted = True
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMinimumSize(120, 90)

    # --- what is shown

    def sizeHint(self) -> QSize:
        """A middling size; the pane decides."""
        return QSize(480, 320)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another variant of the look."""
        self._theme = theme
        self._sizes.clear()
        self._layout = Layout(self._measure, self._words)
        self.relayout(everything=True)

    def show_drawing(self, drawing: Drawing) -> None:
        """Show this drawing. The same view of a changed cabinet is repainted only where it differs."""
        before = self.easel.drawing
        fresh = before is None or before.id != drawing.id
        if before is not None and not fresh:
            items = same_items(before.items, drawing.items)
            if self._unchanged(before, drawing, items):
                return
            drawing = Drawing(drawing.id, drawing.title, drawing.frame, drawing.extent, items)
        self.easel.drawing = drawing
        self._keep_paths()
        self.setAccessibleName(drawing.title)
        if self.easel.focus and self.easel.dimension(self.easel.focus) is None:
            self.easel.focus = ""
        if fresh and self._fitted:
            self.fit()
        else:
            self.relayout(everything=fresh)
        if fresh:
            self.redrawn.emit()

    def _unchanged(self, before: Drawing, drawing: Drawing, items: tuple[Item, ...]) -> bool:
        """Whether a drawing shows just what is shown already, with nothing in the hand and nothing locked anew."""
        same = len(items) == len(before.items) and all(map(is_, items, before.items))
        look = self._look
        settled = self.easel.grab is None and (self._stuck(), self.waiting()) == (look.locked, look.waiting)
        return same and settled and drawing.frame == before.frame and self._shown_in == self._host.unit()

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

    def lay(self, below: tuple[Item, ...], above: tuple[Item, ...]) -> None:
        """Let these items lie loose on the drawing, below and above its sizes and flags, instead of those before.

        Only what is another object than before is painted again.
        """
        self._loose = (below, above)
        self._lay(fresh=False)

    @property
    def lying(self) -> tuple[Item, ...]:
        """All that lies loose on the drawing."""
        return (*self._loose[0], *self._loose[1])

    def _lay(self, fresh: bool) -> None:
        size, damage = (self.width(), self.height()), []
        made = []
        for items, old in zip(self._loose, self._lying, strict=True):
            kept = {} if fresh else {id(p.item): p for p in old}
            plots = loose_plots(items, self.view, size, self._measure, kept, self._flags())
            damage.append([] if fresh else changed_boxes(old, plots))
            made.append(plots)
        self._lying = (made[0], made[1])
        self._keep_paths()
        if None in damage:
            self.update()
        elif boxes := [box for found in damage for box in found or ()]:
            self.update(_region(boxes))

    def _flags(self) -> list[Box]:
        """Where flags fly, for words that lie loose."""
        return [p.label for p in self.easel.plots if p.label is not None and isinstance(p.item, Marker)]

    def _keep_paths(self) -> None:
        """Forget the screen paths of what is no longer shown."""
        shown = self.easel.drawing.items if self.easel.drawing is not None else ()
        every = (*shown, *self.lying)
        self._paths.keep({id(i.rings) for i in every if isinstance(i, Path)})

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
        look = self._look = Look(easel.hover, easel.focus, self._chosen, self._stuck(), self.waiting())
        self._shown_in = self._host.unit()
        plots = self._layout.plots(easel.drawing, easel.view, (self.width(), self.height()), look)
        self._note = self._live_note()
        shown = plots if self._note is None else (*plots, self._note)
        boxes = None if everything else changed_boxes(easel.plots, shown)
        easel.plots = shown
        if everything:
            self._lay(fresh=True)
        if boxes is None:
            self.update()
        elif boxes:
            self.update(_region(boxes))

    def _stuck(self) -> frozenset[str]:
        """Ids of the dimensions that cannot be moved."""
        easel, locked = self.easel, self._host.locked
        return frozenset(d.id for d in easel.dimensions() if all(locked(p.address) for p in d.pulls))

    def _live_note(self) -> Plot | None:
        grab = self.easel.grab
        if grab is None or not grab.moved:
            return None
        item = self.easel.dimension(grab.item.id) or grab.item
        lines: list[tuple[str, str]] = [(self._named(item), "")]
        for pull in item.pulls:
            lines.extend(line for line in self.margins(pull.address) if line not in lines)
        at = self.easel.view.to_px(item.handle)
        return note_plot(Note(at, tuple(lines[:5])), self._measure, (self.width(), self.height()))

    def _measure(self, text: str, style: str) -> tuple[float, float]:
        found = self._sizes.get((text, style))
        if found is None:
            if len(self._sizes) > KEPT:
                self._sizes.clear()
            size = metrics(self._theme.text(style))
            found = self._sizes[text, style] = size.horizontalAdvance(text), size.height()
        return found

    def _words(self, item: Dimension, pointed: bool) -> str:
        if self.easel.grab is not None and self.easel.grab.item.id == item.id:
            return ""
        if self.easel.state == "typing" and item.id == self.easel.focus:
            return spec(item.pulls[self.easel.entry].address).label
        return self._named(item) if pointed else dimension_words(item, self._host.unit(), False)

    def _named(self, item: Dimension) -> str:
        """A handle's name and value; all its values for one that is pulled more than one way."""
        unit = self._host.unit()
        if len(item.pulls) < 2:
            return dimension_words(item, unit, True)
        specs = [spec(p.address) for p in item.pulls]
        values = [value_words(self._host.value(s.address), s.unit, unit) for s in specs]
        if specs[0].list_name is None:
            return "   ".join(f"{s.label}  {v}" for s, v in zip(specs, values, strict=True))
        noun = f"{ITEM_NOUN[specs[0].list_name].capitalize()} {specs[0].item}"
        values = [value_words(self._host.value(s.address), s.unit, unit, unit != "mm") for s in specs]
        parts = (f"{v} {s.address.rsplit('.', 1)[1]}" for s, v in zip(specs, values, strict=True))
        return f"{noun}: {', '.join(parts)}"

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what reaches into the damaged area."""
        painter = QPainter(self)
        surface = QtSurface(painter, self.view, self._paths, self._theme.colour("sheet"))
        self.painted = 0
        rects: Iterable[QRect] = event.region()  # type: ignore[assignment]  # can be gone through, its stub is silent
        for rect in rects:  # one by one: clipping to a box costs nothing, to several of them a lot
            painter.setClipRect(rect)
            painter.fillRect(rect, QColor(self._theme.colour("sheet")))
            within: Box = (rect.left(), rect.top(), rect.right() + 1, rect.bottom() + 1)
            for plots in self._stack():
                self.painted += draw(surface, plots, self.view, self._theme, within)
        painter.setClipping(False)
        scale_bar(surface, self.view.scale, self._host.unit(), (self.width(), self.height()), self._theme)
        if self._pulse is not None:
            pulse(surface, self.view.to_px(self._pulse[0]), self._pulse[1], self._theme)
        if self.hasFocus():
            painter.setPen(QColor(self._theme.colour("accent")))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _stack(self) -> tuple[tuple[Plot, ...], ...]:
        """Everything to paint, back to front."""
        plots, (below, above) = self.easel.plots, self._lying
        if not below and not above:
            return (plots,)
        ground = next(
            (k for k, p in enumerate(plots) if not isinstance(p.item, Path | Disc | Text)), len(plots)
        )
        return plots[:ground], below, plots[ground:], above

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep a fitted drawing fitted, any other where it is."""
        super().resizeEvent(event)
        if not self._fitted:
            self.relayout(everything=True)
        self.resized.emit()

    @property
    def fitted(self) -> bool:
        """Whether the person has left the view as it was fitted."""
        return self._fitted

    def follow(self, other: Viewport) -> None:
        """Take over the scale and x of a linked view."""
        self._fitted = False
        self.set_view(self.view.following(other, self.height() / 2))


def _region(boxes: list[Box]) -> QRegion:
    """The area to paint again: the boxes, those near each other joined."""
    region = QRegion()
    for box in clusters(boxes):
        x0, y0, x1, y1 = padded(box, 1.0)
        region += QRect(int(x0), int(y0), int(x1 - x0) + 2, int(y1 - y0) + 2)
    return region


def clusters(boxes: list[Box]) -> list[Box]:
    """Boxes that cover all of ``boxes``; those that are near each other, or overlap, are joined."""
    if len(boxes) > MANY:
        return [reduce(joined, boxes)]
    out: list[Box] = []
    for new in boxes:
        box, rest = new, out
        while True:
            near = [b for b in rest if _area(joined(b, box)) < _area(b) + _area(box) + APART]
            if not near:
                break
            rest = [b for b in rest if b not in near]
            box = reduce(joined, near, box)
        out = [*rest, box]
    return out


def _area(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])

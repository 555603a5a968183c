"""Puts a drawing's items on the screen: boxes, label places, flag places. No Qt; px with y down.

Labels keep their size at every zoom, so where they go is decided here: flags first, then the labels of what is being
pointed at, then the other dimension labels, then plain texts. A label that finds no free place is left out until the
drawing is zoomed in; a label is never cut off by the edge while its place is in view.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import chain, pairwise

from msgspec import Struct

from desk.views.boxes import afar, along, around, beside, crosses, free, inside, joined, overlaps, padded
from desk.views.drawing import Dimension, Disc, Drawing, Item, Marker, Path, Text
from desk.views.viewport import Box, Px, Viewport, line_ends

Measure = Callable[[str, str], tuple[float, float]]
"""(text, text style) -> (width, height) in px."""

GRIP = 5.0
"""Half size of a drawn handle, px."""
HIT = 12.5
"""Half size of the area that takes hold of a handle, px."""
EDGE = 3.0
"""Labels keep this far from the edge of the canvas, px."""
POLE = 20.0
"""Height of a flag's pole, px."""
WIDE_NOTE = 0.6
"""Share of the canvas' width above which a note goes to an edge."""
FLAG_SIZE = (22.0, 14.0)
MUTED_SIZE = (20.0, 13.0)
"""Size of the cloth of a muted finding's flag; its pole is shorter too."""


UNCOVERED = ("hole", "groove", "trap")
"""Styles of what the label of a handle that is pointed at does not cover where there is room elsewhere."""


class Look(Struct, frozen=True):
    """What is being pointed at: dimension ids and a finding's key, "" for none."""

    hover: str = ""
    focus: str = ""
    chosen: str = ""
    locked: frozenset[str] = frozenset()
    """Ids of dimensions that cannot be moved."""
    waiting: frozenset[str] = frozenset()
    """Keys of findings that are still being checked; what marks them is faint."""


class Note(Struct, frozen=True):
    """The slip of paper beside a handle while it moves: lines of (text, status or "")."""

    at: Px
    lines: tuple[tuple[str, str], ...]


class Plot(Struct, frozen=True, eq=False):
    """One item on the screen: all it covers, its label's box and text, the ends of its line or its tip."""

    item: Item | Note
    box: Box
    label: Box | None = None
    text: str = ""
    ends: tuple[Px, ...] = ()
    mood: str = ""
    """"hover", "focus", "chosen", "locked" or ""."""
    faint: bool = False
    """Whether it marks a finding that is still being checked."""

    def looks_like(self, other: Plot) -> bool:
        """Whether painting either gives the same picture."""
        if self is other:
            return True
        if self.item is not other.item or self.box != other.box or self.label != other.label:
            return False
        return (self.text, self.ends, self.mood, self.faint) == (
            other.text,
            other.ends,
            other.mood,
            other.faint,
        )


def same_items(old: Sequence[Item], new: Sequence[Item]) -> tuple[Item, ...]:
    """``new`` with every item that equals one of ``old`` replaced by that very object.

    What is cached by identity (screen paths, boxes) then stays valid for all that did not change.
    """
    if len(old) == len(new):
        return tuple(
            [was if was is item or was == item else item for was, item in zip(old, new, strict=True)]
        )
    out: list[Item] = []
    index: dict[Item, Item] | None = None
    for k, item in enumerate(new):
        if k < len(old) and old[k] == item:
            out.append(old[k])
            continue
        if index is None:
            index = {o: o for o in old}
        out.append(index.get(item, item))
    return tuple(out)


class Layout:
    """Lays out one drawing. What is known by identity from the call before is kept: boxes, and plots in the same view.

    A label stays where it was as long as nothing has come in its way.
    """

    def __init__(self, measure: Measure, words: Callable[[Dimension, bool], str]) -> None:
        """``words(dimension, pointed_at)`` gives the text shown for a dimension."""
        self._measure = measure
        self._words = words
        self._boxes: dict[int, tuple[Item, Box]] = {}
        self._view: Viewport | None = None
        self._size = (0.0, 0.0)
        self._look = Look()
        self._uncovered: list[Box] = []
        self._last: dict[int, Plot] = {}
        """The plots of the last call by the identity of their items; empty in another view."""

    def plots(
        self, drawing: Drawing, view: Viewport, size: tuple[float, float], look: Look
    ) -> tuple[Plot, ...]:
        """Everything to paint, back to front: areas and texts, then dimensions, then flags."""
        boxes = self._boxes
        self._boxes = {id(i): boxes.get(id(i)) or (i, _mm_box(i)) for i in drawing.items}
        if (view, size, look) != (self._view, self._size, self._look):
            self._view, self._size, self._look, self._last = view, size, look, {}
        frame = padded((0.0, 0.0, size[0], size[1]), -EDGE)
        self._uncovered = [
            around([view.to_px(b[:2]), view.to_px(b[2:])])
            for i, b in self._boxes.values()
            if isinstance(i, Path) and i.style in UNCOVERED
        ]
        rows = [i for i in drawing.items if isinstance(i, Dimension)]
        taken = [around([view.to_px(row.handle)], GRIP) for row in rows]
        taken += [around([view.to_px(b.centre)], b.radius * view.scale) for b in drawing.balls]
        flags = [self._flag(i, view, frame, look, taken) for i in drawing.items if isinstance(i, Marker)]
        rows.sort(key=lambda d: (_mood(d, look) not in ("focus", "hover"), -_length(d)))
        made = {id(d): self._dimension(d, view, frame, look, taken) for d in rows}
        ground = [
            plot
            for i in drawing.items
            if isinstance(i, Path | Disc | Text)
            and (plot := self._ground(i, view, frame, look, taken)) is not None
        ]
        ordered = [made[id(i)] for i in drawing.items if isinstance(i, Dimension)]
        ordered.sort(key=lambda p: p.mood in ("focus", "hover"))
        plots = (*ground, *ordered, *flags)
        self._last = {id(p.item): p for p in plots}
        return plots

    def _kept(self, item: Item, text: str, taken: list[Box]) -> Plot | None:
        """The item's last plot if its text is the same and its label still has its place to itself."""
        last = self._last.get(id(item))
        if last is None or last.text != text or (last.label is None) != (not text):
            return None
        if last.label is not None:
            if not free(last.label, taken):
                return None
            taken.append(last.label)
        return last

    def _ground(
        self, item: Path | Disc | Text, view: Viewport, frame: Box, look: Look, taken: list[Box]
    ) -> Plot | None:
        if (kept := self._kept(item, item.text if isinstance(item, Text) else "", taken)) is not None:
            return kept
        if not isinstance(item, Text):
            x0, y0, x1, y1 = self._boxes[id(item)][1]
            s, left, foot = view.scale, view.x0, view.y0
            box = (left + x0 * s - 2.0, foot - y1 * s - 2.0, left + x1 * s + 2.0, foot - y0 * s + 2.0)
            return Plot(item, box, faint=isinstance(item, Path) and item.finding in look.waiting)
        at = view.to_px(item.at)
        box = self._text_box(item, at)
        if overlaps(around([at], 0.5), frame):
            box = inside(box, frame)
        if overlaps(box, frame) and not free(box, taken):
            return None
        taken.append(box)
        return Plot(item, padded(box, 1.0), box, item.text)

    def _text_box(self, item: Text, at: Px) -> Box:
        w, h = self._measure(item.text, item.style)
        shift = {"left": w / 2, "middle": 0.0, "right": -w / 2}[item.anchor]
        c, s = math.cos(math.radians(item.angle)), -math.sin(math.radians(item.angle))
        x, y = at[0] + shift * c, at[1] + shift * s
        half_w, half_h = (abs(w * c) + abs(h * s)) / 2, (abs(w * s) + abs(h * c)) / 2
        return x - half_w, y - half_h, x + half_w, y + half_h

    def _flag(self, item: Marker, view: Viewport, frame: Box, look: Look, taken: list[Box]) -> Plot:
        """Plants a flag: the cloth is moved round its place until it is free of the ones planted before.

        A flag whose place is out of view is not planted.
        """
        tip = view.to_px(item.at)
        mood = "chosen" if item.finding == look.chosen else ""
        faint = item.finding in look.waiting
        if not overlaps(around([tip], 0.5), frame):
            return Plot(item, around([tip]), None, "", (tip,), mood, faint)
        w, h = MUTED_SIZE if item.muted else FLAG_SIZE
        pole = POLE * h / FLAG_SIZE[1]
        best: tuple[float, Box] | None = None
        for rise in (pole, pole * 1.8, pole * 2.6, pole * 3.4):
            for dx in (0.0, -w, w * 0.9, -1.9 * w):
                for up in (-1.0, 1.0):
                    y = tip[1] + up * rise - (h if up < 0 else 0.0)
                    cloth = inside((tip[0] + dx, y, tip[0] + dx + w, y + h), frame)
                    hits = sum(overlaps(cloth, t) for t in taken)
                    if best is None or hits < best[0]:
                        best = (hits, cloth)
            if best is not None and not best[0]:
                break
        assert best is not None
        cloth = best[1]
        taken.append(padded(cloth, 1.0))
        box = padded(joined(cloth, around([tip])), 15.0 if mood else 4.0)
        return Plot(item, box, cloth, str(item.number), (tip,), mood, faint)

    def _dimension(self, item: Dimension, view: Viewport, frame: Box, look: Look, taken: list[Box]) -> Plot:
        mood = _mood(item, look)
        pointed = mood in ("focus", "hover")
        bare = not item.primary and not pointed
        text = "" if bare else self._words(item, pointed)
        if (kept := self._kept(item, text, taken)) is not None:
            return kept
        grip = view.to_px(item.handle)
        if bare:
            return Plot(item, padded(around([grip], GRIP), 4.0), mood=mood)
        ends = dimension_line(item, view)
        feet = [view.to_px(item.start), view.to_px(item.end)] if item.shape == "line" else []
        box = padded(around([*ends, *feet, grip], GRIP), 4.0)
        if not text:
            return Plot(item, box, None, "", ends, mood)
        w, h = self._measure(text, "dimension-active" if pointed else "dimension")
        seen = overlaps(around([*ends, grip], 1.0), frame)
        label = self._free_place(item, ends, grip, (w + 4, h), frame if seen else None, taken, pointed)
        if label is None:
            return Plot(item, box, None, "", ends, mood)
        taken.append(label)
        return Plot(item, joined(box, padded(label, 2.0)), label, text, ends, mood)

    def _free_place(
        self,
        item: Dimension,
        ends: tuple[Px, ...],
        grip: Px,
        size: tuple[float, float],
        frame: Box | None,
        taken: list[Box],
        must: bool,
    ) -> Box | None:
        """Beside the handle, or along its line. A label that ``must`` be shown keeps clear of what is drawn in the
        UNCOVERED styles too: it goes farther away where there is room, and over them only where there is none.
        """
        anchors = [grip] if item.shape != "line" or len(ends) < 2 else along(ends[0], ends[-1])
        near = [box for at in anchors for box in beside(at, size, GRIP + 2)]
        if frame is not None:
            near = [inside(box, frame) for box in near]
        shown = [*taken, *self._uncovered] if must else taken
        far = (b for b in afar(grip, size) if inside(b, frame) == b) if must and frame is not None else ()
        for box in chain(near, far):
            if free(box, shown) and not crosses(box, ends):
                return box
        if not must:
            return None
        return next((b for b in near if free(b, taken) and not crosses(b, ends)), near[0])


def dimension_line(item: Dimension, view: Viewport) -> tuple[Px, ...]:
    """The dimension line on the screen: two ends, the points of an arc, or nothing for a bare handle."""
    if item.shape == "point":
        return ()
    if item.shape == "line":
        a, b = line_ends(item)
        return view.to_px(a), view.to_px(b)
    (sx, sy), (ex, ey) = item.start, item.end
    radius = math.hypot(ex - sx, ey - sy)
    last = math.atan2(ey - sy, ex - sx)
    level = 0.0 if ex >= sx else math.copysign(math.pi, last)
    steps = max(2, math.ceil(abs(last - level) / math.radians(4)))
    turns = [level + (last - level) * k / steps for k in range(steps + 1)]
    return tuple(view.to_px((sx + radius * math.cos(t), sy + radius * math.sin(t))) for t in turns)


def note_plot(note: Note, measure: Measure, size: tuple[float, float]) -> Plot:
    """Places a note beside its point, turned to the side where there is room.

    A note that would cover most of the width goes to the edge that is farther from its point.
    """
    rows = [measure(text, "note-strong" if k == 0 else "note") for k, (text, _) in enumerate(note.lines)]
    w = max(r[0] + (18 if status else 0) for r, (_, status) in zip(rows, note.lines, strict=True)) + 20
    h = sum(r[1] for r in rows) + 3 * (len(rows) - 1) + 12
    x = note.at[0] + 18 if note.at[0] + 18 + w < size[0] - EDGE else note.at[0] - 18 - w
    y = note.at[1] - 14 - h if note.at[1] - 14 - h > EDGE else note.at[1] + 16
    if w > WIDE_NOTE * size[0]:
        y = 0.0 if note.at[1] > size[1] / 2 else size[1] - h
    box = inside((x, y, x + w, y + h), padded((0.0, 0.0, size[0], size[1]), -EDGE))
    return Plot(note, padded(box, 3.0), box)


def changed_boxes(old: Sequence[Plot], new: Sequence[Plot]) -> list[Box] | None:
    """What to repaint to get from ``old`` to ``new``; None when the order changed and all has to be painted."""
    before = {id(p.item): p for p in old}
    out: list[Box] = []
    order: list[int] = []
    place = {id(p.item): k for k, p in enumerate(old)}
    for plot in new:
        was = before.pop(id(plot.item), None)
        if was is None:
            out.append(plot.box)
            continue
        order.append(place[id(plot.item)])
        if not plot.looks_like(was):
            out.extend((was.box, plot.box))
    if any(a > b for a, b in pairwise(order)):
        return None
    out.extend(p.box for p in before.values())
    return out


def grip_at(plots: Sequence[Plot], view: Viewport, at: Px) -> Dimension | None:
    """The movable dimension whose handle is nearest to ``at``, within its hit area."""
    best: tuple[float, Dimension] | None = None
    for plot in plots:
        item = plot.item
        if isinstance(item, Dimension) and item.pulls:
            x, y = view.to_px(item.handle)
            dx, dy = abs(x - at[0]), abs(y - at[1])
            if max(dx, dy) <= HIT and (best is None or dx + dy < best[0]):
                best = (dx + dy, item)
    return best[1] if best else None


def flag_at(plots: Sequence[Plot], at: Px) -> Marker | None:
    """The front flag whose cloth, or whose tip within 6 px, is under ``at``."""
    for plot in reversed(plots):
        if isinstance(plot.item, Marker) and plot.label is not None:
            point = (at[0] - 0.5, at[1] - 0.5, at[0] + 0.5, at[1] + 0.5)
            if overlaps(padded(plot.label, 2.0), point) or math.dist(plot.ends[0], at) <= 6:
                return plot.item
    return None


def _mood(item: Dimension, look: Look) -> str:
    if item.id == look.focus:
        return "focus"
    if item.id == look.hover:
        return "hover"
    return "locked" if item.id in look.locked else ""


def _length(item: Dimension) -> float:
    return math.dist(item.start, item.end) if item.shape == "line" else 0.0


def _mm_box(item: Item) -> Box:
    if isinstance(item, Path):
        return around([p for ring in item.rings for p in ring]) if any(item.rings) else (0.0, 0.0, 0.0, 0.0)
    if isinstance(item, Disc):
        return around([item.centre], item.radius)
    return (0.0, 0.0, 0.0, 0.0)

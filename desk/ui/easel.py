"""What hands do to one view, without a window: a table of (state, event) -> (state, handler) and a model.

A handler is a function of a model and an event that knows no widget. What handlers ask of the rest of the
program goes through ``Host``. A pair that is not in the table is a mistake of the program and raises
``UnlistedEvent``; events that mean nothing in a state are listed as such. Places are px of the view, values
are in the unit of their dimension.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from desk.ui.loose import SLACK, Loose, carried
from desk.ui.pulling import Grab, Host, nudged, pulled
from desk.views.drawing import Dimension, Drawing
from desk.views.layout import Plot, flag_at, grip_at
from desk.views.viewport import Px, Viewport

State = Literal["idle", "pulling", "panning", "hand", "typing", "carrying"]
Kind = Literal[
    "press",
    "press_handle",
    "press_locked",
    "press_flag",
    "press_loose",
    "press_paper",
    "press_pan",
    "lift",
    "move",
    "release",
    "escape",
    "nudge",
    "cycle",
    "type",
    "typed",
    "zoom",
    "space_down",
    "space_up",
    "leave",
]


class UnlistedEvent(RuntimeError):  # noqa: N818
    """An event that the table does not list for the state the view is in."""


@dataclass(frozen=True)
class Event:
    """One thing a hand did. ``by`` is a move in px (or steps for "nudge" and "cycle"), ``factor`` a zoom."""

    kind: Kind
    at: Px = (0.0, 0.0)
    by: Px = (0.0, 0.0)
    factor: float = 1.0
    fine: bool = False
    coarse: bool = False
    name: str = ""
    """Id of the dimension or key of the finding pressed; for "typed" the text."""


@dataclass
class Easel:
    """The model of one view."""

    host: Host
    drawing: Drawing | None = None
    view: Viewport = field(default_factory=Viewport)
    plots: tuple[Plot, ...] = ()
    state: State = "idle"
    hover: str = ""
    focus: str = ""
    grab: Grab | None = None
    last: Px = (0.0, 0.0)
    gesture: int = 0
    entry: int = 0
    """Which pull of the focused handle is being typed."""
    fault: str = ""
    """What is wrong with the text typed last."""
    loose: Loose | None = None
    ready: bool = False
    """Whether the pointer is on something loose."""

    def dimensions(self) -> list[Dimension]:
        """The dimensions that can be moved, in drawing order."""
        return [i for i in self.drawing.items if isinstance(i, Dimension) and i.pulls] if self.drawing else []

    def dimension(self, key: str) -> Dimension | None:
        """The movable dimension with this id."""
        return next((d for d in self.dimensions() if d.id == key), None)

    def by_address(self, address: str) -> Dimension | None:
        """The first movable dimension that pulls this number."""
        return next((d for d in self.dimensions() if any(p.address == address for p in d.pulls)), None)

    def handle(self, event: Event) -> None:
        """Take one event through the table. Raises UnlistedEvent."""
        meant = self._meant(event)
        try:
            after, act = TABLE[self.state, meant.kind]
        except KeyError:
            raise UnlistedEvent(f"{meant.kind} while {self.state}") from None
        before = self.state
        self.state = after
        try:
            act(self, meant)
        except BaseException:
            self.state = before if before != "pulling" else "idle"
            raise

    def _meant(self, event: Event) -> Event:
        """A press told apart by what is under it."""
        if event.kind != "press" or self.state == "hand":
            return event
        flag = flag_at(self.plots, event.at)
        item = grip_at(self.plots, self.view, event.at)
        if self.on_loose(event.at, item):
            return Event("press_loose", event.at)
        if item is not None:
            stuck = all(self.host.locked(p.address) for p in item.pulls)
            return Event("press_locked" if stuck else "press_handle", event.at, fine=event.fine, name=item.id)
        if flag is not None:
            return Event("press_flag", event.at, name=flag.finding)
        return Event("press_paper", event.at)

    def on_loose(self, at: Px, item: Dimension | None) -> bool:
        """Whether something loose is under the pointer, and nearer to it than the handle ``item``."""
        far = self.loose.reach(self.view.to_mm(at), SLACK / self.view.scale) if self.loose else None
        if far is None:
            return False
        return item is None or far * self.view.scale < math.dist(self.view.to_px(item.handle), at)


def _nothing(_model: Easel, _event: Event) -> None:
    """The event means nothing here."""


def _hover(model: Easel, event: Event) -> None:
    item = grip_at(model.plots, model.view, event.at)
    model.ready = model.on_loose(event.at, item)
    model.hover = item.id if item and not model.ready else ""


def _leave(model: Easel, _event: Event) -> None:
    model.hover, model.ready = "", False


def _take(model: Easel, event: Event) -> None:
    item = model.dimension(event.name)
    if item is None:
        model.state = "idle"
        return
    model.gesture += 1
    start = {p.address: model.host.value(p.address) for p in item.pulls}
    model.grab = Grab(item, event.at, start, model.gesture)
    model.focus = item.id
    model.host.point_at(item.pulls[0].address)


def _moved(model: Easel, grab: Grab, event: Event) -> Px:
    """How far the hand has moved since the grab, mm of the drawing."""
    scale = model.view.scale
    return (event.at[0] - grab.at[0]) / scale, (grab.at[1] - event.at[1]) / scale


def _pull(model: Easel, event: Event) -> None:
    grab = model.grab
    if grab is None or (not grab.moved and math.dist(grab.at, event.at) < 2.0):
        return
    grab.moved = True
    model.host.pull(pulled(model.host, grab, _moved(model, grab, event), event.fine), grab.gesture)


def _let_go(model: Easel, event: Event) -> None:
    grab = model.grab
    if grab is not None and grab.moved:
        model.host.pull(pulled(model.host, grab, _moved(model, grab, event), event.fine), grab.gesture)
        model.host.settle()
    model.grab = None


def _give_back(model: Easel, _event: Event) -> None:
    if model.grab is not None and model.grab.moved:
        model.host.give_back(model.grab.gesture)
    model.grab = None


def _locked(model: Easel, event: Event) -> None:
    item = model.dimension(event.name)
    if item is not None:
        model.focus = item.id
        model.host.point_at(item.pulls[0].address)
        model.host.refuse(f"{item.label} is locked; unlock it in the list of dimensions to move it")


def _flag(model: Easel, event: Event) -> None:
    model.host.choose(event.name)


def _paper(model: Easel, _event: Event) -> None:
    model.focus = ""
    model.host.point_at("")


def _start_pan(model: Easel, event: Event) -> None:
    model.last = event.at


def _pan(model: Easel, event: Event) -> None:
    model.view = model.view.panned(event.at[0] - model.last[0], event.at[1] - model.last[1])
    model.last = event.at


def _zoom(model: Easel, event: Event) -> None:
    model.view = model.view.zoomed(event.at, event.factor)


def _zoom_pulling(model: Easel, event: Event) -> None:
    """Zooming with a handle in the hand starts the grab anew from where it is."""
    _zoom(model, event)
    if model.grab is not None:
        model.grab.at = event.at
        model.grab.start = {p.address: model.host.value(p.address) for p in model.grab.item.pulls}


def _nudge(model: Easel, event: Event) -> None:
    item = model.dimension(model.focus)
    if item is None:
        model.view = model.view.panned(-48.0 * event.by[0], 48.0 * event.by[1])
        return
    if all(model.host.locked(p.address) for p in item.pulls):
        _locked(model, Event("press_locked", name=item.id))
        return
    model.gesture += 1
    size = 10.0 if event.coarse else 0.1 if event.fine else 1.0
    changes = nudged(model.host, item, event.by, size)
    if changes:
        model.host.pull(changes, model.gesture)
        model.host.settle()


def _cycle(model: Easel, event: Event) -> None:
    """Go to the next (or the one before) handle; past the last one no handle is chosen."""
    names = ["", *[d.id for d in model.dimensions()]]
    at = names.index(model.focus) if model.focus in names else 0
    model.focus = names[(at + int(event.by[0])) % len(names)]
    item = model.dimension(model.focus)
    model.host.point_at(item.pulls[0].address if item else "")


def _open_entry(model: Easel, event: Event) -> None:
    if event.name:
        model.focus = event.name
    model.entry = 0
    model.fault = ""
    if model.dimension(model.focus) is None:
        model.state = "idle"


def _enter(model: Easel, event: Event) -> None:
    """Take the typed text; stay while it is wrong or while the handle has another number to type."""
    item = model.dimension(model.focus)
    if item is None:
        return
    model.fault = model.host.type_in(item.pulls[model.entry].address, event.name)
    if model.fault:
        model.state = "typing"
        return
    model.host.settle()
    if model.entry + 1 < len(item.pulls):
        model.entry += 1
        model.state = "typing"


def _lift(model: Easel, event: Event) -> None:
    """Take what lies under the pointer; with the key, one out of the box."""
    at = model.view.to_mm(event.at) if event.kind == "press_loose" else None
    if model.loose is None or not model.loose.lift(at):
        model.state = "idle"


def _carry(model: Easel, event: Event) -> None:
    if model.loose is not None:
        model.loose.carry(model.view.to_mm(event.at))


def _carry_by(model: Easel, event: Event) -> None:
    if model.loose is not None:
        model.loose.carry_by(carried(event.by, event.fine, event.coarse))


def _release(model: Easel, _event: Event) -> None:
    if model.loose is not None:
        model.loose.let_go()


def _put_back(model: Easel, _event: Event) -> None:
    if model.loose is not None:
        model.loose.put_back()


def _drop_entry(model: Easel, _event: Event) -> None:
    model.fault = ""


def _unfocus(model: Easel, _event: Event) -> None:
    model.focus = ""
    model.host.point_at("")


Handler = Callable[[Easel, Event], None]
TABLE: dict[tuple[State, Kind], tuple[State, Handler]] = {
    ("idle", "press_handle"): ("pulling", _take),
    ("idle", "press_locked"): ("idle", _locked),
    ("idle", "press_flag"): ("idle", _flag),
    ("idle", "press_paper"): ("idle", _paper),
    ("idle", "press_loose"): ("carrying", _lift),
    ("idle", "lift"): ("carrying", _lift),
    ("idle", "press_pan"): ("panning", _start_pan),
    ("idle", "move"): ("idle", _hover),
    ("idle", "release"): ("idle", _nothing),
    ("idle", "escape"): ("idle", _unfocus),
    ("idle", "nudge"): ("idle", _nudge),
    ("idle", "cycle"): ("idle", _cycle),
    ("idle", "type"): ("typing", _open_entry),
    ("idle", "zoom"): ("idle", _zoom),
    ("idle", "space_down"): ("hand", _nothing),
    ("idle", "space_up"): ("idle", _nothing),
    ("idle", "leave"): ("idle", _leave),
    ("pulling", "move"): ("pulling", _pull),
    ("pulling", "release"): ("idle", _let_go),
    ("pulling", "escape"): ("idle", _give_back),
    ("pulling", "zoom"): ("pulling", _zoom_pulling),
    ("pulling", "press_handle"): ("pulling", _nothing),
    ("pulling", "press_locked"): ("pulling", _nothing),
    ("pulling", "press_flag"): ("pulling", _nothing),
    ("pulling", "press_paper"): ("pulling", _nothing),
    ("pulling", "press_pan"): ("pulling", _nothing),
    ("pulling", "nudge"): ("pulling", _nothing),
    ("pulling", "cycle"): ("pulling", _nothing),
    ("pulling", "type"): ("pulling", _nothing),
    ("pulling", "space_down"): ("pulling", _nothing),
    ("pulling", "space_up"): ("pulling", _nothing),
    ("pulling", "leave"): ("pulling", _nothing),
    ("panning", "move"): ("panning", _pan),
    ("panning", "release"): ("idle", _nothing),
    ("panning", "escape"): ("idle", _nothing),
    ("panning", "zoom"): ("panning", _zoom),
    ("panning", "press_handle"): ("panning", _nothing),
    ("panning", "press_locked"): ("panning", _nothing),
    ("panning", "press_flag"): ("panning", _nothing),
    ("panning", "press_paper"): ("panning", _nothing),
    ("panning", "press_pan"): ("panning", _nothing),
    ("panning", "nudge"): ("panning", _nothing),
    ("panning", "cycle"): ("panning", _nothing),
    ("panning", "type"): ("panning", _nothing),
    ("panning", "space_down"): ("panning", _nothing),
    ("panning", "space_up"): ("panning", _nothing),
    ("panning", "leave"): ("panning", _nothing),
    ("hand", "press"): ("panning", _start_pan),
    ("hand", "press_pan"): ("panning", _start_pan),
    ("hand", "move"): ("hand", _nothing),
    ("hand", "release"): ("hand", _nothing),
    ("hand", "zoom"): ("hand", _zoom),
    ("hand", "nudge"): ("hand", _nothing),
    ("hand", "cycle"): ("idle", _cycle),
    ("hand", "type"): ("hand", _nothing),
    ("hand", "escape"): ("idle", _nothing),
    ("hand", "space_down"): ("hand", _nothing),
    ("hand", "space_up"): ("idle", _nothing),
    ("hand", "leave"): ("hand", _nothing),
    ("typing", "typed"): ("idle", _enter),
    ("typing", "escape"): ("idle", _drop_entry),
    ("typing", "press_handle"): ("pulling", _take),
    ("typing", "press_locked"): ("idle", _locked),
    ("typing", "press_flag"): ("idle", _flag),
    ("typing", "press_loose"): ("carrying", _lift),
    ("typing", "press_paper"): ("idle", _paper),
    ("typing", "press_pan"): ("panning", _start_pan),
    ("typing", "move"): ("typing", _nothing),
    ("typing", "release"): ("typing", _nothing),
    ("typing", "zoom"): ("typing", _zoom),
    ("typing", "leave"): ("typing", _nothing),
    ("typing", "type"): ("typing", _open_entry),
    ("typing", "nudge"): ("typing", _nothing),
    ("typing", "cycle"): ("idle", _cycle),
    ("typing", "space_down"): ("typing", _nothing),
    ("typing", "space_up"): ("typing", _nothing),
}
TABLE |= {
    ("carrying", "move"): ("carrying", _carry),
    ("carrying", "nudge"): ("carrying", _carry_by),
    ("carrying", "release"): ("idle", _release),
    ("carrying", "escape"): ("idle", _put_back),
    ("carrying", "zoom"): ("carrying", _zoom),
}
_PRESSES: tuple[Kind, ...] = ("press_handle", "press_locked", "press_flag", "press_paper", "press_pan")
_OTHERS: tuple[Kind, ...] = ("press_loose", "lift", "cycle", "type", "space_down", "space_up", "leave")
TABLE |= {("carrying", kind): ("carrying", _nothing) for kind in (*_PRESSES, *_OTHERS)}
_BUSY: tuple[tuple[State, Kind], ...] = (("pulling", "press_loose"), ("panning", "press_loose"))
_LATE: tuple[State, ...] = ("pulling", "panning", "hand", "typing")
TABLE |= {pair: (pair[0], _nothing) for pair in (*_BUSY, *((state, "lift") for state in _LATE))}

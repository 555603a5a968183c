"""No finding with a place is out of sight: it is flagged in a view that is open or told on a section's tab.

What the tabs tell is held against the flags that the drawings themselves carry.
"""

from __future__ import annotations

import msgspec
import pytest
from msgspec.structs import replace
from PySide6.QtGui import QImage

from desk.checks.finding import Place
from desk.design.file import load
from desk.design.model import Mute
from desk.evaluate import evaluate
from desk.ui.marked_tab import only_in, shows
from desk.views.drawing import Drawing, Marker
from desk.views.theme import theme
from tests.views.pieces import finding as made

from .fakes import LANE, FakeEvaluation, starting
from .fakes import evaluate as fake
from .play_room import EXAMPLES

VIEWS = ("lane", "channel", "rear", "plan", "face")


@pytest.fixture(scope="module")
def broken():
    return evaluate(load(EXAMPLES / "broken.lane"))


def flagged(evaluation, view: str) -> set[str]:
    return {i.finding for i in evaluation.drawings[view].items if isinstance(i, Marker)}


def hidden_in_the_return(design, last=None):
    """The fakes with one more conflict, flagged in the section through the return alone."""
    plain = fake(design, last)
    lost = replace(
        made(4, "conflict", "Lip", -1.0, Place(LANE, "point", ((1.0, 1.0),)), None), key="only-there"
    )
    before = plain.drawings["channel"]
    items = (*before.items, Marker((50.0, 50.0), 4, "conflict", "only-there"))
    channel = Drawing(before.id, before.title, before.frame, before.extent, items)
    drawings = {**plain.drawings, "channel": channel}
    return FakeEvaluation(design, plain.cabinet, (*plain.findings, lost), drawings)


@pytest.mark.parametrize("section", ["lane", "channel", "rear"])
def test_every_finding_with_a_place_is_in_an_open_view_or_told_on_a_tab(broken, section):
    shown = [section, "plan", "face"]
    told = {f.key for view in ("lane", "channel", "rear") for f in only_in(broken, view, shown)}
    in_view = set().union(*(flagged(broken, view) for view in shown))
    wanted = {f.key for f in broken.findings if f.status != "clear" and f.places}
    assert wanted <= told | in_view
    assert not told & in_view
    assert told


def test_a_view_shows_what_its_drawing_flags(broken):
    for view in VIEWS:
        assert {f.key for f in broken.findings if f.status != "clear" and shows(broken, f, view)} == flagged(
            broken, view
        )


def test_what_is_muted_is_not_told_again(broken):
    lip = next(f for f in broken.findings if f.check == "lip")
    quiet = evaluate(replace_mutes(broken.design, lip.key))
    shown = ["lane", "plan", "face"]
    assert lip.key in {f.key for f in only_in(broken, "channel", shown)}
    assert lip.key not in {f.key for f in only_in(quiet, "channel", shown)}


def replace_mutes(design, key: str):
    return msgspec.structs.replace(design, mutes=(Mute(key, "tried out"),))


def test_a_tab_tells_and_shows_its_count_and_falls_silent_when_it_is_turned_to(make_window):
    window = make_window(hidden_in_the_return)
    tabs = window.sheet.section_pane.tabs
    assert (tabs["channel"].status, len(tabs["channel"].findings)) == ("conflict", 1)
    assert "1 finding" in tabs["channel"].accessibleName()
    assert "Lip" in tabs["channel"].toolTip()
    assert not tabs["rear"].findings
    colour = theme("light").colour("conflict")
    assert painted(tabs["channel"].grab().toImage(), colour)
    assert not painted(tabs["rear"].grab().toImage(), colour)
    tabs["channel"].click()
    assert window.sheet.section_id == "channel"
    assert not tabs["channel"].findings
    assert tabs["channel"].toolTip() == ""


def painted(image: QImage, colour: str) -> bool:
    return any(
        image.pixelColor(x, y).name() == colour.lower()
        for x in range(image.width())
        for y in range(image.height())
    )


def test_no_tab_is_marked_where_nothing_is_hidden(window):
    assert not any(tab.findings for tab in window.sheet.section_pane.tabs.values())


def test_a_narrow_pane_has_the_short_words(make_window):
    window = make_window(hidden_in_the_return)
    pane = window.sheet.section_pane
    window.front.resize(1600, 900)
    assert pane.tabs["channel"].text() == "Through the return"
    pane.resize(300, 300)
    pane.suit()
    assert [tab.text() for tab in pane.tabs.values()] == ["Lane", "Return", "Rear"]
    assert sum(tab.sizeHint().width() for tab in pane.tabs.values()) < 300


def test_the_fakes_start_without_a_hidden_conflict():
    assert not only_in(fake(starting()), "channel", ["lane", "plan", "face"])

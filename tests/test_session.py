"""The history of a document: steps, gestures, the saved mark, listeners."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.design import edit
from desk.design.starting import starting_design
from desk.session import Session


def wide(width: float):
    return edit.put(starting_design(), "lane.width", width)


@pytest.fixture
def session():
    return Session(starting_design())


@pytest.fixture
def heard(session):
    calls = []
    session.listen(lambda design: calls.append(design.value("lane.width")))
    return calls


def test_a_fresh_session_has_nothing_to_undo(session, heard):
    assert (session.can_undo, session.can_redo, session.dirty) == (False, False, False)
    assert session.undo() is False
    assert session.redo() is False
    assert (session.undo_label, session.redo_label, session.labels) == ("", "", ())
    assert heard == []


def test_undo_and_redo_walk_the_steps(session, heard):
    session.apply("Lane width", wide(100))
    session.apply("Lane width again", wide(110))
    assert session.labels == ("Lane width", "Lane width again")
    assert session.undo()
    assert session.design == wide(100)
    assert (session.undo_label, session.redo_label) == ("Lane width", "Lane width again")
    assert session.undo()
    assert session.design == starting_design()
    assert session.redo()
    assert session.redo()
    assert not session.can_redo
    assert session.design == wide(110)
    assert heard == [100, 110, 100, starting_design().value("lane.width"), 100, 110]


def test_a_new_step_drops_what_could_be_redone(session):
    session.apply("a", wide(100))
    session.undo()
    session.apply("b", wide(120))
    assert not session.can_redo
    assert session.labels == ("b",)


def test_a_change_that_changes_nothing_adds_no_step_and_tells_nobody(session, heard):
    session.apply("a", wide(100))
    session.undo()
    heard.clear()
    assert session.apply("b", starting_design()) is False
    assert (
        session.apply("b", edit.put(wide(90), "lane.width", starting_design().value("lane.width"))) is False
    )
    assert session.can_redo
    assert heard == []


def test_a_whole_drag_is_one_step(session, heard):
    for width in (100, 101, 102):
        session.apply("Drag", wide(width), gesture=7)
    assert session.labels == ("Drag",)
    assert heard == [100, 101, 102]
    session.undo()
    assert session.design == starting_design()
    session.redo()
    assert session.design == wide(102)


@pytest.mark.parametrize("between", ["end", "undo", "redo", "save", "other", "plain"])
def test_a_gesture_ends(session, between):
    session.apply("Start", wide(90))
    session.apply("Drag", wide(100), gesture=7)
    match between:
        case "end":
            session.end_gesture()
        case "undo":
            session.undo()
        case "redo":
            session.undo()
            session.redo()
        case "save":
            session.mark_saved()
        case "other":
            session.apply("Other drag", wide(101), gesture=8)
        case "plain":
            session.apply("Typed", wide(101))
    before = session.design
    steps = len(session.labels)
    session.apply("Drag", wide(130), gesture=7)
    assert len(session.labels) == steps + 1
    session.undo()
    assert session.design == before


def test_a_drag_back_to_its_start_leaves_no_step(session, heard):
    session.apply("Before", wide(90))
    session.apply("Drag", wide(100), gesture="g")
    session.apply("Drag", wide(90), gesture="g")
    assert session.labels == ("Before",)
    session.apply("Drag", wide(95), gesture="g")
    assert session.labels == ("Before", "Drag")
    session.undo()
    assert session.design == wide(90)
    assert heard == [90, 100, 90, 95, 90]


def test_dirty_follows_the_saved_design(session):
    session.apply("a", wide(100))
    assert session.dirty
    session.mark_saved()
    assert not session.dirty
    session.apply("b", wide(110))
    session.undo()
    assert not session.dirty
    session.undo()
    assert session.dirty
    session.redo()
    assert not session.dirty
    session.apply("there", wide(120))
    session.apply("and back", wide(100))
    assert not session.dirty


def test_an_older_design_can_be_marked_saved(session):
    session.apply("a", wide(100))
    saved = session.design
    session.apply("b", wide(110))
    session.mark_saved(saved)
    assert session.dirty
    session.undo()
    assert not session.dirty


def test_an_unsaved_document_is_dirty_until_it_is_saved():
    session = Session(starting_design(), saved=False)
    assert session.dirty
    session.mark_saved()
    assert not session.dirty


def test_opening_starts_over(session, heard):
    session.apply("a", wide(100))
    session.open(wide(200))
    assert (session.can_undo, session.can_redo, session.dirty) == (False, False, False)
    session.open(wide(200), saved=False)
    assert session.dirty
    assert heard == [100, 200]


def test_a_listener_can_stop_even_while_it_is_called(session, heard):
    calls = []

    def once(design):
        calls.append(design)
        stop()

    stop = session.listen(once)
    session.apply("a", wide(100))
    session.apply("b", wide(110))
    stop()
    assert calls == [wide(100)]
    assert heard == [100, 110]


def test_a_listener_that_changes_the_design_leaves_the_others_with_the_latest():
    session = Session(starting_design())
    later = []
    session.listen(lambda design: session.apply("at least 100", wide(100)) if design == wide(90) else None)
    session.listen(lambda design: later.append(design.value("lane.width")))
    session.apply("a", wide(90))
    assert later == [100]
    assert session.labels == ("a", "at least 100")


def test_the_session_is_changed_before_a_listener_fails(session):
    def broken(design):
        raise RuntimeError("view")

    session.listen(broken)
    with pytest.raises(RuntimeError):
        session.apply("a", wide(100))
    assert session.design == wide(100)
    assert session.can_undo


_ACTIONS = st.lists(
    st.one_of(
        st.tuples(st.just("apply"), st.integers(80, 90), st.sampled_from([None, 1, 2])),
        st.tuples(st.sampled_from(["undo", "redo", "save", "end"]), st.just(0), st.none()),
    ),
    max_size=40,
)


@settings(derandomize=True, max_examples=150, deadline=None)
@given(_ACTIONS)
def test_undoing_everything_and_redoing_it_is_the_identity(actions):
    session = Session(wide(80))
    calls = []
    session.listen(calls.append)
    saved = session.design
    for action, width, gesture in actions:
        before, heard = session.design, len(calls)
        match action:
            case "apply":
                session.apply("w", wide(width), gesture)
            case "undo":
                session.undo()
            case "redo":
                session.redo()
            case "save":
                session.mark_saved()
                saved = session.design
            case _:
                session.end_gesture()
        assert len(calls) - heard == (session.design != before)
        assert session.dirty == (session.design != saved)
    back = [session.design]
    while session.undo():
        back.append(session.design)
    assert back[-1] == wide(80)
    assert all(a != b for a, b in itertools.pairwise(back))
    forth = [session.design]
    while len(forth) < len(back):
        assert session.redo()
        forth.append(session.design)
    assert forth == back[::-1]

"""Where labels and flags go, what has to be repainted, what is under the pointer."""

from __future__ import annotations

import itertools

import pytest
from msgspec.structs import replace

from desk.views.boxes import overlaps
from desk.views.drawing import Dimension, Disc, Drawing, Marker, Path, Text
from desk.views.layout import (
    EDGE,
    HIT,
    Layout,
    Look,
    Note,
    Plot,
    changed_boxes,
    flag_at,
    grip_at,
    note_plot,
    same_items,
)
from desk.views.viewport import Viewport

from .pieces import LANE, gap_drawing, level, measure, words

SIZE = (700.0, 400.0)
VIEW = Viewport(1.0, 60.0, 330.0)


def layout() -> Layout:
    return Layout(measure, words)


def drawing(*items: object) -> Drawing:
    return Drawing("lane", "Lane", LANE, (0.0, 0.0, 500.0, 200.0), items)  # type: ignore[arg-type]


def boxes(plots: tuple[Plot, ...], kind: type) -> list[tuple[float, float, float, float]]:
    return [p.label for p in plots if isinstance(p.item, kind) and p.label is not None]


def test_equal_items_keep_their_identity() -> None:
    old = (Disc((1.0, 2.0), 3.0, "ball"), Disc((4.0, 5.0), 6.0, "ball"))
    new = (Disc((9.0, 9.0), 1.0, "ball"), Disc((1.0, 2.0), 3.0, "ball"), Disc((4.0, 5.0), 6.0, "ball"))
    kept = same_items(old, new)
    assert kept == new
    assert kept[1] is old[0]
    assert kept[2] is old[1]
    assert kept[0] is new[0]
    moved = (Disc((1.0, 2.0), 3.0, "ball"), Disc((4.0, 5.5), 6.0, "ball"))
    kept = same_items(old, moved)
    assert kept[0] is old[0]
    assert kept[1] is moved[1]


def test_labels_of_crowded_dimensions_never_overlap() -> None:
    rows = [level(f"lane.{k}", 10.0 * k, 10.0 * k + 8.0, 20.0 + k % 3) for k in range(20)]
    plots = layout().plots(drawing(*rows), VIEW, SIZE, Look())
    found = boxes(plots, Dimension)
    assert 3 <= len(found) < 20
    assert not any(overlaps(a, b) for a, b in itertools.combinations(found, 2))


def test_more_labels_find_room_when_zoomed_in() -> None:
    rows = [level(f"lane.{k}", 10.0 * k, 10.0 * k + 8.0) for k in range(20)]
    near = layout().plots(drawing(*rows), Viewport(8.0, 0.0, 200.0), (2000.0, 400.0), Look())
    assert len(boxes(near, Dimension)) == 20


def test_a_label_is_not_cut_off_by_the_edge() -> None:
    plots = layout().plots(drawing(level("lane.x", 630.0, 640.0)), VIEW, SIZE, Look())
    (box,) = boxes(plots, Dimension)
    assert box[0] >= EDGE
    assert box[2] <= SIZE[0] - EDGE


def test_what_is_pointed_at_is_labelled_with_its_name_even_in_a_crowd() -> None:
    rows = [level(f"lane.{k}", 50.0, 52.0) for k in range(8)]
    plots = layout().plots(drawing(*rows), VIEW, SIZE, Look(focus="lane.5"))
    (named,) = [p for p in plots if p.text == "The lane.5"]
    assert named.mood == "focus"
    assert named.label is not None


def test_a_secondary_dimension_shows_its_handle_only_until_pointed_at() -> None:
    row = level("lane.x", 50.0, 250.0, primary=False)
    quiet = layout().plots(drawing(row), VIEW, SIZE, Look())[0]
    pointed = layout().plots(drawing(row), VIEW, SIZE, Look(hover="lane.x"))[0]
    assert (quiet.ends, quiet.label) == ((), None)
    assert len(pointed.ends) == 2
    assert pointed.label is not None


def test_flags_are_planted_apart_and_inside() -> None:
    flags = [Marker((100.0 + k, 100.0), k, "conflict", f"f{k}") for k in range(9)]
    found = boxes(layout().plots(drawing(*flags), VIEW, SIZE, Look()), Marker)
    assert len(found) == 9
    assert not any(overlaps(a, b) for a, b in itertools.combinations(found, 2))
    corner = layout().plots(drawing(Marker((635.0, 325.0), 1, "tight", "f")), VIEW, SIZE, Look())
    (box,) = boxes(corner, Marker)
    assert box[2] <= SIZE[0] - EDGE
    assert box[1] >= EDGE


def test_a_flag_whose_place_is_out_of_view_is_not_planted() -> None:
    plots = layout().plots(drawing(Marker((900.0, 0.0), 1, "tight", "f")), VIEW, SIZE, Look())
    assert boxes(plots, Marker) == []


def test_a_text_gives_way_to_a_dimension_label() -> None:
    row = level("lane.x", 100.0, 200.0)
    text = Text((150.0, 29.0), "deck", "part-label")
    both = layout().plots(drawing(text, row), VIEW, SIZE, Look())
    alone = layout().plots(drawing(text), VIEW, SIZE, Look())
    assert boxes(both, Text) == []
    assert len(boxes(alone, Text)) == 1


def test_no_label_covers_a_ball_at_rest() -> None:
    view = Viewport(1.0, 0.0, 300.0)
    text = Text((100.0, 100.0), "front bay", "part-label")
    ball = Disc((100.0, 100.0), 8.0, "ball-resting")
    assert boxes(layout().plots(drawing(text), view, (400.0, 300.0), Look()), Text)
    assert not boxes(layout().plots(drawing(text, ball), view, (400.0, 300.0), Look()), Text)


def test_what_is_pointed_at_is_named_clear_of_holes_flags_and_traps() -> None:
    """As two targets side by side with a flag and a trap between them have it."""

    def square(x: float, y: float, half: float) -> tuple[tuple[float, float], ...]:
        return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))

    holes = [Path((square(x, 100.0, 25.0),), "hole") for x in (200.0, 262.0)]
    trap = Path((square(231.0, 140.0, 8.0),), "trap")
    flag = Marker((231.0, 125.0), 1, "tight", "f")
    handle = replace(
        level("target", 200.0, 200.0), shape="point", start=(200.0, 100.0), handle=(200.0, 100.0)
    )
    plots = layout().plots(drawing(*holes, trap, handle, flag), VIEW, SIZE, Look(focus="target"))
    (named,) = boxes(plots, Dimension)
    drawn = [p.box for p in plots if isinstance(p.item, Path)]
    assert len(drawn) == 3
    assert not any(overlaps(named, box) for box in [*drawn, *boxes(plots, Marker)])
    x, y = VIEW.to_px((200.0, 100.0))
    assert abs((named[0] + named[2]) / 2 - x) < 200
    assert abs((named[1] + named[3]) / 2 - y) < 80


def test_nothing_is_repainted_when_nothing_changed() -> None:
    maker = layout()
    one = gap_drawing(22.0)
    old = maker.plots(one, VIEW, SIZE, Look())
    again = gap_drawing(22.0)
    same = Drawing(again.id, again.title, again.frame, again.extent, same_items(one.items, again.items))
    assert changed_boxes(old, maker.plots(same, VIEW, SIZE, Look())) == []


def test_only_what_moved_is_repainted() -> None:
    maker = layout()
    still, before, after = (Disc((x, 50.0), 5.0, "ball") for x in (300.0, 100.0, 110.0))
    old = maker.plots(drawing(still, before), VIEW, SIZE, Look())
    new = maker.plots(drawing(still, after), VIEW, SIZE, Look())
    dirty = changed_boxes(old, new)
    assert dirty is not None
    assert len(dirty) == 2
    assert not any(overlaps(box, old[0].box) for box in dirty)
    assert all(any(overlaps(box, plot.box) for box in dirty) for plot in (old[1], new[1]))


def test_a_label_stays_until_something_comes_in_its_way() -> None:
    maker = layout()
    row = level("lane.x", 100.0, 200.0)
    (alone,) = boxes(maker.plots(drawing(row), VIEW, SIZE, Look()), Dimension)
    far, near = level("lane.y", 300.0, 420.0), level("lane.z", 90.0, 215.0)
    plots = maker.plots(drawing(row, far), VIEW, SIZE, Look())
    assert plots[0].label == alone
    crowded = maker.plots(drawing(row, far, near), VIEW, SIZE, Look())
    labels = boxes(crowded, Dimension)
    assert len(labels) == 3
    assert crowded[0].label != alone  # the longer one, placed first, takes the middle of the line
    assert not any(overlaps(a, b) for a, b in itertools.combinations(labels, 2))
    again = maker.plots(drawing(row, far), VIEW, SIZE, Look())
    assert again[0].label == crowded[0].label


def test_a_text_that_changes_is_measured_again() -> None:
    sizes = {"lane.x": "9"}
    maker = Layout(measure, lambda d, _: sizes[d.id])
    row = level("lane.x", 100.0, 200.0)
    short = maker.plots(drawing(row), VIEW, SIZE, Look())[0]
    sizes["lane.x"] = "9 3/16 in"
    long = maker.plots(drawing(row), VIEW, SIZE, Look())[0]
    assert (short.text, long.text) == ("9", "9 3/16 in")
    assert short.label is not None
    assert long.label is not None
    assert long.label[2] - long.label[0] > short.label[2] - short.label[0]


def test_another_order_asks_for_everything() -> None:
    maker = layout()
    a, b = Disc((1.0, 1.0), 5.0, "ball"), Disc((2.0, 2.0), 5.0, "ball")
    old = maker.plots(drawing(a, b), VIEW, SIZE, Look())
    assert changed_boxes(old, maker.plots(drawing(b, a), VIEW, SIZE, Look())) is None


def test_every_change_of_a_design_is_inside_the_repainted_boxes() -> None:
    maker = layout()
    one = gap_drawing(22.0)
    old = maker.plots(one, VIEW, SIZE, Look())
    two = gap_drawing(30.0)
    new = maker.plots(replace(two, items=same_items(one.items, two.items)), VIEW, SIZE, Look())
    dirty = changed_boxes(old, new)
    assert dirty
    kept = {id(p.item) for p in old} & {id(p.item) for p in new}
    for plot in (*old, *new):
        if id(plot.item) not in kept:
            assert any(overlaps(box, plot.box) for box in dirty)


@pytest.mark.parametrize("off", [(0.0, 0.0), (11.9, 0.0), (0.0, -11.9), (11.9, 11.9)])
def test_a_handle_is_caught_within_24_px(off: tuple[float, float]) -> None:
    # WCAG 2.2, 2.5.8 target size (minimum): 24 by 24 px
    assert HIT * 2 >= 24
    row = level("lane.x", 100.0, 200.0)
    plots = layout().plots(drawing(row), VIEW, SIZE, Look())
    x, y = VIEW.to_px(row.handle)
    assert grip_at(plots, VIEW, (x + off[0], y + off[1])) is row
    assert grip_at(plots, VIEW, (x + 14, y)) is None


def test_the_nearest_of_two_handles_is_caught() -> None:
    a, b = level("lane.a", 100.0, 200.0), level("lane.b", 100.0, 208.0)
    plots = layout().plots(drawing(a, b), VIEW, SIZE, Look())
    x, y = VIEW.to_px(b.handle)
    assert grip_at(plots, VIEW, (x + 3, y)) is b
    assert grip_at(plots, VIEW, (x - 7, y)) is a


def test_a_reference_size_cannot_be_caught() -> None:
    row = replace(level("lane.x", 100.0, 200.0), pulls=())
    plots = layout().plots(drawing(row), VIEW, SIZE, Look())
    assert grip_at(plots, VIEW, VIEW.to_px(row.handle)) is None


def test_a_flag_is_caught_by_its_cloth_and_by_its_tip() -> None:
    flag = Marker((100.0, 100.0), 1, "conflict", "f")
    plots = layout().plots(drawing(flag), VIEW, SIZE, Look())
    x0, y0, x1, y1 = plots[0].label or (0.0, 0.0, 0.0, 0.0)
    assert flag_at(plots, ((x0 + x1) / 2, (y0 + y1) / 2)) is flag
    assert flag_at(plots, VIEW.to_px(flag.at)) is flag
    assert flag_at(plots, (400.0, 20.0)) is None


def test_a_wide_note_goes_to_the_farther_edge() -> None:
    lines = (("Target 4:  across 14.75 mm,  up 75.75 mm", ""),)
    low = note_plot(Note((150.0, 300.0), lines), measure, (300.0, 400.0)).label
    high = note_plot(Note((150.0, 60.0), lines), measure, (300.0, 400.0)).label
    assert low is not None
    assert high is not None
    assert low[1] == EDGE
    assert high[3] == 400.0 - EDGE


def test_a_note_stays_on_the_canvas() -> None:
    lines = (("Gutter gap  22 mm", ""), ("1  too narrow", "conflict"))
    for at in ((5.0, 5.0), (695.0, 5.0), (695.0, 395.0), (5.0, 395.0)):
        box = note_plot(Note(at, lines), measure, SIZE).label
        assert box is not None
        assert EDGE <= box[0] < box[2] <= SIZE[0] - EDGE
        assert EDGE <= box[1] < box[3] <= SIZE[1] - EDGE

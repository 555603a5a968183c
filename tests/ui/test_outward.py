"""Working out in two goes gives what one go gives; exporting from the window's side."""

from __future__ import annotations

from pathlib import Path

import pytest

from desk.design import edit
from desk.design.starting import starting_design
from desk.ui.outward import complete, evaluate, export


def test_two_goes_give_what_one_gives() -> None:
    design = edit.put(starting_design(), "board.gap", 14.0)
    whole = evaluate(design)
    live = evaluate(design, evaluate(starting_design()))
    assert live.pending
    assert complete(live).findings == whole.findings
    assert not complete(live).pending


def test_what_is_put_off_is_shown_as_it_was() -> None:
    last = evaluate(starting_design())
    live = evaluate(edit.put(starting_design(), "lane.length", 290.0), last)
    put_off = [f for f in last.findings if f.check in live.pending]
    assert put_off
    assert [f for f in live.findings if f.check in live.pending] == put_off


def test_a_check_that_the_number_in_the_hand_mends_is_not_put_off() -> None:
    start = edit.put(starting_design(), "lane.width", 143.2)
    wide = edit.put(start, "lane.width", 150.0)
    live = evaluate(wide, evaluate(start))
    assert "stack" not in live.pending
    stacks = [f for f in live.findings if f.check == "stack"]
    assert stacks == [f for f in evaluate(wide).findings if f.check == "stack"]
    assert any(f.status == "conflict" for f in stacks)
    assert "stack" in evaluate(edit.put(start, "board.gap", 23.0), evaluate(start)).pending


def test_a_design_with_another_number_of_targets_may_follow() -> None:
    fewer = edit.remove_target(starting_design(), 1)
    assert evaluate(fewer, evaluate(starting_design())).pending


def test_a_whole_evaluation_is_complete() -> None:
    whole = evaluate(starting_design())
    assert complete(whole) is whole


def test_export_writes_the_files_it_names(tmp_path: Path) -> None:
    written = export(evaluate(starting_design()).cabinet, tmp_path, ())
    assert written
    assert all(path.is_file() for path in written)
    assert any(path.suffix == ".dxf" for path in written)


def test_a_refused_export_is_a_value_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(ValueError, match="file"):
        export(evaluate(starting_design()).cabinet, tmp_path / "file", ())

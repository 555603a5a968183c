"""The examples as a user meets them: exit codes, the faults the broken one names, files written as they are read."""

from __future__ import annotations

from pathlib import Path

import pytest

from desk.cli import main
from desk.design.file import dumps, load
from desk.design.starting import proportioned, starting_design
from desk.evaluate import evaluate

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"
CLEAN = ("marble-16mm", "steel-half-inch", "wood-25mm")
BROKEN = {
    "inlet": "the inlet is lower than a marble",
    "face-traps": "target 3 stands so near the wall that a marble lodges there",
    "screw-point": "the return screws are long enough to come out of the show face",
    "lip": "the lip is too low to hold an arriving marble",
    "dowel-play": "the dowel holes are smaller than the dowels",
    "part-fits": "the router bed is shorter than the side panels",
}
"""Ids of the checks that the notes of the broken example foretell, with its words."""


@pytest.mark.parametrize("name", [*CLEAN, "broken"])
def test_the_file_is_written_as_it_is_read(name):
    path = EXAMPLES / f"{name}.lane"
    assert dumps(load(path)) == path.read_bytes()


@pytest.mark.parametrize("name", CLEAN)
def test_a_clean_example_has_no_conflict_and_only_the_ball_caution_is_tight(name, capsys):
    assert main(["check", str(EXAMPLES / f"{name}.lane")]) == 0
    assert "0 conflicts" in capsys.readouterr().out
    wrong = [f.check for f in evaluate(load(EXAMPLES / f"{name}.lane")).findings if f.status != "clear"]
    assert wrong == ["small-ball"]


def test_the_broken_example_conflicts_where_its_notes_say(capsys):
    path = EXAMPLES / "broken.lane"
    assert main(["check", str(path)]) == 1
    capsys.readouterr()
    design = load(path)
    for words in BROKEN.values():
        assert words in design.notes
    found = {f.check for f in evaluate(design).findings if f.status == "conflict"}
    assert found >= BROKEN.keys()


def test_the_examples_differ_in_ball_unit_and_side():
    designs = [load(EXAMPLES / f"{name}.lane") for name in CLEAN]
    assert {d.unit for d in designs} == {"mm", "in"}
    assert {d.choice("return.side") for d in designs} == {"left", "right"}
    assert {d.value("ball.diameter") for d in designs} == {16.0, 12.7, 25.0}


@pytest.mark.parametrize("ball", [12.0, 12.7, 14.0, 16.0, 18.0, 20.0, 22.0])
def test_a_design_proportioned_to_a_ball_near_the_first_one_fits(ball):
    """But for the room it needs on its table, which does not grow with the ball."""
    found = {
        f.check for f in evaluate(proportioned(starting_design(), ball)).findings if f.status == "conflict"
    }
    assert found <= {"within-limits"}

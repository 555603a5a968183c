"""Work is done again exactly when something that it read has changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.cabinet.build import build
from desk.cabinet.model import Cabinet
from desk.checks.context import Context
from desk.checks.registry import evaluate
from desk.checks.run import checks, run
from desk.design.edit import get
from desk.design.model import Design
from desk.remember import Memory, whole
from tests.checks.helpers import changed


@dataclass(frozen=True)
class Marks:
    low: float = 1.0
    high: float = 2.0

    def between(self, share: float) -> float:
        return self.low + share * (self.high - self.low)


@dataclass(frozen=True)
class Box:
    name: str = "box"
    size: float = 3.0
    sides: dict[str, float] = field(default_factory=lambda: {"left": 1.0, "right": 2.0})
    marks: Marks = Marks()

    def twice(self, number: float) -> float:
        return 2 * number * self.size


class Counted:
    """A piece of work that counts how often it is done."""

    def __init__(self, reads: Callable[[Box], object]) -> None:
        self.done = 0
        self._reads = reads

    def __call__(self, box: Box) -> object:
        self.done += 1
        return self._reads(box)


BOX = Box()


@pytest.mark.parametrize(
    ("reads", "same", "other"),
    [
        (lambda b: b.size, replace(BOX, name="other"), replace(BOX, size=4.0)),
        (
            lambda b: b.sides["left"],
            replace(BOX, sides={"left": 1.0, "right": 9.0}),
            replace(BOX, sides={"left": 7.0, "right": 2.0}),
        ),
        (
            lambda b: b.sides.get("top"),
            replace(BOX, sides={"left": 5.0}),
            replace(BOX, sides={**BOX.sides, "top": 1.0}),
        ),
        (
            lambda b: sorted(b.sides),
            replace(BOX, sides={"left": 8.0, "right": 9.0}),
            replace(BOX, sides={"left": 1.0}),
        ),
        (
            lambda b: sum(b.sides.values()),
            replace(BOX, size=5.0),
            replace(BOX, sides={"left": 1.0, "right": 2.5}),
        ),
        (lambda b: len(b.sides), replace(BOX, sides={"left": 0.0, "right": 0.0}), replace(BOX, sides={})),
        (lambda b: b.marks.low, replace(BOX, marks=Marks(1.0, 8.0)), replace(BOX, marks=Marks(1.5))),
        (
            lambda b: b.marks.between(1.0),
            replace(BOX, marks=Marks(0.0, 2.0)),
            replace(BOX, marks=Marks(1.0, 3.0)),
        ),
        (lambda b: b.twice(2.0), replace(BOX, name="other"), replace(BOX, size=3.5)),
    ],
)
def test_work_follows_what_it_reads_and_nothing_else(reads, same, other):
    memory, work = Memory(Box, Marks), Counted(reads)
    first = memory.recall("key", work, BOX)
    assert memory.recall("key", work, BOX) == first
    assert memory.recall("key", work, same) == first
    assert work.done == 1
    assert memory.recall("key", work, other) == reads(other)
    assert work.done == 2


def test_work_that_takes_the_whole_value_gets_it_as_it_is_and_follows_all_of_it():
    memory, work = Memory(Box, Marks), Counted(lambda b: replace(whole(b), size=9.0))
    assert memory.recall("key", work, BOX) == replace(BOX, size=9.0)
    memory.recall("key", work, replace(BOX))
    assert work.done == 1
    memory.recall("key", work, replace(BOX, name="other"))
    assert work.done == 2
    assert whole(BOX) is BOX


def test_a_value_of_a_type_that_is_not_opened_counts_as_a_whole():
    memory, work = Memory(Box), Counted(lambda b: b.marks.low)
    memory.recall("key", work, BOX)
    memory.recall("key", work, replace(BOX, marks=Marks(1.0, 8.0)))
    assert work.done == 2


def test_a_key_that_is_gone_means_that_the_work_is_done_again_and_may_fail():
    memory = Memory(Box)
    memory.recall("key", lambda b: b.sides["left"], BOX)
    with pytest.raises(KeyError):
        memory.recall("key", lambda b: b.sides["left"], replace(BOX, sides={}))
    assert memory.recall("key", lambda b: b.sides["left"], BOX) == 1.0


def test_what_is_kept_does_not_hold_the_value_it_was_worked_out_on():
    kept: list[Box] = []
    memory = Memory(Box, Marks)
    memory.recall("key", lambda b: kept.append(b) or b.marks.low + b.size, BOX)
    with pytest.raises(AttributeError):
        _ = kept[0].name


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    st.lists(
        st.sampled_from(
            [
                {"lane__length": 290.0},
                {"header__height": 44.0},
                {"targets__2__up": 103.0},
                {"silhouette__5__z": 310.0},
                {"return__slope": 2.5},
                {"ball__diameter": 15.6},
                {"joint__dowel_fit": 0.3},
                {"board__gap": 12.0},
                {},
            ]
        ),
        min_size=2,
        max_size=4,
    )
)
def test_findings_in_a_row_of_edits_are_those_of_each_design_by_itself(edits):
    for values in edits:
        design = changed(**values)
        cabinet = build(design)
        for hurried in (True, False):
            remembered = run(cabinet, value_of=lambda a, d=design: get(d, a), hurried=hurried)
            assert {f.key: f for f in remembered} == afresh(cabinet, design, hurried)


def afresh(cabinet: Cabinet, design: Design, hurried: bool) -> dict[str, object]:
    ctx = Context(cabinet, None, lambda a: get(design, a), hurried)
    return {f.key: f for one in checks() for f in evaluate(one, ctx)}

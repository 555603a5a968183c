"""What hardware fits: sizes reckoned by hand, agreement with the whole evaluation, and what choosing writes."""

from __future__ import annotations

import msgspec
import pytest

from desk.choosing import (
    ROLES,
    Candidate,
    Fitting,
    Item,
    Role,
    candidates,
    choose,
    drawer_dowel,
    drawer_screw,
    in_turn,
    items,
    screw_lengths,
    taken,
    users,
)
from desk.design import edit
from desk.design.model import Design, DowelEntry, ScrewEntry
from desk.design.own import OwnRow
from desk.design.starting import starting_design
from desk.evaluate import evaluate

Split = tuple[tuple[Candidate, ...], tuple[Candidate, ...]]
BY_ID = {role.id: role for role in ROLES}
COVER, RETURN, DOWELS, PIN = (BY_ID[k] for k in ("screws-cover", "screws-return", "dowels", "pin"))
PATH = {
    "screws-cover": ("stock.cover", "stock.cleats"),
    "screws-header": ("stock.cleats", "stock.header"),
    "screws-ramp": ("stock.cover", "stock.ramp"),
    "screws-return": ("stock.wall", "stock.spacer", "stock.panels"),
}
"""What each screw runs through, from its head on."""


@pytest.fixture(scope="module")
def design() -> Design:
    return starting_design()


@pytest.fixture(scope="module")
def cover(design: Design) -> Split:
    return candidates(design, COVER)


def thickness(design: Design, role: Role) -> list[float]:
    return [design.stock(design.choice(key)).measured for key in PATH[role.id]]


def test_every_role_names_numbers_and_joints_of_the_design(design: Design) -> None:
    joints = {j.id for j in evaluate(design).cabinet.axis_joints}
    for role in ROLES:
        assert edit.get(design, role.diameter) > 0
        assert not role.length or edit.get(design, role.length) > 0
        assert any(key.startswith(role.joints) for key in joints)
    claimed = [key for key in joints if sum(key.startswith(r.joints) for r in ROLES) == 1]
    assert sorted(claimed) == sorted(joints), "every joint belongs to one role"


@pytest.mark.parametrize("key", PATH)
def test_no_screw_fits_that_comes_out_at_the_far_face_or_does_not_reach_its_last_part(
    key: str, design: Design
) -> None:
    *through, last = thickness(design, BY_ID[key])
    fitting, rest = candidates(design, BY_ID[key])
    assert fitting
    for found in fitting:
        assert sum(through) < found.item.length < sum(through) + last
    for found in rest:
        assert found.refusal or found.finding is not None
    out = [c for c in rest if c.item.length > sum(through) + last]
    assert out
    assert {c.item.length for c in fitting} & {c.item.length for c in out} == set()


def test_what_is_taken_in_the_clean_starting_design_fits_everywhere(design: Design) -> None:
    for role in ROLES:
        fitting, _ = candidates(design, role)
        now = [c for c in fitting if c.chosen]
        assert [c.item.same_size(taken(design, role)) for c in now] == [True]
        assert now[0].status == "clear"


def test_a_trial_agrees_with_working_the_changed_design_out(design: Design, cover: Split) -> None:
    fitting, rest = cover
    for found in (*fitting, *rest[::12]):
        if found.refusal:
            continue
        findings = evaluate(choose(design, found.changes)).findings
        conflicts = {f.key for f in findings if f.status == "conflict"}
        if found.fits:
            assert conflicts == set()
        else:
            assert found.finding is not None
            assert found.finding.key in conflicts
        if found.finding is not None:
            same = next(f for f in findings if f.key == found.finding.key)
            assert (same.title, same.margin) == (found.finding.title, found.finding.margin)


def test_choosing_leaves_the_memory_of_the_drag_alone(design: Design) -> None:
    before = evaluate(design).cabinet.parts
    fitting = Fitting(design, DOWELS)
    for item in in_turn(design, DOWELS)[:6]:
        fitting.tried(item)
    after = evaluate(design).cabinet.parts
    assert all(a is b for a, b in zip(before, after, strict=True))


def test_the_drawer_comes_first_and_what_it_holds_is_not_listed_twice(design: Design) -> None:
    own = DowelEntry("d1", "Beech pins", 6.0, 30.0)
    odd = DowelEntry("d2", "Odd pins", 6.2, 31.0)
    filled = msgspec.structs.replace(design, dowels=(odd, own))
    found = items(filled, DOWELS)
    assert [i.where for i in found[:2]] == ["drawer", "drawer"]
    assert found[0].name == "6.2 mm"
    assert sum(abs(i.diameter - 6) < 0.01 and i.length == 30.0 for i in found) == 1
    assert found[-1].where == "design", "6 x 33 is neither sold nor in the drawer"
    assert {i.where for i in in_turn(filled, DOWELS)[:2]} == {"drawer"}


def test_pins_that_are_cut_want_a_length_that_gives_them(design: Design) -> None:
    short, long = DowelEntry("a", "Offcut", 6.0, 20.0), DowelEntry("b", "Rod", 6.0, 1000.0)
    filled = msgspec.structs.replace(design, dowels=(short, long))
    fitting, rest = candidates(filled, PIN)
    pin = next(j for j in evaluate(design).cabinet.axis_joints if j.kind == "pin")
    assert [c.item.length for c in fitting if c.item.where == "drawer"] == [1000.0]
    told = next(c.refusal for c in rest if c.item.length == 20.0)
    assert told == f"it is 20 mm long, and {pin.length:g} mm has to be cut from it"


def test_a_conflict_elsewhere_speaks_against_no_item(design: Design) -> None:
    faulty = edit.put(design, "behind.inlet_height", 9.0)
    assert evaluate(faulty).count("conflict") > 0
    sound = [c.item for c in candidates(design, DOWELS)[0]]
    assert [c.item for c in candidates(faulty, DOWELS)[0]] == sound


def test_what_is_muted_speaks_against_no_item(design: Design) -> None:
    finding = next(
        c.finding
        for c in candidates(design, COVER)[1]
        if c.finding and c.item.name == "3.5" and c.item.length > 20
    )
    muted = edit.mute(design, finding.key, "seen and liked")
    longer = Fitting(design, COVER), Fitting(muted, COVER)
    item = next(i for i in items(design, COVER) if i.name == "3.5" and i.length == 25.0)
    before, after = (f.tried(item) for f in longer)
    assert before.finding is not None
    assert before.finding.key == finding.key
    assert after.finding is None or after.finding.key != finding.key


def test_a_locked_number_is_the_reason(design: Design) -> None:
    locked = edit.set_locked(design, "joint.dowel_length")
    fitting, rest = candidates(locked, DOWELS)
    assert {c.item.length for c in fitting} == {33.0}
    assert any("locked" in c.refusal for c in rest)


def test_another_screw_takes_its_pilot_from_the_drills_at_hand(design: Design) -> None:
    drills = {b.diameter for b in design.bits if b.kind == "drill"}
    fitting, _ = candidates(design, BY_ID["screws-ramp"])
    for found in fitting:
        pilot = found.changes.get("joint.pilot")
        assert pilot is None or pilot in drills
        same_size = found.item.diameter == pytest.approx(design.value("joint.screw"), abs=1e-3)
        assert pilot is None or not same_size


def test_choosing_is_one_design_with_all_the_numbers(design: Design) -> None:
    fitting, _ = candidates(design, BY_ID["screws-ramp"])
    found = next(c for c in fitting if c.item.name == "No. 6" and c.item.length == 25.4)
    made = choose(design, found.changes)
    assert made.value("joint.screw") == 3.5052
    assert made.value("joint.screw_ramp") == 25.4
    assert taken(made, BY_ID["screws-ramp"]).name == "No. 6"
    with pytest.raises(edit.EditError, match="locked"):
        choose(edit.set_locked(design, "joint.screw_ramp"), found.changes)


def test_of_two_screws_with_one_shank_the_design_can_only_name_one(design: Design) -> None:
    twin = OwnRow("screws", "mine", label="Mine", like="m35")
    both = edit.put_own(design, twin)
    both = edit.add_item(both, ScrewEntry("w1", "Mine", "mine", 20.0))
    _, rest = candidates(both, COVER)
    told = next(c for c in rest if c.item.size == "mine" and c.item.where == "drawer")
    assert "same shank" in told.refusal


def test_lengths_of_screws_are_steps_of_the_trade() -> None:
    assert screw_lengths(3.5, "metric") == (16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0)
    assert [round(mm / 25.4, 4) for mm in screw_lengths(0.138 * 25.4, "inch")][:3] == [0.5, 0.625, 0.75]


def test_users_of_what_lies_in_the_drawer(design: Design) -> None:
    cabinet = evaluate(design).cabinet
    screw = drawer_screw(design, ScrewEntry("w", "Screws", "m35", 20.0))
    assert [r.id for r in users(design, cabinet, screw)] == ["screws-header", "screws-ramp"]
    rod = drawer_dowel(design, DowelEntry("d", "Rod", 6.0, 1000.0))
    assert [r.id for r in users(design, cabinet, rod)] == ["rods", "pin", "handle"]
    assert users(design, cabinet, Item("6 mm", 6.0, 33.0, "drawer"))[0].id == "dowels"
    assert users(design, cabinet, Item("8 mm", 8.0, 33.0, "drawer")) == ()

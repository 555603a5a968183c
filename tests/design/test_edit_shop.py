"""Edits of what the document tells of the shop: what they change, what they leave, what they refuse."""

from __future__ import annotations

import contextlib
import statistics

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.cabinet.build import build
from desk.design import edit, file, rules, table
from desk.design.model import BitEntry, DowelEntry, Mute, ScrewEntry
from desk.design.own import OwnRow
from desk.design.starting import starting_design
from desk.session import Session
from desk.shop.tables import SHIPPED, shelves

TEAK = OwnRow("materials", "teak", "Teak", "white-oak", {"density": 650.0})
PIN = DowelEntry("p8", "8 mm beech", 8.0, 40.0)
SCREW = ScrewEntry("w6", "No. 6 x 30", "no6", 30.0)


@pytest.fixture
def design():
    return starting_design()


# --- readings


def test_readings_of_a_stock_set_its_thickness(design):
    read = edit.put_readings(design, "stocks.2.measured", [11.7, 11.8, 12.0])
    assert read.stocks[1].readings == (11.7, 11.8, 12.0)
    assert read.stocks[1].measured == pytest.approx(statistics.mean([11.7, 11.8, 12.0]), abs=1e-6)
    assert build(read).shop.stock("s12").readings == (11.7, 11.8, 12.0)
    assert build(read).by_id["panel-return"].thickness == read.stocks[1].measured
    assert read.stocks[0] is design.stocks[0]


def test_readings_of_the_balls_set_diameter_and_spread(design):
    read = edit.put_readings(design, "ball.diameter", [15.8, 16.1, 16.2])
    assert read.value("ball.diameter") == pytest.approx(48.1 / 3, abs=1e-6)
    assert read.value("ball.spread") == pytest.approx(0.2)
    balls = build(read).balls
    assert balls.readings == (15.8, 16.1, 16.2)
    assert balls.largest == pytest.approx(48.1 / 3 + 0.2, abs=1e-6)
    assert edit.put_readings(design, "ball.spread", [15.8, 16.1, 16.2]) == read


@pytest.mark.parametrize(
    ("address", "other"), [("stocks.2.measured", 11.5), ("ball.diameter", 15.0), ("ball.spread", 0.7)]
)
def test_a_size_typed_over_clears_its_readings(design, address, other):
    read = edit.put_readings(
        design, "ball.diameter" if address.startswith("ball") else address, [14.8, 15.6, 15.2]
    )
    typed = edit.put(read, address, other)
    assert typed.ball_readings == typed.stocks[1].readings == ()
    assert edit.get(typed, address) == other
    assert edit.put(read, address, edit.get(read, address)) is read
    assert edit.put(read, "lane.width", 150.0).ball_readings == read.ball_readings


def test_no_readings_leave_the_size(design):
    read = edit.put_readings(design, "stocks.2.measured", [11.7, 12.0])
    bare = edit.put_readings(read, "stocks.2.measured", [])
    assert bare.stocks[1].readings == ()
    assert bare.stocks[1].measured == read.stocks[1].measured
    assert edit.put_readings(bare, "stocks.2.measured", []) is bare
    balls = edit.put_readings(edit.put_readings(design, "ball.diameter", [15.0, 16.0]), "ball.diameter", [])
    assert (balls.value("ball.diameter"), balls.value("ball.spread")) == (15.5, 0.5)
    assert balls.ball_readings == ()


def test_readings_drop_the_text_that_was_typed(design):
    typed = edit.type_in(design, "ball.diameter", "5/8in")
    read = edit.put_readings(typed, "ball.diameter", [15.9, 16.1])
    assert "ball.diameter" not in read.typed
    assert rules.problems(read) == ()


def test_readings_are_refused_where_they_cannot_be(design):
    with pytest.raises(edit.EditError, match=r"a reading must lie from 0\.5 mm to 62 mm, not 99 mm"):
        edit.put_readings(design, "stocks.1.measured", [8.9, 99.0])
    with pytest.raises(edit.EditError, match="finite"):
        edit.put_readings(design, "ball.diameter", [float("nan")])
    with pytest.raises(edit.EditError, match="Ball spread, plus or minus must lie"):
        edit.put_readings(design, "ball.diameter", [6.0, 59.0])
    with pytest.raises(edit.EditError, match="at most 100"):
        edit.put_readings(design, "ball.diameter", [16.0] * 101)
    for address in ("lane.width", "stocks.1.nominal", "bits.1.diameter"):
        with pytest.raises(table.UnknownAddress, match="readings are of"):
            edit.put_readings(design, address, [10.0])
    with pytest.raises(table.UnknownAddress, match="there is no stock 9"):
        edit.put_readings(design, "stocks.9.measured", [10.0])
    for address in ("stocks.1.measured", "ball.spread"):
        with pytest.raises(edit.Locked):
            edit.put_readings(edit.set_locked(design, address), address, [8.0, 9.0])


# --- stocks, bits, drawer


def test_grain_and_price(design):
    changed = edit.put_price(edit.put_text(design, "stocks.3.grain", "none"), 3, 38.25)
    stock = build(changed).shop.stock("s18")
    assert (stock.grain, stock.grained, stock.price) == ("none", False, 38.25)
    assert build(design).shop.stock("s18").grained
    assert edit.put_price(changed, 3, 38.25) is changed
    for price in (-1.0, float("nan"), 1e9):
        with pytest.raises(edit.EditError, match="a price must lie"):
            edit.put_price(design, 1, price)
    with pytest.raises(edit.EditError, match="there is no grain 'up'; there are: length, width, none"):
        edit.put_text(design, "stocks.3.grain", "up")


def test_a_whole_row_is_replaced_at_once(design):
    cherry = msgspec.structs.replace(
        design.stocks[0], id="c9", label="Cherry 9 mm", material="cherry", measured=8.7
    )
    changed = edit.replace_item(design, 1, cherry)
    assert changed.stocks[0] == cherry
    assert changed.choice("stock.wall") == "c9"
    assert edit.replace_item(changed, 1, cherry) is changed
    assert edit.replace_item(changed, 1, design.stocks[0]) == design
    with pytest.raises(edit.EditError, match="there is no material 'cheese'"):
        edit.replace_item(design, 1, msgspec.structs.replace(cherry, material="cheese"))
    with pytest.raises(edit.EditError, match="id 'S12' is used already, by Birch plywood 12 mm"):
        edit.replace_item(design, 1, msgspec.structs.replace(cherry, id="S12"))
    with pytest.raises(edit.EditError, match="not the mean of the readings"):
        edit.replace_item(design, 1, msgspec.structs.replace(cherry, readings=(9.0, 9.2)))
    with pytest.raises(edit.Locked):
        edit.replace_item(edit.set_locked(design, "stocks.1.measured"), 1, cherry)
    with pytest.raises(table.UnknownAddress):
        edit.replace_item(design, 9, cherry)


def test_a_row_replaced_drops_the_texts_typed_for_what_changed(design):
    typed = edit.type_in(edit.type_in(design, "bits.1.diameter", "6.1mm"), "bits.1.cutting_length", "22mm")
    bit = msgspec.structs.replace(typed.bits[0], diameter=6.2)
    changed = edit.replace_item(typed, 1, bit)
    assert "bits.1.diameter" not in changed.typed
    assert changed.typed["bits.1.cutting_length"] == "22mm"
    assert rules.problems(changed) == ()


@pytest.mark.parametrize(
    ("list_name", "item", "says"),
    [
        ("stocks", 1, "Birch plywood 9 mm is chosen for: Inner wall, stock; Deck, stock"),
        ("bits", 1, "6 mm straight is chosen for: Bit for outlines; Bit for pockets and mortises"),
        ("bits", 3, "90 degree V is chosen for: Bit for lettering"),
    ],
)
def test_what_is_in_use_stays(design, list_name, item, says):
    with pytest.raises(edit.EditError, match=says):
        edit.remove_item(design, list_name, item)
    assert design == starting_design()


def test_what_is_not_in_use_can_go(design):
    spare = BitEntry("b8", "8 mm straight", "straight", 8.0, 25.0)
    assert edit.remove_item(edit.add_item(design, spare), "bits", 7) == design


def test_the_drawer(design):
    full = edit.add_item(edit.add_item(design, PIN), SCREW)
    assert full.dowels == (PIN,)
    drawer = build(full).shop.drawer
    assert (drawer.dowels[0].diameter, drawer.screws[0].size) == (8.0, "no6")
    changed = edit.type_in(full, "dowels.1.diameter", "3/8in")
    assert changed.dowels[0].diameter == pytest.approx(9.525)
    assert edit.shown(changed, "dowels.1.diameter") == "3/8in"
    assert edit.put_text(full, "screws.1.size", "m35").screws[0].size == "m35"
    assert edit.remove_item(edit.remove_item(full, "screws", 1), "dowels", 1) == design
    with pytest.raises(edit.EditError, match="there is no screw 'no99'"):
        edit.put_text(full, "screws.1.size", "no99")
    with pytest.raises(edit.EditError, match="there is no screw 'no99'"):
        edit.add_item(full, msgspec.structs.replace(SCREW, id="w7", size="no99"))
    with pytest.raises(edit.EditError, match="id 'P8' is used already, by 8 mm beech"):
        edit.add_item(full, msgspec.structs.replace(PIN, id="P8"))


# --- values of one's own


def test_a_row_of_ones_own_is_laid_over_the_tables(design):
    own = edit.put_own(design, TEAK)
    cabinet = build(edit.put_text(own, "stocks.1.material", "teak"))
    assert cabinet.tables.rows("materials")["teak"].number("density") == 650.0
    assert cabinet.shop.stock("s9").material == "teak"
    assert edit.put_own(own, TEAK) is own
    changed = edit.put_own(own, msgspec.structs.replace(TEAK, values={"density": 640.0}))
    assert len(changed.own) == 1
    assert changed.tables.rows("materials")["teak"].number("density") == 640.0
    assert edit.remove_own(changed, "materials", "teak") == design
    assert edit.remove_own(design, "materials", "teak") is design


def test_tables_are_the_same_object_while_a_dimension_is_dragged(design):
    """What a drag step would otherwise work out again: the tables of a design that keeps its own rows."""
    own = edit.put_own(design, TEAK)
    first = build(own).tables
    assert build(edit.put(own, "lane.width", 150.0)).tables is first
    assert build(design).tables is SHIPPED


def test_one_number_of_ones_own(design):
    one = edit.put_own_value(design, "needs", "web", "value", 4.0)
    assert one.own == (OwnRow("needs", "web", values={"value": 4.0}),)
    two = edit.put_own_value(one, "needs", "web", "tight", 1.0)
    assert two.own[0].values == {"value": 4.0, "tight": 1.0}
    back = edit.put_own_value(
        edit.put_own_value(two, "needs", "web", "tight", None), "needs", "web", "value", None
    )
    assert back == design
    pair = edit.put_own_value(design, "balls", "glass", "friction", [0.1, 0.2])
    assert pair.own[0].values == {"friction": (0.1, 0.2)}
    assert edit.put_own_value(design, "needs", "web", "value", None) is design
    kept = edit.put_own_value(edit.put_own(design, TEAK), "materials", "teak", "density", None)
    assert kept.own == (msgspec.structs.replace(TEAK, values={}),)


def test_a_row_in_use_stays(design):
    own = edit.put_own(design, TEAK)
    for used, says in (
        (edit.put_text(own, "stocks.1.material", "teak"), "'teak' is used by: Birch plywood 9 mm"),
        (edit.put_own(own, OwnRow("materials", "old", like="teak")), "'teak' is used by: your own old"),
    ):
        with pytest.raises(edit.EditError, match=says):
            edit.remove_own(used, "materials", "teak")
    agate = edit.put_choice(
        edit.put_own(design, OwnRow("balls", "agate", like="glass")), "ball.material", "agate"
    )
    with pytest.raises(edit.EditError, match="'agate' is used by: Ball material"):
        edit.remove_own(agate, "balls", "agate")
    chip = edit.put_own(design, OwnRow("screws", "chip", like="m35"))
    chip = edit.add_item(chip, msgspec.structs.replace(SCREW, size="chip"))
    with pytest.raises(edit.EditError, match=r"'chip' is used by: No\. 6 x 30 in the drawer"):
        edit.remove_own(chip, "screws", "chip")
    with pytest.raises(edit.EditError, match="Root of the thread"):
        edit.put_own(design, OwnRow("screws", "no6", values={"root": 4.0}))


def test_a_number_that_a_later_row_rests_on_is_judged_with_it(design):
    """The row that starts like another is looked at again when that one changes."""
    first = edit.put_own(design, OwnRow("screws", "a", like="no6", values={"root": 3.4}))
    both = edit.put_own(first, OwnRow("screws", "b", like="a", values={"shank": 3.45}))
    with pytest.raises(
        edit.EditError, match=r"screws 'b': Root of the thread \(3.48\) is above shank \(3.45\)"
    ):
        edit.put_own_value(both, "screws", "a", "root", 3.48)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (OwnRow("woods", "teak"), "there is no table 'woods'; there are: materials"),
        (OwnRow("needs", "small_ball", values={"value": 5.0}), "set by law for the safety of children"),
        (OwnRow("needs", "web", values={"value": float("nan")}), "Limit must be a finite number"),
        (OwnRow("balls", "a b", like="glass"), "id 'a b' must be 1 to 24"),
        (OwnRow("balls", "agate", "\u0007", "glass"), "cannot be printed"),
    ],
)
def test_rows_that_cannot_stand_are_refused(design, row, says):
    with pytest.raises(edit.EditError, match=says):
        edit.put_own(design, row)


# --- mutes


def test_muting(design):
    quiet = edit.mute(design, "lip/hold", "  filed by hand ")
    assert quiet.mutes == (Mute("lip/hold", "filed by hand"),)
    assert edit.mute(quiet, "lip/hold", "filed by hand") is quiet
    assert edit.mute(quiet, "lip/hold", "other").mutes == (Mute("lip/hold", "other"),)
    assert edit.unmute(quiet, "lip/hold") == design
    assert edit.unmute(design, "lip/hold") is design


@pytest.mark.parametrize(
    ("key", "reason", "says"),
    [
        ("lip/hold", "", "a mute needs a reason"),
        ("lip/hold", " \n", "a mute needs a reason"),
        ("", "so", "names no finding"),
        ("lip/hold", "x" * 501, "at most 500"),
        ("small-ball/ball", "all grown up here", "what children can choke on and cannot be muted"),
    ],
)
def test_mutes_that_cannot_stand_are_refused(design, key, reason, says):
    with pytest.raises(edit.EditError, match=says):
        edit.mute(design, key, reason)


def test_every_edit_can_be_undone(design):
    session = Session(design)
    steps = (
        ("Read the sheet", lambda d: edit.put_readings(d, "stocks.1.measured", [8.8, 9.1])),
        ("Own value", lambda d: edit.put_own_value(d, "needs", "web", "value", 4.0)),
        ("Dowel", lambda d: edit.add_item(d, PIN)),
        ("Price", lambda d: edit.put_price(d, 1, 12.0)),
        ("Mute", lambda d: edit.mute(d, "lip/hold", "filed by hand")),
    )
    for label, step in steps:
        assert session.apply(label, step(session.design))
    assert session.labels == tuple(label for label, _ in steps)
    last = session.design
    while session.undo():
        pass
    assert session.design == design
    while session.redo():
        pass
    assert session.design == last


NAMES = ("materials", "balls", "screws", "dowels", "nails", "needs", "regions", "hands", "films", "bits")
FIELDS = {name: shelves()[name].fields for name in NAMES}
_STEP = st.tuples(
    st.sampled_from(
        ["read", "balls", "put", "own", "value", "unown", "mute", "unmute", "add", "replace", "remove"]
    ),
    st.integers(0, 10**6),
)


def _step(design, action, seed):  # noqa: PLR0911
    name = NAMES[seed % len(NAMES)]
    key = list(SHIPPED.rows(name))[seed % len(SHIPPED.rows(name))]
    field = list(FIELDS[name])[seed % len(FIELDS[name])]
    low, high = FIELDS[name][field].range
    value = low + (high - low) * (seed % 997) / 900
    match action:
        case "read":
            return edit.put_readings(
                design, f"stocks.{1 + seed % 4}.measured", [seed % 70 / 3 + k for k in range(seed % 4)]
            )
        case "balls":
            return edit.put_readings(
                design, "ball.diameter", [4 + seed % 60 + k / 7 for k in range(seed % 5)]
            )
        case "put":
            return edit.put(
                design, ["ball.diameter", "ball.spread", "stocks.1.measured"][seed % 3], seed % 40 / 2
            )
        case "own":
            return edit.put_own(design, OwnRow(name, f"own{seed % 5}", "", key, {field: value}))
        case "value":
            return edit.put_own_value(design, name, key, field, None if seed % 4 == 0 else value)
        case "unown":
            return edit.remove_own(design, name, [key, f"own{seed % 5}"][seed % 2])
        case "mute":
            return edit.mute(design, f"lip/{seed % 3}", "why not" * (seed % 2))
        case "unmute":
            return edit.unmute(design, f"lip/{seed % 3}")
        case "add":
            screw = ScrewEntry(
                f"w{seed % 9}", "Screw", f"own{seed % 5}" if seed % 2 else "no6", 20.0 + seed % 9
            )
            return edit.add_item(design, [DowelEntry(f"p{seed % 9}", "Pin", 8.0, 30.0), screw][seed % 2])
        case "replace":
            stock = design.stocks[seed % len(design.stocks)]
            changed = msgspec.structs.replace(
                stock, material=f"own{seed % 5}" if seed % 2 else "cherry", readings=()
            )
            return edit.replace_item(design, 1 + seed % len(design.stocks), changed)
        case _:
            return edit.remove_item(design, table.LISTS[2 + seed % 4], 1 + seed % 4)


@settings(derandomize=True, max_examples=120, deadline=None)
@given(st.lists(_STEP, max_size=25))
def test_after_any_edits_the_design_can_be_saved_opens_again_and_is_built(steps):
    design = starting_design()
    for action, seed in steps:
        with contextlib.suppress(edit.EditError, table.UnknownAddress):
            design = _step(design, action, seed)
    assert rules.problems(design) == ()
    assert file.loads(file.dumps(design)) == design
    cabinet = build(design)
    assert cabinet.tables == design.tables

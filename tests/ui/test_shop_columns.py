"""What the cells of the shop's tables show and how they take what is typed."""

from __future__ import annotations

import msgspec
import pytest

from desk.design import edit
from desk.design.file import dumps, loads
from desk.design.model import Design, DowelEntry, ScrewEntry
from desk.design.refusals import EditError
from desk.design.starting import starting_design
from desk.ui.shop_columns import (
    COLUMNS,
    Column,
    cell_name,
    cell_options,
    is_open,
    note_of,
    read_cell,
    remove_row,
    write_cell,
)
from desk.units import UnitError


@pytest.fixture
def design() -> Design:
    """The starting design with something in the drawer."""
    return msgspec.structs.replace(
        starting_design(),
        dowels=(DowelEntry("d1", "Beech", 6.0, 30.0),),
        screws=(ScrewEntry("w1", "Brass", "no6", 19.05),),
    )


def column(name: str, field: str) -> Column:
    return next(c for c in COLUMNS[name] if c.field == field)  # type: ignore[index]


def test_every_cell_of_every_table_can_be_read_and_written_back(design: Design) -> None:
    for name, columns in COLUMNS.items():
        for item in range(1, len(design.entries(name)) + 1):
            for each in columns:
                text = read_cell(design, name, item, each)
                assert cell_name(design, name, item, each).startswith(each.heading)
                if is_open(design, name, item, each):
                    assert write_cell(design, name, item, each, text) == design


def test_several_readings_set_the_measured_thickness_and_stay_in_the_file(design: Design) -> None:
    readings, mean = column("stocks", "readings"), column("stocks", "measured")
    read = write_cell(design, "stocks", 2, readings, "11.8 11.9 11.75")
    assert read.stocks[1].readings == (11.8, 11.9, 11.75)
    assert read.stocks[1].measured == pytest.approx((11.8 + 11.9 + 11.75) / 3, abs=1e-6)
    assert read_cell(read, "stocks", 2, readings) == "11.8 11.9 11.75"
    assert read_cell(read, "stocks", 2, mean) == "11.817 ± 0.075"
    assert loads(dumps(read)) == read


def test_one_reading_is_the_measured_thickness_and_keeps_its_text(design: Design) -> None:
    readings = column("stocks", "readings")
    several = write_cell(design, "stocks", 2, readings, "11.7 11.9")
    one = write_cell(several, "stocks", 2, readings, "15/32 in")
    assert one.stocks[1].readings == ()
    assert one.stocks[1].measured == pytest.approx(15 / 32 * 25.4)
    assert read_cell(one, "stocks", 2, readings) == "15/32 in"
    same = write_cell(several, "stocks", 2, readings, "11.8")
    assert same.stocks[1].readings == (), "the mean itself, typed, is one reading"


def test_faults_say_what_is_wrong(design: Design) -> None:
    with pytest.raises(UnitError, match="reading 2"):
        write_cell(design, "stocks", 1, column("stocks", "readings"), "11.8 x9")
    with pytest.raises(EditError, match=r"from 0\.5 mm to 62 mm"):
        write_cell(design, "stocks", 1, column("stocks", "readings"), "11.8 118")
    with pytest.raises(EditError, match="label is empty"):
        write_cell(design, "stocks", 1, column("stocks", "label"), "  ")
    with pytest.raises(UnitError, match="the price"):
        write_cell(design, "stocks", 1, column("stocks", "price"), "dear")
    with pytest.raises(EditError, match="there is no screw"):
        write_cell(design, "screws", 1, column("screws", "size"), "no99")


def test_lengths_are_typed_in_any_unit_and_shown_in_the_designs(design: Design) -> None:
    width = column("stocks", "sheet_width")
    typed = write_cell(design, "stocks", 1, width, "23 5/8 in")
    assert typed.stocks[0].sheet_width == pytest.approx(23.625 * 25.4)
    assert read_cell(typed, "stocks", 1, width) == "23 5/8 in"
    inches = edit.set_unit(design, "in")
    assert read_cell(inches, "dowels", 1, column("dowels", "length")) == "1.1811"
    assert read_cell(inches, "screws", 1, column("screws", "length")) == "3/4"


def test_only_a_v_has_an_angle(design: Design) -> None:
    angle = column("bits", "angle")
    kinds = {bit.kind: k for k, bit in enumerate(design.bits, 1)}
    assert is_open(design, "bits", kinds["vee"], angle)
    assert not is_open(design, "bits", kinds["drill"], angle)
    assert read_cell(design, "bits", kinds["drill"], angle) == ""


def test_options_are_those_of_the_tables_with_ones_own(design: Design) -> None:
    from desk.design.own import OwnRow

    own = edit.put_own(design, OwnRow("materials", "teak", "Teak", "white-oak"))
    assert ("teak", "Teak") in cell_options(own, column("stocks", "material"))
    assert ("teak", "Teak") not in cell_options(design, column("stocks", "material"))
    assert ("no6", "No. 6") in cell_options(design, column("screws", "size"))
    assert dict(cell_options(design, column("stocks", "grain"))).keys() == {"length", "width", "none"}
    assert dict(cell_options(design, column("bits", "kind"))).keys() == {
        "straight",
        "drill",
        "vee",
        "rounding",
    }


def test_the_line_under_a_row_tells_what_it_is_for(design: Design) -> None:
    assert note_of(design, "stocks", 3) == "For return spacers, kicker ribs, target board and catch ramp"
    assert note_of(design, "bits", 1) == "For outlines; pockets and mortises"
    assert note_of(design, "bits", 2) == ""
    spare = edit.add_item(design, msgspec.structs.replace(design.stocks[0], id="spare", label="Spare"))
    assert note_of(spare, "stocks", 4) == "Not used"


def test_what_is_in_use_is_not_removed_and_its_users_are_named(design: Design) -> None:
    with pytest.raises(
        EditError, match="In use for return spacers, kicker ribs, target board and catch ramp"
    ):
        remove_row(design, "stocks", 3)
    with pytest.raises(EditError, match="outlines and pockets and mortises"):
        remove_row(design, "bits", 1)
    with pytest.raises(EditError, match="In use for header screws"):
        remove_row(design, "screws", 1, ("header screws",))
    assert remove_row(design, "dowels", 1).dowels == ()
    assert len(remove_row(design, "bits", 2).bits) == len(design.bits) - 1

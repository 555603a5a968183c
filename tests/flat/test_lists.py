"""The two lists: read back with the csv module, counted by hand."""

from __future__ import annotations

import csv
import io

from msgspec.structs import replace

from desk.cabinet.model import AxisJoint, Cutout
from desk.flat.groups import groups
from desk.flat.layout import lay_out
from desk.flat.lists import (
    CUT_COLUMNS,
    HARDWARE_COLUMNS,
    as_csv,
    cut_list,
    hardware_list,
    sheet_lines,
    with_inches,
)
from desk.shapes.loop import rect

from .samples import MDF, PLY, cabinet, dowel, plain, rich, shop

RIBS = [replace(plain(f"rib{k}", 80.0, 40.0, grain=(0.0, 1.0)), label=f"Rib {k}") for k in (1, 2, 3)]
FRAME = plain("frame", 120.0, 200.0, MDF, cutouts=(Cutout(rect(10, 10, 110, 190), "window"),))
HUGE = plain("huge", 2000.0, 10.0)


def cut_rows(parts, hand=None, drawings=None):
    made = cabinet(parts)
    rows = cut_list(made, groups(parts, hand), lay_out(parts, made.shop), hand or {}, drawings or {})
    return [dict(zip(CUT_COLUMNS, row, strict=True)) for row in rows]


def test_identical_parts_share_a_row():
    ribs, frame = cut_rows([*RIBS, FRAME], drawings={"rib1": "part-rib-x3.dxf"})
    assert (ribs["label"], ribs["count"], ribs["on_sheet_number"], ribs["drawing"]) == (
        "Rib",
        "3",
        "1",
        "part-rib-x3.dxf",
    )
    assert (frame["label"], frame["count"]) == ("Frame", "1")


def test_length_runs_along_the_grain_or_is_the_longer_side():
    ribs, frame = cut_rows([*RIBS, FRAME])
    assert (ribs["length_mm"], ribs["width_mm"], ribs["grain"]) == ("40.00", "80.00", "along the length")
    assert (frame["length_mm"], frame["width_mm"], frame["grain"]) == ("200.00", "120.00", "any")


def test_thickness_material_and_area():
    ribs, frame = cut_rows([*RIBS, FRAME])
    assert (ribs["nominal_mm"], ribs["measured_mm"], ribs["material"]) == ("12", "11.80", "birch plywood")
    assert (frame["nominal_mm"], frame["measured_mm"], frame["stock"]) == ("6", "6.05", "MDF 6 mm")
    assert ribs["area_mm2"] == "3200.0"
    assert frame["area_mm2"] == f"{120 * 200 - 100 * 180:.1f}"


def test_operations_by_machine_and_by_hand_are_told_apart():
    (row,) = cut_rows([rich()], {"rich": ("hole into the edge",)})
    assert row["operations"] == (
        "outside profile; 3 x opening; pocket 4.00 mm deep, face A; pocket 6.00 mm deep, face A; "
        "pocket 3.00 mm deep, face B; 2 x hole 6.10 mm across, 8.00 mm deep, face A; "
        "2 x hole 3.80 mm across, through; hole 2.20 mm across, 5.00 mm deep, face B; "
        "V-groove 90 degrees, 2.00 mm deep, face A"
    )
    assert row["by_hand"] == (
        "hole 2.00 mm across, 4.00 mm deep, face A; countersink 7.00 mm across, face A; "
        "countersink 7.00 mm across, face B; chamfer 1.00 mm, face A; rounding 3.00 mm, face B; hole into the edge"
    )


def test_a_part_on_no_sheet_says_none():
    (row,) = cut_rows([HUGE])
    assert row["on_sheet_number"] == "none"


def test_sheets_are_counted_and_priced():
    """Two planks of 700 x 400 take a sheet of 800 x 600 each; the frame one of MDF, whose price is not known."""
    made = cabinet([plain("a", 700.0, 400.0), plain("b", 700.0, 400.0), FRAME])
    bare = sheet_lines(made, lay_out(made.parts, made.shop))
    assert bare == ("2 of Birch plywood 12 mm, 800 x 600 mm", "1 of MDF 6 mm, 500 x 400 mm")
    priced = replace(made, shop=shop(replace(PLY, price=30.25), MDF))
    assert sheet_lines(priced, lay_out(priced.parts, priced.shop)) == (
        "2 of Birch plywood 12 mm, 800 x 600 mm, 30.25 each, 60.50 in all",
        "1 of MDF 6 mm, 500 x 400 mm",
        "together 60.50, sheets without a price left out",
    )


def test_a_muted_finding_is_a_comment_line_of_its_own():
    text = as_csv(("a",), [("1",)], ("a gap",), ("a web,\nMuted because: so",))
    assert text.splitlines()[:3] == ["# WARNING: a gap", "# MUTED: a web, Muted because: so", "a"]


def test_lists_of_a_design_in_inches_tell_inches_before_mm():
    z = (0.0, 0.0, 1.0)
    name = "countersunk wood screw No. 6 x 20.6375 mm"
    screw = AxisJoint("s1", "screw", (), (0, 0, 0), z, 3.505, 20.6375, head=7.09, hardware=name)
    made = cabinet([RIBS[0]], joints=(screw,))
    heads, rows = with_inches(HARDWARE_COLUMNS, hardware_list(made, "in"), "in")
    assert heads == (
        "kind",
        "name",
        "diameter_in",
        "length_in",
        "diameter_mm",
        "length_mm",
        "count",
        "remark",
    )
    sold = "countersunk wood screw No. 6 x 13/16 in"
    assert rows[0] == ("screw", sold, "0.138", "13/16", "3.50", "20.64", "1", "head 0.279 in (7.09 mm)")
    assert rows[-1][3] == rows[-1][5] == ""
    assert with_inches(HARDWARE_COLUMNS, hardware_list(made), "mm") == (HARDWARE_COLUMNS, hardware_list(made))


def test_a_cut_list_in_inches_keeps_every_column_in_mm():
    heads, (row,) = with_inches(CUT_COLUMNS, (tuple("12.70" for _ in CUT_COLUMNS),), "in")
    told = dict(zip(heads, row, strict=True))
    in_mm = {name for name in CUT_COLUMNS if name.endswith("_mm")}
    assert set(CUT_COLUMNS) | {name.replace("_mm", "_in") for name in in_mm} == set(heads)
    assert {told[name.replace("_mm", "_in")] for name in in_mm} == {"1/2"}


def hardware(*joints):
    return [
        dict(zip(HARDWARE_COLUMNS, row, strict=True))
        for row in hardware_list(cabinet([RIBS[0]], joints=joints))
    ]


def test_hardware_is_counted_by_kind_name_and_size():
    z = (0.0, 0.0, 1.0)
    screw = AxisJoint("s1", "screw", (), (0, 0, 0), z, 3.5, 16.0, head=7.0, hardware="wood screw 3.5 x 16 mm")
    rods = [
        AxisJoint(f"r{k}", "rod", (), (0, 0, 0), z, 6.0, length, glued=True)
        for k, length in enumerate((152.0, 60.0))
    ]
    found = hardware(
        dowel("d1", "rib1", z), screw, dowel("d2", "rib1", z), *rods, dowel("d3", "rib1", z, 40.0)
    )
    assert [(r["kind"], r["name"], r["length_mm"], r["count"], r["remark"]) for r in found] == [
        ("dowel", "dowel 6 x 30 mm", "30.00", "2", ""),
        ("dowel", "dowel 6 x 30 mm", "40.00", "1", ""),
        ("rod", "rod", "60.00", "1", "cut to length, glued"),
        ("rod", "rod", "152.00", "1", "cut to length, glued"),
        ("screw", "wood screw 3.5 x 16 mm", "16.00", "1", "head 7.00 mm"),
        ("ball", "glass ball", "", "7", "plus or minus 0.40 mm"),
    ]
    assert found[-1]["diameter_mm"] == "16.00"


def test_text_reads_back_whatever_is_in_it():
    rows = [('a "quoted", label', "two\nlines"), ("Rückwand; 1,5", "")]
    text = as_csv(("one", "two"), rows)
    assert list(csv.reader(io.StringIO(text, newline=""))) == [["one", "two"], *map(list, rows)]
    assert text.startswith("one,two\r\n")  # RFC 4180 line ends


def test_warnings_are_comment_lines_above_the_header():
    lines = as_csv(("one",), [("1",)], ("a gap,\nof 3 mm", "other")).splitlines()
    assert lines == ["# WARNING: a gap, of 3 mm", "# WARNING: other", "one", "1"]

"""Drawings read back by two other programs: areas, circles, arcs, header, layers."""

from __future__ import annotations

import math
from collections import Counter

import ezdxf
import pytest
from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.math import bulge_radius
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.flat import dxf
from desk.flat.figure import Figure, Piece, Words, closed_mark, piece
from desk.flat.groups import groups
from desk.flat.layers import ALLOWED, layer
from desk.flat.layout import Placement, lay_out
from desk.flat.lint import defects
from desk.flat.operations import operations
from desk.flat.plates import behind_figure, part_figure, sheets_figure
from desk.shapes.loop import rounded

from .reread import areas, areas_by_gdal
from .samples import OUTLINE, PLY, cabinet, plain, rich

AREA = 1e-3
"""mm², the least difference that counts."""


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """The rich part alone, on two sheets among others, and from behind, each written to a file."""
    folder = tmp_path_factory.mktemp("drawings")
    parts = [rich("a"), rich("b", grain=(0.0, 1.0)), *(plain(f"p{k}", 390.0, 270.0) for k in range(4))]
    made = cabinet(parts)
    plans = lay_out(parts, made.shop).sheets
    figures = {
        "alone": part_figure(made, groups(parts)[0], (), ()),
        "sheets": sheets_figure(made, PLY, plans, ("A warning.",)),
        "behind": behind_figure(made, groups(parts)[0], ()),
    }
    for name, figure in figures.items():
        assert defects(figure) == ()
        dxf.write(figure, folder / f"{name}.dxf")
    return folder


@pytest.fixture(params=["alone", "sheets", "behind"])
def doc(written, request):
    return ezdxf.readfile(written / f"{request.param}.dxf")


def expected(part) -> dict[str, list[float]]:
    """Unsigned areas of all closed lines of a part by layer, from the model."""
    found: dict[str, list[float]] = {}
    for operation in operations(part):
        rows = [loop.area for loop in (*operation.loops, *operation.islands)]
        rows += [math.pi * (operation.diameter / 2) ** 2] * len(operation.points)
        if rows:
            found.setdefault(operation.layer.name, []).extend(rows)
    return found


def of_parts(found):
    return {k: sorted(map(abs, v)) for k, v in found.items() if not k.startswith(("NOTE", "SHEET"))}


def test_areas_and_holes_read_by_ezdxf(written):
    found = of_parts(areas(ezdxf.readfile(written / "alone.dxf")))
    assert found == {k: pytest.approx(sorted(v), abs=AREA) for k, v in expected(rich()).items()}


def test_areas_and_holes_read_by_gdal(written):
    found = of_parts(areas_by_gdal(written / "alone.dxf"))
    assert found == {k: pytest.approx(sorted(v), abs=AREA) for k, v in expected(rich()).items()}


def test_areas_on_the_sheets_turned_and_moved(written):
    wanted = expected(rich())
    wanted = {k: v * 2 for k, v in wanted.items()}
    wanted["A_PROFILE_OUT"] += [390.0 * 270.0] * 4
    wanted = {k: pytest.approx(sorted(v), abs=AREA) for k, v in wanted.items()}
    assert of_parts(areas(ezdxf.readfile(written / "sheets.dxf"))) == wanted
    assert of_parts(areas_by_gdal(written / "sheets.dxf")) == wanted


def test_outer_lines_run_counter_clockwise_and_inner_ones_clockwise(written):
    found = areas(ezdxf.readfile(written / "alone.dxf"))
    assert all(area > 0 for area in found["A_PROFILE_OUT"])
    # the first opening is a circle, which has no direction
    assert sorted(map(math.copysign, [1.0] * 3, found["A_PROFILE_IN"])) == [-1.0, -1.0, 1.0]


def test_header_says_r2000_in_millimetres(doc):
    # DXF reference, HEADER: $ACADVER AC1015 is R2000; $INSUNITS 4 is millimetres; $MEASUREMENT 1 is metric.
    assert doc.dxfversion == "AC1015"
    assert doc.header["$INSUNITS"] == 4
    assert doc.header["$MEASUREMENT"] == 1


def test_first_view_shows_the_drawing(doc):
    view = doc.viewports.get("*Active")[0]
    wide, high = doc.header["$EXTMAX"][:2]
    assert tuple(view.dxf.center)[:2] == pytest.approx((wide / 2, high / 2))
    assert view.dxf.height >= high


def test_entities_are_the_plain_ones_in_the_modelspace(doc):
    allowed = {"LWPOLYLINE", "CIRCLE", "TEXT"}
    for entity in doc.modelspace():
        assert entity.dxftype() in allowed
        assert not entity.dxf.hasattr("extrusion") or entity.dxf.extrusion.z > 0
        assert entity.dxf.get("elevation", 0) == 0
    assert not list(doc.blocks.get("*Paper_Space"))
    assert {block.name for block in doc.blocks} == {"*Model_Space", "*Paper_Space"}
    assert not doc.audit().has_errors


def test_polylines_do_not_repeat_their_first_vertex_and_stay_below_half_a_turn(doc):
    for line in doc.modelspace().query("LWPOLYLINE"):
        points = list(line.get_points("xyb"))
        assert len({p[:2] for p in points}) == len(points) or not line.closed
        assert all(abs(p[2]) <= 1 for p in points)
        assert not line.has_width
        assert min(min(p[:2]) for p in points) >= 0


def test_layers_are_legal_and_complete(doc):
    used = {entity.dxf.layer for entity in doc.modelspace()}
    assert all(ALLOWED.fullmatch(name) for name in used)
    own = {each.dxf.name for each in doc.layers} - {"0", "Defpoints"}
    assert own == used
    assert all(each.is_on() and each.dxf.color > 0 for each in doc.layers)


def test_circles_are_circles(written):
    doc = ezdxf.readfile(written / "alone.dxf")
    found = Counter((c.dxf.layer, round(2 * c.dxf.radius, 6)) for c in doc.modelspace().query("CIRCLE"))
    assert found == {
        ("A_PROFILE_IN", 22.0): 1,
        ("A_POCKET_D4P00", 18.0): 1,
        ("A_DRILL_6P10_D8P00", 6.1): 2,
        ("A_DRILL_3P80_THRU", 3.8): 2,
        ("B_DRILL_2P20_D5P00", 2.2): 1,
        ("HAND_A_DRILL_2P00_D4P00", 2.0): 1,
        ("HAND_A_SINK_7P00", 7.0): 1,
        ("HAND_B_SINK_7P00", 7.0): 1,
        ("HAND_A_CHAMFER_1P00", 22.0): 1,
    }


def test_hole_distances_are_the_model_s(written):
    doc = ezdxf.readfile(written / "alone.dxf")
    one, other = (c.dxf.center for c in doc.modelspace().query('CIRCLE[layer=="A_DRILL_6P10_D8P00"]'))
    assert one.distance(other) == pytest.approx(60.0, abs=1e-6)


def test_fillets_are_still_arcs_of_their_radius(written):
    doc = ezdxf.readfile(written / "alone.dxf")
    (outline,) = doc.modelspace().query('LWPOLYLINE[layer=="A_PROFILE_OUT"]')
    points = list(outline.get_points("xyb"))
    radii = [
        bulge_radius(a[:2], b[:2], a[2]) for a, b in zip(points, points[1:] + points[:1], strict=True) if a[2]
    ]
    assert sorted(radii) == pytest.approx([6.0, 8.0, 12.0, 15.0, 20.0], abs=1e-6)
    assert len(points) == len(OUTLINE.points)
    assert points[-1][2] == 0.0


def test_open_grooves_are_open_and_keep_their_arc(written):
    doc = ezdxf.readfile(written / "alone.dxf")
    (groove,) = doc.modelspace().query('LWPOLYLINE[layer=="A_VGROOVE_90_D2P00"]')
    assert not groove.closed
    assert [p[2] for p in groove.get_points("xyb")] == pytest.approx([0.3, 0.0, 0.0])


def test_the_scale_square_measures_100_mm(written):
    doc = ezdxf.readfile(written / "sheets.dxf")
    (square,) = doc.modelspace().query('LWPOLYLINE[layer=="NOTE_SCALE_100MM"]')
    points = list(square.get_points("xy"))
    sides = [math.dist(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True)]
    assert sides == pytest.approx([100.0] * 4, abs=1e-9)


def test_the_part_lies_in_the_corner(written):
    doc = ezdxf.readfile(written / "alone.dxf")
    (outline,) = doc.modelspace().query('LWPOLYLINE[layer=="A_PROFILE_OUT"]')
    assert min(p[0] for p in outline.get_points("xy")) == pytest.approx(0.0, abs=1e-6)
    assert min(p[1] for p in outline.get_points("xy")) == pytest.approx(0.0, abs=1e-6)


def test_two_writes_are_equal_byte_for_byte_and_leave_ezdxf_as_it_was(written, tmp_path):
    made = cabinet([rich("a")])
    figure = part_figure(made, groups(made.parts)[0], (), ())
    before = ezdxf.options.write_fixed_meta_data_for_testing
    for name in ("one", "two"):
        dxf.write(figure, tmp_path / name)
    assert (tmp_path / "one").read_bytes() == (tmp_path / "two").read_bytes()
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_the_setting_comes_back_after_a_failure(tmp_path):
    made = cabinet([rich("a")])
    before = ezdxf.options.write_fixed_meta_data_for_testing
    with pytest.raises(OSError, match="missing"):
        dxf.write(part_figure(made, groups(made.parts)[0], (), ()), tmp_path / "missing" / "x.dxf")
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_names_outside_the_code_page_survive(tmp_path):
    text = "Rückwand 側板 Ø8"
    figure = Figure((100.0, 100.0), (), (Words(layer("label"), (1.0, 2.0), 5.0, text),))
    dxf.write(figure, tmp_path / "x.dxf")
    (read,) = ezdxf.readfile(tmp_path / "x.dxf").modelspace()
    # what the code page of R2000 lacks is written as \\U+nnnn, which readers of the format resolve
    assert decode_dxf_unicode(read.dxf.text) == text
    assert read.dxf.height == 5.0


CORNERS = st.lists(st.tuples(st.floats(20, 200), st.floats(0.0, 40.0)), min_size=3, max_size=9).map(
    lambda rows: rounded(
        [
            (
                300 + d * math.cos(2 * math.pi * k / len(rows)),
                300 + d * math.sin(2 * math.pi * k / len(rows)),
                r,
            )
            for k, (d, r) in enumerate(rows)
        ]
    )
)


@given(CORNERS, st.booleans(), st.floats(-99.0, 99.0))
@settings(derandomize=True, deadline=None, max_examples=25)
def test_any_rounded_outline_keeps_its_area_in_both_readers(tmp_path_factory, loop, turned, dx):
    path = tmp_path_factory.getbasetemp() / "any.dxf"
    place = Placement("p", 1, 600.0 + dx, 200.0, turned)
    ring = closed_mark(layer("profile_out"), place.loop(loop), "outer")
    figure = Figure((2000.0, 2000.0), (Piece("p", "P", (0.0, 0.0, 2000.0, 2000.0), (ring,)),), ())
    dxf.write(figure, path)
    (exact,) = areas(ezdxf.readfile(path))["A_PROFILE_OUT"]
    assert exact == pytest.approx(loop.area, abs=AREA)
    (chords,) = areas_by_gdal(path)["A_PROFILE_OUT"]
    assert chords == pytest.approx(loop.area, abs=AREA)


def test_pieces_are_written_as_they_stand(tmp_path):
    part = rich()
    made = piece(part, Placement("rich", 1, 50.0, 50.0, turned=False), (0.0, 0.0, 500.0, 500.0))
    dxf.write(Figure((500.0, 500.0), (made,), ()), tmp_path / "x.dxf")
    assert len(ezdxf.readfile(tmp_path / "x.dxf").modelspace()) == len(made.marks)

"""The starting cabinet, built and exported: every part of the model in the files, equal in area, hole by hole."""

from __future__ import annotations

import csv
import io
import itertools
import math
from collections import Counter

import ezdxf
import pytest
import shapely

from desk.cabinet.build import build
from desk.design.edit import put_choice
from desk.design.starting import starting_design
from desk.flat.export import compose, export
from desk.flat.groups import groups
from desk.flat.layout import lay_out
from desk.flat.operations import edge_holes, operations

from .reread import areas, areas_by_gdal, documents

AREA = 1e-3


@pytest.fixture(scope="module", params=["left", "right"])
def cabinet(request):
    return build(put_choice(starting_design(), "return.side", request.param))


@pytest.fixture(scope="module")
def folder(cabinet, tmp_path_factory):
    where = tmp_path_factory.mktemp("export")
    export(cabinet, where)
    return where


def expected(parts) -> dict[str, list[float]]:
    found: dict[str, list[float]] = {}
    for part in parts:
        for operation in operations(part):
            rows = [loop.area for loop in (*operation.loops, *operation.islands)]
            rows += [math.pi * (operation.diameter / 2) ** 2] * len(operation.points)
            if rows:
                found.setdefault(operation.layer.name, []).extend(rows)
    return {name: sorted(rows) for name, rows in found.items()}


def cuts(found) -> dict[str, list[float]]:
    """Areas of the lines on a part; a letter whose stroke ends where it began is no closed line."""
    return {
        k: sorted(map(abs, v))
        for k, v in found.items()
        if not k.startswith(("NOTE", "SHEET")) and "_VGROOVE_" not in k
    }


def close(wanted):
    return {k: pytest.approx(v, abs=AREA) for k, v in wanted.items()}


def by_stock(cabinet, folder):
    layout = lay_out(cabinet.parts, cabinet.shop)
    assert not layout.unplaced
    for path in sorted(folder.glob("sheets-*.dxf")):
        nominal = path.name.split("-")[1].removesuffix("mm")
        stock = next(s for s in cabinet.shop.stocks if f"{s.nominal:g}" == nominal)
        yield path, [p for p in cabinet.parts if p.stock == stock.id]


def test_sheets_hold_every_part_with_equal_areas_in_ezdxf_and_in_gdal(cabinet, folder):
    seen = []
    for path, parts in by_stock(cabinet, folder):
        seen += parts
        wanted = close(expected(parts))
        assert cuts(areas(ezdxf.readfile(path))) == wanted
        assert cuts(areas_by_gdal(path)) == wanted
    assert sorted(p.id for p in seen) == sorted(p.id for p in cabinet.parts)


def test_each_part_has_a_file_with_equal_areas(cabinet, folder):
    rows = list(csv.DictReader(io.StringIO((folder / "cut-list.csv").read_text(encoding="utf-8"))))
    found = groups(cabinet.parts, {p.id: edge_holes(cabinet, p) for p in cabinet.parts})
    assert sum(int(row["count"]) for row in rows) == len(cabinet.parts)
    for row, group in zip(rows, found, strict=True):
        doc = ezdxf.readfile(folder / row["drawing"])
        assert cuts(areas(doc)) == close(expected(group.parts[:1]))


def test_a_part_s_face_area_is_its_outline_less_its_openings(cabinet, folder):
    total = {p.stock: 0.0 for p in cabinet.parts}
    for part in cabinet.parts:
        total[part.stock] += part.area
    for path, parts in by_stock(cabinet, folder):
        found = cuts(areas(ezdxf.readfile(path)))
        face = sum(found["A_PROFILE_OUT"]) - sum(found.get("A_PROFILE_IN", []))
        assert face == pytest.approx(total[parts[0].stock], abs=AREA)


def test_holes_are_counted_by_diameter_and_depth(cabinet, folder):
    wanted = Counter(
        ("THRU" if d.depth is None else f"{d.depth:.2f}", round(d.diameter, 3))
        for p in cabinet.parts
        for d in p.drills
        if not d.by_hand
    )
    found: Counter[tuple[str, float]] = Counter()
    for path, _ in by_stock(cabinet, folder):
        for circle in ezdxf.readfile(path).modelspace().query("CIRCLE"):
            name = circle.dxf.layer
            if "_DRILL_" in name and not name.startswith("HAND"):
                depth = name.split("_")[-1].removeprefix("D").replace("P", ".")
                found[(depth, round(2 * circle.dxf.radius, 3))] += 1
    assert found == wanted


def test_every_file_is_plain_r2000_in_millimetres(folder):
    for name, doc in documents(folder).items():
        assert (doc.dxfversion, doc.header["$INSUNITS"]) == ("AC1015", 4), name
        for entity in doc.modelspace():
            assert entity.dxftype() in {"LWPOLYLINE", "CIRCLE", "TEXT"}
            assert not entity.dxf.hasattr("extrusion") or entity.dxf.extrusion.z > 0


def test_parts_on_a_sheet_keep_the_gap_all_cuts_counted(cabinet):
    by_id = cabinet.by_id
    for plan in lay_out(cabinet.parts, cabinet.shop).sheets:
        shapes = [
            shapely.union_all(
                [p.loop(x).polygon for x in (by_id[p.part].outline, *(k.loop for k in by_id[p.part].pockets))]
            )
            for p in plan.placements
        ]
        for one, other in itertools.combinations(shapes, 2):
            assert one.distance(other) >= cabinet.shop.part_gap - 1e-6


def test_the_grain_of_every_part_runs_along_its_sheet(cabinet):
    for plan in lay_out(cabinet.parts, cabinet.shop).sheets:
        if cabinet.shop.stock(plan.stock).grained:
            for place in plan.placements:
                start, end = place.point((0.0, 0.0)), place.point(cabinet.by_id[place.part].grain)
                assert abs(end[1] - start[1]) < 1e-9


def test_drawings_know_nothing_of_names_the_machine_could_choke_on(cabinet):
    layout = lay_out(cabinet.parts, cabinet.shop)
    assert all(name.isascii() and " " not in name for name in compose(cabinet, layout))


def test_two_builds_export_the_same_bytes(tmp_path):
    for name in ("one", "two"):
        export(build(starting_design()), tmp_path / name)
    one, two = ({p.name: p.read_bytes() for p in (tmp_path / name).iterdir()} for name in ("one", "two"))
    assert one == two


def test_the_return_on_the_other_side_cuts_mirror_images(tmp_path):
    panels = []
    for side in ("left", "right"):
        export(build(put_choice(starting_design(), "return.side", side)), tmp_path / side)
        doc = ezdxf.readfile(tmp_path / side / "part-outer-panel-return-side.dxf")
        (line,) = doc.modelspace().query('LWPOLYLINE[layer=="A_PROFILE_OUT"]')
        panels.append(shapely.Polygon([p[:2] for p in line.get_points("xy")]))
    mirrored = shapely.affinity.scale(panels[0], -1.0, 1.0, origin="center")
    assert panels[0].symmetric_difference(panels[1]).area > 1000.0
    assert mirrored.symmetric_difference(panels[1]).area < 0.01

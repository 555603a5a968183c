"""The export as a whole: what is written, what is kept, what is refused, and that a failure changes nothing."""

from __future__ import annotations

import csv
import hashlib
import io
import os
import subprocess
import sys

import ezdxf
import pytest
from msgspec.structs import replace

from desk.cabinet.model import Drill
from desk.flat import dxf
from desk.flat.earlier import OccupiedError
from desk.flat.export import export, slug
from desk.flat.lint import ExportError
from desk.shapes.loop import rect

from .samples import MDF, PLY, cabinet, plain, rich

RIBS = [replace(plain(f"rib{k}", 80.0, 40.0), label=f"Kicker rib {k}") for k in range(1, 4)]
MADE = cabinet([rich(), *RIBS, plain("frame", 120.0, 200.0, MDF)])
NAMES = {
    "sheets-12mm-birch-plywood.dxf",
    "sheets-6mm-mdf.dxf",
    "part-rich.dxf",
    "part-rich-face-b.dxf",
    "part-kicker-rib-x3.dxf",
    "part-frame.dxf",
    "cut-list.csv",
    "hardware-list.csv",
    "notes.txt",
    "contents.csv",
}
HOLE_AT_EDGE = cabinet([plain("cleat", 80.0, 40.0, drills=(Drill((80.0, 20.0), 6.0, 5.0, "dowel", "d"),))])


def state(folder):
    return {p.name: p.read_bytes() for p in folder.iterdir()}


def test_what_is_written(tmp_path):
    folder = tmp_path / "new" / "folder"
    written = export(MADE, folder)
    assert {p.name for p in written} == NAMES == {p.name for p in folder.iterdir()}
    assert all(p.parent == folder and p.name.isascii() and p.stat().st_size > 0 for p in written)


def test_importing_the_export_costs_no_drawing_library():
    code = (
        "import desk.flat.export, sys; print(*(m for m in ('ezdxf', 'PySide6', 'scipy') if m in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []


def test_twice_is_the_same_byte_for_byte(tmp_path):
    export(MADE, tmp_path / "one", ("w",))
    export(MADE, tmp_path / "two", ("w",))
    assert state(tmp_path / "one") == state(tmp_path / "two")


def test_a_second_export_replaces_the_first_and_leaves_other_files(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    (tmp_path / "part-old.dxf").write_text("somebody else's")
    export(MADE, tmp_path)
    first = state(tmp_path)
    (tmp_path / "part-frame.dxf").unlink()
    export(MADE, tmp_path)
    assert state(tmp_path) == first
    assert first["mine.txt"] == b"mine"
    assert first["part-old.dxf"] == b"somebody else's"


def test_what_is_no_longer_made_goes_away_unless_it_was_changed(tmp_path):
    export(MADE, tmp_path)
    (tmp_path / "part-frame.dxf").write_text("changed by hand")
    export(cabinet([rich(), *RIBS[:2]]), tmp_path)
    names = set(state(tmp_path))
    assert "part-kicker-rib-x2.dxf" in names
    assert "part-kicker-rib-x3.dxf" not in names
    assert "sheets-6mm-mdf.dxf" not in names
    assert (tmp_path / "part-frame.dxf").read_text() == "changed by hand"


def test_a_contents_list_that_points_elsewhere_deletes_nothing(tmp_path):
    outside = tmp_path / "outside.txt"
    outside.write_text("keep")
    folder = tmp_path / "out"
    folder.mkdir()
    digest = hashlib.sha256(b"keep").hexdigest()
    (folder / "contents.csv").write_text(
        f"file,contents,sha256\r\n../outside.txt,x,{digest}\r\n{outside},x,{digest}\r\n"
    )
    export(MADE, folder)
    assert outside.read_text() == "keep"


@pytest.mark.parametrize("junk", [b"\xff\xfe\x00", b"", b"no,such,columns\r\n1,2,3\r\n"])
def test_a_contents_list_of_another_kind_is_kept_until_the_person_says_so(tmp_path, junk):
    (tmp_path / "contents.csv").write_bytes(junk)
    with pytest.raises(OccupiedError, match=r"contents\.csv"):
        export(MADE, tmp_path)
    assert state(tmp_path) == {"contents.csv": junk}
    assert export(MADE, tmp_path, replacing=True)


OTHER = replace(cabinet([plain("frame", 90.0, 60.0)]), name="Another")


def test_another_designs_flat_parts_are_kept_until_the_person_says_so(tmp_path):
    export(MADE, tmp_path)
    first = state(tmp_path)
    with pytest.raises(OccupiedError, match=r"the design 'Test piece'.*'Another' would replace") as refusal:
        export(OTHER, tmp_path)
    assert str(tmp_path) in str(refusal.value)
    assert state(tmp_path) == first
    export(OTHER, tmp_path, replacing=True)
    assert "part-rich.dxf" not in state(tmp_path)
    with pytest.raises(OccupiedError, match="the design 'Another'"):
        export(MADE, tmp_path)


def test_a_contents_list_without_designs_is_known_by_the_notes(tmp_path):
    export(MADE, tmp_path)
    rows = list(csv.reader(io.StringIO((tmp_path / "contents.csv").read_text(encoding="utf-8"))))
    (tmp_path / "contents.csv").write_text("".join(f"{r[0]},x,{r[2]}\n" for r in rows), encoding="utf-8")
    with pytest.raises(OccupiedError, match="the design 'Test piece'"):
        export(OTHER, tmp_path)
    export(MADE, tmp_path)
    (tmp_path / "contents.csv").write_text("".join(f"{r[0]},x,{r[2]}\n" for r in rows), encoding="utf-8")
    (tmp_path / "notes.txt").unlink()
    with pytest.raises(OccupiedError, match="not named"):
        export(MADE, tmp_path)


@pytest.mark.parametrize("name", ["notes.txt", "part-frame.dxf"])
def test_a_file_of_the_persons_own_is_kept_until_the_person_says_so(tmp_path, name):
    (tmp_path / name).write_text("mine")
    with pytest.raises(OccupiedError, match=f"no export wrote.*{name}"):
        export(MADE, tmp_path)
    assert state(tmp_path) == {name: b"mine"}
    export(MADE, tmp_path, replacing=True)
    (tmp_path / name).write_text("changed since")
    with pytest.raises(OccupiedError, match=f"changed since.*{name}"):
        export(MADE, tmp_path)
    assert (tmp_path / name).read_text() == "changed since"


def test_contents_lists_every_other_file_with_its_digest(tmp_path):
    export(MADE, tmp_path)
    rows = list(csv.DictReader(io.StringIO((tmp_path / "contents.csv").read_text(encoding="utf-8"))))
    assert {row["file"] for row in rows} == NAMES - {"contents.csv"}
    for row in rows:
        assert hashlib.sha256((tmp_path / row["file"]).read_bytes()).hexdigest() == row["sha256"]


def test_warnings_stand_in_every_file(tmp_path):
    warning = "Hole 2 is smaller than the ball."
    for path in export(MADE, tmp_path, (warning,)):
        if path.suffix == ".dxf":
            texts = [
                t.dxf.text for t in ezdxf.readfile(path).modelspace().query('TEXT[layer=="NOTE_WARNING"]')
            ]
            assert texts[0] == "WARNING"
            assert warning in " ".join(texts)
        elif path.name != "contents.csv":
            assert warning in " ".join(path.read_text(encoding="utf-8").split())
    assert (tmp_path / "cut-list.csv").read_text(encoding="utf-8").startswith(f"# WARNING: {warning}")


def test_muted_findings_stand_in_every_file_and_are_no_warnings(tmp_path):
    told = "Web in Rich (conflict): 2.5 mm. Muted because: it is glued to the frame"
    for path in export(MADE, tmp_path, (), (told,)):
        if path.suffix == ".dxf":
            found = ezdxf.readfile(path).modelspace().query('TEXT[layer=="NOTE_WARNING"]')
            texts = [t.dxf.text for t in found]
            assert texts[0] == "MUTED"
            assert "WARNING" not in texts
            assert told in " ".join(texts).replace("- Web", "Web")
        elif path.name != "contents.csv":
            assert told in " ".join(path.read_text(encoding="utf-8").split())
    assert (tmp_path / "cut-list.csv").read_text(encoding="utf-8").startswith(f"# MUTED: {told}")


def test_without_warnings_no_drawing_has_any(tmp_path):
    for path in export(MADE, tmp_path):
        if path.suffix == ".dxf":
            assert "NOTE_WARNING" not in ezdxf.readfile(path).layers


def test_a_part_that_fits_no_sheet_is_in_its_own_file_and_told_of(tmp_path):
    export(cabinet([plain("plank", 3000.0, 100.0), rich()]), tmp_path)
    assert (tmp_path / "part-plank.dxf").exists()
    assert "Plank needs 3000.0 x 100.0 mm" in " ".join((tmp_path / "notes.txt").read_text().split())
    assert (tmp_path / "cut-list.csv").read_text().startswith("# WARNING: Plank needs")


def test_a_doubtful_drawing_is_refused_and_nothing_changes(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(ExportError, match=r"sheets-12mm-birch-plywood\.dxf was not written: Cleat, near"):
        export(HOLE_AT_EDGE, tmp_path)
    assert state(tmp_path) == {"mine.txt": b"mine"}


def test_despite_warnings_it_is_written_and_says_so(tmp_path):
    export(HOLE_AT_EDGE, tmp_path, ("A dowel is too near the edge.",))
    texts = ezdxf.readfile(tmp_path / "part-cleat.dxf").modelspace().query('TEXT[layer=="NOTE_WARNING"]')
    assert "reaches the part's edge or lies outside it" in " ".join(t.dxf.text for t in texts)


def test_a_broken_drawing_is_refused_even_so(tmp_path):
    bad = plain("cleat", 80.0, 40.0, cutouts=())
    bad = replace(bad, outline=rect(0, 0, 80, 0.001))
    folder = tmp_path / "out"
    with pytest.raises(ExportError, match="Cleat"):
        export(cabinet([bad]), folder, ("warned",))
    assert not folder.exists()


def test_a_folder_that_cannot_be_made(tmp_path):
    (tmp_path / "file").write_text("x")
    for folder in (tmp_path / "file", tmp_path / "file" / "below"):
        with pytest.raises(ExportError, match=r"cannot make the folder .*choose another folder"):
            export(MADE, folder)
    assert (tmp_path / "file").read_text() == "x"


def test_a_folder_in_the_place_of_a_file(tmp_path):
    (tmp_path / "notes.txt").mkdir()
    with pytest.raises(ExportError, match="is a folder"):
        export(MADE, tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["notes.txt"]


def test_a_failure_while_writing_changes_nothing(tmp_path, monkeypatch):
    export(MADE, tmp_path)
    before = state(tmp_path)
    real, calls = dxf.write, []

    def write(figure, path):
        calls.append(path)
        if len(calls) == 3:
            raise OSError(28, "No space left on device")
        real(figure, path)

    monkeypatch.setattr(dxf, "write", write)
    with pytest.raises(ExportError, match="No space left on device; choose another folder"):
        export(cabinet([rich()]), tmp_path)
    assert state(tmp_path) == before


@pytest.mark.parametrize("at", [1, 5, 12, 17])
def test_a_failure_while_moving_puts_everything_back(tmp_path, monkeypatch, at):
    export(MADE, tmp_path)
    before = state(tmp_path)
    real, calls = os.replace, []

    def move(source, target):
        calls.append(source)
        if len(calls) == at:
            raise PermissionError(13, "Permission denied")
        real(source, target)

    monkeypatch.setattr("desk.flat.export.os.replace", move)
    with pytest.raises(ExportError, match="Permission denied"):
        export(cabinet([rich(), *RIBS[:2], plain("other", 50.0, 50.0)]), tmp_path, ("changed",))
    assert len(calls) >= at
    assert state(tmp_path) == before


def test_equal_labels_and_stocks_get_names_of_their_own(tmp_path):
    twin = replace(PLY, id="s12b")
    parts = [
        replace(plain("a", 50.0, 40.0), label="Side"),
        replace(plain("b", 60.0, 40.0), label="SIDE!"),
        replace(plain("c", 70.0, 40.0, twin), label="側板"),
    ]
    names = {p.name for p in export(cabinet(parts, PLY, twin), tmp_path)}
    assert {
        "part-side.dxf",
        "part-side-2.dxf",
        "part-unnamed.dxf",
        "sheets-12mm-birch-plywood.dxf",
        "sheets-12mm-birch-plywood-2.dxf",
    } <= names


def test_the_cut_list_names_the_drawings(tmp_path):
    names = {p.name for p in export(MADE, tmp_path)}
    rows = list(csv.DictReader(io.StringIO((tmp_path / "cut-list.csv").read_text(encoding="utf-8"))))
    assert {row["drawing"] for row in rows} == {
        n for n in names if n.startswith("part-") and "face-b" not in n
    }


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Kicker rib", "kicker-rib"),
        ("Rückwand", "ruckwand"),
        ("../../etc", "etc"),
        ("", "unnamed"),
        ("側板", "unnamed"),
    ],
)
def test_slug(text, name):
    assert slug(text) == name


def test_a_very_long_label_still_makes_a_file(tmp_path):
    part = replace(plain("p", 50.0, 40.0), label="x" * 400)
    assert export(cabinet([part]), tmp_path)

"""The command line: every command, its exit codes, what goes to which stream, and input that cannot be used."""

from __future__ import annotations

import csv
import io
import json
import os
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from desk import console
from desk.cli import main
from desk.design import edit, table
from desk.design.file import load, save
from desk.evaluate import evaluate

HERE = Path(__file__).resolve().parent.parent
FINDING_KEYS = {
    "check",
    "key",
    "muted",
    "status",
    "title",
    "parts",
    "measured",
    "needed",
    "margin",
    "unit",
    "because",
    "source",
    "place",
    "remedies",
}
DIMENSION_KEYS = {"id", "label", "value", "unit", "low", "high", "step", "group", "views"}


Refused = Callable[..., str]


def told(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    out, err = capsys.readouterr()
    assert err == ""
    value: dict[str, Any] = json.loads(out)
    return value


# --- check


def test_check_of_a_sound_design(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(sound)]) == 0
    out, err = capsys.readouterr()
    assert out.startswith("Marbles, 16 mm: 0 conflicts, ")
    assert "✓" in out
    assert err == ""


def test_check_of_a_faulty_design_says_what_to_change(
    faulty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(faulty)]) == 1
    out = capsys.readouterr().out
    evaluation = evaluate(load(faulty))
    first = evaluation.findings[0]
    assert first.status == "conflict"
    block = out.split("\n\n")[1]
    assert block.startswith(f"⚑ 1  conflict: {first.title}")
    for word in ("measured ", "needed ", "margin −", " mm", "why: ", "change: ", "source: "):
        assert word in block
    assert first.remedies[0].address in block
    assert all(len(line) <= console.WIDEST for line in out.splitlines())


def test_check_in_inches(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    save(edit.set_unit(load(sound), "in"), sound)
    main(["check", str(sound), "--set", "joint.screw_header=40mm"])
    block = capsys.readouterr().out.split("\n\n")[1]
    assert " in, needed " in block


def test_check_json_is_the_contract(faulty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(faulty), "--json"]) == 1
    value = told(capsys)
    evaluation = evaluate(load(faulty)).played()
    assert set(value) == {"design", "summary", "findings", "idle_mutes"}
    assert value["design"] == evaluation.design.name
    assert value["summary"] == {s: evaluation.count(s) for s in ("conflict", "tight", "clear", "muted")}
    assert len(value["findings"]) == len(evaluation.findings) == sum(value["summary"].values())
    assert {f["status"] for f in value["findings"]} >= {"conflict", "clear"}
    for said, finding in zip(value["findings"], evaluation.findings, strict=True):
        assert set(said) == FINDING_KEYS
        assert said["check"] == finding.check
        assert said["measured"] == (
            None if finding.measured is None else pytest.approx(finding.measured, abs=1e-6)
        )
        assert set(said["source"]) == {"text", "flag"}
        assert all(set(r) == {"address", "value", "text"} for r in said["remedies"])


def test_check_json_places_are_in_the_cabinet(faulty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(faulty), "--json"])
    cabinet = evaluate(load(faulty)).cabinet
    lengths, high = cabinet.marks.lengths, cabinet.by_id["panel-return"].outline.bounds[3]
    places = [p for f in told(capsys)["findings"] for p in f["place"]]
    assert places
    for place in places:
        assert place["kind"] in ("area", "line", "point")
        assert len(place["points"]) >= {"area": 3, "line": 2, "point": 1}[place["kind"]]
        for x, y, z in place["points"]:
            assert -60.0 <= x <= lengths["length"] + 60.0
            assert -10.0 <= y <= lengths["width"] + 10.0
            assert -10.0 <= z <= high + 10.0


def test_set_tries_values_and_leaves_the_file(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = sound.read_bytes()
    words = ["check", str(sound), "--json"]
    assert main([*words, "--set", "joint.screw_header=40"]) == 1
    in_mm = told(capsys)
    assert main([*words, "--set", "joint.screw_header = 1.5748031496in"]) == 1
    assert told(capsys)["summary"] == in_mm["summary"]
    assert main([*words, "--set", "joint.screw_header=40", "--set", "joint.screw_header=20"]) == 0
    told(capsys)
    assert main([*words, "--set", "bits.1.cutting_length=6"]) == 1
    assert "cut-depth" in {f["check"] for f in told(capsys)["findings"] if f["status"] == "conflict"}
    assert sound.read_bytes() == before


def test_set_takes_choices(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(sound), "--set", "return.side=right"]) == 0
    assert "return.side" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("setting", "said"),
    [
        ("behind.inlet_hight=9", "did you mean behind.inlet_height"),
        ("nonsense=9", "lanewright dims"),
        ("targets.99.across=9", "there is no target 99"),
        ("ball.diameter", "write ID=VALUE"),
        ("ball.diameter=", "write ID=VALUE"),
        ("=9", "write ID=VALUE"),
        ("ball.diameter=thick", "does not start with a number"),
        ("ball.diameter=1/2", "1/2in"),
        ("ball.diameter=nan", "does not start with a number"),
        ("ball.diameter=9ft", "give inches"),
        ("ball.diameter=900", "must lie from 5 mm to 60 mm"),
        ("ball.count=2.5", "not a whole number"),
        ("return.side=up", "there are: left, right"),
    ],
)
def test_settings_that_cannot_be_used(setting: str, said: str, sound: Path, refused: Refused) -> None:
    message = refused("check", str(sound), "--set", setting)
    assert f"--set {setting}: " in message
    assert said in message


def test_a_locked_size_cannot_be_set(sound: Path, refused: Refused) -> None:
    save(edit.set_locked(load(sound), "lane.width"), sound)
    message = refused("check", str(sound), "--set", "lane.width=100")
    assert "take lane.width out of 'locked'" in message


# --- dims


def test_dims_json_lists_every_number(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["dims", str(sound), "--json"]) == 0
    value = told(capsys)
    design = load(sound)
    assert value["design"] == design.name
    rows = value["dimensions"]
    assert [r["id"] for r in rows] == list(edit.addresses(design))
    for row in rows:
        assert set(row) == DIMENSION_KEYS
        assert row["low"] <= row["value"] <= row["high"]
        assert row["unit"] in ("mm", "deg", "m/s", "")
        assert row["value"] == pytest.approx(edit.get(design, row["id"]))
        assert row["views"] == list(table.spec(row["id"]).views)


def test_dims_ids_can_be_set(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["dims", str(sound), "--json"])
    rows = told(capsys)["dimensions"]
    design = load(sound)
    units = {"mm": "mm", "deg": "deg", "m/s": "m/s", "": ""}
    for row in rows:
        edit.type_in(design, row["id"], f"{row['value']:.6f}".rstrip("0").rstrip(".") + units[row["unit"]])


def test_dims_text_in_the_design_s_unit(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    save(edit.type_in(load(sound), "ball.diameter", "5/8in"), sound)
    assert main(["dims", str(sound)]) == 0
    out = capsys.readouterr().out
    line = next(row for row in out.splitlines() if row.split()[:1] == ["ball.diameter"])
    assert "5/8in" in line
    assert "5 to 60" in line
    assert line.endswith("Ball diameter")
    assert "\nTarget board\n" in out


# --- export


def test_export_writes_and_lists_the_files(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", str(sound), "--to", str(tmp_path / "out")]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert sorted(map(Path, out.splitlines())) == sorted((tmp_path / "out").iterdir())
    names = {p.name for p in (tmp_path / "out").iterdir()}
    assert {"cut-list.csv", "hardware-list.csv", "notes.txt"} <= names
    assert any(name.startswith("sheets-") and name.endswith(".dxf") for name in names)


def test_export_refuses_while_conflicts_stand(
    faulty: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", str(faulty), "--to", str(tmp_path / "out")]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    first = evaluate(load(faulty)).findings[0]
    assert first.title in err
    assert "--despite-conflicts" in err
    assert not (tmp_path / "out").exists()


def test_export_despite_conflicts_says_so_inside(
    faulty: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    assert main(["export", str(faulty), "--to", str(folder), "--despite-conflicts"]) == 0
    first = evaluate(load(faulty)).findings[0]
    assert first.title in (folder / "notes.txt").read_text(encoding="utf-8")
    rows = list(csv.reader(io.StringIO((folder / "cut-list.csv").read_text(encoding="utf-8"))))
    assert any(first.title in cell for row in rows for cell in row)
    for drawing in folder.glob("sheets-*.dxf"):
        assert "WARNING" in drawing.read_text(encoding="utf-8").upper()
    assert capsys.readouterr().err == ""


def test_export_onto_a_file_is_refused(sound: Path, refused: Refused) -> None:
    before = sound.read_bytes()
    message = refused("export", str(sound), "--to", str(sound))
    assert "nothing was exported" in message
    assert "choose another folder" in message
    assert sound.read_bytes() == before


def test_export_keeps_another_designs_flat_parts(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], refused: Refused
) -> None:
    folder, other = tmp_path / "out", tmp_path / "other.lane"
    save(edit.rename(load(sound), "Another one"), other)
    assert main(["export", str(sound), "--to", str(folder)]) == 0
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    capsys.readouterr()
    message = refused("export", str(other), "--to", str(folder))
    assert all(word in message for word in (str(folder), "Another one", load(sound).name, "--replace"))
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before
    assert main(["export", str(sound), "--to", str(folder)]) == 0
    assert main(["export", str(other), "--to", str(folder), "--replace"]) == 0
    assert "Another one" in (folder / "notes.txt").read_text(encoding="utf-8")
    capsys.readouterr()


# --- snapshot


def test_svg_picture(faulty: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "picture.SVG"
    assert main(["snapshot", str(faulty), "--to", str(target)]) == 0
    assert capsys.readouterr().out == f"{target}\n"
    words = [t.text for t in ET.parse(target).iter("{http://www.w3.org/2000/svg}text")]
    assert "Section through the lane" in words
    assert "Marbles, 16 mm" in words


def test_png_picture_shows_the_same_page(sound: Path, tmp_path: Path, qapp: object) -> None:
    from PySide6.QtGui import QImage

    target = tmp_path / "picture.png"
    assert main(["snapshot", str(sound), "--to", str(target)]) == 0
    image = QImage(str(target))
    assert not image.isNull()
    svg = tmp_path / "picture.svg"
    main(["snapshot", str(sound), "--to", str(svg)])
    box = [float(v) for v in ET.parse(svg).getroot().attrib["viewBox"].split()]
    assert image.width() / image.height() == pytest.approx(box[2] / box[3], rel=1e-3)


@pytest.mark.parametrize("name", ["picture.jpg", "picture", "picture.svg.gz"])
def test_other_pictures_are_refused(name: str, sound: Path, tmp_path: Path, refused: Refused) -> None:
    assert "end the name in one of these" in refused("snapshot", str(sound), "--to", str(tmp_path / name))
    assert not (tmp_path / name).exists()


def test_a_picture_into_no_folder_is_refused(sound: Path, tmp_path: Path, refused: Refused) -> None:
    target = tmp_path / "none" / "picture.svg"
    assert "choose another place" in refused("snapshot", str(sound), "--to", str(target))


def test_a_picture_is_written_whole(
    sound: Path, tmp_path: Path, refused: Refused, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "picture.svg"
    target.write_text("before", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    assert "No space left" in refused("snapshot", str(sound), "--to", str(target))
    assert target.read_text(encoding="utf-8") == "before"
    assert not list(tmp_path.glob(".*.part"))


# --- size


@pytest.mark.parametrize(
    ("ball", "mm", "unit"),
    [("25", 25.0, "mm"), ("12,5 mm", 12.5, "mm"), ("1/2in", 12.7, "in"), ('5/8"', 15.875, "in")],
)
def test_size_proportions_a_design(ball: str, mm: float, unit: str, tmp_path: Path) -> None:
    target = tmp_path / "made.lane"
    status = main(["size", "--ball", ball, "--balls", "5", "--to", str(target)])
    design = load(target)
    assert status == (1 if evaluate(design).count("conflict") else 0)
    assert design.value("ball.diameter") == pytest.approx(mm)
    assert design.value("ball.count") == 5
    assert design.unit == unit
    assert design.name == "made"
    assert edit.shown(design, "ball.diameter") == (ball if unit == "in" else f"{mm:g} mm")


def test_size_does_not_write_over_another_design(sound: Path, tmp_path: Path, refused: Refused) -> None:
    before = sound.read_bytes()
    assert "choose another name" in refused("size", "--ball", "25", "--to", str(sound))
    assert sound.read_bytes() == before
    target = str(tmp_path / "made.lane")
    first = main(["size", "--ball", "25", "--to", target])
    assert first == main(["size", "--ball", "25", "--to", target])


@pytest.mark.parametrize("ball", ["16", "50"])
def test_size_tells_by_its_exit_status_that_conflicts_are_left(ball: str, tmp_path: Path) -> None:
    """As check does of the file it writes: the starting design's own ball leaves none, a fist-sized one does."""
    target = str(tmp_path / "made.lane")
    status = main(["size", "--ball", ball, "--to", target])
    assert status == main(["check", target]) == (0 if ball == "16" else 1)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--ball", "900"], "must lie from 5 mm to 60 mm"),
        (["--ball", "big"], "--ball big: "),
        (["--ball", "25", "--balls", "400"], "must lie from 1 to 40"),
    ],
)
def test_sizes_that_cannot_be(words: list[str], said: str, tmp_path: Path, refused: Refused) -> None:
    target = tmp_path / "made.lane"
    assert said in refused("size", *words, "--to", str(target))
    assert not target.exists()


def test_size_names_the_conflicts_that_are_left(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "made.lane"
    assert main(["size", "--ball", "20", "--balls", "5", "--to", str(target)]) == 1
    titles = {f.title for f in evaluate(load(target)).findings if f.status == "conflict"}
    err = capsys.readouterr().err
    assert titles
    assert all(title in err for title in titles)
    assert "do not grow" not in err


@pytest.mark.parametrize("name", ["made.txt", "made", "made.lane.bak"])
def test_size_writes_designs_under_no_other_ending(name: str, tmp_path: Path, refused: Refused) -> None:
    assert "end the name in .lane" in refused("size", "--ball", "16", "--to", str(tmp_path / name))
    assert not any(tmp_path.iterdir())


def test_size_into_no_folder_is_refused(tmp_path: Path, refused: Refused) -> None:
    assert "cannot be saved" in refused("size", "--ball", "25", "--to", str(tmp_path / "none" / "made.lane"))

"""The design's file, both ways: what is written, what is refused and in which words; saving is atomic."""

from __future__ import annotations

import copy
import json
import os
import stat
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.design import edit, file
from desk.design.file import DesignFileError
from desk.design.model import Design
from desk.design.starting import starting_design

TEXT = file.dumps(starting_design())
LINE_END = b"\n"


@pytest.fixture
def document() -> dict[str, Any]:
    return json.loads(TEXT)


def outcome(data: bytes) -> Design | DesignFileError:
    try:
        return file.loads(data)
    except DesignFileError as error:
        return error


def problems(data: bytes | dict[str, Any]) -> list[str]:
    with pytest.raises(DesignFileError) as caught:
        file.loads(data if isinstance(data, bytes) else json.dumps(data).encode())
    return [str(p) for p in caught.value.problems]


# One list of (what is done to the starting design, what its file then says), read both ways.
TOLD = [
    (lambda d: d, '"schema": 1,'),
    (lambda d: d, '"format": "lanewright design",'),
    (lambda d: edit.put(d, "ball.diameter", 14.25), '"ball.diameter": 14.25,'),
    (lambda d: edit.type_in(d, "ball.diameter", "5/8in"), '"typed": {\n    "ball.diameter": "5/8in"\n  },'),
    (lambda d: edit.set_unit(d, "in"), '"unit": "in",'),
    (lambda d: edit.set_locked(d, "targets.2.up"), '"locked": [\n    "targets.2.up"\n  ],'),
    (lambda d: edit.put_choice(d, "return.side", "right"), '"return.side": "right",'),
    (lambda d: edit.rename(d, 'Förster "Nuß"'), '"name": "Förster \\"Nuß\\"",'),
    (lambda d: edit.put_text(d, "notes", "a\nb\tc"), '"notes": "a\\nb\\tc",'),
    (lambda d: edit.put(d, "targets.1.score", 75), '"score": 75,'),
    (lambda d: edit.put(d, "bits.3.angle", 60.0), '"angle": 60.0,'),
]


@pytest.mark.parametrize(("change", "told"), TOLD)
def test_a_design_is_written_and_read_back(change, told):
    design = change(starting_design())
    data = file.dumps(design)
    assert told in data.decode()
    assert file.loads(data) == design
    assert file.dumps(file.loads(data)) == data


def test_the_text_is_sorted_indented_and_ends_with_a_line_end(document):
    assert TEXT.decode() == json.dumps(document, indent=2, sort_keys=True, ensure_ascii=False) + "\n"
    assert set(document["values"]) == set(starting_design().values)


def test_what_a_hand_written_file_leaves_out_is_filled_in(document):
    del document["values"]["lane.width"], document["choices"]["return.side"], document["notes"]
    document["values"]["ball.diameter"] = 14
    design = file.loads(b"\xef\xbb\xbf" + json.dumps(document).encode())
    assert design == edit.put(starting_design(), "ball.diameter", 14.0)
    assert isinstance(design.value("ball.diameter"), float)


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", ": the file is empty"),
        (b" \n\t", ": the file is empty"),
        (b"hello", "$: the file is not JSON: invalid character, line 1, column 1"),
        (b'{\n  "a": 1,,\n}', "$: the file is not JSON: object keys must be strings, line 2, column 10"),
        (b"{}x", "$: the file is not JSON: trailing characters, line 1, column 3"),
        (
            TEXT[:500],
            f"$: the file ends too early, in line {TEXT[:500].count(LINE_END) + 1}; a part of it is missing",
        ),
        (b"[1, 2]", "$: the file is JSON, but not a design: an object { } was expected"),
        (b"17", "$: the file is JSON, but not a design: an object { } was expected"),
        (b"[" * 100_000, "$: the file is nested too deeply to be a design"),
        (TEXT.replace(b": 16.0", b": NaN"), "$: the file is not JSON: invalid character, line"),
        (TEXT.replace(b": 16.0", b": Infinity"), "$: the file is not JSON: invalid character, line"),
        (TEXT.replace(b": 16.0", b": 1e999"), "$: a number is too large to be held"),
        (b'"\xff"', "$: the file is not text in UTF-8"),
        (TEXT.decode().encode("utf-16"), "$: the file is not JSON: invalid character, line 1, column 1"),
        (
            TEXT.replace(b"TWELVE OAKS", b"\\ud800"),
            "$: the file is not JSON: unexpected end of escaped utf-16",
        ),
        (b"{}" + b" " * file.LARGEST, ": it is larger than 4 MB and no design of this program"),
        (b"\x00\x01\x02", "$: the file is not JSON: invalid character, line 1, column 1"),
        (b'{"n": 1' + b"0" * 5000 + b"}", "$: a number is too large to be held"),
        (b"{}", "$.format: the file is not a Lanewright design: format must be 'lanewright design'"),
    ],
)
def test_what_is_no_design_file_is_told_apart(data, told):
    found = problems(data)
    assert len(found) == 1
    assert found[0].startswith(told)


@pytest.mark.parametrize(
    ("place", "value", "told"),
    [
        ("format", "lanewright drawing", "$.format: the file is not a Lanewright design"),
        (
            "schema",
            2,
            "$.schema: the file has schema 2, this program knows up to 1; open it with a newer Lanewright",
        ),
        ("schema", 0, "$.schema: schema 0 is older than this program can read"),
        ("schema", "1", "$.schema: schema must be a whole number"),
        ("schema", True, "$.schema: schema must be a whole number"),
        ("schema", 1.5, "$.schema: schema must be a whole number"),
        ("schema", -1, "$.schema: schema must be a whole number"),
        ("colour", "red", "$.colour: there is no field 'colour' in a design"),
        ("name", 3, "$.name: Expected 'str', got 'int'"),
        ("name", "", "$.name: name is empty"),
        ("name", "a\u0007", "$.name: name holds a character that cannot be printed"),
        ("notes", "x" * 20_001, "$.notes: notes has 20001 characters; at most 20000 are kept"),
        ("unit", "cm", "$.unit: Invalid enum value 'cm'"),
        ("values", [], "$.values: an object { } was expected, not a list"),
        ("values/ball.diameter", "16", "$.values.ball.diameter: a number was expected, not the text '16'"),
        ("values/ball.diameter", None, "$.values.ball.diameter: a number was expected, not null"),
        ("values/ball.diameter", True, "$.values.ball.diameter: a number was expected, not true"),
        ("values/ball.diameter", 10**400, "$.values.ball.diameter: the number is too large"),
        (
            "values/ball.diameter",
            3,
            "$.values.ball.diameter: Ball diameter must lie from 5 mm to 60 mm, not 3 mm",
        ),
        ("values/ball.count", 2.5, "$.values.ball.count: Balls in the box must be a whole number, not 2.5"),
        ("values/ball.size", 16, "$.values.ball.size: there is no dimension 'ball.size'"),
        (
            "choices/stock.wall",
            "s10",
            "$.choices.stock.wall: there is no option 's10'; there are: s9, s12, s18",
        ),
        (
            "choices/return.side",
            "top",
            "$.choices.return.side: there is no option 'top'; there are: left, right",
        ),
        ("choices/return.way", "left", "$.choices.return.way: there is no choice 'return.way'"),
        ("choices/return.side", 1, "$.choices.return.side: a text was expected, not a number"),
        (
            "typed/ball.diameter",
            "5/8in",
            "$.typed.ball.diameter: the text '5/8in' is 15.875, but the value is 16",
        ),
        ("typed/ball.diameter", "wide", "$.typed.ball.diameter: 'wide' does not start with a number"),
        ("typed/ball.size", "16", "$.typed.ball.size: there is no dimension 'ball.size'"),
        ("typed/targets.9.up", "16", "$.typed.targets.9.up: there is no target 9"),
        ("locked", ["ball.size"], "$.locked[0]: there is no dimension 'ball.size'"),
        ("locked", ["lane.width", "lane.width"], "$.locked[1]: 'lane.width' is listed twice"),
        ("locked", "lane.width", "$.locked: Expected 'array', got 'str'"),
        ("locked", [3], "$.locked[0]: Expected 'str', got 'int'"),
        ("targets", {}, "$.targets: a list [ ] was expected, not an object"),
        ("targets/0/hole", "20", "$.targets[0].hole: Expected 'float', got 'str'"),
        ("targets/0/score", 1.5, "$.targets[0].score: Expected 'int', got 'float'"),
        ("targets/0/kind", "square", "$.targets[0].kind: Invalid enum value 'square'"),
        ("targets/0/colour", "red", "$.targets[0]: Object contains unknown field 'colour'"),
        (
            "targets/1/hole",
            0.5,
            "$.targets[1].hole: Hole diameter (target 2) must lie from 2 mm to 150 mm, not 0.5 mm",
        ),
        ("silhouette", [], "$.silhouette: a silhouette needs at least 2 points"),
        ("silhouette/0/origin", "top", "$.silhouette[0].origin: Invalid enum value 'top'"),
        ("stocks/1/id", "S9", "$.stocks[1].id: id 'S9' is used twice; 'Birch plywood 9 mm' has it already"),
        ("stocks/0/label", " ", "$.stocks[0].label: label is empty"),
        ("bits/1/id", "b6", "$.bits[1].id: id 'b6' is used twice; '6 mm straight' has it already"),
        ("bits/0/id", "b 6", "$.bits[0].id: id 'b 6' must be 1 to 24 letters, digits"),
    ],
)
def test_each_fault_is_told_with_its_place(document, place, value, told):
    at: Any = document
    *path, last = place.split("/")
    for step in path:
        at = at[int(step) if isinstance(at, list) else step]
    at[int(last) if isinstance(at, list) else last] = value
    found = problems(document)
    assert any(p.startswith(told) for p in found), found
    if not place.endswith("/id"):
        assert len(found) == 1, found


def test_all_faults_are_told_at_once(document):
    document["values"]["ball.diameter"] = "16"
    document["values"]["board.tilt"] = 89
    document["targets"][0]["hole"] = "20"
    document["targets"][1]["hole"] = 999
    document["targets"][2]["score"] = None
    document["choices"]["ball.material"] = "cheese"
    document["typed"]["targets.2.up"] = "1/2in"
    document["colour"] = "red"
    del document["name"]
    assert problems(document) == [
        "$.values.ball.diameter: a number was expected, not the text '16'",
        "$.targets[0].hole: Expected 'float', got 'str'",
        "$.targets[2].score: Expected 'int', got 'null'",
        "$.colour: there is no field 'colour' in a design",
        "$.name: the name is missing",
        "$.values.board.tilt: Board tilt must lie from 5° to 75°, not 89°",
        "$.choices.ball.material: there is no option 'cheese'; there are: glass, steel, hardwood, acetal, "
        "stainless, brass, acrylic",
        "$.targets[1].hole: Hole diameter (target 2) must lie from 2 mm to 150 mm, not 999 mm",
    ]


def test_a_broken_stock_does_not_blame_the_choices(document):
    document["stocks"][0]["measured"] = "thick"
    assert problems(document) == ["$.stocks[0].measured: Expected 'float', got 'str'"]


def test_a_key_given_twice_is_refused():
    data = TEXT.replace(b'"ball.diameter": 16.0', b'"ball.diameter": 16.0, "ball.diameter": 18.0')
    assert problems(data) == ["$: 'ball.diameter' is given twice in one object"]


def test_older_files_are_lifted_step_by_step(document):
    older = copy.deepcopy(document)
    older["schema"] = 0
    older["title"] = older.pop("name")
    older["values"]["ball.radius"] = older["values"].pop("ball.diameter") / 2

    def rename(body: dict[str, Any]) -> dict[str, Any]:
        return {("name" if key == "title" else key): value for key, value in body.items()}

    def double(body: dict[str, Any]) -> dict[str, Any]:
        values = dict(body["values"])
        values["ball.diameter"] = values.pop("ball.radius") * 2
        return {**body, "values": values}

    data = json.dumps(older).encode()
    assert file.loads(data, migrations={0: lambda body: double(rename(body))}) == starting_design()
    assert file.loads(data, migrations={0: rename, 1: double}, schema=2) == starting_design()
    with pytest.raises(DesignFileError, match="schema 0 is older"):
        file.loads(data, migrations={1: double}, schema=2)


def test_a_migration_is_judged_like_any_file(document):
    document["schema"] = 0
    with pytest.raises(DesignFileError, match=r"\$\.colour"):
        file.loads(json.dumps(document).encode(), migrations={0: lambda body: {**body, "colour": 1}})


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), 1e9])
def test_a_design_that_would_not_open_again_is_not_written(bad, tmp_path):
    design = starting_design()
    broken = msgspec.structs.replace(design, values={**design.values, "lane.width": bad})
    path = tmp_path / "a.lane"
    path.write_bytes(TEXT)
    with pytest.raises(DesignFileError, match=r"\$\.values\.lane\.width: Clear width of the lane must"):
        file.save(broken, path)
    assert path.read_bytes() == TEXT
    assert os.listdir(tmp_path) == ["a.lane"]


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.integers(0, len(TEXT) - 1), st.binary(min_size=0, max_size=6), st.integers(0, 8))
def test_a_damaged_file_opens_rightly_or_is_refused_cleanly(at, bytes_in, out):
    data = TEXT[:at] + bytes_in + TEXT[at + out :]
    found = outcome(data)
    if isinstance(found, Design):
        assert file.loads(file.dumps(found)) == found
    else:
        assert found.problems


_JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.sampled_from(sorted(json.loads(TEXT))), _JSON)
def test_any_value_in_any_field_opens_or_is_refused_cleanly(key, value):
    found = outcome(json.dumps({**json.loads(TEXT), key: value}).encode())
    if isinstance(found, DesignFileError):
        assert found.problems
        assert all(p.path.startswith("$") for p in found.problems)


def test_a_file_is_saved_and_loaded(tmp_path):
    path = tmp_path / "jeu d'été.lane"
    file.save(starting_design(), path)
    assert path.read_bytes() == TEXT
    assert file.load(str(path)) == starting_design()
    assert os.listdir(tmp_path) == [path.name]


def test_a_new_file_gets_the_usual_permissions(tmp_path):
    before = os.umask(0o027)
    try:
        file.save(starting_design(), tmp_path / "a.lane")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "a.lane").stat().st_mode) == 0o640


def test_the_version_before_is_kept_once(tmp_path):
    path = tmp_path / "a.lane"
    designs = [edit.put(starting_design(), "lane.width", width) for width in (100.0, 110.0, 120.0)]
    for design in designs:
        file.save(design, path)
    file.save(designs[-1], path)
    assert file.load(path) == designs[2]
    assert file.load(tmp_path / "a.lane.bak") == designs[1]
    assert sorted(os.listdir(tmp_path)) == ["a.lane", "a.lane.bak"]


def test_a_link_stays_a_link_and_permissions_stay(tmp_path):
    real = tmp_path / "store" / "real.lane"
    real.parent.mkdir()
    file.save(starting_design(), real)
    real.chmod(0o600)
    link = tmp_path / "link.lane"
    link.symlink_to(real)
    changed = edit.put(starting_design(), "lane.width", 100.0)
    file.save(changed, link)
    assert link.is_symlink()
    assert file.load(real) == changed
    assert stat.S_IMODE(real.stat().st_mode) == 0o600
    assert stat.S_IMODE(real.with_name("real.lane.bak").stat().st_mode) == 0o600
    assert sorted(os.listdir(tmp_path)) == ["link.lane", "store"]


@pytest.mark.parametrize("failing", ["fsync", "replace"])
def test_a_failed_save_leaves_everything_as_it_was(tmp_path, monkeypatch, failing):
    path = tmp_path / "a.lane"
    file.save(starting_design(), path)

    def full(*_args: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, failing, full)
    with pytest.raises(DesignFileError, match="the file is as it was\n  No space left on device"):
        file.save(edit.put(starting_design(), "lane.width", 100.0), path)
    assert path.read_bytes() == TEXT
    assert os.listdir(tmp_path) == ["a.lane"]


def test_files_that_cannot_be_reached_are_told(tmp_path):
    for path in (tmp_path / "none.lane", tmp_path):
        with pytest.raises(DesignFileError, match="cannot be read"):
            file.load(path)
    for path in (tmp_path / "none" / "a.lane", tmp_path):
        with pytest.raises(DesignFileError, match="cannot be saved; the file is as it was"):
            file.save(starting_design(), path)
    assert os.listdir(tmp_path) == []


def test_a_refused_file_is_left_untouched(tmp_path):
    path = Path(tmp_path, "a.lane")
    path.write_bytes(TEXT[:400])
    with pytest.raises(DesignFileError, match=r"a\.lane cannot be opened\n  \$: the file ends too early"):
        file.load(path)
    assert path.read_bytes() == TEXT[:400]
    assert os.listdir(tmp_path) == ["a.lane"]

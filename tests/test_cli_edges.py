"""The command line where it cannot do as told: unusable files and options, no screen, poor output."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from desk import report
from desk.cli import main

Refused = Callable[..., str]

# --- input that cannot be used


BAD_FILES = {
    "missing": (None, "cannot be read"),
    "empty": (b"", "the file is empty"),
    "not JSON": (b"lane", "not JSON"),
    "cut short": (b'{"format": "lanewright design", "schema": 1, "name": "x', "ends too early"),
    "another kind": (b'{"format": "recipe"}', "$.format"),
    "newer": (b'{"format": "lanewright design", "schema": 99}', "newer Lanewright"),
    "unknown key": (b'{"format": "lanewright design", "schema": 1, "name": "x", "colour": 1}', "$.colour"),
    "out of range": (
        b'{"format": "lanewright design", "schema": 1, "name": "x", "values": {"ball.diameter": -1}}',
        "$.values.ball.diameter",
    ),
    "not a number": (
        b'{"format": "lanewright design", "schema": 1, "name": "x", "values": {"ball.diameter": NaN}}',
        "not JSON",
    ),
}


@pytest.mark.parametrize("command", ["check", "dims", "export", "snapshot", ""])
@pytest.mark.parametrize("bad", BAD_FILES)
def test_files_that_are_no_design(bad: str, command: str, tmp_path: Path, refused: Refused) -> None:
    data, said = BAD_FILES[bad]
    path = tmp_path / "bad.lane"
    if data is not None:
        path.write_bytes(data)
    target = {"export": tmp_path / "out", "snapshot": tmp_path / "picture.svg"}.get(command)
    words = [*([command] if command else []), str(path), *(["--to", str(target)] if target else [])]
    message = refused(*words)
    assert said in message
    assert "bad.lane" in message
    assert sorted(p.name for p in tmp_path.iterdir()) == ([] if data is None else ["bad.lane"])


@pytest.mark.parametrize(
    "words",
    [
        ["check"],
        ["dims"],
        ["export", "x.lane"],
        ["snapshot", "x.lane"],
        ["size", "--to", "x.lane"],
        ["size", "--ball", "25"],
        ["size", "--ball", "25", "--balls", "two", "--to", "x.lane"],
        ["check", "x.lane", "--jason"],
        ["check", "x.lane", "--js"],
        ["check", "x.lane", "--set"],
        ["--json"],
    ],
)
def test_wrong_options_exit_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == 2
    assert "usage: lanewright" in capsys.readouterr().err


def test_wrong_commands_are_named(refused: Refused) -> None:
    assert "did you mean check" in refused("chekc", "x.lane")
    assert "did you mean export" in refused("exprot")


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["check", "--help"], ["size", "-h"]])
def test_help_and_version_exit_0(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == 0
    assert "lanewright" in capsys.readouterr().out


# --- the window


@pytest.fixture
def no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)


def test_without_a_screen_the_rest_is_done(
    no_screen: None, sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([str(sound)]) == 0
    out, err = capsys.readouterr()
    assert "no screen" in err
    assert str(tmp_path / "sound-out") in err
    assert "Marbles, 16 mm: 0 conflicts" in out
    assert (tmp_path / "sound-out" / "picture.svg").is_file()
    assert (tmp_path / "sound-out" / "flat-parts" / "cut-list.csv").is_file()


def test_without_a_screen_conflicts_hold_the_export_back(
    no_screen: None, faulty: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([str(faulty)]) == 1
    assert "no flat parts were written" in capsys.readouterr().err
    assert (tmp_path / "faulty-out" / "picture.svg").is_file()
    assert not (tmp_path / "faulty-out" / "flat-parts").exists()


def test_without_a_screen_the_files_go_where_they_can(
    no_screen: None,
    sound: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    (tmp_path / "sound-out").write_text("in the way", encoding="utf-8")
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    assert main([str(sound)]) == 0
    assert str(here / "sound-out") in capsys.readouterr().err
    (here / "sound-out" / "picture.svg").unlink()


def test_without_a_screen_and_a_design(no_screen: None, refused: Refused) -> None:
    assert "Name a design" in refused()


def test_with_a_screen_the_window_opens(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import desk.ui.app

    opened: list[Path | None] = []

    def run(path: Path | None) -> int:
        opened.append(path)
        return 0

    monkeypatch.setattr(desk.ui.app, "run", run)
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.setenv("DISPLAY", ":7")
    assert main([str(sound)]) == 0
    assert main([]) == 0
    assert opened == [sound, None]


def test_a_platform_that_nobody_sees_is_no_screen(
    sound: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DISPLAY", ":7")
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert main([]) == 2
    assert "no screen" in capsys.readouterr().err


def test_a_fault_of_the_program_is_no_finding(
    sound: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import desk.evaluate

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("a wheel came off")

    monkeypatch.setattr(desk.evaluate, "evaluate", broken)
    assert main(["check", str(sound)]) == 70
    assert "a wheel came off" in capsys.readouterr().err


# --- output


def test_signs_get_stand_ins_where_the_output_lacks_them(
    sound: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    assert main(["check", str(sound), "--set", "joint.screw_header=40"]) == 1
    text = raw.getvalue().decode("ascii")
    assert "! 1  conflict: " in text
    assert "margin -" in text
    assert "?" not in text


def test_a_reader_that_stops_is_no_fault(faulty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "w", encoding="utf-8", buffering=1) as stream:
        monkeypatch.setattr(sys, "stdout", stream)
        assert main(["check", str(faulty), "--json"]) == 1


def test_numbers_that_are_not_finite_are_left_out() -> None:
    assert report._number(float("inf")) is None
    assert report._number(float("nan")) is None
    assert report._number(None) is None
    assert str(report._number(-0.0)) == "0.0"

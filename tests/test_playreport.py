"""``play`` on the command line: what it tells, its exit codes, the same numbers for the same seed."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from desk.ball.course import course
from desk.ball.play import play
from desk.ball.throw import BACK, GUTTER, LOST, STOPPED
from desk.cli import main
from desk.commands import UnusableError
from desk.design import edit
from desk.design.file import load, save
from desk.playreport import LISTED, NAMES, plain, played, text

HERE = Path(__file__).resolve().parent.parent
BROKEN = HERE / "examples" / "broken.lane"
KEYS = {
    "design",
    "throws",
    "seed",
    "people",
    "balls",
    "ends",
    "ball",
    "round",
    "back",
    "lost",
    "time",
    "strays",
    "findings",
    "landings",
    "speeds",
}


def told(capsys: pytest.CaptureFixture[str], *words: str, code: int | None = None) -> dict[str, Any]:
    """The JSON object of a call."""
    got = main(["play", *words, "--json"])
    out, err = capsys.readouterr()
    assert err == ""
    assert code is None or got == code
    value: dict[str, Any] = json.loads(out)
    assert got == (1 if any(f["status"] == "conflict" and not f["muted"] for f in value["findings"]) else 0)
    return value


def gentle(path: Path, folder: Path) -> Path:
    """A design whose people throw so gently that no ball leaves the lane."""
    design = edit.put(edit.put(load(path), "people.slow", 0.3), "people.fast", 0.4)
    made = folder / "gentle.lane"
    save(design, made)
    return made


def test_the_object_has_every_key_and_plain_numbers(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    value = told(capsys, str(sound), "--throws", "200", "--seed", "5")
    assert set(value) == KEYS
    assert (value["throws"], value["seed"], value["balls"]) == (200, 5, 7)
    assert set(value["people"]) == {"slow", "fast", "speed_spread", "aim_spread"}
    ends = value["ends"]
    assert [e["end"] for e in ends] == ["target"] * 5 + ["gutter", "back", "lost", "stopped"]
    assert [e["target"] for e in ends] == [1, 2, 3, 4, 5, None, None, None, None]
    assert all(set(e) == {"end", "target", "score", "count", "share", "error"} for e in ends)
    assert sum(e["count"] for e in ends) == 200
    assert sum(e["share"] for e in ends) == pytest.approx(1.0, abs=1e-5)
    assert value["round"]["score"] == pytest.approx(7 * value["ball"], abs=1e-5)
    assert value["ball"] == pytest.approx(sum(e["share"] * e["score"] for e in ends), abs=1e-4)
    assert value["back"] + value["lost"] == pytest.approx(1.0)
    squares = value["landings"]["squares"]
    assert value["landings"]["side"] == 8.0
    assert 0 < sum(q["count"] for q in squares) <= 200
    assert all(set(w) == {"low", "high", "end", "target", "score"} for w in value["speeds"])
    assert all(a["high"] == b["low"] for a, b in zip(value["speeds"], value["speeds"][1:], strict=False))


def test_standard_errors_are_those_of_shares(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """sqrt(p (1 - p) / n), the standard error of a share."""
    for end in told(capsys, str(sound), "--throws", "300")["ends"]:
        p = end["count"] / 300
        assert end["error"] == pytest.approx(math.sqrt(p * (1 - p) / 300), abs=1e-6)


def test_the_same_seed_gives_the_same_object_and_another_one_another(
    sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first, again = (told(capsys, str(sound), "--throws", "150", "--seed", "3") for _ in range(2))
    other = told(capsys, str(sound), "--throws", "150", "--seed", "4")
    assert first == again
    assert first["landings"] != other["landings"]
    assert first["speeds"] == other["speeds"]


def test_the_object_tells_what_the_core_counts(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    value = told(capsys, str(sound), "--throws", "150", "--seed", "3")
    run = played(load(sound), 150, 3)
    of = course(run.cabinet)
    last = list(play(of, run.cabinet.people, run.cabinet.balls.count, 150, 3))[-1]
    assert value["round"]["score"] == pytest.approx(last.round)
    assert {e["target"]: e["count"] for e in value["ends"] if e["target"]} == {
        e.result: e.count for e in last.ends if e.result > 0
    }


def test_balls_that_stop_are_told_with_the_throw_and_the_exit_status_is_one(
    capsys: pytest.CaptureFixture[str],
) -> None:
    value = told(capsys, str(BROKEN), "--throws", "60", code=1)
    stops = [s for s in value["strays"] if s["end"] == "stopped"]
    assert stops
    assert all(set(s) == {"throw", "speed", "aim", "end", "leg", "at"} for s in stops)
    assert "catch" in {s["leg"] for s in stops}
    assert value["lost"] == pytest.approx(len(value["strays"]) / 60, abs=1e-5)
    assert main(["play", str(BROKEN), "--throws", "60"]) == 1
    out, err = capsys.readouterr()
    assert err == ""
    assert out.count("⚑") == min(LISTED, len(value["strays"]))
    assert "stops, Catch ramp" in out


def test_a_stop_is_told_as_a_conflict_with_its_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    value = told(capsys, str(BROKEN), "--throws", "60", code=1)
    (stops,) = [f for f in value["findings"] if f["status"] == "conflict"]
    count = sum(1 for s in value["strays"] if s["end"] == "stopped")
    assert f"{count} of 60 throws stop on the way" in stops["because"]
    main(["play", str(BROKEN), "--throws", "60"])
    said = " ".join(capsys.readouterr().out.split())
    assert "Conflict: balls that stop on the way." in said
    assert stops["because"] in said


def test_a_stop_that_is_muted_is_told_with_its_reason_and_does_not_fail(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, broken = tmp_path / "muted.lane", load(BROKEN)
    save(edit.mute(broken, "ends/stops", "the inlet is cut later"), path)
    value = told(capsys, str(path), "--throws", "60", code=0)
    assert [f["muted"] for f in value["findings"]] == ["the inlet is cut later"]
    assert main(["play", str(path), "--throws", "60"]) == 0
    assert "Muted: the inlet is cut later" in " ".join(capsys.readouterr().out.split())


def test_a_few_balls_over_the_side_are_listed_and_do_not_fail(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two in a hundred are let pass; half of the throws are not."""
    hard, wild = tmp_path / "hard.lane", tmp_path / "wild.lane"
    save(edit.put(load(sound), "people.fast", 2.15), hard)
    save(edit.put(edit.put(load(sound), "people.fast", 6.0), "people.slow", 4.0), wild)
    some = told(capsys, str(hard), "--throws", "1000", code=0)
    assert some["strays"]
    assert all(s["end"] == "lost" for s in some["strays"])
    many = told(capsys, str(wild), "--throws", "100", code=1)
    assert many["findings"][0]["title"] == "Balls that leave the cabinet"


def test_when_every_ball_comes_back_the_exit_status_is_zero(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = gentle(sound, tmp_path)
    value = told(capsys, str(path), "--throws", "50", code=0)
    assert (value["back"], value["lost"], value["strays"]) == (1.0, 0.0, [])
    assert {e["end"]: e["count"] for e in value["ends"]}["back"] == 50
    assert main(["play", str(path), "--throws", "50"]) == 0
    out, _ = capsys.readouterr()
    assert "100 % of the balls come back" in out
    assert "no speed scores" in out or "points by speed" in out


def test_the_text_says_what_is_known(sound: Path) -> None:
    run = played(load(sound), 400, 1)
    said = "\n".join(text(run, 90))
    assert "400 throws, seed 1" in said
    assert "0.7 to 1.9 m/s" in said
    assert f"A round of 7: {run.known.round:.1f} ± {run.known.round_error:.1f} points" in said
    assert "target 1, 50 points" in said
    assert run.speeds.least is not None
    assert f"Below {run.speeds.least:.2f} m/s" in said
    assert max(len(line) for line in said.splitlines()) <= 110


def test_every_end_has_a_name() -> None:
    assert set(NAMES) == {GUTTER, BACK, LOST, STOPPED}


@pytest.mark.parametrize(
    "words", [("--throws", "0"), ("--throws", "-5"), ("--throws", "2000000"), ("--seed", "-1")]
)
def test_counts_that_cannot_be_are_refused(
    sound: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, str]
) -> None:
    assert main(["play", str(sound), *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"lanewright: {words[0]} {words[1]}: ")


@pytest.mark.parametrize("words", [("--throws", "many"), ("--seed", "x"), ("--thr", "5")])
def test_words_that_are_no_numbers_are_refused(
    sound: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["play", str(sound), *words])
    assert ended.value.code == 2
    assert capsys.readouterr().out == ""


def test_a_file_that_is_no_design_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "no.lane"
    path.write_text("{}")
    assert main(["play", str(path), "--json"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert str(path) in err


def test_a_design_without_room_for_its_ball_is_refused(sound: Path) -> None:
    design = edit.put(edit.put(load(sound), "ball.diameter", 60.0), "lane.width", 20.0)
    with pytest.raises(UnusableError, match=r"cannot be played: .* no room for a ball of 60.00 mm"):
        played(design, 10, 1)


def test_numbers_that_are_not_known_are_null(sound: Path) -> None:
    run = played(load(BROKEN), 1, 1)
    value = plain(run)
    assert value["time"] is None
    assert json.dumps(value, allow_nan=False)

"""Muted findings: not counted anywhere, told everywhere, and never the caution about small balls."""

from __future__ import annotations

import json
from pathlib import Path

import ezdxf
import pytest

from desk.checks.finding import Finding
from desk.checks.run import with_mutes
from desk.cli import main
from desk.design import edit
from desk.design.file import load, save
from desk.design.model import Design, Mute
from desk.evaluate import evaluate
from desk.views.wording import counts, mutes_of, warnings_of

REASON = "the lip is filed by hand"


@pytest.fixture
def muted(faulty: Path) -> Path:
    """The faulty design with each of its conflicts muted, and a mute of something that is not found."""
    design = load(faulty)
    for finding in evaluate(design).findings:
        if finding.status == "conflict":
            design = edit.mute(design, finding.key, REASON)
    save(edit.mute(design, "lip/nowhere", "an old fault"), faulty)
    return faulty


def test_a_muted_finding_keeps_its_verdict_and_does_not_count(muted: Path) -> None:
    design = load(muted)
    evaluation = evaluate(design)
    quiet = [f for f in evaluation.findings if f.muted]
    assert quiet
    assert {f.status for f in quiet} == {"conflict"}
    assert {f.muted for f in quiet} == {REASON}
    assert evaluation.count("conflict") == 0 == counts(evaluation.findings)["conflict"]
    assert evaluation.count("muted") == len(quiet)
    assert warnings_of(evaluation.findings, "mm") == ()
    assert all(REASON in line for line in mutes_of(evaluation.findings, "mm"))
    assert evaluation.idle_mutes == (Mute("lip/nowhere", "an old fault"),)


def test_keys_stay_the_same_while_sizes_change(muted: Path) -> None:
    design = edit.put(load(muted), "joint.screw_header", 41.0)
    evaluation = evaluate(design)
    assert evaluation.count("conflict") == 0
    assert evaluation.count("muted") == evaluate(load(muted)).count("muted")


def test_muting_and_unmuting_leaves_all_other_findings_as_they_are(faulty: Path) -> None:
    design = load(faulty)
    plain = evaluate(design)
    key = plain.findings[0].key
    quiet = evaluate(edit.mute(design, key, REASON))
    assert {f.key for f in quiet.findings if f.muted} == {key}
    rest = [f for f in quiet.findings if f.key != key]
    assert rest == [f for f in plain.findings if f.key != key]
    assert evaluate(edit.unmute(edit.mute(design, key, REASON), key)).findings == plain.findings


def test_a_mute_holds_for_what_was_found_and_no_more(sound: Path) -> None:
    """One trap is muted; a second one beside another target counts, and so does what was tight and fails now."""
    one = edit.put(load(sound), "targets.3.across", -44.0)

    def trap(design: Design) -> Finding:
        return next(f for f in evaluate(design).findings if f.check == "face-traps")

    found = trap(one)
    quiet = edit.mute(one, found.key, REASON, found.status, len(found.places))
    assert trap(quiet).muted == REASON
    two = edit.put(quiet, "targets.4.across", 44.5)
    assert len(trap(two).places) > len(found.places)
    assert not trap(two).muted
    assert [m.key for m in evaluate(two).idle_mutes] == [found.key]
    assert not trap(edit.mute(one, found.key, REASON, "tight", len(found.places))).muted


def test_muted_findings_are_listed_after_what_counts_and_before_what_is_clear(faulty: Path) -> None:
    design = load(faulty)
    first = evaluate(design).findings[0].key
    order = [f.status if not f.muted else "muted" for f in evaluate(edit.mute(design, first, "so")).findings]
    ranks = [("conflict", "tight", "muted", "clear").index(word) for word in order]
    assert ranks == sorted(ranks)


def test_what_is_clear_or_always_counts_is_not_muted(sound: Path) -> None:
    """The caution stands whatever a design says: here the mutes are handed over as no edit and no file can."""
    findings = evaluate(load(sound)).findings
    quiet = with_mutes(findings, [Mute(f.key, "quiet", "tight") for f in findings])
    assert {f.check for f in quiet if f.muted} == {
        f.check for f in findings if f.status != "clear" and f.check != "small-ball"
    }
    assert any(f.check == "small-ball" and f.status != "clear" for f in quiet)
    assert with_mutes(findings, ()) is findings


def test_the_report_tells_the_reason_and_the_exit_code_is_clear(
    muted: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(muted)]) == 0
    out = capsys.readouterr().out
    assert ": 0 conflicts, " in out.splitlines()[0]
    assert " muted" in out.splitlines()[0]
    assert "muted conflict: " in out
    assert f"muted because: {REASON}" in out
    assert "mute of lip/nowhere, which mutes nothing here and is kept: an old fault" in out


def test_json_tells_the_reason(muted: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(muted), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    quiet = [f for f in said["findings"] if f["muted"]]
    assert said["summary"]["conflict"] == 0
    assert said["summary"]["muted"] == len(quiet) > 0
    assert {(f["muted"], f["status"]) for f in quiet} == {(REASON, "conflict")}
    assert said["idle_mutes"] == [{"key": "lip/nowhere", "reason": "an old fault"}]


def test_flat_parts_are_written_and_every_file_tells_the_reason(muted: Path, tmp_path: Path) -> None:
    folder = tmp_path / "parts"
    assert main(["export", str(muted), "--to", str(folder)]) == 0
    drawings = sorted(folder.glob("*.dxf"))
    assert drawings
    for drawing in drawings:
        said = [t.dxf.text for t in ezdxf.readfile(drawing).modelspace().query("TEXT")]
        assert "MUTED" in said
        assert "WARNING" not in said
        assert REASON in " ".join(said)
    for name in ("cut-list.csv", "hardware-list.csv"):
        text = (folder / name).read_text(encoding="utf-8")
        assert text.startswith("# MUTED: ")
        assert REASON in text.splitlines()[0]
    notes = " ".join((folder / "notes.txt").read_text(encoding="utf-8").split())
    assert "Muted findings" in notes
    assert REASON in notes


def test_the_picture_tells_the_reason(muted: Path, tmp_path: Path) -> None:
    picture = tmp_path / "picture.svg"
    assert main(["snapshot", str(muted), "--to", str(picture)]) == 0
    text = picture.read_text(encoding="utf-8")
    assert f"{evaluate(load(muted)).count('muted')} muted" in text
    assert "muted, " in text
    assert all(word in text for word in REASON.split())


@pytest.mark.parametrize("key", ["small-ball/ball", "small-ball", "small-ball/not-evaluated"])
def test_a_file_that_mutes_the_caution_about_small_balls_is_refused(
    sound: Path, capsys: pytest.CaptureFixture[str], key: str
) -> None:
    document = json.loads(sound.read_bytes())
    document["mutes"] = [{"key": key, "reason": "we know"}]
    sound.write_text(json.dumps(document))
    assert main(["check", str(sound)]) == 2
    err = capsys.readouterr().err
    assert "$.mutes[0].key: 'small-ball' warns of what children can choke on and cannot be muted" in err


def test_the_gauges_for_small_balls_cannot_be_changed(
    sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    document = json.loads(sound.read_bytes())
    document["own"] = [{"table": "needs", "id": "small_ball", "values": {"value": 1.0}}]
    sound.write_text(json.dumps(document))
    assert main(["check", str(sound)]) == 2
    assert "$.own[0].id: 'small_ball' is set by law" in capsys.readouterr().err

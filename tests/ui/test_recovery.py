"""Snapshots across sessions; a session in another process holds its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from desk.ui.recovery import Recovery

from .fakes import starting

HOLD = """
import sys
from pathlib import Path
from desk.design.starting import starting_design
from desk.ui.recovery import Recovery
r = Recovery(Path(sys.argv[1]))
print(r.keep(starting_design(), Path("mine.lane")), flush=True)
sys.stdin.readline()
"""


def test_a_running_session_keeps_its_snapshot_and_a_killed_one_leaves_it(
    qapp: QApplication, tmp_path: Path
) -> None:
    other = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert other.stdout is not None
    assert other.stdout.readline().strip() == "True"
    mine = Recovery(tmp_path)
    assert mine.lost() == []
    other.kill()
    other.communicate()
    (lost,) = mine.lost()
    assert lost.path == Path("mine.lane")
    mine.drop(lost)
    assert mine.lost() == []


def test_an_own_snapshot_is_never_offered(qapp: QApplication, tmp_path: Path) -> None:
    mine = Recovery(tmp_path)
    assert mine.keep(starting(), None)
    assert mine.lost() == []
    mine.clear()
    assert not list(tmp_path.glob("*.lane"))
    assert mine.keep(starting(), None)
    mine.clear()


def test_an_unreadable_snapshot_is_taken_away(qapp: QApplication, tmp_path: Path) -> None:
    (tmp_path / "open-1.lane").write_text("{")
    assert Recovery(tmp_path).lost() == []
    assert not list(tmp_path.glob("*.lane"))


def test_a_snapshot_without_its_note_is_untitled(qapp: QApplication, tmp_path: Path) -> None:
    left = Recovery(tmp_path)
    left.keep(starting(), Path("mine.lane"))
    next(tmp_path.glob("*.json")).write_text("[")
    assert left._lock is not None
    left._lock.unlock()
    (lost,) = Recovery(tmp_path).lost()
    assert lost.path is None
    assert lost.design == starting()


def test_a_folder_that_cannot_be_made_is_no_failure(qapp: QApplication, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert not Recovery(tmp_path / "file" / "state").keep(starting(), None)

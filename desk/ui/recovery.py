"""Snapshots of unsaved work, offered again when the program did not end cleanly.

A snapshot lies in a folder of the program's own beside a lock that its session holds; the user's file is never
written. A snapshot whose lock nobody holds is from a session that is gone.
"""

from __future__ import annotations

import contextlib
import json
import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QLockFile

from desk.design.model import Design


@dataclass(frozen=True)
class Lost:
    """A snapshot that can be taken up: the design, the file it belonged to, when it was made."""

    snapshot: Path
    design: Design
    path: Path | None
    made: datetime


class Recovery:
    """The snapshots of this session and of ones before it."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._snapshot = folder / f"open-{os.urandom(6).hex()}.lane"
        self._lock: QLockFile | None = None

    def keep(self, design: Design, path: Path | None) -> bool:
        """Write a snapshot of unsaved work; False when that cannot be done."""
        from desk.design.file import DesignFileError, save

        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            if self._lock is None:
                lock = _lock_of(self._snapshot)
                if not lock.tryLock(0):
                    return False
                self._lock = lock
            save(design, self._snapshot)
            note = {"path": str(path) if path else None}
            self._snapshot.with_suffix(".json").write_text(json.dumps(note), encoding="utf-8")
        except (OSError, DesignFileError):
            return False
        return True

    def clear(self) -> None:
        """All work is saved or given up: take this session's snapshot away."""
        _remove(self._snapshot)
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def lost(self) -> list[Lost]:
        """Snapshots that sessions now gone have left, the latest first; unreadable ones are taken away."""
        from desk.design.file import DesignFileError, load

        found = []
        for snapshot in sorted(self._folder.glob("open-*.lane")):
            lock = _lock_of(snapshot)
            if snapshot == self._snapshot or not lock.tryLock(0):
                continue
            lock.unlock()
            try:
                design = load(snapshot)
            except DesignFileError:
                _remove(snapshot)
                continue
            made = datetime.fromtimestamp(snapshot.stat().st_mtime)
            found.append(Lost(snapshot, design, _belonged(snapshot), made))
        return sorted(found, key=lambda lost: lost.made, reverse=True)

    def drop(self, lost: Lost) -> None:
        """Take a snapshot away for good."""
        _remove(lost.snapshot)


def _lock_of(snapshot: Path) -> QLockFile:
    lock = QLockFile(str(snapshot.with_suffix(".lock")))
    lock.setStaleLockTime(0)
    return lock


def _belonged(snapshot: Path) -> Path | None:
    try:
        note = json.loads(snapshot.with_suffix(".json").read_text(encoding="utf-8"))
        path = note["path"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return Path(path) if isinstance(path, str) else None


def _remove(snapshot: Path) -> None:
    for name in (snapshot, snapshot.with_suffix(".json"), snapshot.with_name(snapshot.name + ".bak")):
        with contextlib.suppress(OSError):
            name.unlink(missing_ok=True)

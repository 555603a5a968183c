"""What an earlier export left in a folder: whose it is, which files are as they were written, what would be lost.

``contents.csv`` tells: one row for each file with its digest and the name of the design. Lists written before designs
stood in them are known by the first line of the notes beside them.
"""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from desk.flat.lint import ExportError

CONTENTS = "contents.csv"
CONTENTS_COLUMNS = ("file", "contents", "sha256", "design")
NOTES = "notes.txt"
TITLE_END = ": flat parts"
"""What follows the design's name in the first line of the notes."""
NAMED = 3
"""Files that a refusal names."""


class OccupiedError(ExportError):
    """The folder holds what an export would take away; the person has to say that it may."""


@dataclass(frozen=True)
class Earlier:
    """What a folder's list of contents tells: digests by file name and the design, "" where it is not told."""

    digests: dict[str, str] = field(default_factory=dict)
    design: str = ""
    known: bool = False
    """Whether there is a list of contents, and one of ours."""


def digest(path: Path) -> str:
    """SHA-256 of a file, in hexadecimal digits."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def read(folder: Path) -> Earlier:
    """The earlier export in a folder; one that is not known where there is none. Raises OSError."""
    listed = folder / CONTENTS
    if not listed.is_file():
        return Earlier()
    try:
        table = csv.DictReader(io.StringIO(listed.read_text(encoding="utf-8")))
        rows = list(table)
    except (UnicodeDecodeError, csv.Error):
        return Earlier()
    if not {"file", "sha256"} <= set(table.fieldnames or ()):
        return Earlier()
    digests = {}
    for row in rows:
        name = row["file"] or ""
        if name and Path(name).name == name and (folder / name).is_file():
            digests[name] = row["sha256"] or ""
    design = next((row.get("design") or "" for row in rows), "") or _from_notes(folder)
    return Earlier(digests, design, known=True)


def _from_notes(folder: Path) -> str:
    """The design named in the first line of the notes; "" where it is not told."""
    try:
        lines = (folder / NOTES).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return ""
    first = lines[0] if lines else ""
    return first.removesuffix(TITLE_END) if first.endswith(TITLE_END) else ""


def left_over(folder: Path, names: Sequence[str]) -> list[str]:
    """Files of an earlier export, unchanged since, that are not among ``names``."""
    earlier = read(folder)
    return [n for n, was in earlier.digests.items() if n not in names and digest(folder / n) == was]


def refuse_loss(folder: Path, names: Sequence[str], design: str) -> None:
    """Raise OccupiedError where writing ``names`` would take away another design's export, or a file that is none of
    an export or was changed since.
    """
    earlier = read(folder)
    if earlier.digests and earlier.design != design:
        whose = f"the design '{earlier.design}'" if earlier.design else "a design that is not named in it"
        raise OccupiedError(f"{folder} holds the flat parts of {whose}, which '{design}' would replace")
    own = [n for n in names if (folder / n).is_file() and not _as_written(folder, n, earlier)]
    if own:
        more = f" and {len(own) - NAMED} more" if len(own) > NAMED else ""
        raise OccupiedError(
            f"{folder} holds files that no export wrote or that were changed since, and they would be replaced: "
            f"{', '.join(own[:NAMED])}{more}"
        )


def _as_written(folder: Path, name: str, earlier: Earlier) -> bool:
    if name == CONTENTS:
        return earlier.known
    return name in earlier.digests and digest(folder / name) == earlier.digests[name]

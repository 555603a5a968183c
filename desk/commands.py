"""What the commands share: reading a design, writing a file, guessing what was meant, and saying that it cannot be.

Nothing heavy is imported before it is needed.
"""

from __future__ import annotations

import difflib
import os
import secrets
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from desk.design.model import Design


class UnusableError(Exception):
    """The input cannot be used; the message names the place and the way out."""


def load(path: Path) -> Design:
    """The design in a file. Raises UnusableError."""
    from desk.design.file import DesignFileError
    from desk.design.file import load as read

    try:
        return read(path)
    except DesignFileError as error:
        raise UnusableError(str(error)) from None


def near(word: str, known: Iterable[str]) -> str:
    """What could have been meant."""
    near = difflib.get_close_matches(word, list(known), n=3)
    return (
        f"did you mean {' or '.join(near)}?"
        if near
        else "'lanewright --help' and 'lanewright dims' list what there is"
    )


def write(target: Path, data: bytes) -> None:
    """Write a file whole or not at all. Raises UnusableError."""
    part = target.with_name(f".{secrets.token_hex(6)}.part")
    try:
        part.write_bytes(data)
        os.replace(part, target)
    except OSError as error:
        part.unlink(missing_ok=True)
        reason = error.strerror or str(error)
        raise UnusableError(f"{target} cannot be written: {reason}; choose another place") from None


def with_settings(design: Design, settings: Iterable[str]) -> Design:
    """The design with each ``ID=VALUE`` put in. Raises UnusableError."""
    from desk.design import edit, table
    from desk.units import UnitError

    for setting in settings:
        key, equals, text = (part.strip() for part in setting.partition("="))
        if not (key and equals and text):
            raise UnusableError(
                f"--set {setting}: write ID=VALUE, for example --set behind.inlet_height=20mm"
            )
        try:
            choice = key in table.choice_defaults()
            design = edit.put_choice(design, key, text) if choice else edit.type_in(design, key, text)
        except edit.Locked as error:
            way_out = f"take {key} out of 'locked' in the file, or unlock it in the window"
            raise UnusableError(f"--set {setting}: {error} ({way_out})") from None
        except table.UnknownAddress as error:
            known = (*edit.addresses(design), *table.choice_defaults())
            raise UnusableError(f"--set {setting}: {error}; {near(key, known)}") from None
        except (edit.EditError, UnitError) as error:
            raise UnusableError(f"--set {setting}: {error}") from None
    return design


def save_new(design: Design, target: Path) -> None:
    """Save a design where nothing else is lost by it. Raises UnusableError."""
    from desk.design.file import DesignFileError, dumps, save

    try:
        if target.exists() and target.read_bytes() != dumps(design):
            raise UnusableError(
                f"{target} exists and holds something else; choose another name or move it away"
            )
        save(design, target)
    except (DesignFileError, OSError) as error:
        raise UnusableError(str(error)) from None

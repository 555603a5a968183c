"""Standard output and error: results go to one, messages to the other, and no sign ends the program.

Where the encoding of a stream lacks a sign, a plain one stands in for it.
"""

from __future__ import annotations

import io
import json
import os
import shutil
import sys
from collections.abc import Iterable
from typing import TextIO

NARROWEST, WIDEST = 60, 110
"""Columns that text is wrapped to at least and at most."""
STAND_INS = str.maketrans(
    {"⚑": "!", "○": "o", "✓": "+", "−": "-", "×": "x", "°": " deg", "·": ".", "²": "2", "…": "..."}
)


def tame() -> None:
    """Let no letter that a stream cannot show end the program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def show(lines: Iterable[str]) -> None:
    """Lines of a result. When whoever reads them stops reading, the rest goes nowhere, and that is no fault."""
    try:
        for line in lines:
            _write(sys.stdout, line)
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def show_json(value: object) -> None:
    """A result as JSON. Raises ValueError when a number in it is not finite."""
    show((json.dumps(value, indent=1, allow_nan=False),))


def say(text: str) -> None:
    """A message."""
    _write(sys.stderr, f"lanewright: {text}")


def columns() -> int:
    """How wide to set text."""
    return min(max(shutil.get_terminal_size((WIDEST, 24)).columns, NARROWEST), WIDEST)


def _write(stream: TextIO, text: str) -> None:
    try:
        text.encode(stream.encoding or "utf-8")
    except UnicodeEncodeError:
        text = text.translate(STAND_INS)
    stream.write(f"{text}\n")

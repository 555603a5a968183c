"""Finds and reads the data tables that ship with the program."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

_HERE = Path(__file__).resolve().parent


def resource_path(name: str) -> Path:
    """Path of a file under resources/, in a checkout or in an installed package.

    Raises FileNotFoundError when the installation is incomplete.
    """
    for folder in (_HERE / "_resources", _HERE.parent / "resources"):
        if (folder / name).exists():
            return folder / name
    raise FileNotFoundError(f"resources/{name} is missing from this installation; install Lanewright again")


@cache
def table(name: str) -> dict[str, Any]:
    """A TOML table under resources/, read once; callers must not change it."""
    with resource_path(name).open("rb") as file:
        return tomllib.load(file)

"""Shared by all tests: no screen, the same random cases on every run, deepest layer first."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from desk.cli import main
from desk.design import edit
from desk.design.file import load, save

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")

HERE = Path(__file__).resolve().parent.parent
BROKEN = {"joint.screw_header": 40.0, "behind.inlet_height": 9.0}

ORDER = (
    "test_units",
    "shapes",
    "design",
    "shop",
    "cabinet",
    "ball",
    "checks",
    "flat",
    "views",
    "test_",
    "ui",
)
"""Where tests lie, lowest layer first: what fails first is then nearest to the fault."""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Run the tests in the order of the layers they test."""
    here = config.rootpath / "tests"

    def depth(item: pytest.Item) -> int:
        place = str(item.path.relative_to(here)) if item.path.is_relative_to(here) else ""
        return next((k for k, start in enumerate(ORDER) if place.startswith(start)), len(ORDER))

    items.sort(key=depth)


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    """The file of the marble example, which has no conflict."""
    path = tmp_path / "sound.lane"
    path.write_bytes((HERE / "examples" / "marble-16mm.lane").read_bytes())
    return path


@pytest.fixture
def faulty(tmp_path: Path, sound: Path) -> Path:
    """The same with conflicts."""
    design = load(sound)
    for address, value in BROKEN.items():
        design = edit.put(design, address, value)
    path = tmp_path / "faulty.lane"
    save(design, path)
    return path


@pytest.fixture
def refused(capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """Run a command with input that cannot be used; what it says."""

    def run(*words: str) -> str:
        assert main(words) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith("lanewright: ")
        assert "Traceback" not in err
        return err

    return run

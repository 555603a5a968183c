"""The core and every command but the window and the PNG run where Qt cannot be imported, each in its own process."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from desk.design.file import save
from desk.design.starting import starting_design

HERE = Path(__file__).resolve().parent.parent
BLOCK = """
import sys
from importlib.abc import MetaPathFinder


class NoQt(MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("PySide6", "shiboken6"):
            raise ImportError(f"{name} is blocked")


sys.meta_path.insert(0, NoQt())
"""


def run(tmp_path: Path, *words: str, code: str = "") -> subprocess.CompletedProcess[str]:
    """A command, or some code, in a process of its own in which Qt cannot be imported."""
    (tmp_path / "blocked").mkdir(exist_ok=True)
    (tmp_path / "blocked" / "sitecustomize.py").write_text(BLOCK, encoding="utf-8")
    kept = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")}
    env = {**kept, "PYTHONPATH": os.pathsep.join((str(tmp_path / "blocked"), str(HERE)))}
    start = ["-c", code] if code else ["-m", "desk", *words]
    command = [sys.executable, "-W", "error", *start]
    return subprocess.run(
        command, cwd=tmp_path, env=env, capture_output=True, text=True, encoding="utf-8", check=False
    )


@pytest.fixture
def design(tmp_path: Path) -> Path:
    path = tmp_path / "cabinet.lane"
    save(starting_design(), path)
    return path


def test_the_block_works(tmp_path: Path) -> None:
    done = run(tmp_path, code="import PySide6")
    assert done.returncode == 1
    assert "PySide6 is blocked" in done.stderr


def test_check_and_dims(tmp_path: Path, design: Path) -> None:
    checked = run(tmp_path, "check", str(design), "--json")
    assert checked.returncode in (0, 1)
    told = json.loads(checked.stdout)
    assert checked.returncode == (1 if told["summary"]["conflict"] else 0)
    assert checked.stderr == ""
    listed = run(tmp_path, "dims", str(design))
    assert (listed.returncode, listed.stderr) == (0, "")
    assert "ball.diameter" in listed.stdout


def test_export(tmp_path: Path, design: Path) -> None:
    done = run(tmp_path, "export", str(design), "--to", "out", "--despite-conflicts")
    assert (done.returncode, done.stderr) == (0, "")
    assert list((tmp_path / "out").glob("*.dxf"))


def test_svg_picture(tmp_path: Path, design: Path) -> None:
    done = run(tmp_path, "snapshot", str(design), "--to", "picture.svg")
    assert (done.returncode, done.stderr) == (0, "")
    assert ET.parse(tmp_path / "picture.svg").getroot().tag == "{http://www.w3.org/2000/svg}svg"


def test_png_picture_says_that_svg_works(tmp_path: Path, design: Path) -> None:
    done = run(tmp_path, "snapshot", str(design), "--to", "picture.png")
    assert done.returncode == 2
    assert "needs Qt" in done.stderr
    assert ".svg" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "picture.png").exists()


def test_size(tmp_path: Path) -> None:
    done = run(tmp_path, "size", "--ball", "20", "--to", "made.lane")
    assert done.returncode == 1
    assert "1 conflict is left:\n  Footprint on the table" in done.stderr
    assert (tmp_path / "made.lane").is_file()


def test_window_without_a_screen_does_the_rest(tmp_path: Path, design: Path) -> None:
    done = run(tmp_path, str(design))
    assert done.returncode in (0, 1)
    assert "no screen" in done.stderr or "needs Qt" in done.stderr
    assert (tmp_path / "cabinet-out" / "picture.svg").is_file()


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is always a screen")
def test_window_with_a_screen_but_no_qt_does_the_rest(tmp_path: Path, design: Path) -> None:
    code = (
        "import os, sys; os.environ['DISPLAY'] = ':0'\n"
        f"from desk.cli import main; sys.exit(main([{str(design)!r}]))"
    )
    done = run(tmp_path, code=code)
    assert done.returncode in (0, 1)
    assert "needs Qt" in done.stderr
    assert (tmp_path / "cabinet-out" / "picture.svg").is_file()


def test_core_modules_import(tmp_path: Path) -> None:
    names = sorted(
        ".".join(p.relative_to(HERE).with_suffix("").parts)
        for p in (HERE / "desk").rglob("*.py")
        if "ui" not in p.relative_to(HERE).parts and p.stem not in ("__init__", "__main__")
    )
    assert len(names) > 50
    done = run(tmp_path, code="".join(f"import {name}\n" for name in names))
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    ("command", "late"),
    [
        ("dims", ("numpy", "shapely", "ezdxf", "scipy")),
        ("check", ("ezdxf", "scipy")),
    ],
)
def test_nothing_heavy_is_imported_before_it_is_needed(
    command: str, late: tuple[str, ...], tmp_path: Path, design: Path
) -> None:
    code = (
        "import sys; from desk.cli import main\n"
        f"main([{command!r}, {str(design)!r}])\n"
        f"sys.stderr.write(' '.join(m for m in {late!r} if m in sys.modules))"
    )
    done = run(tmp_path, code=code)
    assert (done.returncode, done.stderr) == (0, "")

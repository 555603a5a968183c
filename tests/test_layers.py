"""Imports run downward only, Qt stays in the window package, and nothing imports in a circle.

The rules are proved on the program and then, each on its own, on a small made-up program in which it is broken once.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent.parent

LAYERS: tuple[tuple[str, ...], ...] = (
    ("desk",),
    ("desk.units", "desk.resources", "desk.remember"),
    ("desk.shapes", "desk.shop"),
    ("desk.design",),
    ("desk.cabinet",),
    ("desk.ball", "desk.assembly"),
    ("desk.checks",),
    ("desk.flat", "desk.views"),
    ("desk.evaluate", "desk.choosing", "desk.session", "desk.playing"),
    ("desk.playwork", "desk.commands"),
    ("desk.ui", "desk.console", "desk.helptext", "desk.report", "desk.playreport"),
    ("desk.cli",),
    ("desk.__main__",),
)
"""Packages and modules, lowest first. Those of one layer do not know each other."""

BINDINGS = ("PySide6", "shiboken6", "PySide2", "PyQt6", "PyQt5", "qtpy")
QT_ONLY_IN = "desk.ui"
LATE = {"ezdxf": "desk.flat", "scipy": "desk"}
"""Packages slow to import, and where they may be imported, inside functions."""


def modules(root: Path) -> dict[str, Path]:
    """Every module of the package ``desk`` under ``root`` by its name."""
    found = {}
    for path in sorted((root / "desk").rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def imports(tree: ast.Module, name: str, known: dict[str, Path]) -> Iterator[tuple[str, bool]]:
    """Every module imported, in functions too, and whether that happens when the module itself is imported."""
    at_once = set(_run_at_import(tree.body))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node in at_once
        elif isinstance(node, ast.ImportFrom):
            package = name if known[name].name == "__init__.py" else name.rpartition(".")[0]
            base = node.module or ""
            if node.level:
                up = package.split(".")[: len(package.split(".")) - node.level + 1]
                base = ".".join([*up, *([base] if base else [])])
            for alias in node.names:
                inner = f"{base}.{alias.name}"
                yield inner if inner in known else base, node in at_once


def _run_at_import(body: list[ast.stmt]) -> Iterator[ast.stmt]:
    """Statements outside functions, but for those a type checker alone reads."""
    for node in body:
        yield node
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            continue
        for field in ("body", "orelse", "finalbody", "handlers"):
            for inner in getattr(node, field, []):
                yield from _run_at_import([inner] if isinstance(inner, ast.stmt) else inner.body)


def layer_of(module: str) -> tuple[int, str] | None:
    """Layer and entry of a module; the longest entry that fits counts, and ``desk`` stands for itself only."""
    entries = [(k, entry) for k, layer in enumerate(LAYERS) for entry in layer]
    fits = [
        (k, entry)
        for k, entry in entries
        if module == entry or (entry != "desk" and module.startswith(f"{entry}."))
    ]
    return max(fits, key=lambda fit: len(fit[1]), default=None)


def faults(root: Path) -> list[str]:
    """Every breach of the rules in the program under ``root``."""
    known = modules(root)
    graph: dict[str, set[str]] = {name: set() for name in known}
    found = []
    for name, path in known.items():
        if layer_of(name) is None:
            found.append(f"{name} belongs to no layer; add it to LAYERS")
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if _imports_by_name(tree):
            found.append(f"{name} imports by a text, which no rule can follow; use an import statement")
        for other, at_once in imports(tree, name, known):
            top = other.split(".")[0]
            if other in known and other != name:
                graph[name].add(other)
            if top in BINDINGS and not name.startswith(QT_ONLY_IN):
                found.append(f"{name} imports {other}, but Qt belongs in {QT_ONLY_IN} only")
            elif top in LATE and (at_once or not name.startswith(LATE[top])):
                found.append(
                    f"{name} imports {other} too early or in the wrong place; import it where it is used"
                )
            elif top == "desk" and (fault := _upward(name, other)):
                found.append(fault)
    return found + [f"imports run in a circle: {' -> '.join(ring)}" for ring in _rings(graph)]


def _imports_by_name(tree: ast.Module) -> bool:
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    attributes = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    return "__import__" in names or "import_module" in names | attributes


def _upward(name: str, other: str) -> str | None:
    mine, theirs = layer_of(name), layer_of(other)
    if mine is None or theirs is None or mine[1] == theirs[1] or theirs[0] < mine[0]:
        return None
    where = "above it" if theirs[0] > mine[0] else "beside it"
    return f"{name} imports {other}, which lies {where}"


def _rings(graph: dict[str, set[str]]) -> list[list[str]]:
    """One ring for each set of modules that import each other."""
    rings: list[list[str]] = []
    done: set[str] = set()
    for start in graph:
        path: list[str] = []
        if start not in done:
            _walk(start, graph, path, done, rings)
    return rings


def _walk(
    at: str, graph: dict[str, set[str]], path: list[str], done: set[str], rings: list[list[str]]
) -> None:
    path.append(at)
    for other in sorted(graph[at]):
        if other in path:
            rings.append([*path[path.index(other) :], other])
        elif other not in done:
            _walk(other, graph, path, done, rings)
    path.pop()
    done.add(at)


def test_the_program_keeps_the_rules() -> None:
    assert faults(HERE) == []


def test_every_layer_has_modules() -> None:
    homes = {layer_of(name) for name in modules(HERE)}
    assert homes == {(k, entry) for k, layer in enumerate(LAYERS) for entry in layer}


SOUND = {
    "desk/__init__.py": '"""The package."""\n',
    "desk/units.py": "import math\n",
    "desk/shapes/__init__.py": "",
    "desk/shapes/loop.py": "from __future__ import annotations\nimport numpy\n",
    "desk/shapes/frame.py": "from desk.shapes.loop import Point\nfrom .loop import Loop\n",
    "desk/flat/__init__.py": "",
    "desk/flat/dxf.py": "from desk.shapes import frame\ndef write():\n    import ezdxf\n",
    "desk/views/__init__.py": "",
    "desk/views/plan.py": "from desk.shapes.frame import Frame\n",
    "desk/ui/__init__.py": "",
    "desk/ui/window.py": "from PySide6.QtWidgets import QWidget\nfrom desk.views import plan\n",
    "desk/cli.py": "def main():\n    from desk.ui.window import run\n",
}

BREACHES = {
    "upward": ("desk/shapes/offset.py", "from desk.views.plan import items\n", "which lies above it"),
    "upward in a function": (
        "desk/shapes/offset.py",
        "def f():\n    import desk.views.plan\n",
        "which lies above it",
    ),
    "upward, relative": (
        "desk/shapes/offset.py",
        "from ..views import plan\n",
        "desk.shapes.offset imports desk.views.plan, which lies above it",
    ),
    "upward to a package": (
        "desk/units.py",
        "import desk.ui\n",
        "desk.units imports desk.ui, which lies above it",
    ),
    "upward for types": (
        "desk/units.py",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from desk.shapes.loop import Loop\n",
        "which lies above it",
    ),
    "sideways": ("desk/views/plan.py", "from desk.flat import dxf\n", "which lies beside it"),
    "Qt at the top": ("desk/views/plan.py", "from PySide6.QtGui import QColor\n", "Qt belongs in"),
    "Qt in a function": ("desk/cli.py", "def main():\n    import PySide6.QtWidgets\n", "Qt belongs in"),
    "Qt through another binding": ("desk/units.py", "from qtpy import QtCore\n", "Qt belongs in"),
    "Qt in a try": (
        "desk/flat/dxf.py",
        "try:\n    import shiboken6\nexcept ImportError:\n    pass\n",
        "Qt belongs in",
    ),
    "heavy at the top": ("desk/flat/dxf.py", "import ezdxf\n", "too early"),
    "heavy in a class": ("desk/flat/dxf.py", "class A:\n    import ezdxf.math\n", "too early"),
    "heavy elsewhere": ("desk/views/plan.py", "def f():\n    import ezdxf\n", "wrong place"),
    "a circle of two": (
        "desk/shapes/loop.py",
        "from desk.shapes import frame\n",
        "circle: desk.shapes.frame -> desk.shapes.loop -> desk.shapes.frame",
    ),
    "a circle through a function": (
        "desk/shapes/loop.py",
        "def f():\n    from desk.shapes.frame import Frame\n",
        "in a circle",
    ),
    "imported by a text": (
        "desk/units.py",
        "import importlib\nimportlib.import_module('desk.ui')\n",
        "no rule can follow",
    ),
    "imported by a builtin": ("desk/units.py", "__import__('PySide6')\n", "no rule can follow"),
    "no layer": ("desk/cellar/wine.py", "", "belongs to no layer"),
}


def grow(root: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def test_a_sound_program_has_no_faults(tmp_path: Path) -> None:
    grow(tmp_path, SOUND)
    assert faults(tmp_path) == []


@pytest.mark.parametrize("breach", BREACHES)
def test_a_breach_is_found(breach: str, tmp_path: Path) -> None:
    name, text, said = BREACHES[breach]
    grow(tmp_path, {**SOUND, name: text})
    found = faults(tmp_path)
    assert found
    assert all(said in fault for fault in found)

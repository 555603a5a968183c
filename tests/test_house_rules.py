"""House rules that no linter here knows: what must not stand in the tracked files, and how long things may get.

Each rule carries a line that breaks it, so that a rule which stopped working is found out.
"""

from __future__ import annotations

import ast
import re
import subprocess
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent.parent
TEXT = (".py", ".toml", ".md", ".qss", ".svg", ".lane", ".cfg", ".ini", "setup", "run", ".gitignore")
THIS = "tests/test_house_rules.py"
LONGEST_FILE, LONGEST_FUNCTION, GOAL = 420, 60, 40
OVER_GOAL = 0.01
"""Share of functions that may be longer than the goal."""


@dataclass(frozen=True)
class Rule:
    """A pattern, the files it is looked for in, why it must not stand there, and a line that it must catch."""

    name: str
    pattern: str
    files: tuple[str, ...]
    why: str
    caught: str
    but: tuple[str, ...] = ()


CODE, PROGRAM, ALL = ("*.py",), ("desk/*.py",), ("*",)
RULES = (
    Rule("print", r"\bprint\(", PROGRAM, "results go through desk.console", "    print(value)"),
    Rule(
        "exit",
        r"\b(sys\.exit|os\._exit|exit|quit)\(",
        PROGRAM,
        "main returns the code",
        "sys.exit(2)",
        ("desk/__main__.py",),
    ),
    Rule("bare except", r"^\s*except\s*:", CODE, "name what is expected", "    except:"),
    Rule(
        "swallowed",
        r"except (Base)?Exception[^:]*:\s*(pass|\.\.\.)",
        CODE,
        "name what is expected",
        "except Exception: pass",
    ),
    Rule(
        "to be done",
        r"\b(TODO|FIXME|XXX|HACK)\b",
        ALL,
        "do it, or tell the reader what is not done",
        "# TODO: later",
    ),
    Rule(
        "machine path",
        r"(/home/|/root/|/Users/|/work/|/tmp/|[A-Z]:\\\\)",
        ALL,
        "paths differ from machine to machine",
        "'/home/me/x'",
    ),
    Rule(
        "registry",
        r"(pypi|pythonhosted)\.(org|io)",
        ALL,
        "where packages come from is the machine's matter",
        "https://pypi.org/x",
    ),
    Rule(
        "spin box",
        r"\bQ(Double)?SpinBox\b",
        PROGRAM,
        "reads a decimal comma as a group mark; use ValueEdit",
        "QDoubleSpinBox()",
    ),
    Rule("global", r"^\s*global\s", CODE, "pass it in", "    global count"),
    Rule(
        "type: ignore",
        r"type:\s*ignore(?!\[)",
        CODE,
        "name the error that is ignored",
        "x = y  # type: ignore",
    ),
    Rule("noqa", r"noqa(?!: [A-Z])", CODE, "name the rule that is put aside", "x = y  # noqa"),
    Rule(
        "sleep",
        r"\btime\.sleep\(|qWait\(",
        CODE,
        "wait for what is to happen",
        "time.sleep(1)",
        ("tests/bench/*",),
    ),
    Rule(
        "random",
        r"np\.random\.(rand\w*|seed|choice|uniform|shuffle)\(|default_rng\(\)|\bRandom\(\)|\brandom\.(seed|randint|randrange)\(",
        CODE,
        "give every random test its seed",
        "default_rng()",
    ),
    Rule(
        "settings", r"derandomize\s*=\s*False", CODE, "tests repeat exactly", "@settings(derandomize=False)"
    ),
    Rule("skip", r"pytest\.mark\.(skip|xfail)\b(?!\(.*reason=)", CODE, "say why", "@pytest.mark.skip"),
    Rule("no claim", r"^\s*assert True\b", CODE, "claim something", "    assert True"),
    Rule(
        "unit of a drawing",
        r"ezdxf\.new\((?!.*units=)",
        CODE,
        "the drawing's unit would be metres",
        'ezdxf.new("R2000")',
    ),
    Rule(
        "time of day",
        r"datetime\.now\(|time\.time\(",
        PROGRAM,
        "the same design gives the same files",
        "datetime.now()",
    ),
    Rule("dash", r"\w — \w", ("*.py", "*.md"), "two sentences, a comma or a colon", "it works — mostly"),
)


def tracked() -> list[str]:
    """Names of the text files that belong to the project."""
    listed = subprocess.run(["git", "ls-files"], cwd=HERE, capture_output=True, text=True, check=False)
    names = listed.stdout.splitlines()
    if listed.returncode:
        names = [
            str(p.relative_to(HERE))
            for top in ("desk", "tests", "resources")
            for p in (HERE / top).rglob("*")
        ]
    return [n for n in names if n.endswith(TEXT) and n != THIS and (HERE / n).is_file()]


FILES = tracked()


def breaches(rule: Rule, name: str, text: str) -> list[str]:
    if not any(fnmatch(name, pattern) for pattern in rule.files) or any(fnmatch(name, b) for b in rule.but):
        return []
    pattern = re.compile(rule.pattern)
    return [
        f"{name}:{number}: {line.strip()}  ({rule.why})"
        for number, line in enumerate(text.splitlines(), 1)
        if pattern.search(line)
    ]


def test_the_files_are_found() -> None:
    assert {"desk/cli.py", "resources/dimensions.toml", "pyproject.toml"} <= set(FILES)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_rule(rule: Rule) -> None:
    assert breaches(rule, "desk/made_up.py", rule.caught), "the rule does not catch its own example"
    found = [b for name in FILES for b in breaches(rule, name, (HERE / name).read_text(encoding="utf-8"))]
    assert found == []


def functions(text: str) -> list[tuple[str, int]]:
    """Names and lengths in lines of all functions."""
    return [
        (node.name, (node.end_lineno or node.lineno) - node.lineno + 1)
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]


def test_length_of_functions_is_counted_with_their_heads() -> None:
    text = "def a():\n    return 1\n\n\nclass B:\n    def c(\n        self,\n    ):\n        pass\n"
    assert functions(text) == [("a", 2), ("c", 4)]


def test_files_and_functions_stay_short() -> None:
    texts = {name: (HERE / name).read_text(encoding="utf-8") for name in FILES if name.endswith(".py")}
    long_files = {n: len(t.splitlines()) for n, t in texts.items() if len(t.splitlines()) > LONGEST_FILE}
    assert long_files == {}
    every = {f"{name}:{function}": length for name, t in texts.items() for function, length in functions(t)}
    assert {key: n for key, n in every.items() if n > LONGEST_FUNCTION} == {}
    assert sum(n > GOAL for n in every.values()) <= OVER_GOAL * len(every)


def test_every_module_says_what_it_is_for() -> None:
    silent = [
        name
        for name in FILES
        if name.endswith(".py")
        and (text := (HERE / name).read_text(encoding="utf-8")).strip()
        and not ast.get_docstring(ast.parse(text))
    ]
    assert silent == []


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_links_of_the_pages_lead_somewhere(page: str) -> None:
    text = (HERE / page).read_text(encoding="utf-8")
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in link]
    assert links or page != "README.md"
    assert [link for link in links if not (HERE / link).exists()] == []

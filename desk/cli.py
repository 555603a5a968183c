"""The command line. Other people's scripts use it: commands, options, exit codes and JSON keys stay as they are.

Exit codes: 0 done and nothing in conflict, 1 conflicts stand, 2 the input cannot be used. Results go to stdout,
messages to stderr. Everything but the window and a PNG picture runs where Qt is not installed, and nothing is imported
before the command that needs it.
"""

from __future__ import annotations

import argparse
import os
import shlex
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from desk import console, helptext
from desk.commands import UnusableError, load, near, save_new, with_settings, write

if TYPE_CHECKING:
    from desk.design.model import Design
    from desk.evaluate import Evaluation

CLEAR, CONFLICTS, UNUSABLE = 0, 1, 2
FAULT = 70
"""A fault of the program itself; the number sysexits.h gives for an internal software error."""

SCREENS = ("DISPLAY", "WAYLAND_DISPLAY")
"""Variables of the environment that tell of a screen."""
UNSEEN = ("offscreen", "minimal")
"""Platforms of Qt that draw a window nobody sees."""
INCH_ENDINGS = ("in", "inch", "inches", '"', "″", "”")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit code."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    console.tame()
    try:
        return _run(words)
    except UnusableError as error:
        console.say(str(error))
        return UNUSABLE
    except Exception:  # told as what it is, and never with the exit code of a finding
        import traceback

        console.say("A fault in the program; please report it with these lines:\n" + traceback.format_exc())
        return FAULT


def _run(words: list[str]) -> int:
    if words and words[0] in COMMANDS:
        options, run = COMMANDS[words[0]]
        parser = argparse.ArgumentParser(
            prog=f"lanewright {words[0]}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        options(parser)
        return run(parser.parse_args(words[1:]))
    if len(words) > 1 and not words[0].startswith("-"):
        raise UnusableError(f"there is no command '{words[0]}'; {near(words[0], COMMANDS)}")
    design: Path | None = _opening().parse_args(words).design
    return _open(design)


def _opening() -> argparse.ArgumentParser:
    """The parser for a call without a command."""
    from desk import __version__

    parser = argparse.ArgumentParser(
        prog="lanewright",
        usage="lanewright [DESIGN] | lanewright COMMAND ...",
        description=helptext.OVERVIEW,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("design", metavar="DESIGN", nargs="?", type=Path, help="a .lane file to open")
    parser.add_argument("--version", action="version", version=f"lanewright {__version__}")
    return parser


# --- check


def _check_options(parser: argparse.ArgumentParser) -> None:
    parser.description = helptext.CHECK
    _design_option(parser)
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="ID=VALUE",
        help="try another value first; ID as dims lists it, VALUE like 9.5, 9.5mm or 3/8in (the file stays as it is)",
    )
    _json_option(parser)


def _check(options: argparse.Namespace) -> int:
    from desk import report

    evaluation = _evaluated(with_settings(load(options.design), options.set))
    if options.json:
        console.show_json(report.findings_plain(evaluation))
    else:
        console.show(report.findings_text(evaluation, console.columns()))
    return CONFLICTS if evaluation.count("conflict") else CLEAR


# --- dims


def _dims_options(parser: argparse.ArgumentParser) -> None:
    parser.description = helptext.DIMS
    _design_option(parser)
    _json_option(parser)


def _dims(options: argparse.Namespace) -> int:
    from desk import report

    design = load(options.design)
    if options.json:
        console.show_json(report.dimensions_plain(design))
    else:
        console.show(report.dimensions_text(design))
    return CLEAR


# --- export


def _export_options(parser: argparse.ArgumentParser) -> None:
    parser.description = helptext.EXPORT
    _design_option(parser)
    parser.add_argument("--to", required=True, type=Path, metavar="DIR", help="folder, made if need be")
    parser.add_argument(
        "--despite-conflicts",
        action="store_true",
        help="write all the same; every file then says what is in conflict",
    )
    parser.add_argument(
        "--replace",
        action="store_true",
        help="write over what the folder holds of another design, or was changed since",
    )


def _export(options: argparse.Namespace) -> int:
    evaluation = _evaluated(load(options.design))
    return _export_to(evaluation, options.to, options.despite_conflicts, options.replace)


def _export_to(evaluation: Evaluation, folder: Path, despite: bool, replacing: bool = False) -> int:
    """Write the flat parts and say which files, or say why not."""
    from desk.flat.earlier import OccupiedError
    from desk.flat.export import export
    from desk.flat.lint import ExportError
    from desk.views.wording import mutes_of, warnings_of

    unit = evaluation.design.unit
    told = warnings_of(evaluation.findings, unit)
    if told and not despite:
        count = f"{len(told)} conflict{'s' if len(told) > 1 else ''}"
        listed = "\n".join(f"  {line}" for line in told)
        console.say(
            f"no flat parts were written: {count} in {evaluation.design.name}\n{listed}\n"
            "Mend them ('lanewright check' tells how), or use 'lanewright export' with --despite-conflicts: the files "
            "then say so."
        )
        return CONFLICTS
    try:
        mutes = mutes_of(evaluation.findings, unit)
        files = export(evaluation.cabinet, folder, told, mutes, replacing=replacing, unit=unit)
    except OccupiedError as error:
        way_out = "name another folder, or use 'lanewright export' with --replace"
        raise UnusableError(f"nothing was exported: {error}; {way_out}") from None
    except ExportError as error:
        raise UnusableError(f"nothing was exported: {error}") from None
    console.show(str(file) for file in files)
    return CLEAR


# --- snapshot


def _snapshot_options(parser: argparse.ArgumentParser) -> None:
    parser.description = helptext.SNAPSHOT
    _design_option(parser)
    parser.add_argument(
        "--to", required=True, type=Path, metavar="FILE", help="a file that ends in .png or .svg"
    )


def _snapshot(options: argparse.Namespace) -> int:
    target: Path = options.to
    kind = target.suffix.lower()
    if kind not in (".png", ".svg"):
        raise UnusableError(f"{target}: the picture is a .png or an .svg, so end the name in one of these")
    evaluation = _evaluated(load(options.design))
    write(target, _svg(evaluation) if kind == ".svg" else _png(evaluation))
    console.show((str(target),))
    return CLEAR


def _svg(evaluation: Evaluation) -> bytes:
    from desk.views.svg import sheet_svg

    return sheet_svg(evaluation).encode()


def _png(evaluation: Evaluation) -> bytes:
    """The picture as PNG, painted by Qt without a screen."""
    try:
        from desk.ui.snapshot import png
    except ImportError as error:
        raise UnusableError(f"a PNG picture needs Qt ({error}); an .svg picture does not") from None
    return png(evaluation)


# --- size


def _size_options(parser: argparse.ArgumentParser) -> None:
    parser.description = helptext.SIZE
    parser.add_argument("--ball", required=True, metavar="SIZE", help="diameter: 16, 16mm or 1/2in")
    parser.add_argument("--balls", type=int, metavar="N", help="how many balls there are")
    parser.add_argument("--to", required=True, type=Path, metavar="FILE", help="the .lane file to write")


def _size(options: argparse.Namespace) -> int:
    from desk.design import edit
    from desk.design.file import EXTENSION
    from desk.design.starting import proportioned, starting_design
    from desk.units import UnitError, parse_length

    if options.to.suffix.casefold() != EXTENSION:
        raise UnusableError(f"{options.to}: a design is a {EXTENSION} file, so end the name in {EXTENSION}")
    text: str = options.ball
    inches = text.strip().casefold().endswith(INCH_ENDINGS)
    start = edit.set_unit(starting_design(), "in") if inches else starting_design()
    try:
        design = proportioned(start, parse_length(text, "mm"), options.balls)
        if inches:
            design = edit.type_in(design, "ball.diameter", text)
        design = edit.rename(design, options.to.stem)
    except UnitError as error:
        raise UnusableError(f"--ball {text}: {error}") from None
    except edit.EditError as error:
        raise UnusableError(str(error)) from None
    save_new(design, options.to)
    console.show((str(options.to),))
    wrong = _conflicts(_evaluated(design))
    if wrong:
        one = "1 conflict is" if len(wrong) == 1 else f"{len(wrong)} conflicts are"
        listed = "\n".join(f"  {title}" for title in dict.fromkeys(wrong))
        way_out = f"'lanewright check {shlex.quote(str(options.to))}' tells what to change"
        console.say(f"{one} left:\n{listed}\n{way_out}")
    return CONFLICTS if wrong else CLEAR


def _conflicts(evaluation: Evaluation) -> list[str]:
    """Titles of the conflicts that count, worst first."""
    from desk.views.wording import title_words, worst_first

    found = [f for f in evaluation.findings if f.status == "conflict" and not f.muted]
    return [title_words(f, evaluation.design.unit) for f in worst_first(found)]


# --- play


def _play_options(parser: argparse.ArgumentParser) -> None:
    from desk.ball.play import SEED, THROWS

    parser.description = helptext.PLAY
    _design_option(parser)
    parser.add_argument(
        "--throws", type=int, default=THROWS, metavar="N", help=f"how many, {THROWS} if not given"
    )
    parser.add_argument("--seed", type=int, default=SEED, metavar="S", help="another number, other throws")
    _json_option(parser)


def _play(options: argparse.Namespace) -> int:
    from desk import playreport

    played = playreport.played(load(options.design), options.throws, options.seed)
    if options.json:
        console.show_json(playreport.plain(played))
    else:
        console.show(playreport.text(played, console.columns()))
    return CONFLICTS if played.fails else CLEAR


# --- the window


def _open(path: Path | None) -> int:
    """Open the window; where there is none, say so and do what can be done without it."""
    if path is not None:
        if not path.suffix and not path.exists():
            raise UnusableError(f"there is no design and no command '{path}'; {near(str(path), COMMANDS)}")
        load(path)
    run = _window()
    if not isinstance(run, str):
        return run(path)
    if path is None:
        raise UnusableError(f"{run}. Name a design to have it checked, drawn and exported: lanewright DESIGN")
    console.say(f"{run}. Checking, drawing and exporting {path} instead.")
    return _without_window(path)


def _window() -> Callable[[Path | None], int] | str:
    """What runs the window, or in words what it lacks."""
    platform = os.environ.get("QT_QPA_PLATFORM", "")
    seen = any(os.environ.get(name) for name in SCREENS) or (platform and platform not in UNSEEN)
    if platform in UNSEEN or (sys.platform == "linux" and not seen):
        return "there is no screen to open a window on (DISPLAY and WAYLAND_DISPLAY are not set)"
    try:
        from desk.ui.app import run
    except ImportError as error:
        return f"the window needs Qt, and it cannot be loaded ({error})"
    return run


def _without_window(path: Path) -> int:
    """Check, picture and flat parts, the files in a folder beside the design or, if need be, in the current one."""
    from desk import report

    evaluation = _evaluated(load(path))
    console.show(report.findings_text(evaluation, console.columns()))
    folder = _folder_for(path)
    picture = folder / "picture.svg"
    write(picture, _svg(evaluation))
    console.say(f"picture: {picture}")
    code = _export_to(evaluation, folder / "flat-parts", despite=False)
    if code == CLEAR:
        console.say(f"flat parts: {folder / 'flat-parts'}")
    return code


def _folder_for(path: Path) -> Path:
    """A folder named after the design, where it can be made."""
    name = f"{path.stem}-out"
    for parent in (path.parent, Path.cwd()):
        try:
            (parent / name).mkdir(exist_ok=True)
        except OSError:
            continue
        if os.access(parent / name, os.W_OK):
            return parent / name
    raise UnusableError(
        f"no folder {name} can be made in {path.parent} or in {Path.cwd()}; go to a folder that can be"
    )


# --- shared


def _design_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("design", metavar="DESIGN", type=Path, help="a .lane file")


def _json_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="one JSON object instead of text")


def _evaluated(design: Design) -> Evaluation:
    from desk.evaluate import evaluate

    return evaluate(design).played()


Options = Callable[[argparse.ArgumentParser], None]
COMMANDS: dict[str, tuple[Options, Callable[[argparse.Namespace], int]]] = {
    "check": (_check_options, _check),
    "dims": (_dims_options, _dims),
    "export": (_export_options, _export),
    "snapshot": (_snapshot_options, _snapshot),
    "size": (_size_options, _size),
    "play": (_play_options, _play),
}
"""Commands by name: what adds their options, what runs them."""

"""What the window asks of the core: working a design out, all at once or in two goes, and writing the flat parts."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from desk.checks.run import in_order
from desk.design.model import Design
from desk.evaluate import Evaluation
from desk.evaluate import evaluate as work_out
from desk.ui.document import Evaluated


def evaluate(design: Design, last: Evaluated | None = None) -> Evaluated:
    """Work a design out. With ``last``, within a drag step: the checks that may follow a moment later are put off
    and their findings taken over from ``last``, so that nothing flickers while the hand moves.
    """
    made = work_out(design, live=last is not None)
    if last is None or not made.pending:
        return made
    kept = [f for f in last.findings if f.check in made.pending]
    return replace(made, findings=in_order((*made.findings, *kept)))


def complete(evaluated: Evaluated) -> Evaluated:
    """The same with what was put off worked out; itself when nothing was."""
    if not isinstance(evaluated, Evaluation) or not evaluated.pending:
        return evaluated
    fresh = tuple(f for f in evaluated.findings if f.check not in evaluated.pending)
    return replace(evaluated, findings=fresh).completed()


def export(cabinet: Any, folder: Path, warnings: tuple[str, ...]) -> tuple[Path, ...]:
    """Write the flat parts. Raises ValueError with the reason when they cannot be written."""
    from desk.flat.export import export as write
    from desk.flat.lint import ExportError

    try:
        return write(cabinet, folder, warnings)
    except ExportError as error:
        raise ValueError(str(error)) from error

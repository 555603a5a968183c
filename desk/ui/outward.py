"""What the window asks of the core: working a design out, all at once or in two goes, and writing the flat parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from desk.checks.finding import Finding
from desk.checks.run import SLOW, behind, in_order
from desk.design.model import Design
from desk.evaluate import Evaluation
from desk.evaluate import evaluate as work_out
from desk.ui.dimension_rows import shape_of, touched
from desk.ui.document import Evaluated
from desk.units import Unit

FEW = 3
"""So many of the checks that concern the number in the hand are run within a drag step; more of them wait."""


def evaluate(design: Design, last: Evaluated | None = None) -> Evaluated:
    """Work a design out. With ``last``, the one before: the checks that may follow a moment later are put off,
    but for those that a change of the number in the hand is known to mend. What the others found is taken over from
    ``last`` so that its places do not come and go; ``pending`` names them, and they are shown as being checked.
    """
    if last is None:
        return work_out(design)
    made = work_out(design, live=True, also=_concerned(design, last))
    if not made.pending:
        return made
    kept = [f for f in last.findings if f.check in made.pending]
    return replace(made, findings=in_order((*made.findings, *kept)))


def _concerned(design: Design, last: Evaluated) -> frozenset[str]:
    """Ids of the late checks with a remedy at a number that is not as it is in ``last``; none when they are many."""
    same = shape_of(last.design) == shape_of(design)
    moved = (touched(last.design, design) if same else None) or set()
    ids = {f.check for f in last.findings if any(r.address in moved for r in f.remedies)}
    wanted = (behind() & ids) - SLOW
    return wanted if len(wanted) <= FEW else frozenset()


def advance(evaluated: Evaluated) -> Iterator[None]:
    """Work out what was put off, check by check; ``complete`` then has it at hand."""
    return evaluated.advance() if isinstance(evaluated, Evaluation) else iter(())


def complete(evaluated: Evaluated) -> Evaluated:
    """The same with what was put off worked out; itself when nothing was."""
    if not isinstance(evaluated, Evaluation) or not evaluated.pending:
        return evaluated
    fresh = tuple(f for f in evaluated.findings if f.check not in evaluated.pending)
    return replace(evaluated, findings=fresh).completed()


def with_ends(evaluated: Evaluated, ends: tuple[Finding, ...]) -> Evaluated:
    """The same with the findings on how balls end taken from a run of more throws than the check makes by itself;
    what the check alone looks at stays.
    """
    if not isinstance(evaluated, Evaluation):
        return evaluated
    return evaluated.with_ends(ends)


def export(
    cabinet: Any,
    folder: Path,
    warnings: tuple[str, ...],
    muted: tuple[str, ...] = (),
    replacing: bool = False,
    unit: Unit = "mm",
) -> tuple[Path, ...]:
    """Write the flat parts. Raises ValueError with the reason when they cannot be written, FileExistsError when
    ``replacing`` would have to be said.
    """
    from desk.flat.earlier import OccupiedError
    from desk.flat.export import export as write
    from desk.flat.lint import ExportError

    try:
        return write(cabinet, folder, warnings, muted, replacing=replacing, unit=unit)
    except OccupiedError as error:
        raise FileExistsError(str(error)) from error
    except ExportError as error:
        raise ValueError(str(error)) from error

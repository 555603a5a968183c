"""What the window asks of the heavy packages, imported when first needed so that the window opens fast."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from desk.design.model import Design
from desk.ui.document import Evaluated


def evaluate(design: Design) -> Evaluated:
    """Work a design out."""
    from desk.evaluate import evaluate as work_out

    return work_out(design)


def export(cabinet: Any, folder: Path, warnings: tuple[str, ...]) -> tuple[Path, ...]:
    """Write the flat parts. Raises ValueError with the reason when they cannot be written."""
    from desk.flat.export import export as write
    from desk.flat.lint import ExportError

    try:
        return write(cabinet, folder, warnings)
    except ExportError as error:
        raise ValueError(str(error)) from error

"""Time to write the drawings of all sheets, the layout known, over a bare ezdxf write of as many entities.

Run: python -m tests.bench.bench_dxf
"""

from __future__ import annotations

import json
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import ezdxf

from desk.cabinet.build import build
from desk.design.starting import starting_design
from desk.flat import dxf
from desk.flat.export import export
from desk.flat.figure import Figure, Ring, Round, Track
from desk.flat.layout import lay_out
from desk.flat.lint import check
from desk.flat.plates import sheets_figure

ROUNDS = 15
GOAL_MS = 300.0


def median_ms(work: Callable[[], object]) -> float:
    """Median time of the work in ms, after one run that is not counted."""
    work()
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def bare(figures: list[Figure], folder: Path) -> None:
    """The same entities with nothing around them."""
    for k, figure in enumerate(figures):
        doc = ezdxf.new("R2000", units=4)
        space = doc.modelspace()
        for mark in figure.marks:
            if isinstance(mark, Ring):
                space.add_lwpolyline(mark.loop.points, format="xyb", close=True)
            elif isinstance(mark, Track):
                space.add_lwpolyline(mark.path, format="xyb")
            elif isinstance(mark, Round):
                space.add_circle(mark.at, mark.radius)
            else:
                space.add_text(mark.text, height=mark.height)
        doc.saveas(folder / f"bare{k}.dxf")


def main() -> None:
    """Print one line of JSON."""
    cabinet = build(starting_design())
    layout = lay_out(cabinet.parts, cabinet.shop)
    stocks = [(s, [p for p in layout.sheets if p.stock == s.id]) for s in cabinet.shop.stocks]
    stocks = [(stock, plans) for stock, plans in stocks if plans]

    def composed() -> list[Figure]:
        return [sheets_figure(cabinet, stock, plans, ()) for stock, plans in stocks]

    def sheets() -> None:
        for k, figure in enumerate(composed()):
            check(figure, "sheets")
            dxf.write(figure, folder / f"sheets{k}.dxf")

    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        figures = composed()
        ours, least = median_ms(sheets), median_ms(lambda: bare(figures, folder))
        whole = median_ms(lambda: export(cabinet, folder / "whole"))
    print(
        json.dumps(
            {
                "bench": "drawings of all sheets, layout known",
                "ms": round(ours, 1),
                "goal_ms": GOAL_MS,
                "bare_ms": round(least, 1),
                "ratio": round(ours / least, 2),
                "entities": sum(len(f.marks) for f in figures),
                "whole_export_ms": round(whole, 1),
            }
        )
    )


if __name__ == "__main__":
    main()

"""Writes a figure as DXF: R2000, millimetres, closed polylines with true arcs, circles as circles.

Most readers take what is chosen here: modelspace only, no blocks, no splines, no ellipses, no mirrored
extrusion, the first vertex of a closed polyline not repeated. Two exports of one design are equal, byte for
byte, because dates and random ids are replaced by fixed ones.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from desk.flat.figure import Figure, Mark, Ring, Round, Track

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

VERSION = "R2000"
MILLIMETRES = 4
"""The header's number for millimetres ($INSUNITS)."""
AROUND = 1.05
"""The first view shows this much more than the drawing."""


def write(figure: Figure, path: Path) -> None:
    """Write one figure to one file. Raises OSError when the file cannot be written."""
    with _fixed_dates():
        document(figure).saveas(path)


def document(figure: Figure) -> Drawing:
    """The figure as an ezdxf document; made inside ``write`` it carries fixed dates."""
    from ezdxf.filemanagement import new

    doc = new(VERSION, units=MILLIMETRES)
    wide, high = figure.size
    space = doc.modelspace()
    low, top = (0.0, 0.0, 0.0), (wide, high, 0.0)
    space.reset_extents(low, top)
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = low, top
    for mark in figure.marks:
        if mark.layer.name not in doc.layers:
            doc.layers.add(mark.layer.name, color=mark.layer.colour)
        _add(space, mark)
    doc.set_modelspace_vport(AROUND * max(high, wide / 2), (wide / 2, high / 2))
    return doc


def _add(space: Modelspace, mark: Mark) -> None:
    attribs = {"layer": mark.layer.name}
    if isinstance(mark, Ring):
        space.add_lwpolyline(mark.loop.points, format="xyb", close=True, dxfattribs=attribs)
    elif isinstance(mark, Track):
        space.add_lwpolyline(mark.path, format="xyb", close=False, dxfattribs=attribs)
    elif isinstance(mark, Round):
        space.add_circle(mark.at, mark.radius, dxfattribs=attribs)
    else:
        text = space.add_text(mark.text, height=mark.height, dxfattribs=attribs)
        text.dxf.insert = (*mark.at, 0.0)
        if mark.upright:
            text.dxf.rotation = 90.0


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """Has ezdxf write fixed dates and ids while it lasts."""
    from ezdxf import options  # type: ignore[attr-defined]

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
